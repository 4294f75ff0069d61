//! Fill time and piston speed against the preload.

use super::super::charts::close;
use super::super::limits;
use super::super::preload::{self, filling, reach_words};
use super::{Draft, Note, Told};
use latchstroke_core::studies::preload::{Reach, Setting};
use latchstroke_models::latch::LatchSetting;

/// Sides of the latch, in the order of the reaches.
const SIDES: [&str; 2] = ["latch aside", "latch set"];
/// A range that begins below this share of its end is told by its end alone.
const SLACK: f64 = 0.01;

/// Why the picture is left out, where it is.
pub(super) fn missing(told: &Told<'_>) -> Option<String> {
    let answer = &told.talk.preload;
    let fills = |setting: &Setting| {
        [LatchSetting::Aside, LatchSetting::Set]
            .iter()
            .any(|side| setting.turn(*side).sound_fill_time().is_some())
    };
    let why = if !answer.settings.iter().any(fills) {
        "at none tried does the mould come full"
    } else if answer.reaches.iter().all(Option::is_none) && told.is_soft() {
        "no spring makes the metal solid sooner"
    } else {
        return None;
    };
    Some(format!("What the adjusting nut does: {why}."))
}

/// The picture; none where the nut does nothing for the cast.
pub(super) fn draft(told: &Told<'_>) -> Option<Draft<'static>> {
    if missing(told).is_some() {
        return None;
    }
    let source = told.source(&told.cast());
    let headline = headline(told);
    let mut chart = filling(&words(told), &source);
    chart.headline.clone_from(&headline);
    Some(Draft { stem: "preload", picture: Box::new(chart), headline, source, note: note(told) })
}

fn words<'a>(told: &'a Told<'_>) -> preload::Told<'a> {
    preload::Told {
        real: None,
        machine: told.machine,
        answer: &told.talk.preload,
        acceptance: told.acceptance,
        from_reference: told.from_reference,
        units: told.units,
    }
}

fn headline(told: &Told<'_>) -> String {
    let preload = |si: f64| close(&told.force(si));
    let answer = &told.talk.preload;
    let now = answer.nut.preload(0.0);
    let range = |(low, high): (f64, f64)| {
        let span = if low < SLACK * high {
            format!("up to {}", preload(high))
        } else {
            format!("{} to {}", preload(low), preload(high))
        };
        let stands = if (low..=high).contains(&now) { "" } else { ", and that will not do" };
        format!("the springs may press with {span} at rest; now it is {}{stands}", preload(now))
    };
    let of = |reach: &Reach| (reach.low.preload, reach.high.preload);
    match &answer.reaches {
        [Some(aside), Some(set)] => {
            // What does with either setting is what both have in common.
            let (low, high) = (of(aside).0.max(of(set).0), of(aside).1.min(of(set).1));
            if low <= high {
                format!("Latch aside or set, {}", range((low, high)))
            } else {
                format!("With the latch aside {}", range(of(aside)))
            }
        }
        [None, Some(set)] => format!("With the latch set {}", range(of(set))),
        [Some(aside), None] => format!("With the latch aside {}", range(of(aside))),
        [None, None] => {
            let judgement = &told.talk.judgement;
            let nearer = judgement.standing(judgement.advised()).cause();
            let why = nearer.map_or("no turn of it could be solved", |margin| limits::missed(margin.limit));
            format!(
                "No turn of the adjusting nut helps {}; at the present {} {why}",
                told.cast(),
                preload(now)
            )
        }
    }
}

fn note(told: &Told<'_>) -> Note {
    let answer = &told.talk.preload;
    let words = words(told);
    let mut say =
        vec![format!("The springs press with {} at rest now.", told.force(answer.nut.preload(0.0)))];
    let reaches = SIDES.into_iter().zip(&answer.reaches);
    say.extend(reaches.map(|(name, reach)| reach_words(&words, name, reach.as_ref())));
    let (slack, tight) = (answer.settings.first(), answer.settings.last());
    if let (Some(slack), Some(tight)) = (slack, tight) {
        say.push(format!(
            "From {} to {} the thrown piston's greatest speed goes from {} to {}, the carried one's from {} to {}.",
            told.force(slack.preload),
            told.force(tight.preload),
            told.speed(slack.judgement.set.peaks.piston_speed),
            told.speed(tight.judgement.set.peaks.piston_speed),
            told.speed(slack.judgement.aside.peaks.piston_speed),
            told.speed(tight.judgement.aside.peaks.piston_speed)
        ));
    }
    let why_not = match answer.nut.machine.coil_room() {
        Some(room) => format!(
            "Every turn of it uses up closing of the springs: {} are left from rest until coils touch. It also loads latch, cam and wire more.",
            told.lift(room)
        ),
        None => "It loads latch, cam and wire more; how near the coils come is not known, since free and solid lengths of the springs are not stated.".to_owned(),
    };
    Note {
        shows: format!(
            "Fill time and greatest piston speed for {} against the force of the springs at rest, which the adjusting nut sets.",
            told.cast()
        ),
        computed: format!(
            "{} settings of the adjusting nut, each solved with the latch aside and set; the ends of a range by root finding.",
            answer.settings.len()
        ),
        say,
        questions: vec![("Why not just screw the adjusting nut down?".to_owned(), why_not)],
    }
}
