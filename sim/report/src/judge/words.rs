//! Limits, verdicts and changes by name.

use crate::owner::{OwnerUnits, rounded, significant};
use latchstroke_core::studies::judge::{Appraisal, Kept, Limit, Verdict};
use latchstroke_core::studies::remedy::{Change, Then};

/// The name of a limit.
pub(super) fn limit(limit: Limit) -> &'static str {
    match limit {
        Limit::Trust => "the sums",
        Limit::Setting => "the setting",
        Limit::Filling => "short cast",
        Limit::Skin => "skin limit",
        Limit::Bulk => "bulk limit",
        Limit::Cooling => "cooling limit",
        Limit::MatrixLift => "matrix lift",
        Limit::TrappedAir => "trapped air",
    }
}

/// "skin limit, kept 2.4 times over"; "skin limit, missed 1.04-fold".
pub(super) fn kept(kept: Kept) -> String {
    let name = limit(kept.limit);
    match kept.limit {
        Limit::Trust => "turn not solved".to_owned(),
        Limit::Setting => "cannot work as set".to_owned(),
        Limit::Filling => format!("{name}, not full"),
        _ if kept.times <= 0.0 => format!("{name}, missed"),
        _ if kept.is_kept() => format!("{name}, kept {} times over", significant(kept.times, 3)),
        _ => format!("{name}, missed {}-fold", significant(1.0 / kept.times, 3)),
    }
}

/// The verdict in one word, starred where the type is not solid in time.
pub(super) fn verdict(appraisal: &Appraisal) -> String {
    let word = match appraisal.judgement.verdict {
        Verdict::LeaveAside => "aside",
        Verdict::Set => "SET",
        Verdict::Neither => "neither",
    };
    if appraisal.solid.in_time() { word.to_owned() } else { format!("{word}*") }
}

/// The name of what may be changed.
pub(crate) fn change(change: Change) -> &'static str {
    match change {
        Change::Pace => "pace",
        Change::TripLift => "trip lift",
        Change::Preload => "preload",
        Change::PotTemperature => "pot",
        Change::WallTemperature => "mould wall",
        Change::AcceptedSkin => "accepted skin",
        Change::VentGap => "vent gap",
        Change::VentArea => "vent area",
        Change::HoldDown => "hold-down",
    }
}

/// A value of what may be changed, in the owner's units.
pub(crate) fn value(of: Change, si: f64, units: &OwnerUnits) -> String {
    match of {
        Change::Pace => units.turns(si),
        Change::TripLift => rounded(units.lift, si, 3),
        Change::Preload | Change::HoldDown => rounded(units.force, si, 3),
        Change::PotTemperature | Change::WallTemperature => rounded(units.temperature, si, 3),
        Change::AcceptedSkin | Change::VentGap => rounded(units.fine, si, 3),
        Change::VentArea => rounded(units.area, si, 3),
    }
}

/// What becomes of a cast.
pub(crate) fn then(then: Then) -> String {
    match then {
        Then::LeaveAside => "leave the latch aside".to_owned(),
        Then::Set => "set the latch".to_owned(),
        Then::Neither => "neither will do".to_owned(),
        Then::NotSolid => "not solid in time".to_owned(),
        Then::Loses(Limit::MatrixLift) => "lifts the matrix".to_owned(),
        Then::Loses(Limit::TrappedAir) => "too much air stays in".to_owned(),
        Then::Loses(Limit::Setting) => "springs or latch cannot work".to_owned(),
        Then::Loses(of) => format!("{} missed", limit(of)),
        Then::Keeps(Limit::MatrixLift) => "holds the matrix".to_owned(),
        Then::Keeps(of) => format!("{} kept", limit(of)),
    }
}
