//! `latchstroke parts`: sleeve and rod extension for the workshop.

use super::args::PartsOptions;
use super::open::Opened;
use super::progress::Progress;
use super::{Failure, Outcome, answers, say, sleeve};
use latchstroke_core::studies::judge::{Cast, Judgement, Terms, judge};
use latchstroke_core::studies::parts::{
    COARSEST, LengthTolerance, Parts, Rule, clearance, design, joint, nut_height,
};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::sleeve::{Question, Unknown, room_about, study, window};
use latchstroke_core::studies::tolerance::{self, Fit, Sleeve};
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::Length;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::owner::{OwnerUnits, System};
use latchstroke_report::parts::{Made, forbidding, sheets, text};
use latchstroke_report::sleeve::{Told, refused};
use latchstroke_scenario::Scenario;
use latchstroke_scenario::{key, stated};

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
/// Bad input, a machine of which nothing tells which pieces it wants, or a folder that cannot be written.
pub fn run(options: &PartsOptions) -> Result<Outcome, Failure> {
    let (opened, real) = Opened::judged(&options.cast)?;
    let (opened, recommended) = match with_pieces(opened, options)? {
        Pieces::Fitted(opened) => (opened, false),
        Pieces::Recommended(opened) => (opened, true),
        Pieces::None(why) => {
            say(&format!("{why}\n"))?;
            return Ok(Outcome::CannotWork);
        }
    };
    let faulty = |faults| opened.faulty(faults);
    let Opened { scenario, units, terms, cast, .. } = &opened;
    let statement = stated::parts::statement(scenario).map_err(faulty)?;
    // Sizes that are not stated are round in the owner's own measures, whatever he wants to read them in.
    let rule = if OwnerUnits::of(scenario).system == System::Inch { Rule::Inch } else { Rule::Metric };
    let parts = design(&statement, rule).map_err(faulty)?;
    let machine = with_extension(&opened.machine, &parts);
    let prepared = Machine::prepare(&machine, cast.sort, cast.pace, LatchSetting::Set).map_err(faulty)?;
    let judgement = judge(&machine, *cast, terms).map_err(faulty)?;
    let tolerance = if options.study {
        LengthTolerance::given(studied(scenario, &judgement, opened.pacing(real))?)
    } else {
        LengthTolerance::of_margin(room((&machine, *cast), terms).map_err(faulty)?)
    };
    let parts = parts.within(tolerance);
    let joint = joint(&parts, &prepared, [&judgement.aside, &judgement.set]);
    let clearance = clearance(&parts, &prepared);
    let forbidding = forbidding(scenario, &judgement, (&parts, &joint), units);
    let made = Made {
        parts: &parts,
        joint: &joint,
        clearance: &clearance,
        judgement: &judgement,
        recommended,
        forbidding: &forbidding,
    };
    if let Some(folder) = &options.out {
        let mut outbox = Outbox::sparing(scenario.files());
        sheets::draw(&sheets::of_parts(scenario, &prepared, made, units), &mut outbox)?;
        answers::send(&outbox, folder, options.force, &[])?;
    }
    say(&text(scenario, made, real.as_ref(), units))?;
    // The pieces are for the latch: what it wants of the machine must be kept with it set, whatever the verdict.
    Ok(if forbidding.is_empty() { Outcome::of([&judgement]) } else { Outcome::CannotWork })
}

/// Which pieces are drawn.
enum Pieces {
    /// Those that the machine has.
    Fitted(Opened),
    /// Those recommended to it, put on it.
    Recommended(Opened),
    /// None, and why.
    None(String),
}

/// The machine with its pieces; one that has neither gets those of the length recommended for what it is to cast.
fn with_pieces(opened: Opened, options: &PartsOptions) -> Result<Pieces, Failure> {
    let Opened { scenario, machine, terms, units, cast, .. } = &opened;
    let faulty = |faults| opened.faulty(faults);
    if machine.abutment.sleeve.0 > 0.0 || machine.abutment.extension.0 > 0.0 {
        return Ok(Pieces::Fitted(opened));
    }
    let casts = if options.cast.body.is_some() || options.cast.pace.is_some() {
        vec![*cast]
    } else {
        opened.cast_at(None).casts(machine, &opened.sorts(None)?).map_err(faulty)?
    };
    let (tolerance, reserve_stated) = sleeve::reserve(scenario);
    let question = Question { stated: machine, casts: &casts, terms: *terms, tolerance };
    let window = window(&question).map_err(|unknown| match unknown {
        Unknown::TripStated => {
            let example = if units.rod.symbol == "in" { "2 11/16 in" } else { "68 mm" };
            Failure::Plain(format!(
                "this scenario has neither sleeve nor extension, and nothing tells which it wants: {}; or give their lengths, as in \
                 --set \"stack.sleeve={example}\" --set \"stack.extension={example}\"",
                sleeve::measure(scenario)
            ))
        }
        Unknown::Faults(faults) => faulty(faults),
    })?;
    let answer = study(&question, window, &[]).map_err(faulty)?;
    let made = match &answer.recommendation {
        Ok(recommendation) => recommendation.step.sleeve,
        Err(refusal) => {
            let told = Told {
                machine: scenario.machine_name(),
                answer: &answer,
                acceptance: terms.acceptance,
                reserve_stated,
                units: *units,
            };
            let why = refused(&told, refusal);
            return Ok(Pieces::None(format!("This machine has neither sleeve nor extension. {why}")));
        }
    };
    let values = [(key!(AbutmentStatement, sleeve), made), (key!(AbutmentStatement, extension), made)];
    Ok(Pieces::Recommended(opened.having(&values, &options.cast.scenario)))
}

/// The machine with the extension as it is to be made.
fn with_extension(machine: &MachineStatement, parts: &Parts) -> MachineStatement {
    let mut machine = machine.clone();
    let abutment = &mut machine.abutment;
    if let Some(piece) = &parts.extension {
        abutment.socket = Some(Length(piece.socket()));
        abutment.extension_outside = Some(Length(piece.outside));
        let flush = abutment.bare_gap.map(|gap| Length(gap.0 + nut_height(&parts.thread)));
        abutment.rod_end = abutment.rod_end.or(flush);
    }
    machine
}

/// How far the sleeve may be longer or shorter until a limit is missed, m; none where it keeps not all, or nothing tells.
fn room((machine, cast): (&MachineStatement, Cast), terms: &Terms) -> Result<Option<f64>, Vec<Fault>> {
    let question = Question { stated: machine, casts: &[cast], terms: *terms, tolerance: 0.0 };
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
    let progress = Progress::start("fitting the sleeve", (STUDY_POINTS * TRIES) as u64);
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
        Sleeve::CalledOff => Err(Failure::CalledOff),
        Sleeve::NotInPlay | Sleeve::NothingToKeep => Err(Failure::Plain(
            "--study: there is no verdict that hangs on the sleeve here; leave --study out, or state a cast that the latch serves"
                .to_owned(),
        )),
    }
}
