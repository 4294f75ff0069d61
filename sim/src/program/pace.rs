//! `latchstroke pace`: at which paces can each size be cast?

use super::args::PaceOptions;
use super::judge::sorts;
use super::{Failure, Outcome, open, say};
use latchstroke::report::charts;
use latchstroke::report::outbox::Outbox;
use latchstroke::report::owner::OwnerUnits;
use latchstroke::report::pace::{self as words, Answer, chart, data};
use latchstroke::scenario::Scenario;
use latchstroke::stated;
use latchstroke::studies::pace::{Terms, largest_size, size_paces};
use latchstroke::turn::Accuracy;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_plots::Theme;
use std::path::Path;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &PaceOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let units = OwnerUnits::of(&scenario);
    let machine = stated::machine(&scenario);
    let sorts = sorts(&scenario, options.body.as_deref(), &units)?;
    let answer =
        answer(&scenario, &machine, &sorts).map_err(|faults| open::as_mistakes(&scenario, faults))?;
    if let Some(folder) = &options.folder.out {
        write(folder, options, &scenario, &machine, &answer, &units)?;
    }
    if options.json {
        say(&format!("{:#}\n", data::json(&answer)))?;
    } else {
        say(&words::text(&answer, &units))?;
    }
    let all = answer.sizes.iter().all(latchstroke::studies::pace::SizePaces::can_be_cast);
    Ok(if all { Outcome::Done } else { Outcome::CannotWork })
}

fn terms(scenario: &Scenario) -> Terms {
    Terms {
        acceptance: stated::acceptance(scenario),
        shut: stated::shut_angle(scenario),
        accuracy: Accuracy::default(),
    }
}

fn answer(scenario: &Scenario, machine: &MachineStatement, sorts: &[Sort]) -> Result<Answer, Vec<Fault>> {
    let terms = terms(scenario);
    let own = stated::cast(scenario).sort;
    let proportion = own.set.0 / own.body.0;
    Ok(Answer {
        machine: scenario.text("machine.name").unwrap_or("The machine").to_owned(),
        shut: terms.shut,
        proportion,
        sizes: size_paces(machine, sorts, terms)?,
        largest_aside: largest_size(machine, proportion, LatchSetting::Aside, terms)?,
        largest_set: largest_size(machine, proportion, LatchSetting::Set, terms)?,
    })
}

fn write(
    folder: &Path,
    options: &PaceOptions,
    scenario: &Scenario,
    machine: &MachineStatement,
    answer: &Answer,
    units: &OwnerUnits,
) -> Result<(), Failure> {
    let plain = |error: &dyn std::error::Error| Failure::Plain(error.to_string());
    let mut outbox = Outbox::default();
    outbox.add("scenario.toml", scenario.resolved_toml());
    outbox.add("paces.csv", data::csv(&answer.sizes).map_err(|error| plain(&error))?);
    let curves = size_paces(machine, &chart::sizes(answer), terms(scenario))
        .map_err(|faults| open::as_mistakes(scenario, faults))?;
    let theme = if options.dark { Theme::dark() } else { Theme::light() };
    let source = format!("{}. Solved by latchstroke.", answer.machine);
    let chart = chart::paces(answer, &curves, units, &source);
    let omitted = charts::draw(&[("paces", chart)], &theme, &mut outbox).map_err(|error| plain(&error))?;
    outbox.send(folder, options.folder.force)?;
    for label in omitted {
        eprintln!("latchstroke: no room in a chart for {label}");
    }
    let names: Vec<&str> = outbox.names().collect();
    eprintln!("Wrote {} into {}.", names.join(", "), folder.display());
    Ok(())
}
