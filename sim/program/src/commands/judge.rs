//! `latchstroke judge`: is the latch needed?

use super::args::JudgeOptions;
use super::doubts;
use super::{Failure, Outcome, lists, open, say};
use latchstroke_core::studies::job::{Answer, Job};
use latchstroke_core::studies::judge::Judgement;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};
use latchstroke_report::judge::{self as words, Report, data};
use latchstroke_report::owner::OwnerUnits;
use latchstroke_scenario::Scenario;
use latchstroke_scenario::stated;

/// More casts than this are better asked for in parts.
const MOST_CASTS: usize = 2000;

/// Runs the command.
///
/// # Errors
/// Bad input.
pub fn run(options: &JudgeOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let units = open::units(&options.scenario, &scenario);
    let (machine, terms, own) =
        (stated::machine(&scenario), stated::terms(&scenario), stated::cast(&scenario));
    let sorts = sorts(&scenario, options.body.as_deref(), &units)?;
    let paces = paces(options.pace.as_deref(), &units)?;
    let asked = sorts.len() * paces.as_ref().map_or(1, Vec::len);
    if asked > MOST_CASTS {
        return Err(Failure::Plain(format!(
            "{asked} casts are more than {MOST_CASTS}; ask for fewer sizes or paces"
        )));
    }
    let job = Job {
        stated: &machine,
        terms: &terms,
        fastest: stated::fastest_pace(&scenario),
        sorts: &sorts,
        proportion: own.sort.set.0 / own.sort.body.0,
        paces: paces.as_deref(),
    };
    let faulty = |faults| open::as_mistakes(&scenario, faults);
    let prepared = Machine::prepare(&machine, own.sort, own.pace, LatchSetting::Set).map_err(faulty)?;
    let answer = job.answer().map_err(faulty)?;
    let doubts = doubts::of(&scenario, &job, &answer).map_err(faulty)?;
    let report = Report {
        machine: scenario.machine_name(),
        prepared: &prepared,
        job: &job,
        answer: &answer,
        doubts: &doubts,
        units: &units,
    };
    if options.json {
        say(&format!("{:#}\n", data::json(&report)))?;
    } else {
        say(&words::text(&report))?;
    }
    Ok(Outcome::of(judgements(&answer)))
}

fn judgements(answer: &Answer) -> impl Iterator<Item = &Judgement> {
    answer.sizes.iter().flat_map(|size| &size.judgements)
}

/// The sizes asked for, each once, or those of the scenario.
pub(super) fn sorts(
    scenario: &Scenario,
    asked: Option<&str>,
    units: &OwnerUnits,
) -> Result<Vec<Sort>, Failure> {
    let own = stated::cast(scenario).sort;
    let bodies = match asked {
        Some(text) => lists::sizes(text, units.body)?,
        None => match scenario.list("job.sizes") {
            [] => vec![own.body.0],
            sizes => sizes.iter().map(|size| size.si).collect(),
        },
    };
    let proportion = own.set.0 / own.body.0;
    let mut sorts: Vec<Sort> = Vec::new();
    for body in bodies {
        let sort = Sort { body: Length(body), set: Length(body * proportion) };
        if !sorts.contains(&sort) {
            sorts.push(sort);
        }
    }
    Ok(sorts)
}

/// The paces asked for, each once; none where each size is to be judged at its real pace.
pub(super) fn paces(asked: Option<&str>, units: &OwnerUnits) -> Result<Option<Vec<Pace>>, Failure> {
    let Some(text) = asked else { return Ok(None) };
    let mut all: Vec<Pace> = Vec::new();
    for pace in lists::paces(text, units.pace)? {
        if !all.contains(&Pace(pace)) {
            all.push(Pace(pace));
        }
    }
    Ok(Some(all))
}
