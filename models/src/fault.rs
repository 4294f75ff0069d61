//! What is wrong with a statement of the machine, told by the field of the statement that an owner would look for.

use std::fmt;

/// A field of a statement; [`field!`](crate::field) names one, and does not build where there is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Field {
    owner: &'static str,
    name: &'static str,
    number: Option<usize>,
}

impl Field {
    /// The field `name` of the type `owner`, or the argument `name` where that is empty. For [`field!`](crate::field), which makes
    /// sure of both.
    pub const fn named(owner: &'static str, name: &'static str) -> Self {
        Self { owner, name, number: None }
    }

    /// The same field of the statement that is the `number`th of its list, from 1.
    #[must_use]
    pub const fn of(self, number: usize) -> Self {
        Self { number: Some(number), ..self }
    }

    /// Type, or variant of a type, and name within it.
    pub const fn names(&self) -> (&'static str, &'static str) {
        (self.owner, self.name)
    }

    /// Which one of its list the statement is, from 1, where there may be several.
    pub const fn number(&self) -> Option<usize> {
        self.number
    }
}

impl fmt::Display for Field {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = self.number.map(|number| format!("[{number}]")).unwrap_or_default();
        match (self.owner, self.name) {
            ("", name) => f.write_str(name),
            // The only field of a tuple has no name of its own.
            (owner, "0") => write!(f, "{owner}{number}"),
            (owner, name) => write!(f, "{owner}{number}.{name}"),
        }
    }
}

/// The [`Field`](crate::fault::Field) of a type or of a variant, or an argument at hand; what is not there does not build.
///
/// A type goes by its plain name, never by a path, since that name is what two fields are told apart by.
///
/// ```
/// use latchstroke_models::field;
/// use latchstroke_models::rod::RodStatement;
/// use latchstroke_models::vent::VentStatement;
///
/// assert_eq!(field!(RodStatement, mass).to_string(), "RodStatement.mass");
/// assert_eq!(field!(VentStatement::Slit, gap).to_string(), "VentStatement::Slit.gap");
/// assert_eq!(field!(VentStatement::Area, 0).to_string(), "VentStatement::Area");
/// ```
///
/// ```compile_fail
/// use latchstroke_models::{field, rod::RodStatement};
/// field!(RodStatement, maas);
/// ```
#[macro_export]
macro_rules! field {
    ($argument:ident) => {{
        let _ = &$argument;
        $crate::fault::Field::named("", stringify!($argument))
    }};
    ($owner:ident $(:: $variant:ident)?, $field:tt) => {{
        #[allow(unreachable_patterns, reason = "a struct has no other variant, an enum has")]
        let _ = |stated| match stated {
            $owner $(:: $variant)? { $field: _, .. } => {}
            _ => {}
        };
        $crate::fault::Field::named(concat!(stringify!($owner) $(, "::", stringify!($variant))?), stringify!($field))
    }};
}

/// A stated value that no machine can have.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Which value.
    pub field: Field,
    /// What is wrong, with the value in SI units.
    pub what: String,
    /// What would be right.
    pub right: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}", self.field, self.what, self.right)
    }
}

impl std::error::Error for Fault {}

/// Collects every fault of a statement, so that an owner hears of all of them at once.
#[derive(Debug, Default)]
pub struct Faults(Vec<Fault>);

impl Faults {
    /// Notes a fault.
    pub fn add(&mut self, field: Field, what: impl Into<String>, right: impl Into<String>) {
        self.0.push(Fault { field, what: what.into(), right: right.into() });
    }

    /// Asks that `value` be finite and above zero, and hands it on.
    pub fn positive(&mut self, field: Field, value: f64) -> f64 {
        if !(value.is_finite() && value > 0.0) {
            self.add(field, format!("{value} is not above zero"), "give a value above zero");
        }
        value
    }

    /// Asks that `value` be finite and not below zero, and hands it on.
    pub fn not_negative(&mut self, field: Field, value: f64) -> f64 {
        if !(value.is_finite() && value >= 0.0) {
            self.add(field, format!("{value} is below zero"), "give zero or more");
        }
        value
    }

    /// Asks that `value` be a finite number, and hands it on.
    pub fn finite(&mut self, field: Field, value: f64) -> f64 {
        if !value.is_finite() {
            self.add(field, format!("{value} is not a number"), "give a finite value");
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
