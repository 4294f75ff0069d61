//! Paces against body size: where the type is solid, and where each setting of the latch fills in time.

use super::{Answer, body_words};
use crate::report::owner::OwnerUnits;
use crate::studies::judge::PACES;
use crate::studies::pace::{Reach, SizePaces, Window};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Length;
use latchstroke_plots::{Axis, LineChart, Panel, Series, Stroke};

/// How many sizes a curve runs through.
const SIZES: u32 = 24;
/// How far the curves go on below and above these sizes, as ratios. Far enough below to leave room for the name of the region
/// where the latch may stand aside, which narrows as sizes grow.
const BELOW: f64 = 2.0;
const ABOVE: f64 = 1.25;

/// The sizes the curves run through, smallest first: past the sizes asked for and the largest that can be cast, evenly, with
/// those largest ones among them so that the curves meet where the headline says.
pub fn sizes(answer: &Answer) -> Vec<Sort> {
    let reaches = [answer.largest_aside, answer.largest_set].into_iter().filter_map(|reach| match reach {
        Reach::UpTo(body) => Some(body),
        Reach::NoSize | Reach::EverySize => None,
    });
    let marks: Vec<f64> = answer.sizes.iter().map(|paces| paces.sort.body.0).chain(reaches.clone()).collect();
    let low = marks.iter().copied().fold(f64::INFINITY, f64::min) / BELOW;
    let high = marks.iter().copied().fold(0.0, f64::max) * ABOVE;
    let even = (0..SIZES).map(|n| low + (high - low) * f64::from(n) / f64::from(SIZES - 1));
    let mut bodies: Vec<f64> = even.chain(reaches).collect();
    bodies.sort_by(f64::total_cmp);
    bodies
        .into_iter()
        .map(|body| Sort { body: Length(body), set: Length(body * answer.proportion) })
        .collect()
}

/// The chart, from the paces at each of [`sizes`].
pub fn paces(answer: &Answer, curves: &[SizePaces], units: &OwnerUnits, source: &str) -> LineChart {
    let curve = |pace: &dyn Fn(&SizePaces) -> Option<f64>| -> Vec<(f64, f64)> {
        curves
            .iter()
            .map(|paces| {
                let pace = pace(paces).map_or(f64::NAN, |pace| units.pace.from_si(pace));
                (units.body.from_si(paces.sort.body.0), pace)
            })
            .collect()
    };
    let cools = curve(&|paces| paces.cooling.map(|cooling| cooling.pace));
    let aside = curve(&|paces| slowest(&paces.fills_aside));
    let set = curve(&|paces| slowest(&paces.fills_set));
    let (low, high) = (units.pace.from_si(PACES.0), units.pace.from_si(PACES.1));
    let mut panel = Panel::new(Axis::new("pace", units.pace.symbol).log().range(low, high))
        .with_series(Series::new("fastest pace that cools", cools).style(0).stroke(Stroke::Solid));
    for (name, style, stroke, points) in [
        ("slowest pace, latch aside", 1, Stroke::Dashed, aside),
        ("slowest pace, latch set", 2, Stroke::DashDot, set),
    ] {
        let points = above_floor(&points, low);
        // Where a setting fills every size at any pace, or none at all, it has no slowest pace to draw.
        if points.iter().any(|(_, pace)| pace.is_finite()) {
            panel = panel.with_series(Series::new(name, points).style(style).stroke(stroke));
        }
    }
    for (label, region) in [
        ("not solid in time", middle(curves, |paces| paces.too_fast().into_iter().collect())),
        ("latch aside", middle(curves, |paces| paces.aside.clone())),
        ("latch set", middle(curves, |paces| paces.set.clone())),
        ("neither", middle(curves, |paces| paces.gaps.clone())),
    ] {
        if let Some((body, pace)) = region {
            panel = panel.with_point((units.body.from_si(body), units.pace.from_si(pace)), label, None);
        }
    }
    LineChart::new(headline(answer, units), Axis::new("body size", units.body.symbol))
        .with_panel(panel)
        .with_source(source)
}

fn slowest(windows: &[Window]) -> Option<f64> {
    windows.first().map(|window| window.from)
}

/// A curve of slowest paces without its stretches along the slowest pace searched, where there is no slowest pace.
fn above_floor(points: &[(f64, f64)], floor: f64) -> Vec<(f64, f64)> {
    // A hair above, for the rounding of units.
    let rises = |n: usize| points.get(n).is_some_and(|(_, pace)| *pace > floor * (1.0 + 1e-9));
    points
        .iter()
        .enumerate()
        .map(|(n, &(body, pace))| {
            let kept = rises(n) || rises(n + 1) || n > 0 && rises(n - 1);
            (body, if kept { pace } else { f64::NAN })
        })
        .collect()
}

/// Body and pace in the middle of a region of the chart: half of its area on a logarithmic axis lies at smaller bodies.
fn middle(curves: &[SizePaces], region: impl Fn(&SizePaces) -> Vec<Window>) -> Option<(f64, f64)> {
    let widest: Vec<(f64, Window)> = curves
        .iter()
        .filter_map(|paces| {
            let window = region(paces).into_iter().max_by(|a, b| a.ratio().total_cmp(&b.ratio()))?;
            Some((paces.sort.body.0, window))
        })
        .collect();
    let mut left = 0.5 * widest.iter().map(|(_, window)| window.ratio().ln()).sum::<f64>();
    let found = widest.iter().find(|(_, window)| {
        left -= window.ratio().ln();
        left <= 0.0
    });
    found.map(|(body, window)| (*body, (window.from * window.to).sqrt()))
}

fn headline(answer: &Answer, units: &OwnerUnits) -> String {
    let close = |figure: String| figure.replace(' ', "\u{a0}");
    match (answer.largest_aside, answer.largest_set) {
        (Reach::UpTo(aside), Reach::UpTo(set)) if set > aside => format!(
            "The latch may stand aside up to {}; set, it casts up to {}",
            close(body_words(aside, units)),
            close(body_words(set, units))
        ),
        (Reach::UpTo(aside), Reach::EverySize) => {
            format!("Above {} the latch must be set", close(body_words(aside, units)))
        }
        (Reach::UpTo(aside), _) => {
            format!(
                "The latch may stand aside up to {}; setting it goes no further",
                close(body_words(aside, units))
            )
        }
        (Reach::EverySize, _) => "The latch may stand aside for every size".to_owned(),
        (Reach::NoSize, Reach::UpTo(set)) => {
            format!("The latch must be set, and casts up to {}", close(body_words(set, units)))
        }
        (Reach::NoSize, Reach::EverySize) => "The latch must be set for every size".to_owned(),
        (Reach::NoSize, Reach::NoSize) => "No size fills in time at a pace that cools it".to_owned(),
    }
}
