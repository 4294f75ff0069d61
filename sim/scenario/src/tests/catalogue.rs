//! The catalogue agrees with itself: what it states can be read.

use super::super::catalogue::{self, Condition, Demand, Entry, Kind, Need};
use super::super::quantity::Quantity;
use super::super::resolved::{Scenario, Value};
use super::{KNOWN_CASTS, LARGE_INITIALS, SMALL_TYPE, example, good};

fn entries() -> impl Iterator<Item = (String, &'static Entry)> {
    catalogue::sections().flat_map(|section| {
        section.entries.iter().map(move |entry| (format!("{}.{}", section.name, entry.key), entry))
    })
}

#[test]
fn every_path_finds_its_entry() {
    for (path, entry) in entries() {
        let found = catalogue::entry(&path).map(|(_, found)| found.key);
        assert_eq!(found, Some(entry.key), "{path}");
    }
    assert!(catalogue::entry("cam.lfit").is_none());
    assert!(catalogue::entry("lift").is_none());
}

#[test]
fn every_range_is_in_order_and_holds_example_and_default() {
    for (path, entry) in entries() {
        let (Some(range), Some(dimension)) = (entry.range, entry.kind.dimension()) else {
            assert!(entry.range.is_none(), "{path} has a range without a dimension");
            continue;
        };
        let si = |text: &str| {
            Quantity::parse(text, dimension).unwrap_or_else(|error| panic!("{path}: {error}")).si
        };
        let (low, high) = (si(range.low), si(range.high));
        assert!(low < high, "{path}");
        let mut samples = vec![];
        match (entry.kind, entry.need) {
            (Kind::QuantityList(_), _) => {
                samples.extend(entry.example.split('"').skip(1).step_by(2));
            }
            (_, Need::Default(text)) => samples.extend([text, entry.example]),
            _ => samples.push(entry.example),
        }
        for sample in samples {
            assert!((low..=high).contains(&si(sample)), "{path}: {sample}");
        }
    }
}

#[test]
fn every_rule_names_keys_of_its_section() {
    for section in catalogue::sections() {
        for rule in section.rules {
            let mut keys: Vec<&str> = match rule.demand {
                Demand::All(keys)
                | Demand::ExactlyOne(keys)
                | Demand::AtMostOne(keys)
                | Demand::NotAssumed(keys)
                | Demand::None(keys) => keys.to_vec(),
                Demand::AnyGroup(groups) => groups.concat(),
            };
            match rule.when {
                Condition::Always => {}
                Condition::Given(key) | Condition::NonZero(key) => keys.push(key),
                Condition::NoneGiven(named) | Condition::AllGiven(named) => keys.extend(named),
                Condition::Is(key, word) | Condition::IsNot(key, word) => {
                    keys.push(key);
                    let kind = section.entry(key).map(|entry| entry.kind);
                    assert!(matches!(kind, Some(Kind::Choice(words)) if words.contains(&word)));
                }
            }
            for key in keys {
                assert!(section.entry(key).is_some(), "[{}] {key}", section.name);
            }
        }
    }
}

/// Whether the accessor for the entry's kind finds a value under `path`.
fn answers(scenario: &Scenario, path: &str, entry: &Entry) -> bool {
    if ["cam.readings_file", "cam.angle_unit", "cam.lift_unit"].contains(&path) {
        return scenario.item(path).is_none();
    }
    match entry.kind {
        Kind::Quantity(dimension) => scenario.quantity(path).is_some_and(|q| q.dimension == dimension),
        Kind::Number => scenario.number(path).is_some(),
        Kind::Choice(_) => scenario.choice(path).is_some(),
        Kind::Text => scenario.text(path).is_some(),
        Kind::QuantityList(_) => !scenario.list(path).is_empty(),
        Kind::Readings => !scenario.readings(path).is_empty(),
        // Whichever way a cam is read, it becomes its readings; `measured_cams` has a test for each of the ways.
        Kind::Column(_) => scenario.item(path).is_none(),
    }
}

#[test]
fn every_key_is_answered_by_the_accessor_of_its_kind() {
    let everything_left_out = example();
    // The template with its optional keys, and files that take the other way
    // wherever two keys exclude each other.
    let optional = everything_left_out
        .replace("\n# place =", "\nplace =")
        .replace("\n# date =", "\ndate =")
        .replacen("\n# note =", "\nnote =", 1)
        .replace("\n# hold_down =", "\nhold_down =")
        .replace("\n# accepted_air =", "\naccepted_air =")
        .replace("\n# rod_end =", "\nrod_end =")
        .replace("\n# sizes =", "\nsizes =")
        .replace("\n# paces =", "\npaces =")
        .replace("\n# inertia = \"0 kg m2\"\n", "\ninertia = \"0.02 kg m2\"\n")
        .replace("\n# arm =", "\narm =")
        .replace("\n# closure = \"two-way\"\n", "\nclosure = \"one-way\"\n")
        .replace("\n# return_force =", "\nreturn_force =")
        .replace("\n# packed_heat_transfer =", "\npacked_heat_transfer =")
        .replace("\n# bound_rate =", "\nbound_rate =");
    let measured = SMALL_TYPE
        .replace("law = \"modified-sine\"\nlift = \"30 mm\"\nrise = \"80 deg\"\ndwell = \"100 deg\"\nreturn = \"90 deg\"", concat!(
            "law = \"measured\"\n",
            r#"readings = [["0 deg", "0 mm"], ["20 deg", "2.9 mm"], ["40 deg", "15 mm"], ["80 deg", "30 mm"], ["180 deg", "30 mm"], ["225 deg", "15 mm"]]"#,
        ));
    let mean = LARGE_INITIALS.replace("outside_coil = \"1 3/4 in\"", "mean_coil = \"40 mm\"");
    let assumed = LARGE_INITIALS
        .replace("train_damping =", "# train_damping =")
        .replace("stop_damping =", "# stop_damping =");
    let scenarios =
        [optional.as_str(), KNOWN_CASTS, LARGE_INITIALS, SMALL_TYPE, &measured, &mean, &assumed].map(good);
    for (path, entry) in entries() {
        let path = path.replace("spring.", "spring[1].").replace("experience.", "experience[1].");
        assert!(scenarios.iter().any(|scenario| answers(scenario, &path, entry)), "{path} is never answered");
    }
}

#[test]
fn accessors_do_not_answer_for_another_kind_or_an_unknown_key() {
    let scenario = good(LARGE_INITIALS);
    assert!(scenario.quantity("cam.law").is_none());
    assert!(scenario.number("cam.lift").is_none());
    assert!(scenario.choice("machine.name").is_none());
    assert!(scenario.quantity("cam.lfit").is_none());
    assert!(scenario.quantity("spring.wire").is_none());
    assert!(scenario.quantity("spring[2].wire").is_none());
    assert!(scenario.list("job.body").is_empty());
    let values = scenario.sections().iter().flat_map(|section| &section.items);
    assert!(values.clone().any(|item| matches!(item.value, Value::List(_))));
    assert!(values.count() > 60);
}
