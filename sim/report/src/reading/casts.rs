//! The weight of jets and types in words.

use super::{Figures, Reading, percent};
use latchstroke_core::bench::carried::Known;
use latchstroke_models::mould::MouldStatement;
use latchstroke_scenario::pieces::Piece;
use latchstroke_scenario::{Dimension, key};
use serde_json::json;

/// Everything that is told of the casts.
#[derive(Debug)]
pub struct Report<'a> {
    /// How many were weighed.
    pub count: usize,
    /// What their jets weigh together, kg.
    pub jets: f64,
    /// What one of them holds, m³.
    pub volume: Known,
    /// The share of the mould that a type fills by its weight, and of which size it is.
    pub full: Option<(Known, &'a str)>,
    /// The figures to tell it in.
    pub figures: Figures,
}

impl Report<'_> {
    /// All of it.
    ///
    /// # Errors
    /// Where the volume cannot be: why.
    pub fn reading(&self) -> Result<Reading, String> {
        let figures = self.figures;
        let one = figures.told(Dimension::Mass, self.jets / self.count as f64);
        let unit = figures.system.unit(Dimension::Volume);
        let known = (self.volume.value, self.volume.half);
        let why = format!("{} jets weigh {}", self.count, figures.told(Dimension::Mass, self.jets));
        let piece = Piece::new(key!(MouldStatement, priming_volume), known, unit, why)?;
        let about = format!(
            "Casts: {} jets weigh {}, {one} each.",
            self.count,
            figures.told(Dimension::Mass, self.jets)
        );
        let mut findings = vec![format!(
            "That is what fills before metal enters the mould, by the density of the scenario's metal; it is known to ± {}, 95 in 100, the shrinking of the metal counted in.",
            percent(self.volume.half / self.volume.value)
        )];
        if let Some((share, size)) = self.full {
            let told = format!(
                "By weight the types of {size} are {} full (± {}).",
                percent(share.value),
                percent(share.half)
            );
            findings.push(if share.value + share.half >= 1.0 {
                format!("{told} They are as full as can be weighed.")
            } else {
                format!(
                    "! {told} The rest is hollow, or the mould is not as deep as stated. “latchstroke wrong --saw \"type hollow\"” names what else may be."
                )
            });
        }
        findings.push("What casts weigh does not tell the nozzle's loss: a mould that fills late fills all the same. “latchstroke fit” finds it from a filmed stroke.".to_owned());
        let data = json!({
            "count": self.count,
            "jets_kg": self.jets,
            "volume_of_a_jet_m3": self.volume.value,
            "volume_half_interval_m3": self.volume.half,
            "share_full": self.full.map(|(share, _)| share.value),
            "share_full_half_interval": self.full.map(|(share, _)| share.half),
        });
        Ok(Reading { about, pieces: vec![piece], table: String::new(), findings, at_the_machine: true, data })
    }
}
