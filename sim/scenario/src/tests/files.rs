//! The scenario files of the project and the template read without mistakes,
//! and a resolved scenario reads back to itself.

use approx::assert_relative_eq;
use proptest::prelude::*;

use super::super::quantity::System;
use super::super::resolved::{Item, Origin, Scenario, Value};
use super::super::template::{Form, new_scenario};
use super::{KNOWN_CASTS, LARGE_INITIALS, SMALL_TYPE, WRONG_SLEEVE, example, good, good_with, mistakes};
use crate::stated;
use latchstroke_core::MachineStatement;

fn si(scenario: &Scenario, path: &str) -> f64 {
    scenario.quantity(path).map_or(f64::NAN, |quantity| quantity.si)
}

/// Every value in SI with its tolerance, in order.
fn values(scenario: &Scenario) -> Vec<String> {
    let mut lines = Vec::new();
    for section in scenario.sections() {
        for item in &section.items {
            let value = match &item.value {
                Value::Quantity(q) | Value::Number(q) => format!("{} {:?}", q.si, q.tolerance_si),
                Value::Choice(word) => (*word).to_owned(),
                Value::Text(text) => text.clone(),
                Value::List(list) => format!("{:?}", list.iter().map(|q| q.si).collect::<Vec<_>>()),
                Value::Readings(pairs) => {
                    format!("{:?}", pairs.iter().map(|(a, l)| (a.si, l.si)).collect::<Vec<_>>())
                }
            };
            lines.push(format!("{}.{} {value}", section.name(), item.entry.key));
        }
    }
    lines
}

#[test]
fn closed_form_large_initials_preload_and_trip_lift() {
    let scenario = good(LARGE_INITIALS);
    let inch = 0.0254;
    // s = L_free − (g_0 − S + E − n·pitch) = 5 3/4 in − 4 3/8 in = 1 3/8 in.
    let gap =
        si(&scenario, "stack.bare_gap") - si(&scenario, "stack.sleeve") + si(&scenario, "stack.extension");
    assert_relative_eq!(si(&scenario, "spring[1].free_length") - gap, 1.375 * inch, max_relative = 1e-12);
    // c = c_0 − S = 1/4 in, and 1/4 in of travel: the latch trips at 1/2 in.
    let trip = si(&scenario, "stack.bare_clearance") - si(&scenario, "stack.sleeve")
        + si(&scenario, "latch.prong_travel");
    assert_relative_eq!(trip, 0.5 * inch, max_relative = 1e-12);
    assert_relative_eq!(
        scenario.quantity("stack.sleeve").and_then(|q| q.tolerance_si).unwrap_or(f64::NAN),
        inch / 64.0,
        max_relative = 1e-12
    );
    assert_eq!(scenario.list("job.sizes").len(), 4);
    assert_eq!(scenario.text("machine.place"), Some("Lower Quoin"));
    assert_eq!(scenario.choice("cam.law"), Some("cycloidal"));
}

#[test]
fn small_type_has_two_springs_and_a_set_of_its_own() {
    let scenario = good(SMALL_TYPE);
    let preload: f64 =
        scenario.springs().filter_map(|spring| spring.quantity("preload")).map(|quantity| quantity.si).sum();
    // 55 lbf + 24 lbf at 4.4482216152605 N.
    assert_relative_eq!(preload, 79.0 * 4.4482216152605, max_relative = 1e-12);
    assert_relative_eq!(si(&scenario, "job.set"), 6.0 * 0.3514598e-3, max_relative = 1e-12);
    assert_relative_eq!(
        scenario.number("metal.sealing_fraction").unwrap_or(f64::NAN),
        0.35,
        max_relative = 1e-15
    );
}

#[test]
fn wrong_sleeve_is_no_mistake_and_never_trips() {
    let scenario = good(WRONG_SLEEVE);
    // It works only for c_0 + t − h < S.
    let least = si(&scenario, "stack.bare_clearance") + si(&scenario, "latch.prong_travel")
        - si(&scenario, "cam.lift");
    assert!(si(&scenario, "stack.sleeve") <= least);
}

#[test]
fn defaults_and_the_set_fill_in() {
    let scenario = good(LARGE_INITIALS);
    assert_relative_eq!(si(&scenario, "job.set"), 24.0 * 0.3514598e-3, max_relative = 1e-12);
    assert_relative_eq!(si(&scenario, "mould.air_temperature"), 373.15, max_relative = 1e-12);
    assert_relative_eq!(si(&scenario, "spring[1].shear_modulus"), 79.3e9, max_relative = 1e-12);
    assert_eq!(scenario.item("job.set").map(|item| &item.origin), Some(&Origin::SameAs("body")));
    // A default that a rule refuses is not there.
    assert!(good(SMALL_TYPE).item("spring[1].shear_modulus").is_none());
    assert!(scenario.item("cross_block.return_rate").is_none());
}

#[test]
fn template_reads_without_mistakes_and_has_the_values_of_its_catalogue() {
    let scenario = good(&example());
    assert_relative_eq!(si(&scenario, "cam.lift"), 0.030, max_relative = 1e-12);
    assert_relative_eq!(si(&scenario, "spring[1].preload"), 350.0, max_relative = 1e-12);
    let trip = si(&scenario, "stack.bare_clearance") + si(&scenario, "latch.prong_travel");
    assert!(trip > 0.030, "without a sleeve the latch of the template does not trip: {trip}");
    for line in example().lines() {
        let allowed = if line.contains('=') { 200 } else { 78 };
        assert!(line.chars().count() <= allowed, "{line}");
    }
}

#[test]
fn resolved_scenarios_read_back_to_the_same_values() {
    let template = example();
    for (text, overrides) in [
        (LARGE_INITIALS, vec![]),
        (LARGE_INITIALS, vec!["spring[1].rate=9 N/mm", "latch.trip_lift=½ in", "job.sizes=12 pt, 18 didot"]),
        (SMALL_TYPE, vec!["machine.name=A \"quoted\" \\ name", "job.margin=150 %", "lever.ratio=.9"]),
        (KNOWN_CASTS, vec!["experience[2].pace=21 turns/min"]),
        (WRONG_SLEEVE, vec!["stack.nut_turns=1 1/2 turns ± 1/8"]),
        (template.as_str(), vec![]),
    ] {
        let scenario = good_with(text, &overrides);
        let written = scenario.resolved_toml();
        let back = good(&written);
        assert_eq!(values(&back), values(&scenario), "{written}");
        // Everything is now given, and nothing left to defaults; but what was assumed still is.
        let items = |scenario: &Scenario| -> Vec<Item> {
            scenario.sections().iter().flat_map(|section| section.items.clone()).collect()
        };
        for (before, after) in items(&scenario).iter().zip(&items(&back)) {
            let was_assumed = before.origin == Origin::Assumed;
            assert_eq!(after.origin == Origin::Assumed, was_assumed, "{written}");
            assert_eq!(matches!(after.origin, Origin::Given(_)), !was_assumed, "{written}");
        }
    }
}

proptest! {
    #[test]
    fn property_an_overridden_lift_survives_writing(lift in 1.0..150.0_f64, tolerance in 0.0..1.0_f64) {
        let scenario = good_with(LARGE_INITIALS, &[&format!("cam.lift={lift} mm ± {tolerance}")]);
        let back = good(&scenario.resolved_toml());
        prop_assert_eq!(values(&back), values(&scenario));
    }
}

/// The demo machine stands twice, as a file and typed in: every text alike, every number to what a unit's factor costs.
#[test]
fn the_demo_statement_is_that_of_the_demo_scenario() {
    let plain =
        |stated: &MachineStatement| format!("{stated:?}").replace([',', '(', ')', '{', '}', '[', ']'], " ");
    let (typed, read) = (plain(&MachineStatement::demo()), plain(&stated::machine(&good(LARGE_INITIALS))));
    let pairs: Vec<_> = typed.split_whitespace().zip(read.split_whitespace()).collect();
    assert_eq!(pairs.len(), typed.split_whitespace().count().max(read.split_whitespace().count()));
    for (place, (typed, read)) in pairs.into_iter().enumerate() {
        match (typed.parse::<f64>(), read.parse::<f64>()) {
            (Ok(a), Ok(b)) => assert!((a - b).abs() <= 1e-12 * a.abs(), "word {place}: {a} against {b}"),
            _ => assert_eq!(typed, read, "word {place}"),
        }
    }
}

/// A new owner's file states nothing of anybody's machine: all its blanks are asked for at once, and filled in it is a scenario.
#[test]
fn blanks_are_asked_for_in_one_message_and_filled_in_they_are_a_scenario() {
    for (form, system) in [(Form::Short, System::Inch), (Form::Full, System::Metric)] {
        let text = new_scenario(form, system);
        let found = mistakes(&text, &[]);
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].contains("values are still to be filled in; [cam] law, lift, rise, dwell, return;"),
            "{found:?}"
        );
        let filled = [
            ("law", "cycloidal"),
            ("lift", "1 1/4 in"),
            ("rise", "85 deg"),
            ("dwell", "95 deg"),
            ("return", "90 deg"),
            ("rate", "51 lbf/in"),
            ("mass", "12 oz"),
            ("preload", "80 lbf"),
            ("bare_clearance", "3 in"),
            ("prong_travel", "1/4 in"),
            ("diameter", "11/16 in"),
            ("length", "1 in"),
            ("port_travel", "1/8 in"),
            ("bore", "0.1 in"),
            ("depth", "0.92 in"),
            ("body", "24 pt"),
            ("pace", "30 turns/min"),
        ];
        let filled = filled.iter().fold(text, |text, (key, value)| {
            text.replace(&format!("\n{key} = \"\""), &format!("\n{key} = \"{value}\""))
        });
        assert!(!filled.contains("= \"\""), "{filled}");
        let scenario = good(&filled);
        let given =
            |path: &str| matches!(scenario.item(path).map(|item| &item.origin), Some(Origin::Given(_)));
        assert!(given("cam.lift") && !given("mould.heat_transfer") && !given("cross_block.mass"));
    }
}

/// Every line that may stay a remark reads back when its owner takes the `#` away.
#[test]
fn what_stands_behind_a_hash_is_in_the_units_asked_for() {
    let text = new_scenario(Form::Short, System::Inch);
    assert!(
        text.contains("\n# wall_temperature = \"140 degF\"") && text.contains("\n# friction = \"5.62 lbf\""),
        "{text}"
    );
}
