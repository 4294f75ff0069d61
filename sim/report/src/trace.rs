//! A turn's trace as CSV: one row an instant, the unit in each column's name.

use super::csv::{number, table};
use latchstroke_core::turn::Instant;

const COLUMNS: [&str; 20] = [
    "time_s",
    "shaft_angle_deg",
    "cam_lift_m",
    "block_lift_m",
    "block_speed_m_s",
    "rod_lift_m",
    "rod_speed_m_s",
    "piston_travel_m",
    "piston_speed_m_s",
    "spring_force_N",
    "cam_force_N",
    "stop_force_N",
    "well_pressure_Pa",
    "flow_m3_s",
    "metal_past_nozzle_m3",
    "air_mass_kg",
    "cavity_pressure_Pa",
    "fill_share",
    "solid_share",
    "skin_m",
];

/// The trace as the bytes of a CSV file.
///
/// # Errors
/// When the writer fails, which it does only for want of memory.
pub fn csv(trace: &[Instant]) -> Result<Vec<u8>, csv::Error> {
    let row = |i: &Instant| {
        [
            i.time,
            i.angle.to_degrees(),
            i.cam_lift,
            i.state.block_lift,
            i.state.block_speed,
            i.state.rod_lift,
            i.state.rod_speed,
            i.piston_travel,
            i.piston_speed,
            i.spring_force,
            i.cam_force,
            i.stop_force,
            i.well_pressure,
            i.state.flow,
            i.state.past_nozzle,
            i.state.air_mass,
            i.cavity_pressure,
            i.fill,
            i.solid_fraction,
            i.skin,
        ]
        .map(number)
    };
    table(COLUMNS, trace.iter().map(row))
}
