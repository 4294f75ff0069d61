//! Opening the scenario a command was given.

use super::Failure;
use super::args::ScenarioOptions;
use latchstroke::scenario::{Mistakes, Override, Scenario, read};
use latchstroke_models::fault::Fault;

/// The demo machine, so that the program answers without a file.
const DEMO: (&str, &str) = (
    "the built-in demo (scenarios/large_initials.toml)",
    include_str!("../../../scenarios/large_initials.toml"),
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

/// Faults that only the assembled machine shows, as mistakes at the keys they name.
pub fn as_mistakes(scenario: &Scenario, faults: Vec<Fault>) -> Failure {
    let list =
        faults.into_iter().map(|fault| scenario.mistake_at(&fault.key, fault.what, fault.right)).collect();
    Failure::Mistakes(Mistakes::new(scenario.file_name(), scenario.source(), list))
}
