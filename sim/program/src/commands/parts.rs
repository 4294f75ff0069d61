//! `latchstroke parts`: sleeve and rod extension for the workshop.

use super::args::PartsOptions;
use super::progress::Progress;
use super::{Failure, Outcome, open, say};
use latchstroke_core::studies::judge::judge;
use latchstroke_core::studies::parts::{COARSEST, design, joint};
use latchstroke_core::studies::tolerance::{self, Fit, Sleeve};
use latchstroke_core::turn::{Accuracy, Finding};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::parts::{sheets, text};
use latchstroke_scenario::Scenario;
use latchstroke_scenario::stated;

/// The chance with which the verdict must stand when the sleeve's tolerance is studied.
const CHANCE: f64 = 0.95;
/// Draws for each tolerance tried, and where they begin.
const STUDY_POINTS: usize = 200;
const STUDY_SEED: u32 = 1;
/// How many tolerances are usually tried.
const TRIES: usize = 12;

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
    let studied = if options.study { Some(studied(&scenario)?) } else { None };
    let parts = design(&statement, &machine, studied).map_err(faulty)?;
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
    say(&text(
        &scenario,
        (&machine, &judgement.set),
        (&parts, &joint),
        &open::units(&options.scenario, &scenario),
    ))?;
    let works = !judgement.set.findings.iter().any(Finding::faults_setting);
    Ok(if joint.holds() && works { Outcome::Done } else { Outcome::CannotWork })
}

/// The sleeve's tolerance from a study of all that carry one, m.
fn studied(scenario: &Scenario) -> Result<f64, Failure> {
    let verdict = judge(
        &stated::machine(scenario),
        stated::cast(scenario),
        stated::acceptance(scenario),
        Accuracy::default(),
    )
    .map_err(|faults| open::as_mistakes(scenario, faults))?
    .verdict;
    let vary = |values: &[(&str, f64)]| stated::tolerance::varied(scenario, values);
    let inputs = (&stated::tolerance::sleeve(scenario), &*stated::tolerance::inputs(scenario));
    let progress = Progress::start("fitting the sleeve", (STUDY_POINTS * TRIES) as u64)?;
    let case = stated::tolerance::case(scenario);
    let points = (STUDY_POINTS, STUDY_SEED);
    let sought = tolerance::sleeve(&case, &vary, inputs, (verdict, CHANCE), points, &progress);
    progress.finish();
    match sought {
        Sleeve::Sought { fit: Fit::Within(half_width, _) | Fit::Any(half_width, _), .. } => {
            Ok(half_width.min(COARSEST))
        }
        Sleeve::Sought { fit: Fit::NotEvenPerfect, .. } => Err(Failure::Plain(
            "--study: not even a perfect sleeve makes the verdict stand with a chance of 95 %; \
             latchstroke tolerance says what to measure again first"
                .to_owned(),
        )),
        Sleeve::CalledOff => Err(Failure::Plain("called off before the sleeve was fitted".to_owned())),
        Sleeve::NotInPlay | Sleeve::NothingToKeep => Err(Failure::Plain(
            "--study: there is no verdict that hangs on the sleeve here; leave --study out, or state a cast that the latch serves"
                .to_owned(),
        )),
    }
}
