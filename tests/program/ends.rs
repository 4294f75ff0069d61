//! Every key of a scenario at both ends of its stated range: the turn is solved and can be trusted, within a bounded number of steps.

use latchstroke_core::turn::{Accuracy, Finding, solve};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_scenario::{Override, catalogue, read, stated};

/// A step takes some 2 µs, so that this many are some 50 ms.
const MOST_STEPS: usize = 25_000;

#[test]
fn property_every_key_solves_at_both_ends_of_its_range() {
    let demo = include_str!("../../scenarios/large_initials.toml");
    let mut turns = 0;
    for section in catalogue::sections() {
        for entry in section.entries {
            let Some(range) = &entry.range else { continue };
            let place = if section.name == "spring" { "spring[1]" } else { section.name };
            for end in [range.low, range.high] {
                let text = format!("{place}.{}={end}", entry.key);
                // What cannot be together with the rest of the machine is refused, and tried elsewhere.
                let Ok(scenario) = read("demo", demo, &[Override::parse(&text)]) else { continue };
                let cast = stated::cast(&scenario);
                for setting in [LatchSetting::Aside, LatchSetting::Set] {
                    let machine =
                        Machine::prepare(&stated::machine(&scenario), cast.sort, cast.pace, setting);
                    let Ok(machine) = machine else { continue };
                    let turn = solve(&machine, Accuracy::default());
                    turns += 1;
                    let doubts: Vec<_> = turn.findings.iter().filter(|f| f.makes_unreliable()).collect();
                    assert!(doubts.is_empty(), "{text}, {setting:?}: {doubts:?}");
                    assert!(turn.steps < MOST_STEPS, "{text}, {setting:?}: {} steps", turn.steps);
                    assert!(!turn.findings.iter().any(|f| matches!(f, Finding::Unsolved { .. })));
                }
            }
        }
    }
    assert!(turns > 250, "{turns} turns");
}
