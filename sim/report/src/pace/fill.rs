//! Fill time against pace, with the time allowed and the pace that still cools, for two sizes.

use super::super::charts::close;
use super::Answer;
use crate::limits;
use crate::owner::{OwnerUnits, milliseconds};
use latchstroke_core::studies::judge::PACES;
use latchstroke_core::studies::pace::{FillTimes, Point, Side, SizePaces};
use latchstroke_models::mould::Sort;
use latchstroke_plots::{Axis, Hatch, LineChart, Panel, Series, Stroke};

/// The most panels that can be read from the back of a room.
const MOST: usize = 2;
/// How far the time axis reaches below the shortest and above the longest time worth seeing, as a ratio, …
const AROUND: f64 = 1.6;
/// … and how far at least above the time allowed.
const ABOVE_ALLOWED: f64 = 5.0;
/// A time allowed that varies over the paces by less than this share is one limit.
const LEVEL: f64 = 0.01;

/// The sizes to show, smallest first: both where two are asked for; of more the largest that can be cast with the latch aside and
/// the smallest that cannot, or the smallest and the largest where all are alike in that.
pub fn sizes(answer: &Answer) -> Vec<Sort> {
    let mut all: Vec<&SizePaces> = answer.sizes.iter().collect();
    all.sort_by(|a, b| a.sort.body.0.total_cmp(&b.sort.body.0));
    let (Some(first), Some(last)) = (all.first(), all.last()) else { return Vec::new() };
    if all.len() <= MOST {
        return all.iter().map(|paces| paces.sort).collect();
    }
    let below = all.iter().rfind(|paces| !paces.aside.is_empty());
    let above = all.iter().find(|paces| paces.aside.is_empty());
    let (small, large) = below.zip(above).unwrap_or((first, last));
    vec![small.sort, large.sort]
}

/// The chart, one panel a size; of how many sizes they are, where not all are drawn.
pub fn chart(all: &[FillTimes], of: usize, units: &OwnerUnits, source: &str) -> LineChart {
    let source = match of.saturating_sub(all.len()) {
        0 => source.to_owned(),
        _ => format!("{source} {} of {of} sizes are drawn; the report tells of all.", all.len()),
    };
    let range = (units.pace.from_si(PACES.0), units.pace.from_si(PACES.1));
    let x = Axis::new("pace", units.pace.symbol).log().range(range.0, range.1);
    let chart = LineChart::new(headline(all, units), x).with_source(source);
    all.iter().fold(chart, |chart, times| chart.with_panel(panel(times, units)))
}

fn panel(times: &FillTimes, units: &OwnerUnits) -> Panel {
    let curve = |time: &dyn Fn(&Point) -> Option<f64>| -> Vec<(f64, f64)> {
        let at =
            |point: &Point| (units.pace.from_si(point.pace), time(point).map_or(f64::NAN, |time| 1e3 * time));
        times.points.iter().map(at).collect()
    };
    let title = format!("fill time of {}", close(&units.size(times.sort.body.0)));
    let (low, high) = seen(times);
    let mut panel = Panel::new(Axis::new(title, "ms").log().range(1e3 * low, 1e3 * high));
    for (name, style, stroke, points) in [
        ("latch aside", 1, Stroke::Dashed, curve(&|point| point.aside.time)),
        ("latch set", 0, Stroke::Solid, curve(&|point| point.set.time)),
    ] {
        // A setting that fills at no pace has no curve; the report says so.
        if points.iter().any(|(_, time)| time.is_finite()) {
            panel = panel.with_series(Series::new(name, points).style(style).stroke(stroke));
        }
    }
    let allowed = times.points.iter().map(|point| point.clocks.allowed);
    let (low, high) = allowed.fold((f64::INFINITY, 0.0_f64), |(l, h), time| (l.min(time), h.max(time)));
    panel = if high <= low * (1.0 + LEVEL) {
        let clock = times.points.first().map_or("", |point| limits::clock(point.clocks.deciding()));
        let name = format!("allowed: {} ({clock})", close(&milliseconds(low)));
        panel.with_limit(1e3 * low, name, Hatch::Above)
    } else {
        panel.with_series(Series::new("time allowed", curve(&|point| Some(point.clocks.allowed))).as_limit())
    };
    match times.cooling {
        Some(cooling) => panel.with_x_limit(
            units.pace.from_si(cooling.pace),
            format!("solid up to {}", close(&units.turns(cooling.pace))),
            Hatch::Above,
        ),
        None => panel,
    }
}

/// The times worth seeing, s: all short ones, and long ones up to those at the pace at which the size is cast; a slow enough
/// cam takes for ever.
fn seen(times: &FillTimes) -> (f64, f64) {
    let all =
        |point: &Point| [point.aside.time, point.set.time, Some(point.clocks.allowed)].into_iter().flatten();
    let low = times.points.iter().flat_map(all).fold(f64::INFINITY, f64::min);
    let allowed = times.points.iter().map(|point| point.clocks.allowed).fold(0.0, f64::max);
    let high = times.at_pace.iter().flat_map(all).fold(ABOVE_ALLOWED * allowed, f64::max);
    (low / AROUND, high * AROUND)
}

/// What the pace at which each is cast does for the size that says most: the smallest for which the latch aside does not do, else the
/// largest.
fn headline(all: &[FillTimes], units: &OwnerUnits) -> String {
    let fails = |times: &&FillTimes| times.at_pace.is_some_and(|point| !point.aside.is_kept());
    let Some(times) = all.iter().find(fails).or(all.last()) else { return String::new() };
    let size = close(&units.size(times.sort.body.0));
    let Some(point) = times.at_pace else {
        return format!("{size} is not solid in time even at {}", close(&units.turns(PACES.0)));
    };
    let allowed = close(&milliseconds(point.clocks.allowed));
    let cast = format!("{size} at {}", close(&units.turns(point.pace)));
    let (aside, set) = (told(point.aside), told(point.set));
    match (point.aside.is_kept(), point.set.is_kept()) {
        (true, _) => format!("{cast}: full in {aside} with the latch aside, {allowed} allowed"),
        (false, true) => {
            format!("{cast}: full in {set} with the latch set, {aside} with it aside, {allowed} allowed")
        }
        (false, false) => {
            format!("{cast}: neither will do; set, {set}, aside, {aside}; {allowed} are allowed")
        }
    }
}

/// The fill time, and the limit in the way where that is not one of the clocks.
fn told(side: Side) -> String {
    let time = side.time.map(|time| close(&milliseconds(time)));
    match (time, side.lost.filter(|limit| !limit.is_clock())) {
        (Some(time), None) => time,
        (Some(time), Some(lost)) => format!("{time} but {}", limits::missed(lost)),
        (None, Some(lost)) => limits::missed(lost).to_owned(),
        (None, None) => "not known".to_owned(),
    }
}
