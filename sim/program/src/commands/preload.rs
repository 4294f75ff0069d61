//! `latchstroke preload`: what does the adjusting nut do?

use super::args::PreloadOptions;
use super::open::Opened;
use super::{Failure, Outcome, answers, lists};
use latchstroke_core::studies::preload::{Nut, Question, study};
use latchstroke_plots::Theme;
use latchstroke_report::charts;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::preload::{self as words, Told, advances};
use latchstroke_scenario::Dimension;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &PreloadOptions) -> Result<Outcome, Failure> {
    let (opened, real) = Opened::judged(&options.cast)?;
    let Opened { scenario, units, machine, terms, cast, .. } = &opened;
    let read = |text| lists::value("--for", text, Dimension::Force, units.force, "\"400 N\" or \"90 lbf\"");
    let asked = options.preload.as_deref().map(read).transpose()?;
    let question = Question { stated: machine, cast: *cast, terms: *terms };
    let faulty = |faults| opened.faulty(faults);
    let nut = Nut::of(machine, *cast).map_err(faulty)?;
    let advances = advances(&nut, units.force);
    let answer = study(&question, nut, &advances, asked).map_err(faulty)?;
    let told = Told {
        machine: scenario.machine_name(),
        answer: &answer,
        real,
        acceptance: terms.acceptance,
        from_reference: machine.abutment.bare_gap.is_some(),
        units: *units,
    };
    let draw = |theme: &Theme, outbox: &mut Outbox| {
        outbox.add("preloads.csv", words::csv(&told).map_err(Failure::plain)?);
        Ok(charts::draw(&words::charts(&told, &answers::source(scenario)), theme, outbox)?)
    };
    answers::answer(&options.answer, scenario, draw, || words::json(&told), || words::text(&told))?;
    // As the judge has it: whether the machine casts this with the preload asked for, or as it stands.
    let setting = match &answer.asked {
        Some((_, setting)) => setting.as_ref(),
        None => answer.present(),
    };
    Ok(setting.map_or(Outcome::CannotWork, |setting| Outcome::of([&setting.judgement])))
}
