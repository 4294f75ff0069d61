//! The curves below a film: lifts, piston speed and filling over time.

use super::super::owner::OwnerUnits;
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::turn::{EventKind, Instant, Turn};
use latchstroke_plots::mechanism::{LiveCurve, LivePlot};

/// More points than this cannot be told apart.
const POINTS: usize = 700;

/// How long the curves go on, s: a little past the slower fill.
pub(super) fn span(judgement: &Judgement) -> f64 {
    let whole = std::f64::consts::TAU / judgement.aside.shaft_speed;
    let ends = [&judgement.aside, &judgement.set].into_iter().filter_map(|turn| {
        turn.fill.map(|fill| fill.full).or(turn.first(EventKind::Sealed).map(|event| event.time))
    });
    let last = ends.fold(0.0_f64, f64::max);
    if last > 0.0 { (1.2 * last).min(whole) } else { 0.6 * whole }
}

/// The three charts over `span` (s); their x is in ms.
pub(super) fn of(judgement: &Judgement, units: &OwnerUnits, span: f64) -> Vec<LivePlot> {
    let (aside, set) = (&judgement.aside, &judgement.set);
    let curve = |turn: &Turn, style: Option<usize>, value: &dyn Fn(&Instant) -> f64| {
        let inside: Vec<&Instant> = turn.trace.iter().take_while(|instant| instant.time <= span).collect();
        let every = inside.len().div_ceil(POINTS).max(1);
        let points = inside.iter().step_by(every).map(|instant| (1e3 * instant.time, value(instant)));
        LiveCurve { points: points.collect(), style, dashed: style == Some(1) }
    };
    let lift = |si: f64| units.lift.from_si(si);
    let speed = |si: f64| units.speed.from_si(si);
    let both =
        |value: &dyn Fn(&Instant) -> f64| vec![curve(aside, Some(1), value), curve(set, Some(0), value)];
    let mut lifts = vec![curve(aside, None, &|instant| lift(instant.state.block_lift))];
    lifts.extend(both(&|instant| lift(instant.state.rod_lift)));
    vec![
        plot(format!("lift of block (grey) and rod, {}", units.lift.symbol), lifts),
        plot(format!("piston speed, {}", units.speed.symbol), both(&|i| speed(i.piston_speed))),
        plot("mould filled, %".to_owned(), both(&|i| 100.0 * i.fill.max(0.0))),
    ]
}

/// A chart from zero, or the lowest point below it, to the highest.
fn plot(title: String, curves: Vec<LiveCurve>) -> LivePlot {
    let values = || curves.iter().flat_map(|curve| &curve.points).map(|point| point.1);
    let low = values().fold(0.0_f64, f64::min);
    let high = values().fold(0.0_f64, f64::max);
    let room = 0.06 * (high - low).max(f64::MIN_POSITIVE);
    LivePlot { title, y: (if low < 0.0 { low - room } else { 0.0 }, high + room), curves }
}
