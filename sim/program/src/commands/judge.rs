//! `latchstroke judge`: is the latch needed?

use super::args::JudgeOptions;
use super::calibrate::believed;
use super::{Failure, Outcome, lists, open, say};
use latchstroke_core::studies::cooling::{Cooling, fastest_solid};
use latchstroke_core::studies::judge::{
    Acceptance, Appraisal, Cast, Onset, Terms, appraise_all, slowest_pace_aside, smallest_size_wanting_latch,
};
use latchstroke_core::studies::real_pace::{RealPace, coolings, real_pace};
use latchstroke_core::studies::remedy::remedies;
use latchstroke_core::turn::Accuracy;
use latchstroke_models::fault::Fault;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};
use latchstroke_report::judge::{self as words, Answer, Size, Thresholds, data};
use latchstroke_report::owner::OwnerUnits;
use latchstroke_scenario::Scenario;
use latchstroke_scenario::stated;
use rayon::prelude::*;

/// More casts than this are better asked for in parts.
const MOST_CASTS: usize = 2000;

/// Runs the command.
///
/// # Errors
/// Bad input.
pub fn run(options: &JudgeOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let units = open::units(&options.scenario, &scenario);
    let machine = stated::machine(&scenario);
    let sorts = sorts(&scenario, options.body.as_deref(), &units)?;
    let paces = paces(options.pace.as_deref(), &units)?;
    let asked = sorts.len() * paces.as_ref().map_or(1, Vec::len);
    if asked > MOST_CASTS {
        return Err(Failure::Plain(format!(
            "{asked} casts are more than {MOST_CASTS}; ask for fewer sizes or paces"
        )));
    }
    let answer = answer(&scenario, &machine, &sorts, paces.as_deref())
        .map_err(|faults| open::as_mistakes(&scenario, faults))?;
    if options.json {
        say(&format!("{:#}\n", data::json(&answer, &units)))?;
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

/// A size, how it cools, and the pace it is really cast at.
struct Cooled {
    sort: Sort,
    cooling: Option<Cooling>,
    real: RealPace,
}

fn answer(
    scenario: &Scenario,
    machine: &MachineStatement,
    sorts: &[Sort],
    paces: Option<&[Pace]>,
) -> Result<Answer, Vec<Fault>> {
    let terms = Terms {
        acceptance: stated::acceptance(scenario),
        accepted_air: stated::accepted_air(scenario),
        shut: stated::shut_angle(scenario),
        accuracy: Accuracy::default(),
    };
    let fastest = stated::fastest_pace(scenario);
    let cooled: Vec<Cooled> = sorts
        .iter()
        .zip(coolings(machine, sorts, terms.shut)?)
        .map(|(&sort, cooling)| Cooled { sort, cooling, real: real_pace(cooling, fastest) })
        .collect();
    let casts: Vec<(Cast, Option<Cooling>)> = cooled
        .iter()
        .flat_map(|size| {
            let real = [size.real.pace];
            let at: Vec<Pace> = paces.map_or(real.to_vec(), <[Pace]>::to_vec);
            at.into_iter().map(|pace| (Cast { sort: size.sort, pace }, size.cooling))
        })
        .collect();
    let appraisals = appraise_all(machine, &casts, &terms)?;
    let sizes = cooled
        .par_iter()
        .map(|size| {
            let told = telling(&appraisals, size)
                .and_then(|place| Some((place, appraisals.get(place)?)))
                .map(|(place, appraisal)| remedies(machine, appraisal, &terms).map(|all| (place, all)))
                .transpose()?;
            Ok(Size {
                sort: size.sort,
                real: size.real,
                slowest: slowest_pace_aside(machine, size.sort, terms.acceptance, terms.accuracy)?,
                remedies: told,
            })
        })
        .collect::<Result<_, Vec<Fault>>>()?;
    Ok(Answer {
        machine: scenario.machine_name().to_owned(),
        acceptance: terms.acceptance,
        accepted_air: terms.accepted_air,
        hold_down: machine.mould.hold_down.map(|force| force.0),
        shut: terms.shut,
        fastest: fastest.0,
        at_real_pace: paces.is_none(),
        sizes,
        appraisals,
        thresholds: thresholds(scenario, machine, &terms, paces.is_none())?,
        sureness: believed(scenario, machine)?
            .map(|posterior| {
                posterior.confidence(machine, &casts.iter().map(|(cast, _)| *cast).collect::<Vec<_>>())
            })
            .transpose()?,
    })
}

/// The place of the cast of a size that tells most: the one nearest to its real pace among those that can be cast, or among all
/// where none can.
fn telling(appraisals: &[Appraisal], size: &Cooled) -> Option<usize> {
    let distance = |appraisal: &Appraisal| (appraisal.judgement.cast.pace.0 / size.real.pace.0).ln().abs();
    let own = || appraisals.iter().enumerate().filter(|(_, a)| a.judgement.cast.sort == size.sort);
    let nearest = |among: &dyn Fn(&Appraisal) -> bool| {
        own().filter(|(_, a)| among(a)).min_by(|(_, a), (_, b)| distance(a).total_cmp(&distance(b)))
    };
    nearest(&Appraisal::can_be_cast).or_else(|| nearest(&|_| true)).map(|(place, _)| place)
}

/// The size from which the latch is wanted, by the accepted skin: each size at its real pace, or all at the scenario's.
fn thresholds(
    scenario: &Scenario,
    machine: &MachineStatement,
    terms: &Terms,
    at_real_pace: bool,
) -> Result<Thresholds, Vec<Fault>> {
    let own = stated::cast(scenario);
    let proportion = own.sort.set.0 / own.sort.body.0;
    let fastest = stated::fastest_pace(scenario);
    let pace = |sort: Sort| -> Result<Pace, Vec<Fault>> {
        if at_real_pace {
            Ok(real_pace(fastest_solid(machine, sort, terms.shut)?, fastest).pace)
        } else {
            Ok(own.pace)
        }
    };
    let sizes: Vec<(f64, Onset)> = [0.5, 1.0, 2.0]
        .par_iter()
        .map(|factor| {
            let acceptance = Acceptance { skin: factor * terms.acceptance.skin, ..terms.acceptance };
            let onset = smallest_size_wanting_latch(machine, proportion, pace, acceptance, terms.accuracy)?;
            Ok((acceptance.skin, onset))
        })
        .collect::<Result<_, Vec<Fault>>>()?;
    Ok(Thresholds { pace: (!at_real_pace).then_some(own.pace.0), sizes })
}
