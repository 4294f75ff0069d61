//! `latchstroke wrong`: what may be wrong, from what is seen or heard?

use super::args::{LatchOption, WrongOptions};
use super::open::Opened;
use super::{Failure, Outcome, say};
use latchstroke_core::studies::judge::judge;
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::wrong::{Answer, Found, Question};
use latchstroke_models::latch::LatchSetting;
use latchstroke_report::cautions;
use latchstroke_report::wrong::{self as words, Told};
use latchstroke_scenario::stated::tolerance;

/// Runs the command.
///
/// # Errors
/// Bad input.
pub fn run(options: &WrongOptions) -> Result<Outcome, Failure> {
    let Some(saw) = &options.saw else {
        say(&format!("What may be seen or heard, for --saw:\n{}", words::list()))?;
        return Ok(Outcome::Done);
    };
    let sight = words::sight(saw).map_err(Failure::Plain)?;
    let (opened, _) = Opened::judged(&options.cast)?;
    let setting = match options.latch {
        Some(LatchOption::Set) => LatchSetting::Set,
        Some(LatchOption::Aside) => LatchSetting::Aside,
        None if sight.is_of_latch() => LatchSetting::Set,
        None => judge(&opened.machine, opened.cast, &opened.terms)
            .map_err(|faults| opened.faulty(faults))?
            .advised(),
    };
    let (suspects, case) = (opened.scenario.suspects(), tolerance::case(&opened.scenario, Pacing::Fixed));
    let vary = |values: &[(&str, f64)]| tolerance::varied(&opened.scenario, values, Pacing::Fixed);
    let question = Question { vary: &vary, case: &case, suspects: &suspects, sight, setting };
    let answer = question.answer().map_err(|faults| opened.faulty(faults))?;
    let told = Told {
        scenario: &opened.scenario,
        cast: opened.cast,
        sight,
        setting,
        suspects: &suspects,
        answer: &answer,
        units: &opened.units,
    };
    if options.json {
        say(&format!("{:#}\n", words::json(&told)))?;
    } else {
        say(&(words::text(&told) + "\n" + &cautions::text()))?;
    }
    Ok(match &answer {
        Answer::NotKnown(_) => Outcome::NotKnown,
        Answer::Causes(Found { causes, unsolved }) if causes.is_empty() => {
            if unsolved.is_empty() {
                Outcome::CannotWork
            } else {
                Outcome::NotKnown
            }
        }
        Answer::AsStated(_) | Answer::Causes(_) => Outcome::Done,
    })
}
