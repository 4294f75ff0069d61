//! What the latch does: the film at the instant that tells most, latch aside beside latch set.

use super::super::charts::{close, lift_at};
use super::super::limits;
use super::super::owner::{milliseconds, percent, rounded};
use super::{Draft, Note, Told, fault};
use latchstroke_core::limits::Limit;
use latchstroke_core::turn::EventKind;
use latchstroke_plots::Headed;

/// Why the picture is left out, where it is.
pub(super) fn missing(told: &Told<'_>) -> Option<String> {
    let why = "What the latch does, and the film: a turn could not be solved to its end.";
    (!told.is_solved()).then(|| why.to_owned())
}

/// The picture; none where a turn could not be solved.
pub(super) fn draft<'a>(told: &Told<'a>) -> Option<Draft<'a>> {
    if missing(told).is_some() {
        return None;
    }
    let source = told.source(&told.cast());
    let headline = headline(told);
    let frame = told.film.still(moment(told));
    let picture = Headed::new(&headline, frame).with_source(&source);
    Some(Draft { stem: "latch", picture: Box::new(picture), headline, source, note: note(told) })
}

/// Which moment is shown: the first of these that the film has.
const SHOWN: [&str; 4] = ["first-full", "first-stops", "let-go", "result"];

/// When it comes, s on the film's clock.
fn moment(told: &Told<'_>) -> f64 {
    let moments = told.film.moments();
    let of = |name: &&str| moments.iter().find(|moment| moment.name == *name);
    SHOWN.iter().find_map(of).map_or(0.0, |moment| moment.time)
}

fn headline(told: &Told<'_>) -> String {
    let set = &told.talk.judgement.set;
    let lift = |si: f64| close(&told.lift(si));
    if let Some(throw) = set.throw {
        let lifted = lift(lift_at(set, throw.time));
        return format!(
            "The latch holds the rod while the cross block lifts {lifted}, then the spring throws it"
        );
    }
    let Some(margin) = fault(&told.talk.judgement) else {
        return "The latch does not throw the rod in this turn".to_owned();
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
        Some(_) => format!(
            "With the latch aside the rod is carried: the piston follows the cross block, and the mould of {} fills as the cam turns.",
            told.size()
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
    say.push("The film of the turn is in film.html, and in talk.html after this picture: latch aside on the left, latch set on the right.".to_owned());
    Note {
        shows: "One frame of the film: the machine on the left with the latch aside, on the right with it set, equally long after the metal came in.".to_owned(),
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
                "How far is this to be trusted?".to_owned(),
                format!(
                    "It is a model's. The energy of each turn must balance: here {} of the cam's work is not accounted for with the latch aside, {} with it set. The measurements they start from are in scenario.toml.",
                    percent(aside.energy_residual.abs()),
                    percent(set.energy_residual.abs())
                ),
            ),
        ],
    }
}
