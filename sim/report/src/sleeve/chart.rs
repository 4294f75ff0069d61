//! The chart: fill time and margins over the length of the sleeve.

use super::super::charts::close;
use super::super::owner::{milliseconds, rounded};
use super::{Told, stands};
use latchstroke_core::studies::sleeve::Step;
use latchstroke_plots::{Axis, Hatch, LineChart, Panel, Series};

/// Allowed times closer than this share are drawn as one.
const ALIKE: f64 = 0.01;

/// The chart.
pub fn chart(told: &Told<'_>, source: &str) -> LineChart {
    let answer = told.answer;
    let x = |si: f64| told.length.from_si(si);
    let mut ends = vec![answer.window.shortest, answer.window.longest, answer.present.sleeve];
    ends.extend(steps(told).into_iter().map(|step| step.sleeve));
    let (low, high) =
        ends.into_iter().fold((f64::INFINITY, 0.0_f64), |(low, high), end| (low.min(end), high.max(end)));
    // A little more on either side, so that the ends of the window show.
    let pad = 0.04 * (high - low);
    let axis = Axis::new("sleeve, the rod lengthened by as much", told.length.symbol)
        .range(x((low - pad).max(0.0)), x(high + pad));
    let mut chart = LineChart::new(headline(told), axis)
        .with_panel(fill_times(told))
        .with_panel(margins(told))
        .with_source(source);
    if !answer.window.is_empty() {
        chart = chart.with_band(x(answer.window.shortest), x(answer.window.longest), "latch trips and holds");
    }
    chart = chart
        .with_event(x(answer.present.sleeve), format!("now {}", close(&told.long(answer.present.sleeve))));
    if let Ok(recommendation) = &answer.recommendation {
        let length = recommendation.step.sleeve;
        chart = chart.with_event(x(length), format!("best {}", close(&told.long(length))));
    }
    chart
}

fn headline(told: &Told<'_>) -> String {
    let units = &told.units;
    let Ok(recommendation) = &told.answer.recommendation else {
        return "No length of sleeve can be recommended".to_owned();
    };
    let step = &recommendation.step;
    let largest = step.casts.iter().find(|cast| cast.sort == recommendation.largest);
    let fill = largest.and_then(|cast| Some((cast, cast.turn.sound_fill_time()?)));
    let length = close(&told.long(step.sleeve));
    match fill {
        Some((cast, time)) => format!(
            "A sleeve of {length} fills {} in {} and trips with {} to spare",
            close(&units.size(cast.sort.body.0)),
            close(&milliseconds(time)),
            close(&rounded(units.lift, told.answer.window.lift_left(step.sleeve), 2)),
        ),
        None => format!("A sleeve of {length} is best, though it does not fill the largest size"),
    }
}

/// Solved lengths that work at all, with the recommended one among them.
fn steps<'a>(told: &'a Told<'_>) -> Vec<&'a Step> {
    let best = told.answer.recommendation.iter().map(|recommendation| &recommendation.step);
    let mut all: Vec<&Step> = told.answer.steps.iter().chain(best).collect();
    all.sort_by(|a, b| a.sleeve.total_cmp(&b.sleeve));
    all
}

fn fill_times(told: &Told<'_>) -> Panel {
    let x = |si: f64| told.length.from_si(si);
    let mut panel = Panel::new(Axis::new("fill time, latch set", "ms").log());
    for (n, (sort, ..)) in told.answer.aside.iter().enumerate() {
        let points = steps(told).into_iter().map(|step| {
            let time = step
                .casts
                .get(n)
                .filter(|_| !stands(told, step).starts_with("never"))
                .and_then(|cast| cast.turn.sound_fill_time());
            (x(step.sleeve), time.map_or(f64::NAN, |time| time * 1e3))
        });
        panel = panel.with_series(
            Series::new(told.units.size(sort.body.0), points.collect::<Vec<_>>()).style(n).with_markers(),
        );
    }
    let mut drawn: Vec<f64> = Vec::new();
    for (.., limits) in &told.answer.aside {
        if drawn.iter().all(|&other| (limits.allowed / other - 1.0).abs() > ALIKE) {
            drawn.push(limits.allowed);
            panel = panel.with_limit(
                limits.allowed * 1e3,
                format!("allowed {}", close(&milliseconds(limits.allowed))),
                Hatch::None,
            );
        }
    }
    panel
}

fn margins(told: &Told<'_>) -> Panel {
    let (answer, unit) = (told.answer, told.units.lift);
    let x = |si: f64| told.length.from_si(si);
    let curve = |name: &str, style: usize, value: &dyn Fn(&Step) -> f64| {
        let points: Vec<(f64, f64)> =
            steps(told).into_iter().map(|step| (x(step.sleeve), unit.from_si(value(step)))).collect();
        Series::new(name, points).style(style)
    };
    let mut panel = Panel::new(Axis::new("margin", unit.symbol))
        .with_series(curve("lift past the trip", 0, &|step| answer.window.lift_left(step.sleeve)))
        .with_series(curve("clear of the prongs", 1, &|step| answer.window.clearance(step.sleeve)))
        .with_limit(unit.from_si(answer.reserve), "reserve", Hatch::Below);
    if answer.present.room_at_trip.is_some() {
        panel =
            panel.with_series(curve("to coil binding", 2, &|step| step.room_in_turn().unwrap_or(f64::NAN)));
    }
    panel
}
