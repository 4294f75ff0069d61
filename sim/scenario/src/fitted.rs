//! A scenario with values fitted to what was measured of the machine at work, and which of its values may be.

use super::catalogue;
use super::pieces::written;
use super::quantity::Quantity;
use super::resolved::{Origin, Scenario, Value};
use crate::key;
use latchstroke_core::fit::trace::Candidate;
use latchstroke_models::cross_block::CrossBlockStatement;
use latchstroke_models::latch::TripStatement;
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::piston::PistonStatement;
use latchstroke_models::rod::RodStatement;
use latchstroke_models::spring::{PreloadStatement, RateStatement, SpringStatement};
use latchstroke_models::well::WellStatement;

/// Sections whose values a movement of the pump's parts can tell of. Mould and metal are not among them: what they do to the stroke is
/// told of far better by casting.
const MOVING: [&str; 9] =
    ["cross_block", "spring", "stack", "latch", "rod", "lever", "piston", "well", "nozzle"];

/// Those of them that are fitted even where they are stated as exact: what wears, sets and is hard to read.
const FITTED: [&str; 12] = [
    key!(CrossBlockStatement, train_stiffness),
    key!(RateStatement::Rate, 0),
    key!(PreloadStatement::Force, 0),
    key!(SpringStatement, free_length),
    key!(TripStatement::Prongs, 0),
    key!(TripStatement::Lift, 0),
    key!(RodStatement, friction),
    key!(RodStatement, drag),
    key!(PistonStatement, clearance),
    key!(WellStatement, bulk_modulus),
    key!(NozzleStatement, loss),
    key!(NozzleStatement, bore),
];

impl Scenario {
    /// The values that a measured movement may tell of, in catalogue order, each as it may lie: by its tolerance or as it is assumed, and
    /// where it is stated as exact as it may have changed since. With each, whether it is fitted without being asked for.
    pub fn candidates(&self) -> Vec<(Candidate, bool)> {
        let moving = |path: &str| {
            MOVING.iter().any(|name| path.strip_prefix(name).is_some_and(|rest| rest.starts_with(['.', '['])))
        };
        let suspects = self.suspects().into_iter().filter(|suspect| moving(&suspect.path));
        let doubts = self.doubts();
        let known = suspects.filter_map(|s| {
            let plain = s.path.split_once('[').map_or(s.path.clone(), |(section, rest)| {
                section.to_owned() + rest.split_once(']').map_or("", |(_, key)| key)
            });
            let is_fitted =
                FITTED.contains(&plain.as_str()) || doubts.iter().any(|doubt| doubt.path == s.path);
            Some((Candidate { prior: *s.spreads.first()?, path: s.path, now: s.now }, is_fitted))
        });
        known.filter(|(candidate, _)| candidate.prior.deviation() > 0.0).collect()
    }

    /// The same scenario with fitted SI values for some full keys, each with half the width of its tolerance. Nothing if a key holds neither
    /// a quantity nor a number.
    pub fn with_fitted(&self, values: &[(&str, f64, f64)]) -> Option<Self> {
        let mut fitted = self.clone();
        for &(path, si, half) in values {
            let (name, key) = path.split_once('.')?;
            let section = fitted.sections.iter_mut().find(|section| section.name() == name)?;
            let item = section.items.iter_mut().find(|item| item.entry.key == key)?;
            let quantity = item.single()?.with_tolerance(si, half);
            item.value = match item.entry.kind {
                catalogue::Kind::Number => Value::Number(quantity),
                _ => Value::Quantity(quantity),
            };
            item.origin = Origin::Fitted;
        }
        Some(fitted)
    }
}

impl Quantity {
    /// The same kind of quantity in the same unit with another SI value and tolerance, written to two figures of the tolerance.
    fn with_tolerance(&self, si: f64, half: f64) -> Self {
        Quantity::parse(&written(self.unit, si, half), self.dimension).unwrap_or_else(|_| self.with_si(si))
    }
}

#[cfg(test)]
mod tests {
    use super::super::{catalogue, read, resolved::Origin};
    use super::FITTED;

    #[test]
    fn a_fitted_value_is_written_as_such_and_reads_back() {
        let demo = include_str!("../../../scenarios/large_initials.toml");
        let scenario = read("demo", demo, &[]).expect("the demo");
        let candidates = scenario.candidates();
        for key in FITTED {
            assert!(catalogue::entry(key).is_some(), "{key}");
        }
        let paths: Vec<&str> = candidates
            .iter()
            .filter(|(_, fitted)| *fitted)
            .map(|(candidate, _)| candidate.path.as_str())
            .collect();
        // Stated as exact, and never off by itself.
        assert!(
            !paths.contains(&"rod.mass")
                && candidates.iter().any(|(candidate, _)| candidate.path == "rod.mass")
        );
        for path in
            ["rod.friction", "spring[1].wire", "latch.prong_travel", "piston.clearance", "nozzle.loss"]
        {
            assert!(paths.contains(&path), "{path} among {paths:?}");
        }
        assert!(!paths.iter().any(|path| path.starts_with("mould") || path.starts_with("job")), "{paths:?}");
        let fitted =
            scenario.with_fitted(&[("rod.friction", 31.234, 4.5678), ("nozzle.loss", 1.2345, 0.0321)]);
        let fitted = fitted.expect("keys of the demo");
        assert_eq!(fitted.item("rod.friction").map(|item| &item.origin), Some(&Origin::Fitted));
        let text = fitted.resolved_toml();
        assert!(text.contains("friction = \"31.2 N ± 4.6 N\"  # fitted"), "{text}");
        assert!(
            text.contains("loss = \"1.234 ± 0.032\"  # fitted")
                || text.contains("loss = \"1.235 ± 0.032\"  # fitted"),
            "{text}"
        );
        let again = read("again", &text, &[]).expect("reads back");
        assert_eq!(again.quantity("rod.friction").and_then(|q| q.tolerance_si), Some(4.6));
    }
}
