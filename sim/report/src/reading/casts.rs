//! The weight of casts in words.

use super::{Figures, Reading, percent};
use crate::owner::significant;
use latchstroke_core::bench::carried::Known;
use latchstroke_core::bench::casts::Told;
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_scenario::pieces::Piece;
use latchstroke_scenario::{Dimension, key};
use serde_json::{Value, json};

/// Everything that is told of the casts.
#[derive(Debug)]
pub struct Report<'a> {
    /// How many were weighed, and what one weighs, kg.
    pub casts: (usize, f64),
    /// What a full one would weigh, kg.
    pub full: f64,
    /// The share of the mould that they fill.
    pub share: Known,
    /// The share that the machine as stated fills.
    pub as_stated: f64,
    /// What they tell.
    pub told: Told,
    /// The size and the pace, in words.
    pub cast: &'a str,
    /// The figures to tell it in.
    pub figures: Figures,
}

impl Report<'_> {
    /// All of it.
    ///
    /// # Errors
    /// Where the loss cannot be: why.
    pub fn reading(&self) -> Result<Reading, String> {
        let mass = |si: f64| self.figures.told(Dimension::Mass, si);
        let about = format!(
            "Casts: {} of {} weigh {} each; full ones would weigh {}.",
            self.casts.0,
            self.cast,
            mass(self.casts.1),
            mass(self.full)
        );
        let mut findings = vec![format!(
            "By weight they fill {} of the mould (± {}, the metal's density counted in). The machine as stated fills {}.",
            percent(self.share.value),
            percent(self.share.half),
            percent(self.as_stated)
        )];
        let mut pieces = Vec::new();
        match self.told {
            Told::Full(bound) => findings.push(match bound {
                Some(bound) => format!(
                    "They are full, which any nozzle's loss up to {} does: that is a bound for nozzle.loss and no value of it. Casts that come short would tell more.",
                    significant(bound, 2)
                ),
                None => "They are full, and would be with any loss of the nozzle: their weight does not tell it.".to_owned(),
            }),
            Told::Short(loss, (low, high)) => {
                let half = 0.5 * (high - low);
                let why = format!("{} casts weighed, {} of the mould full", self.casts.0, percent(self.share.value));
                let unit = &Dimension::Ratio.units().si;
                pieces.push(Piece::new(key!(NozzleStatement, loss), (loss, half), unit, why)?);
                findings.push("They come short as much as with that loss of the nozzle, all else being as stated. Scale in the bore, a cold nozzle or a weak spring would leave them as short: look at these first.".to_owned());
            }
            Told::Elsewhere(filled) => findings.push(format!(
                "They come short, and no loss of the nozzle is why: with the worst there can be the machine as stated fills {}. “latchstroke wrong --saw \"type hollow\"” names what else may be.",
                percent(filled)
            )),
        }
        let (kind, loss): (&str, Value) = match self.told {
            Told::Full(bound) => ("full", json!(bound)),
            Told::Short(loss, _) => ("short", json!(loss)),
            Told::Elsewhere(_) => ("short, and not by the nozzle", Value::Null),
        };
        let data = json!({
            "casts": self.casts.0,
            "weight_of_one_kg": self.casts.1,
            "weight_of_a_full_one_kg": self.full,
            "share_of_mould": self.share.value,
            "share_half_interval": self.share.half,
            "share_as_stated": self.as_stated,
            "they_are": kind,
            "nozzle_loss": loss,
        });
        Ok(Reading { about, pieces, table: String::new(), findings, at_the_machine: true, data })
    }
}
