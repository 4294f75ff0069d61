//! The scenario file a new owner starts from.

use std::fmt::Write as _;

use super::catalogue::{self, Assumed, Entry, Kind, Need, Section};
use super::wrap;

/// Columns at which remarks wrap.
const WIDTH: usize = 78;

/// A complete, commented scenario of an invented machine: every key with what
/// it is, the units it takes and a plausible value. Keys that may be left out
/// stand behind a `#`, and so do the records of casts.
pub fn new_scenario() -> String {
    let mut file = String::new();
    remark(
        &mut file,
        "A type-casting machine and a job, for latchstroke. The values are of an invented machine: \
         put your own in their place. Every value carries its unit, in quotes; inches may be \
         fractions, as in \"2 11/16 in\", and a tolerance may follow, as in \"68 mm ± 0.5 mm\". A \
         line that starts with # is a remark, or a key that may be left out.",
    );
    for section in catalogue::sections() {
        write_section(&mut file, section);
    }
    file
}

fn write_section(file: &mut String, section: &Section) {
    file.push('\n');
    remark(file, section.help);
    // Writing to a string does not fail.
    let _ = writeln!(file, "{}{}", if section.is_record() { "# " } else { "" }, section.header());
    for entry in section.entries {
        file.push('\n');
        remark(file, &format!("{}{}", entry.help, conditions(entry)));
        let is_live = is_shown(entry) && !section.is_record();
        let _ = writeln!(file, "{}{}", if is_live { "" } else { "# " }, line(entry));
    }
}

/// Keys with a default that the template's machine states all the same: with no sleeve its latch would never let go.
const FITTED: [&str; 6] = ["name", "sleeve", "extension", "train_damping", "stop_damping", "vent_area"];
/// Keys for which something would be assumed that it states in another way.
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

fn is_shown(entry: &Entry) -> bool {
    FITTED.contains(&entry.key)
        || match entry.need {
            Need::Required | Need::Depends { shown: true, .. } => true,
            Need::Assumed(_) => !OTHERWISE.contains(&entry.key),
            _ => false,
        }
}

/// When the key is wanted, the units it takes and its range, as sentences.
fn conditions(entry: &Entry) -> String {
    let need = match entry.need {
        Need::Required => String::new(),
        Need::Default(text) => format!(" Default {text}."),
        Need::Assumed(Assumed { value, source, .. }) => {
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

/// The key with its default or its example.
fn line(entry: &Entry) -> String {
    let value = match entry.need {
        Need::Default(text) if !is_shown(entry) => text,
        _ => entry.example,
    };
    match entry.kind {
        Kind::Number | Kind::QuantityList(_) | Kind::Readings => format!("{} = {value}", entry.key),
        Kind::Quantity(_) | Kind::Choice(_) | Kind::Text => format!("{} = \"{value}\"", entry.key),
    }
}

/// `text` as remark lines, wrapped between words.
fn remark(file: &mut String, text: &str) {
    for line in wrap::lines(text, WIDTH - "# ".len()) {
        let _ = writeln!(file, "# {line}");
    }
}
