//! Fill time against what is allowed, for the sizes shown.

use super::super::charts::close;
use super::super::owner::{milliseconds, rounded, significant};
use super::super::turn::{clock, verdict};
use super::{Draft, Note, Told, fill, latch_fails};
use latchstroke_core::studies::judge::{Judgement, Onset, will_do};
use latchstroke_core::turn::{Finding, Turn};
use latchstroke_plots::{Axis, Hatch, LineChart, Panel, Series, Stroke};

/// Allowed times within this share of each other are drawn as one.
const ALIKE: f64 = 0.01;

/// Room above and below what is drawn, as a ratio.
const ROOM: f64 = 1.3;

/// A turn of a judgement: latch aside or set.
type Side = fn(&Judgement) -> &Turn;

const SIDES: [(&str, usize, Stroke, Side); 2] = [
    ("latch aside", 1, Stroke::Dashed, |judgement| &judgement.aside),
    ("latch set", 0, Stroke::Solid, |judgement| &judgement.set),
];

/// The picture.
pub(super) fn draft(told: &Told<'_>) -> Draft<'static> {
    let source = told.source(&close(&told.pace()));
    let headline = headline(told);
    let units = &told.units;
    let point = |judgement: &Judgement, side: Side| {
        let turn = side(judgement);
        let time = turn.sound_fill_time().filter(|_| !turn.findings.iter().any(Finding::faults_setting));
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
    let allowed = |judgement: &Judgement| judgement.limits.allowed;
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
    let fills = |judgement: &Judgement| SIDES.map(|(.., side)| side(judgement).sound_fill_time());
    let filled = told.talk.curve.iter().flat_map(fills).flatten();
    let (least, most) = range(filled.chain(told.talk.curve.iter().map(|judgement| judgement.limits.allowed)));
    (least <= most).then_some((least, most))
}

fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, 0.0), |(low, high), value| (low.min(value), high.max(value)))
}

/// "62.1 ms", or "48.1 ms to 62.1 ms".
fn allowed(told: &Told<'_>) -> String {
    let (least, most) = range(told.talk.sizes.iter().map(|judgement| judgement.limits.allowed));
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
    let in_time = |side: Side| sizes.iter().filter(|j| will_do(side(j), j.limits.allowed)).count();
    let (aside, set, all) = (in_time(SIDES[0].3), in_time(SIDES[1].3), sizes.len());
    let pace = close(&told.pace());
    let within = format!("in the {allowed} allowed");
    let fill = if aside == 1 { "fills" } else { "fill" };
    match (aside, set) {
        (0, 0) => format!("None of the {all} sizes fills {within} at {pace}"),
        (aside, _) if aside == all => {
            format!("All {all} sizes fill {within} at {pace} with the latch aside")
        }
        (0, set) => {
            let set = if set == all { "all".to_owned() } else { set.to_string() };
            format!("With the latch aside none of {all} sizes fills {within} at {pace}; with it set {set} do")
        }
        (aside, set) if set > aside => {
            format!(
                "{aside} of {all} sizes {fill} {within} with the latch aside, {set} with it set, at {pace}"
            )
        }
        (aside, _) => {
            format!("{aside} of {all} sizes {fill} {within} at {pace}; setting the latch adds none")
        }
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
                milliseconds(judgement.limits.allowed),
                verdict(judgement.verdict)
            )
        })
        .collect();
    say.push(match talk.wants_latch {
        Onset::Always => format!("At {} every square sort wants more than the cam.", told.pace()),
        Onset::From(body) => format!(
            "At {} a square sort wants the latch from {} on.",
            told.pace(),
            rounded(told.units.body, body, 3)
        ),
        Onset::Never => format!("At {} no square sort up to 100 pt wants the latch.", told.pace()),
    });
    let skin = rounded(told.units.fine, told.acceptance.skin, 3);
    Note {
        shows: format!("How long the mould takes to fill, entry to 98 % full, for each size at {}, on a scale of powers of ten; above the line it is too late.", told.pace()),
        computed: format!("{} turns: the sizes shown and others between them, each with the latch aside and set.", 2 * talk.curve.len()),
        say,
        questions: vec![
            (
                "Who says how long the fill may take?".to_owned(),
                format!(
                    "The {}: the skin frozen on the face may be {skin} thick at the end of the fill, and the time for that is divided by a margin of {}. Both are the caster's judgement, not constants of nature.",
                    clock(talk.judgement.limits.deciding()),
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
