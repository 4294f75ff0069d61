//! A scenario key in words.

use latchstroke_core::studies::judge::Terms;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::alloy::Composition;
use latchstroke_models::cross_block::CrossBlockStatement;
use latchstroke_models::latch::{LatchStatement, TripStatement};
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::MouldStatement;
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::piston::PistonStatement;
use latchstroke_models::rod::RodStatement;
use latchstroke_models::vent::VentStatement;
use latchstroke_scenario::key;

/// What an owner calls the values that section and key would call clumsily.
const OWN: [(&str, &str); 25] = [
    (key!(AbutmentStatement, sleeve), "the sleeve's length"),
    (key!(AbutmentStatement, extension), "the rod extension's length"),
    (key!(AbutmentStatement, bare_gap), "the gap in which the springs stand"),
    (key!(AbutmentStatement, bare_clearance), "the clearance from abutment to prongs"),
    (key!(AbutmentStatement, nut_turns), "the place of the adjusting nut"),
    (key!(TripStatement::Prongs, 0), "the travel of the prongs"),
    (key!(TripStatement::Lift, 0), "the lift at which the latch lets go"),
    (key!(LatchStatement, release_delay), "the time that the latch takes to let go"),
    (key!(MouldStatement, hold_down), "the force that holds the matrix down"),
    (key!(VentStatement::Area, 0), "the area of the vents"),
    (key!(VentStatement::Slit, gap), "the gap of the vents"),
    (key!(VentStatement::Slit, width), "the width of the vents"),
    (key!(VentStatement::Slit, length), "the length of the vents"),
    (key!(MouldStatement, vent_coefficient), "the flow coefficient of the vents"),
    (key!(MouldStatement, air_temperature), "the temperature of the air in the mould"),
    (key!(Terms, shut), "the angle for which the mould stays shut"),
    (key!(CrossBlockStatement, train_stiffness), "the lever train's stiffness"),
    (key!(RodStatement, stop_stiffness), "the stiffness of the rod's shoulder"),
    (key!(PistonStatement, port_travel), "the piston's travel past its port"),
    (key!(NozzleStatement, loss), "the loss at the nozzle's entry"),
    (key!(Composition, tin), "the share of tin"),
    (key!(Composition, antimony), "the share of antimony"),
    (key!(MetalStatement, sealing_fraction), "the solid share at which the entry seals"),
    (key!(MetalStatement, conductivity_liquid), "the conductivity of liquid metal"),
    (key!(MetalStatement, conductivity_solid), "the conductivity of solid metal"),
];

/// "the piston's clearance" for `piston.clearance`; springs are numbered where several of `paths` are of springs.
pub fn named<'a>(path: &str, paths: impl IntoIterator<Item = &'a str>) -> String {
    if let Some((_, own)) = OWN.iter().find(|(key, _)| *key == path) {
        return (*own).to_owned();
    }
    let Some((section, key)) = path.split_once('.') else { return path.to_owned() };
    let key = key.replace('_', " ");
    let Some(number) = section.strip_prefix("spring[").and_then(|rest| rest.strip_suffix(']')) else {
        return match section {
            "job" => format!("the {key}"),
            section => format!("the {}'s {key}", section.replace('_', " ")),
        };
    };
    let of_another = |path: &str| path.starts_with("spring[") && !path.starts_with(section);
    if paths.into_iter().any(of_another) {
        format!("spring {number}'s {key}")
    } else {
        format!("the spring's {key}")
    }
}
