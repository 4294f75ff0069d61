//! What was measured against what is computed, all turns laid on one another, and what is left over.

use super::{Report, part};
use crate::charts::close;
use crate::owner::rounded;
use latchstroke_plots::{Axis, Hatch, LineChart, Panel, Series};

/// Marks nearer to each other than these shares of the width and of the height hide each other.
const APART: (f64, f64) = (1.0 / 110.0, 0.07);
/// Points along the curve.
const POINTS: u32 = 1500;

/// The chart.
pub fn against(report: &Report, source: &str) -> LineChart {
    let (answer, units) = (report.answer, report.units);
    let period = answer.curve.period();
    // What was read, as the place of the part it stands for; the scatter likewise.
    let lift = |si: f64| units.lift.from_si(si);
    let time = |t: f64| (t - answer.start).rem_euclid(period);
    let of = |((t, y), left): (&(f64, f64), &f64)| {
        (time(*t), lift((y - answer.nought) / answer.scale), lift(left / answer.scale))
    };
    let all = report.measured.readings.iter().zip(&answer.residuals).map(of);
    let (readings, residuals): (Vec<_>, Vec<_>) = all.map(|(t, y, left)| ((t, y), (t, left))).unzip();
    let (readings, residuals) = (apart(readings, period), apart(residuals, period));
    let curve = (0..=POINTS).map(|n| {
        let t = period * (f64::from(n) / f64::from(POINTS)).min(1.0 - 1e-9);
        (t, lift(answer.curve.at(t)))
    });
    let scatter = rounded(units.lift, answer.scatter / answer.scale.abs(), 2);
    let told =
        answer.told.first().and_then(|told| Some((report.name(told.candidate), report.with_error(told)?)));
    let told = told.map_or_else(String::new, |(name, (value, half))| format!("; {name}: {value} ± {half}"));
    let headline = format!(
        "The {} as measured and as computed, {} apart{told}",
        part(report.measured.part),
        close(&scatter)
    );
    let axis = |name: &str| Axis::new(name, units.lift.symbol);
    LineChart::new(headline, Axis::new("time in the turn", "s").range(0.0, period))
        .with_panel(
            Panel::new(axis(&format!("{} from rest", part(report.measured.part))))
                .with_series(Series::new("measured", readings).style(1).markers_only())
                .with_series(Series::new("computed", curve).style(0)),
        )
        .with_panel(
            Panel::new(axis("left over"))
                .with_series(Series::new("", residuals).style(1).markers_only())
                .with_limit(0.0, "", Hatch::None),
        )
        .with_source(source)
}

/// As many of the points as can be seen apart.
fn apart(mut points: Vec<(f64, f64)>, period: f64) -> Vec<(f64, f64)> {
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let ends = |a: (f64, f64), y: f64| (a.0.min(y), a.1.max(y));
    let (low, high) = points.iter().map(|point| point.1).fold((f64::INFINITY, f64::NEG_INFINITY), ends);
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for (t, y) in points {
        let is_near = |(at, other): &(f64, f64)| {
            (t - at).abs() < APART.0 * period && (y - other).abs() < APART.1 * (high - low)
        };
        if !kept.iter().rev().take(8).any(is_near) {
            kept.push((t, y));
        }
    }
    kept
}
