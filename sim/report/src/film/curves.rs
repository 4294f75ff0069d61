//! The curves below a film, over the time since the metal came in: travel of the piston over the whole turn, and its speed and the
//! filling for as long as either mould fills.

use super::super::charts::close;
use super::super::owner::{OwnerUnits, milliseconds};
use super::pace::{FilmPace, done, entry};
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::turn::{Instant, Turn};
use latchstroke_models::mould::FULL;
use latchstroke_plots::mechanism::{LiveCurve, LiveLimit, LivePlot};

/// More points than this cannot be told apart.
const POINTS: usize = 700;
/// Room before the metal comes in and behind all that is shown, as shares of it.
const BEFORE: f64 = 0.06;
const BEHIND: f64 = 1.15;
/// A limit later than so many times the fills is told, and not drawn.
const FARTHEST: f64 = 3.0;

/// How far the fills' charts and stopwatches go, s: the slower fill, and the time allowed unless that is much later.
pub(super) fn scale(judgement: &Judgement, pace: &FilmPace) -> f64 {
    let (fills, allowed) = (pace.fills().1, judgement.clocks.allowed);
    if allowed < FARTHEST * fills { fills.max(BEHIND * allowed) } else { fills }
}

/// The charts; their x is in ms.
pub(super) fn of(judgement: &Judgement, units: &OwnerUnits, pace: &FilmPace) -> Vec<LivePlot> {
    let [aside, set] = pace.zeros();
    let sides = [(&judgement.aside, aside, 1), (&judgement.set, set, 0)];
    let both = |span: (f64, f64), value: &dyn Fn(&Turn, &Instant) -> Option<f64>| -> Vec<LiveCurve> {
        sides.iter().map(|&(turn, zero, style)| curve(turn, zero, span, style, value)).collect()
    };
    let whole = pace.span();
    let scale = scale(judgement, pace);
    // Nothing fills: what moves the piston is all there is to show.
    let throw = judgement.set.throw.map(|throw| throw.time - set);
    let window = match (scale > 0.0, throw) {
        (true, throw) => {
            let lead = throw.map_or(0.0, |throw| (-1.1 * throw).clamp(0.0, scale));
            (-lead.max(BEFORE * scale), scale)
        }
        (false, _) => whole,
    };
    let lift = |si: f64| units.lift.from_si(si);
    let mut plots = vec![
        plot(
            format!("piston travel, {}", units.lift.symbol),
            whole,
            both(whole, &|_, i| Some(lift(i.piston_travel))),
        ),
        plot(
            format!("piston speed, {}", units.speed.symbol),
            window,
            both(window, &|_, i| Some(units.speed.from_si(i.piston_speed))),
        ),
    ];
    if scale > 0.0 {
        let filling = |turn: &Turn, i: &Instant| {
            let inside = entry(turn)? <= i.time && i.time <= done(turn)?;
            inside.then(|| 100.0 * (i.fill / FULL).clamp(0.0, 1.0))
        };
        let curves = both(window, &filling).into_iter().map(|curve| LiveCurve { stops: true, ..curve });
        let allowed = judgement.clocks.allowed;
        plots.push(LivePlot {
            y: (0.0, 106.0),
            limit: Some(LiveLimit { at: 1e3 * allowed, label: allowed_words(allowed) }),
            ..plot("mould filled, %".to_owned(), window, curves.collect())
        });
    }
    plots
}

/// "allowed 62.1 ms".
pub(super) fn allowed_words(allowed: f64) -> String {
    if allowed.is_finite() {
        close(&format!("allowed {}", milliseconds(allowed)))
    } else {
        "no limit".to_owned()
    }
}

fn curve(
    turn: &Turn,
    zero: f64,
    span: (f64, f64),
    style: usize,
    value: &dyn Fn(&Turn, &Instant) -> Option<f64>,
) -> LiveCurve {
    let inside: Vec<(f64, f64)> = turn
        .trace
        .iter()
        .filter(|instant| (span.0..=span.1).contains(&(instant.time - zero)))
        .filter_map(|instant| Some((1e3 * (instant.time - zero), value(turn, instant)?)))
        .collect();
    let every = inside.len().div_ceil(POINTS).max(1);
    let last = inside.len().saturating_sub(1);
    let points = inside.into_iter().enumerate().filter(|(n, _)| n % every == 0 || *n == last);
    LiveCurve { points: points.map(|(_, point)| point).collect(), style, dashed: style == 1, stops: false }
}

/// A chart from zero, or the lowest point below it, to the highest, over `span` (s).
fn plot(title: String, span: (f64, f64), curves: Vec<LiveCurve>) -> LivePlot {
    let values = || curves.iter().flat_map(|curve| &curve.points).map(|point| point.1);
    let low = values().fold(0.0_f64, f64::min);
    let high = values().fold(0.0_f64, f64::max);
    let room = 0.06 * (high - low).max(f64::MIN_POSITIVE);
    LivePlot {
        title,
        x: (1e3 * span.0, 1e3 * span.1),
        y: (if low < 0.0 { low - room } else { 0.0 }, high + room),
        limit: None,
        curves,
    }
}
