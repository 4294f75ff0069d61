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

/// Room above and below what is drawn, as a ratio.
const ROOM: f64 = 1.3;

const SIDES: [(&str, usize, Stroke, LatchSetting); 2] = [
    ("latch aside", 1, Stroke::Dashed, LatchSetting::Aside),
    ("latch set", 0, Stroke::Solid, LatchSetting::Set),
];

/// The picture.
pub(super) fn draft(told: &Told<'_>) -> Draft<'static> {
    let source = told.source(&told.at_pace());
    let headline = headline(told);
    let units = &told.units;
    let point = |judgement: &Judgement, side: LatchSetting| {
        let works = !judgement.standing(side).in_the_way().any(|margin| margin.limit.is_of_machine());
        let time = judgement.turn(side).sound_fill_time().filter(|_| works);
        (units.body.from_si(judgement.cast.sort.body.0), time.map_or(f64::NAN, |time| time * 1e3))
    };
    let axis = Axis::new("fill time", "ms").log();
    let mut panel = Panel::new(match times(told) {
        Some((least, most)) => axis.range(least * 1e3 / ROOM, most * 1e3 * ROOM),
        None => axis,
    });
    for (name, style, stroke, side) in SIDES {
        let curve: Vec<(f64, f64)> = told.talk.curve.iter().map(|judgement| point(judgement, side)).collect();
        if curve.iter().any(|(_, time)| time.is_finite()) {
            let asked: Vec<(f64, f64)> =
                told.talk.sizes.iter().map(|judgement| point(judgement, side)).collect();
            panel = panel
                .with_series(Series::new(name, curve).style(style).stroke(stroke))
                .with_series(Series::new("", asked).style(style).markers_only());
        }
    }
    let allowed = |judgement: &Judgement| judgement.clocks.allowed;
    let (least, most) = range(told.talk.curve.iter().map(allowed));
    if most - least <= ALIKE * most {
        let name = format!("allowed {}", close(&milliseconds(least)));
        panel = panel.with_limit(least * 1e3, name, Hatch::Above);
    } else {
        let curve = told.talk.curve.iter();
        let points =
            curve.map(|judgement| (units.body.from_si(judgement.cast.sort.body.0), allowed(judgement) * 1e3));
        panel = panel.with_series(Series::new("allowed", points).style(2).stroke(Stroke::LongDash));
    }
    let chart = LineChart::new(&headline, Axis::new("body size", units.body.symbol))
        .with_panel(panel)
        .with_source(&source);
    Draft { stem: "fill-times", picture: Box::new(chart), headline, source, note: note(told) }
}

/// The least and greatest of all times drawn, s.
fn times(told: &Told<'_>) -> Option<(f64, f64)> {
    let fills = |judgement: &Judgement| SIDES.map(|(.., side)| judgement.turn(side).sound_fill_time());
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
            return format!("{cast}: {aside} with the latch aside, of {allowed} allowed; set, {fails}");
        }
        return format!(
            "{}: {} with the latch aside, {} with it set; {allowed} are allowed",
            told.cast(),
            close(&fill(&only.aside)),
            close(&fill(&only.set))
        );
    }
    let keeping = |side| sizes.iter().filter(|j| j.standing(side).does() == Does::Yes).count();
    let (aside, set) = (keeping(LatchSetting::Aside), keeping(LatchSetting::Set));
    let all = sizes.len();
    let pace = told.at_pace();
    let keep = |count: usize| if count == 1 { "keeps" } else { "keep" };
    match (aside, set) {
        (0, 0) => format!("None of the {all} sizes keeps all limits, {pace}; the fill may take {allowed}"),
        (aside, _) if aside == all => {
            format!("All {all} sizes keep all limits with the latch aside, {pace}; {allowed} are allowed")
        }
        (0, set) => {
            let set = if set == all { "all".to_owned() } else { set.to_string() };
            format!("With the latch aside none of {all} sizes keeps all limits, {pace}; with it set {set} do")
        }
        (aside, set) if set > aside => format!(
            "{aside} of {all} sizes {} all limits with the latch aside, {set} with it set, {pace}",
            keep(aside)
        ),
        (aside, _) => format!(
            "{aside} of {all} sizes {} all limits with the latch aside, {pace}; setting it adds none",
            keep(aside)
        ),
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
        shows: format!("How long the mould takes to fill, entry to 98 % full, for each size, {}, on a scale of powers of ten; above the line it is too late.", told.at_pace()),
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
