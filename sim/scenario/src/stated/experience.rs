//! The casts an owner remembers, and what is believed before them.

use super::si;
use crate::catalogue::Spread;
use crate::{Item, Location, Origin, Scenario, Section};
use latchstroke_core::studies::calibrate::{Experience, Flaw, Outcome, Prior};
use latchstroke_core::studies::distribution::log_spread;
use latchstroke_core::studies::judge::Cast;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};

/// The casts of a scenario, in the order of the file.
pub fn experiences(scenario: &Scenario) -> Vec<Experience> {
    scenario.experiences().map(experience).collect()
}

fn experience(section: &Section) -> Experience {
    let at = |key: &str| section.quantity(key).map_or(f64::NAN, |quantity| quantity.si);
    let line = match section.item("body").map(|item| &item.origin) {
        Some(Origin::Given(Location::File { line, .. })) => Some(*line),
        _ => None,
    };
    Experience {
        number: section.number.unwrap_or(1),
        line,
        cast: Cast {
            sort: Sort { body: Length(at("body")), set: Length(at("set")) },
            pace: Pace(at("pace")),
        },
        setting: match section.choice("latch") {
            Some("set") => LatchSetting::Set,
            _ => LatchSetting::Aside,
        },
        pot: section.quantity("pot_temperature").map(|quantity| quantity.si),
        outcome: match (section.choice("result"), section.choice("fault")) {
            (Some("sound"), _) => Outcome::Sound,
            (_, Some("cold laps")) => Outcome::Failed(Flaw::ColdLaps),
            (_, Some("hollow or short")) => Outcome::Failed(Flaw::HollowOrShort),
            (_, Some("not solid")) => Outcome::Failed(Flaw::NotSolid),
            (_, Some("lifted matrix")) => Outcome::Failed(Flaw::LiftedMatrix),
            _ => Outcome::Failed(Flaw::Unnamed),
        },
        sure: section.number("sure").unwrap_or(f64::NAN),
    }
}

/// What is believed of the accepted skin and of the interface coefficient before the casts.
///
/// A value with a tolerance ±a is taken as the log-normal with the mean square of the rectangle of that half-width,
/// σ² = ln(1 + a²/(3v²)); one without as right to a factor of two with a chance of two in three, σ = ln 2 (a judgement).
pub fn priors(scenario: &Scenario) -> (Prior, Prior) {
    (prior(scenario, "job.accepted_skin"), prior(scenario, "mould.heat_transfer"))
}

fn prior(scenario: &Scenario, path: &str) -> Prior {
    let median = si(scenario, path);
    let assumed = scenario.item(path).and_then(Item::assumed).map(|assumed| assumed.spread);
    if let Some(Spread::Factor(factor)) = assumed {
        return Prior { median, spread: log_spread(factor) };
    }
    let tolerance = scenario.quantity(path).and_then(|quantity| quantity.tolerance_si).filter(|a| *a > 0.0);
    let spread = tolerance.map_or(std::f64::consts::LN_2, |a| ((a / median).powi(2) / 3.0).ln_1p().sqrt());
    Prior { median, spread }
}
