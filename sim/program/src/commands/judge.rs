//! `latchstroke judge`: is the latch needed?

use super::args::JudgeOptions;
use super::doubts;
use super::open::Opened;
use super::{Failure, Outcome, answers, lists};
use latchstroke_core::studies::job::{Answer, Depth, Job};
use latchstroke_core::studies::judge::Judgement;
use latchstroke_models::latch::LatchSetting;
use latchstroke_report::judge::{self as words, Report, data};
use latchstroke_scenario::stated;

/// More casts than this are better asked for in parts.
const MOST_CASTS: usize = 2000;

/// Runs the command.
///
/// # Errors
/// Bad input.
pub fn run(options: &JudgeOptions) -> Result<Outcome, Failure> {
    let opened = Opened::new(&options.casts.sizes.scenario)?;
    let Opened { scenario, units, machine, terms, .. } = &opened;
    let (sorts, paces) = opened.sorts_and_paces(&options.casts)?;
    lists::at_most(sorts.len() * paces.as_ref().map_or(1, Vec::len), MOST_CASTS, "the table")?;
    let job = Job {
        stated: machine,
        terms,
        fastest: stated::fastest_pace(scenario),
        sorts: &sorts,
        proportion: opened.proportion(),
        paces: paces.as_deref(),
    };
    let depth = if options.more || options.json { Depth::Whole } else { Depth::Verdicts };
    let faulty = |faults| opened.faulty(faults);
    let prepared = opened.prepared(LatchSetting::Set)?;
    let answer = job.answer(depth).map_err(faulty)?;
    let doubts = doubts::of(scenario, &job, &answer).map_err(faulty)?;
    let report = Report {
        machine: scenario.machine_name(),
        prepared: &prepared,
        job: &job,
        answer: &answer,
        doubts: &doubts,
        units,
    };
    answers::tell(options.json, || data::json(&report), || words::text(&report, options.more))?;
    Ok(Outcome::of(judgements(&answer)))
}

fn judgements(answer: &Answer) -> impl Iterator<Item = &Judgement> {
    answer.sizes.iter().flat_map(|size| &size.judgements)
}
