//! Machines that cannot be as stated, since one part does not go with another; and what can be, and is likely a mistake.

use std::f64::consts::PI;

use super::super::mistakes::Mistake;
use super::super::quantity::{Unit, format_in};
use super::super::resolved::Value;
use super::draft::{Draft, DraftSection, Slot};
use super::keys::{
    ACCEPTED_SKIN, ACTIVE_COILS, BODY, CHANNEL_BORE, DIAMETER, FREE_LENGTH, LIFT, MEAN_COIL, NOZZLE_BORE,
    NOZZLE_LENGTH, OUTSIDE_COIL, PORT_TRAVEL, PRIMING_VOLUME, RATIO, READINGS, SET, SOLID_LENGTH,
    TOTAL_COILS, WIRE,
};

/// Reports parts that do not go together, and remarks on those that hardly do.
pub(super) fn check(draft: &Draft, mistakes: &mut Vec<Mistake>, remarks: &mut Vec<Mistake>) {
    mistakes.extend(nest(draft));
    mistakes.extend(draft.springs().filter_map(solid));
    mistakes.extend(nozzle(draft));
    mistakes.extend(skin(draft));
    remarks.extend(never_reached(draft));
}

/// Outside and inside diameter of a spring, m, and the unit they are in.
fn coil(spring: &DraftSection) -> Option<(f64, f64, &'static Unit)> {
    let wire = spring.quantity(&WIRE)?.si;
    let stated = spring.quantity(&OUTSIDE_COIL).or_else(|| spring.quantity(&MEAN_COIL))?;
    let mean = if spring.given(&OUTSIDE_COIL) { stated.si - wire } else { stated.si };
    Some((mean + wire, mean - wire, stated.unit))
}

/// Springs stand one inside the other.
fn nest(draft: &Draft) -> Vec<Mistake> {
    // A wire that cannot be says nothing of its neighbours.
    let sound = draft.springs().filter(|spring| solid(spring).is_none());
    let mut sized: Vec<_> = sound.filter_map(|spring| Some((spring, coil(spring)?))).collect();
    sized.sort_by(|a, b| b.1.0.total_cmp(&a.1.0));
    let clash = |pair: &[(&DraftSection, (f64, f64, &'static Unit))]| {
        let [(outer, (_, room, _)), (inner, (outside, _, unit))] = pair else { return None };
        if outside < room {
            return None;
        }
        let (room, outside) = (format_in(unit, *room), format_in(unit, *outside));
        let message = format!(
            "{} does not go into {}: it is {outside} over its coils, and there is room for {room}",
            inner.title(),
            outer.title(),
        );
        let key = if inner.given(&OUTSIDE_COIL) { OUTSIDE_COIL } else { MEAN_COIL };
        let right = "measure wire and coils of both again; springs stand one inside the other".to_owned();
        Some(inner.mistake_at(&key, message, right))
    };
    sized.windows(2).filter_map(clash).collect()
}

/// A spring that its coils make as long as it is free; a stated solid length is held against the free one elsewhere.
fn solid(spring: &DraftSection) -> Option<Mistake> {
    if spring.given(&SOLID_LENGTH) {
        return None;
    }
    let (wire, free) = (spring.quantity(&WIRE)?, spring.quantity(&FREE_LENGTH)?);
    // Without a count of all coils, a dead one at each end.
    let total = spring.quantity(&TOTAL_COILS).map(|coils| coils.si);
    let coils = total.or_else(|| Some(spring.quantity(&ACTIVE_COILS)?.si + 2.0))?;
    let solid = coils * wire.si;
    if solid < free.si {
        return None;
    }
    let message = format!(
        "{} is {} long with its coils touching, {coils} coils of {wire} wire{}, and only {free} long when free",
        spring.title(),
        format_in(free.unit, solid),
        if total.is_some() { "" } else { " with the dead ones" },
    );
    Some(spring.mistake_at(&WIRE, message, "measure the wire and count the coils again".to_owned()))
}

/// The nozzle is narrower than the channel that leads to it.
fn nozzle(draft: &Draft) -> Option<Mistake> {
    let (bore, channel) = (draft.quantity(NOZZLE_BORE)?, draft.quantity(CHANNEL_BORE)?);
    if bore.si <= channel.si {
        return None;
    }
    let message = format!(
        "the `{NOZZLE_BORE}` of [nozzle] is {bore}, wider than that of [channel], which is {channel}"
    );
    let length = draft.quantity(NOZZLE_LENGTH).filter(|length| length.si < channel.si);
    let right = match length {
        Some(length) => format!("are bore and length ({length}) of the nozzle exchanged?"),
        None => format!(
            "it must not be more than {}: the nozzle is the narrow end",
            format_in(bore.unit, channel.si)
        ),
    };
    Some(draft.section_of(NOZZLE_BORE)?.mistake_at(&NOZZLE_BORE, message, right))
}

/// A skin from both sides is never thicker than the type.
fn skin(draft: &Draft) -> Option<Mistake> {
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
fn never_reached(draft: &Draft) -> Option<Mistake> {
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
