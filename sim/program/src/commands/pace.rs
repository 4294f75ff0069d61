//! `latchstroke pace`: at which paces can each size be cast?

use super::args::PaceOptions;
use super::judge::sorts;
use super::progress::Progress;
use super::{Failure, Outcome, lists, open, pictures, say};
use latchstroke_core::studies::judge::{Cast, judge_all};
use latchstroke_core::studies::pace::{ROWS, fill_times, reach, size_map, size_paces};
use latchstroke_core::studies::real_pace::CastAt;
use latchstroke_core::studies::watch::Watch;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_report::charts::draw_one;
use latchstroke_report::owner::OwnerUnits;
use latchstroke_report::pace::{self as words, Answer, data, fill, map};
use latchstroke_scenario::Scenario;
use latchstroke_scenario::stated;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &PaceOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let units = open::units(&options.scenario, &scenario);
    let machine = stated::machine(&scenario);
    let sorts = sorts(&scenario, options.body.as_deref(), &units)?;
    let at = open::cast_at(&scenario, lists::one_pace(options.pace.as_deref(), &units)?);
    let answer =
        answer(&scenario, &machine, &sorts, at).map_err(|faults| open::as_mistakes(&scenario, faults))?;
    if options.pictures.folder.out.is_some() {
        write(options, &scenario, &machine, &answer, &units)?;
    }
    if options.json {
        say(&format!("{:#}\n", data::json(&answer)))?;
    } else {
        say(&words::text(&answer, &units))?;
    }
    // As the judge has it: at the pace at which each size is cast.
    Ok(Outcome::of(&answer.judged))
}

fn answer(
    scenario: &Scenario,
    machine: &MachineStatement,
    sorts: &[Sort],
    at: CastAt,
) -> Result<Answer, Vec<Fault>> {
    let terms = stated::terms(scenario);
    let own = stated::cast(scenario).sort;
    let proportion = own.set.0 / own.body.0;
    Ok(Answer {
        machine: scenario.machine_name().to_owned(),
        shut: terms.shut,
        proportion,
        sizes: size_paces(machine, sorts, terms)?,
        judged: judge_all(machine, &at.casts(machine, sorts)?, &terms)?,
        largest_aside: reach(machine, LatchSetting::Aside, proportion, &at, &terms),
        largest_set: reach(machine, LatchSetting::Set, proportion, &at, &terms),
        at,
    })
}

fn write(
    options: &PaceOptions,
    scenario: &Scenario,
    machine: &MachineStatement,
    answer: &Answer,
    units: &OwnerUnits,
) -> Result<(), Failure> {
    let faulty = |faults| open::as_mistakes(scenario, faults);
    let (terms, sort) = (stated::terms(scenario), stated::cast(scenario).sort);
    let cast = Cast { sort, pace: answer.at.pace(machine, sort).map_err(faulty)? };
    let progress = Progress::start("mapping sizes and paces", ROWS)?;
    let sorts: Vec<Sort> = answer.sizes.iter().map(|paces| paces.sort).collect();
    let map = size_map(machine, &sorts, (cast, answer.at), terms, &progress).map_err(faulty)?;
    let shown = fill::sizes(answer);
    progress.next("timing fills", shown.len() as u64);
    let mut times = Vec::new();
    for sort in shown {
        if !progress.called_off() {
            times.push(fill_times(machine, sort, terms, answer.at).map_err(faulty)?);
            progress.advance(1);
        }
    }
    progress.finish();
    let Some(map) = map.filter(|_| !progress.called_off()) else {
        return Err(Failure::Plain("called off; nothing was written".to_owned()));
    };
    let mut outbox = pictures::outbox(scenario);
    let table = data::csv(&answer.sizes).map_err(|error| Failure::Plain(error.to_string()))?;
    outbox.add("paces.csv", table);
    let (theme, source) = (options.pictures.theme(), pictures::source(scenario));
    let map = map::map(&map, cast, units, &source);
    let mut omitted = draw_one("size-pace-map", &map, &theme, &mut outbox)?;
    let chart = fill::chart(&times, units, &source);
    omitted.extend(draw_one("fill-and-limits", &chart, &theme, &mut outbox)?);
    pictures::send(&options.pictures, &outbox, &omitted)
}
