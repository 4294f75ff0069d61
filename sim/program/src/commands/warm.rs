//! `latchstroke warm`: how warm does the mould get?

use super::args::WarmOptions;
use super::open::Opened;
use super::{Failure, Outcome, answers, lists};
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::warm::warm_ups;
use latchstroke_plots::Theme;
use latchstroke_report::charts::draw_one;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::warm::{self as words, Answer, chart, data};
use latchstroke_scenario::Scenario;

/// More casts than this are better asked for in parts.
const MOST: usize = 40;
/// More curves than this in one chart cannot be told apart.
const MOST_CURVES: usize = 5;

/// Runs the command.
///
/// # Errors
/// Bad input, a scenario that does not state its cooling water, or a folder that cannot be written.
pub fn run(options: &WarmOptions) -> Result<Outcome, Failure> {
    let opened = Opened::new(&options.asked.sizes.scenario)?;
    let Opened { scenario, units, machine, .. } = &opened;
    let casts = casts(&opened, options)?;
    let followed = options.casts;
    let found = warm_ups(machine, &casts, followed).map_err(|faults| opened.faulty(faults))?;
    let Some(warm_ups) = found else { return Err(not_stated(scenario)) };
    let answer = Answer {
        machine: scenario.machine_name().to_owned(),
        cold: warm_ups.first().and_then(|first| first.temperatures.first()).copied().unwrap_or(f64::NAN),
        warm_ups,
    };
    let draw = |theme: &Theme, outbox: &mut Outbox| {
        outbox.add("warm.csv", data::csv(&answer).map_err(Failure::plain)?);
        let chart = chart::warming(&answer, units, &answers::source(scenario));
        Ok(draw_one("warm", &chart, theme, outbox)?)
    };
    let (data, text) = (|| data::json(&answer), || words::text(&answer, units));
    answers::answer(&options.answer, scenario, draw, data, text)?;
    Ok(Outcome::works(answer.all_can_be_cast()))
}

/// Every size at every pace asked for; the scenario's own where none is.
fn casts(opened: &Opened, options: &WarmOptions) -> Result<Vec<Cast>, Failure> {
    let own = opened.cast;
    let (all, paces) = opened.sorts_and_paces(&options.asked)?;
    let sorts = if options.asked.sizes.body.is_some() { all } else { vec![own.sort] };
    let paces = paces.unwrap_or_else(|| vec![own.pace]);
    let (most, place) =
        if options.answer.out.is_some() { (MOST_CURVES, "the chart") } else { (MOST, "the table") };
    lists::at_most(sorts.len() * paces.len(), most, place)?;
    Ok(sorts.iter().flat_map(|&sort| paces.iter().map(move |&pace| Cast { sort, pace })).collect())
}

fn not_stated(scenario: &Scenario) -> Failure {
    Failure::Plain(format!(
        "{} does not say what cools the mould; give [cooling_water], in place of wall_temperature if that is stated, with\n  \
         flow               by bucket and clock at the outlet\n  \
         inlet_temperature  of the water as it comes\n  \
         conductance        from the mould's and the water's temperatures while casting steadily: 69.6 W/K x flow in\n                     \
         l/min x ln((mould - inlet)/(mould - outlet))\n  \
         mould_mass         of the mould with all that warms up with it",
        scenario.file_name()
    ))
}
