//! Lengths that an owner can measure: whole steps of a rule.

use latchstroke_scenario::Unit;

/// About how many lengths a sweep takes.
const WANTED: f64 = 13.0;
/// Steps of a rule in inches, m.
const INCH_STEPS: [f64; 7] =
    [0.0254 / 64.0, 0.0254 / 32.0, 0.0254 / 16.0, 0.0254 / 8.0, 0.0254 / 4.0, 0.0254 / 2.0, 0.0254];
/// Steps of a rule in millimetres, m.
const METRIC_STEPS: [f64; 8] = [0.1e-3, 0.2e-3, 0.5e-3, 1e-3, 2e-3, 5e-3, 10e-3, 20e-3];

/// About thirteen lengths (m) from `from` to `to` (m), each a whole number of steps on a rule in `unit`; the two ends where no
/// step falls between them.
pub fn lengths(unit: &Unit, from: f64, to: f64) -> Vec<f64> {
    let steps: &[f64] = if unit.symbol == "in" { &INCH_STEPS } else { &METRIC_STEPS };
    // A millionth of a step lets a length count that is on the rule but for rounding.
    let first = |step: f64| (from / step - 1e-6).ceil();
    let count = |step: f64| (to / step + 1e-6).floor() - first(step) + 1.0;
    let off = |step: f64| (count(step) - WANTED).abs();
    let Some(step) = steps.iter().copied().min_by(|&a, &b| off(a).total_cmp(&off(b))) else {
        return vec![from, to];
    };
    let mut all = Vec::new();
    // Whole numbers of steps, so that no error adds up. A range far wider than the coarsest step is cut short of nonsense.
    let mut n = first(step);
    while n * step <= to + 1e-6 * step && all.len() < 200 {
        all.push((n * step).clamp(from, to));
        n += 1.0;
    }
    if all.is_empty() { vec![from, to] } else { all }
}

#[cfg(test)]
mod tests {
    use super::*;
    use latchstroke_scenario::Dimension;

    fn unit(symbol: &str) -> &'static Unit {
        Dimension::Length.find(symbol).unwrap()
    }

    #[test]
    fn steps_of_a_rule_lie_within_the_range() {
        let inch = 0.0254;
        let all = lengths(unit("in"), 2.009 * inch, 2.9375 * inch);
        assert_eq!(all.len(), 15);
        assert!((all[0] - 2.0625 * inch).abs() < 1e-12 && (all[14] - 2.9375 * inch).abs() < 1e-12);
        let metric = lengths(unit("mm"), 0.051, 0.0746);
        assert_eq!(metric.len(), 12);
        assert!((metric[0] - 0.052).abs() < 1e-12);
    }

    #[test]
    fn a_range_between_two_marks_gives_its_ends() {
        assert_eq!(lengths(unit("mm"), 0.05001, 0.05004), [0.05001, 0.05004]);
    }
}
