//! Turns of the nut: which to try, and how to say them.

use latchstroke_core::studies::preload::Nut;
use latchstroke_scenario::Unit;

/// About how many settings are tried.
const WANTED: f64 = 13.0;
/// Steps of the nut, turns: a flat of a hexagon nut and upwards.
const TURNS: [f64; 10] = [1.0 / 6.0, 0.25, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 10.0, 20.0];

/// How far the nut is moved from where it stands, m, rising, nought among them: whole steps of the nut where its pitch is
/// known, else whole steps of force at the nest's own rate; from where a spring goes loose up to the furthest worth trying.
pub fn advances(nut: &Nut, force: &Unit) -> Vec<f64> {
    let (low, high) = (nut.loose(), nut.furthest());
    let rate: f64 = nut.machine.springs.iter().map(|spring| spring.rate).sum();
    let steps: Vec<f64> = if let Some(pitch) = nut.pitch {
        TURNS.iter().map(|turns| turns * pitch).collect()
    } else {
        let tens = (-3..7).map(|power| 10.0_f64.powi(power));
        tens.flat_map(|ten| [1.0, 2.0, 5.0].map(|n| force.to_si(n * ten) / rate)).collect()
    };
    let count = |step: f64| (high / step).floor() - (low / step).ceil() + 1.0;
    let off = |step: f64| (count(step) - WANTED).abs();
    let Some(step) = steps.into_iter().min_by(|&a, &b| off(a).total_cmp(&off(b))) else { return vec![0.0] };
    let mut all = if low < 0.0 { vec![low] } else { Vec::new() };
    // Whole steps nearer to an end than a quarter step add nothing, but for the present setting.
    let mut n = (low / step + 0.25).ceil().min(0.0);
    while n * step <= high && all.len() < 200 {
        all.push(n * step);
        n += 1.0;
    }
    if all.last().is_none_or(|last| high - last > 0.25 * step) {
        all.push(high);
    }
    all
}

/// Turns to two decimals, with a real minus sign: "−1.25".
pub fn figure(turns: f64) -> String {
    let hundredths = (turns * 100.0).round();
    if hundredths == 0.0 {
        return "0".to_owned();
    }
    let text = format!("{:.2}", hundredths / 100.0);
    text.trim_end_matches('0').trim_end_matches('.').replacen('-', "\u{2212}", 1)
}

/// Turns with their name: "−1.25 turns", "1 turn".
pub fn counted(turns: f64) -> String {
    let figure = figure(turns);
    format!("{figure} turn{}", if figure == "1" { "" } else { "s" })
}

/// Turns as whole turns and sixths, to the nearest sixth: "2 turns and 5 flats".
pub fn flats(turns: f64) -> String {
    let sixths = (turns * 6.0).round();
    let (whole, flats) = ((sixths / 6.0).floor(), sixths % 6.0);
    let counted = |n: f64, one: &str| format!("{n:.0} {one}{}", if n < 1.5 { "" } else { "s" });
    match (whole > 0.0, flats > 0.0) {
        (true, true) => format!("{} and {}", counted(whole, "turn"), counted(flats, "flat")),
        (true, false) => counted(whole, "turn"),
        (false, _) => counted(flats, "flat"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turns_read_as_an_owner_counts_them() {
        assert_eq!(figure(-1.2499), "\u{2212}1.25");
        assert_eq!(figure(0.001), "0");
        assert_eq!(figure(20.0), "20");
        assert_eq!(flats(2.84), "2 turns and 5 flats");
        assert_eq!(flats(0.99), "1 turn");
        assert_eq!(flats(10.17), "10 turns and 1 flat");
        assert_eq!(flats(0.34), "2 flats");
    }
}
