//! `latchstroke calibrate`: what the owner's own casts say of the accepted skin, of the heat transfer and of the clocks.

use super::args::CalibrateOptions;
use super::judge::{paces, sorts};
use super::progress::Progress;
use super::{Failure, Outcome, open, pictures, say};
use latchstroke_core::studies::calibrate::{Posterior, TURNS, calibrate, outlooks, proposals, turns};
use latchstroke_core::studies::watch::Unwatched;
use latchstroke_models::fault::Fault;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Pace;
use latchstroke_report::calibrate::{self as words, Answer, chart, data};
use latchstroke_scenario::Scenario;
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
    let scenario = open::scenario(&options.scenario)?;
    if scenario.experiences().next().is_none() {
        return Err(Failure::Plain(format!(
            "{} lists no casts to calibrate by; add one section for each cast that you remember, such as\n\n{EXAMPLE}\n\nresult is sound or failed; sound ones teach as much as failed ones, and those near the edge teach most",
            scenario.file_name()
        )));
    }
    let units = open::units(&options.scenario, &scenario);
    let machine = stated::machine(&scenario);
    let sorts = sorts(&scenario, options.body.as_deref(), &units)?;
    let paces = match paces(options.pace.as_deref(), &units)? {
        Some(paces) => paces,
        None => stated::paces(&scenario),
    };
    let asked = sorts.len() * paces.len();
    if asked > MOST_CASTS {
        return Err(Failure::Plain(format!(
            "{asked} casts are more than {MOST_CASTS}; ask about fewer sizes or paces"
        )));
    }
    let work = scenario.experiences().count() * TURNS + turns(sorts.len(), paces.len());
    let progress = Progress::start("turning", work as u64)?;
    let found = answer(&scenario, &machine, (&sorts, &paces), &progress);
    let answer = complete(found, &scenario, &progress)?;
    if options.pictures.folder.out.is_some() {
        let drawn = (chart::sizes(&sorts), chart::paces(&answer, &paces));
        progress.next("drawing", turns(drawn.0.len(), drawn.1.len()) as u64);
        let terms = stated::terms(&scenario);
        let curves = outlooks(&machine, &drawn.0, &drawn.1, &terms, &answer.calibration, &progress);
        let curves = complete(curves, &scenario, &progress)?;
        let chart = chart::chances(&answer, &curves, &units, &pictures::source(&scenario));
        progress.finish();
        pictures::write(&options.pictures, &scenario, &[("chances", chart)])?;
    }
    progress.finish();
    if options.json {
        say(&format!("{:#}\n", data::json(&answer)))?;
    } else {
        say(&words::text(&answer, &units))?;
    }
    Ok(Outcome::Done)
}

/// What the casts of a scenario make one believe; none where it lists none.
pub(super) fn believed(
    scenario: &Scenario,
    machine: &MachineStatement,
) -> Result<Option<Posterior>, Vec<Fault>> {
    let casts = experiences(scenario);
    if casts.is_empty() {
        return Ok(None);
    }
    let found = calibrate(machine, priors(scenario), &stated::terms(scenario), &casts, &Unwatched)?;
    Ok(found.map(|calibration| calibration.posterior))
}

/// What was found, if the work was not called off.
fn complete<T>(
    found: Result<Option<T>, Vec<Fault>>,
    scenario: &Scenario,
    progress: &Progress,
) -> Result<T, Failure> {
    let problem = match found {
        Ok(Some(found)) => return Ok(found),
        Ok(None) => Failure::Plain("called off before enough was finished to say anything".to_owned()),
        Err(faults) => open::as_mistakes(scenario, faults),
    };
    progress.finish();
    Err(problem)
}

fn answer(
    scenario: &Scenario,
    machine: &MachineStatement,
    (sorts, paces): (&[Sort], &[Pace]),
    progress: &Progress,
) -> Result<Option<Answer>, Vec<Fault>> {
    let terms = stated::terms(scenario);
    let priors = priors(scenario);
    let Some(calibration) = calibrate(machine, priors, &terms, &experiences(scenario), progress)? else {
        return Ok(None);
    };
    let found = outlooks(machine, sorts, paces, &terms, &calibration, progress)?;
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
