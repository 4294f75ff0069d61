//! The commands, thin over the library.

pub mod args;
pub mod calibrate;
pub mod check;
pub mod film;
pub mod handout;
pub mod judge;
mod lists;
pub mod new;
mod open;
pub mod pace;
pub mod parts;
mod pictures;
pub mod preload;
mod progress;
pub mod sleeve;
pub mod talk;
pub mod tolerance;
pub mod turn;
pub mod warm;

use latchstroke_report::outbox::OutboxError;
use latchstroke_scenario::{Look, Mistakes};
use std::io::{self, Write};

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It did what was asked.
    Done,
    /// It did what was asked, and the answer is that it cannot work.
    CannotWork,
}

/// Why a command did nothing.
#[derive(Debug)]
pub enum Failure {
    /// The scenario has mistakes.
    Mistakes(Mistakes),
    /// An argument or a file is not usable: what is wrong, and what would be right.
    Plain(String),
}

impl Failure {
    /// Says it on standard error.
    pub fn tell(&self) {
        let text = match self {
            Self::Mistakes(mistakes) => mistakes.render(Look::for_stderr(), 100),
            Self::Plain(text) => format!("latchstroke: {text}\n"),
        };
        // With standard error gone there is nobody left to tell.
        let _ = io::stderr().write_all(text.as_bytes());
    }
}

impl From<Mistakes> for Failure {
    fn from(mistakes: Mistakes) -> Self {
        Self::Mistakes(mistakes)
    }
}

impl From<OutboxError> for Failure {
    fn from(error: OutboxError) -> Self {
        Self::Plain(error.to_string())
    }
}

/// Writes a result to standard output. A reader that has gone away, such as a pager that was closed, is no failure.
///
/// # Errors
/// When the system refuses for another reason.
pub fn say(text: &str) -> Result<(), Failure> {
    match io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(Failure::Plain(format!("cannot write to standard output: {error}")))
        }
        _ => Ok(()),
    }
}
