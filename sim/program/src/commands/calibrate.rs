//! `latchstroke calibrate`: what the owner's own casts say of the accepted skin, of the heat transfer and of the clocks.

use super::args::CalibrateOptions;
use super::open::Opened;
use super::progress::Progress;
use super::{Failure, Outcome, answers, lists};
use latchstroke_core::studies::calibrate::{TURNS, calibrate, outlooks, proposals, turns};
use latchstroke_models::fault::Fault;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Pace;
use latchstroke_plots::Theme;
use latchstroke_report::calibrate::{self as words, Answer, chart, data};
use latchstroke_report::charts::draw_one;
use latchstroke_report::outbox::Outbox;
use latchstroke_scenario::stated;
use latchstroke_scenario::stated::experience::{experiences, priors};

/// More casts than this are better asked about in parts.
const MOST_CASTS: usize = 400;

const EXAMPLE: &str = "\
[[experience]]
body = \"24 pt\"
pace = \"20 turns/min\"
latch = \"aside\"
result = \"failed\"
fault = \"cold laps\"";

/// Runs the command.
///
/// # Errors
/// Bad input, no casts, or a folder that cannot be written.
pub fn run(options: &CalibrateOptions) -> Result<Outcome, Failure> {
    let opened = Opened::new(&options.casts.sizes.scenario)?;
    let Opened { scenario, units, machine, terms, .. } = &opened;
    if scenario.experiences().next().is_none() {
        return Err(Failure::Plain(format!(
            "{} lists no casts to calibrate by; add one section for each cast that you remember, such as\n\n{EXAMPLE}\n\nresult is sound or failed; sound ones teach as much as failed ones, and those near the edge teach most",
            scenario.file_name()
        )));
    }
    let (sorts, paces) = opened.sorts_and_paces(&options.casts)?;
    let paces = paces.unwrap_or_else(|| stated::paces(scenario));
    lists::at_most(sorts.len() * paces.len(), MOST_CASTS, "the table")?;
    let work = scenario.experiences().count() * TURNS + turns(sorts.len(), paces.len());
    let progress = Progress::start("turning", work as u64);
    let answer = complete(answer(&opened, (&sorts, &paces), &progress), &opened, &progress)?;
    let draw = |theme: &Theme, outbox: &mut Outbox| {
        let drawn = (chart::sizes(&sorts), chart::paces(&answer, &paces));
        progress.next("drawing", turns(drawn.0.len(), drawn.1.len()) as u64);
        let curves = outlooks(machine, &drawn.0, &drawn.1, terms, &answer.calibration, &progress);
        let curves = complete(curves, &opened, &progress)?;
        let chart = chart::chances(&answer, &curves, sorts.len(), units, &answers::source(scenario));
        progress.finish();
        Ok(draw_one("chances", &chart, theme, outbox)?)
    };
    progress.finish();
    let (data, text) = (|| data::json(&answer), || words::text(&answer, units));
    answers::answer(&options.answer, scenario, draw, data, text)?;
    Ok(Outcome::Done)
}

/// What was found, if the work was not called off.
fn complete<T>(
    found: Result<Option<T>, Vec<Fault>>,
    opened: &Opened,
    progress: &Progress,
) -> Result<T, Failure> {
    let problem = match found {
        Ok(Some(found)) => return Ok(found),
        Ok(None) => Failure::CalledOff,
        Err(faults) => opened.faulty(faults),
    };
    progress.finish();
    Err(problem)
}

fn answer(
    opened: &Opened,
    (sorts, paces): (&[Sort], &[Pace]),
    progress: &Progress,
) -> Result<Option<Answer>, Vec<Fault>> {
    let Opened { scenario, machine, terms, .. } = opened;
    let priors = priors(scenario);
    let Some(calibration) = calibrate(machine, priors, terms, &experiences(scenario), progress)? else {
        return Ok(None);
    };
    let found = outlooks(machine, sorts, paces, terms, &calibration, progress)?;
    let (Some(outlooks), Some(stated)) = (found, words::stated(scenario)) else { return Ok(None) };
    Ok(Some(Answer {
        machine: scenario.machine_name().to_owned(),
        further: proposals(&outlooks, &calibration.posterior, priors.1.median),
        calibration,
        priors,
        stated,
        outlooks,
    }))
}
