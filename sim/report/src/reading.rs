//! What was measured at the bench, in words: the lines to type, what was found, and data.

pub mod cam;
pub mod casts;
pub mod pace;
pub mod slip;
pub mod spring;

use super::cautions;
use super::owner::{rounded, significant, with_symbol};
use super::turn::wrapped;
use latchstroke_scenario::pieces::Piece;
use latchstroke_scenario::quantity::System;
use latchstroke_scenario::{Dimension, Unit};
use serde_json::{Value, json};

/// Masses below this are told in grams or ounces, kg.
const SMALL: f64 = 0.5;

/// What a measurement says.
#[derive(Debug)]
pub struct Reading {
    /// What was measured, in a sentence.
    pub about: String,
    /// The values, as they are to be typed.
    pub pieces: Vec<Piece>,
    /// What is to be typed besides, as it is to be typed.
    pub table: String,
    /// What was found, sentence by sentence.
    pub findings: Vec<String>,
    /// Whether it sends someone to the machine again.
    pub at_the_machine: bool,
    /// What is told beside the values, SI.
    pub data: Value,
}

impl Reading {
    /// The report.
    pub fn text(&self) -> String {
        let mut text = wrapped(&self.about, 0, 2);
        if !(self.pieces.is_empty() && self.table.is_empty()) {
            text += "\nTo type into the scenario\n";
        }
        let mut header = String::new();
        for piece in &self.pieces {
            if piece.header() != header {
                header = piece.header();
                text += &format!("  {header}\n");
            }
            text += &format!("  {}\n", piece.line());
        }
        for line in self.table.lines() {
            text += &format!("  {line}\n");
        }
        text.push('\n');
        for finding in &self.findings {
            text += &wrapped(finding, 2, 4);
        }
        let cautions = if self.at_the_machine { cautions::text() } else { cautions::short() };
        text + "\n" + &cautions
    }

    /// The answer as data, SI.
    pub fn json(&self) -> Value {
        let piece = |piece: &Piece| {
            json!({
                "key": piece.path,
                "value_SI": piece.quantity.si,
                "tolerance_SI": piece.quantity.tolerance_si,
                "typed": piece.quantity.text,
                "why": piece.why,
            })
        };
        let mut all = json!({ "measured": self.pieces.iter().map(piece).collect::<Vec<_>>() });
        if let (Some(all), Some(data)) = (all.as_object_mut(), self.data.as_object()) {
            all.extend(data.clone());
        }
        all
    }
}

/// Figures in a system of measures.
#[derive(Debug, Clone, Copy)]
pub struct Figures {
    /// The system.
    pub system: System,
}

impl Figures {
    /// A figure to three figures.
    pub fn told(self, dimension: Dimension, si: f64) -> String {
        rounded(self.unit(dimension, si), si, 3)
    }

    /// A scatter or an error, to two figures.
    pub fn about(self, dimension: Dimension, si: f64) -> String {
        rounded(self.unit(dimension, si), si, 2)
    }

    /// The unit for a value of a dimension: small lengths and masses in small ones.
    pub fn unit(self, dimension: Dimension, si: f64) -> &'static Unit {
        let small = if self.system == System::Inch { "oz" } else { "g" };
        let own = dimension.find(small).filter(|_| dimension == Dimension::Mass && si.abs() < SMALL);
        own.unwrap_or_else(|| self.system.of_size(dimension, si))
    }

    /// A length along a spring or a rod, to a tenth of a millimetre or a hundredth of an inch or finer.
    pub fn length(self, si: f64) -> String {
        let unit = self.system.unit(Dimension::Length);
        let decimals = if self.system == System::Inch { 3 } else { 1 };
        with_symbol(format!("{:.decimals$}", unit.from_si(si)).replacen('-', "\u{2212}", 1), unit)
    }
}

/// A share in per cent, to two figures.
fn percent(share: f64) -> String {
    format!("{} %", significant(100.0 * share, 2))
}

/// "line 3", "lines 3, 4 and 7".
fn numbered(what: &str, all: &[usize]) -> String {
    let mut told: Vec<String> = all.iter().map(ToString::to_string).collect();
    match told.pop() {
        None => String::new(),
        Some(last) if told.is_empty() => format!("{what} {last}"),
        Some(last) => format!("{what}s {} and {last}", told.join(", ")),
    }
}
