//! Any text as a scenario: it is read or refused, each mistake at a place in it; what is read reads back from what is written out.

use latchstroke_scenario::{Look, Scenario, Value, read};

/// Every value with its name, numbers in SI and as they are to the last bit.
fn values(scenario: &Scenario) -> Vec<(String, &'static str, String)> {
    let bits = |numbers: Vec<f64>| {
        format!("{:x?}", numbers.iter().map(|number| number.to_bits()).collect::<Vec<_>>())
    };
    let value = |value: &Value| match value {
        Value::Quantity(q) | Value::Number(q) => bits([q.si].into_iter().chain(q.tolerance_si).collect()),
        Value::Choice(word) => (*word).to_owned(),
        Value::Text(text) => text.clone(),
        Value::List(list) => bits(list.iter().map(|q| q.si).collect()),
        Value::Readings(list) => bits(list.iter().flat_map(|(at, of)| [at.si, of.si]).collect()),
    };
    let sections = scenario.sections().iter();
    sections
        .flat_map(|s| s.items.iter().map(move |item| (s.name(), item.entry.key, value(&item.value))))
        .collect()
}

/// Tries one text.
pub fn tries(text: &str) {
    let lines = text.lines().count().max(1);
    match read("any.toml", text, &[]) {
        Ok(scenario) => {
            let written = scenario.resolved_toml();
            let again =
                read("again.toml", &written, &[]).unwrap_or_else(|found| panic!("{found}\n{written}"));
            assert_eq!(values(&again), values(&scenario), "{written}");
        }
        Err(mistakes) => {
            assert!(!mistakes.list().is_empty());
            assert!(
                mistakes
                    .list()
                    .iter()
                    .filter_map(|mistake| mistake.location.line())
                    .all(|line| line <= lines + 1)
            );
            assert!(mistakes.render(Look::Plain, 100).len() < 200_000);
        }
    }
}
