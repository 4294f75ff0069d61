//! What begins suddenly in a recording.
//!
//! A click is where the energy of the next few milliseconds stands well above that of those just past and above what is usual nearby. Where in
//! these milliseconds it began is where a change of variance is likeliest: the k for which
//! k·ln(mean energy before) + (n − k)·ln(mean energy after) is least.

use super::envelope::{Heard, RATE};

/// One click.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Click {
    /// When it begins, s.
    pub time: f64,
    /// How many times the energy there was before it has.
    pub rise: f64,
    /// The energy that it adds.
    pub energy: f64,
}

/// Bins over which a click's energy is taken, and the energy before it; no two clicks are nearer than [`APART`].
const AFTER: usize = 16;
const BEFORE: usize = 40;
const APART: usize = 48;
/// What is usual is the middle of this many bins to either side, looked at every so many.
const NEARBY: usize = 2000;
const EVERY: usize = 400;
/// How many times the energy must rise to be a click.
const RISE: f64 = 2.8;
/// A recording of silence is as quiet as this, mean energy of full scale one: less than half of the last of 16 bits, from which nothing rises
/// without end.
const SILENCE: f64 = 1e-12;
/// What comes no later than this, s, after a click with so many times its energy is the room's answer to that.
const ECHO: (f64, f64) = (0.05, 4.0);

/// Every click in what was heard, in order of time. A recording that starts in the middle of a click does not have that one.
pub fn clicks(heard: &Heard) -> Vec<Click> {
    let bins = &heard.bins;
    let usual = usual(bins);
    let sums: Vec<f64> = std::iter::once(0.0)
        .chain(bins.iter().scan(0.0, |sum, bin| {
            *sum += f64::from(*bin);
            Some(*sum)
        }))
        .collect();
    let mean = |from: usize, to: usize| (sums[to] - sums[from]) / (to - from) as f64;
    let rise = |n: usize| {
        let before = mean(n.saturating_sub(BEFORE), n).max(usual[n / EVERY]);
        mean(n, n + AFTER) / before.max(SILENCE)
    };
    let last = bins.len().saturating_sub(AFTER);
    let mut found: Vec<Click> = Vec::new();
    let mut n = BEFORE;
    while n < last {
        if rise(n) < RISE {
            n += 1;
            continue;
        }
        let end = (n + APART).min(last);
        let Some(best) = (n..end).max_by(|a, b| rise(*a).total_cmp(&rise(*b))) else { break };
        let begin = began(&sums, best);
        let (time, rise) = (begin as f64 / RATE, rise(best));
        let energy = mean(best, best + AFTER) * (1.0 - 1.0 / rise);
        let is_answer = |other: &Click| time - other.time <= ECHO.0 && other.energy > ECHO.1 * energy;
        if !found.iter().rev().take(4).any(is_answer) {
            found.push(Click { time, rise, energy });
        }
        n = best + APART;
    }
    found
}

/// The bin near `at` in which the energy changes most surely.
fn began(sums: &[f64], at: usize) -> usize {
    let (from, to) = (at.saturating_sub(BEFORE), (at + AFTER).min(sums.len() - 1));
    let cost = |k: usize| {
        let part = |a: usize, b: usize| {
            let count = (b - a) as f64;
            count * ((sums[b] - sums[a]) / count).max(f64::MIN_POSITIVE).ln()
        };
        part(from, k) + part(k, to)
    };
    let near = at.saturating_sub(AFTER).max(from + 2)..(at + AFTER).min(to - 1);
    near.min_by(|a, b| cost(*a).total_cmp(&cost(*b))).unwrap_or(at)
}

/// The middle of the energies nearby, at every so many bins.
fn usual(bins: &[f32]) -> Vec<f64> {
    (0..=bins.len() / EVERY)
        .map(|n| {
            let at = n * EVERY;
            let mut near: Vec<f32> = bins[at.saturating_sub(NEARBY)..(at + NEARBY).min(bins.len())]
                .iter()
                .step_by(5)
                .copied()
                .collect();
            near.sort_by(f32::total_cmp);
            // The middle of few samples' energies is below their mean, which is what is compared with: of two samples a bin by 0.7.
            near.get(near.len() / 2).map_or(0.0, |middle| f64::from(*middle))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_a_click_out_of_silence_rises_from_what_silence_is_taken_for() {
        let loud: f32 = 16.0;
        let mut bins = vec![0.0; 4000];
        bins[2000..2016].fill(loud);
        let found = clicks(&Heard { bins, cut: 0.0, loudest: 4.0, level: 0.1 });
        assert_eq!(found.len(), 1, "{found:?}");
        assert!((found[0].rise * SILENCE / f64::from(loud) - 1.0).abs() < 1e-9, "{found:?}");
        assert!((found[0].time - 0.5).abs() < 1e-9 && (found[0].energy - 16.0).abs() < 1e-9, "{found:?}");
    }
}
