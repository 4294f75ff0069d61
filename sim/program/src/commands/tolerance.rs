//! `latchstroke tolerance`: what errors in the measurements do.

use super::args::ToleranceOptions;
use super::open::Opened;
use super::progress::Progress;
use super::{Failure, Outcome, answers};
use latchstroke_core::studies::judge::Verdict;
use latchstroke_core::studies::sensitivity::Design;
use latchstroke_core::studies::tolerance::{Input, Sleeve, sleeve, study};
use latchstroke_core::studies::watch::Watch;
use latchstroke_plots::Theme;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::tolerance::{self as words, Answer, charts, data};
use latchstroke_scenario::stated;
use latchstroke_scenario::stated::tolerance::inputs;
use latchstroke_scenario::{Dimension, Mistakes, Quantity, Scenario};

/// Fewer rows than this tell nothing of the causes.
const LEAST_ROWS: usize = 8;
/// One turn for the sleeve to so many of those asked for, at each tolerance tried, …
const SHARE_FOR_SLEEVE: usize = 10;
/// … but no fewer and no more than this.
const SLEEVE_TURNS: (usize, usize) = (20, 4000);
/// How many tolerances of the sleeve are usually tried.
const TRIES: usize = 12;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &ToleranceOptions) -> Result<Outcome, Failure> {
    let (opened, real) = Opened::judged(&options.cast)?;
    let Opened { scenario, units, cast, .. } = &opened;
    let chance = chance(&options.chance)?;
    let inputs = inputs_at_play(scenario)?;
    let design = design(inputs.len(), options)?;
    let progress = Progress::start("turning", design.evaluations() as u64);
    let pacing = opened.pacing(real);
    let case = stated::tolerance::case(scenario, pacing);
    let vary = |values: &[(&str, f64)]| stated::tolerance::varied(scenario, values, pacing);
    let study = study(&case, &vary, inputs, design, &progress).map_err(|faults| opened.faulty(faults))?;
    let is_known = study.stated.verdict != Verdict::NotKnown;
    if is_known && study.rows.is_empty() {
        progress.finish();
        return Err(Failure::CalledOff);
    }
    let turns = (design.evaluations() / SHARE_FOR_SLEEVE).clamp(SLEEVE_TURNS.0, SLEEVE_TURNS.1);
    progress.next("fitting the sleeve", (turns * TRIES) as u64);
    let sleeve = if progress.called_off() {
        Sleeve::CalledOff
    } else {
        let inputs = (&stated::tolerance::sleeve(scenario), &*study.inputs);
        let kept = (study.stated.verdict, chance);
        sleeve(&case, &vary, inputs, kept, (turns, design.seed), &progress)
    };
    progress.finish();
    let at_fault = study.impossible().1.map(|fault| scenario.told_at(fault));
    let answer = Answer {
        machine: scenario.machine_name().to_owned(),
        cast: *cast,
        real,
        study,
        written: scenario.doubts().into_iter().map(|doubt| doubt.quantity.clone()).collect(),
        chance,
        sleeve,
        sleeve_turns: turns,
        readings_left_out: scenario.readings_have_tolerances(),
        at_fault,
        exact: scenario.taken_for_exact(),
    };
    let (data, text) = (|| data::json(&answer), || words::text(&answer, units));
    if !is_known || progress.called_off() {
        // What is done is told; files are of a whole run.
        answers::tell(options.answer.json, data, text)?;
        return if is_known { Err(Failure::CalledOff) } else { Ok(Outcome::NotKnown) };
    }
    let draw = |theme: &Theme, outbox: &mut Outbox| {
        outbox.add("machines.csv", data::csv(&answer).map_err(Failure::plain)?);
        Ok(charts::draw(&answer, units, theme, outbox)?)
    };
    answers::answer(&options.answer, scenario, draw, data, text)?;
    Ok(answer.study.stated.verdict.into())
}

fn chance(text: &str) -> Result<f64, Failure> {
    let wrong = |why: &str| {
        Failure::Plain(format!("--chance {text}: {why}; write a chance from 1% to 99.9%, as in 95%"))
    };
    if !text.contains('%') {
        return Err(wrong("there is no % sign"));
    }
    let share = Quantity::parse(text, Dimension::Ratio).map_err(|error| wrong(&error.message))?.si;
    // To the hundredth of a per cent, without what the sign of per cent leaves in the last digits.
    let share = (share * 1e4).round() / 1e4;
    if (0.01..=0.999).contains(&share) { Ok(share) } else { Err(wrong("it is out of range")) }
}

/// The values that carry a tolerance.
fn inputs_at_play(scenario: &Scenario) -> Result<Vec<Input>, Failure> {
    let inputs = inputs(scenario);
    if inputs.is_empty() {
        let readings = if scenario.readings_have_tolerances() {
            " (those of cam.readings are left out here)"
        } else {
            ""
        };
        return Err(Failure::Plain(format!(
            "no value in {} carries a tolerance{readings}; write each with how far it may be off, as in sleeve = \"68 mm ± 0.5 mm\" or \"2 11/16 in +/- 1/64 in\"",
            scenario.file_name()
        )));
    }
    let mistakes = scenario.tolerances_out_of_range();
    if mistakes.is_empty() {
        Ok(inputs)
    } else {
        Err(Mistakes::new(scenario.file_name(), scenario.source(), mistakes).into())
    }
}

fn design(inputs: usize, options: &ToleranceOptions) -> Result<Design, Failure> {
    let least = LEAST_ROWS * (inputs + 2);
    Design::within(inputs, options.turns, options.seed).filter(|design| design.rows >= LEAST_ROWS).ok_or_else(
        || {
            Failure::Plain(format!(
                "--turns {}: {inputs} values at play want {least} turns or more",
                options.turns
            ))
        },
    )
}
