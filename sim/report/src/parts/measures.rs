//! Lengths as a workshop writes them: millimetres, inches in decimals, and the nearest sixty-fourth.

use latchstroke_plots::drawing::Label;
use latchstroke_scenario::quantity::nearest_64th;

const INCH: f64 = 0.0254;
/// Nearer than this to a sixty-fourth, m, a length is that fraction.
const EXACT: f64 = 1e-6;

/// Millimetres with two decimals; halves, which inches often give, go up.
pub(super) fn millimetres(metres: f64) -> String {
    format!("{:.2}", (metres * 1e5 + 1e-6).round() / 100.0)
}

/// Inches with four decimals at most; halves go up.
pub(super) fn decimal_inches(metres: f64) -> String {
    let text = format!("{:.4}", (metres / INCH * 1e4 + 1e-6).round() / 1e4);
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short.is_empty() { "0".to_owned() } else { short.to_owned() }
}

/// The nearest sixty-fourth of an inch; "≈" before it unless it is exact.
pub(super) fn fraction(metres: f64) -> String {
    let text = nearest_64th(metres);
    if is_fraction(metres) { text } else { format!("≈ {text}") }
}

fn is_fraction(metres: f64) -> bool {
    let step = INCH / 64.0;
    (metres - (metres / step).round() * step).abs() < EXACT
}

/// A value in whole steps of `step`, rounded down.
pub(super) fn floor_to(value: f64, step: f64) -> f64 {
    // A hair below a whole step, from arithmetic, is that step.
    (value / step + 1e-6).floor() * step
}

/// A length with its tolerance for a drawing, marked where it was assumed.
pub(super) fn label(before: &str, metres: f64, half_width: Option<f64>, assumed: bool) -> Label {
    let star = if assumed { " *" } else { "" };
    let (metric, inch) = match half_width {
        Some(half) => (
            format!(" ± {}", millimetres(floor_to(half, 1e-5))),
            format!(" ± {}", decimal_inches(floor_to(half, 1e-4 * INCH))),
        ),
        None => (String::new(), String::new()),
    };
    let equals = if is_fraction(metres) { "=" } else { "≈" };
    let fraction = nearest_64th(metres);
    Label {
        metric: format!("{before}{}{metric}{star}", millimetres(metres)),
        inch: format!("[{}{inch} {equals} {fraction}]", decimal_inches(metres)),
    }
}

/// A length within a sentence: "15.88 mm [5/8 in]", with no break between figures and unit.
pub(super) fn inline(metres: f64) -> String {
    format!("{} mm [{}]", millimetres(metres), fraction(metres)).replace(' ', "\u{a0}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_in_both_measures() {
        let sleeve = label("", 2.6875 * INCH, Some(INCH / 64.0), false);
        // 2 11/16 in = 68.2625 mm; 1/64 in = 0.396875 mm, never written looser.
        assert_eq!(sleeve.metric, "68.26 ± 0.39");
        assert_eq!(sleeve.inch, "[2.6875 ± 0.0156 = 2 11/16 in]");
        let round = label("Ø ", 12.2e-3, None, true);
        assert_eq!(round.metric, "Ø 12.20 *");
        assert_eq!(round.inch, "[0.4803 ≈ 31/64 in]");
        // 22.225 mm and 0.65625 in lie half-way.
        assert_eq!(millimetres(0.875 * INCH), "22.23");
        assert_eq!(decimal_inches(21.0 / 32.0 * INCH), "0.6563");
        assert_eq!(decimal_inches(0.0), "0");
        assert_eq!(millimetres(floor_to(0.02e-3, 1e-5)), "0.02");
    }
}
