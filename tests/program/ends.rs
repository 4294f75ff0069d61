//! Every key of a scenario at both ends of its stated range: the turn is solved and can be trusted, within a bounded number of steps.

use latchstroke_core::turn::{Accuracy, Finding, Stop, solve};
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

/// A leg that lasts less than any step: a cam that breaks within a nanosecond of an event, of another break or of the turn's end.
#[test]
fn property_legs_shorter_than_any_step_are_solved() {
    let demo = include_str!("../../scenarios/large_initials.toml");
    for text in [
        "cam.rise_start=1.57079632 rad",
        "cam.rise_start=89.9999999 deg",
        "cam.dwell=3.31612557 rad",
        "cam.dwell=0.0000001 deg",
        "cam.dwell=0.000000001 deg",
    ] {
        for pace in ["job.pace=0.5 turns/min", "job.pace=12 turns/min", "job.pace=400 turns/min"] {
            let scenario = read("demo", demo, &[Override::parse(text), Override::parse(pace)]).expect(text);
            let cast = stated::cast(&scenario);
            for setting in [LatchSetting::Aside, LatchSetting::Set] {
                let machine = Machine::prepare(&stated::machine(&scenario), cast.sort, cast.pace, setting);
                let turn = solve(&machine.expect("a valid machine"), Accuracy::default());
                assert_eq!(turn.stop, Stop::FullTurn, "{text}, {pace}, {setting:?}");
                assert!(
                    turn.findings.iter().all(|f| !f.makes_unreliable()),
                    "{text}, {pace}: {:?}",
                    turn.findings
                );
            }
        }
    }
}
