//! How a film's time runs: slow where much happens, quick where little does.
//!
//! The turn is cut at its events into four kinds of stretches, from the throw, shown slowest, to the rest and the return. Each
//! kind has its share of the film, spent evenly, so that the film runs at one of four paces at any time and can say which.

use super::super::owner::significant;
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::turn::{EventKind, Turn};
use std::f64::consts::TAU;

/// Shares of the film for the four kinds: return and rest, lift and freezing, filling, throw.
const SHARES: [f64; 4] = [0.12, 0.22, 0.28, 0.38];

/// A stretch of the turn shown at one pace.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stretch {
    /// From when, s of the machine's time.
    start: f64,
    /// Until when, s.
    end: f64,
    /// From which part of the film on, 0 to 1.
    film_start: f64,
    /// Machine seconds for the whole film, were it all shown at this pace.
    speed: f64,
}

/// When each frame happens.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmPace {
    stretches: Vec<Stretch>,
    frames: usize,
    shown: f64,
}

impl FilmPace {
    /// The pace of a film of `frames` frames over both turns, each frame shown for `shown` (s).
    pub fn of(judgement: &Judgement, frames: usize, shown: f64) -> Self {
        let turns = [&judgement.aside, &judgement.set];
        let whole = TAU / judgement.aside.shaft_speed;
        let mut windows: Vec<(f64, f64, usize)> = Vec::new();
        for turn in turns {
            windows.extend(busy(turn, whole));
        }
        let mut cuts: Vec<f64> = windows.iter().flat_map(|window| [window.0, window.1]).collect();
        cuts.extend([0.0, whole]);
        for cut in &mut cuts {
            *cut = cut.clamp(0.0, whole);
        }
        cuts.sort_by(f64::total_cmp);
        cuts.dedup();
        let pieces: Vec<(f64, f64, usize)> = cuts
            .windows(2)
            .filter_map(|pair| {
                let &[start, end] = pair else { return None };
                let middle = f64::midpoint(start, end);
                let inside = windows.iter().filter(|window| (window.0..window.1).contains(&middle));
                Some((start, end, inside.map(|window| window.2).max().unwrap_or(0)))
            })
            .collect();
        let speeds = speeds(&pieces);
        let mut film = 0.0;
        let mut stretches: Vec<Stretch> = Vec::with_capacity(pieces.len());
        for (start, end, kind) in pieces {
            let speed = speeds.get(kind).copied().unwrap_or(whole);
            stretches.push(Stretch { start, end, film_start: film, speed });
            film += (end - start) / speed;
        }
        Self { stretches, frames: frames.max(1), shown }
    }

    /// How many frames there are.
    pub fn frames(&self) -> usize {
        self.frames
    }

    fn stretch(&self, n: usize) -> Option<(&Stretch, f64)> {
        let film = n as f64 / self.frames as f64;
        let found = self.stretches.iter().rev().find(|stretch| stretch.film_start <= film)?;
        Some((found, film))
    }

    /// The machine's time at frame `n`, s from the start of the turn.
    pub fn time(&self, n: usize) -> f64 {
        self.stretch(n).map_or(0.0, |(stretch, film)| {
            (stretch.start + (film - stretch.film_start) * stretch.speed).min(stretch.end)
        })
    }

    /// Machine seconds for each second of the film at frame `n`.
    pub fn rate(&self, n: usize) -> f64 {
        self.stretch(n).map_or(1.0, |(stretch, _)| stretch.speed / (self.frames as f64 * self.shown))
    }

    /// The rate in words: "about 1/80 of real speed".
    pub fn words(&self, n: usize) -> String {
        let rate = self.rate(n);
        if rate < 0.95 {
            format!("about 1/{} of real speed", significant(1.0 / rate, 2))
        } else if rate < 1.05 {
            "real speed".to_owned()
        } else {
            format!("{} × real speed", significant(rate, 2))
        }
    }
}

/// The stretches of a turn in which something happens, with their kind.
fn busy(turn: &Turn, whole: f64) -> Vec<(f64, f64, usize)> {
    let event = |kind: EventKind| turn.first(kind).map(|event| event.time);
    let mut windows = Vec::new();
    let sealed = event(EventKind::Sealed).or(turn.fill.map(|fill| fill.full)).unwrap_or(0.3 * whole);
    windows.push((0.0, 1.05 * sealed, 1));
    if let (Some(closes), Some(entry)) = (event(EventKind::InletCloses), event(EventKind::EntryReached)) {
        let full = turn.fill.map_or_else(|| entry + 0.1 * whole, |fill| fill.full);
        let around = 0.05 * (full - closes);
        windows.push((closes - around, full + around, 2));
    }
    if let Some(throw) = turn.throw {
        // A rod that fills the mould on the springs alone catches up only as the cross block comes back.
        let ends = throw.caught_up.into_iter().chain(turn.fill.map(|fill| fill.full)).reduce(f64::min);
        let ends = ends.unwrap_or(throw.time + 0.02 * whole);
        let around = 0.1 * (ends - throw.time);
        windows.push((throw.time - around, ends + around, 3));
    }
    windows
}

/// Machine seconds for the whole film at the pace of each kind. A kind that would run quicker than the kind below it is
/// shown at one pace with it.
fn speeds(pieces: &[(f64, f64, usize)]) -> [f64; SHARES.len()] {
    // Each pool: its last kind, how long it lasts and its share of the film.
    let mut pools: Vec<(usize, f64, f64)> = Vec::new();
    for (kind, share) in SHARES.into_iter().enumerate() {
        let lasts: f64 = pieces.iter().filter(|piece| piece.2 == kind).map(|piece| piece.1 - piece.0).sum();
        let mut pool = (kind, lasts, if lasts > 0.0 { share } else { 0.0 });
        while let Some(&(_, before, weight)) = pools.last() {
            if pool.1 > 0.0 && before > 0.0 && before * pool.2 > pool.1 * weight {
                break;
            }
            pools.pop();
            pool = (kind, pool.1 + before, pool.2 + weight);
        }
        pools.push(pool);
    }
    let total: f64 = pools.iter().map(|pool| pool.2).sum();
    let mut kinds = [0.0; SHARES.len()];
    for (kind, speed) in kinds.iter_mut().enumerate() {
        let pool = pools.iter().find(|pool| pool.0 >= kind);
        *speed = pool.map_or(0.0, |pool| pool.1 * total / pool.2.max(f64::MIN_POSITIVE));
    }
    kinds
}
