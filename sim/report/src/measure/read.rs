//! How closely a value is read, and in which unit.

use super::super::owner::{OwnerUnits, significant, with_symbol};
use super::percent;
use latchstroke_core::studies::measure::Reading;
use latchstroke_scenario::catalogue::bench::Measured;
use latchstroke_scenario::catalogue::{self, Entry};
use latchstroke_scenario::quantity::trimmed;
use latchstroke_scenario::{Dimension, Origin, Quantity, Scenario, Unit};

/// The entry of a full key, which may be of one of several springs.
pub(super) fn entry_of(path: &str) -> Option<(&'static catalogue::Section, &'static Entry)> {
    let (section, key) = path.split_once('.')?;
    catalogue::entry(&format!("{}.{key}", section.split('[').next()?))
}

pub(super) fn entry(path: &str) -> Option<&'static Entry> {
    entry_of(path).map(|(_, entry)| entry)
}

/// The unit in which a value is to be read: its owner's where he has written one, else that of its kind in his system.
pub(super) fn unit(
    scenario: &Scenario,
    path: &str,
    entry: &'static Entry,
    units: &OwnerUnits,
) -> &'static Unit {
    let item = scenario.item(path);
    let written =
        scenario.quantity(path).filter(|_| item.is_some_and(|i| matches!(i.origin, Origin::Given(_))));
    if let Some(quantity) = written {
        return units.unit_of(quantity);
    }
    let dimension = entry.kind.dimension().unwrap_or(Dimension::Ratio);
    match dimension {
        Dimension::Temperature => units.temperature,
        Dimension::Force => units.force,
        Dimension::Volume => units.volume,
        Dimension::Area => units.area,
        _ => {
            let about = Quantity::parse(entry.example, dimension).map_or(f64::INFINITY, |about| about.si);
            units.system.of_size(dimension, about)
        }
    }
}

/// "± 5 °C", or "± 3 %" of what is read.
pub(super) fn within(
    scenario: &Scenario,
    path: &str,
    entry: &'static Entry,
    measured: &Measured,
    units: &OwnerUnits,
) -> String {
    match measured.reading(entry.kind) {
        Some(Reading::Within(half)) => {
            let unit = unit(scenario, path, entry, units);
            format!("± {}", with_symbol(step(unit, half), unit))
        }
        Some(Reading::Share(share)) => format!("± {}", percent(share)),
        None => String::new(),
    }
}

/// The size of a step (SI) in a unit, to one figure: no tool's accuracy is known more closely.
pub(super) fn step(unit: &Unit, half: f64) -> String {
    trimmed(significant(unit.from_si(half) - unit.from_si(0.0), 1))
}
