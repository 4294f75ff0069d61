//! The keys that the reader asks for by name, each tied to the field that it states: spelled in the catalogue alone.

use super::super::catalogue::key_of;
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::cam::CamStatement;
use latchstroke_models::cooling_water::CoolingWaterStatement;
use latchstroke_models::field;
use latchstroke_models::latch::TripStatement;
use latchstroke_models::mould::{MouldStatement, Sort, WallStatement};
use latchstroke_models::piston::PistonStatement;
use latchstroke_models::rod::LeverStatement;
use latchstroke_models::spring::{PreloadStatement, SpringStatement};
use std::fmt;
use std::ops::Deref;

/// A key: as text, without its section.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Key {
    pub section: &'static str,
    pub key: &'static str,
}

impl Deref for Key {
    type Target = str;

    fn deref(&self) -> &str {
        self.key
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key)
    }
}

macro_rules! keys {
    ($($name:ident = $owner:ident $(:: $variant:ident)? . $field:tt;)*) => {
        $(pub(crate) const $name: Key = {
            let (section, key) = key_of(field!($owner $(:: $variant)?, $field));
            Key { section, key }
        };)*
    };
}

keys! {
    LIFT = CamStatement::Law.lift;
    READINGS = CamStatement::Measured.0;
    PRELOAD = PreloadStatement::Force.0;
    FREE_LENGTH = SpringStatement.free_length;
    BARE_GAP = AbutmentStatement.bare_gap;
    BARE_CLEARANCE = AbutmentStatement.bare_clearance;
    PRONG_TRAVEL = TripStatement::Prongs.0;
    TRIP_LIFT = TripStatement::Lift.0;
    RATIO = LeverStatement.ratio;
    DIAMETER = PistonStatement.diameter;
    PORT_TRAVEL = PistonStatement.port_travel;
    PRIMING_VOLUME = MouldStatement.priming_volume;
    WALL = WallStatement::Temperature.0;
    FLOW = CoolingWaterStatement.flow;
    BODY = Sort.body;
    SET = Sort.set;
    ACCEPTED_SKIN = Acceptance.skin;
}
