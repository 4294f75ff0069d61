//! What can be measured at the bench, and how: tool, place, accuracy, time, and what to beware of.
//!
//! One entry for each key; a key that has none cannot be measured with what a workshop has. Accuracies and times are common practice,
//! no source. Texts name no unit of one system, since they are told beside values in either.

mod drive;
mod pump;

use super::Kind;
use crate::quantity::{Dimension, Quantity};
use latchstroke_core::studies::measure::Reading;

/// A place of the machine at which things are measured; its number stands on the drawing of the worksheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::VariantArray)]
pub enum Place {
    /// The pump cam and the main shaft it sits on.
    Cam,
    /// The cross block.
    CrossBlock,
    /// The springs.
    Springs,
    /// The abutment, on which the springs stand.
    Abutment,
    /// The sleeve under it.
    Sleeve,
    /// What has been added to the rod.
    Extension,
    /// The rod nut.
    Nut,
    /// The prongs of the latch.
    Prongs,
    /// The spring rod.
    Rod,
    /// The pump lever.
    Lever,
    /// The piston.
    Piston,
    /// The port through which the well fills.
    Port,
    /// Well and pot.
    Well,
    /// The channel.
    Channel,
    /// The nozzle.
    Nozzle,
    /// The mould.
    Mould,
    /// The matrix and the slit round it.
    Matrix,
}

impl Place {
    /// Every place in the order of the numbers.
    pub const ALL: &[Self] = <Self as strum::VariantArray>::VARIANTS;

    /// Its number on the drawing, from 1.
    pub fn number(self) -> usize {
        self as usize + 1
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Cam => "pump cam and shaft",
            Self::CrossBlock => "cross block",
            Self::Springs => "spring",
            Self::Abutment => "abutment",
            Self::Sleeve => "sleeve",
            Self::Extension => "extension of the rod",
            Self::Nut => "adjusting nut",
            Self::Prongs => "latch and its prongs",
            Self::Rod => "spring rod",
            Self::Lever => "pump lever",
            Self::Piston => "piston",
            Self::Port => "inlet port",
            Self::Well => "well and pot",
            Self::Channel => "channel",
            Self::Nozzle => "nozzle",
            Self::Mould => "mould",
            Self::Matrix => "matrix and vents",
        }
    }
}

/// How a value is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Its section and key, as `spring.rate`.
    pub path: &'static str,
    /// Where.
    pub place: Place,
    /// With what.
    pub tool: &'static str,
    /// To within what it can be read, as typed; a percentage is one of the value.
    pub within: &'static str,
    /// How long it takes, the taking apart counted, minutes.
    pub minutes: u32,
    /// How, in a sentence or two.
    pub how: &'static str,
    /// What to beware of besides what every report says; may be empty.
    pub caution: &'static str,
}

impl Measured {
    /// How closely a value of this kind is read.
    pub fn reading(&self, kind: Kind) -> Option<Reading> {
        if self.within.ends_with('%') {
            return Quantity::parse(self.within, Dimension::Ratio).ok().map(|share| Reading::Share(share.si));
        }
        // A temperature's is in kelvin, which has no other zero to count from.
        Quantity::parse(self.within, kind.dimension()?).ok().map(|step| Reading::Within(step.si))
    }
}

/// What remembered casts tell of, though nobody can measure it.
pub const TOLD_BY_CASTS: [&str; 2] = ["mould.heat_transfer", "job.accepted_skin"];

/// How the value of a full key such as `cam.lift` or `spring[2].rate` is measured; none where it cannot be.
pub fn bench(path: &str) -> Option<&'static Measured> {
    let (section, key) = path.split_once('.')?;
    let section = section.split('[').next()?;
    all().find(|measured| measured.path.split_once('.') == Some((section, key)))
}

/// Everything that can be measured, place by place.
pub fn all() -> impl Iterator<Item = &'static Measured> {
    drive::MEASURED.iter().chain(pump::MEASURED)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{self, Need};

    /// Kinds of values that a workshop has no tool for.
    const OUT_OF_REACH: [&str; 12] = [
        "cross_block.train_stiffness",
        "cross_block.train_damping",
        "cross_block.train_damping_ratio",
        "rod.drag",
        "rod.friction_speed",
        "rod.stop_stiffness",
        "rod.stop_damping",
        "rod.stop_restitution",
        "nozzle.loss",
        "mould.packed_heat_transfer",
        "mould.air_temperature",
        "mould.vent_coefficient",
    ];
    const SECTIONS: [&str; 12] = [
        "cam",
        "cross_block",
        "spring",
        "stack",
        "latch",
        "rod",
        "lever",
        "piston",
        "channel",
        "nozzle",
        "mould",
        "cooling_water",
    ];

    #[test]
    fn every_entry_is_of_a_key_and_can_be_read_to_its_accuracy() {
        for measured in all() {
            let (_, entry) = catalogue::entry(measured.path).expect(measured.path);
            let reading = measured.reading(entry.kind).unwrap_or_else(|| panic!("{}", measured.path));
            assert!(reading.half_width(1.0) > 0.0, "{}", measured.path);
            assert_eq!(bench(measured.path), Some(measured), "{} stands twice", measured.path);
            assert!(measured.minutes > 0 && measured.how.ends_with('.') && !measured.tool.is_empty());
            assert!(measured.caution.is_empty() || measured.caution.ends_with('.'), "{}", measured.path);
        }
        assert_eq!(bench("spring[2].rate").map(|of| of.place), Some(Place::Springs));
        assert_eq!(bench("mould.heat_transfer"), None);
    }

    #[test]
    fn every_key_of_the_machine_that_is_wanted_can_be_measured_or_is_out_of_reach() {
        let wanted = |need: Need| matches!(need, Need::Required | Need::Assumed(_) | Need::Depends { .. });
        let mut missing = Vec::new();
        for section in catalogue::sections().filter(|section| SECTIONS.contains(&section.name)) {
            for entry in section.entries.iter().filter(|entry| wanted(entry.need)) {
                let path = format!("{}.{}", section.name, entry.key);
                let measurable = matches!(entry.kind, Kind::Quantity(_) | Kind::Number);
                let known_not =
                    OUT_OF_REACH.contains(&path.as_str()) || TOLD_BY_CASTS.contains(&path.as_str());
                assert!(!(known_not && bench(&path).is_some()), "{path} is out of reach and is measured");
                if measurable && !known_not && bench(&path).is_none() {
                    missing.push(path);
                }
            }
        }
        assert_eq!(missing, Vec::<String>::new());
        assert!(bench("metal.pot_temperature").is_some());
    }

    #[test]
    fn every_place_has_something_to_measure_and_they_follow_each_other() {
        for &place in Place::ALL {
            assert!(all().any(|measured| measured.place == place), "{place:?}");
        }
        let numbers: Vec<usize> = all().map(|measured| measured.place.number()).collect();
        assert!(numbers.is_sorted(), "{numbers:?}");
    }
}
