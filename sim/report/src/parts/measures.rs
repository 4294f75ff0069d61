//! Lengths as a workshop writes them: millimetres, inches in decimals, and the nearest sixty-fourth.

use crate::owner::{OwnerUnits, System};
use latchstroke_plots::drawing::Label;
use latchstroke_scenario::quantity::{nearest_64th, trimmed};

const INCH: f64 = 0.0254;
/// Nearer than this to a sixty-fourth, m, a length is that fraction.
const EXACT: f64 = 1e-6;

/// The systems that lengths are written in, the owner's own first: one where one is asked for, else both.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measures {
    first: System,
    second: Option<System>,
}

impl Measures {
    /// Those of an owner.
    pub fn of(units: &OwnerUnits) -> Self {
        let other = if units.system == System::Inch { System::Metric } else { System::Inch };
        Self { first: units.system, second: units.asked.is_none().then_some(other) }
    }

    /// In their order.
    pub fn systems(self) -> impl Iterator<Item = System> {
        std::iter::once(self.first).chain(self.second)
    }

    /// Whether inches come first.
    pub fn in_inches(self) -> bool {
        self.first == System::Inch
    }

    /// What the drawing's dimensions are in: "mm, [inches]".
    pub fn words(self) -> String {
        let name = |system| if system == System::Inch { "inches" } else { "mm" };
        self.second
            .map_or(name(self.first).to_owned(), |second| format!("{}, [{}]", name(self.first), name(second)))
    }

    /// A length with its unit in the first system: "68.26 mm", "2.6875 in".
    pub fn length(self, metres: f64) -> String {
        with_unit(self.first, metres)
    }

    /// A small length that need not be close, such as a chamfer, in the first system: "0.5 mm", "0.02 in".
    pub fn rough(self, metres: f64) -> String {
        match self.first {
            System::Metric => format!("{:.1}\u{a0}mm", 1e3 * metres),
            System::Inch => format!("{:.2}\u{a0}in", metres / INCH),
        }
    }

    /// A half-width, never rounded up: "± 0.39 mm".
    pub fn half_width(self, metres: f64) -> String {
        format!("± {}", self.length(floored(self.first, metres)))
    }

    /// What lengths keep that state no tolerance.
    pub fn general(self) -> String {
        let of = |system| if system == System::Inch { "± 0.008 in" } else { "± 0.2 mm" };
        self.systems().map(of).collect::<Vec<_>>().join(", ")
    }

    /// A length within a sentence: "15.88 mm [5/8 in]", with no break between figures and unit.
    pub fn inline(self, metres: f64) -> String {
        let text = match (self.first, self.second) {
            (first, None) => with_unit(first, metres),
            (System::Metric, Some(_)) => format!("{} mm [{}]", millimetres(metres), fraction(metres)),
            (System::Inch, Some(_)) => format!("{} [{} mm]", rule_or_decimal(metres), millimetres(metres)),
        };
        text.replace(' ', "\u{a0}")
    }

    /// A length with its tolerance for a drawing, marked where it was assumed.
    pub fn label(self, before: &str, metres: f64, half_width: Option<f64>, assumed: bool) -> Label {
        let star = if assumed { " *" } else { "" };
        let figures = |system: System| {
            let of =
                |metres| if system == System::Inch { decimal_inches(metres) } else { millimetres(metres) };
            let half =
                half_width.map_or_else(String::new, |half| format!(" ± {}", of(floored(system, half))));
            of(metres) + &half
        };
        let equals = if is_fraction(metres) { "=" } else { "≈" };
        let on_rule = format!("{equals} {}", nearest_64th(metres));
        let (upper, lower) = match (self.first, self.second) {
            (System::Metric, None) => (figures(System::Metric), String::new()),
            (System::Metric, Some(_)) => {
                (figures(System::Metric), format!("[{} {on_rule}]", figures(System::Inch)))
            }
            (System::Inch, None) => (figures(System::Inch), on_rule),
            (System::Inch, Some(_)) => {
                (figures(System::Inch), format!("[{on_rule}; {} mm]", figures(System::Metric)))
            }
        };
        Label { upper: format!("{before}{upper}{star}"), lower }
    }
}

fn with_unit(system: System, metres: f64) -> String {
    match system {
        System::Metric => format!("{} mm", millimetres(metres)),
        System::Inch => format!("{} in", decimal_inches(metres)),
    }
}

/// A half-width in whole steps of what is written, rounded down.
fn floored(system: System, metres: f64) -> f64 {
    floor_to(metres, if system == System::Inch { 1e-4 * INCH } else { 1e-5 })
}

/// Millimetres with two decimals; halves, which inches often give, go up.
pub(super) fn millimetres(metres: f64) -> String {
    format!("{:.2}", (metres * 1e5 + 1e-6).round() / 100.0)
}

/// Inches with four decimals at most; halves go up.
pub(super) fn decimal_inches(metres: f64) -> String {
    trimmed(format!("{:.4}", (metres / INCH * 1e4 + 1e-6).round() / 1e4))
}

/// The nearest sixty-fourth of an inch; "≈" before it unless it is exact.
pub(super) fn fraction(metres: f64) -> String {
    let text = nearest_64th(metres);
    if is_fraction(metres) { text } else { format!("≈ {text}") }
}

fn rule_or_decimal(metres: f64) -> String {
    if is_fraction(metres) { nearest_64th(metres) } else { with_unit(System::Inch, metres) }
}

fn is_fraction(metres: f64) -> bool {
    let step = INCH / 64.0;
    (metres - (metres / step).round() * step).abs() < EXACT
}

/// A value in whole steps of `step`, rounded down.
fn floor_to(value: f64, step: f64) -> f64 {
    // A hair below a whole step, from arithmetic, is that step.
    (value / step + 1e-6).floor() * step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_in_one_measure_or_both() {
        let of = |first, second| Measures { first, second };
        let (metric, inch) = (System::Metric, System::Inch);
        let label = |of: Measures, metres, half| {
            let label = of.label("", metres, half, false);
            (label.upper, label.lower)
        };
        let said = |upper: &str, lower: &str| (upper.to_owned(), lower.to_owned());
        // 2 11/16 in = 68.2625 mm; 1/64 in = 0.396875 mm, never written looser.
        let (sleeve, half) = (2.6875 * INCH, Some(INCH / 64.0));
        assert_eq!(
            label(of(metric, Some(inch)), sleeve, half),
            said("68.26 ± 0.39", "[2.6875 ± 0.0156 = 2 11/16 in]")
        );
        assert_eq!(
            label(of(inch, Some(metric)), sleeve, half),
            said("2.6875 ± 0.0156", "[= 2 11/16 in; 68.26 ± 0.39 mm]")
        );
        assert_eq!(label(of(inch, None), sleeve, half), said("2.6875 ± 0.0156", "= 2 11/16 in"));
        assert_eq!(label(of(metric, None), sleeve, half), said("68.26 ± 0.39", ""));
        let round = of(metric, Some(inch)).label("Ø ", 12.2e-3, None, true);
        assert_eq!((&*round.upper, &*round.lower), ("Ø 12.20 *", "[0.4803 ≈ 31/64 in]"));
        // 22.225 mm and 0.65625 in lie half-way.
        assert_eq!(millimetres(0.875 * INCH), "22.23");
        assert_eq!(decimal_inches(21.0 / 32.0 * INCH), "0.6563");
        assert_eq!(decimal_inches(0.0), "0");
        assert_eq!(of(metric, None).half_width(0.02e-3), "± 0.02 mm");
        assert_eq!(of(inch, Some(metric)).general(), "± 0.008 in, ± 0.2 mm");
    }
}
