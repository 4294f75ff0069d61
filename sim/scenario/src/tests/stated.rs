//! Every key goes to a place of its own, and every fault comes back to the key.

use super::super::catalogue::{self, Entry, Kind};
use super::super::quantity::{Dimension, Quantity};
use super::super::resolved::{Scenario, Value};
use super::super::stated::{self, Stated};
use super::{LARGE_INITIALS, SMALL_TYPE, example, good, good_with};
use latchstroke_core::studies::calibrate::Outcome;
use latchstroke_models::cross_block::Closure;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::units::{Force, Stiffness};

/// Nothing stated, where every key of a choice that excludes others has its place.
fn blank() -> Stated {
    let mut blank = Stated::default();
    let (return_force, return_rate) = (Force::default(), Stiffness::default());
    blank.machine.cross_block.closure = Closure::OneWay { return_force, return_rate };
    blank.experience.outcome = Outcome::Failed(None);
    blank
}

/// Values of an entry's kind. Every number is the same, so that only its place tells where it went.
fn values(entry: &Entry) -> Vec<Value> {
    let number = |dimension: Dimension| {
        let words = entry.example.split('"').nth(1).unwrap_or(entry.example);
        Quantity::parse(words, dimension).expect("an example").with_si(0.123)
    };
    match entry.kind {
        Kind::Quantity(dimension) => vec![Value::Quantity(number(dimension))],
        Kind::Number => vec![Value::Number(number(Dimension::Ratio))],
        Kind::Choice(words) => words.iter().copied().map(Value::Choice).collect(),
        Kind::Text => vec![Value::Text("text".to_owned())],
        Kind::QuantityList(dimension) => vec![Value::List(vec![number(dimension)])],
        // The reader turns columns into readings.
        Kind::Column(_) => Vec::new(),
        Kind::Readings => vec![Value::Readings(vec![(number(Dimension::Angle), number(Dimension::Angle))])],
    }
}

#[test]
fn every_key_goes_to_a_place_of_its_own() {
    let mut places: Vec<(String, Stated)> = Vec::new();
    for section in catalogue::sections() {
        for entry in section.entries.iter().filter(|entry| !entry.sets.fields.is_empty()) {
            let path = format!("{}.{}", section.name, entry.key);
            let stated = values(entry).into_iter().map(|value| {
                let mut stated = blank();
                (entry.sets.place)(&mut stated).expect("a place").put(&value);
                stated
            });
            let moved = stated.into_iter().find(|stated| *stated != blank());
            let moved = moved.unwrap_or_else(|| panic!("{path} goes nowhere"));
            let shared = places.iter().find(|(_, other)| *other == moved);
            assert!(shared.is_none(), "{path} goes where {:?} goes", shared.map(|(other, _)| other));
            places.push((path, moved));
        }
    }
    assert!(places.len() > 120, "{} keys", places.len());
}

/// Keys of numbers that no machine sees: they are asked of a cast or a part, or an alloy refuses them.
const OF_OTHERS: [&str; 5] = ["job.accepted", "job.margin", "metal.tin", "metal.antimony", "parts."];

/// Machines in which every key of a number is given in one or another.
fn machines() -> Vec<Scenario> {
    let overridden: [&[&str]; 5] = [
        &["lever.inertia=0.02 kg m2", "lever.arm=0.2 m", "metal.density=10200 kg/m3"],
        &[
            "cross_block.closure=one-way",
            "cross_block.return_force=600 N",
            "cross_block.train_damping_ratio=0.06",
        ],
        &[
            "cooling_water.flow=1 l/min",
            "cooling_water.inlet_temperature=15 degC",
            "cooling_water.conductance=60 W/K",
            "cooling_water.mould_mass=3 kg",
        ],
        &[
            "latch.trip_lift=14 mm",
            "mould.vent_area=0.35 mm2",
            "rod.stop_restitution=0.5",
            "parts.extension_outside=20 mm",
            "stack.rod_end=140 mm",
        ],
        &[
            "spring[1].mean_coil=40 mm",
            "mould.packed_heat_transfer=30 kW/m2K",
            "spring[1].bound_rate=5000 N/mm",
        ],
    ];
    let mut all: Vec<Scenario> = overridden.iter().map(|set| good_with(LARGE_INITIALS, set)).collect();
    all.extend([LARGE_INITIALS, SMALL_TYPE, &example()].map(good));
    all
}

/// What is wrong with the machine of a scenario, by its keys.
fn faults(scenario: &Scenario) -> Vec<String> {
    let cast = stated::cast(scenario);
    let machine = Machine::prepare(&stated::machine(scenario), cast.sort, cast.pace, LatchSetting::Set);
    machine.err().unwrap_or_default().iter().map(|fault| scenario.key_of(fault.field)).collect()
}

#[test]
fn every_number_that_is_none_is_told_at_its_key() {
    let (machines, mut untold) = (machines(), Vec::new());
    for machine in &machines {
        assert_eq!(faults(machine), [""; 0], "as stated");
    }
    for section in catalogue::sections().filter(|section| !section.is_record()) {
        let name = if section.is_list() { format!("{}[1]", section.name) } else { section.name.to_owned() };
        for entry in section.entries {
            let path = format!("{name}.{}", entry.key);
            if !matches!(entry.kind, Kind::Quantity(_) | Kind::Number)
                || (OF_OTHERS.iter().any(|other| path.starts_with(other))
                    && path != "parts.extension_outside")
            {
                continue;
            }
            let mut spoilt = machines.iter().filter_map(|machine| machine.with_values(&[(&path, f64::NAN)]));
            let is_told = spoilt.any(|scenario| faults(&scenario).contains(&path));
            untold.extend((!is_told).then_some(path));
        }
    }
    assert!(untold.is_empty(), "{untold:?}");
}
