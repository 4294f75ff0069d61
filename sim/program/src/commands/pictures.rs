//! Charts into a folder, beside the scenario they were drawn from.

use super::Failure;
use super::args::{PictureOptions, PictureSize};
use latchstroke_plots::{Format, Picture, PlotError, Theme};
use latchstroke_report::charts;
use latchstroke_report::outbox::Outbox;
use latchstroke_scenario::Scenario;

/// The line at a chart's foot.
pub fn source(scenario: &Scenario) -> String {
    format!("{}. Solved by latchstroke.", scenario.machine_name())
}

impl PictureOptions {
    /// The theme asked for.
    pub fn theme(&self) -> Theme {
        theme(self.dark, self.size)
    }
}

/// The theme of pictures light on dark or dark on light, for a screen or a page.
pub fn theme(dark: bool, size: PictureSize) -> Theme {
    let theme = if dark { Theme::dark() } else { Theme::light() };
    theme.in_format(match size {
        PictureSize::Screen => Format::Screen,
        PictureSize::Print => Format::Print,
    })
}

impl From<PlotError> for Failure {
    fn from(error: PlotError) -> Self {
        Self::Plain(error.to_string())
    }
}

/// An outbox with the resolved scenario in it.
pub fn outbox(scenario: &Scenario) -> Outbox {
    let mut outbox = Outbox::default();
    outbox.add("scenario.toml", scenario.resolved_toml());
    outbox
}

/// Writes the resolved scenario and each chart, as PNG and SVG, into the folder asked for, if any, and says so on standard error.
///
/// # Errors
/// When a chart cannot be drawn or a file not written; nothing is then left half-written.
pub fn write(
    options: &PictureOptions,
    scenario: &Scenario,
    all: &[(&str, impl Picture)],
) -> Result<(), Failure> {
    let mut outbox = outbox(scenario);
    let omitted = charts::draw(all, &options.theme(), &mut outbox)?;
    send(options, &outbox, &omitted)
}

/// Writes what an outbox holds into the folder asked for, if any, and says so on standard error; also which names had no room in a
/// chart.
///
/// # Errors
/// When a file cannot be written; nothing is then left half-written.
pub fn send(options: &PictureOptions, outbox: &Outbox, omitted: &[String]) -> Result<(), Failure> {
    let Some(folder) = &options.folder.out else { return Ok(()) };
    outbox.send(folder, options.folder.force)?;
    for label in omitted {
        eprintln!("latchstroke: no room in a chart for {label}");
    }
    let names: Vec<&str> = outbox.names().collect();
    eprintln!("Wrote {} into {}.", names.join(", "), folder.display());
    Ok(())
}
