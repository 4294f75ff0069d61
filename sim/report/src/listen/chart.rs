//! The sound over a turn, all turns laid on one another.

use super::Report;
use crate::charts::close;
use latchstroke_plots::{Axis, LineChart, Panel, Series};
use latchstroke_sound::Heard;

/// Places round the turn.
const PLACES: usize = 900;

/// The chart: how loud it is over the turn, the middle of all turns, with the clicks named.
pub fn folded(report: &Report, heard: &Heard, source: &str) -> LineChart {
    let turns = report.turns;
    let energy = turns.folded(heard, PLACES);
    let mut sorted = energy.clone();
    sorted.sort_by(f64::total_cmp);
    let quiet = sorted.get(PLACES / 10).copied().unwrap_or(0.0).max(f64::MIN_POSITIVE);
    let over = |energy: f64| 10.0 * (energy.max(quiet / 100.0) / quiet).log10();
    let time = |place: f64| 1e3 * place * turns.period;
    let points =
        energy.iter().enumerate().map(|(n, energy)| (time((n as f64 + 0.5) / PLACES as f64), over(*energy)));
    let pace = report.units.turns(1.0 / turns.period);
    let headline = match report.gap() {
        Some(gap) => {
            format!("{} from the latch letting go to the strike, at {pace}", close(&super::with_error(&gap)))
        }
        None => format!("{} clicks in each turn, at {pace}", turns.beats.len()),
    };
    let chart = LineChart::new(headline, Axis::new("time in the turn", "ms").range(0.0, time(1.0)))
        .with_panel(
            Panel::new(Axis::new("sound above its quietest", "dB")).with_series(Series::new("", points)),
        )
        .with_source(source);
    turns.beats.iter().enumerate().fold(chart, |chart, (n, beat)| {
        let name = report.name(n);
        chart.with_event(time(beat.place), if name.is_empty() { format!("click {}", n + 1) } else { name })
    })
}
