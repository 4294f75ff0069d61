//! What a skin is: the mould cut open as it is full, latch aside and set, beside as much skin as is accepted.

use super::super::charts::close;
use super::super::limits;
use super::super::owner::{milliseconds, percent};
use super::{Draft, EMPTY, Note, Told};
use latchstroke_core::turn::{Instant, Turn};
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::{Cut, Look, Piece, Pieces};

/// A skin thinner than this is none, m.
const NONE: f64 = 5e-6;
const SETTINGS: [LatchSetting; 2] = [LatchSetting::Aside, LatchSetting::Set];

/// How the mould stands as it is full, or, where it does not come full, as it is as full as it gets.
struct Stand {
    fill: f64,
    skin: f64,
    /// Time to fill it, s; none where it does not come full.
    time: Option<f64>,
}

fn stand(turn: &Turn) -> Option<Stand> {
    if let Some(fill) = turn.fill {
        let skin = fill.skin.or_else(|| Some(turn.trace.iter().find(|i| i.time >= fill.full)?.skin))?;
        return Some(Stand { fill: 1.0, skin, time: Some(fill.time()) });
    }
    let fuller = |a: &&Instant, b: &&Instant| a.fill.total_cmp(&b.fill);
    let fullest = turn.trace.iter().max_by(fuller).filter(|instant| instant.fill >= EMPTY)?;
    Some(Stand { fill: fullest.fill.min(1.0), skin: fullest.skin, time: None })
}

/// Each setting with how its mould stands, where metal comes into it.
fn stands(told: &Told<'_>) -> Vec<(LatchSetting, Stand)> {
    let judgement = &told.talk.judgement;
    SETTINGS.into_iter().filter_map(|setting| Some((setting, stand(judgement.turn(setting))?))).collect()
}

/// Why the picture is left out, where it is.
pub(super) fn missing(told: &Told<'_>) -> Option<String> {
    let empty = !told.is_solved() || stands(told).is_empty();
    empty
        .then(|| "What a skin is: no metal comes into the mould, or its turn could not be solved.".to_owned())
}

/// The picture; none where no metal comes into the mould.
pub(super) fn draft(told: &Told<'_>) -> Option<Draft<'static>> {
    if missing(told).is_some() {
        return None;
    }
    let (judgement, stands) = (&told.talk.judgement, stands(told));
    let source = told.source(&format!("{}, the width of the mould and the skin to one scale", told.cast()));
    let headline = headline(told, &stands);
    let (body, depth) = (judgement.cast.sort.body.0, told.depth());
    let mut picture = Pieces::new(&headline).with_source(&source);
    for (setting, stand) in &stands {
        picture = picture.with_piece(Piece {
            name: limits::setting(*setting).to_owned(),
            words: words(told, stand),
            look: Look::Mould(Cut { body, depth, fill: stand.fill, skin: stand.skin }),
            marked: false,
        });
    }
    let accepted = told.acceptance.skin;
    let picture = picture.with_piece(Piece {
        name: "as much as is accepted".to_owned(),
        words: format!("{} of skin on the face as the mould is full", close(&told.units.skin(accepted))),
        look: Look::Mould(Cut { body, depth, fill: 1.0, skin: accepted }),
        marked: true,
    });
    Some(Draft { stem: "skin", picture: Box::new(picture), headline, source, note: note(told, &stands) })
}

fn skin(told: &Told<'_>, stand: &Stand) -> String {
    if stand.skin < NONE {
        "no skin".to_owned()
    } else {
        format!("a skin of {}", close(&told.units.skin(stand.skin)))
    }
}

fn words(told: &Told<'_>, stand: &Stand) -> String {
    match stand.time {
        Some(time) => {
            format!("full after {}: {} on its walls", close(&milliseconds(time)), skin(told, stand))
        }
        None => format!(
            "never full: {} of it, with {} on its walls",
            close(&percent(stand.fill)),
            skin(told, stand)
        ),
    }
}

fn headline(told: &Told<'_>, stands: &[(LatchSetting, Stand)]) -> String {
    let with = |setting| match setting {
        LatchSetting::Aside => "with it aside",
        LatchSetting::Set => "with it set",
    };
    match stands {
        [(_, a), (_, b)] if a.time.is_some() && b.time.is_some() && a.skin.max(b.skin) < NONE => {
            "Metal freezes on from the wall, but here the mould is full before a skin forms, latch aside or set"
                .to_owned()
        }
        [(_, a), (_, b)] if a.time.is_some() && b.time.is_some() => format!(
            "Metal freezes on from the wall: {} by the time the mould is full with the latch aside, {} with it set",
            skin(told, a),
            skin(told, b)
        ),
        [(_, a), (_, b)] if a.time.is_none() && b.time.is_none() => {
            "Metal freezes on from the wall, and here it freezes before the mould is full, latch aside or set"
                .to_owned()
        }
        [(full, a), (late, b)] | [(late, b), (full, a)] if a.time.is_some() && b.time.is_none() => format!(
            "Metal freezes on from the wall: {} as the mould is full, {}; {} it never comes full",
            skin(told, a),
            limits::setting(*full),
            with(*late)
        ),
        _ => match stands.first() {
            Some((setting, stand)) if stand.time.is_some() => format!(
                "Metal freezes on from the wall: {} as the mould is full, {}",
                skin(told, stand),
                limits::setting(*setting)
            ),
            _ => "Metal freezes on from the wall, and here it freezes before the mould is full".to_owned(),
        },
    }
}

fn note(told: &Told<'_>, stands: &[(LatchSetting, Stand)]) -> Note {
    let clocks = &told.talk.judgement.clocks;
    let mut say: Vec<String> = stands
        .iter()
        .map(|(setting, stand)| {
            format!("{}: {}.", limits::first_upper(limits::setting(*setting)), words(told, stand))
                .replace('\u{a0}', " ")
        })
        .collect();
    say.push("The skin grows inwards from the cold wall. It is not the whole danger: the metal that came in first cools too, and streams that meet too cold do not knit.".to_owned());
    say.push(format!(
        "The first metal knits for {}; the middle flows for {}.",
        milliseconds(clocks.lapping),
        milliseconds(clocks.bulk)
    ));
    Note {
        shows: "The mould cut open: iron round it, the matrix above, metal that is still liquid in the middle and the skin that has frozen on its walls.".to_owned(),
        computed: "The skin where the metal came in first, from the two turns of the cast.".to_owned(),
        say,
        questions: vec![(
            "How thick may it be?".to_owned(),
            format!(
                "{} on the face are accepted here. That is the caster's judgement: look at the edges of your own type.",
                told.units.skin(told.acceptance.skin)
            ),
        )],
    }
}
