//! Quantities as an owner writes them: a number, its unit, and perhaps a
//! tolerance, all in one string such as `"2 11/16 in ± 1/64 in"`.
//!
//! [`Quantity::parse`] reads one for a wanted [`Dimension`]; [`format_in`] and
//! [`format_si`] write one back. Inside, every value is SI: metres, radians,
//! kilograms, newtons, pascals, kelvins, and turns per second for pace.

mod dimension;
mod figures;
mod format;
mod parse;
mod system;
mod units;

use std::fmt;
use std::ops::Range;

pub use dimension::Dimension;
pub use format::{decimals, format_in, format_si, nearest_64th, trimmed};
pub use parse::unit_as_typed;
pub use system::System;
pub use units::{Conversion, Unit, Units};

/// A value with its unit, as typed and in SI.
#[derive(Clone, Debug)]
pub struct Quantity {
    /// The value in the SI unit of its dimension.
    pub si: f64,
    /// Half-width of the stated tolerance in SI, never negative.
    pub tolerance_si: Option<f64>,
    /// What the value measures.
    pub dimension: Dimension,
    /// The unit the owner used.
    pub unit: &'static Unit,
    /// The text as typed, without spaces around it.
    pub text: String,
}

impl Quantity {
    /// Reads `text` as a quantity of `dimension`.
    ///
    /// # Errors
    /// One [`QuantityError`] if there is no number, the number is not finite,
    /// or the unit is missing, unknown or of another dimension.
    pub fn parse(text: &str, dimension: Dimension) -> Result<Self, QuantityError> {
        parse::quantity(text, dimension)
    }

    /// The value in another unit of the same dimension, named by its symbol or
    /// an alias; `None` if the dimension has no such unit.
    pub fn value_in(&self, symbol: &str) -> Option<f64> {
        Some(self.dimension.find(symbol)?.from_si(self.si))
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// Why a text is not a quantity of the wanted dimension.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuantityError {
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub right: String,
    /// The bytes of the text at fault.
    pub span: Range<usize>,
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.right)
    }
}

impl std::error::Error for QuantityError {}
