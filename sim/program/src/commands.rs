//! The commands, thin over the library.

mod answers;
pub mod args;
pub mod calibrate;
pub mod check;
mod doubts;
pub mod film;
pub mod fit;
pub mod hand_on;
pub mod handout;
pub mod judge;
pub mod listen;
mod lists;
pub mod live;
pub mod measure;
pub mod new;
mod open;
pub mod pace;
pub mod parts;
pub mod preload;
mod progress;
pub mod reading;
pub mod signals;
pub mod sleeve;
pub mod talk;
pub mod tolerance;
pub mod turn;
pub mod warm;
pub mod wrong;

use latchstroke_core::Sort;
use latchstroke_core::studies::judge::{Judgement, Verdict};
use latchstroke_report::outbox::OutboxError;
use latchstroke_scenario::{Look, Mistakes};
use std::io::{self, Write};
use std::process::ExitCode;

/// The exit code of a command that did nothing.
pub const BAD_INPUT: u8 = 2;

/// Says what the command line itself asks for, such as help, or what is wrong with it.
pub fn of_clap(answer: &clap::Error) -> ExitCode {
    match answer.print() {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => ExitCode::from(BAD_INPUT),
        _ => ExitCode::from(u8::try_from(answer.exit_code()).unwrap_or(BAD_INPUT)),
    }
}

/// How a command ended, the worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// It did what was asked, and the answer is that it cannot work.
    CannotWork,
    /// It did what was asked, and there is no answer: a turn could not be solved so that it can be trusted.
    NotKnown,
    /// It did what was asked.
    Done,
}

impl Outcome {
    /// How it is with the casts judged: for each size the best of its paces, and of the sizes the worst.
    pub fn of<'a>(judgements: impl IntoIterator<Item = &'a Judgement>) -> Self {
        let mut sizes: Vec<(Sort, Self)> = Vec::new();
        for judgement in judgements {
            let here = Self::from(judgement.verdict);
            match sizes.iter_mut().find(|(sort, _)| *sort == judgement.cast.sort) {
                Some((_, best)) => *best = here.max(*best),
                None => sizes.push((judgement.cast.sort, here)),
            }
        }
        sizes.into_iter().map(|(_, best)| best).min().unwrap_or(Self::Done)
    }

    /// Done where it works.
    pub fn works(works: bool) -> Self {
        if works { Self::Done } else { Self::CannotWork }
    }

    /// The exit code.
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::CannotWork => 1,
            Self::NotKnown => 3,
        }
    }
}

/// `latchstroke cautions`: what to mind at the machine.
///
/// # Errors
/// When standard output cannot be written.
pub fn cautions() -> Result<Outcome, Failure> {
    say(&latchstroke_report::cautions::text())?;
    Ok(Outcome::Done)
}

impl From<Verdict> for Outcome {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::LeaveAside | Verdict::Set => Self::Done,
            Verdict::Neither => Self::CannotWork,
            Verdict::NotKnown => Self::NotKnown,
        }
    }
}

/// Why a command did nothing.
#[derive(Debug)]
pub enum Failure {
    /// The scenario has mistakes.
    Mistakes(Mistakes),
    /// An argument or a file is not usable: what is wrong, and what would be right.
    Plain(String),
    /// The work was called off by its owner.
    CalledOff,
    /// Several reasons, told one after the other.
    Several(Vec<Self>),
}

impl Failure {
    /// An error in its own words.
    pub fn plain(error: impl std::fmt::Display) -> Self {
        Self::Plain(error.to_string())
    }

    /// Says it on standard error.
    pub fn tell(&self) {
        let text = match self {
            Self::Mistakes(mistakes) => mistakes.render(Look::for_stderr(), 100),
            Self::Plain(text) => format!("latchstroke: {}\n", printable(text)),
            Self::CalledOff => "latchstroke: called off; nothing was written\n".to_owned(),
            Self::Several(all) => return all.iter().for_each(Self::tell),
        };
        // With standard error gone there is nobody left to tell.
        let _ = io::stderr().write_all(text.as_bytes());
    }
}

/// Both answers, or why there is none of either.
///
/// # Errors
/// What is wrong with one of them, or with both.
pub fn both<A, B>(one: Result<A, Failure>, other: Result<B, Failure>) -> Result<(A, B), Failure> {
    match (one, other) {
        (Ok(one), Ok(other)) => Ok((one, other)),
        (Err(one), Err(other)) => Err(Failure::Several(vec![one, other])),
        (Err(failure), _) | (_, Err(failure)) => Err(failure),
    }
}

/// A text with what a terminal would obey, and not print, shown as a mark.
fn printable(text: &str) -> String {
    text.replace(|c: char| c.is_control() && c != '\n', "\u{fffd}")
}

impl From<Mistakes> for Failure {
    fn from(mistakes: Mistakes) -> Self {
        Self::Mistakes(mistakes)
    }
}

impl From<OutboxError> for Failure {
    fn from(error: OutboxError) -> Self {
        Self::plain(error)
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

#[cfg(test)]
mod tests {
    use super::*;
    use latchstroke_core::studies::judge::judge;
    use latchstroke_scenario::{read, stated};

    /// The demo's cast with a verdict put upon it.
    fn judged(points: f64, verdict: Verdict) -> Judgement {
        let demo = include_str!("../../../scenarios/large_initials.toml");
        let body = format!("{}={points} pt", latchstroke_scenario::key!(Sort, body));
        let scenario = read("demo", demo, &[latchstroke_scenario::Override::parse(&body)]).expect("the demo");
        let (machine, terms) = (stated::machine(&scenario), stated::terms(&scenario));
        let judgement = judge(&machine, stated::cast(&scenario), &terms).expect("a valid machine");
        Judgement { verdict, ..judgement }
    }

    #[test]
    fn a_size_is_as_good_as_its_best_pace_and_all_as_the_worst_size() {
        use Verdict::{LeaveAside, Neither, NotKnown, Set};
        let code = |all: &[(f64, Verdict)]| {
            let judgements: Vec<Judgement> = all.iter().map(|&(points, of)| judged(points, of)).collect();
            Outcome::of(&judgements).code()
        };
        assert_eq!(code(&[(14.0, LeaveAside), (18.0, Set)]), 0);
        assert_eq!(code(&[(14.0, Neither), (14.0, Set)]), 0);
        assert_eq!(code(&[(14.0, Neither), (14.0, NotKnown)]), 3);
        assert_eq!(code(&[(14.0, NotKnown), (18.0, Neither)]), 1);
        assert_eq!(code(&[(14.0, NotKnown), (14.0, LeaveAside), (18.0, NotKnown)]), 3);
    }
}
