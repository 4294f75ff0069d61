//! `latchstroke judge`: is the latch needed?

use super::args::JudgeOptions;
use super::calibrate::believed;
use super::{Failure, Outcome, lists, open, say};
use latchstroke::report::judge::{Answer, Thresholds};
use latchstroke::report::owner::OwnerUnits;
use latchstroke::report::{json, judge as words};
use latchstroke::scenario::Scenario;
use latchstroke::stated;
use latchstroke::studies::judge::{
    Acceptance, Cast, Judgement, Onset, Verdict, judge_all, slowest_pace_aside, smallest_size_wanting_latch,
};
use latchstroke::studies::remedy::{Remedy, remedies};
use latchstroke::turn::Accuracy;
use latchstroke_models::fault::Fault;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};
use rayon::prelude::*;

/// More casts than this are better asked for in parts.
const MOST_CASTS: usize = 2000;

/// Runs the command.
///
/// # Errors
/// Bad input.
pub fn run(options: &JudgeOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let units = OwnerUnits::of(&scenario);
    let machine = stated::machine(&scenario);
    let acceptance = stated::acceptance(&scenario);
    let sorts = sorts(&scenario, options.body.as_deref(), &units)?;
    let paces = paces(&scenario, options.pace.as_deref(), &units)?;
    if sorts.len() * paces.len() > MOST_CASTS {
        let asked = sorts.len() * paces.len();
        return Err(Failure::Plain(format!(
            "{asked} casts are more than {MOST_CASTS}; ask for fewer sizes or paces"
        )));
    }
    let answer = answer(&scenario, &machine, acceptance, &sorts, &paces)
        .map_err(|faults| open::as_mistakes(&scenario, faults))?;
    if options.json {
        say(&format!("{:#}\n", json::answer(&answer, &units)))?;
    } else {
        say(&words::text(&answer, &units))?;
    }
    Ok(if answer.some_size_fails() { Outcome::CannotWork } else { Outcome::Done })
}

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

pub(super) fn paces(
    scenario: &Scenario,
    asked: Option<&str>,
    units: &OwnerUnits,
) -> Result<Vec<Pace>, Failure> {
    let mut all = match asked {
        Some(text) => lists::paces(text, units.pace)?,
        None => match scenario.list("job.paces") {
            [] => vec![stated::cast(scenario).pace.0],
            paces => paces.iter().map(|pace| pace.si).collect(),
        },
    };
    let mut seen: Vec<f64> = Vec::new();
    all.retain(|pace| {
        !seen.contains(pace) && {
            seen.push(*pace);
            true
        }
    });
    Ok(all.into_iter().map(Pace).collect())
}

fn answer(
    scenario: &Scenario,
    machine: &MachineStatement,
    acceptance: Acceptance,
    sorts: &[Sort],
    paces: &[Pace],
) -> Result<Answer, Vec<Fault>> {
    let accuracy = Accuracy::default();
    let casts: Vec<Cast> =
        sorts.iter().flat_map(|&sort| paces.iter().map(move |&pace| Cast { sort, pace })).collect();
    let judgements = judge_all(machine, &casts, acceptance, accuracy)?;
    let slowest: Vec<(Sort, Onset)> = sorts
        .par_iter()
        .map(|&sort| Ok((sort, slowest_pace_aside(machine, sort, acceptance, accuracy)?)))
        .collect::<Result<_, Vec<Fault>>>()?;
    let pace = stated::cast(scenario).pace;
    let sizes: Vec<(f64, Onset)> = [0.5, 1.0, 2.0]
        .par_iter()
        .map(|factor| {
            let acceptance = Acceptance { skin: factor * acceptance.skin, ..acceptance };
            Ok((acceptance.skin, smallest_size_wanting_latch(machine, pace, acceptance, accuracy)?))
        })
        .collect::<Result<_, Vec<Fault>>>()?;
    let remedies: Vec<(Cast, Vec<Remedy>)> = sorts
        .iter()
        .filter_map(|&sort| nearest_failure(&judgements, sort))
        .map(|cast| Ok((cast, remedies(machine, cast, acceptance, accuracy)?)))
        .collect::<Result<_, Vec<Fault>>>()?;
    Ok(Answer {
        machine: scenario.text("machine.name").unwrap_or("The machine").to_owned(),
        acceptance,
        judgements,
        slowest,
        thresholds: Some(Thresholds { pace: pace.0, sizes }),
        remedies,
        sureness: believed(scenario, machine)?
            .map(|posterior| posterior.confidence(machine, &casts))
            .transpose()?,
    })
}

/// The fastest pace at which neither setting does for a size: the failure nearest to working.
fn nearest_failure(judgements: &[Judgement], sort: Sort) -> Option<Cast> {
    judgements
        .iter()
        .filter(|j| j.cast.sort == sort && j.verdict == Verdict::Neither)
        .map(|j| j.cast)
        .max_by(|a, b| a.pace.0.total_cmp(&b.pace.0))
}
