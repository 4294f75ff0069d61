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

    /// A half-width, never rounded up: "± 0.39 mm".
    pub fn half_width(self, metres: f64) -> String {
        format!("± {}", self.length(floored(self.first, metres)))
    }

    /// What sizes keep that state no tolerance: class m of ISO 2768-1, which ISO 22081 leaves for sizes; in inches by the number of
    /// decimals, as is the custom beside ASME Y14.5.
    pub fn general(self) -> String {
        match self.first {
            System::Metric => "ISO 2768-m".to_owned(),
            System::Inch => ".xx ± .01, .xxx ± .005; angles ± 1°".to_owned(),
        }
    }

    /// Roughness Ra of a seat or a bearing face, and of all others.
    pub fn roughness(self) -> (&'static str, &'static str) {
        match self.first {
            System::Metric => ("Ra\u{a0}1.6", "Ra\u{a0}3.2\u{a0}µm"),
            System::Inch => ("Ra\u{a0}63", "Ra\u{a0}125\u{a0}µin"),
        }
    }

    /// A length in words on a drawing, whose block states the unit: "13.20 [.520]".
    pub fn drawn(self, metres: f64) -> String {
        let second = self.second.map(|second| format!(" [{}]", figure(second, metres, false)));
        let text = figure(self.first, metres, false) + &second.unwrap_or_default();
        text.replace(' ', "\u{a0}")
    }

    /// One that need not be close, such as a chamfer's: "0.5", ".02".
    pub fn drawn_roughly(self, metres: f64) -> String {
        match self.first {
            System::Metric => format!("{:.1}", 1e3 * metres),
            System::Inch => bare(&format!("{:.2}", metres / INCH)),
        }
    }

    /// A tolerance of geometry, m: "0.05", ".002".
    pub fn zone(self, metres: f64) -> String {
        match self.first {
            System::Metric => trimmed(format!("{:.2}", 1e3 * metres)),
            System::Inch => bare(&format!("{:.3}", metres / INCH)),
        }
    }

    /// A length for a drawing, with its tolerance or by the general ones, marked where it was assumed.
    pub fn label(self, before: &str, metres: f64, half_width: Option<f64>, assumed: bool) -> Label {
        let star = if assumed { " *" } else { "" };
        let figures = |system: System| {
            let size = figure(system, metres, half_width.is_some());
            half_width.map_or(size.clone(), |half| {
                format!("{size} ± {}", figure(system, floored(system, half), true))
            })
        };
        let lower = self.second.map(|second| format!("[{}]", figures(second)));
        Label { upper: format!("{before}{}{star}", figures(self.first)), lower: lower.unwrap_or_default() }
    }

    /// A reference dimension: the sum of others as they are written, and so never off it. Each is a length, and whether it states a
    /// tolerance.
    pub fn sum(self, lengths: &[(f64, bool)]) -> Label {
        let figures = |system: System| {
            let all = lengths.iter().map(|&(metres, fine)| written(system, metres, fine));
            let fine = lengths.iter().any(|&(_, fine)| fine);
            figure(system, all.sum::<f64>(), fine)
        };
        let lower = self.second.map(|second| format!("[{}]", figures(second)));
        Label { upper: format!("({})", figures(self.first)), lower: lower.unwrap_or_default() }
    }

    /// A diameter with its class of ISO 286, or its limits in inches; `above` and `below` are how far it may be off, m.
    pub fn fit(self, metres: f64, (class, above, below): (&str, f64, f64), assumed: bool) -> Label {
        let star = if assumed { " *" } else { "" };
        let off = |system: System| {
            let of = |sign: &str, si: f64| match system {
                _ if si <= 0.0 => "0".to_owned(),
                System::Metric => format!("{sign}{:.3}", 1e3 * si),
                System::Inch => format!("{sign}{}", figure(system, si, true)),
            };
            format!("{} / {}", of("+", above), of("−", below))
        };
        let size = figure(self.first, metres, true);
        let upper = match self.first {
            System::Metric => format!("Ø {size} {class}{star}"),
            System::Inch => format!("Ø {size}{star}"),
        };
        let second = self.second.map(|second| format!(" [{} {}]", figure(second, metres, true), off(second)));
        Label { upper, lower: off(self.first) + &second.unwrap_or_default() }
    }
}

/// A length as it is rounded on a drawing, m; halves, which inches often give, go up. A fine one states its tolerance.
fn written(system: System, metres: f64, fine: bool) -> f64 {
    let step = match (system, fine) {
        (System::Metric, _) => 1e-5,
        (System::Inch, true) => 1e-4 * INCH,
        (System::Inch, false) => 1e-3 * INCH,
    };
    (metres / step + 1e-6).round() * step
}

/// Its figure: millimetres with two decimals; inches with as many as their tolerance asks for and no nought before the point.
fn figure(system: System, metres: f64, fine: bool) -> String {
    let metres = written(system, metres, fine);
    match (system, fine) {
        (System::Metric, _) => format!("{:.2}", 1e3 * metres),
        (System::Inch, true) => bare(&format!("{:.4}", metres / INCH)),
        (System::Inch, false) => bare(&format!("{:.3}", metres / INCH)),
    }
}

/// Without a nought before the point.
fn bare(figure: &str) -> String {
    figure.strip_prefix('0').unwrap_or(figure).to_owned()
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
        // 2 11/16 in = 68.2625 mm; 0.1 mm = 0.003937 in, never written looser.
        let (sleeve, half) = (2.6875 * INCH, Some(0.1e-3));
        assert_eq!(label(of(metric, Some(inch)), sleeve, half), said("68.26 ± 0.10", "[2.6875 ± .0039]"));
        assert_eq!(label(of(inch, Some(metric)), sleeve, half), said("2.6875 ± .0039", "[68.26 ± 0.10]"));
        assert_eq!(label(of(inch, None), sleeve, half), said("2.6875 ± .0039", ""));
        assert_eq!(label(of(metric, None), sleeve, half), said("68.26 ± 0.10", ""));
        let round = of(metric, Some(inch)).label("Ø ", 12.2e-3, None, true);
        assert_eq!((&*round.upper, &*round.lower), ("Ø 12.20 *", "[.480]"));
        // 22.225 mm and 0.65625 in lie half-way.
        assert_eq!(millimetres(0.875 * INCH), "22.23");
        assert_eq!(decimal_inches(21.0 / 32.0 * INCH), "0.6563");
        assert_eq!(decimal_inches(0.0), "0");
        assert_eq!(of(metric, None).half_width(0.02e-3), "± 0.02 mm");
        // 16.384 mm + 47.627 mm = 64.011 mm, but 16.38 + 47.63 = 64.01.
        let sum = of(metric, None).sum(&[(16.384e-3, false), (47.627e-3, true)]);
        assert_eq!(sum.upper, "(64.01)");
        let sum = of(inch, None).sum(&[(0.65625 * INCH, false), (2.6875 * INCH, true)]);
        // 0.65625 in is written .656.
        assert_eq!(sum.upper, "(3.3435)");
        let fit = of(metric, Some(inch)).fit(13.1e-3, ("H11", 0.11e-3, 0.0), false);
        assert_eq!((&*fit.upper, &*fit.lower), ("Ø 13.10 H11", "+0.110 / 0 [.5157 +.0043 / 0]"));
        let fit = of(inch, None).fit(0.6875 * INCH, ("h9", 0.0, 0.043e-3), true);
        assert_eq!((&*fit.upper, &*fit.lower), ("Ø .6875 *", "0 / −.0017"));
    }
}
