//! Casts that cannot both be as they are told.

use super::{Evidence, Flaw, Outcome, Posterior, Weighed};

/// A sound cast that was at least as hard as a failed one, whatever skin and coefficient one believes in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contradiction {
    /// Place of the sound cast among the casts.
    pub sound: usize,
    /// Place of the failed one.
    pub failed: usize,
    /// How much less time the sound one had for what it needed, as a logarithm, by what is believed now; nought where both are
    /// one cast.
    pub by: f64,
}

/// Every such pair, the worst first. A type that was not solid had another clock than the filling, and is not held against
/// sound ones.
pub(super) fn contradictions(casts: &[Weighed], posterior: &Posterior) -> Vec<Contradiction> {
    let told = |sound: bool| {
        casts.iter().enumerate().filter_map(move |(n, cast)| {
            let outcome = cast.experience.outcome;
            let is_told =
                (outcome == Outcome::Sound) == sound && outcome != Outcome::Failed(Some(Flaw::NotSolid));
            cast.evidence.as_ref().filter(|_| is_told).map(|evidence| (n, evidence))
        })
    };
    let mut found: Vec<Contradiction> = told(true)
        .flat_map(|(sound, kept)| {
            told(false).filter_map(move |(failed, lost)| {
                Some(Contradiction { sound, failed, by: harder(kept, lost, posterior)? })
            })
        })
        .collect();
    found.sort_by(|a, b| b.by.total_cmp(&a.by));
    found
}

/// By how much the first had less slack; none where it had more at some point of the grid.
fn harder(kept: &Evidence, lost: &Evidence, posterior: &Posterior) -> Option<f64> {
    let less = || kept.slack.iter().zip(&lost.slack).map(|(kept, lost)| lost - kept);
    less().all(|less| less >= 0.0).then(|| posterior.mean(less()))
}
