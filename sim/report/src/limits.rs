//! The one list of limits in words and as data: every report, picture and page says it by these.

use super::owner::{OwnerUnits, milliseconds, percent, significant};
use super::table::Table;
use latchstroke_core::LatchSetting;
use latchstroke_core::limits::{Clock, Limit, Margin, Quantity, Standing, State, Unknown};
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::judge::{Cast, Judgement, Verdict, Why};
use latchstroke_core::studies::real_pace::{RESERVE, RealPace, SetBy};
use latchstroke_core::turn::Finding;
use serde_json::{Value, json};

/// Paces within this share of each other are one.
const SAME_PACE: f64 = 1e-3;

/// The name of a limit.
pub fn name(limit: Limit) -> &'static str {
    match limit {
        Limit::SpringsFit => "springs in their gap",
        Limit::SpringsTight => "springs tight at rest",
        Limit::CoilsApart => "coils apart",
        Limit::LatchTrips => "latch lets go",
        Limit::LatchHolds => "latch holds",
        Limit::WireStress => "stress in the wire",
        Limit::FollowerStays => "follower on its cam",
        Limit::ExtensionClears => "extension in the spring",
        Limit::SocketClears => "abutment clear of the extension",
        Limit::Filled => "mould full",
        Limit::Lapping => "lapping",
        Limit::Skin => "skin",
        Limit::Bulk => "metal flows",
        Limit::MatrixHeld => "matrix held",
        Limit::TrappedAir => "trapped air",
        Limit::Solid => "solid in time",
    }
}

/// What it means that a limit is missed, as the end of a sentence about the cast or the machine.
pub fn missed(limit: Limit) -> &'static str {
    match limit {
        Limit::SpringsFit => "the springs do not go into their gap",
        Limit::SpringsTight => "a spring lies loose at rest",
        Limit::CoilsApart => "a spring becomes solid over the lift",
        Limit::LatchTrips => "the latch never lets go",
        Limit::LatchHolds => "the latch never holds",
        Limit::WireStress => "a wire bears more than it may",
        Limit::FollowerStays => "the follower leaves its cam",
        Limit::ExtensionClears => "the extension does not go through the springs",
        Limit::SocketClears => "the abutment strikes the extension",
        Limit::Filled => "the mould does not become full",
        Limit::Lapping => "the first metal is too cold to knit: laps",
        Limit::Skin => "the skin on the face is too thick: rounded edges",
        Limit::Bulk => "the metal stops flowing: hollow",
        Limit::MatrixHeld => "the pressure lifts the matrix",
        Limit::TrappedAir => "too much air stays in the mould",
        Limit::Solid => "the type is not solid as the mould opens",
    }
}

/// The key of a limit for a program.
pub fn key(limit: Limit) -> &'static str {
    match limit {
        Limit::SpringsFit => "springs-fit",
        Limit::SpringsTight => "springs-tight",
        Limit::CoilsApart => "coils-apart",
        Limit::LatchTrips => "latch-trips",
        Limit::LatchHolds => "latch-holds",
        Limit::WireStress => "wire-stress",
        Limit::FollowerStays => "follower-stays",
        Limit::ExtensionClears => "extension-clears",
        Limit::SocketClears => "socket-clears",
        Limit::Filled => "filled",
        Limit::Lapping => "lapping",
        Limit::Skin => "skin",
        Limit::Bulk => "bulk",
        Limit::MatrixHeld => "matrix-held",
        Limit::TrappedAir => "trapped-air",
        Limit::Solid => "solid",
    }
}

/// The name of a clock.
pub fn clock(clock: Clock) -> &'static str {
    match clock {
        Clock::Lapping => "lapping limit",
        Clock::Skin => "skin limit",
        Clock::Bulk => "bulk limit",
    }
}

/// A verdict in words.
pub fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::LeaveAside => "leave the latch aside",
        Verdict::Set => "set the latch",
        Verdict::Neither => "neither will do",
        Verdict::NotKnown => "no verdict: a turn could not be solved",
    }
}

/// The same as it would be said to somebody.
pub(crate) fn short_advice(of: Verdict) -> &'static str {
    match of {
        Verdict::NotKnown => "no verdict",
        of => verdict(of),
    }
}

/// The same in a word, for a table.
pub fn short(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::LeaveAside => "aside",
        Verdict::Set => "SET",
        Verdict::Neither => "neither",
        Verdict::NotKnown => "not known",
    }
}

/// A setting of the latch.
pub fn setting(setting: LatchSetting) -> &'static str {
    match setting {
        LatchSetting::Aside => "latch aside",
        LatchSetting::Set => "latch set",
    }
}

/// How a limit stands, in words: "lapping, kept 1.7 times over"; "lapping, missed 1.4 times over".
pub fn stands(margin: &Margin) -> String {
    format!("{}, {}", name(margin.limit), how(margin))
}

/// The same without its name: "kept 1.7 times over".
pub fn how(margin: &Margin) -> String {
    match margin.state {
        State::Kept if margin.factor.is_finite() => {
            format!("kept {} times over", significant(margin.factor, 3))
        }
        State::Kept => "kept".to_owned(),
        State::Near => "inside its reserve".to_owned(),
        State::Missed if margin.factor > 0.0 => {
            format!("missed {} times over", significant(1.0 / margin.factor, 3))
        }
        State::Missed => "missed".to_owned(),
        State::NotKnown(why) => format!("not known: {}", unknown(why)),
    }
}

/// "18 pt at 22.8 turns/min: set the latch"; with the limit that decides where there is no such advice.
pub fn answer(judgement: &Judgement, units: &OwnerUnits) -> String {
    if judgement.can_be_cast() { advice(judgement, units) } else { headline(judgement, units) }
}

fn advice(judgement: &Judgement, units: &OwnerUnits) -> String {
    let cast = judgement.cast;
    let (size, pace) = (units.size(cast.sort.body.0), units.turns(cast.pace.0));
    format!("{size} at {pace}: {}", verdict(judgement.verdict))
}

/// "18 pt at 22.8 turns/min: set the latch; lapping decides, kept 1.3 times over".
pub fn headline(judgement: &Judgement, units: &OwnerUnits) -> String {
    let decides = decides(judgement).map_or_else(String::new, |decides| format!("; {decides}"));
    advice(judgement, units) + &decides
}

/// "lapping decides, kept 1.3 times over"; "solid in time decides, kept 1.1 times over, more at a slower pace; then lapping,
/// kept 1.3 times over"; none where there is no verdict.
fn decides(judgement: &Judgement) -> Option<String> {
    let mut told = judgement.told().filter(|_| !judgement.is_untrusted());
    let first = told.next()?;
    let next = told
        .next()
        .map_or_else(String::new, |next| format!(", more at a slower pace; then {}", stands(next)));
    Some(format!("{} decides, {}{next}", name(first.limit), how(first)))
}

/// "lapping 1.30": how many times over a limit is kept, where that is a number.
pub fn times(margin: &Margin) -> String {
    if margin.factor.is_finite() && margin.factor > 0.0 {
        format!("{} {}", name(margin.limit), significant(margin.factor, 3))
    } else {
        stands(margin)
    }
}

/// What is told of how a cast stands, in a cell of a table; a dash where nothing is.
pub(crate) fn telling(judgement: &Judgement, of: impl Fn(&Margin) -> String) -> String {
    let all: Vec<String> = judgement.told().map(of).collect();
    if all.is_empty() { "–".to_owned() } else { all.join("; then ") }
}

/// At which pace a command judges where none was asked for, and why; nothing where one was.
pub fn paced(cast: Cast, real: Option<&RealPace>, units: &OwnerUnits) -> String {
    let why = match real.map(|real| real.set_by) {
        None => return String::new(),
        Some(SetBy::Cooling) => format!(
            "the fastest that leaves it solid as the mould opens, over a reserve of {}",
            significant(RESERVE, 2)
        ),
        Some(SetBy::Machine) => "the fastest at which the machine is run".to_owned(),
        Some(SetBy::Nothing) => "though it is solid in time at no pace".to_owned(),
    };
    format!(
        "No pace was asked for, so {} is judged at {}, at which it is really cast: {why}.",
        units.size(cast.sort.body.0),
        units.turns(cast.pace.0)
    )
}

/// What is to be known of the scenario's own pace, where a turn is shown at it and the judge goes by another: a sentence.
pub fn own_pace(judgement: &Judgement, real: Option<&RealPace>, units: &OwnerUnits) -> Option<String> {
    let (own, real) = (judgement.cast.pace, real?.pace);
    if (own.0 / real.0).ln().abs() < SAME_PACE {
        return None;
    }
    let soft =
        if judgement.solid.in_time() { "" } else { ", at which the type is not solid as the mould opens" };
    Some(format!(
        "This is the scenario's own pace{soft}; \u{201c}latchstroke judge\u{201d} goes by {}, at which {} is really cast, unless --pace asks for another.",
        units.turns(real.0),
        units.size(judgement.cast.sort.body.0)
    ))
}

/// What it means that a limit is in the way, with its figures and, where it is of the machine, what would be right.
pub fn sentence(margin: &Margin, units: &OwnerUnits) -> String {
    let told = |si: Option<f64>| si.map_or_else(|| "–".to_owned(), |si| value(margin.limit, si, units));
    let (taken, bound) = (told(margin.value), told(margin.bound));
    let over = |si: (Option<f64>, Option<f64>)| told(si.0.zip(si.1).map(|(a, b)| (a - b).abs()));
    match margin.limit {
        Limit::SpringsFit => format!(
            "The springs do not go into their gap: at rest one of them is squeezed by {taken}, and it is solid after {bound}. A sleeve needs an extension of the same length."
        ),
        Limit::SpringsTight => format!(
            "A spring lies loose at rest: it is {taken} long in a gap of {bound}. An extension needs a sleeve of the same length."
        ),
        Limit::CoilsApart => format!(
            "A spring becomes solid over the lift: it is squeezed by {taken}, and is solid after {bound}. Ease the preload, or let the latch go earlier."
        ),
        Limit::LatchTrips => format!(
            "The latch never lets go: the cross block lifts {bound}, and the prongs would let go at {taken}. The sleeve is too short by at least {}, or there is none; leave the latch aside until it is right.",
            over((margin.value, margin.bound))
        ),
        Limit::LatchHolds => format!(
            "The latch never holds: at rest the abutment already spreads the prongs by {}. The sleeve is too long by that much; with it the turn is as with the latch aside.",
            over((margin.value, margin.bound))
        ),
        Limit::FollowerStays => {
            "The follower leaves its cam: the return spring cannot keep it there. Slow the pace or strengthen that spring."
                .to_owned()
        }
        Limit::WireStress => format!("A wire bears {taken} and may bear {bound}."),
        Limit::ExtensionClears => {
            format!("The extension, {taken} across, does not go through a spring {bound} wide inside.")
        }
        Limit::SocketClears => format!(
            "The abutment strikes the extension\u{2019}s socket: they close on each other by {taken}, and {bound} is between them at rest. Make the socket shallower, or cut thread on the rod further down and make the sleeve shorter."
        ),
        limit if limit.is_clock() => format!(
            "{} ({taken}, and it may take {bound} over a margin of {}).",
            first_upper(missed(limit)),
            significant(margin.reserve, 3)
        ),
        limit => format!("{} ({taken} against {bound}).", first_upper(missed(limit))),
    }
}

/// Whether a finding of a turn is told by a limit of the list too.
pub fn is_limit(finding: &Finding) -> bool {
    match finding {
        Finding::NeverTrips { .. }
        | Finding::NeverHolds { .. }
        | Finding::CoilBound { .. }
        | Finding::FollowerFloats { .. }
        | Finding::ShortCast { .. }
        | Finding::SealedEarly { .. }
        | Finding::MatrixLifts { .. } => true,
        Finding::EntryNeverReached { .. }
        | Finding::NotHome { .. }
        | Finding::EnergyOpen { .. }
        | Finding::Unsolved { .. } => false,
    }
}

/// With a capital letter.
pub fn first_upper(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Why nothing is known of a limit.
pub fn unknown(why: Unknown) -> &'static str {
    match why {
        Unknown::NotStated => "not stated",
        Unknown::Untrusted => "the turn could not be solved",
        Unknown::NeverFull => "the mould does not become full",
        Unknown::NoRoom => missed(Limit::SpringsFit),
    }
}

/// Why a search could not go further.
pub fn why(why: &Why) -> String {
    match why {
        Why::Fault(fault) => fault.what.to_string(),
        Why::Untrusted => "the turn could not be solved so that it can be trusted".to_owned(),
    }
}

/// Where something begins, with `value` writing it; `never` and `always` as the caller has it.
pub fn onset(onset: &Onset, value: impl Fn(f64) -> String, always: &str, never: &str) -> String {
    match onset {
        Onset::Always => always.to_owned(),
        Onset::From(si) => value(*si),
        Onset::Never => never.to_owned(),
        Onset::UnknownBeyond(si, reason) => {
            format!("not known beyond {}, because {}", value(*si), why(reason))
        }
    }
}

/// The same for a program.
pub fn onset_data(onset: &Onset) -> Value {
    match onset {
        Onset::Always => json!({ "from": "always" }),
        Onset::From(si) => json!({ "from": si }),
        Onset::Never => json!({ "from": "never" }),
        Onset::UnknownBeyond(si, reason) => json!({ "not_known_beyond": si, "because": why(reason) }),
    }
}

/// A value of a limit in the owner's units.
pub fn value(limit: Limit, si: f64, units: &OwnerUnits) -> String {
    match limit.quantity() {
        Quantity::Time if !si.is_finite() => "never".to_owned(),
        Quantity::Time => milliseconds(si),
        Quantity::Length => units.lift(si),
        Quantity::Force => units.force(si),
        Quantity::Stress => units.pressure(si),
        Quantity::Share => percent(si),
    }
}

/// Every limit of which anything is to be told, in their order, with the latch aside and with it set.
pub fn told(judgement: &Judgement) -> impl Iterator<Item = (Limit, [Option<&Margin>; 2])> {
    Limit::ALL.iter().filter_map(|&limit| {
        let both = [LatchSetting::Aside, LatchSetting::Set].map(|of| judgement.standing(of).margin(limit));
        let told = |margin: &&Margin| margin.is_known() || margin.value.is_some();
        both.iter().flatten().any(told).then_some((limit, both))
    })
}

/// Every limit with either setting of the latch, as a table.
pub(crate) fn table(judgement: &Judgement, units: &OwnerUnits) -> Table {
    let mut table = Table::new(&["limit", "may be", "latch aside", "", "latch set", ""]);
    for (limit, [aside, set]) in told(judgement) {
        let bound =
            aside.or(set).and_then(|m| m.bound).map_or_else(|| "–".to_owned(), |si| value(limit, si, units));
        let cells = |margin: Option<&Margin>| {
            let taken =
                margin.and_then(|m| m.value).map_or_else(|| "–".to_owned(), |si| value(limit, si, units));
            [taken, margin.map_or_else(|| "–".to_owned(), |m| state(m).to_owned())]
        };
        let [a, b] = [cells(aside), cells(set)];
        table.row([name(limit).to_owned(), bound].into_iter().chain(a).chain(b));
    }
    table
}

/// How a limit stands, in a word.
pub fn state(margin: &Margin) -> &'static str {
    match margin.state {
        State::Kept => "kept",
        State::Near => "near",
        State::Missed => "missed",
        State::NotKnown(_) => "not known",
    }
}

/// One setting's list for a program: SI, in the order of the factors.
pub fn data(standing: &Standing) -> Value {
    let unit = |limit: Limit| match limit.quantity() {
        Quantity::Time => "s",
        Quantity::Length => "m",
        Quantity::Force => "N",
        Quantity::Stress => "Pa",
        Quantity::Share => "1",
    };
    let finite = |value: f64| value.is_finite().then_some(value);
    standing
        .margins
        .iter()
        .map(|margin| {
            json!({
                "limit": key(margin.limit),
                "value": margin.value.and_then(finite),
                "bound": margin.bound.and_then(finite),
                "unit": unit(margin.limit),
                "reserve": margin.reserve,
                "factor": finite(margin.factor).filter(|_| margin.is_known()),
                "state": state(margin).replace(' ', "-"),
                "because": match margin.state {
                    State::NotKnown(why) => Some(unknown(why)),
                    _ => None,
                },
            })
        })
        .collect()
}

/// What every command says of a judgement to a program: the verdict, the limit that decides, and both lists.
pub fn judged(judgement: &Judgement) -> Value {
    json!({
        "verdict": verdict(judgement.verdict),
        "deciding": judgement.deciding().map(|margin| key(margin.limit)),
        "next": judgement.told().nth(1).map(|margin| key(margin.limit)),
        "limits_latch_aside": data(judgement.standing(LatchSetting::Aside)),
        "limits_latch_set": data(judgement.standing(LatchSetting::Set)),
        "verdict_for_splashed_film": verdict(judgement.otherwise[0]),
        "verdict_for_stirred_metal": verdict(judgement.otherwise[1]),
    })
}

/// Where another reading of the metal on the face would give another verdict, a sentence that says so.
pub fn otherwise(judgement: &Judgement) -> Option<String> {
    let [splashed, stirred] = judgement.otherwise;
    let says = |of: Verdict| (of != judgement.verdict).then(|| verdict(of));
    match (says(splashed), says(stirred)) {
        (None, None) => None,
        (Some(a), None) => Some(format!(
            "Were the metal on the face a film splashed ahead, with no hot metal behind it, the verdict would be: {a}."
        )),
        (None, Some(b)) => {
            Some(format!("Were all metal in the mould perfectly stirred, the verdict would be: {b}."))
        }
        (Some(a), Some(b)) => Some(format!(
            "Were the metal on the face a film splashed ahead, the verdict would be: {a}; were all of it perfectly stirred: {b}."
        )),
    }
}
