//! The units an owner thinks in, taken from the scenario's own values, and figures written in them to what they are worth.

use latchstroke_scenario::quantity::{decimals, nearest_64th, trimmed};
use latchstroke_scenario::{Dimension, Origin, Quantity, Scenario, Unit};

pub use latchstroke_scenario::quantity::System;

/// One unit for each kind of figure in a report.
#[derive(Debug, Clone, Copy)]
pub struct OwnerUnits {
    /// The system asked for, if one is: nothing is then told in the other.
    pub asked: Option<System>,
    /// The system of what has no unit of its own here: that asked for, or that of the cam's lift.
    pub system: System,
    /// Lifts and travels: as the cam's lift was written.
    pub lift: &'static Unit,
    /// Lengths along the rod: as the sleeve was written, or else the clearance it fills.
    pub rod: &'static Unit,
    /// Type sizes: as the body was written, in both systems.
    pub body: &'static Unit,
    /// Forces: as the friction or the hold-down was written.
    pub force: &'static Unit,
    /// Pressures: psi beside inches, else MPa.
    pub pressure: &'static Unit,
    /// Piston and jet speeds: in/s beside inches, else m/s.
    pub speed: &'static Unit,
    /// Paces: as the pace was written, in both systems.
    pub pace: &'static Unit,
    /// Volumes: as the priming volume was written.
    pub volume: &'static Unit,
    /// Areas: as that of the vents was written, where it was.
    pub area: &'static Unit,
    /// Temperatures: as the pot's was written.
    pub temperature: &'static Unit,
    /// Fine lengths such as vents: thousandths beside inches, else mm.
    pub fine: &'static Unit,
    /// Thicknesses of skin: as the accepted one was written.
    pub skin: &'static Unit,
}

impl OwnerUnits {
    /// The units of a scenario as it is written.
    pub fn of(scenario: &Scenario) -> Self {
        Self::asked(scenario, None)
    }

    /// The units of a scenario, or of one system throughout where one is asked for.
    pub fn asked(scenario: &Scenario, asked: Option<System>) -> Self {
        let given = |path: &str| {
            let stated = scenario.item(path).is_some_and(|item| matches!(item.origin, Origin::Given(_)));
            scenario.quantity(path).filter(|_| stated).map(|quantity| quantity.unit)
        };
        let cam = given("cam.lift")
            .or_else(|| scenario.readings("cam.readings").first().map(|(_, lift)| lift.unit));
        let system = asked.or_else(|| System::of(cam?)).unwrap_or(System::Metric);
        let own = |paths: &[&str], otherwise: &'static Unit| {
            let written = paths.iter().find_map(|path| given(path));
            written.filter(|unit| asked.is_none() || System::of(unit).is_none()).unwrap_or(otherwise)
        };
        let of = |dimension: Dimension, paths: &[&str]| own(paths, system.unit(dimension));
        let lift = if asked.is_some() { None } else { cam }.unwrap_or(system.unit(Dimension::Length));
        Self {
            asked,
            system,
            lift,
            rod: own(&["stack.sleeve", "stack.bare_clearance"], lift),
            body: own(&["job.body"], Dimension::Length.find("pt").unwrap_or(lift)),
            force: of(Dimension::Force, &["rod.friction", "mould.hold_down"]),
            pressure: system.unit(Dimension::Pressure),
            speed: system.unit(Dimension::Speed),
            pace: own(&["job.pace"], system.unit(Dimension::Pace)),
            volume: of(Dimension::Volume, &["mould.priming_volume"]),
            area: of(Dimension::Area, &["mould.vent_area"]),
            temperature: of(Dimension::Temperature, &["metal.pot_temperature"]),
            fine: system.fine(),
            skin: own(&["job.accepted_skin"], system.fine()),
        }
    }

    /// A figure of a dimension for which nothing in a scenario says the unit, to three figures.
    pub fn figure(&self, dimension: Dimension, si: f64) -> String {
        rounded(self.system.unit(dimension), si, 3)
    }

    /// A lift or travel (m), to three figures.
    pub fn lift(&self, si: f64) -> String {
        rounded(self.lift, si, 3)
    }

    /// A force (N), to three figures.
    pub fn force(&self, si: f64) -> String {
        rounded(self.force, si, 3)
    }

    /// A speed (m/s), to three figures.
    pub fn speed(&self, si: f64) -> String {
        rounded(self.speed, si, 3)
    }

    /// A pressure or stress (Pa), to three figures.
    pub fn pressure(&self, si: f64) -> String {
        rounded(self.pressure, si, 3)
    }

    /// A temperature (K), to three figures.
    pub fn temperature(&self, si: f64) -> String {
        rounded(self.temperature, si, 3)
    }

    /// A length along the rod (m): as read off a rule where it lies on it, else to a tenth of a millimetre or a hundredth of an
    /// inch.
    pub fn along(&self, si: f64) -> String {
        let decimals = match self.rod.symbol {
            "mm" => 1,
            "in" => 2,
            _ => 4,
        };
        let told = || {
            with_symbol(format!("{:.decimals$}", self.rod.from_si(si)).replacen('-', "\u{2212}", 1), self.rod)
        };
        on_the_rule(self.rod, si).unwrap_or_else(told)
    }

    /// A volume (m³), to three figures.
    pub fn volume(&self, si: f64) -> String {
        rounded(self.volume, si, 3)
    }

    /// Work done by springs (J), to three figures.
    pub fn energy(&self, si: f64) -> String {
        self.figure(Dimension::Energy, si)
    }

    /// The energy of a blow (J), to two figures.
    pub fn blow(&self, si: f64) -> String {
        rounded(self.system.unit(Dimension::Energy), si, 2)
    }

    /// Heat (J), to three figures: J or Btu.
    pub fn heat(&self, si: f64) -> String {
        match Dimension::Energy.find("Btu").filter(|_| self.system == System::Inch) {
            Some(btu) => rounded(btu, si, 3),
            None => self.energy(si),
        }
    }

    /// A thickness of skin (m), to three figures at most: one that is asked for comes back as it was written.
    pub fn skin(&self, si: f64) -> String {
        with_symbol(trimmed(significant(self.skin.from_si(si), 3)), self.skin)
    }

    /// A type size: "14 pt".
    pub fn size(&self, metres: f64) -> String {
        stated_in(self.body, metres)
    }

    /// A pace: "40 turns/min".
    pub fn turns(&self, per_second: f64) -> String {
        with_symbol(self.turns_figure(per_second), self.pace)
    }

    /// A pace's figure alone: "40".
    pub fn turns_figure(&self, per_second: f64) -> String {
        trimmed(significant(self.pace.from_si(per_second), 3))
    }

    /// A value as its owner wrote it, fractions, tolerance and all; in the system asked for where that is the other.
    pub fn stated(&self, quantity: &Quantity) -> String {
        let Some(unit) = self.other(quantity) else { return quantity.text.clone() };
        let figure = |value: f64, figures| trimmed(significant(value, figures));
        let tolerance = quantity.tolerance_si.map_or_else(String::new, |half| {
            format!(" ± {}", figure(unit.from_si(quantity.si + half) - unit.from_si(quantity.si), 2))
        });
        with_symbol(figure(unit.from_si(quantity.si), 4) + &tolerance, unit)
    }

    /// The same without its tolerance.
    pub fn stated_alone(&self, quantity: &Quantity) -> String {
        let text = quantity.text.replace("+/-", "±");
        let text = text.split('±').next().unwrap_or_default().trim();
        let is_fraction = text.contains('/') && quantity.dimension == Dimension::Length;
        match self.other(quantity) {
            None if is_fraction => text.replace('-', " "),
            unit => stated_in(unit.unwrap_or(quantity.unit), quantity.si),
        }
    }

    /// The half-width of a value's tolerance as its owner wrote it, or in the system asked for; none where it has none.
    pub fn tolerance(&self, quantity: &Quantity) -> Option<String> {
        let half = quantity.tolerance_si?;
        let text = quantity.text.replace("+/-", "±");
        let (_, written) = text.split_once('±')?;
        let written = written.trim();
        match self.other(quantity) {
            Some(_) => Some(rounded(self.asked?.of_size(quantity.dimension, half), half, 2)),
            None if written.ends_with(|c: char| c.is_ascii_digit()) => {
                Some(format!("{written} {}", quantity.unit.symbol))
            }
            None => Some(written.to_owned()),
        }
    }

    /// The unit in which a value is told: its owner's, or one of the system asked for.
    pub fn unit_of(&self, quantity: &Quantity) -> &'static Unit {
        self.other(quantity).unwrap_or(quantity.unit)
    }

    /// The unit in which a value must be told that was written in the system not asked for.
    fn other(&self, quantity: &Quantity) -> Option<&'static Unit> {
        let asked = self.asked.filter(|&asked| System::of(quantity.unit).is_some_and(|own| own != asked))?;
        Some(asked.of_size(quantity.dimension, quantity.si))
    }
}

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
fn with_symbol(number: String, unit: &Unit) -> String {
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
