//! Answers said, and written into a folder beside the scenario they come from.

use super::args::{AnswerOptions, LookOptions, PaperSize, PictureSize};
use super::{Failure, say};
use latchstroke_plots::page::Paper;
use latchstroke_plots::{Format, PlotError, Theme};
use latchstroke_report::outbox::Outbox;
use latchstroke_scenario::Scenario;
use std::fmt::Display;
use std::path::Path;

/// The line at a chart's foot.
pub fn source(scenario: &Scenario) -> String {
    format!("{}. Solved by latchstroke.", scenario.machine_name())
}

impl LookOptions {
    /// The theme asked for.
    pub fn theme(&self) -> Theme {
        theme(self.dark).in_format(match self.size {
            PictureSize::Screen => Format::Screen,
            PictureSize::Print => Format::Print,
        })
    }
}

impl PaperSize {
    /// The paper asked for.
    pub fn paper(self) -> Paper {
        match self {
            Self::A4 => Paper::A4,
            Self::Letter => Paper::Letter,
        }
    }
}

/// The theme of pictures light on dark or dark on light, for a screen.
pub fn theme(dark: bool) -> Theme {
    if dark { Theme::dark() } else { Theme::light() }
}

impl From<PlotError> for Failure {
    fn from(error: PlotError) -> Self {
        Self::plain(error)
    }
}

/// Gives an answer: draws its pictures and tables into the folder asked for, if any, beside the resolved scenario, and says it, as
/// data or in words. `draw` fills the outbox and names the labels for which there was no room.
///
/// # Errors
/// When something cannot be drawn or written; nothing is then left half-written.
pub fn answer<D: Display>(
    options: &AnswerOptions,
    scenario: &Scenario,
    draw: impl FnOnce(&Theme, &mut Outbox) -> Result<Vec<String>, Failure>,
    data: impl FnOnce() -> D,
    words: impl FnOnce() -> String,
) -> Result<(), Failure> {
    if let Some(folder) = &options.out {
        let mut outbox = outbox(scenario);
        let omitted = draw(&options.look.theme(), &mut outbox)?;
        send(&outbox, folder, options.force, &omitted)?;
    }
    tell(options.json, data, words)
}

/// Says an answer as data or in words.
///
/// # Errors
/// When standard output cannot be written.
pub fn tell<D: Display>(
    json: bool,
    data: impl FnOnce() -> D,
    words: impl FnOnce() -> String,
) -> Result<(), Failure> {
    say(&if json { format!("{:#}\n", data()) } else { words() })
}

/// An outbox with the resolved scenario in it.
pub fn outbox(scenario: &Scenario) -> Outbox {
    let mut outbox = Outbox::sparing(scenario.files());
    outbox.add("scenario.toml", scenario.resolved_toml());
    outbox
}

/// Writes one file that was named into a folder that is there, through an outbox with nothing in it.
///
/// # Errors
/// When the name is none of a file, or it cannot be written; nothing is then left half-written.
pub fn file(mut outbox: Outbox, path: &Path, bytes: impl Into<Vec<u8>>, force: bool) -> Result<(), Failure> {
    let Some(name) = path.file_name().and_then(|name| name.to_str()) else {
        return Err(Failure::Plain(format!("{} names no file; name one to write", path.display())));
    };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Err(Failure::Plain(format!(
            "there is no folder {}; make it first, or name another",
            folder.display()
        )));
    }
    outbox.add(name, bytes);
    Ok(outbox.send(folder, force)?)
}

/// Writes what an outbox holds into a folder and says so on standard error; also which names had no room in a picture.
///
/// # Errors
/// When a file cannot be written; nothing is then left half-written.
pub fn send(outbox: &Outbox, folder: &Path, force: bool, omitted: &[String]) -> Result<(), Failure> {
    outbox.send(folder, force)?;
    for label in omitted {
        eprintln!("latchstroke: no room in a picture for {label}");
    }
    let names: Vec<&str> = outbox.names().collect();
    eprintln!("Wrote {} into {}.", names.join(", "), folder.display());
    Ok(())
}
