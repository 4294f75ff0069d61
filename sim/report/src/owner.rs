//! The units an owner thinks in, taken from the scenario's own values.

use latchstroke_scenario::quantity::{decimals, format_in, trimmed};
use latchstroke_scenario::{Dimension, Origin, Scenario, Unit};

/// A system of measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// Millimetres, newtons, degrees Celsius.
    Metric,
    /// Inches, pounds-force, degrees Fahrenheit.
    Inch,
}

/// One unit for each kind of figure in a report.
#[derive(Debug, Clone, Copy)]
pub struct OwnerUnits {
    /// Lifts and travels: as the cam's lift was written.
    pub lift: &'static Unit,
    /// Lengths along the rod: as the sleeve was written, or else the clearance it fills.
    pub rod: &'static Unit,
    /// Type sizes: as the body was written.
    pub body: &'static Unit,
    /// Forces: as the friction was written.
    pub force: &'static Unit,
    /// Pressures: psi beside inches, else MPa.
    pub pressure: &'static Unit,
    /// Piston and jet speeds: in/s beside inches, else m/s.
    pub speed: &'static Unit,
    /// Paces: as the pace was written.
    pub pace: &'static Unit,
    /// Volumes: as the priming volume was written.
    pub volume: &'static Unit,
    /// Areas: as that of the vents was written, where it was.
    pub area: &'static Unit,
    /// Temperatures: as the pot's was written.
    pub temperature: &'static Unit,
    /// Fine lengths such as the skin: thousandths beside inches, else mm.
    pub fine: &'static Unit,
}

impl OwnerUnits {
    /// The units of a scenario.
    pub fn of(scenario: &Scenario) -> Self {
        let written = |path: &str, dimension: Dimension| {
            scenario.quantity(path).map_or(&dimension.units().si, |quantity| quantity.unit)
        };
        let lift = scenario
            .quantity("cam.lift")
            .or_else(|| scenario.readings("cam.readings").first().map(|(_, lift)| lift))
            .map_or(&Dimension::Length.units().si, |quantity| quantity.unit);
        let inches = lift.symbol == "in";
        let named = |dimension: Dimension, inch: &str, metric: &str| {
            dimension.find(if inches { inch } else { metric }).unwrap_or(&dimension.units().si)
        };
        let given = |path: &str| {
            let stated = scenario.item(path).is_some_and(|item| matches!(item.origin, Origin::Given(_)));
            scenario.quantity(path).filter(|_| stated).map(|quantity| quantity.unit)
        };
        Self {
            lift,
            rod: given("stack.sleeve").or_else(|| given("stack.bare_clearance")).unwrap_or(lift),
            body: written("job.body", Dimension::Length),
            force: written("rod.friction", Dimension::Force),
            pressure: named(Dimension::Pressure, "psi", "MPa"),
            speed: named(Dimension::Speed, "in/s", "m/s"),
            pace: written("job.pace", Dimension::Pace),
            volume: written("mould.priming_volume", Dimension::Volume),
            area: written("mould.vent_area", Dimension::Area),
            temperature: written("metal.pot_temperature", Dimension::Temperature),
            fine: named(Dimension::Length, "thou", "mm"),
        }
    }

    /// The same, with metric or inch measures throughout. Type sizes and paces stay in the owner's units: type is sized in points
    /// in both systems.
    #[must_use]
    pub fn throughout(self, system: System) -> Self {
        let named = |dimension: Dimension, metric: &str, inch: &str| {
            let symbol = match system {
                System::Metric => metric,
                System::Inch => inch,
            };
            dimension.find(symbol).unwrap_or(&dimension.units().si)
        };
        Self {
            lift: named(Dimension::Length, "mm", "in"),
            rod: named(Dimension::Length, "mm", "in"),
            force: named(Dimension::Force, "N", "lbf"),
            pressure: named(Dimension::Pressure, "MPa", "psi"),
            speed: named(Dimension::Speed, "m/s", "in/s"),
            volume: named(Dimension::Volume, "cm³", "in³"),
            temperature: named(Dimension::Temperature, "°C", "°F"),
            fine: named(Dimension::Length, "mm", "thou"),
            area: named(Dimension::Area, "mm²", "in²"),
            ..self
        }
    }

    /// A type size: "14 pt".
    pub fn size(&self, metres: f64) -> String {
        format!("{} {}", trimmed(significant(self.body.from_si(metres), 4)), self.body.symbol)
    }

    /// A pace: "40 turns/min".
    pub fn turns(&self, per_second: f64) -> String {
        format!("{} {}", self.turns_figure(per_second), self.pace.symbol)
    }

    /// A pace's figure alone: "40".
    pub fn turns_figure(&self, per_second: f64) -> String {
        trimmed(significant(self.pace.from_si(per_second), 3))
    }
}

/// An SI value in `unit` to `figures` significant figures, with its symbol.
pub fn rounded(unit: &Unit, si: f64, figures: usize) -> String {
    let value = unit.from_si(si);
    if value == 0.0 {
        return format_in(unit, si);
    }
    with_symbol(significant(value, figures), unit)
}

/// A figure with the symbol of its unit.
fn with_symbol(number: String, unit: &Unit) -> String {
    match unit.symbol {
        "" => number,
        // By custom the degree sign stands close to its figures.
        "°" => number + "°",
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
    if value == 0.0 {
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

/// A share as a percentage to three figures: "12.5 %".
pub fn percent(share: f64) -> String {
    format!("{} %", significant(share * 100.0, 3))
}

#[cfg(test)]
mod tests {
    use super::*;

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
