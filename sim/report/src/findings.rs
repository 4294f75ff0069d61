//! Each finding of a turn in one sentence, with its numbers and what would be right.

use super::owner::{OwnerUnits, milliseconds, percent, significant};
use latchstroke_core::turn::{Finding, LegError, Stop};

/// The finding in an owner's words.
pub fn sentence(finding: &Finding, units: &OwnerUnits) -> String {
    let degrees = |rad: f64| format!("{}°", significant(rad.to_degrees(), 3));
    match *finding {
        Finding::NeverTrips { lift: had, needed } => format!(
            "The latch never lets go: the cross block lifts {}, and the prongs would let go at {}. The sleeve is too short by at least {}, or there is none; leave the latch aside until it is right.",
            units.lift(had),
            units.lift(needed),
            units.lift(needed - had)
        ),
        Finding::NeverHolds { clearance } => format!(
            "The latch never holds: at rest the abutment already spreads the prongs by {}. The sleeve is too long by that much; with it the turn is as with the latch aside.",
            units.lift(-clearance)
        ),
        Finding::CoilBound { angle, room, closing } => format!(
            "A spring is coil-bound at {}: it closes {} from rest and has room for {}. Ease the preload, or trip earlier.",
            degrees(angle),
            units.lift(closing),
            units.lift(room)
        ),
        Finding::FollowerFloats { angle } => format!(
            "The follower leaves the cam at {}: the return spring cannot keep it there. Slow the pace or strengthen that spring.",
            degrees(angle)
        ),
        Finding::EntryNeverReached { driven, needed } => format!(
            "The metal never reaches the mould: {} goes past the nozzle, and {} is needed before the mould is entered.",
            // A piston that draws before it drives leaves a little less than none.
            units.volume(driven.max(0.0)),
            units.volume(needed)
        ),
        Finding::ShortCast { filled } => {
            format!("A short cast: the stroke ends with the mould {} full.", percent(filled))
        }
        Finding::SealedEarly { filled, after } => format!(
            "A short cast: the entry freezes {} after the metal comes in, with the mould {} full.",
            milliseconds(after),
            percent(filled)
        ),
        Finding::MatrixLifts { force: lifting, hold_down, lasting } => format!(
            "The pressure lifts the matrix: {} {} against a hold-down of {}.",
            units.force(lifting),
            if lasting { "lasting" } else { "for a moment" },
            units.force(hold_down)
        ),
        Finding::NotHome { distance } => format!(
            "The rod is {} from its rest as the turn ends: something keeps it from coming home.",
            units.lift(distance)
        ),
        Finding::EnergyOpen { residual } => format!(
            "Do not trust this turn: {} of the cam's work cannot be accounted for.",
            percent(residual.abs())
        ),
        Finding::Unsolved { stop, angle } => {
            format!("This turn could not be solved past {}: {}.", degrees(angle), why_stopped(stop))
        }
    }
}

/// Why a run stopped, in words.
pub fn why_stopped(stop: Stop) -> String {
    match stop {
        Stop::FullTurn => "the turn is complete".to_owned(),
        Stop::Answered => "nothing more was asked of the turn".to_owned(),
        Stop::Chatter(kind) => {
            format!("\u{201c}{}\u{201d} would happen over and over at one instant", kind.words())
        }
        Stop::TooManyEvents => "too many events".to_owned(),
        Stop::NotFinite(part) => format!("a figure of the {part} is no longer a number"),
        Stop::Solver(LegError::StepTooSmall(_)) => {
            "the sums would need steps smaller than the clock shows".to_owned()
        }
        Stop::Solver(LegError::TooManySteps(_)) => {
            "the sums would need more steps than a turn is worth".to_owned()
        }
    }
}
