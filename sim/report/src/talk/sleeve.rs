//! The window of sleeve lengths, and the length to make.

use super::super::charts::close;
use super::super::owner::{milliseconds, rounded};
use super::super::sleeve::{self, chart};
use super::{Draft, Note, Told};
use latchstroke_core::studies::sleeve::{Answer, Cast, Recommendation, Refusal, Step};
use latchstroke_core::turn::Finding;
use latchstroke_scenario::quantity::nearest_64th;

/// Lengths closer than this are one, m.
pub(super) const SAME: f64 = 0.05e-3;

/// The picture; none where the trip lift was read directly.
pub(super) fn draft(told: &Told<'_>) -> Option<Draft<'static>> {
    let answer = told.talk.sleeve.as_ref()?;
    let source = told.source(&close(&told.pace()));
    let headline = headline(told, answer);
    let mut drawn = chart(&words(told, answer), &source);
    drawn.headline.clone_from(&headline);
    Some(Draft { stem: "sleeve", picture: Box::new(drawn), headline, source, note: note(told, answer) })
}

fn words<'a>(told: &'a Told<'_>, answer: &'a Answer) -> sleeve::Told<'a> {
    sleeve::Told {
        machine: told.machine,
        answer,
        pace: told.talk.judgement.cast.pace.0,
        acceptance: told.acceptance,
        reserve_stated: told.reserve_stated,
        length: told.length,
        units: told.units,
    }
}

/// A length along the rod, close-set; as one reads it off a rule where it is a sixty-fourth of an inch.
pub(super) fn long(told: &Told<'_>, si: f64) -> String {
    let sixty_fourths = 64.0 * told.length.from_si(si);
    // To within half a thousandth of an inch.
    let on_the_rule = told.length.symbol == "in" && (sixty_fourths - sixty_fourths.round()).abs() < 0.032;
    close(&if on_the_rule { nearest_64th(si) } else { rounded(told.length, si, 4) })
}

/// What a step does for the largest size of all.
fn largest<'a>(step: &'a Step, recommendation: &Recommendation) -> Option<&'a Cast> {
    step.casts.iter().find(|cast| cast.sort == recommendation.largest)
}

/// "fills 36 pt in 58.5 ms, of 62.1 ms allowed".
fn fills(told: &Told<'_>, cast: &Cast) -> String {
    let size = close(&told.units.size(cast.sort.body.0));
    let allowed = close(&milliseconds(cast.allowed));
    match cast.turn.sound_fill_time().map(|time| close(&milliseconds(time))) {
        Some(time) if cast.will_do => format!("fills {size} in {time}, of {allowed} allowed"),
        Some(time) => format!("fills {size} in {time}, though only {allowed} are allowed"),
        None => format!("does not fill {size}"),
    }
}

fn headline(told: &Told<'_>, answer: &Answer) -> String {
    let lift = |si: f64| close(&told.lift(si));
    let window = answer.window;
    let recommendation = match &answer.recommendation {
        Ok(recommendation) => recommendation,
        Err(Refusal::NoWindow) => {
            return format!(
                "No sleeve works: the prongs travel {}, and the cross block lifts only {}",
                lift(window.prong_travel),
                lift(window.block_lift)
            );
        }
        Err(Refusal::TooNarrow) => {
            return format!(
                "No sleeve can be recommended: lengths that work span {}, and {} is kept at each end",
                lift(window.longest - window.shortest),
                lift(answer.reserve)
            );
        }
        Err(Refusal::NoMargin) => {
            return "No sleeve keeps clear both of touching coils and of a lifting matrix".to_owned();
        }
    };
    let (now, best) = (answer.present.sleeve, recommendation.step.sleeve);
    let does = largest(&recommendation.step, recommendation).map_or(String::new(), |cast| fills(told, cast));
    let wrong = match answer.present.fault() {
        Some(Finding::NeverTrips { .. }) => Some("too short to trip"),
        Some(Finding::NeverHolds { .. }) => Some("too long to hold"),
        _ => None,
    };
    let present = &answer.present;
    let keeps = present.casts.iter().all(|cast| cast.will_do)
        && present.margin() >= 0.0
        && window.lift_left(now).min(window.clearance(now)) >= answer.reserve;
    let (now_words, best_words) = (long(told, now), long(told, best));
    match wrong {
        Some(wrong) => format!("The sleeve of {now_words} is {wrong}; one of {best_words} {does}"),
        None if (now - best).abs() < SAME => format!("The sleeve of {now_words} is right: it {does}"),
        None if keeps => {
            let does = largest(present, recommendation).map_or(String::new(), |cast| fills(told, cast));
            let other = if best > now { "loads the latch less" } else { "throws further" };
            format!("The sleeve of {now_words} {does}; one of {best_words} {other}")
        }
        None => format!("A sleeve of {best_words} instead of {now_words} {does}"),
    }
}

fn note(told: &Told<'_>, answer: &Answer) -> Note {
    let window = answer.window;
    let made = |si: f64| rounded(told.length, si, 4);
    let mut say = vec![
        format!(
            "Shorter than {} the latch never trips; longer than {} it never holds.",
            made(window.shortest),
            made(window.longest)
        ),
        format!("{} of lift are kept in hand at both ends.", told.lift(answer.reserve)),
        format!("The sleeve now fitted is {} long.", made(answer.present.sleeve)),
    ];
    if let Ok(recommendation) = &answer.recommendation {
        let step = &recommendation.step;
        say.push(format!(
            "The one recommended is {} long, and the rod is lengthened by as much: it trips at a lift of {} with {} of lift left.",
            made(step.sleeve),
            told.lift(step.trip_lift),
            told.lift(window.lift_left(step.sleeve))
        ));
        let size = |cast: &Cast| {
            let words = fills(told, cast).replace('\u{a0}', " ");
            format!("With it the latch {words}.")
        };
        say.extend(step.casts.iter().map(size));
    }
    Note {
        shows: "Fill time with the latch set, and the margins at both ends, against the length of the sleeve; the shaded lengths trip and hold.".to_owned(),
        computed: format!("{} lengths, each with every size and the latch set; the ends of the window by root finding.", answer.steps.len()),
        say,
        questions: vec![
            (
                "Why not as short as possible?".to_owned(),
                "A shorter sleeve throws further, and loads the latch more as it lets go; the matrix comes nearer to lifting. The length recommended is the longest whose springs still drive all the metal by themselves, or come nearest to that within the margins.".to_owned(),
            ),
            (
                "Why lengthen the rod too?".to_owned(),
                "So that the springs press at rest as they did without either.".to_owned(),
            ),
        ],
    }
}
