//! The mould's temperature over the casts.

use super::super::charts::close;
use super::{Answer, cast_words, near, temperature};
use crate::owner::OwnerUnits;
use latchstroke_core::studies::warm::WarmUp;
use latchstroke_plots::{Axis, LineChart, Panel, Series, Stroke};

/// Lines of the curves, so that they can be told apart without colour; dots are for where they settle.
const STROKES: [Stroke; 4] = [Stroke::Solid, Stroke::Dashed, Stroke::DashDot, Stroke::LongDash];

/// More points than this across a chart cannot be seen apart.
const POINTS: usize = 1000;

/// The colour of what has to do with neither setting of the latch.
const NEITHER: usize = 4;

/// The chart: a curve for each cast asked about, and a dotted line where it settles.
pub fn warming(answer: &Answer, units: &OwnerUnits, source: &str) -> LineChart {
    let mut panel = Panel::new(Axis::new("mould", units.temperature.symbol));
    for (n, warm_up) in answer.warm_ups.iter().enumerate() {
        let settled = units.temperature.from_si(warm_up.settled.mould);
        let last = warm_up.temperatures.len().saturating_sub(1);
        let (here, there) = (cast_words(warm_up, units), temperature(warm_up.settled.mould, units));
        let (name, limit) = if answer.warm_ups.len() == 1 {
            ("while casting".to_owned(), format!("settles at {there}"))
        } else {
            (format!("{here}: {there}"), String::new())
        };
        panel = panel
            .with_series(
                Series::new(close(&name), curve(warm_up, units))
                    .style(NEITHER)
                    .stroke(STROKES[n % STROKES.len()]),
            )
            .with_series(
                Series::new(close(&limit), [(0.0, settled), (last as f64, settled)])
                    .style(NEITHER)
                    .stroke(Stroke::Dotted),
            );
    }
    LineChart::new(headline(answer, units), Axis::new("casts from cold", ""))
        .with_panel(panel)
        .with_source(source)
}

/// Casts and temperature, thinned to what can be seen.
fn curve(warm_up: &WarmUp, units: &OwnerUnits) -> Vec<(f64, f64)> {
    let last = warm_up.temperatures.len().saturating_sub(1);
    let every = warm_up.temperatures.len().div_ceil(POINTS).max(1);
    let seen = warm_up.temperatures.iter().enumerate().filter(|(n, _)| n % every == 0 || *n == last);
    seen.map(|(n, &kelvin)| (n as f64, units.temperature.from_si(kelvin))).collect()
}

fn headline(answer: &Answer, units: &OwnerUnits) -> String {
    let settled = |warm_up: &WarmUp| close(&temperature(warm_up.settled.mould, units));
    match answer.warm_ups.as_slice() {
        [only] => {
            let casts = only
                .casts_until_warm
                .map_or(String::new(), |n| format!(", within {} after {n} casts", close(&near(units))));
            format!("{}: the mould settles at {}{casts}", close(&cast_words(only, units)), settled(only))
        }
        several => {
            let order = |a: &&WarmUp, b: &&WarmUp| a.settled.mould.total_cmp(&b.settled.mould);
            match (several.iter().min_by(order), several.iter().max_by(order)) {
                (Some(coolest), Some(hottest)) => format!(
                    "The mould settles at {} for {} and at {} for {}",
                    settled(coolest),
                    close(&cast_words(coolest, units)),
                    settled(hottest),
                    close(&cast_words(hottest, units))
                ),
                _ => "Nothing is cast".to_owned(),
            }
        }
    }
}
