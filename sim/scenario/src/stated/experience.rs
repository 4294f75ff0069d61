//! The casts an owner remembers, and what is believed before them.

use super::Stated;
use crate::catalogue::Spread;
use crate::{Item, Location, Origin, Scenario, Section, key};
use latchstroke_core::studies::calibrate::{Experience, Prior};
use latchstroke_core::studies::distribution::log_spread;
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_models::mould::MouldStatement;

/// The casts of a scenario, in the order of the file.
pub fn experiences(scenario: &Scenario) -> Vec<Experience> {
    scenario.experiences().map(experience).collect()
}

fn experience(section: &Section) -> Experience {
    let mut stated = Stated::default();
    stated.take(section);
    let line = section.items.iter().find_map(|item| match &item.origin {
        Origin::Given(Location::File { line, .. }) => Some(*line),
        _ => None,
    });
    Experience { number: section.number.unwrap_or(1), line, ..stated.experience }
}

/// What is believed of the accepted skin and of the interface coefficient before the casts.
///
/// A value with a tolerance ±a is taken as the log-normal with the mean square of the rectangle of that half-width,
/// σ² = ln(1 + a²/(3v²)); one without as right to a factor of two with a chance of two in three, σ = ln 2 (a judgement).
pub fn priors(scenario: &Scenario) -> (Prior, Prior) {
    let Stated { terms, machine, .. } = Stated::of(scenario);
    let (skin, heat) = (key!(Acceptance, skin), key!(MouldStatement, heat_transfer));
    (
        prior(terms.acceptance.skin, scenario.item(skin)),
        prior(machine.mould.heat_transfer.0, scenario.item(heat)),
    )
}

fn prior(median: f64, item: Option<&Item>) -> Prior {
    if let Some(Spread::Factor(factor)) = item.and_then(Item::assumed).map(|assumed| assumed.spread) {
        return Prior { median, spread: log_spread(factor) };
    }
    let tolerance = item.and_then(Item::tolerance).filter(|half| *half > 0.0);
    let spread = tolerance.map_or(std::f64::consts::LN_2, |a| ((a / median).powi(2) / 3.0).ln_1p().sqrt());
    Prior { median, spread }
}
