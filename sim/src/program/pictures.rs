//! Charts into a folder, beside the scenario they were drawn from.

use super::Failure;
use super::args::FolderOptions;
use latchstroke::report::charts;
use latchstroke::report::outbox::Outbox;
use latchstroke::scenario::Scenario;
use latchstroke_plots::{LineChart, Theme};

/// The line at a chart's foot.
pub fn source(scenario: &Scenario) -> String {
    format!("{}. Solved by latchstroke.", scenario.text("machine.name").unwrap_or("The machine"))
}

/// Writes the resolved scenario and each chart, as PNG and SVG, into the folder asked for, if any, and says so on standard error.
/// `dark` draws them light on dark.
///
/// # Errors
/// When a chart cannot be drawn or a file not written; nothing is then left half-written.
pub fn write(
    options: &FolderOptions,
    dark: bool,
    scenario: &Scenario,
    all: &[(&str, LineChart)],
) -> Result<(), Failure> {
    let Some(folder) = &options.out else { return Ok(()) };
    let mut outbox = Outbox::default();
    outbox.add("scenario.toml", scenario.resolved_toml());
    let theme = if dark { Theme::dark() } else { Theme::light() };
    let omitted =
        charts::draw(all, &theme, &mut outbox).map_err(|error| Failure::Plain(error.to_string()))?;
    outbox.send(folder, options.force)?;
    for label in omitted {
        eprintln!("latchstroke: no room in a chart for {label}");
    }
    let names: Vec<&str> = outbox.names().collect();
    eprintln!("Wrote {} into {}.", names.join(", "), folder.display());
    Ok(())
}
