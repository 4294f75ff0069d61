//! Figures written to what they are worth.

use latchstroke_scenario::Unit;
use latchstroke_scenario::quantity::{decimals, nearest_64th, trimmed};

/// The nearest sixty-fourth of an inch to a length (m), where it is told in inches and lies on it but for rounding.
pub fn on_the_rule(unit: &Unit, si: f64) -> Option<String> {
    let sixty_fourths = 64.0 * unit.from_si(si);
    (unit.symbol == "in" && (sixty_fourths - sixty_fourths.round()).abs() < 1e-6).then(|| nearest_64th(si))
}

/// An SI value in `unit` to `figures` significant figures, with its symbol.
pub fn rounded(unit: &Unit, si: f64, figures: usize) -> String {
    with_symbol(significant(unit.from_si(si), figures), unit)
}

/// A value that was stated, SI, told in `unit` to four figures at most.
pub fn stated_in(unit: &Unit, si: f64) -> String {
    with_symbol(trimmed(significant(unit.from_si(si), 4)), unit)
}

/// A figure with the symbol of its unit.
pub fn with_symbol(number: String, unit: &Unit) -> String {
    match unit.symbol {
        "" => number,
        // By custom the degree sign stands close to its figures.
        "°" => number + "°",
        "turns/min" | "turns/s" | "turns" if number == "1" => number + " turn" + &unit.symbol[5..],
        symbol => format!("{number} {symbol}"),
    }
}

/// A value to be typed, rounded so that it lies no nearer to where one comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Outward {
    /// The rounded value, SI.
    pub si: f64,
    /// For reading: "2.61 in".
    pub text: String,
    /// For typing: "350 degC".
    pub typed: String,
}

/// An SI value in `unit` rounded away from `from`, to `figures` significant figures or as many more as it takes to stay within
/// `range` (SI).
pub fn outward(unit: &Unit, si: f64, from: f64, range: (f64, f64), figures: i32) -> Outward {
    let value = unit.from_si(si);
    let up = value > unit.from_si(from);
    let told = |number: String| Outward {
        si: number.parse().map_or(si, |read| unit.to_si(read)),
        typed: format!("{number} {}", unit.typeable()).trim_end().to_owned(),
        text: with_symbol(number.replacen('-', "\u{2212}", 1), unit),
    };
    let rounded = |figures: i32| {
        let places = decimals(value, figures);
        let step = 10.0_f64.powi(-places);
        // A value that is a whole number of steps but for its last digits stays where it is.
        let near = 1e-9 * (value / step).abs().max(1.0);
        let steps = if up { (value / step - near).ceil() } else { (value / step + near).floor() };
        told(trimmed(format!("{:.*}", places.max(0).unsigned_abs() as usize, steps * step)))
    };
    let near = 1e-9 * si.abs();
    let outside = |it: &Outward| if up { it.si >= si - near } else { it.si <= si + near };
    let fits = |it: &Outward| it.si >= range.0 && it.si <= range.1 && outside(it);
    (figures..12).map(rounded).find(fits).unwrap_or_else(|| told(value.to_string()))
}

/// A number to `figures` significant figures, without an exponent, never "-0"; a real minus sign before it.
pub fn significant(value: f64, figures: usize) -> String {
    // The least number there is stands for nought where nothing may be divided by that.
    if value.abs() < 1e-100 {
        return "0".to_owned();
    }
    if !value.is_finite() {
        return "–".to_owned();
    }
    let decimals = decimals(value, i32::try_from(figures).unwrap_or(3));
    let text = if decimals >= 0 {
        format!("{value:.*}", decimals.unsigned_abs() as usize)
    } else {
        let unit = 10.0_f64.powi(-decimals);
        format!("{:.0}", (value / unit).round() * unit)
    };
    text.replacen('-', "\u{2212}", 1)
}

/// A time in milliseconds to three figures: "25.2 ms".
pub fn milliseconds(seconds: f64) -> String {
    format!("{} ms", significant(seconds * 1e3, 3))
}

/// A share as a percentage to three figures, but no finer than a hundredth: "12.5 %".
pub fn percent(share: f64) -> String {
    match 100.0 * share {
        0.0 => "0 %".to_owned(),
        little if little.abs() < 0.01 => "under 0.01 %".to_owned(),
        less if less.abs() < 1.0 => format!("{less:.2} %").replacen('-', "\u{2212}", 1),
        percent => format!("{} %", significant(percent, 3)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use latchstroke_scenario::Dimension;

    #[test]
    fn figures_round_across_powers_of_ten_and_keep_their_zeros() {
        assert_eq!(significant(9.996, 3), "10.0");
        assert_eq!(significant(0.09996, 3), "0.100");
        assert_eq!(significant(25.15, 3), "25.1");
        assert_eq!(significant(1234.0, 3), "1230");
        assert_eq!(significant(-0.5, 2), "\u{2212}0.50");
        assert_eq!(significant(0.0, 3), "0");
        assert_eq!(significant(f64::NAN, 3), "–");
    }

    #[test]
    fn a_value_to_type_is_never_nearer_than_it_was_and_stays_in_its_range() {
        let inch = Dimension::Length.find("in").unwrap();
        let of = |si: f64, from: f64, range| {
            let to = outward(inch, si * 0.0254, from * 0.0254, range, 3);
            (to.text, to.typed, to.si / 0.0254)
        };
        let wide = (0.0, 1.0);
        assert_eq!(of(2.612, 2.5, wide), ("2.62 in".to_owned(), "2.62 in".to_owned(), 2.62));
        assert_eq!(of(2.612, 2.7, wide).0, "2.61 in");
        // Just below 2.62 in there is no more room: more figures.
        assert_eq!(of(2.612, 2.5, (0.0, 2.615 * 0.0254)).0, "2.612 in");
    }
}
