//! The two charts: fill times against body size, and the map of sizes and paces.

use super::super::charts::close;
use super::Answer;
use super::words::bound;
use crate::limits;
use crate::owner::milliseconds;
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::judge::Judgement;
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::{Axis, LineChart, Panel, RegionMap, Series, Stroke};

/// Room below the lowest curve and above the highest, as a ratio.
const AIR: f64 = 1.3;

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
    ];
    let allowed = curve(&|j| Some(j.clocks.allowed));
    let drawn = curves.iter().flat_map(|(.., points)| points).chain(&allowed);
    let times = drawn.map(|(_, time)| *time).filter(|time| time.is_finite());
    let (low, high) =
        times.fold((f64::INFINITY, 0.0_f64), |(low, high), time| (low.min(time), high.max(time)));
    let mut panel = Panel::new(Axis::new("time to fill the mould", "ms").log().range(low / AIR, high * AIR));
    for (name, style, stroke, points) in curves {
        if points.iter().any(|(_, time)| time.is_finite()) {
            panel = panel.with_series(Series::new(name, points).style(style).stroke(stroke));
        }
    }
    panel = panel.with_series(Series::new("time allowed", allowed).as_limit());
    LineChart::new(largest(answer), Axis::new("body size", units.body.symbol)).with_panel(panel).with_source(
        match answer.overview.pace {
            Some(pace) => format!("Sorts of the job’s proportion at {}.", close(&units.turns(pace.0))),
            None => "Sorts of the job’s proportion, each at its own pace.".to_owned(),
        },
    )
}

/// The map of sizes and paces, with the job's own cast in it.
pub fn map(answer: &Answer) -> RegionMap {
    let mut map = crate::pace::map::map(answer.map, answer.overview.own.cast, &answer.units, &source(answer));
    map.headline = threshold(answer);
    // In a column there is no room beside the mark for what it is; the line below the map says it.
    for point in &mut map.body.points {
        "the cast".clone_into(&mut point.label);
    }
    map
}

fn source(answer: &Answer) -> String {
    format!("Marked: {}.", close(&answer.cast_words(answer.overview.own.cast)))
}

/// Up to which size the latch may stand aside, as the answer has it.
fn threshold(answer: &Answer) -> String {
    let pace = match answer.overview.pace {
        Some(pace) => format!("At {}", close(&answer.units.turns(pace.0))),
        None => "Each size at its own pace".to_owned(),
    };
    let body = |from: f64| close(&answer.units.size_up_to(from));
    match &answer.overview.aside.from {
        Onset::From(from) => format!("{pace}, the latch may stand aside up to {}", body(*from)),
        Onset::Never => format!("{pace}, the latch may stand aside for all"),
        Onset::Always => format!("{pace}, no size will do with the latch aside"),
        Onset::UnknownBeyond(from, _) => format!("{pace}, nothing is known beyond {}", body(*from)),
    }
}

/// What the largest size takes.
fn largest(answer: &Answer) -> String {
    let largest = answer
        .told()
        .max_by(|a, b| a.cast.sort.body.0.total_cmp(&b.cast.sort.body.0))
        .unwrap_or(&answer.overview.own);
    let fills = |setting: LatchSetting| {
        let latch = largest.standing(setting).in_the_way().find(|margin| margin.limit.is_of_machine());
        match (latch, largest.turn(setting).sound_fill_time()) {
            (Some(margin), _) => limits::missed(margin.limit).to_owned(),
            (None, Some(time)) => milliseconds(time),
            (None, None) => "never full".to_owned(),
        }
    };
    bound(&format!(
        "{} has {} to fill: {} with the latch aside; set, {}",
        answer.units.size(largest.cast.sort.body.0),
        milliseconds(largest.clocks.allowed),
        fills(LatchSetting::Aside),
        fills(LatchSetting::Set),
    ))
}
