//! `latchstroke live`: one page that solves the machine itself.

use super::args::{LiveOptions, Measures};
use super::open::Opened;
use super::{Failure, Outcome, answers, say};
use latchstroke_core::studies::judge::judge;
use latchstroke_page::Measures as PageMeasures;
use latchstroke_page::html::{Given, page};
use latchstroke_report::outbox::Outbox;
use latchstroke_report::{cautions, limits};
use latchstroke_scenario::{Override, Scenario, read};

/// Runs the command.
///
/// # Errors
/// Bad input, or a file that cannot be written.
pub fn run(options: &LiveOptions) -> Result<Outcome, Failure> {
    let opened = Opened::new(&options.scenario)?;
    let Opened { scenario, units, machine, terms, cast, .. } = &opened;
    let judgement = judge(machine, *cast, terms).map_err(|faults| opened.faulty(faults))?;
    let (text, sets) = alone(scenario, &options.scenario.set);
    // Only the file's own name goes along, not the folders it lies in.
    let file = options.scenario.scenario.as_ref();
    let file = file.map(|path| path.file_name().map_or_else(String::new, |name| name.display().to_string()));
    let given = Given {
        machine: scenario.machine_name(),
        name: file.as_deref().unwrap_or(scenario.file_name()),
        file: file.as_deref(),
        text: &text,
        sets: &sets,
        units: options.scenario.units.map(|measures| match measures {
            Measures::Metric => PageMeasures::Metric,
            Measures::Inch => PageMeasures::Inch,
        }),
    };
    answers::file(Outbox::sparing(scenario.files()), &options.out, page(&given), options.force)?;
    eprintln!("Wrote {}. Open it in any current browser; it needs no network.", options.out.display());
    say(&format!("{}.\n\n{}", limits::headline(&judgement, units), cautions::short()))?;
    Ok(Outcome::of([&judgement]))
}

/// A scenario's text that needs no other file, and the values to put in its place: as it stands, or resolved where it names a table
/// beside it.
fn alone(scenario: &Scenario, sets: &[String]) -> (String, Vec<String>) {
    let overrides: Vec<Override> = sets.iter().map(|set| Override::parse(set)).collect();
    match read(scenario.file_name(), scenario.source(), &overrides) {
        Ok(_) => (scenario.source().to_owned(), sets.to_vec()),
        Err(_) => (scenario.resolved_toml(), Vec::new()),
    }
}
