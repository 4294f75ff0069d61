//! A scenario written out as it was resolved.

use std::fmt::Write as _;

use toml::de::DeValue;

use super::mistakes::Location;
use super::quantity::Quantity;
use super::resolved::{Item, Origin, Scenario, Value};
use super::wrap;

impl Scenario {
    /// The scenario with its defaults and overrides as a file of its own, which
    /// reads back to the same values. Remarks say where a value comes from if
    /// it does not stand in the file; what is assumed stands in a remark, since
    /// it would count as stated otherwise.
    pub fn resolved_toml(&self) -> String {
        let mut file = format!("# {} with its defaults and overrides.\n", self.file_name());
        for section in self.sections() {
            if section.items.is_empty() {
                continue;
            }
            file.push('\n');
            for remark in wrap::lines(section.spec.help, 76) {
                // Writing to a string does not fail.
                let _ = writeln!(file, "# {remark}");
            }
            let _ = writeln!(file, "{}", section.spec.header());
            for item in &section.items {
                file.push_str(&line(item));
            }
        }
        file
    }
}

fn line(item: &Item) -> String {
    let remark = match &item.origin {
        Origin::Given(Location::Override { .. }) => "  # set on the command line".to_owned(),
        Origin::Given(_) => String::new(),
        Origin::Default => "  # default".to_owned(),
        Origin::Assumed => "  # assumed".to_owned(),
        Origin::Fitted => "  # fitted".to_owned(),
        Origin::Measured(why) => format!("  # measured: {why}"),
        Origin::SameAs(key) => format!("  # same as {key}"),
    };
    let value = value(&item.value);
    let assumed = if item.origin == Origin::Assumed { "# " } else { "" };
    format!("{assumed}{} = {value}{remark}\n", item.entry.key)
}

fn value(value: &Value) -> String {
    match value {
        Value::Quantity(quantity) | Value::Number(quantity) => number_or_text(quantity),
        Value::Choice(word) => quoted(word),
        Value::Text(text) => quoted(text),
        Value::List(list) => {
            let members: Vec<String> = list.iter().map(|quantity| quoted(&quantity.text)).collect();
            format!("[{}]", members.join(", "))
        }
        Value::Readings(readings) => {
            let pairs: Vec<String> = readings
                .iter()
                .map(|(angle, lift)| format!("[{}, {}]", quoted(&angle.text), quoted(&lift.text)))
                .collect();
            format!("[{}]", pairs.join(", "))
        }
    }
}

/// Bare if TOML reads it as a number, in quotes otherwise.
fn number_or_text(quantity: &Quantity) -> String {
    match DeValue::parse(&quantity.text).as_ref().map(toml::Spanned::get_ref) {
        Ok(DeValue::Integer(_) | DeValue::Float(_)) => quantity.text.clone(),
        _ => quoted(&quantity.text),
    }
}

/// A TOML string with its quotes.
fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}
