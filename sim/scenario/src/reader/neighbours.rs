//! The units an owner writes in, by section: for answering with them.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::super::catalogue::{self, Entry, Kind};
use super::super::quantity::{Dimension, Quantity, Unit, decimals, trimmed, unit_as_typed};
use super::value::in_range;

/// Every unit of a file with the section it stands in.
pub(super) struct Neighbours {
    used: Vec<(&'static str, Measure, &'static Unit)>,
}

/// What is measured. Sizes of type go by their own measures, so that they say nothing of other lengths.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Measure {
    dimension: Dimension,
    is_type_size: bool,
}

impl Measure {
    fn of(entry: &Entry, dimension: Dimension) -> Self {
        let example = entry.example.split('"').nth(1).unwrap_or(entry.example);
        Self { dimension, is_type_size: matches!(unit_as_typed(example), "pt") }
    }
}

/// What an owner who measures in inches uses, the first that fits a dimension.
const INCH_UNITS: [&str; 10] = ["tpi", "in", "lbf", "psi", "lb", "lbf/in", "in3", "in2", "degF", "in/s"];

impl Neighbours {
    /// The units of a parsed file.
    pub fn of(table: &DeTable<'_>) -> Self {
        let mut used = Vec::new();
        for (name, value) in table {
            let Some(spec) = catalogue::section(name.get_ref()) else { continue };
            for keys in tables(value.get_ref()) {
                for (key, value) in keys {
                    let Some(entry) = spec.entry(key.get_ref()) else { continue };
                    let dimensions: &[Dimension] = match entry.kind {
                        Kind::Quantity(dimension)
                        | Kind::QuantityList(dimension)
                        | Kind::Column(dimension) => &[dimension],
                        Kind::Readings => &[Dimension::Length, Dimension::Angle],
                        Kind::Number | Kind::Choice(_) | Kind::Text => &[],
                    };
                    let mut note = |text: &str| {
                        let read = |&dimension: &Dimension| Quantity::parse(text, dimension).ok();
                        if let Some(quantity) = dimensions.iter().find_map(read) {
                            used.push((spec.name, Measure::of(entry, quantity.dimension), quantity.unit));
                        }
                    };
                    each_text(value, &mut note);
                }
            }
        }
        Self { used }
    }

    /// The units in which a section has such values, or else the whole file, the most used first.
    fn units(&self, section: &str, measure: Measure) -> Vec<&'static Unit> {
        let beside = |here: bool| {
            let mut counted: Vec<(usize, &'static Unit)> = Vec::new();
            for (name, what, unit) in &self.used {
                if *what == measure && (!here || *name == section) {
                    match counted.iter_mut().find(|(_, known)| known.symbol == unit.symbol) {
                        Some((count, _)) => *count += 1,
                        None => counted.push((1, unit)),
                    }
                }
            }
            counted.sort_by_key(|(count, _)| std::cmp::Reverse(*count));
            counted.into_iter().map(|(_, unit)| unit).collect::<Vec<_>>()
        };
        let near = beside(true);
        if near.is_empty() { beside(false) } else { near }
    }

    /// What would be right in place of a number without a unit: never more than the neighbours say.
    pub fn with_unit(&self, section: &str, entry: &Entry, dimension: Dimension, number: &str) -> String {
        let text = |unit: &&Unit| format!("{number} {}", unit.typeable());
        let possible = |text: &String| {
            Quantity::parse(text, dimension).is_ok_and(|quantity| in_range(entry, &quantity).is_ok())
        };
        let units = self.units(section, Measure::of(entry, dimension));
        let ways: Vec<String> =
            units.iter().map(text).filter(possible).map(|way| format!("\"{way}\"")).collect();
        match ways.as_slice() {
            [] => format!("write it with its unit, one of {}", dimension.unit_list()),
            [way] => format!("write {way}, if its unit is that of its neighbours"),
            several => {
                format!("write it with its unit, as {}", several.get(..3).unwrap_or(several).join(" or "))
            }
        }
    }

    /// The units, as typed and in quotes, that lengths of the section may be in.
    pub fn lengths(&self, section: &str) -> String {
        let plain = Measure { dimension: Dimension::Length, is_type_size: false };
        let units = self.units(section, plain);
        let typed: Vec<String> =
            units.iter().take(3).map(|unit| format!("\"{}\"", unit.typeable())).collect();
        if typed.is_empty() { "\"mm\" or \"in\"".to_owned() } else { typed.join(" or ") }
    }

    /// The example of an entry as a line of this file, in the units that the file uses.
    pub fn example_line(&self, section: &str, entry: &Entry) -> String {
        match entry.kind {
            Kind::Quantity(dimension) => {
                format!("{} = \"{}\"", entry.key, self.example(section, entry, dimension))
            }
            Kind::Number | Kind::QuantityList(_) | Kind::Readings | Kind::Column(_) => {
                format!("{} = {}", entry.key, entry.example)
            }
            Kind::Choice(_) | Kind::Text => format!("{} = \"{}\"", entry.key, entry.example),
        }
    }

    /// The example of an entry, in round figures of the unit that the file uses.
    pub fn example(&self, section: &str, entry: &Entry, dimension: Dimension) -> String {
        let as_written = entry.example.to_owned();
        let Ok(example) = Quantity::parse(entry.example, dimension) else { return as_written };
        let used = self.units(section, Measure::of(entry, dimension));
        if used.first().is_some_and(|unit| unit.symbol == example.unit.symbol) {
            return as_written;
        }
        // A unit in which the figure would be very long is not the one to write it in.
        let handy = |unit: &&'static Unit| (0.05..=100.0).contains(&unit.from_si(example.si).abs());
        let own = used.into_iter().find(handy);
        let by_system = || {
            let inches = self.units("", Measure { dimension: Dimension::Length, is_type_size: false });
            let is_inch = inches.first().is_some_and(|unit| matches!(unit.symbol, "in" | "thou" | "ft"));
            let typed = is_inch && !Measure::of(entry, dimension).is_type_size;
            INCH_UNITS.iter().filter(|_| typed).find_map(|symbol| dimension.find(symbol))
        };
        match own.or_else(by_system) {
            Some(unit) if unit.symbol != example.unit.symbol => {
                let value = unit.from_si(example.si);
                let places = decimals(value, 2).max(0).unsigned_abs() as usize;
                format!("{} {}", trimmed(format!("{value:.places$}")), unit.typeable())
            }
            _ => as_written,
        }
    }
}

/// The tables under a section's name.
fn tables<'a, 'i>(value: &'a DeValue<'i>) -> Vec<&'a DeTable<'i>> {
    match value {
        DeValue::Table(table) => vec![table],
        DeValue::Array(list) => list.iter().flat_map(|element| tables(element.get_ref())).collect(),
        _ => Vec::new(),
    }
}

/// Every text of a value.
fn each_text(value: &Spanned<DeValue<'_>>, note: &mut impl FnMut(&str)) {
    match value.get_ref() {
        DeValue::String(text) => note(text),
        DeValue::Array(list) => list.iter().for_each(|element| each_text(element, note)),
        _ => {}
    }
}
