//! What the type looks like: what each limit of the list that is in the way does to it, and nothing else.

use super::super::came_out::{SOUND, spoiled};
use latchstroke_core::limits::{Limit, Margin, Standing, State, Unknown};
use latchstroke_core::turn::{EventKind, Turn};
use latchstroke_models::mould::FULL;
use latchstroke_plots::mechanism::Looks;

/// The most of a type that is drawn where its mould does not become full.
const NOT_FULL: f64 = 0.94;

/// Whether a turn's figures say nothing of the type.
fn is_unknown(standing: &Standing) -> bool {
    standing.margins.iter().any(|margin| margin.state == State::NotKnown(Unknown::Untrusted))
}

/// What is told of a type: of one that is not whole nothing but that, else all that is in the way, the limit kept the fewest times over
/// first.
fn spoiled_by(standing: &Standing) -> Vec<Limit> {
    let short = standing.margin(Limit::Filled).is_some_and(Margin::is_in_the_way);
    let all = standing.in_the_way().map(|margin| margin.limit);
    all.filter(|limit| !short || *limit == Limit::Filled).collect()
}

/// As it is drawn; none where there is no type, or nothing is known of it.
pub(super) fn of(standing: &Standing, turn: &Turn) -> Option<Looks> {
    let spoiled_by = spoiled_by(standing);
    let short = spoiled_by.contains(&Limit::Filled);
    let filled = if short { (turn.filled / FULL).clamp(0.0, NOT_FULL) } else { 1.0 };
    let all = spoiled_by.into_iter().filter_map(spoiled);
    let looks = all.fold(Looks::SOUND, |looks, came_out| looks.with(came_out.looks));
    (filled > 0.0 && !is_unknown(standing)).then_some(Looks { filled, ..looks })
}

/// In words: "lapped, rounded"; "sound".
pub(super) fn words(standing: &Standing, turn: &Turn) -> String {
    if is_unknown(standing) {
        return "not known".to_owned();
    }
    let word = |limit: Limit| match limit {
        Limit::Filled if turn.filled <= 0.0 => Some("no type"),
        Limit::Filled if turn.first(EventKind::Sealed).is_some() => Some("frozen before it was full"),
        limit => spoiled(limit).map(|came_out| came_out.name),
    };
    let all: Vec<&str> = spoiled_by(standing).into_iter().filter_map(word).collect();
    if all.is_empty() { SOUND.name.to_owned() } else { all.join(", ") }
}
