//! What is taken for a value that nobody has measured.

use crate::quantity::{Dimension, Quantity};
use latchstroke_core::studies::distribution::Distribution;

/// What is taken for a value where the owner states none, and how far off that may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assumed {
    /// The value taken, as typed.
    pub value: &'static str,
    /// How it may lie about that.
    pub spread: Spread,
    /// Whether it may turn a verdict, so that it is said aloud.
    pub weight: Weight,
    /// Where value and spread come from, and what the source is worth.
    pub source: &'static str,
}

/// How an assumed value may lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    /// Chosen, not drawn: there are kinds of it, not degrees.
    Chosen,
    /// By its logarithm normal about the value; nine chances in ten lie within this factor of it.
    Factor(f64),
    /// Anything from one to the other alike.
    Between(&'static str, &'static str),
    /// Likeliest at the value, never outside these.
    Peaked(&'static str, &'static str),
}

/// What an assumed value can do to a verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// It hardly ever turns one.
    Quiet,
    /// It does.
    Decides,
}

impl Assumed {
    /// How the value may lie, SI; none where it is chosen and not drawn.
    pub fn distribution(&self, dimension: Dimension) -> Option<Distribution> {
        let si = |text: &str| Quantity::parse(text, dimension).ok().map(|quantity| quantity.si);
        Some(match self.spread {
            Spread::Chosen => return None,
            Spread::Factor(factor) => Distribution::LogNormal { median: si(self.value)?, factor },
            Spread::Between(low, high) => Distribution::Uniform { low: si(low)?, high: si(high)? },
            Spread::Peaked(low, high) => {
                Distribution::Triangular { low: si(low)?, mode: si(self.value)?, high: si(high)? }
            }
        })
    }
}
