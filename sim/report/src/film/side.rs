//! One side of the film: a setting of the latch, what its stopwatch shows, and where everything stands.

use super::super::limits;
use super::super::owner::{milliseconds, percent};
use super::now::Now;
use super::pace::{done, entry};
use super::{looks, stages};
use latchstroke_core::limits::{Limit, Margin, Standing};
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::turn::{EventKind, Turn};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::mould::FULL;
use latchstroke_plots::mechanism::Looks;
use std::f64::consts::TAU;

/// One side. Its times are s from the start of its own turn.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shown<'a> {
    pub turn: &'a Turn,
    pub standing: &'a Standing,
    /// When the film's time is nought.
    pub zero: f64,
    /// When the mould opens.
    pub opens: f64,
    looks: Option<Looks>,
}

impl<'a> Shown<'a> {
    pub fn of(judgement: &'a Judgement, setting: LatchSetting, zero: f64) -> Self {
        let (turn, standing) = (judgement.turn(setting), judgement.standing(setting));
        let whole = TAU / turn.shaft_speed;
        let opens = done(turn).map_or(whole, |done| done + judgement.solid.shut).min(whole);
        Self { turn, standing, zero, opens, looks: looks::of(standing, turn) }
    }

    /// Its name.
    pub fn name(&self) -> &'static str {
        match self.turn.setting {
            LatchSetting::Aside => "Latch aside",
            LatchSetting::Set => "Latch set",
        }
    }

    /// Number of its colour among the theme's series.
    pub fn style(&self) -> usize {
        match self.turn.setting {
            LatchSetting::Aside => 1,
            LatchSetting::Set => 0,
        }
    }

    /// What the type looks like, in words.
    pub fn looks_words(&self) -> String {
        looks::words(self.standing, self.turn)
    }

    /// The type, once the mould has opened.
    pub fn looks(&self, time: f64) -> Option<Looks> {
        self.looks.filter(|_| time >= self.opens)
    }

    /// How long the metal has been coming in, s; none before it does.
    pub fn since(&self, time: f64) -> Option<f64> {
        let (entry, done) = (entry(self.turn)?, done(self.turn)?);
        (time >= entry).then(|| time.min(done) - entry)
    }

    /// The stopwatch and what it counts.
    pub fn count(&self, time: f64) -> [String; 2] {
        let words = |text: &str| [String::new(), text.to_owned()];
        let (Some(entry), Some(done)) = (entry(self.turn), done(self.turn)) else {
            return words("no metal comes into the mould");
        };
        let Some(since) = self.since(time) else { return words("no metal in the mould yet") };
        if time < done {
            return [format!("{:.1} ms", 1e3 * since), "since the metal came in".to_owned()];
        }
        let told = match self.turn.fill {
            Some(_) => format!("to fill: {}", self.in_time()),
            None if self.turn.first(EventKind::Sealed).is_some() => {
                format!("until it froze, {} full", percent((self.turn.filled / FULL).min(1.0)))
            }
            None => {
                format!("until the stroke ended, {} full", percent((self.turn.filled / FULL).min(1.0)))
            }
        };
        [milliseconds(done - entry), told]
    }

    /// Whether the fill keeps the limits it is timed against.
    fn in_time(&self) -> &'static str {
        let clocks =
            || Limit::ALL.iter().filter(|limit| limit.is_clock()).filter_map(|&l| self.standing.margin(l));
        if clocks().any(Margin::is_in_the_way) {
            "too late"
        } else if clocks().all(Margin::is_known) {
            "in time"
        } else {
            "not known whether in time"
        }
    }

    /// The stage of the turn.
    pub fn stage(&self, time: f64) -> String {
        if time >= self.opens {
            return match self.looks_words().as_str() {
                "no type" => {
                    let machine = self.standing.in_the_way().find(|margin| margin.limit.is_of_machine());
                    let why = machine.map_or(Limit::Filled, |margin| margin.limit);
                    format!("no type: {}", limits::missed(why))
                }
                looks => format!("the mould opens: {looks}"),
            };
        }
        stages::stage(self.turn, time).to_owned()
    }

    /// Where the turn stands; before its start the one before is on its way home, with nothing in the mould. Past full the mould is
    /// full: what goes to and fro at its entry is not to be believed.
    pub fn now(&self, time: f64) -> Now {
        let whole = TAU / self.turn.shaft_speed;
        if time < 0.0 {
            let before = Now::of(&self.turn.trace, time + whole);
            return Now { time, fill: 0.0, solid: 0.0, skin: 0.0, well_pressure: 0.0, ..before };
        }
        let now = Now::of(&self.turn.trace, time);
        let full = self.turn.fill.is_some_and(|fill| time >= fill.full);
        let fill = if full { 1.0 } else { (now.fill / FULL).clamp(0.0, 1.0) };
        Now { fill, ..now }
    }
}
