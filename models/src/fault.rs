//! What is wrong with a statement of the machine, told by the key an owner would look for.

use std::fmt;

/// A stated value that no machine can have.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// The scenario key of the value, such as `cam.lift` or `spring[2].rate`.
    pub key: String,
    /// What is wrong, with the value in SI units.
    pub what: String,
    /// What would be right.
    pub right: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}", self.key, self.what, self.right)
    }
}

impl std::error::Error for Fault {}

/// Collects every fault of a statement, so that an owner hears of all of them at once.
#[derive(Debug, Default)]
pub struct Faults(Vec<Fault>);

impl Faults {
    /// Notes a fault.
    pub fn add(&mut self, key: impl Into<String>, what: impl Into<String>, right: impl Into<String>) {
        self.0.push(Fault { key: key.into(), what: what.into(), right: right.into() });
    }

    /// Asks that `value` be finite and above zero, and hands it on.
    pub fn positive(&mut self, key: &str, value: f64) -> f64 {
        if !(value.is_finite() && value > 0.0) {
            self.add(key, format!("{value} is not above zero"), "give a value above zero");
        }
        value
    }

    /// Asks that `value` be finite and not below zero, and hands it on.
    pub fn not_negative(&mut self, key: &str, value: f64) -> f64 {
        if !(value.is_finite() && value >= 0.0) {
            self.add(key, format!("{value} is below zero"), "give zero or more");
        }
        value
    }

    /// Asks that `value` be a finite number, and hands it on.
    pub fn finite(&mut self, key: &str, value: f64) -> f64 {
        if !value.is_finite() {
            self.add(key, format!("{value} is not a number"), "give a finite value");
        }
        value
    }

    /// Whether nothing is wrong so far.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// `Ok` with what was prepared when nothing is wrong.
    ///
    /// # Errors
    /// All the faults noted.
    pub fn settle<T>(self, prepared: T) -> Result<T, Vec<Fault>> {
        if self.is_empty() { Ok(prepared) } else { Err(self.0) }
    }
}
