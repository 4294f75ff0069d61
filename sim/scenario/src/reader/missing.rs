//! What to say of sections and keys that are missing: which, and a line for each as this file would have it.

use super::super::catalogue::{self, Demand, Entry, Need};
use super::super::mistakes::{Location, Mistake};
use super::draft::{DraftSection, Slot};
use super::keys::{FREE_LENGTH, PRELOAD};
use super::neighbours::Neighbours;
use super::value::from_text;

/// A whole section is missing.
pub(super) fn missing_section(
    spec: &'static catalogue::Section,
    neighbours: &Neighbours,
    from_stack: bool,
) -> Mistake {
    let lines: Vec<String> =
        wanted(spec, from_stack).into_iter().map(|entry| neighbours.example_line(spec.name, entry)).collect();
    Mistake {
        message: format!("the section {} is missing", spec.header()),
        right: format!("add {} with {}", spec.header(), lines.join(", ")),
        location: Location::WholeFile,
    }
}

/// The keys without which a section is not complete, where its rules leave a choice the first way of it. Springs have their
/// preload from the stack or by themselves.
fn wanted(spec: &'static catalogue::Section, from_stack: bool) -> Vec<&'static Entry> {
    let mut section = DraftSection::new(spec, None, None);
    let mut keys: Vec<&'static str> =
        spec.entries.iter().filter(|entry| entry.need == Need::Required).map(|entry| entry.key).collect();
    if spec.entry(&PRELOAD).is_some() {
        keys.push(if from_stack { FREE_LENGTH } else { PRELOAD }.key);
    }
    // What is given may ask for more, until nothing more is asked for.
    loop {
        for key in keys.drain(..) {
            let value = spec.entry(key).and_then(|entry| from_text(entry, entry.example).ok());
            section.put(key, value.map_or(Slot::Broken, |value| Slot::Good(value, Location::WholeFile)));
        }
        let asked = spec.rules.iter().filter(|rule| section.holds(rule.when));
        keys = asked.flat_map(|rule| asked_by(&section, rule.demand)).collect();
        if keys.is_empty() {
            break;
        }
    }
    spec.entries.iter().filter(|entry| section.given(entry.key)).collect()
}

/// The keys that a demand still asks for, where it leaves a choice the first way of it.
fn asked_by(section: &DraftSection, demand: Demand) -> Vec<&'static str> {
    let absent = |key: &&'static str| !section.given(key);
    match demand {
        Demand::All(all) => all.iter().copied().filter(absent).collect(),
        Demand::ExactlyOne(ways) if ways.iter().all(absent) => ways.iter().copied().take(1).collect(),
        Demand::AnyGroup(groups) if groups.iter().all(|group| group.iter().any(absent)) => {
            groups.iter().take(1).flat_map(|group| group.iter().copied()).filter(absent).collect()
        }
        _ => Vec::new(),
    }
}

/// Keys of a section are missing, all for one reason.
pub(super) fn missing_keys(
    neighbours: &Neighbours,
    section: &DraftSection,
    keys: &[&str],
    why: &str,
) -> Mistake {
    let entries = keys.iter().filter_map(|key| section.spec.entry(key));
    let lines: Vec<String> = entries.map(|entry| neighbours.example_line(section.spec.name, entry)).collect();
    let reason = if why.is_empty() { String::new() } else { format!(": {why}") };
    Mistake {
        message: format!("{} needs {}", section.title(), and_list(keys)),
        right: format!("add {}{reason}", lines.join(", ")),
        location: section.header_place(),
    }
}

/// A line for each of several ways.
pub(super) fn or_list_of_lines(neighbours: &Neighbours, spec: &catalogue::Section, keys: &[&str]) -> String {
    let entries = keys.iter().filter_map(|key| spec.entry(key));
    let lines: Vec<String> = entries.map(|entry| neighbours.example_line(spec.name, entry)).collect();
    format!("add {}", lines.join(" or "))
}

/// `a` or `b`.
pub(super) fn or_list(keys: &[&str]) -> String {
    let ticked: Vec<String> = keys.iter().map(|key| format!("`{key}`")).collect();
    ticked.join(" or ")
}

/// `a`, `b` and `c`.
pub(super) fn and_list(keys: &[&str]) -> String {
    let ticked: Vec<String> = keys.iter().map(|key| format!("`{key}`")).collect();
    match ticked.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => ticked.join(""),
    }
}
