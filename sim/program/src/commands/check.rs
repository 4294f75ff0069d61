//! `latchstroke check`: the machine as understood.

use super::args::CheckOptions;
use super::{Failure, Outcome, open, say};
use latchstroke_core::studies::judge::judge;
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
    let (stated, cast, terms) =
        (stated::machine(&scenario), stated::cast(&scenario), stated::terms(&scenario));
    let faulty = |faults| open::as_mistakes(&scenario, faults);
    let machine = Machine::prepare(&stated, cast.sort, cast.pace, LatchSetting::Set).map_err(faulty)?;
    let judgement = judge(&stated, cast, &terms).map_err(faulty)?;
    let units = open::units(&options.scenario, &scenario);
    say(&words::text(&scenario, &machine, &judgement, terms.acceptance, &units))?;
    // Whether the size can be cast is for the judge to say; here it is whether the machine can do its work.
    let fails = judgement.standing(LatchSetting::Set).in_the_way().any(|margin| margin.limit.is_of_machine());
    Ok(match (fails, judgement.is_untrusted()) {
        (true, _) => Outcome::CannotWork,
        (false, true) => Outcome::NotKnown,
        _ => Outcome::Done,
    })
}
