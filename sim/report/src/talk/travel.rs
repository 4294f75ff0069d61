//! How far cross block and piston go in a turn, latch aside and set.

use super::super::charts::{close, lift_at, travel};
use super::super::limits;
use super::super::owner::{milliseconds, percent, rounded, significant};
use super::{Draft, Note, Told, fault};
use latchstroke_core::limits::Limit;
use latchstroke_core::turn::EventKind;

/// The picture.
pub(super) fn draft(told: &Told<'_>) -> Draft<'static> {
    let source = told.source(&told.cast());
    let headline = headline(told);
    let mut chart = travel(&told.talk.judgement, &told.units, &source);
    chart.headline.clone_from(&headline);
    Draft { stem: "travel", picture: Box::new(chart), headline, source, note: note(told) }
}

fn headline(told: &Told<'_>) -> String {
    let set = &told.talk.judgement.set;
    let lift = |si: f64| close(&told.lift(si));
    if let Some(throw) = set.throw {
        let lifted = lift(lift_at(set, throw.time));
        return format!("The latch holds the rod until the cross block has lifted {lifted}");
    }
    let Some(margin) = fault(&told.talk.judgement) else {
        return "The latch does not throw the rod: this turn could not be solved".to_owned();
    };
    let (value, bound) = (margin.value.unwrap_or(f64::NAN), margin.bound.unwrap_or(f64::NAN));
    match margin.limit {
        Limit::LatchTrips => format!(
            "The latch never lets go: the cross block lifts {}, and {} are needed",
            lift(set.peaks.block_lift),
            lift(value.max(bound))
        ),
        Limit::LatchHolds => {
            format!("The latch never holds: the sleeve is {} too long", lift((value - bound).abs()))
        }
        limit => format!("The latch does not throw the rod: {}", limits::missed(limit)),
    }
}

fn note(told: &Told<'_>) -> Note {
    let judgement = &told.talk.judgement;
    let (aside, set) = (&judgement.aside, &judgement.set);
    let mut say = Vec::new();
    say.push(match aside.first(EventKind::Full) {
        Some(full) => format!(
            "With the latch aside the rod is carried: the piston follows the cross block, and the mould of {} is full at {}° of the shaft.",
            told.size(),
            significant(full.angle.to_degrees(), 3)
        ),
        None => format!("With the latch aside the rod is carried, and the mould of {} does not come full.", told.size()),
    });
    match set.throw {
        Some(throw) => {
            say.push(format!(
                "With the latch set the rod stands still while the cross block lifts {}. The latch then lets go under {}, with {} in the springs above those at rest.",
                told.lift(lift_at(set, throw.time)),
                told.force(throw.latch_load),
                told.units.energy(throw.stored_energy)
            ));
            let full = set.fill.map(|fill| fill.full);
            match (throw.caught_up, full) {
                (Some(caught), full) if full.is_none_or(|full| caught <= full) => say.push(format!(
                    "{} later the rod has caught up with the cross block and strikes it at {}; the cam drives what is left.",
                    milliseconds(caught - throw.time),
                    told.speed(throw.strike_speed)
                )),
                (_, Some(full)) => say.push(format!(
                    "{} later the mould is full, before the rod has caught up with the cross block.",
                    milliseconds(full - throw.time)
                )),
                _ => {}
            }
        }
        None => say.extend(fault(judgement).map(|margin| limits::sentence(margin, &told.units))),
    }
    Note {
        shows: "How far the cross block and the piston have gone over one turn of the main shaft: above with the latch aside, below with it set.".to_owned(),
        computed: "One turn with the latch aside and one with it set, solved instant by instant.".to_owned(),
        say,
        questions: vec![
            (
                "Why does the piston creep on after the mould is full?".to_owned(),
                format!(
                    "Metal slips back past it under pressure: {} in the turn with the latch aside.",
                    rounded(told.units.volume, aside.sums.leaked, 2)
                ),
            ),
            (
                "How far are these curves to be trusted?".to_owned(),
                format!(
                    "They are a model's. The energy of each turn must balance: here {} of the cam's work is not accounted for with the latch aside, {} with it set. The measurements they start from are in scenario.toml.",
                    percent(aside.energy_residual.abs()),
                    percent(set.energy_residual.abs())
                ),
            ),
        ],
    }
}
