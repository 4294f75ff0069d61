//! The chart: fill time and the deciding limit over the length of the sleeve.

use super::super::charts::close;
use super::super::owner::milliseconds;
use super::Told;
use crate::a_few;
use latchstroke_core::studies::sleeve::{Refusal, Step, Thrown};
use latchstroke_models::mould::Sort;
use latchstroke_plots::{Axis, Hatch, LineChart, Panel, Series};

/// Times allowed that are closer than this share are drawn as one.
const ALIKE: f64 = 0.01;
/// More sizes than this, each with its own time allowed, have no room for their names.
const MOST_SIZES: usize = 4;
/// A limit kept fewer times over than this is missed for another reason than a little length: it would squeeze the rest of the
/// curve flat.
const LEAST: f64 = 0.02;

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
        .with_source(source.to_owned() + &left_out(told));
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

/// How many sizes are not drawn.
fn left_out(told: &Told<'_>) -> String {
    let (shown, all) = (sizes(told).len(), told.answer.served.len());
    if shown < all {
        format!(" {shown} of {all} sizes are drawn; the report tells of all.")
    } else {
        String::new()
    }
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

/// A curve for each size drawn over the length of the sleeve.
fn curves(told: &Told<'_>, mut panel: Panel, value: impl Fn(&Thrown) -> Option<f64>) -> Panel {
    let drawn = sizes(told);
    for (at, &n) in drawn.iter().enumerate() {
        let Some(served) = told.answer.served.get(n) else { continue };
        let points = steps(told).into_iter().map(|step| {
            let value = step.casts.get(n).and_then(&value);
            (told.units.rod.from_si(step.sleeve), value.unwrap_or(f64::NAN))
        });
        let name = told.units.size(served.cast.sort.body.0);
        panel = panel.with_series(
            Series::new(name, points.collect::<Vec<_>>()).style(0).variant(at, drawn.len()).with_markers(),
        );
    }
    panel
}

fn fill_times(told: &Told<'_>) -> Panel {
    let mut panel = curves(told, Panel::new(Axis::new("fill time, latch set", "ms").log()), |thrown| {
        thrown.turn.sound_fill_time().map(|time| time * 1e3)
    });
    // Each time allowed, with the sizes it is for.
    let mut drawn: Vec<(f64, Vec<String>)> = Vec::new();
    let shown: Vec<Sort> =
        sizes(told).iter().filter_map(|&n| Some(told.answer.served.get(n)?.cast.sort)).collect();
    for judged in told.answer.judged.iter().filter(|judged| shown.contains(&judged.cast.sort)) {
        let allowed = judged.clocks.allowed;
        let size = told.units.size(judged.cast.sort.body.0);
        match drawn.iter_mut().find(|(other, _)| (allowed / *other - 1.0).abs() <= ALIKE) {
            Some((_, sizes)) => sizes.push(size),
            None => drawn.push((allowed, vec![size])),
        }
    }
    let one = drawn.len() == 1;
    for (allowed, sizes) in drawn {
        let whose = if one { String::new() } else { close(&format!(" for {}", sizes.join(", "))) };
        let label = format!("{}{whose}", close(&format!("allowed {}", milliseconds(allowed))));
        panel = panel.with_limit(allowed * 1e3, label, if one { Hatch::Above } else { Hatch::None });
    }
    panel
}

/// How many times over each size keeps the limit that decides for it.
fn factors(told: &Told<'_>) -> Panel {
    let panel = Panel::new(Axis::new("deciding limit kept, times over", "").log());
    curves(told, panel, |thrown| {
        thrown.standing.factor().filter(|factor| *factor > LEAST && factor.is_finite())
    })
    .with_limit(1.0, "kept above", Hatch::Below)
}
