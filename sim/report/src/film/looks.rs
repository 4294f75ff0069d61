//! What the type looks like: what each limit of the list that is in the way does to it, and nothing else.

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

/// As it is drawn, in a type that is not whole nothing but that; none where there is no type, or nothing is known of it.
pub(super) fn of(standing: &Standing, turn: &Turn) -> Option<Looks> {
    let spoilt = |limit| standing.margin(limit).is_some_and(Margin::is_in_the_way);
    let filled = if spoilt(Limit::Filled) { (turn.filled / FULL).clamp(0.0, NOT_FULL) } else { 1.0 };
    let whole = filled >= 1.0;
    (filled > 0.0 && !is_unknown(standing)).then(|| Looks {
        filled,
        lapped: whole && spoilt(Limit::Lapping),
        rounded: whole && spoilt(Limit::Skin),
        hollow: whole && (spoilt(Limit::Bulk) || spoilt(Limit::TrappedAir)),
        flashed: whole && spoilt(Limit::MatrixHeld),
        soft: whole && spoilt(Limit::Solid),
    })
}

/// In words, the limit kept the fewest times over first: "lapped, rounded edges"; "sound".
pub(super) fn words(standing: &Standing, turn: &Turn) -> String {
    if is_unknown(standing) {
        return "not known".to_owned();
    }
    let word = |limit: Limit| match limit {
        Limit::Filled if turn.filled <= 0.0 => Some("no type"),
        Limit::Filled if turn.first(EventKind::Sealed).is_some() => Some("frozen before it was full"),
        Limit::Filled => Some("not full"),
        Limit::Lapping => Some("lapped"),
        Limit::Skin => Some("rounded edges"),
        Limit::Bulk => Some("hollow"),
        Limit::TrappedAir => Some("hollow with air"),
        Limit::MatrixHeld => Some("flash under the matrix"),
        Limit::Solid => Some("soft inside"),
        Limit::SpringsFit
        | Limit::SpringsTight
        | Limit::CoilsApart
        | Limit::LatchTrips
        | Limit::LatchHolds
        | Limit::WireStress
        | Limit::FollowerStays
        | Limit::ExtensionClears
        | Limit::SocketClears => None,
    };
    let short = standing.margin(Limit::Filled).is_some_and(Margin::is_in_the_way);
    // Of a type that is not whole nothing else is worth a word.
    let told = |limit: Limit| !short || limit == Limit::Filled;
    let all: Vec<&str> =
        standing.in_the_way().map(|m| m.limit).filter(|l| told(*l)).filter_map(word).collect();
    if all.is_empty() { "sound".to_owned() } else { all.join(", ") }
}
