//! The units an owner thinks in, taken from the scenario's own values, and figures written in them to what they are worth.

mod figures;

pub use figures::{
    Outward, milliseconds, on_the_rule, outward, percent, rounded, significant, stated_in, with_symbol,
};

use latchstroke_core::studies::judge::Acceptance;
use latchstroke_core::studies::judge::Cast;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::cam::CamStatement;
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::MouldStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::rod::RodStatement;
use latchstroke_models::vent::VentStatement;
use latchstroke_scenario::key;
use latchstroke_scenario::quantity::trimmed;
use latchstroke_scenario::{Dimension, Item, Origin, Quantity, Scenario, Unit};

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
        let cam = given(key!(CamStatement::Law, lift)).or_else(|| {
            scenario.readings(key!(CamStatement::Measured, 0)).first().map(|(_, lift)| lift.unit)
        });
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
            rod: own(&[key!(AbutmentStatement, sleeve), key!(AbutmentStatement, bare_clearance)], lift),
            body: own(&[key!(Sort, body)], Dimension::Length.find("pt").unwrap_or(lift)),
            force: of(Dimension::Force, &[key!(RodStatement, friction), key!(MouldStatement, hold_down)]),
            pressure: system.unit(Dimension::Pressure),
            speed: system.unit(Dimension::Speed),
            pace: own(&[key!(Cast, pace)], system.unit(Dimension::Pace)),
            volume: of(Dimension::Volume, &[key!(MouldStatement, priming_volume)]),
            area: of(Dimension::Area, &[key!(VentStatement::Area, 0)]),
            temperature: of(Dimension::Temperature, &[key!(MetalStatement, pot_temperature)]),
            fine: system.fine(),
            skin: own(&[key!(Acceptance, skin)], system.fine()),
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

    /// The largest type size that does, to three figures and never rounded up to one that does not.
    pub fn size_up_to(&self, metres: f64) -> String {
        outward(self.body, metres, f64::INFINITY, (0.0, metres), 3).text
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

    /// The value of a key without its tolerance, as [`Self::stated_alone`]; an assumed one, which nobody wrote in any unit, in the owner's
    /// own. None of a key that holds no single value.
    pub fn told(&self, item: &Item) -> Option<String> {
        let quantity = item.single()?;
        Some(match item.assumed() {
            Some(_) => rounded(self.unit_of_assumed(quantity), quantity.si, 3),
            None => self.stated_alone(quantity),
        })
    }

    /// The unit in which an owner is told a value that is assumed.
    pub fn unit_of_assumed(&self, quantity: &Quantity) -> &'static Unit {
        match quantity.dimension {
            Dimension::Temperature => self.temperature,
            _ if self.asked.is_some() => self.unit_of(quantity),
            Dimension::Length => self.system.of_size(Dimension::Length, quantity.si),
            Dimension::Force => self.force,
            Dimension::Volume => self.volume,
            _ => quantity.unit,
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
