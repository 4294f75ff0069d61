//! `latchstroke preload`: what does the rod nut do?

use super::args::PreloadOptions;
use super::{Failure, Outcome, judge, lists, open, pictures, say};
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::preload::{Nut, Question, study};
use latchstroke_report::preload::{self as words, Told, advances};
use latchstroke_scenario::Dimension;
use latchstroke_scenario::stated;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &PreloadOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let units = open::units(&options.scenario, &scenario);
    let machine = stated::machine(&scenario);
    let own = stated::cast(&scenario);
    let sort = match options.body.as_deref() {
        None => own.sort,
        Some(text) => match judge::sorts(&scenario, Some(text), &units)?.as_slice() {
            [sort] => *sort,
            _ => {
                return Err(Failure::Plain(format!(
                    "--body {text}: one size at a time here; write \"24pt\""
                )));
            }
        },
    };
    let cast = Cast { sort, pace: lists::one_pace(&scenario, options.pace.as_deref(), &units)? };
    let asked = options
        .preload
        .as_deref()
        .map(|text| lists::value("--for", text, Dimension::Force, units.force, "\"400 N\" or \"90 lbf\""))
        .transpose()?;
    let question = Question { stated: &machine, cast, terms: stated::terms(&scenario) };
    let faulty = |faults| open::as_mistakes(&scenario, faults);
    let nut = Nut::of(&machine, cast).map_err(faulty)?;
    let advances = advances(&nut, units.force);
    let answer = study(&question, nut, &advances, asked).map_err(faulty)?;
    let told = Told {
        machine: scenario.machine_name(),
        answer: &answer,
        acceptance: question.terms.acceptance,
        from_reference: machine.abutment.bare_gap.is_some(),
        length: scenario.quantity("stack.bare_gap").map_or(units.lift, |gap| gap.unit),
        units,
    };
    if options.pictures.folder.out.is_some() {
        let source = pictures::source(&scenario);
        pictures::write(&options.pictures, &scenario, &words::charts(&told, &source))?;
    }
    if options.json {
        say(&format!("{:#}\n", words::json(&told)))?;
    } else {
        say(&words::text(&told))?;
    }
    let works = match &answer.asked {
        Some((_, setting)) => setting.as_ref().is_some_and(|setting| setting.judgement.can_be_cast()),
        // As the judge has it: whether the machine as it stands casts this.
        None => answer.present().is_some_and(|setting| setting.judgement.can_be_cast()),
    };
    Ok(if works { Outcome::Done } else { Outcome::CannotWork })
}
