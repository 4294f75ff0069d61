//! The JSON Schema of a scenario file, for editors that check as one types.
//!
//! It states what keys there are, what each value looks like, and which keys go
//! together. Ranges of quantities, and what one value says of another, are
//! beyond a schema: those the reader alone checks.

pub(super) mod pattern;

use serde_json::{Map, Value, json};

use super::catalogue::{self, Assumed, Condition, Demand, Entry, Kind, Need, Rule, Section};
use super::quantity::{Dimension, Quantity};
use super::reader::keys::{
    BARE_CLEARANCE, BARE_GAP, FLOW, FREE_LENGTH, Key, PRELOAD, PRONG_TRAVEL, TRIP_LIFT, WALL,
};

/// The schema, draft 2020-12.
pub fn json_schema() -> Value {
    let mut properties = Map::new();
    let mut required = Vec::new();
    for section in catalogue::sections() {
        let one = section_schema(section);
        let schema = if section.is_list() {
            json!({ "type": "array", "minItems": 1, "maxItems": section.most, "items": one })
        } else {
            one
        };
        properties.insert(section.name.to_owned(), schema);
        if section.is_wanted() {
            required.push(section.name);
        }
    }
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A latchstroke scenario",
        "description": "A type-casting machine, its metal and a job; every value carries its unit.",
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
        "allOf": between_sections(),
        "$defs": definitions(),
    })
}

fn section_schema(section: &Section) -> Value {
    let properties: Map<String, Value> =
        section.entries.iter().map(|entry| (entry.key.to_owned(), entry_schema(entry))).collect();
    let required: Vec<&str> =
        section.entries.iter().filter(|entry| entry.need == Need::Required).map(|entry| entry.key).collect();
    let rules: Vec<Value> = section.rules.iter().filter_map(|rule| rule_schema(section, rule)).collect();
    let mut schema = json!({
        "description": section.help,
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    });
    // An empty "allOf" is not valid.
    if !rules.is_empty() {
        schema["allOf"] = Value::Array(rules);
    }
    schema
}

fn entry_schema(entry: &Entry) -> Value {
    let mut schema = match entry.kind {
        Kind::Quantity(dimension) => json!({ "$ref": reference(dimension) }),
        Kind::Number => number_schema(entry),
        Kind::Choice(words) => json!({ "enum": words }),
        Kind::Text => json!({ "type": "string" }),
        Kind::QuantityList(dimension) => json!({
            "type": "array",
            "minItems": 1,
            "items": { "$ref": reference(dimension) },
        }),
        Kind::Readings => json!({
            "type": "array",
            "minItems": 6,
            "items": {
                "type": "array",
                "prefixItems": [reading_schema(Dimension::Angle), reading_schema(Dimension::Length)],
                "minItems": 2,
                "maxItems": 2,
            },
        }),
        Kind::Column(dimension) => json!({
            "type": "array",
            "minItems": 6,
            "items": reading_schema(dimension),
        }),
    };
    schema["description"] = json!(description(entry));
    if let Need::Default(text) | Need::Assumed(Assumed { value: text, .. }) = entry.need {
        schema["default"] = match entry.kind {
            Kind::Number => json!(text.parse::<f64>().ok()),
            _ => json!(text),
        };
    }
    schema
}

/// One half of a cam reading; a plain number takes its unit from another key.
fn reading_schema(dimension: Dimension) -> Value {
    json!({ "anyOf": [{ "type": "number" }, { "$ref": reference(dimension) }] })
}

fn description(entry: &Entry) -> String {
    match entry.range {
        Some(range) => format!("{} From {} to {}: {}.", entry.help, range.low, range.high, range.why),
        None => entry.help.to_owned(),
    }
}

/// A number within its range, or the same as text or in per cent.
fn number_schema(entry: &Entry) -> Value {
    let mut number = json!({ "type": "number" });
    if let Some(range) = entry.range {
        let end = |text: &str| Quantity::parse(text, Dimension::Ratio).ok().map(|end| end.si);
        number["minimum"] = json!(end(range.low));
        number["maximum"] = json!(end(range.high));
    }
    json!({ "anyOf": [number, { "$ref": reference(Dimension::Ratio) }] })
}

fn reference(dimension: Dimension) -> String {
    format!("#/$defs/{}", definition_name(dimension))
}

fn definition_name(dimension: Dimension) -> String {
    let words = dimension.in_words();
    let bare = words.split_once(' ').map_or(words, |(_article, rest)| rest);
    bare.replace(' ', "_")
}

/// One definition to a dimension the catalogue uses.
fn definitions() -> Map<String, Value> {
    let entries = catalogue::sections().flat_map(|section| section.entries);
    let mut used: Vec<Dimension> = entries.filter_map(|entry| entry.kind.dimension()).collect();
    used.push(Dimension::Angle);
    Dimension::ALL
        .iter()
        .copied()
        .filter(|dimension| used.contains(dimension))
        .map(|dimension| (definition_name(dimension), dimension_schema(dimension)))
        .collect()
}

fn dimension_schema(dimension: Dimension) -> Value {
    let text = json!({
        "description": format!("{} as text with its unit: {}", dimension.in_words(), dimension.unit_list()),
        "type": "string",
        "pattern": pattern::quantity(dimension),
    });
    match dimension {
        // A plain number of turns stands for itself; the range of a ratio is
        // that of its key.
        Dimension::Turns => json!({ "anyOf": [{ "type": "number" }, text] }),
        _ => text,
    }
}

/// A rule as a schema; none for a rule that turns on the size of a value.
fn rule_schema(section: &Section, rule: &Rule) -> Option<Value> {
    if let Demand::NotAssumed(_) = rule.demand {
        return None;
    }
    let demand = demand_schema(rule.demand);
    let condition = match rule.when {
        Condition::Always => return Some(demand),
        Condition::NonZero(_) => return None,
        Condition::Given(key) => required(&[key]),
        Condition::AllGiven(keys) => required(keys),
        Condition::NoneGiven(keys) => json!({ "not": { "anyOf": each_required(keys) } }),
        Condition::Is(key, word) => json!({
            "properties": { key: { "const": word } },
            "required": [key],
        }),
        Condition::IsNot(key, word) => {
            let has_default = section.entry(key).is_some_and(|entry| matches!(entry.need, Need::Default(_)));
            let another = json!({ "properties": { key: { "not": { "const": word } } } });
            if has_default { another } else { json!({ "allOf": [another, required(&[key])] }) }
        }
    };
    Some(json!({ "if": condition, "then": demand }))
}

fn demand_schema(demand: Demand) -> Value {
    match demand {
        // Left out by the caller: it asks nothing of the file.
        Demand::NotAssumed(_) => json!({}),
        Demand::All(keys) => required(keys),
        Demand::ExactlyOne(keys) => json!({ "oneOf": each_required(keys) }),
        Demand::AtMostOne(keys) => {
            let none = json!({ "not": { "anyOf": each_required(keys) } });
            let mut ways = each_required(keys);
            ways.push(none);
            json!({ "oneOf": ways })
        }
        Demand::None(keys) => json!({ "not": { "anyOf": each_required(keys) } }),
        Demand::AnyGroup(groups) => {
            let ways: Vec<Value> = groups.iter().map(|group| required(group)).collect();
            json!({ "anyOf": ways })
        }
    }
}

fn required(keys: &[&str]) -> Value {
    json!({ "required": keys })
}

fn each_required(keys: &[&str]) -> Vec<Value> {
    keys.iter().map(|key| required(&[key])).collect()
}

/// The rules that span sections: how preload, trip lift and the mould's temperature are stated.
fn between_sections() -> Value {
    let with = |Key { section, key }: Key| {
        json!({
            "properties": { section: required(&[key]) },
            "required": [section],
        })
    };
    let without =
        |Key { section, key }: Key| json!({ "properties": { section: { "not": required(&[key]) } } });
    json!([
        {
            "if": with(BARE_GAP),
            "then": { "properties": { FREE_LENGTH.section: { "items": {
                "required": [FREE_LENGTH.key],
                "not": required(&[&PRELOAD]),
            } } } },
            "else": { "properties": { PRELOAD.section: { "items": required(&[&PRELOAD]) } } },
        },
        { "if": with(PRONG_TRAVEL), "then": with(BARE_CLEARANCE) },
        { "if": with(TRIP_LIFT), "then": without(BARE_CLEARANCE) },
        { "if": with(FLOW), "then": without(WALL) },
    ])
}
