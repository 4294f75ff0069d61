//! The machine as understood: every value in the owner's unit and in SI, and what follows from them.

use super::limits;
use super::odds;
use super::owner::{OwnerUnits, milliseconds, percent, significant, stated_in};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::Limit;
use latchstroke_core::studies::judge::{Acceptance, Judgement};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::spring::Spring;
use latchstroke_scenario::quantity::{format_si, nearest_64th, unit_as_typed};
use latchstroke_scenario::stated::from_alloy;
use latchstroke_scenario::{Dimension, Origin, Quantity, Scenario, Value};

/// The whole listing, of a machine ready for its own cast with the latch set, and how it is judged.
pub fn text(
    scenario: &Scenario,
    machine: &Machine,
    judgement: &Judgement,
    acceptance: Acceptance,
    units: &OwnerUnits,
) -> String {
    let mut text = format!("{} is understood as follows.\n", scenario.file_name());
    for section in scenario.sections().iter().filter(|section| !section.items.is_empty()) {
        text += &format!("\n{}\n", section.name());
        let mut table = Table::new(&["", "as stated", "SI"]);
        for item in &section.items {
            let note = match &item.origin {
                Origin::Given(_) => String::new(),
                Origin::Default => " (by default)".to_owned(),
                Origin::Assumed => " (assumed)".to_owned(),
                Origin::Fitted => " (fitted)".to_owned(),
                Origin::Measured(_) => " (measured)".to_owned(),
                Origin::SameAs(key) => format!(" (as {key})"),
            };
            for (n, (stated, si)) in values(&item.value, units).into_iter().enumerate() {
                let key = if n == 0 { item.entry.key } else { "" };
                table.row([key.to_owned(), stated + &note, si]);
            }
        }
        if section.name() == "metal" {
            for (entry, si) in from_alloy(scenario) {
                let dimension = entry.kind.dimension().unwrap_or(Dimension::Ratio);
                let own = || dimension.find(unit_as_typed(entry.example)).unwrap_or(&dimension.units().si);
                let shown = units.asked.map_or_else(own, |asked| asked.of_size(dimension, si));
                let value = format!("{} (from the alloy)", stated_in(shown, si));
                table.row([entry.key.to_owned(), value, si_beside(dimension, si, units)]);
            }
        }
        text += &if units.asked.is_some() { table.body(2) } else { table.text(2) };
    }
    text += &odds::sources(scenario, units);
    text += "\nWhat follows from them\n";
    let mut table = Table::new(&["", "", ""]);
    for (name, value, note) in derived(machine, judgement, acceptance, units) {
        table.row([name, value, note]);
    }
    text += &table.body(2);
    let set = judgement.standing(LatchSetting::Set);
    for margin in set.in_the_way().filter(|margin| margin.limit.is_of_machine()) {
        text += &wrapped(&format!("! {}", limits::sentence(margin, units)), 2, 4);
    }
    for remark in scenario.remarks() {
        let place = remark.location.in_words();
        let place = if place.is_empty() { place } else { place + ": " };
        text += &wrapped(&format!("! {place}{}. {}.", upper(&remark.message), upper(&remark.right)), 2, 4);
    }
    text
}

/// A value in SI; nothing where a system is asked for, in which all is told.
fn si_beside(dimension: Dimension, si: f64, units: &OwnerUnits) -> String {
    if units.asked.is_some() { String::new() } else { format_si(dimension, si) }
}

/// A sentence with its first letter large.
fn upper(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What a key holds, as stated and in SI; a list has a line for each of its values.
fn values(value: &Value, units: &OwnerUnits) -> Vec<(String, String)> {
    let both =
        |quantity: &Quantity| (units.stated(quantity), si_beside(quantity.dimension, quantity.si, units));
    match value {
        Value::Quantity(quantity) => vec![both(quantity)],
        Value::Number(number) => vec![(number.text.clone(), String::new())],
        Value::Choice(word) => vec![((*word).to_owned(), String::new())],
        Value::Text(text) => vec![(text.clone(), String::new())],
        Value::List(list) => list.iter().map(both).collect(),
        Value::Readings(readings) => {
            let (first, last) = (readings.first(), readings.last());
            let ends = first.zip(last).map(|(first, last)| format!(" from {} to {}", first.0, last.0));
            vec![(format!("{} readings{}", readings.len(), ends.unwrap_or_default()), String::new())]
        }
    }
}

/// Name, value and a note of each figure worked out.
fn derived(
    machine: &Machine,
    judgement: &Judgement,
    acceptance: Acceptance,
    units: &OwnerUnits,
) -> Vec<(String, String, String)> {
    let inches = |si: f64| {
        if units.lift.symbol == "in" { format!("near {}", nearest_64th(si)) } else { String::new() }
    };
    // What follows from the trip follows from nothing where the latch never lets go.
    let trips = trips(judgement);
    let mut rows: Vec<(String, String, String)> = Vec::new();
    let mut add = |name: &str, value: String, note: String| rows.push((name.to_owned(), value, note));
    let (rise, fall) = (machine.cam.rise(), machine.cam.fall());
    for (name, phase) in [("cam rises", rise), ("cam falls", fall)] {
        add(
            name,
            format!("from {} to {}", degrees(phase.from), degrees(phase.to)),
            format!("steepest at {}", degrees(phase.steepest)),
        );
    }
    add("greatest lift of the cam", units.lift(machine.cam.lift()), inches(machine.cam.lift()));
    add("preload at rest", units.force(machine.preload()), String::new());
    for (n, spring) in machine.springs.iter().enumerate() {
        for (name, value, note) in spring_rows(spring, machine, trips, units) {
            add(&format!("spring[{}] {name}", n + 1), value, note);
        }
    }
    if let Some(clearance) = machine.abutment.clearance {
        add("clearance from abutment to prongs at rest", units.lift(clearance), inches(clearance));
    }
    add("trip lift", units.lift(machine.latch.trip_lift), inches(machine.latch.trip_lift));
    let of_trip = |value: String| if trips { value } else { "–".to_owned() };
    let never = |note: String| if trips { note } else { NEVER_TRIPS.to_owned() };
    let left = machine.cam.lift() - machine.latch.trip_lift;
    add("lift left past the trip", of_trip(units.lift(left)), never(String::new()));
    if let Some(room) = machine.coil_room() {
        let left = room - machine.latch.trip_lift;
        let note = "from the trip to coil binding".to_owned();
        add("room in the springs past the trip", of_trip(units.lift(left)), never(note));
    }
    let needed = machine.mould.priming_volume + machine.mould.volume;
    let share =
        format!("{} of {} to prime and fill", percent(machine.snap_volume() / needed), units.volume(needed));
    add("snap volume", of_trip(units.volume(machine.snap_volume())), never(share));
    add(
        "mass that the springs throw",
        units.figure(Dimension::Mass, machine.rod.mass),
        "at the rod".to_owned(),
    );
    if let Some(balance) = machine.mould.balance {
        let wall = machine.mould.wall_temperature;
        add(
            "mould settles at",
            units.temperature(wall),
            format!("the water leaves at {}", units.temperature(balance.water.outlet(wall))),
        );
    }
    let clocks = &judgement.clocks;
    let time = |si: f64| if si.is_finite() { milliseconds(si) } else { "never up".to_owned() };
    add("lapping limit", time(clocks.lapping), format!("{} body", units.size(machine.mould.body)));
    add("skin limit", time(clocks.skin), format!("for a skin of {}", units.skin(acceptance.skin)));
    add("bulk limit", time(clocks.bulk), String::new());
    add(
        "time allowed for the fill",
        time(clocks.allowed),
        format!("margin {}", significant(acceptance.margin, 3)),
    );
    rows
}

/// An angle of the shaft (rad) within one turn, to the degree.
fn degrees(angle: f64) -> String {
    format!("{}°", angle.to_degrees().round().rem_euclid(360.0))
}

fn spring_rows(
    spring: &Spring,
    machine: &Machine,
    trips: bool,
    units: &OwnerUnits,
) -> Vec<(&'static str, String, String)> {
    let mut rows = vec![
        ("rate", units.figure(Dimension::Stiffness, spring.rate), String::new()),
        ("squeezed at rest", units.lift(spring.rest_squeeze), String::new()),
        (
            "surge frequency",
            format!("{} Hz", significant(spring.surge_frequency(), 3)),
            "both ends held".to_owned(),
        ),
    ];
    if let Some(wire) = spring.wire {
        let stress = |lift: f64| units.pressure(wire.wahl_factor() * wire.stress(spring.force(lift)));
        let full = ("stress at full lift, rod held", stress(machine.cam.lift()), String::new());
        if trips {
            let trip = machine.latch.trip_lift;
            let release = units.speed(wire.release_speed(spring.force(trip)));
            rows.push(("stress at the trip", stress(trip), String::new()));
            rows.push(full);
            rows.push(("fastest release of a free end", release, "no spring throws faster".to_owned()));
        } else {
            rows.push(full);
        }
    }
    rows
}

/// What stands beside a figure that follows from the trip where there is none.
const NEVER_TRIPS: &str = "the latch never lets go as it is";

/// Whether the latch holds and lets go.
fn trips(judgement: &Judgement) -> bool {
    let set = judgement.standing(LatchSetting::Set);
    let kept = |limit: Limit| set.margin(limit).is_none_or(|margin| !margin.is_in_the_way());
    kept(Limit::LatchTrips) && kept(Limit::LatchHolds)
}
