//! The scenario file a new owner starts from.

use std::fmt::Write as _;

use super::catalogue::{self, Assumed, Entry, Kind, Need, Section};
use super::quantity::{Quantity, System, decimals, trimmed};
use super::wrap;

/// Columns at which remarks wrap.
const WIDTH: usize = 78;

/// What kind of file to start from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A blank for each value that must be known, and one line for each other.
    Short,
    /// The same, with what every value is, how it is measured, its units and its range.
    Full,
    /// An invented machine, complete, with the same remarks.
    Example,
}

/// A scenario to edit. Nothing in it counts as stated unless its owner writes it: what must be known is a blank, and what may be left
/// out stands behind a `#`. Only the example states an invented machine.
pub fn new_scenario(form: Form, system: System) -> String {
    let mut file = String::new();
    let machine = match form {
        Form::Example => "The values are of an invented machine: put your own in their place.",
        Form::Short | Form::Full => {
            "Fill in what stands between quotes with nothing in it; “latchstroke check” lists what is left. \
             A line that starts with # may stay as it is."
        }
    };
    let intro = format!(
        "A type-casting machine and a job, for latchstroke. {machine} Every value carries its unit, in \
         quotes; inches may be fractions, as in \"2 11/16 in\", and a tolerance may follow, as in \
         \"68 mm ± 0.5 mm\"."
    );
    remark(&mut file, &intro);
    for section in catalogue::sections() {
        Writer { file: &mut file, form, system }.section(section);
    }
    file
}

struct Writer<'a> {
    file: &'a mut String,
    form: Form,
    system: System,
}

impl Writer<'_> {
    fn section(&mut self, section: &Section) {
        self.file.push('\n');
        remark(self.file, section.help);
        // Writing to a string does not fail.
        let _ = writeln!(self.file, "{}{}", if section.is_record() { "# " } else { "" }, section.header());
        for entry in section.entries {
            match self.form {
                Form::Short => self.short(section, entry),
                Form::Full | Form::Example => self.long(section, entry),
            }
        }
    }

    /// One line: the key, and what it is in a few words.
    fn short(&mut self, section: &Section, entry: &Entry) {
        let words = entry.help.split_inclusive(". ").next().unwrap_or(entry.help).trim();
        let words = words.split(':').next().unwrap_or(words).trim_end_matches('.');
        let line = if self.is_live(section, entry) {
            let form = match entry.kind {
                Kind::Choice(choices) => format!("one of {}", choices.join(", ")),
                _ => format!("as {}", quoted(entry, &self.in_system(entry, entry.example))),
            };
            format!("{} = \"\"  # {form}. {words}", entry.key)
        } else {
            format!("# {}  # {words}{}", self.line(entry), standing(entry))
        };
        let _ = writeln!(self.file, "{line}");
    }

    /// What it is, how it is measured and what may stand there, above the key.
    fn long(&mut self, section: &Section, entry: &Entry) {
        self.file.push('\n');
        remark(self.file, &format!("{}{}", entry.help, self.conditions(entry)));
        let live = self.is_live(section, entry);
        let line = match (live, self.form) {
            (true, Form::Full) => format!("{} = \"\"", entry.key),
            (true, _) => self.line(entry),
            (false, _) => format!("# {}", self.line(entry)),
        };
        let _ = writeln!(self.file, "{line}");
    }

    fn is_live(&self, section: &Section, entry: &Entry) -> bool {
        !section.is_record()
            && match self.form {
                Form::Example => in_example(entry),
                Form::Short | Form::Full => must_be_known(section, entry),
            }
    }

    /// The key with its default, what is assumed for it, or its example.
    fn line(&self, entry: &Entry) -> String {
        let value = match entry.need {
            Need::Default(text) if self.form != Form::Example || !in_example(entry) => text,
            Need::Assumed(Assumed { value, .. }) if self.form != Form::Example => value,
            _ => entry.example,
        };
        format!("{} = {}", entry.key, quoted(entry, &self.in_system(entry, value)))
    }

    /// A value as somebody who works in the file's system would write it.
    fn in_system(&self, entry: &Entry, text: &str) -> String {
        let read = match entry.kind {
            Kind::Quantity(dimension) => Quantity::parse(text, dimension).ok(),
            _ => None,
        };
        let other = |quantity: &Quantity| System::of(quantity.unit).is_some_and(|own| own != self.system);
        match read.filter(other) {
            None => text.to_owned(),
            Some(quantity) => {
                let unit = self.system.of_size(quantity.dimension, quantity.si);
                let value = unit.from_si(quantity.si);
                let places = decimals(value, 3);
                let step = 10.0_f64.powi(-places);
                let places = places.max(0).unsigned_abs() as usize;
                format!(
                    "{} {}",
                    trimmed(format!("{:.places$}", (value / step).round() * step)),
                    unit.typeable()
                )
            }
        }
    }

    /// When the key is wanted, the units it takes and its range, as sentences.
    fn conditions(&self, entry: &Entry) -> String {
        let need = match entry.need {
            Need::Required => String::new(),
            Need::Default(text) => format!(" Default {text}."),
            Need::Assumed(Assumed { value, source, .. }) => {
                let value = self.in_system(entry, value);
                format!(" May be left out; {value} is assumed then ({source}).")
            }
            Need::SameAs(key) => format!(" Default: as {key}."),
            Need::Optional => " May be left out.".to_owned(),
            Need::Depends { when, .. } => format!(" Wanted {when}."),
        };
        let choices = match entry.kind {
            Kind::Choice(words) => format!(" One of: {}.", words.join(", ")),
            _ => String::new(),
        };
        let units = match entry.kind.dimension() {
            Some(dimension) if !dimension.allows_bare_number() => {
                format!(" Units: {}.", dimension.unit_list())
            }
            _ => String::new(),
        };
        let range =
            entry.range.map(|range| format!(" From {} to {}.", range.low, range.high)).unwrap_or_default();
        need + &choices + &units + &range
    }
}

/// What stands for a value that is left out, in a word or two.
fn standing(entry: &Entry) -> String {
    match entry.need {
        Need::Default(_) => " (default)".to_owned(),
        Need::Assumed(_) => " (assumed)".to_owned(),
        Need::SameAs(key) => format!(" (as {key})"),
        Need::Depends { when, .. } => format!(" ({when})"),
        Need::Required | Need::Optional => String::new(),
    }
}

/// Keys that the example's machine states all the same: with no sleeve its latch would never let go.
const FITTED: [&str; 6] = ["name", "sleeve", "extension", "train_damping", "stop_damping", "vent_area"];
/// Keys for which something would be assumed that the example states in another way.
const OTHERWISE: [&str; 8] = [
    "train_damping_ratio",
    "stop_restitution",
    "vent_gap",
    "vent_width",
    "vent_length",
    "conductance",
    "tin",
    "antimony",
];

fn in_example(entry: &Entry) -> bool {
    FITTED.contains(&entry.key)
        || match entry.need {
            Need::Required | Need::Depends { shown: true, .. } => true,
            Need::Assumed(_) => !OTHERWISE.contains(&entry.key),
            _ => false,
        }
}

/// Whether no verdict can do without the value: nothing is assumed for it, and nothing else gives it.
fn must_be_known(section: &Section, entry: &Entry) -> bool {
    match entry.need {
        Need::Required => true,
        // The metal is stated by its alloy, and that is assumed.
        Need::Depends { shown: true, .. } => section.name != "metal",
        _ => false,
    }
}

/// The value as it stands in a file.
fn quoted(entry: &Entry, value: &str) -> String {
    match entry.kind {
        Kind::Number | Kind::QuantityList(_) | Kind::Readings | Kind::Column(_) => value.to_owned(),
        Kind::Quantity(_) | Kind::Choice(_) | Kind::Text => format!("\"{value}\""),
    }
}

/// `text` as remark lines, wrapped between words.
fn remark(file: &mut String, text: &str) {
    for line in wrap::lines(text, WIDTH - "# ".len()) {
        let _ = writeln!(file, "# {line}");
    }
}
