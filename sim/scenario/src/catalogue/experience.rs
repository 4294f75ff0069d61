//! Keys of the casts an owner remembers.

use super::super::quantity::Dimension::{Length, Pace, Temperature};
use super::casting::{CASTING_PACE, MOLTEN, SET_WIDTH, TYPE_SIZE};
use super::sets::{NO_FIELD, sets};
use super::{Condition, Demand, Entry, Kind, Need, Rule, Section, within};
use latchstroke_core::studies::calibrate::Experience;
use latchstroke_core::studies::calibrate::Flaw;
use latchstroke_core::studies::calibrate::Outcome;
use latchstroke_models::latch::LatchSetting;
use strum::VariantNames;

pub(super) static EXPERIENCE: Section = Section {
    name: "experience",
    help: "Casts that you remember: one [[experience]] for each, with how it came out. calibrate \
           infers from them how thick a skin you accept and how fast the mould takes the heat.",
    most: 100,
    entries: &[
        Entry {
            key: "body",
            kind: Kind::Quantity(Length),
            need: Need::Required,
            range: Some(TYPE_SIZE),
            help: "Body size that was cast.",
            example: "24 pt",
            sets: sets!(Experience.cast => experience.cast.sort.body),
        },
        Entry {
            key: "set",
            kind: Kind::Quantity(Length),
            need: Need::SameAs("body"),
            range: Some(SET_WIDTH),
            help: "Set width. Left out, the type was square.",
            example: "24 pt",
            sets: sets!(Experience.cast => experience.cast.sort.set),
        },
        Entry {
            key: "pace",
            kind: Kind::Quantity(Pace),
            need: Need::Required,
            range: Some(CASTING_PACE),
            help: "Pace at which it was cast.",
            example: "20 turns/min",
            sets: sets!(Experience.cast => experience.cast.pace),
        },
        Entry {
            key: "latch",
            kind: Kind::Choice(LatchSetting::VARIANTS),
            need: Need::Required,
            range: None,
            help: "Whether the latch stood aside or was set.",
            example: "aside",
            sets: sets!(Experience.setting: experience),
        },
        Entry {
            key: "result",
            kind: Kind::Choice(Outcome::VARIANTS),
            need: Need::Required,
            range: None,
            help: "How the type came out.",
            example: "failed",
            sets: sets!(Experience.outcome: experience),
        },
        Entry {
            key: "fault",
            kind: Kind::Choice(Flaw::VARIANTS),
            need: Need::Optional,
            range: None,
            help: "What was wrong with a failed type. Left out, it is taken to have filled too late.",
            example: "cold laps",
            sets: sets!(Outcome::Failed.0: experience.outcome),
        },
        Entry {
            key: "pot_temperature",
            kind: Kind::Quantity(Temperature),
            need: Need::Optional,
            range: Some(MOLTEN),
            help: "Temperature of the pot at that cast, where it was not that of [metal].",
            example: "360 degC",
            sets: sets!(Experience.pot: experience),
        },
        Entry {
            key: "sure",
            kind: Kind::Number,
            need: Need::Default("0.95"),
            range: Some(within(
                "50 %",
                "99 %",
                "at 50 % it could as well have been the other way, and no memory is without error",
            )),
            help: "How sure you are of this entry.",
            example: "0.95",
            sets: sets!(Experience.sure: experience),
        },
        Entry {
            key: "note",
            kind: Kind::Text,
            need: Need::Optional,
            range: None,
            help: "Anything worth remembering of it.",
            example: "Spring fair, cold morning",
            sets: NO_FIELD,
        },
    ],
    rules: &[Rule {
        when: Condition::Is("result", "sound"),
        demand: Demand::None(&["fault"]),
        why: "a sound type has no fault",
    }],
};
