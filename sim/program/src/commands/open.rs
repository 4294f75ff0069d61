//! Opening the scenario a command was given.

use super::args::{Measures, ScenarioOptions};
use super::{Failure, lists};
use latchstroke_core::studies::real_pace::{CastAt, RealPace};
use latchstroke_models::fault::Fault;
use latchstroke_models::units::Pace;
use latchstroke_report::owner::{OwnerUnits, System};
use latchstroke_scenario::{Dimension, Mistakes, Origin, Override, Scenario, Unit, read, stated};

/// The demo machine, so that the program answers without a file.
const DEMO: (&str, &str) = (
    "the built-in demo (scenarios/large_initials.toml)",
    include_str!("../../../../scenarios/large_initials.toml"),
);

/// Reads the scenario named, or the demo, with the overrides put in.
///
/// # Errors
/// When the file cannot be read, or has mistakes.
pub fn scenario(options: &ScenarioOptions) -> Result<Scenario, Failure> {
    let overrides: Vec<Override> = options.set.iter().map(|text| Override::parse(text)).collect();
    let (name, text) = match &options.scenario {
        None => (DEMO.0.to_owned(), DEMO.1.to_owned()),
        Some(path) => {
            let bytes = std::fs::read(path).map_err(|error| {
                Failure::Plain(format!(
                    "cannot read {}: {error}; name a scenario file, or none for the demo",
                    path.display()
                ))
            })?;
            let text = String::from_utf8(bytes).map_err(|_| {
                Failure::Plain(format!("{} is not text in UTF-8; save it as UTF-8", path.display()))
            })?;
            (path.display().to_string(), text)
        }
    };
    Ok(read(&name, &text, &overrides)?)
}

/// The same with one size and one pace in place of the scenario's, where they are asked for; the set width keeps its proportion
/// to the body.
///
/// # Errors
/// As [`scenario`], and when `body` is not one size or `pace` not one pace.
pub fn scenario_for(
    options: &ScenarioOptions,
    body: Option<&str>,
    pace: Option<&str>,
) -> Result<Scenario, Failure> {
    let scenario = scenario(options)?;
    let units = units(options, &scenario);
    let body = body
        .map(|text| match lists::sizes(text, units.body)?.as_slice() {
            [body] => Ok(*body),
            _ => Err(Failure::Plain(format!("--body {text}: one size at a time here; write \"24pt\""))),
        })
        .transpose()?;
    let pace = lists::one_pace(pace, &units)?;
    Ok(with_cast(scenario, body, pace))
}

/// As [`scenario_for`], but where no pace is asked for at the one at which the size is really cast, which is then answered too.
///
/// # Errors
/// As [`scenario_for`], and the faults of the machine.
pub fn scenario_judged(
    options: &ScenarioOptions,
    body: Option<&str>,
    pace: Option<&str>,
) -> Result<(Scenario, Option<RealPace>), Failure> {
    let scenario = scenario_for(options, body, pace)?;
    let real = real_pace(&scenario, pace)?;
    Ok((with_cast(scenario, None, real.map(|real| real.pace)), real))
}

/// The pace at which the scenario's size is really cast; none where another is asked for.
///
/// # Errors
/// The faults of the machine.
pub fn real_pace(scenario: &Scenario, asked: Option<&str>) -> Result<Option<RealPace>, Failure> {
    if asked.is_some() {
        return Ok(None);
    }
    let real = cast_at(scenario, None).real(&stated::machine(scenario), stated::cast(scenario).sort);
    Ok(Some(real.map_err(|faults| as_mistakes(scenario, faults))?))
}

/// At which pace each size is cast: the one asked for, or its real pace.
pub fn cast_at(scenario: &Scenario, asked: Option<Pace>) -> CastAt {
    CastAt { asked, fastest: stated::fastest_pace(scenario), shut: stated::shut_angle(scenario) }
}

/// The scenario with another body (m) and pace, each exact; the set width keeps its proportion to the body.
pub fn with_cast(scenario: Scenario, body: Option<f64>, pace: Option<Pace>) -> Scenario {
    let mut values: Vec<(&str, f64)> = Vec::new();
    if let Some(body) = body {
        let own = stated::cast(&scenario).sort;
        values.push(("job.body", body));
        let follows = scenario.item("job.set").is_some_and(|item| matches!(item.origin, Origin::SameAs(_)));
        if !follows {
            values.push(("job.set", body * own.set.0 / own.body.0));
        }
    }
    values.extend(pace.map(|pace| ("job.pace", pace.0)));
    scenario.with_values(&values).unwrap_or(scenario)
}

/// The units to answer in: the owner's own, or those of the system asked for.
pub fn units(options: &ScenarioOptions, scenario: &Scenario) -> OwnerUnits {
    let written = OwnerUnits::of(scenario);
    match options.units {
        None => written,
        Some(Measures::Metric) => written.throughout(System::Metric),
        Some(Measures::Inch) => written.throughout(System::Inch),
    }
}

/// The unit in which lengths along the rod are told: that of the system asked for, or in which the owner wrote them.
pub fn rod_unit(options: &ScenarioOptions, scenario: &Scenario) -> &'static Unit {
    let given = |path: &str| {
        let item = scenario.item(path)?;
        matches!(item.origin, Origin::Given(_))
            .then(|| scenario.quantity(path))?
            .map(|quantity| quantity.unit)
    };
    let asked = match options.units {
        None => given("stack.sleeve").or_else(|| given("stack.bare_clearance")),
        Some(Measures::Metric) => Dimension::Length.find("mm"),
        Some(Measures::Inch) => Dimension::Length.find("in"),
    };
    asked.unwrap_or(&Dimension::Length.units().si)
}

/// Faults that only the assembled machine shows, as mistakes at the keys they name.
pub fn as_mistakes(scenario: &Scenario, faults: Vec<Fault>) -> Failure {
    let list =
        faults.into_iter().map(|fault| scenario.mistake_at(&fault.key, fault.what, fault.right)).collect();
    Failure::Mistakes(Mistakes::new(scenario.file_name(), scenario.source(), list))
}
