//! The loaded piston's sinking in words.

use super::pace::{data, steadiness, times};
use super::{Figures, Reading, percent};
use crate::owner::significant;
use latchstroke_core::bench::carried::Known;
use latchstroke_core::bench::clock::Timed;
use latchstroke_core::bench::pump::Source;
use latchstroke_models::piston::PistonStatement;
use latchstroke_scenario::pieces::Piece;
use latchstroke_scenario::{Dimension, key};
use serde_json::json;

/// Everything that is told of the slip.
#[derive(Debug)]
pub struct Report<'a> {
    /// The times.
    pub timed: &'a Timed,
    /// How many were taken.
    pub times: usize,
    /// How far it sank, m, and what pressed on it, N.
    pub sank: (f64, f64),
    /// The clearance, m.
    pub clearance: Known,
    /// What its error comes of, and the share of each in it.
    pub shares: &'a [(Source, f64)],
    /// The clearance that the scenario has, m, and whether anyone stated it.
    pub stood: Option<(f64, bool)>,
    /// Whether it was done in another liquid than the metal.
    pub cold: bool,
    /// The figures to tell it in.
    pub figures: Figures,
}

impl Report<'_> {
    /// All of it.
    ///
    /// # Errors
    /// Where the clearance cannot be: why.
    pub fn reading(&self) -> Result<Reading, String> {
        let figures = self.figures;
        let length = |si: f64| figures.told(Dimension::Length, si);
        let kept = self.times - self.timed.miscounted.len();
        let why = format!(
            "sank {} under {}, timed {}",
            length(self.sank.0),
            figures.told(Dimension::Force, self.sank.1),
            times(kept)
        );
        let unit = figures.system.of_size(Dimension::Length, self.clearance.value);
        let known = (self.clearance.value, self.clearance.half);
        let piece = Piece::new(key!(PistonStatement, clearance), known, unit, why)?;
        let about = format!(
            "Slip: the piston sinks {} in {} under {}.",
            length(self.sank.0),
            figures.told(Dimension::Time, self.timed.mean),
            figures.told(Dimension::Force, self.sank.1)
        );
        let mut findings = steadiness(self.timed, self.times, figures);
        findings.push(format!(
            "The clearance is known to ± {}, 95 in 100. What leaks goes by its cube, so that it is known three times as closely as what it comes of.",
            percent(self.clearance.half / self.clearance.value)
        ));
        if let Some((source, share)) = self.shares.iter().max_by(|a, b| a.1.total_cmp(&b.1)) {
            let name = named(*source);
            findings.push(format!("The greatest part of its error comes of {name} ({}).", percent(*share)));
        }
        if let Some((stood, stated)) = self.stood {
            let verb = if stated { "states" } else { "assumes" };
            let told = length(stood);
            findings.push(if (stood - self.clearance.value).abs() <= self.clearance.half {
                format!("The {told} that the scenario {verb} is within it.")
            } else {
                let times = (self.clearance.value / stood).powi(3);
                format!(
                    "The scenario {verb} {told}; with what was measured {} times as much slips past.",
                    significant(times, 2)
                )
            });
        }
        findings.push("A piston that lies to one side of its well leaks up to two and a half times as much as one in the middle. This is the clearance that leaks so much in the middle, which is what the model takes.".to_owned());
        findings.push("It counts only with the nozzle stopped and the inlet port covered all the while, and with whatever the rod's friction bears taken off the load.".to_owned());
        if self.cold {
            findings.push("! Measured in another liquid: not a trace of it may be left in the pump when it is hot again, since it throws metal out. Hot, the clearance is a little another.".to_owned());
        }
        let mut data = data(self.timed);
        data["clearance_m"] = json!(self.clearance.value);
        data["clearance_half_interval_m"] = json!(self.clearance.half);
        data["shares_of_error"] = json!(
            self.shares
                .iter()
                .map(|(source, share)| json!({ "of": named(*source), "share": share }))
                .collect::<Vec<_>>()
        );
        Ok(Reading { about, pieces: vec![piece], table: String::new(), findings, at_the_machine: true, data })
    }
}

/// What an error comes of, in words.
fn named(source: Source) -> &'static str {
    match source {
        Source::Time => "the times",
        Source::Sank => "the distance",
        Source::Load => "the load",
        Source::Friction => "the friction",
        Source::Diameter => "the piston's diameter",
        Source::Length => "the piston's length",
        Source::Viscosity => "the viscosity",
    }
}
