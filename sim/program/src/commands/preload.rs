//! `latchstroke preload`: what does the rod nut do?

use super::args::PreloadOptions;
use super::{Failure, Outcome, lists, open, pictures, say};
use latchstroke_core::studies::preload::{Nut, Question, study};
use latchstroke_report::preload::{self as words, Told, advances};
use latchstroke_scenario::Dimension;
use latchstroke_scenario::stated;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &PreloadOptions) -> Result<Outcome, Failure> {
    let (scenario, real) =
        open::scenario_judged(&options.scenario, options.body.as_deref(), options.pace.as_deref())?;
    let units = open::units(&options.scenario, &scenario);
    let (machine, cast) = (stated::machine(&scenario), stated::cast(&scenario));
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
        real,
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
    // As the judge has it: whether the machine casts this with the preload asked for, or as it stands.
    let setting = match &answer.asked {
        Some((_, setting)) => setting.as_ref(),
        None => answer.present(),
    };
    Ok(setting.map_or(Outcome::CannotWork, |setting| Outcome::of([&setting.judgement])))
}
