//! Turns counted and timed, in words.

use super::{Figures, Reading, numbered, percent};
use latchstroke_core::bench::clock::{THUMB, Timed, Unsteady};
use latchstroke_core::studies::judge::Cast;
use latchstroke_scenario::pieces::Piece;
use latchstroke_scenario::{Dimension, Unit, key};
use serde_json::json;

/// Everything that is told of a pace.
#[derive(Debug)]
pub struct Report<'a> {
    /// How many turns were counted each time.
    pub turns: usize,
    /// How many times.
    pub times: usize,
    /// What the times tell.
    pub timed: &'a Timed,
    /// The unit to tell a pace in.
    pub unit: &'static Unit,
    /// The pace that the scenario states, turns a second.
    pub stated: Option<f64>,
    /// The figures to tell times in.
    pub figures: Figures,
}

/// What so many stopwatch times say of themselves: which are left out, and whether they are steady.
pub(super) fn steadiness(timed: &Timed, count: usize, figures: Figures) -> Vec<String> {
    let time = |si: f64| figures.about(Dimension::Time, si);
    let off: Vec<usize> = timed.miscounted.iter().map(|(n, _)| n + 1).collect();
    let mut said: Vec<String> = match timed.miscounted.as_slice() {
        [] => Vec::new(),
        [(_, turns)] => vec![format!(
            "! {} is {} {} than the others and is left out: counted wrong?",
            numbered("Time", &off),
            if turns.abs() < 1.5 { "a whole turn" } else { "whole turns" },
            if *turns > 0.0 { "longer" } else { "shorter" }
        )],
        _ => vec![format!(
            "! {} are whole turns off the others and are left out: counted wrong?",
            numbered("Time", &off)
        )],
    };
    said.push(match timed.unsteady {
        None if count - timed.miscounted.len() == 1 => format!(
            "One time cannot say whether it wanders; it is taken to be off by what a thumb on a stopwatch is, some {}.",
            time(THUMB)
        ),
        None => format!(
            "The times differ by no more than a thumb on a stopwatch does (some {}); nothing says that it wanders.",
            time(THUMB)
        ),
        Some(Unsteady::Wanders(scatter)) => format!(
            "! It wanders: the times scatter by {} (standard deviation), and a thumb on a stopwatch by some {}. The tolerance told is that of any one time, not of the mean.",
            time(scatter),
            time(THUMB)
        ),
        Some(Unsteady::Drifts(by)) => format!(
            "! It drifts: from the first to the last the time {} by {}, {} of itself. The tolerance told is that of any one time, not of the mean; see what warms up or slips.",
            if by > 0.0 { "grows" } else { "falls" },
            time(by.abs()),
            percent(by.abs() / timed.mean)
        ),
    });
    said
}

/// Times as data.
pub(super) fn data(timed: &Timed) -> serde_json::Value {
    json!({
        "mean_time_s": timed.mean,
        "mean_time_half_interval_s": timed.half,
        "scatter_of_times_s": timed.scatter,
        "steady": timed.unsteady.is_none(),
        "left_out_times": timed.miscounted.iter().map(|(n, _)| n + 1).collect::<Vec<_>>(),
    })
}

impl Report<'_> {
    /// All of it.
    ///
    /// # Errors
    /// Where the pace cannot be: why.
    pub fn reading(&self) -> Result<Reading, String> {
        let timed = self.timed;
        let pace = self.turns as f64 / timed.mean;
        let half = pace * timed.half / timed.mean;
        let kept = self.times - timed.miscounted.len();
        let why = format!("{} turns timed {}", self.turns, times(kept));
        let piece = Piece::new(key!(Cast, pace), (pace, half), self.unit, why)?;
        let about = format!(
            "Pace: {} turns in {} (mean of {}).",
            self.turns,
            self.figures.told(Dimension::Time, timed.mean),
            if kept == 1 { "one time".to_owned() } else { format!("{kept} times") }
        );
        let mut findings = steadiness(timed, self.times, self.figures);
        findings.push(format!("The pace is known to ± {}, 95 in 100.", percent(half / pace)));
        if let Some(stated) = self.stated {
            let apart = pace / stated - 1.0;
            let told = super::rounded(self.unit, stated, 3);
            findings.push(if (pace - stated).abs() <= half {
                format!("The scenario's {told} is within it.")
            } else {
                let way = if apart > 0.0 { "faster" } else { "slower" };
                format!("The scenario states {told}; the machine runs {} {way}.", percent(apart.abs()))
            });
        }
        let mut data = data(timed);
        data["turns"] = json!(self.turns);
        data["pace_turns_per_s"] = json!(pace);
        Ok(Reading {
            about,
            pieces: vec![piece],
            table: String::new(),
            findings,
            at_the_machine: false,
            data,
        })
    }
}

/// "once", "twice", "five times" in figures.
pub(super) fn times(count: usize) -> String {
    match count {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    }
}
