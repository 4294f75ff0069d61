//! `latchstroke warm`: how warm does the mould get?

use super::args::WarmOptions;
use super::judge::sorts;
use super::{Failure, Outcome, lists, open, pictures, say};
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::warm::warm_ups;
use latchstroke_models::units::Pace;
use latchstroke_report::charts::draw;
use latchstroke_report::owner::OwnerUnits;
use latchstroke_report::warm::{self as words, Answer, chart, data};
use latchstroke_scenario::Scenario;
use latchstroke_scenario::stated;

/// More casts than this are better asked for in parts.
const MOST: usize = 40;
/// More curves than this in one chart cannot be told apart.
const MOST_CURVES: usize = 5;

/// Runs the command.
///
/// # Errors
/// Bad input, a scenario that does not state its cooling water, or a folder that cannot be written.
pub fn run(options: &WarmOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let units = open::units(&options.scenario, &scenario);
    let casts = casts(&scenario, options, &units)?;
    let followed = options.casts.map(|casts| casts.max(1));
    let found = warm_ups(&stated::machine(&scenario), &casts, followed)
        .map_err(|faults| open::as_mistakes(&scenario, faults))?;
    let Some(warm_ups) = found else { return Err(not_stated(&scenario)) };
    let answer = Answer {
        machine: scenario.machine_name().to_owned(),
        cold: warm_ups.first().and_then(|first| first.temperatures.first()).copied().unwrap_or(f64::NAN),
        warm_ups,
    };
    if options.pictures.folder.out.is_some() {
        write(options, &scenario, &answer, &units)?;
    }
    if options.json {
        say(&format!("{:#}\n", data::json(&answer)))?;
    } else {
        say(&words::text(&answer, &units))?;
    }
    Ok(if answer.all_can_be_cast() { Outcome::Done } else { Outcome::CannotWork })
}

/// Every size at every pace asked for; the scenario's own where none is.
fn casts(scenario: &Scenario, options: &WarmOptions, units: &OwnerUnits) -> Result<Vec<Cast>, Failure> {
    let own = stated::cast(scenario);
    let sorts = match &options.body {
        Some(asked) => sorts(scenario, Some(asked), units)?,
        None => vec![own.sort],
    };
    let paces = match &options.pace {
        Some(asked) => lists::paces(asked, units.pace)?,
        None => vec![own.pace.0],
    };
    let casts: Vec<Cast> = sorts
        .iter()
        .flat_map(|&sort| paces.iter().map(move |&pace| Cast { sort, pace: Pace(pace) }))
        .collect();
    let (most, place) =
        if options.pictures.folder.out.is_some() { (MOST_CURVES, "the chart") } else { (MOST, "the table") };
    if casts.len() > most {
        return Err(Failure::Plain(format!(
            "{} casts are more than {place} holds ({most}); ask for fewer sizes or paces",
            casts.len()
        )));
    }
    Ok(casts)
}

fn not_stated(scenario: &Scenario) -> Failure {
    Failure::Plain(format!(
        "{} states the mould's temperature, not what cools it; put [cooling_water] in place of wall_temperature, with\n  \
         flow               by bucket and clock at the outlet\n  \
         inlet_temperature  of the water as it comes\n  \
         conductance        from the mould's and the water's temperatures while casting steadily: 69.6 W/K x flow in\n                     \
         l/min x ln((mould - inlet)/(mould - outlet))\n  \
         mould_mass         of the mould with all that warms up with it",
        scenario.file_name()
    ))
}

fn write(
    options: &WarmOptions,
    scenario: &Scenario,
    answer: &Answer,
    units: &OwnerUnits,
) -> Result<(), Failure> {
    let mut outbox = pictures::outbox(scenario);
    outbox.add("warm.csv", data::csv(answer).map_err(|error| Failure::Plain(error.to_string()))?);
    let chart = chart::warming(answer, units, &pictures::source(scenario));
    let omitted = draw(&[("warm", chart)], &options.pictures.theme(), &mut outbox)?;
    pictures::send(&options.pictures, &outbox, &omitted)
}
