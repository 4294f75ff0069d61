//! `latchstroke new` and `latchstroke schema`: a scenario to edit, and help for the editor.

use super::args::NewOptions;
use super::{Failure, Outcome, answers, say};
use latchstroke_report::outbox::Outbox;
use latchstroke_report::owner::System;
use latchstroke_scenario::schema::json_schema;
use latchstroke_scenario::template::{Form, new_scenario};

/// Writes a scenario to edit.
///
/// # Errors
/// When the file is there already, or cannot be written.
pub fn run(options: &NewOptions) -> Result<Outcome, Failure> {
    let form = match (options.full, options.example) {
        (_, true) => Form::Example,
        (true, false) => Form::Full,
        (false, false) => Form::Short,
    };
    let system = options.units.map_or(System::Metric, System::from);
    answers::file(Outbox::default(), &options.file, new_scenario(form, system), options.force)?;
    eprintln!(
        "Wrote {}. Put your machine's values in, then run: latchstroke check {0}",
        options.file.display()
    );
    Ok(Outcome::Done)
}

/// Prints the JSON Schema.
///
/// # Errors
/// When standard output cannot be written.
pub fn schema() -> Result<Outcome, Failure> {
    say(&format!("{:#}\n", json_schema()))?;
    Ok(Outcome::Done)
}
