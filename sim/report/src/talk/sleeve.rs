//! The window of sleeve lengths, and the length to make.

use super::super::charts::close;
use super::super::limits;
use super::super::owner::milliseconds;
use super::super::sleeve::{self, chart};
use super::{Draft, Note, Told};
use latchstroke_core::limits::Limit;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::sleeve::{Answer, Group, Refusal, Step, Thrown};
use latchstroke_models::latch::LatchSetting;

/// Why the picture is left out, where it is.
pub(super) fn missing(told: &Told<'_>) -> Option<String> {
    let Some(answer) = &told.talk.sleeve else {
        return Some("The window of sleeve lengths: the trip lift was read directly, so nothing says how it hangs on the sleeve. State bare_clearance, sleeve and extension in [stack] and prong_travel in [latch] instead of trip_lift.".to_owned());
    };
    let fills = |step: &Step| step.casts.iter().any(|thrown| thrown.turn.sound_fill_time().is_some());
    let none = matches!(&answer.recommendation, Err(Refusal::NoOneLength(groups, _)) if groups.is_empty());
    if none && told.is_soft() {
        return Some("The window of sleeve lengths: no sleeve makes the metal solid sooner.".to_owned());
    }
    (!answer.steps.iter().any(fills))
        .then(|| format!("The window of sleeve lengths: {}.", headline(told, answer).replace('\u{a0}', " ")))
}

/// The picture; none where the trip lift was read directly, or the mould comes full with no sleeve.
pub(super) fn draft(told: &Told<'_>) -> Option<Draft<'static>> {
    if missing(told).is_some() {
        return None;
    }
    let answer = told.talk.sleeve.as_ref()?;
    let source = told.source(&told.at_pace());
    let headline = headline(told, answer);
    let mut drawn = chart(&words(told, answer), &source);
    drawn.headline.clone_from(&headline);
    Some(Draft { stem: "sleeve", picture: Box::new(drawn), headline, source, note: note(told, answer) })
}

fn words<'a>(told: &'a Told<'_>, answer: &'a Answer) -> sleeve::Told<'a> {
    sleeve::Told {
        machine: told.machine,
        answer,
        acceptance: told.acceptance,
        reserve_stated: told.reserve_stated,
        units: told.units,
    }
}

/// A length along the rod, close-set.
pub(super) fn long(told: &Told<'_>, si: f64) -> String {
    close(&told.units.along(si))
}

/// "36 pt fills in 58.5 ms, of 62.1 ms allowed"; or the limit in the way.
pub(super) fn fills(told: &Told<'_>, thrown: &Thrown) -> String {
    let size = close(&told.units.size(thrown.cast.sort.body.0));
    match (thrown.turn.sound_fill_time(), thrown.standing.cause()) {
        (_, Some(margin)) => format!("for {size} {}", limits::missed(margin.limit)),
        (Some(time), None) => format!(
            "{size} fills in {}, of {} allowed",
            close(&milliseconds(time)),
            close(&milliseconds(thrown.allowed))
        ),
        (None, None) => format!("for {size} nothing is known"),
    }
}

/// What a step does for the largest size that it is made for: of those that want the latch, or of all.
fn largest<'a>(answer: &Answer, step: &'a Step) -> Option<&'a Thrown> {
    let wanting = |thrown: &&Thrown| answer.served.iter().any(|s| s.cast == thrown.cast && s.wants_latch);
    let by_body = |a: &&Thrown, b: &&Thrown| a.cast.sort.body.0.total_cmp(&b.cast.sort.body.0);
    step.casts.iter().filter(wanting).max_by(by_body).or_else(|| step.casts.iter().max_by(by_body))
}

/// The middle of what serves a group of sizes, m.
pub(super) fn middle(group: &Group) -> f64 {
    f64::midpoint(group.window.0, group.window.1)
}

/// "14 to 24 pt", or the only size.
fn sizes(told: &Told<'_>, casts: &[Cast]) -> String {
    let size = |cast: &Cast| close(&told.units.size(cast.sort.body.0));
    match casts {
        [] => String::new(),
        [only] => size(only),
        [first, .., last] => format!("{} to {}", size(first), size(last)),
    }
}

/// What the study of the sleeve comes to, the one thing said of it in the whole talk: keep, make, or none.
fn headline(told: &Told<'_>, answer: &Answer) -> String {
    let now = long(told, answer.present.sleeve);
    let wrong =
        told.talk.judgement.standing(LatchSetting::Set).in_the_way().find_map(|margin| match margin.limit {
            Limit::LatchTrips => Some("is too short to trip"),
            Limit::LatchHolds => Some("is too long to hold"),
            _ => None,
        });
    let now_words = wrong.map_or_else(String::new, |wrong| format!("The sleeve of {now} {wrong}; "));
    match &answer.recommendation {
        Ok(recommendation) => {
            let step = &recommendation.step;
            let does = largest(answer, step).map_or(String::new(), |thrown| fills(told, thrown));
            let make = long(told, step.sleeve);
            match (recommendation.keep, wrong) {
                (true, _) => format!("Keep the sleeve of {now}: with it {does}"),
                (false, Some(_)) => format!("{now_words}with one of {make} {does}"),
                (false, None) => format!("A sleeve of {make} instead of {now}: with it {does}"),
            }
        }
        Err(refusal) if wrong.is_some() => now_words + &lower(&refused(told, answer, refusal)),
        Err(refusal) => refused(told, answer, refusal),
    }
}

/// Without a capital letter, to go on a sentence.
fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

fn refused(told: &Told<'_>, answer: &Answer, refusal: &Refusal) -> String {
    let lift = |si: f64| close(&told.lift(si));
    let window = answer.window;
    match refusal {
        Refusal::NoWindow => format!(
            "No sleeve works: the prongs travel {}, and the cross block lifts only {}",
            lift(window.prong_travel),
            lift(window.block_lift)
        ),
        Refusal::TooNarrow(low, high) => format!(
            "No sleeve can be recommended: all limits are kept over {} only, and {} may be off at either end",
            lift(high - low),
            lift(answer.tolerance)
        ),
        Refusal::NoOneLength(groups, _) if groups.is_empty() => {
            let hindered = answer.served.iter().filter(|served| served.wants_latch);
            let why = hindered.filter_map(|served| served.hindered_by).next_back();
            let why = why.map_or_else(String::new, |limit| format!(": {}", limits::missed(limit)));
            format!("No length of sleeve will do for a size that wants the latch{why}")
        }
        Refusal::NoOneLength(groups, none) => {
            let each = groups
                .iter()
                .map(|group| format!("{} for {}", long(told, middle(group)), sizes(told, &group.casts)));
            let none =
                if none.is_empty() { String::new() } else { format!("; none serves {}", sizes(told, none)) };
            let each: Vec<String> = each.collect();
            format!("No one sleeve serves all sizes: {}{none}", each.join(", "))
        }
    }
}

fn note(told: &Told<'_>, answer: &Answer) -> Note {
    let window = answer.window;
    let made = |si: f64| told.units.along(si);
    let mut say = vec![
        format!(
            "Shorter than {} the latch never trips; longer than {} it never holds.",
            made(window.shortest),
            made(window.longest)
        ),
        format!(
            "The trip lift may be off by {}, and that is kept in hand at both ends.",
            told.lift(answer.tolerance)
        ),
        format!("The sleeve now fitted is {} long.", made(answer.present.sleeve)),
    ];
    match &answer.recommendation {
        Ok(recommendation) => {
            let step = &recommendation.step;
            let (low, high) = recommendation.window;
            say.push(if recommendation.keep {
                format!(
                    "Keep it: all limits are kept from {} to {}, and it lies inside.",
                    made(low),
                    made(high)
                )
            } else {
                format!(
                    "The one recommended is {} long, in the middle of {} to {}, over which all limits are kept; the rod is lengthened by as much.",
                    made(step.sleeve),
                    made(low),
                    made(high)
                )
            });
            let size = |thrown: &Thrown| {
                format!("With it, latch set, {}.", fills(told, thrown).replace('\u{a0}', " "))
            };
            say.extend(step.casts.iter().map(size));
        }
        Err(refusal) => {
            say.push(refused(told, answer, refusal).replace('\u{a0}', " ") + ".");
        }
    }
    for served in answer.served.iter().filter(|served| served.lengths.is_empty()) {
        if let Some(limit) = served.hindered_by {
            let size = told.units.size(served.cast.sort.body.0);
            say.push(format!(
                "No length keeps all limits for {size} with the latch set: {}.",
                limits::missed(limit)
            ));
        }
    }
    Note {
        shows: "Fill time with the latch set, and how many times over the limit that decides is kept, against the length of the sleeve.".to_owned(),
        computed: format!("{} lengths, each with every size and the latch set; the ends of the windows by root finding.", answer.steps.len()),
        say,
        questions: vec![
            (
                "Why not as short as possible?".to_owned(),
                "A shorter sleeve throws further, and loads the latch more as it lets go; the matrix comes nearer to lifting. The middle of the window leaves the most in hand at both ends.".to_owned(),
            ),
            (
                "Why lengthen the rod too?".to_owned(),
                "So that the springs press at rest as they did without either.".to_owned(),
            ),
        ],
    }
}
