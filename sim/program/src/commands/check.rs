//! `latchstroke check`: the machine as understood.

use super::args::ScenarioOptions;
use super::open::Opened;
use super::{Failure, Outcome, say};
use latchstroke_core::studies::judge::judge;
use latchstroke_models::latch::LatchSetting;
use latchstroke_report::check as words;

/// Runs the command.
///
/// # Errors
/// Bad input.
pub fn run(options: &ScenarioOptions) -> Result<Outcome, Failure> {
    let opened = Opened::without_remarks(options)?;
    let Opened { scenario, units, machine, terms, cast, .. } = &opened;
    let prepared = opened.prepared(LatchSetting::Set)?;
    let judgement = judge(machine, *cast, terms).map_err(|faults| opened.faulty(faults))?;
    say(&words::text(scenario, &prepared, &judgement, terms.acceptance, units))?;
    // Whether the size can be cast is for the judge to say; here it is whether the machine can do its work.
    let fails = judgement.standing(LatchSetting::Set).in_the_way().any(|margin| margin.limit.is_of_machine());
    Ok(match (fails, judgement.is_untrusted()) {
        (true, _) => Outcome::CannotWork,
        (false, true) => Outcome::NotKnown,
        _ => Outcome::Done,
    })
}
