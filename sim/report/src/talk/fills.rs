//! Fill time against what is allowed, for the sizes shown.

use super::super::charts::close;
use super::super::limits::{self, clock};
use super::super::owner::{milliseconds, significant};
use super::{Draft, Note, Told, fill, latch_fails};
use latchstroke_core::limits::{Clock, Does};
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::judge::Judgement;
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::{Axis, Hatch, LineChart, Panel, Series, Stroke};

/// Allowed times within this share of each other are drawn as one.
const ALIKE: f64 = 0.01;

/// Times further apart than this, as a ratio, are drawn on a scale of powers of ten.
const DECADE: f64 = 10.0;

/// Room above and below what is drawn, as a ratio.
const ROOM: f64 = 1.3;

const SIDES: [(&str, usize, Stroke, LatchSetting); 2] = [
    ("latch aside", 1, Stroke::Dashed, LatchSetting::Aside),
    ("latch set", 0, Stroke::Solid, LatchSetting::Set),
];

/// Why the picture is left out, where it is.
pub(super) fn missing(told: &Told<'_>) -> Option<String> {
    let fills = |judgement: &Judgement| SIDES.iter().any(|(.., side)| point(judgement, *side).is_some());
    let none = !told.talk.curve.iter().any(fills);
    none.then(|| {
        "In time or not: near the sizes asked the mould comes full with neither setting of the latch."
            .to_owned()
    })
}

/// The fill time of a size with a setting, s, where the machine can work so and the mould comes full.
fn point(judgement: &Judgement, side: LatchSetting) -> Option<f64> {
    let works = !judgement.standing(side).in_the_way().any(|margin| margin.limit.is_of_machine());
    judgement.turn(side).sound_fill_time().filter(|_| works)
}

/// The picture; none where nothing comes full.
pub(super) fn draft(told: &Told<'_>) -> Option<Draft<'static>> {
    if missing(told).is_some() {
        return None;
    }
    let source = told.source(&told.at_pace());
    let headline = headline(told);
    let units = &told.units;
    let drawn = |judgement: &Judgement, side: LatchSetting| {
        let time = point(judgement, side);
        (units.body.from_si(judgement.cast.sort.body.0), time.map_or(f64::NAN, |time| time * 1e3))
    };
    let axis = Axis::new("time to fill the mould", "ms");
    let mut panel = Panel::new(match times(told) {
        Some((least, most)) if most > DECADE * least => {
            axis.log().range(least * 1e3 / ROOM, most * 1e3 * ROOM)
        }
        Some((_, most)) => axis.range(0.0, most * 1e3 * ROOM),
        None => axis,
    });
    for (name, style, stroke, side) in SIDES {
        let curve: Vec<(f64, f64)> = told.talk.curve.iter().map(|judgement| drawn(judgement, side)).collect();
        if curve.iter().any(|(_, time)| time.is_finite()) {
            let asked: Vec<(f64, f64)> =
                told.talk.sizes.iter().map(|judgement| drawn(judgement, side)).collect();
            panel = panel
                .with_series(Series::new(name, curve).style(style).stroke(stroke))
                .with_series(Series::new("", asked).style(style).markers_only());
        }
    }
    let allowed = |judgement: &Judgement| judgement.clocks.allowed;
    let (least, most) = range(told.talk.curve.iter().map(allowed));
    if most - least <= ALIKE * most {
        let name = format!("time allowed {}", close(&milliseconds(least)));
        panel = panel.with_limit(least * 1e3, name, Hatch::Above);
    } else {
        let curve = told.talk.curve.iter();
        let points =
            curve.map(|judgement| (units.body.from_si(judgement.cast.sort.body.0), allowed(judgement) * 1e3));
        panel = panel.with_series(Series::new("time allowed", points).as_limit());
    }
    let chart = LineChart::new(&headline, Axis::new("body size", units.body.symbol))
        .with_panel(panel)
        .with_source(&source);
    Some(Draft { stem: "fill-times", picture: Box::new(chart), headline, source, note: note(told) })
}

/// The least and greatest of all times drawn, s.
fn times(told: &Told<'_>) -> Option<(f64, f64)> {
    let fills = |judgement: &Judgement| SIDES.map(|(.., side)| point(judgement, side));
    let filled = told.talk.curve.iter().flat_map(fills).flatten();
    let (least, most) = range(filled.chain(told.talk.curve.iter().map(|judgement| judgement.clocks.allowed)));
    (least <= most).then_some((least, most))
}

fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, 0.0), |(low, high), value| (low.min(value), high.max(value)))
}

/// "62.1 ms", or "48.1 ms to 62.1 ms".
fn allowed(told: &Told<'_>) -> String {
    let (least, most) = range(told.talk.sizes.iter().map(|judgement| judgement.clocks.allowed));
    if most - least <= ALIKE * most {
        milliseconds(least)
    } else {
        format!("{} to {}", milliseconds(least), milliseconds(most))
    }
}

fn headline(told: &Told<'_>) -> String {
    let sizes = &told.talk.sizes;
    let allowed = close(&allowed(told));
    if let [only] = sizes.as_slice() {
        if let Some(fails) = latch_fails(only) {
            let (cast, aside) = (told.cast(), close(&fill(&only.aside)));
            return format!("{cast} has {allowed} to fill: {aside} with the latch aside; set, {fails}");
        }
        return format!(
            "{} has {allowed} to fill: it takes {} with the latch aside, {} with it set",
            told.cast(),
            close(&fill(&only.aside)),
            close(&fill(&only.set))
        );
    }
    let of = |aside: bool, set: bool| -> Vec<&Judgement> {
        let does = |it: &Judgement, side| it.standing(side).does() == Does::Yes;
        let both = |it: &&Judgement| (does(it, LatchSetting::Aside), does(it, LatchSetting::Set));
        sizes.iter().filter(|it| both(it).0 == aside && (aside || both(it).1 == set)).collect()
    };
    let (aside, set, neither) = (of(true, true), of(false, true), of(false, false));
    let part = |of: &[&Judgement], how: &str| (!of.is_empty()).then(|| format!("{} {how}", told.sizes(of)));
    let parts = [part(&set, "only with it set"), part(&neither, "with neither setting")];
    let rest: Vec<String> = parts.into_iter().flatten().collect();
    let pace = told.at_pace();
    match (aside.len(), rest.is_empty()) {
        (_, true) => format!("All {} sizes come out sound with the latch aside, {pace}", sizes.len()),
        (0, _) if neither.len() == sizes.len() => {
            format!("None of the {} sizes comes out sound, latch aside or set, {pace}", sizes.len())
        }
        (0, _) => {
            let neither =
                part(&neither, "with neither setting").map_or_else(String::new, |part| format!(", {part}"));
            let come = if set.len() == 1 { "comes" } else { "come" };
            format!(
                "With the latch aside none comes out sound, {pace}; with it set {} {come}{neither}",
                told.sizes(&set)
            )
        }
        (1, _) => format!("{} comes out sound with the latch aside, {}", told.sizes(&aside), rest.join(", ")),
        _ => format!("{} come out sound with the latch aside, {}", told.sizes(&aside), rest.join(", ")),
    }
}

fn note(told: &Told<'_>) -> Note {
    let talk = told.talk;
    let mut say: Vec<String> = talk
        .sizes
        .iter()
        .map(|judgement| {
            format!(
                "{}: {} with the latch aside, {} with it set, {} allowed: {}.",
                told.units.size(judgement.cast.sort.body.0),
                fill(&judgement.aside),
                fill(&judgement.set),
                milliseconds(judgement.clocks.allowed),
                limits::verdict(judgement.verdict)
            )
        })
        .collect();
    let because = talk.aside.lost.map_or_else(String::new, |limit| format!(": {}", limits::missed(limit)));
    let up_to = |body: f64| told.units.size_up_to(body);
    let at = limits::first_upper(&told.at_pace());
    say.push(match &talk.aside.from {
        Onset::Always => format!("{at}, no size will do with the latch aside{because}."),
        Onset::From(body) => {
            format!("{at}, the latch may stand aside up to {}; beyond it not{because}.", up_to(*body))
        }
        Onset::Never => format!("{at}, every size up to 100 pt will do with the latch aside."),
        Onset::UnknownBeyond(body, why) => {
            format!("{at}, nothing is known beyond {}, because {}.", up_to(*body), limits::why(why))
        }
    });
    say.extend(limits::otherwise(&talk.judgement));
    let clocks = &talk.judgement.clocks;
    let skin = told.units.skin(told.acceptance.skin);
    Note {
        shows: format!("How long the mould takes to fill, entry to 98 % full, for each size, {}; above the line of the time allowed it is too late.", told.at_pace()),
        computed: format!("{} turns: the sizes shown and others between them, each with the latch aside and set.", 2 * talk.curve.len()),
        say,
        questions: vec![
            (
                "Who says how long the fill may take?".to_owned(),
                format!(
                    "The {}: {}; and the time for that is divided by a margin of {}. What is accepted is the caster's judgement, not a constant of nature.",
                    clock(clocks.deciding()),
                    match clocks.deciding() {
                        Clock::Lapping => "the metal that comes in first must still be hot enough to knit as the mould is full".to_owned(),
                        Clock::Skin => format!("the skin on the face may be {skin} thick at the end of the fill"),
                        Clock::Bulk => "the metal must still flow as the mould is full".to_owned(),
                    },
                    significant(told.acceptance.margin, 3)
                ),
            ),
            (
                "And if we accept more skin, or less?".to_owned(),
                "Then the line moves, and with it the size from which the latch is wanted: \u{201c}latchstroke judge\u{201d} prints that size for half and twice the skin.".to_owned(),
            ),
        ],
    }
}
