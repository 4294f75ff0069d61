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

/// What stands in a [`Sentence`] for a field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Word {
    /// Its name.
    Name(Field),
    /// Its value, SI.
    Value(Field, f64),
    /// A figure of the same kind as its value, SI.
    Figure(Field, f64),
}

/// A sentence about a statement. What it says of fields is kept apart, so that whoever tells it does so by the owner's names and in his
/// units; by itself it tells names of fields, and SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Sentence {
    text: Box<str>,
    words: Box<[Word]>,
}

impl Sentence {
    /// `text` with one of the `words` in the place of each `{}`.
    pub fn of(text: impl Into<Box<str>>, words: impl Into<Box<[Word]>>) -> Self {
        Self { text: text.into(), words: words.into() }
    }

    /// The sentence with each of its words as `tell` has it.
    pub fn told(&self, tell: impl Fn(Word) -> String) -> String {
        let mut parts = self.text.split("{}");
        let first = parts.next().unwrap_or_default().to_owned();
        self.words.iter().zip(parts).fold(first, |told, (word, part)| told + &tell(*word) + part)
    }
}

impl<T: Into<Box<str>>> From<T> for Sentence {
    fn from(text: T) -> Self {
        Self::of(text, [])
    }
}

impl fmt::Display for Sentence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.told(|word| match word {
            Word::Name(field) => field.to_string(),
            Word::Value(_, si) | Word::Figure(_, si) => si.to_string(),
        }))
    }
}

/// How the value of one field must lie to that of another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Order {
    /// Less.
    Below,
    /// No more.
    AtMost,
    /// No less.
    AtLeast,
}

/// A stated value that no machine can have, by itself or beside others.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Which value.
    pub field: Field,
    /// What is wrong.
    pub what: Sentence,
    /// What would be right.
    pub right: Sentence,
}

impl Fault {
    /// Every field whose value has a say in it, its own first.
    pub fn fields(&self) -> impl Iterator<Item = Field> {
        let said = self.what.words.iter().chain(&self.right.words).filter_map(|word| match word {
            Word::Value(field, _) | Word::Figure(field, _) => Some(*field),
            Word::Name(_) => None,
        });
        std::iter::once(self.field).chain(said)
    }

    /// The same of a value that stands for the field `from` and is stated as `to`.
    #[must_use]
    pub fn of(mut self, from: Field, to: Field) -> Self {
        let words = self.what.words.iter_mut().chain(self.right.words.iter_mut());
        let fields = words.map(|word| match word {
            Word::Name(field) | Word::Value(field, _) | Word::Figure(field, _) => field,
        });
        fields.chain([&mut self.field]).filter(|field| **field == from).for_each(|field| *field = to);
        self
    }
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
    pub fn add(&mut self, field: Field, what: impl Into<Sentence>, right: impl Into<Sentence>) {
        self.0.push(Fault { field, what: what.into(), right: right.into() });
    }

    /// Asks that `value` be finite and above zero, and hands it on. What is not is handed on as no number, which compares with nothing:
    /// what is wrong by itself is not told again by what it is beside.
    pub fn positive(&mut self, field: Field, value: f64) -> f64 {
        if value.is_finite() && value > 0.0 {
            return value;
        }
        self.add(field, format!("{value} is not above zero"), "give a value above zero");
        f64::NAN
    }

    /// The same of a `value` that must be finite and not below zero.
    pub fn not_negative(&mut self, field: Field, value: f64) -> f64 {
        if value.is_finite() && value >= 0.0 {
            return value;
        }
        self.add(field, format!("{value} is below zero"), "give zero or more");
        f64::NAN
    }

    /// The same of a `value` that must be a finite number.
    pub fn finite(&mut self, field: Field, value: f64) -> f64 {
        if value.is_finite() {
            return value;
        }
        self.add(field, format!("{value} is not a number"), "give a finite value");
        f64::NAN
    }

    /// Asks that the value of a field be in `order` with that of `other`, both SI, and says `why`.
    pub(crate) fn ordered(
        &mut self,
        (field, value): (Field, f64),
        order: Order,
        (other, bound): (Field, f64),
        why: &str,
    ) {
        let (is_wrong, stands, must) = match order {
            Order::Below => (value >= bound, "not below", "must be less than"),
            Order::AtMost => (value > bound, "above", "must be no more than"),
            Order::AtLeast => (value < bound, "below", "must be no less than"),
        };
        if is_wrong {
            let words =
                [Word::Name(field), Word::Value(field, value), Word::Name(other), Word::Value(other, bound)];
            let what = Sentence::of(format!("`{{}}` is {{}}, {stands} `{{}}`, which is {{}}"), words);
            self.add(
                field,
                what,
                Sentence::of(format!("it {must} {{}}: {why}"), [Word::Figure(field, bound)]),
            );
        }
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
