//! `latchstroke parts`: sleeve and rod extension for the workshop.

use super::args::PartsOptions;
use super::{Failure, Outcome, open, say};
use latchstroke::report::outbox::Outbox;
use latchstroke::report::owner::OwnerUnits;
use latchstroke::report::parts::{sheets, text};
use latchstroke::stated;
use latchstroke::studies::judge::judge;
use latchstroke::studies::parts::{design, joint};
use latchstroke::turn::{Accuracy, Finding};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;

/// Runs the command.
///
/// # Errors
/// Bad input, a stack with neither sleeve nor extension, or a folder that cannot be written.
pub fn run(options: &PartsOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let faulty = |faults| open::as_mistakes(&scenario, faults);
    let statement = stated::parts::statement(&scenario).map_err(faulty)?;
    if statement.sleeve.is_none() && statement.extension.is_none() {
        return Err(Failure::Plain(
            "this scenario has neither sleeve nor extension, so there is nothing to make; \
             give their lengths, as in --set \"stack.sleeve=68 mm\" --set \"stack.extension=68 mm\""
                .to_owned(),
        ));
    }
    let cast = stated::cast(&scenario);
    let stated_machine = stated::machine(&scenario);
    let machine =
        Machine::prepare(&stated_machine, cast.sort, cast.pace, LatchSetting::Set).map_err(faulty)?;
    let parts = design(&statement, &machine, None).map_err(faulty)?;
    let judgement =
        judge(&stated_machine, cast, stated::acceptance(&scenario), Accuracy::default()).map_err(faulty)?;
    let joint = joint(&parts, &machine, [&judgement.aside, &judgement.set]);
    if let Some(folder) = &options.out {
        let mut outbox = Outbox::default();
        sheets::draw(&sheets::of_parts(&scenario, &parts), &mut outbox)
            .map_err(|error| Failure::Plain(error.to_string()))?;
        outbox.send(folder, options.force)?;
        let names: Vec<&str> = outbox.names().collect();
        eprintln!("Wrote {} into {}.", names.join(", "), folder.display());
    }
    say(&text(&scenario, (&machine, &judgement.set), (&parts, &joint), &OwnerUnits::of(&scenario)))?;
    let works = !judgement.set.findings.iter().any(Finding::faults_setting);
    Ok(if joint.holds() && works { Outcome::Done } else { Outcome::CannotWork })
}
