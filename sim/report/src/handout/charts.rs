//! The two charts: the turn, and fill times against body size.

use super::super::charts::close;
use super::Answer;
use super::words::bound;
use crate::charts;
use crate::owner::{milliseconds, rounded};
use latchstroke_core::studies::judge::{Judgement, will_do};
use latchstroke_core::turn::Turn;
use latchstroke_plots::{Axis, LineChart, Panel, Series, Stroke};

/// Room below the lowest curve and above the highest, as a ratio.
const AIR: f64 = 1.3;

/// Lift of cross block and piston over the turn.
pub fn travel(answer: &Answer) -> LineChart {
    charts::travel(&answer.overview.own, &answer.units, &source(answer))
}

fn source(answer: &Answer) -> String {
    format!("Solved turn, {}.", close(&answer.cast_words(answer.overview.own.cast)))
}

/// Fill times and the time allowed, against body size, at the own cast's pace.
pub fn fills(answer: &Answer) -> LineChart {
    let units = &answer.units;
    let body = |judgement: &Judgement| units.body.from_si(judgement.cast.sort.body.0);
    let curve = |milliseconds: &dyn Fn(&Judgement) -> Option<f64>| -> Vec<(f64, f64)> {
        answer
            .overview
            .curve
            .iter()
            .map(|j| (body(j), milliseconds(j).map_or(f64::NAN, |time| time * 1e3)))
            .collect()
    };
    let curves = [
        ("latch aside", 1, Stroke::Dashed, curve(&|j| j.aside.sound_fill_time())),
        ("latch set", 0, Stroke::Solid, curve(&|j| j.set.sound_fill_time())),
        ("time allowed", 4, Stroke::Dotted, curve(&|j| Some(j.limits.allowed))),
    ];
    let times =
        curves.iter().flat_map(|(.., points)| points).map(|(_, time)| *time).filter(|time| time.is_finite());
    let (low, high) =
        times.fold((f64::INFINITY, 0.0_f64), |(low, high), time| (low.min(time), high.max(time)));
    let mut panel = Panel::new(Axis::new("time to fill the mould", "ms").log().range(low / AIR, high * AIR));
    for (name, style, stroke, points) in curves {
        if points.iter().any(|(_, time)| time.is_finite()) {
            panel = panel.with_series(Series::new(name, points).style(style).stroke(stroke));
        }
    }
    LineChart::new(headline(answer), Axis::new("body size", units.body.symbol)).with_panel(panel).with_source(
        match answer.overview.pace {
            Some(pace) => format!("Sorts of the job’s proportion at {}.", close(&units.turns(pace.0))),
            None => "Sorts of the job’s proportion, each at its own pace.".to_owned(),
        },
    )
}

/// What the curves show: up to which size each setting fills in time.
fn headline(answer: &Answer) -> String {
    let curve = &answer.overview.curve;
    let reach = |of: &dyn Fn(&Judgement) -> &Turn| match curve
        .iter()
        .position(|judgement| !will_do(of(judgement), judgement.limits.allowed))
    {
        None => Reach::All,
        Some(0) => Reach::None,
        Some(n) => crossing(curve.get(n - 1), curve.get(n), &|judgement| of(judgement).sound_fill_time()),
    };
    let words = |reach: Reach| match reach {
        Reach::All => "every size shown".to_owned(),
        Reach::None => "no size shown".to_owned(),
        Reach::UpTo(body) => format!("sizes up to {}", close(&rounded(answer.units.body, body, 2))),
    };
    let (aside, set) = (reach(&|j| &j.aside), reach(&|j| &j.set));
    if aside == set {
        return largest(answer);
    }
    format!("In time with the latch aside: {}; set: {}", words(aside), words(set))
}

/// What the largest size takes, where both settings reach equally far.
fn largest(answer: &Answer) -> String {
    let judged = answer.overview.sizes.iter().map(|size| &size.judgement);
    let largest = judged
        .max_by(|a, b| a.cast.sort.body.0.total_cmp(&b.cast.sort.body.0))
        .unwrap_or(&answer.overview.own);
    let fills = |turn: &Turn| {
        turn.sound_fill_time().map_or("never".to_owned(), |time| format!("in {}", milliseconds(time)))
    };
    bound(&format!(
        "{} fills {} with the latch aside, {} with it set; {} are allowed",
        answer.units.size(largest.cast.sort.body.0),
        fills(&largest.aside),
        fills(&largest.set),
        milliseconds(largest.limits.allowed),
    ))
}

/// Up to where a setting fills in time.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Reach {
    None,
    UpTo(f64),
    All,
}

/// The body at which the time reaches what is allowed, between two neighbours on the curve, m.
fn crossing(
    before: Option<&Judgement>,
    after: Option<&Judgement>,
    time: &dyn Fn(&Judgement) -> Option<f64>,
) -> Reach {
    let (Some(before), Some(after)) = (before, after) else { return Reach::None };
    let late = |judgement: &Judgement| time(judgement).map(|time| (time / judgement.limits.allowed).ln());
    let (low, high) = (before.cast.sort.body.0, after.cast.sort.body.0);
    // Where the larger size does not fill at all, or fails for another reason, the smaller one is the last that is known to do.
    let share = match (late(before), late(after)) {
        (Some(a), Some(b)) if b > 0.0 && b > a => (-a / (b - a)).clamp(0.0, 1.0),
        _ => 0.0,
    };
    Reach::UpTo(low + share * (high - low))
}
