//! Which clicks come again in every turn, and how steadily the turns follow each other.
//!
//! A trial period is judged by how many clicks have another one period later, against how many would by chance. The turns then hang on one click of
//! them: the longest chain of clicks one period apart. What stands at the same place of most turns is a beat of the machine; what does
//! not is something else. No number is given where nothing repeats, where the turns are not steady, where there is one click a turn or
//! where all are evenly apart, as with clocks, drips and music.

use super::clicks::Click;
use super::envelope::{Heard, RATE};

/// Periods between which a machine's turn lies, s.
pub const PERIODS: (f64, f64) = (0.35, 9.0);
/// Trial periods are so much apart, as a share; clicks may be off by so much from one turn to the next.
const TRIAL: f64 = 0.004;
const STEADY: f64 = 0.012;
/// And by so much, s, whatever the period.
const JITTER: f64 = 0.003;
/// By how many standard deviations a period must be better than chance.
const SURE: f64 = 7.0;
/// As good as the best is the period at which this share of as many clicks come again: of a period and its multiples the shortest is taken.
const AS_GOOD: f64 = 0.85;
/// Fewer turns than this tell nothing.
pub const LEAST_TURNS: usize = 6;
/// The chain must go through this share of the recording's turns.
const THROUGH: f64 = 0.75;
/// A beat is heard in at least this share of the turns, and in no more than this by chance.
const HEARD: f64 = 0.6;
const BY_CHANCE: f64 = 0.25;
/// In this share of the recordings of clicks at random, at most, does one place or another seem to be that of a beat.
const MISTAKEN: f64 = 1e-3;
/// Turns may differ by this, as a share of the period, for a pace to count as steady.
const WANDER: f64 = 0.02;
/// Beats are evenly apart that lie within this share of a turn of a division of it.
const EVENLY: f64 = 0.002;
/// Share of samples cut off above which the sound is no longer that of the machine.
const CUT: f64 = 1e-3;
/// Below this level there is nothing but the telephone's own noise.
const SILENT: f64 = 1e-4;

/// Why nothing can be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refused {
    /// So many seconds are too few.
    TooShort(f64),
    /// There is nothing to hear.
    Silent,
    /// This share of the samples was cut off.
    Cut(f64),
    /// Hardly anything in it begins suddenly: so many clicks.
    FewClicks(usize),
    /// Nothing comes again and again in the same order.
    NoTurn,
    /// The turns differ by this share of the period.
    Wanders(f64),
    /// One click comes again, as with a clock or a drip.
    OneClick,
    /// The clicks are evenly apart, as with music and clocks.
    Even,
}

/// A click that comes again.
#[derive(Debug, Clone, PartialEq)]
pub struct Beat {
    /// Place in the turn, 0 to 1, counted from the click on which the turns hang.
    pub place: f64,
    /// In how many of the turns.
    pub turns: usize,
    /// How many times the energy there was before it has, in the middle.
    pub rise: f64,
    /// Its time in each turn, s, where it was heard.
    pub times: Vec<Option<f64>>,
}

/// The turns of a recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Turns {
    /// Mean period, s.
    pub period: f64,
    /// Standard deviation of one turn's period, as a share.
    pub wander: f64,
    /// When each turn starts, s, and the last one ends.
    pub starts: Vec<f64>,
    /// What comes again, in order of place; the first is at nought.
    pub beats: Vec<Beat>,
}

/// The time between two beats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Its mean, s.
    pub mean: f64,
    /// Standard error of the mean, s.
    pub error: f64,
    /// Standard deviation from turn to turn, s.
    pub deviation: f64,
    /// Over how many turns.
    pub turns: usize,
}

impl Turns {
    /// The time from one beat to the next coming of another, over the turns in which both were heard; none of fewer than three.
    pub fn gap(&self, from: usize, to: usize) -> Option<Gap> {
        let (from, to) = (self.beats.get(from)?, self.beats.get(to)?);
        let next = usize::from(to.place <= from.place);
        let pairs = from.times.iter().zip(to.times.iter().skip(next));
        let gaps: Vec<f64> = pairs.filter_map(|(a, b)| Some((*b)? - (*a)?)).collect();
        // One turn in which something else was taken for it must not count.
        let mut sorted = gaps.clone();
        sorted.sort_by(f64::total_cmp);
        let middle = *sorted.get(sorted.len() / 2)?;
        let off = |gap: &f64| (gap - middle).abs();
        let mut offs: Vec<f64> = gaps.iter().map(off).collect();
        offs.sort_by(f64::total_cmp);
        let most = (4.0 * 1.4826 * offs[offs.len() / 2]).max(2.0 / RATE);
        let kept: Vec<f64> = gaps.into_iter().filter(|gap| off(gap) <= most).collect();
        if kept.len() < 3 {
            return None;
        }
        let count = kept.len() as f64;
        let mean = kept.iter().sum::<f64>() / count;
        let squares: f64 = kept.iter().map(|gap| (gap - mean).powi(2)).sum();
        // Two readings to a bin each.
        let reading = 1.0 / (RATE * 6.0_f64.sqrt());
        let deviation = (squares / (count - 1.0)).sqrt().max(reading);
        Some(Gap { mean, error: deviation / count.sqrt(), deviation, turns: kept.len() })
    }

    /// The energy over the turn, all turns laid on one another: for so many places the middle over the turns.
    pub fn folded(&self, heard: &Heard, places: usize) -> Vec<f64> {
        let at = |turn: &[f64], place: usize| {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a bin, not negative"
            )]
            let bin = |share: f64| ((turn[0] + share * (turn[1] - turn[0])) * RATE).max(0.0) as usize;
            let (from, to) = (bin(place as f64 / places as f64), bin((place + 1) as f64 / places as f64));
            let bins = heard.bins.get(from..to.max(from + 1))?;
            bins.iter().copied().max_by(f32::total_cmp).map(f64::from)
        };
        (0..places)
            .map(|place| {
                let mut all: Vec<f64> = self.starts.windows(2).filter_map(|turn| at(turn, place)).collect();
                all.sort_by(f64::total_cmp);
                all.get(all.len() / 2).copied().unwrap_or(0.0)
            })
            .collect()
    }
}

/// The turns in what was heard, and its clicks; with the period known to lie between two (s), where it is known.
///
/// # Errors
/// Why nothing can be told.
pub fn turns(heard: &Heard, clicks: &[Click], known: Option<(f64, f64)>) -> Result<Turns, Refused> {
    let length = heard.bins.len() as f64 / RATE;
    if heard.level < SILENT {
        return Err(Refused::Silent);
    }
    if heard.cut > CUT {
        return Err(Refused::Cut(heard.cut));
    }
    if length < LEAST_TURNS as f64 * PERIODS.0 {
        return Err(Refused::TooShort(length));
    }
    if clicks.len() < LEAST_TURNS {
        return Err(Refused::FewClicks(clicks.len()));
    }
    let longest = (length / LEAST_TURNS as f64).min(PERIODS.1);
    let (from, to) = known.map_or((PERIODS.0, longest), |(from, to)| (from, to.min(longest)));
    let period = period(clicks, length, (from, to)).ok_or(Refused::NoTurn)?;
    let starts = chain(clicks, period);
    let count = starts.len().saturating_sub(1);
    if count < LEAST_TURNS || (starts[count] - starts[0]) < THROUGH * (length - 2.0 * period) {
        return Err(Refused::NoTurn);
    }
    let lasting: Vec<f64> = starts.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let mean = lasting.iter().sum::<f64>() / count as f64;
    let squares: f64 = lasting.iter().map(|period| (period / mean - 1.0).powi(2)).sum();
    let wander = (squares / (count - 1) as f64).sqrt();
    let ends = lasting.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), p| (low.min(*p), high.max(*p)));
    if wander > WANDER || ends.1 / ends.0 > 1.0 + 5.0 * WANDER {
        return Err(Refused::Wanders(wander));
    }
    let beats = beats(clicks, &starts, mean);
    if beats.len() < 2 {
        // Where clicks are thick, a chain of them is found at any pace.
        let chance = by_chance(STEADY * mean + JITTER, clicks.len() as f64 / length);
        return Err(if chance > BY_CHANCE { Refused::NoTurn } else { Refused::OneClick });
    }
    if known.is_none() && are_even(&beats) {
        return Err(Refused::Even);
    }
    Ok(Turns { period: mean, wander, starts, beats })
}

/// Whether a click stands within `width` (s) of a time.
fn near(clicks: &[Click], time: f64, width: f64) -> Option<usize> {
    let after = clicks.partition_point(|click| click.time < time);
    let candidates = [after.checked_sub(1), Some(after)].into_iter().flatten();
    let off = |n: usize| clicks.get(n).map_or(f64::INFINITY, |click| (click.time - time).abs());
    candidates.min_by(|a, b| off(*a).total_cmp(&off(*b))).filter(|n| off(*n) <= width)
}

/// How likely one of clicks that come at random, so many to the second (or the turn), stands within `width` of a given time.
fn by_chance(width: f64, thick: f64) -> f64 {
    1.0 - (-2.0 * width * thick).exp()
}

/// The natural logarithm of how likely, at most, a click that comes by chance in one turn of `chance` comes in this share of so many:
/// n times the divergence s·ln(s/c) + (1 − s)·ln((1 − s)/(1 − c)) (H. Chernoff, 1952; from memory).
fn so_often(turns: usize, share: f64, chance: f64) -> f64 {
    let part = |share: f64, chance: f64| if share > 0.0 { share * (share / chance).ln() } else { 0.0 };
    -(turns as f64) * (part(share, chance) + part(1.0 - share, 1.0 - chance))
}

fn period(clicks: &[Click], length: f64, (from, to): (f64, f64)) -> Option<f64> {
    let surprise = |period: f64| {
        let width = STEADY * period + JITTER;
        let inside = clicks.iter().take_while(|click| click.time + period < length).count();
        let again = clicks[..inside]
            .iter()
            .filter(|click| near(clicks, click.time + period, width).is_some())
            .count();
        let chance = by_chance(width, clicks.len() as f64 / length);
        let beyond = again as f64 - inside as f64 * chance;
        let by_chance = (inside as f64 * chance * (1.0 - chance)).max(1.0).sqrt();
        // As a share of all, and in standard deviations.
        (beyond / inside.max(1) as f64, beyond / by_chance)
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few hundred, not negative"
    )]
    let count = ((to / from).ln() / TRIAL).ceil().max(1.0) as u32;
    let trial = |n: u32| from * (to / from).powf(f64::from(n) / f64::from(count));
    let judged = (0..=count).map(|n| (trial(n), surprise(trial(n))));
    let tried: Vec<(f64, f64)> =
        judged.map(|(period, (share, sure))| (period, if sure >= SURE { share } else { 0.0 })).collect();
    let best = tried.iter().map(|trial| trial.1).fold(0.0, f64::max);
    if best <= 0.0 {
        return None;
    }
    // The first peak that is as good as the best, and its top.
    let first = tried.iter().position(|trial| trial.1 >= AS_GOOD * best)?;
    let top = tried[first..].iter().take_while(|trial| trial.0 <= tried[first].0 * (1.0 + 4.0 * STEADY));
    let found = top.max_by(|a, b| a.1.total_cmp(&b.1)).map(|trial| trial.0)?;
    // The middle of the periods that clicks have there.
    let width = 2.0 * STEADY * found + JITTER;
    let mut lasting: Vec<f64> = clicks
        .iter()
        .filter_map(|click| near(clicks, click.time + found, width).map(|n| clicks[n].time - click.time))
        .collect();
    lasting.sort_by(f64::total_cmp);
    lasting.get(lasting.len() / 2).copied()
}

/// The times of the longest chain of clicks one period apart, the loudest of those as long.
fn chain(clicks: &[Click], period: f64) -> Vec<f64> {
    let width = 2.5 * STEADY * period + JITTER;
    let mut best: Vec<(f64, Option<usize>)> = Vec::with_capacity(clicks.len());
    for (n, click) in clicks.iter().enumerate() {
        let worth = 1.0 + 0.05 * click.rise.ln().min(10.0);
        let first = clicks.partition_point(|other| other.time < click.time - period - width);
        let before = (first..n).take_while(|m| clicks[*m].time <= click.time - period + width);
        let off = |m: usize| ((click.time - clicks[m].time - period) / width).powi(2);
        let from =
            before.max_by(|a, b| (best[*a].0 - 0.3 * off(*a)).total_cmp(&(best[*b].0 - 0.3 * off(*b))));
        best.push((worth + from.map_or(0.0, |m| best[m].0 - 0.3 * off(m)), from));
    }
    let mut at = (0..best.len()).max_by(|a, b| best[*a].0.total_cmp(&best[*b].0));
    let mut times = Vec::new();
    while let Some(n) = at {
        times.push(clicks[n].time);
        at = best[n].1;
    }
    times.reverse();
    times
}

/// What stands at the same place in most turns.
fn beats(clicks: &[Click], starts: &[f64], period: f64) -> Vec<Beat> {
    let count = starts.len() - 1;
    // Place and turn of every click within the turns.
    let placed: Vec<(f64, usize, Click)> = clicks
        .iter()
        .filter_map(|click| {
            let turn =
                starts.partition_point(|start| *start <= click.time).checked_sub(1).filter(|n| *n < count)?;
            Some(((click.time - starts[turn]) / (starts[turn + 1] - starts[turn]), turn, *click))
        })
        .collect();
    let width = (0.25 * STEADY).max(1.2 * JITTER / period);
    let chance = by_chance(width, placed.len() as f64 / count as f64);
    // As many places as there are clicks can be the one.
    let mistaken = (MISTAKEN / placed.len().max(1) as f64).ln();
    let mut open: Vec<bool> = vec![true; placed.len()];
    let mut found = vec![Beat {
        place: 0.0,
        turns: count,
        rise: middle(placed.iter().filter(|(place, ..)| *place == 0.0).map(|(.., click)| click.rise)),
        times: starts[..count].iter().map(|start| Some(*start)).collect(),
    }];
    let mut order: Vec<usize> = (0..placed.len()).filter(|n| placed[*n].0 > 0.0).collect();
    order.sort_by(|a, b| placed[*a].0.total_cmp(&placed[*b].0));
    loop {
        // The place with the most turns about it.
        let mut most: (usize, f64) = (0, 0.0);
        let mut low = 0;
        for (n, &here) in order.iter().enumerate() {
            while placed[order[low]].0 < placed[here].0 - 2.0 * width {
                low += 1;
            }
            let inside = || order[low..=n].iter().filter(|m| open[**m]);
            let mut seen: Vec<usize> = inside().map(|m| placed[*m].1).collect();
            seen.sort_unstable();
            seen.dedup();
            if seen.len() > most.0 {
                most = (seen.len(), middle(inside().map(|m| placed[*m].0)));
            }
        }
        let share = most.0 as f64 / count as f64;
        if share < HEARD || share - chance < HEARD - BY_CHANCE || so_often(count, share, chance) > mistaken {
            break;
        }
        let mut times: Vec<Option<f64>> = vec![None; count];
        let mut rises = Vec::new();
        for (n, (place, turn, click)) in placed.iter().enumerate() {
            if open[n] && (place - most.1).abs() <= 1.5 * width {
                open[n] = false;
                let nearer = |other: f64| (click.time - other).abs();
                let aim = starts[*turn] + most.1 * (starts[turn + 1] - starts[*turn]);
                if times[*turn].is_none_or(|kept: f64| nearer(aim) < (kept - aim).abs()) {
                    times[*turn] = Some(click.time);
                }
                rises.push(click.rise);
            }
        }
        let turns = times.iter().flatten().count();
        if turns > 0 {
            found.push(Beat { place: most.1, turns, rise: middle(rises.into_iter()), times });
        }
        if found.len() >= 12 {
            break;
        }
    }
    found.sort_by(|a, b| a.place.total_cmp(&b.place));
    found
}

fn middle(values: impl Iterator<Item = f64>) -> f64 {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(0.0)
}

/// Whether all beats stand on a division of the turn: halves, thirds or quarters where there are two, as fine as sixteenths where there are
/// more.
fn are_even(beats: &[Beat]) -> bool {
    let divisions: &[u32] = if beats.len() == 2 { &[2, 3, 4] } else { &[2, 3, 4, 5, 6, 7, 8, 10, 12, 16] };
    divisions.iter().any(|division| {
        beats.iter().all(|beat| {
            let steps = beat.place * f64::from(*division);
            (steps - steps.round()).abs() / f64::from(*division) <= EVENLY
        })
    })
}
