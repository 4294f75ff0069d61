//! `latchstroke turn`: one turn, latch aside and set.

use super::args::TurnOptions;
use super::{Failure, Outcome, open, pictures, say};
use latchstroke_core::studies::cooling::heat_of_cast;
use latchstroke_core::studies::judge::{Judgement, judge_traced};
use latchstroke_core::turn::surge::{self, ResolvedThrow};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_report::cautions::CAUTIONS;
use latchstroke_report::findings::why_stopped;
use latchstroke_report::owner::OwnerUnits;
use latchstroke_report::{charts, json, trace, turn as words};
use latchstroke_scenario::Scenario;
use latchstroke_scenario::stated;

/// Relative tolerance of the throw with resolved springs.
const SURGE_TOLERANCE: f64 = 1e-6;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &TurnOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario_for(&options.scenario, options.body.as_deref(), options.pace.as_deref())?;
    let units = open::units(&options.scenario, &scenario);
    let real = open::real_pace(&scenario, options.pace.as_deref())?;
    let terms = stated::terms(&scenario);
    let machine = stated::machine(&scenario);
    let judgement = judge_traced(&machine, stated::cast(&scenario), &terms)
        .map_err(|faults| open::as_mistakes(&scenario, faults))?;
    if options.pictures.folder.out.is_some() {
        write(options, &scenario, &judgement, &units)?;
    }
    let prepared = Machine::prepare(&machine, judgement.cast.sort, judgement.cast.pace, LatchSetting::Aside)
        .map_err(|faults| open::as_mistakes(&scenario, faults))?;
    let heat = heat_of_cast(&prepared, terms.shut);
    let resolved = if options.surge { resolve(&scenario, &machine, &judgement)? } else { None };
    if options.json {
        let mut answer = json::judgement(&judgement, &units);
        answer["heat_of_cast_J"] = heat.into();
        if options.surge {
            answer["springs_resolved"] = json::resolved(resolved.as_ref());
        }
        say(&format!("{answer:#}\n"))?;
    } else {
        let mut text = words::text(&judgement, real.as_ref(), &units, terms.acceptance, heat);
        if options.surge {
            text += &words::surge(&judgement.set, resolved.as_ref(), &units);
        }
        say(&(text + "\n" + CAUTIONS))?;
    }
    Ok(Outcome::of([&judgement]))
}

/// The throw with resolved springs.
fn resolve(
    scenario: &Scenario,
    stated: &MachineStatement,
    judgement: &Judgement,
) -> Result<Option<ResolvedThrow>, Failure> {
    let cast = judgement.cast;
    let machine = Machine::prepare(stated, cast.sort, cast.pace, LatchSetting::Set)
        .map_err(|faults| open::as_mistakes(scenario, faults))?;
    surge::resolve(&machine, &judgement.set, SURGE_TOLERANCE)
        .map_err(|stop| Failure::Plain(format!("the throw with resolved springs: {}", why_stopped(stop))))
}

fn write(
    options: &TurnOptions,
    scenario: &Scenario,
    judgement: &Judgement,
    units: &OwnerUnits,
) -> Result<(), Failure> {
    let mut outbox = pictures::outbox(scenario);
    for (name, turn) in [("trace-latch-aside.csv", &judgement.aside), ("trace-latch-set.csv", &judgement.set)]
    {
        let table = trace::csv(&turn.trace).map_err(|error| Failure::Plain(error.to_string()))?;
        outbox.add(name, table);
    }
    let charts = charts::of_cast(judgement, units, &pictures::source(scenario));
    let omitted = charts::draw(&charts, &options.pictures.theme(), &mut outbox)?;
    pictures::send(&options.pictures, &outbox, &omitted)
}
