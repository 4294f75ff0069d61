//! `latchstroke check`: the machine as understood.

use super::args::CheckOptions;
use super::{Failure, Outcome, open, say};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_report::check as words;
use latchstroke_scenario::stated;

/// Runs the command.
///
/// # Errors
/// Bad input.
pub fn run(options: &CheckOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let cast = stated::cast(&scenario);
    let machine = Machine::prepare(&stated::machine(&scenario), cast.sort, cast.pace, LatchSetting::Set)
        .map_err(|faults| open::as_mistakes(&scenario, faults))?;
    say(&words::text(
        &scenario,
        &machine,
        stated::acceptance(&scenario),
        &open::units(&options.scenario, &scenario),
    ))?;
    let trips = machine.latch.trip_lift < machine.cam.lift();
    let closes = machine.coil_room().is_none_or(|room| room >= machine.latch.trip_lift);
    Ok(if machine.latch.can_hold() && trips && closes { Outcome::Done } else { Outcome::CannotWork })
}
