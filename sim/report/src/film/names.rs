//! The names of the machine's parts with the figures that matter, in the owner's own writing where there is one.

use super::super::charts::close;
use super::super::owner::OwnerUnits;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::machine::Machine;
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::piston::PistonStatement;
use latchstroke_plots::mechanism::{Part, PartLabel, Pose};
use latchstroke_scenario::Scenario;
use latchstroke_scenario::key;

/// A skin thinner than this part of the body cannot be seen.
const LEAST_SKIN: f64 = 0.012;

/// The labels of the schematic in a pose: what cannot be seen in it has none.
pub(super) fn labels(
    scenario: &Scenario,
    (machine, pose): (&Machine, &Pose),
    units: &OwnerUnits,
) -> Vec<PartLabel> {
    let written = |path: &str| {
        // The tolerance is left to the reports.
        scenario.item(path).and_then(|item| units.told(item)).map_or_else(String::new, |value| close(&value))
    };
    let lift = |si: f64| close(&units.lift(si));
    let force = |si: f64| close(&units.force(si));
    let sort = machine.mould;
    let (body, set) = (units.size(sort.body), units.size(sort.set));
    let mut labels = vec![
        (Part::Lever, "pump lever", String::new()),
        (Part::Latch, "pump latch", format!("lets go at {}", lift(machine.latch.trip_lift))),
        (Part::Nut, "adjusting nut", String::new()),
        (Part::Spring, spring_name(machine), format!("{} at rest", force(machine.preload()))),
        (Part::Rod, "spring rod", String::new()),
        (Part::Abutment, "abutment", String::new()),
        (Part::Block, "cross block", String::new()),
        (Part::Shoulder, "shoulder of the rod", String::new()),
        (Part::Cam, "pump cam", format!("lifts the block {}", lift(machine.cam.lift()))),
        (Part::Follower, "roller follower", String::new()),
        (Part::Crank, "lever train", "simplified".to_owned()),
        (Part::Matrix, "matrix", String::new()),
        (
            Part::Mould,
            if pose.fill > 0.0 { "metal in the mould" } else { "mould" },
            format!("{body} × {set}, enlarged").replace(" pt", "\u{a0}pt"),
        ),
        (Part::Piston, "piston", written(key!(PistonStatement, diameter))),
        (Part::Well, "well", String::new()),
        (Part::Channel, "channel", String::new()),
        (Part::Nozzle, "nozzle", written(key!(NozzleStatement, bore))),
        (Part::Gauge, "pressure in the well", String::new()),
    ];
    if pose.skin > LEAST_SKIN * sort.body {
        labels.push((Part::Skin, "skin freezing on", String::new()));
    }
    if machine.abutment.sleeve > 0.0 {
        labels.push((Part::Sleeve, "sleeve", written(key!(AbutmentStatement, sleeve))));
    }
    if machine.abutment.extension > 0.0 {
        labels.push((Part::Extension, "extension of the rod", written(key!(AbutmentStatement, extension))));
    }
    if machine.piston.port_travel > 0.0 {
        labels.push((Part::Port, "inlet port", String::new()));
    }
    labels.into_iter().map(|(part, name, note)| PartLabel { part, name: name.to_owned(), note }).collect()
}

fn spring_name(machine: &Machine) -> &'static str {
    if machine.springs.len() > 1 { "springs" } else { "spring" }
}
