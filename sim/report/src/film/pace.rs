//! How a film's time runs: slow where much happens, quick where little does, and at one rate while metal comes in.
//!
//! Both sides count from the moment at which the metal comes into the mould, so that their fills begin together and the quicker one
//! is seen to end first. A side into whose mould no metal comes goes by the other's shaft. The time both share is cut into a few
//! stretches, each with its share of the film, spent evenly. The fills are one stretch, whichever lasts longer: neither side is
//! ever slowed against the other, nor against itself.

use super::super::owner::significant;
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::turn::{EventKind, Turn};
use std::f64::consts::TAU;

/// Shares of the film: the lift, the throw, the fills, the freezing, and the way home.
const LIFT: f64 = 0.16;
const THROW: f64 = 0.12;
const FILLS: f64 = 0.42;
const FREEZING: f64 = 0.14;
const HOME: f64 = 0.16;
/// The throw is shown from so much of its length before it.
const LEAD: f64 = 0.15;
/// The rate of the fills is kept so much of their length longer.
const TAIL: f64 = 0.06;
/// How long a throw is taken to last that neither fills nor catches up, as a share of the turn.
const THROWN: f64 = 0.02;
/// How long the mould freezes that is never sealed, as a share of what is left of the turn.
const UNSEALED: f64 = 0.3;

/// A stretch shown at one rate.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stretch {
    /// From when, s.
    start: f64,
    /// From which part of the film on, 0 to 1.
    film_start: f64,
    /// Seconds for the whole film, were it all shown at this rate.
    speed: f64,
}

/// When each frame happens, s from the moment the metal comes in.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmPace {
    stretches: Vec<Stretch>,
    frames: usize,
    shown: f64,
    zeros: [f64; 2],
    span: (f64, f64),
    fills: (f64, f64),
}

/// When the metal comes into the mould, s from the start of the turn.
pub(super) fn entry(turn: &Turn) -> Option<f64> {
    turn.fill.map(|fill| fill.entry).or_else(|| Some(turn.first(EventKind::EntryReached)?.time))
}

/// When no more metal comes in, s from the start of the turn: the mould is full, or its entry has frozen, or the stroke has ended.
pub(super) fn done(turn: &Turn) -> Option<f64> {
    let entry = entry(turn)?;
    let sealed = || Some(turn.first(EventKind::Sealed)?.time);
    let most = || {
        turn.trace.iter().filter(|i| i.time >= entry).max_by(|a, b| a.fill.total_cmp(&b.fill)).map(|i| i.time)
    };
    turn.fill.map(|fill| fill.full).or_else(sealed).or_else(most)
}

impl FilmPace {
    /// The pace of a film of `frames` frames over both turns, each frame shown for `shown` (s).
    pub fn of(judgement: &Judgement, frames: usize, shown: f64) -> Self {
        let turns = [&judgement.aside, &judgement.set];
        let whole = TAU / judgement.aside.shaft_speed;
        let entries = turns.map(entry);
        let any = entries[0].or(entries[1]);
        let zeros = entries.map(|own| own.or(any).unwrap_or(0.0));
        let start = -zeros[0].max(zeros[1]);
        let end = start + whole;
        let lasts = turns.iter().filter_map(|turn| Some(done(turn)? - entry(turn)?)).fold(0.0, f64::max);
        let fills = any.map_or(0.0, |_| lasts * (1.0 + TAIL));
        let sealed = turns
            .iter()
            .zip(zeros)
            .filter_map(|(turn, zero)| Some(turn.first(EventKind::Sealed)?.time - zero))
            .fold(f64::NEG_INFINITY, f64::max);
        let frozen = if sealed > fills { sealed } else { fills + UNSEALED * (end - fills) };

        // Until when, and with which share of the film.
        let mut plan: Vec<(f64, f64)> = Vec::new();
        if let Some(throw) = judgement.set.throw {
            let from = throw.time - zeros[1];
            let ends = match entries[1] {
                Some(_) => 0.0,
                None => throw.caught_up.unwrap_or(throw.time + THROWN * whole) - zeros[1],
            };
            // No throw changes the rate at which the other side's mould is seen to fill.
            let ends = if any.is_some() { ends.min(0.0) } else { ends };
            if ends > from {
                plan.extend([(from - LEAD * (ends - from), LIFT), (ends, THROW)]);
            }
        }
        if any.is_some() {
            plan.extend([(0.0, LIFT), (fills, FILLS)]);
        }
        plan.extend([(frozen, FREEZING), (end, HOME)]);
        let mut pieces: Vec<(f64, f64, f64)> = Vec::new();
        let mut from = start;
        for (until, share) in plan {
            let until = until.min(end);
            if until > from {
                pieces.push((from, until, share));
                from = until;
            }
        }
        let total: f64 = pieces.iter().map(|piece| piece.2).sum();
        let mut film = 0.0;
        let stretches = pieces.iter().map(|&(start, end, share)| {
            let stretch = Stretch { start, film_start: film, speed: (end - start) * total / share };
            film += share / total;
            stretch
        });
        Self {
            stretches: stretches.collect(),
            frames: frames.max(2),
            shown,
            zeros,
            span: (start, end),
            fills: (0.0, fills),
        }
    }

    /// How many frames there are.
    pub fn frames(&self) -> usize {
        self.frames
    }

    /// When the film begins and ends, s.
    pub fn span(&self) -> (f64, f64) {
        self.span
    }

    /// The stretch in which metal comes in, s; empty where none does on either side.
    pub fn fills(&self) -> (f64, f64) {
        self.fills
    }

    /// When the metal comes in, s from the start of the turn: with the latch aside and set.
    pub fn zeros(&self) -> [f64; 2] {
        self.zeros
    }

    fn stretch(&self, n: usize) -> Option<(&Stretch, f64)> {
        let film = n as f64 / (self.frames - 1) as f64;
        let found = self.stretches.iter().rev().find(|stretch| stretch.film_start <= film)?;
        Some((found, film))
    }

    /// The time at frame `n`, s from the moment the metal comes in.
    pub fn time(&self, n: usize) -> f64 {
        if n + 1 >= self.frames {
            return self.span.1;
        }
        let at =
            |(stretch, film): (&Stretch, f64)| stretch.start + (film - stretch.film_start) * stretch.speed;
        self.stretch(n).map_or(0.0, at).min(self.span.1)
    }

    /// Machine seconds for each second of the film at frame `n`.
    pub fn rate(&self, n: usize) -> f64 {
        self.stretch(n).map_or(1.0, |(stretch, _)| stretch.speed / ((self.frames - 1) as f64 * self.shown))
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
