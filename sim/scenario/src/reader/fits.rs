//! Machines that cannot be as stated, since one part does not go with another; and what can be, and is likely a mistake.

use std::f64::consts::PI;

use super::super::mistakes::Mistake;
use super::super::quantity::{Unit, format_in};
use super::super::resolved::Value;
use super::draft::{Draft, DraftSection, Slot};

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
    let wire = spring.quantity("wire")?.si;
    let stated = spring.quantity("outside_coil").or_else(|| spring.quantity("mean_coil"))?;
    let mean = if spring.given("outside_coil") { stated.si - wire } else { stated.si };
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
        let key = if inner.given("outside_coil") { "outside_coil" } else { "mean_coil" };
        let right = "measure wire and coils of both again; springs stand one inside the other".to_owned();
        Some(inner.mistake_at(key, message, right))
    };
    sized.windows(2).filter_map(clash).collect()
}

/// A spring that its coils make as long as it is free; a stated solid length is held against the free one elsewhere.
fn solid(spring: &DraftSection) -> Option<Mistake> {
    if spring.given("solid_length") {
        return None;
    }
    let (wire, free) = (spring.quantity("wire")?, spring.quantity("free_length")?);
    // Without a count of all coils, a dead one at each end.
    let total = spring.quantity("total_coils").map(|coils| coils.si);
    let coils = total.or_else(|| Some(spring.quantity("active_coils")?.si + 2.0))?;
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
    Some(spring.mistake_at("wire", message, "measure the wire and count the coils again".to_owned()))
}

/// The nozzle is narrower than the channel that leads to it.
fn nozzle(draft: &Draft) -> Option<Mistake> {
    let nozzle = draft.section("nozzle")?;
    let (bore, channel) = (nozzle.quantity("bore")?, draft.section("channel")?.quantity("bore")?);
    if bore.si <= channel.si {
        return None;
    }
    let message =
        format!("the `bore` of [nozzle] is {bore}, wider than that of [channel], which is {channel}");
    let length = nozzle.quantity("length").filter(|length| length.si < channel.si);
    let right = match length {
        Some(length) => format!("are bore and length ({length}) of the nozzle exchanged?"),
        None => format!(
            "it must not be more than {}: the nozzle is the narrow end",
            format_in(bore.unit, channel.si)
        ),
    };
    Some(nozzle.mistake_at("bore", message, right))
}

/// A skin from both sides is never thicker than the type.
fn skin(draft: &Draft) -> Option<Mistake> {
    let job = draft.section("job")?;
    let (skin, body) = (job.quantity("accepted_skin")?, job.quantity("body")?);
    let lesser = job.quantity("set").filter(|set| set.si < body.si).unwrap_or(body);
    if skin.si < 0.5 * lesser.si {
        return None;
    }
    let half = format_in(skin.unit, 0.5 * lesser.si);
    let message = format!("`accepted_skin` is {skin}, and a type of {lesser} is frozen through at {half}");
    Some(job.mistake_at("accepted_skin", message, format!("it must be less than {half}, half the type")))
}

/// A piston that never moves the metal as far as the mould.
fn never_reached(draft: &Draft) -> Option<Mistake> {
    let (cam, piston, mould) = (draft.section("cam")?, draft.section("piston")?, draft.section("mould")?);
    let lift = match cam.slot("readings") {
        Slot::Good(Value::Readings(readings), _) => {
            let lifts = || readings.iter().map(|(_, lift)| lift.si);
            lifts().fold(0.0, f64::max) - lifts().fold(f64::INFINITY, f64::min)
        }
        _ => cam.quantity("lift")?.si,
    };
    let ratio =
        draft.section("lever").and_then(|lever| lever.quantity("ratio")).map_or(1.0, |ratio| ratio.si);
    let (diameter, port) = (piston.quantity("diameter")?.si, piston.quantity("port_travel")?);
    let priming = mould.quantity("priming_volume")?;
    let moved = 0.25 * PI * diameter * diameter * (ratio * lift - port.si).max(0.0);
    if moved > priming.si {
        return None;
    }
    let message = format!(
        "the piston moves {} past its port at most, no more than the `priming_volume` of {priming}: metal never \
         reaches the mould",
        format_in(priming.unit, moved),
    );
    let right = "measure priming_volume, the piston and its port_travel again".to_owned();
    Some(mould.mistake_at("priming_volume", message, right))
}
