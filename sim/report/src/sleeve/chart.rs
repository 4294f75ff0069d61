//! The chart: fill time and the deciding limit over the length of the sleeve.

use super::super::charts::close;
use super::super::limits;
use super::super::owner::milliseconds;
use super::Told;
use crate::a_few;
use latchstroke_core::limits::Limit;
use latchstroke_core::studies::sleeve::{Refusal, Step};
use latchstroke_plots::{Axis, Hatch, LineChart, Panel, Series};

/// Times allowed that are closer than this share are drawn as one.
const ALIKE: f64 = 0.01;
/// More sizes than this have no room for their names.
const MOST_SIZES: usize = 8;
/// How much higher the panel of the fill times is than the other, which has one curve.
const HIGHER: f64 = 1.35;
/// A limit kept fewer times over than this is missed for another reason than a little length: it would squeeze the rest of the
/// curve flat.
const LEAST: f64 = 0.02;
/// So much of what the limit that decides spans is left free above it, for the names.
const ROOM: f64 = 0.3;
/// The range of how far it is kept ends on multiples of this.
const WHOLE: f64 = 0.2;

/// The chart.
pub fn chart(told: &Told<'_>, source: &str) -> LineChart {
    let answer = told.answer;
    let x = |si: f64| told.units.rod.from_si(si);
    let mut ends = vec![answer.window.shortest, answer.window.longest, answer.present.sleeve];
    ends.extend(steps(told).into_iter().map(|step| step.sleeve));
    let (low, high) =
        ends.into_iter().fold((f64::INFINITY, 0.0_f64), |(low, high), end| (low.min(end), high.max(end)));
    // A little more on either side, so that the ends of the window show.
    let pad = 0.04 * (high - low);
    let axis = Axis::new("sleeve, the rod lengthened by as much", told.units.rod.symbol)
        .range(x((low - pad).max(0.0)), x(high + pad));
    let mut chart = LineChart::new(headline(told), axis)
        .with_panel(fill_times(told))
        .with_panel(factors(told))
        .with_source(with_more(source, &left_out(told)));
    match &answer.recommendation {
        Ok(recommendation) => {
            let (from, to) = recommendation.window;
            chart = chart.with_band(x(from), x(to), "all limits kept");
        }
        Err(Refusal::TooNarrow(from, to)) => {
            chart = chart.with_band(x(*from), x(*to), "all limits kept");
        }
        Err(_) if !answer.window.is_empty() => {
            let window = answer.window;
            chart = chart.with_band(x(window.shortest), x(window.longest), "latch trips and holds");
        }
        Err(_) => {}
    }
    chart = chart
        .with_event(x(answer.present.sleeve), format!("now {}", close(&told.long(answer.present.sleeve))));
    if let Ok(recommendation) = answer.recommendation.as_ref()
        && !recommendation.keep
    {
        let length = recommendation.step.sleeve;
        chart = chart.with_event(x(length), format!("recommended {}", close(&told.long(length))));
    }
    chart
}

/// A source line with sentences after it.
fn with_more(source: &str, more: &str) -> String {
    if more.is_empty() { source.to_owned() } else { format!("{}.{more}", source.trim_end_matches('.')) }
}

/// Which sizes are not drawn, and what stands in brackets.
fn left_out(told: &Told<'_>) -> String {
    let (shown, all) = (sizes(told).len(), told.answer.served.len());
    let mut words = String::new();
    if shown < all {
        words += &format!(" {shown} of {all} sizes are drawn; the report tells of all.");
    }
    let never = sizes(told).into_iter().filter(|&n| points(told, n).iter().all(|(_, time)| time.is_nan()));
    let never: Vec<String> = never.filter_map(|n| name(told, n)).collect();
    if !never.is_empty() {
        words += &format!(" With none of these lengths does the mould come full: {}.", never.join(", "));
    }
    if one_time(told).is_none() {
        words += " In brackets: the time that the size may take to fill.";
    }
    words
}

/// What the chart shows, in a line.
fn headline(told: &Told<'_>) -> String {
    match &told.answer.recommendation {
        Ok(recommendation) => {
            let length = close(&told.long(recommendation.step.sleeve));
            if recommendation.keep {
                format!("Keep the sleeve of {length}: with it all limits are kept")
            } else {
                format!("A sleeve of {length} keeps all limits, with the most in hand at either end")
            }
        }
        Err(Refusal::NoWindow) => {
            "No sleeve works: the prongs travel further than the block lifts".to_owned()
        }
        Err(Refusal::TooNarrow(low, high)) => format!(
            "All limits are kept over {} only, less than the tolerances take",
            close(&told.little(high - low))
        ),
        Err(Refusal::NoOneLength(groups, _)) if groups.is_empty() => {
            "No length of sleeve keeps all limits".to_owned()
        }
        Err(Refusal::NoOneLength(..)) => "No one length of sleeve keeps all limits for all sizes".to_owned(),
    }
}

/// Solved lengths that work at all, with the recommended one among them.
fn steps<'a>(told: &'a Told<'_>) -> Vec<&'a Step> {
    let best = told.answer.recommendation.iter().map(|recommendation| &recommendation.step);
    let mut all: Vec<&Step> = told.answer.steps.iter().chain(best).collect();
    all.sort_by(|a, b| a.sleeve.total_cmp(&b.sleeve));
    all
}

/// The sizes drawn, by their numbers.
fn sizes(told: &Told<'_>) -> Vec<usize> {
    a_few(told.answer.served.len(), MOST_SIZES).collect()
}

/// A size by its number, as it is called.
fn name(told: &Told<'_>, n: usize) -> Option<String> {
    Some(close(&told.units.size(told.answer.served.get(n)?.cast.sort.body.0)))
}

/// How long a size may take to fill, s.
fn allowed(told: &Told<'_>, n: usize) -> Option<f64> {
    let sort = told.answer.served.get(n)?.cast.sort;
    Some(told.answer.judged.iter().find(|judged| judged.cast.sort == sort)?.clocks.allowed)
}

/// How long all sizes drawn may take, s; none where that is not the same for all.
fn one_time(told: &Told<'_>) -> Option<f64> {
    let mut times = sizes(told).into_iter().filter_map(|n| allowed(told, n));
    let first = times.next()?;
    times.all(|other| (other / first - 1.0).abs() <= ALIKE).then_some(first)
}

/// Fill times of a size (s) over the length of the sleeve in the owner's unit; not a number where the mould does not come full.
fn points(told: &Told<'_>, n: usize) -> Vec<(f64, f64)> {
    let time = |step: &Step| step.casts.get(n).and_then(|thrown| thrown.turn.sound_fill_time());
    steps(told)
        .into_iter()
        .map(|step| (told.units.rod.from_si(step.sleeve), time(step).unwrap_or(f64::NAN)))
        .collect()
}

/// Fill times, where one limit holds for all; else as shares of what each size may take, so that one limit does.
fn fill_times(told: &Told<'_>) -> Panel {
    let one = one_time(told);
    let axis = match one {
        Some(_) => Axis::new("fill time, latch set", "ms"),
        None => Axis::new("fill time with the latch set, % of the time allowed", ""),
    };
    let mut panel = Panel::new(axis.log()).share(HIGHER);
    let drawn = sizes(told);
    for (at, &n) in drawn.iter().enumerate() {
        let (Some(name), Some(allowed)) = (name(told, n), allowed(told, n)) else { continue };
        let points = points(told, n);
        if points.iter().all(|(_, time)| time.is_nan()) {
            continue;
        }
        let (name, unit) = match one {
            Some(_) => (name, 1e3),
            None => (close(&format!("{name} ({})", milliseconds(allowed))), 100.0 / allowed),
        };
        let points = points.into_iter().map(|(length, time)| (length, unit * time));
        panel = panel.with_series(Series::new(name, points).style(0).variant(at, drawn.len()).with_markers());
    }
    match one {
        Some(time) => {
            panel.with_limit(1e3 * time, close(&format!("allowed {}", milliseconds(time))), Hatch::Above)
        }
        None => panel.with_limit(100.0, "allowed", Hatch::Above),
    }
}

/// How many times over the limit that decides is kept, and which that is: of the sizes that the sleeve is made for, as in the table.
fn factors(told: &Told<'_>) -> Panel {
    let decided: Vec<(f64, f64, Limit)> = steps(told)
        .into_iter()
        .filter_map(|step| {
            let (_, margin) = told.answer.deciding(step)?;
            let seen = margin.factor > LEAST && margin.factor.is_finite();
            seen.then(|| (told.units.rod.from_si(step.sleeve), margin.factor, margin.limit))
        })
        .collect();
    let (low, high) =
        decided.iter().fold((1.0_f64, 1.0_f64), |(low, high), at| (low.min(at.1), high.max(at.1)));
    let room = (high / low).powf(ROOM).max(1.1);
    let ends = ((low / WHOLE).floor() * WHOLE, (high * room / WHOLE).ceil() * WHOLE);
    let curve = Series::new("", decided.iter().map(|(length, factor, _)| (*length, *factor)));
    let mut panel =
        Panel::new(Axis::new("limit that decides, kept times over", "").log().range(ends.0, ends.1))
            .with_series(curve.style(0).with_markers())
            .with_limit(1.0, "kept above", Hatch::Below);
    // Each stretch over which one limit decides is named at its middle.
    for stretch in decided.chunk_by(|a, b| a.2 == b.2) {
        if let Some((length, factor, limit)) = stretch.get(stretch.len() / 2) {
            panel = panel.with_point((*length, *factor), limits::name(*limit), Some(0));
        }
    }
    panel
}
