//! What is likely a slip of a file, though a machine can be so.
//!
//! What cannot be is told where a machine is prepared, whoever made its statement, and the reader shows it at its key
//! ([`Scenario::impossible`](super::Scenario)).

use std::f64::consts::PI;

use super::super::mistakes::Mistake;
use super::super::quantity::format_in;
use super::super::resolved::Value;
use super::draft::{Draft, Slot};
use super::keys::{ACCEPTED_SKIN, BODY, DIAMETER, LIFT, PORT_TRAVEL, PRIMING_VOLUME, RATIO, READINGS, SET};

/// A skin from both sides is never thicker than the type, so one asked for that is not means something else. It is no part of the
/// machine: of other sizes it is asked as well, and where it is never reached it limits nothing, as it should.
pub(super) fn skin(draft: &Draft) -> Option<Mistake> {
    let (skin, body) = (draft.quantity(ACCEPTED_SKIN)?, draft.quantity(BODY)?);
    let lesser = draft.quantity(SET).filter(|set| set.si < body.si).unwrap_or(body);
    if skin.si < 0.5 * lesser.si {
        return None;
    }
    let half = format_in(skin.unit, 0.5 * lesser.si);
    let message = format!("`{ACCEPTED_SKIN}` is {skin}, and a type of {lesser} is frozen through at {half}");
    let right = format!("it must be less than {half}, half the type");
    Some(draft.section_of(ACCEPTED_SKIN)?.mistake_at(&ACCEPTED_SKIN, message, right))
}

/// A piston that never moves the metal as far as the mould.
pub(super) fn never_reached(draft: &Draft) -> Option<Mistake> {
    let lift = match draft.section_of(READINGS)?.slot(&READINGS) {
        Slot::Good(Value::Readings(readings), _) => {
            let lifts = || readings.iter().map(|(_, lift)| lift.si);
            lifts().fold(0.0, f64::max) - lifts().fold(f64::INFINITY, f64::min)
        }
        _ => draft.quantity(LIFT)?.si,
    };
    let ratio = draft.quantity(RATIO).map_or(1.0, |ratio| ratio.si);
    let (diameter, port) = (draft.quantity(DIAMETER)?.si, draft.quantity(PORT_TRAVEL)?);
    let priming = draft.quantity(PRIMING_VOLUME)?;
    let moved = 0.25 * PI * diameter * diameter * (ratio * lift - port.si).max(0.0);
    if moved > priming.si {
        return None;
    }
    let message = format!(
        "the piston moves {} past its port at most, no more than the `{PRIMING_VOLUME}` of {priming}: metal never \
         reaches the mould",
        format_in(priming.unit, moved),
    );
    let right = format!("measure {PRIMING_VOLUME}, the piston and its {PORT_TRAVEL} again");
    Some(draft.section_of(PRIMING_VOLUME)?.mistake_at(&PRIMING_VOLUME, message, right))
}
