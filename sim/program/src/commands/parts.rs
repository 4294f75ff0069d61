//! `latchstroke parts`: sleeve and rod extension for the workshop.

use super::args::PartsOptions;
use super::open::Opened;
use super::progress::Progress;
use super::{Failure, Outcome, answers, say};
use latchstroke_core::studies::judge::{Judgement, judge};
use latchstroke_core::studies::parts::{COARSEST, LengthTolerance, design, joint};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::sleeve::{Question, Unknown, room_about, window};
use latchstroke_core::studies::tolerance::{self, Fit, Sleeve};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
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
    let (opened, real) = Opened::judged(&options.cast)?;
    let Opened { scenario, units, machine, terms, cast, .. } = &opened;
    let faulty = |faults| opened.faulty(faults);
    let statement = stated::parts::statement(scenario).map_err(faulty)?;
    if statement.sleeve.is_none() && statement.extension.is_none() {
        let example = if units.rod.symbol == "in" { "2 11/16 in" } else { "68 mm" };
        return Err(Failure::Plain(format!(
            "this scenario has neither sleeve nor extension, so there is nothing to make; give their lengths, as in \
             --set \"stack.sleeve={example}\" --set \"stack.extension={example}\""
        )));
    }
    let prepared = opened.prepared(LatchSetting::Set)?;
    let judgement = judge(machine, *cast, terms).map_err(faulty)?;
    let tolerance = if options.study {
        LengthTolerance::given(studied(scenario, &judgement, opened.pacing(real))?)
    } else {
        LengthTolerance::of_margin(room(&opened).map_err(faulty)?)
    };
    let parts = design(&statement, tolerance).map_err(faulty)?;
    let joint = joint(&parts, &prepared, [&judgement.aside, &judgement.set]);
    if let Some(folder) = &options.out {
        let mut outbox = Outbox::default();
        sheets::draw(&sheets::of_parts(scenario, &parts, units), &mut outbox)?;
        answers::send(&outbox, folder, options.force, &[])?;
    }
    say(&text(scenario, (&prepared, &judgement), real.as_ref(), (&parts, &joint), units))?;
    // The pieces are for the latch: what it wants of the machine must be kept with it set, whatever the verdict.
    let works =
        !judgement.standing(LatchSetting::Set).in_the_way().any(|margin| margin.limit.is_of_machine());
    Ok(if joint.holds() && works { Outcome::of([&judgement]) } else { Outcome::CannotWork })
}

/// How far the sleeve may be longer or shorter until a limit is missed, m; none where it keeps not all, or nothing tells.
fn room(opened: &Opened) -> Result<Option<f64>, Vec<Fault>> {
    let Opened { machine, terms, cast, .. } = opened;
    let question = Question { stated: machine, casts: &[*cast], terms: *terms, tolerance: 0.0 };
    match window(&question) {
        Ok(window) => Ok(room_about(&question, &window)),
        Err(Unknown::TripStated) => Ok(None),
        Err(Unknown::Faults(faults)) => Err(faults),
    }
}

/// The sleeve's tolerance from a study of all that carry one, m.
fn studied(scenario: &Scenario, judgement: &Judgement, pacing: Pacing) -> Result<f64, Failure> {
    let verdict = judgement.verdict;
    let vary = |values: &[(&str, f64)]| stated::tolerance::varied(scenario, values, pacing);
    let inputs = (&stated::tolerance::sleeve(scenario), &*stated::tolerance::inputs(scenario));
    let progress = Progress::start("fitting the sleeve", (STUDY_POINTS * TRIES) as u64)?;
    let case = stated::tolerance::case(scenario, pacing);
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
