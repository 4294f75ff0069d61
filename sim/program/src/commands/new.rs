//! `latchstroke new` and `latchstroke schema`: a scenario to edit, and help for the editor.

use super::args::{Measures, NewOptions};
use super::{Failure, Outcome, say};
use latchstroke_report::outbox::Outbox;
use latchstroke_report::owner::System;
use latchstroke_scenario::schema::json_schema;
use latchstroke_scenario::template::{Form, new_scenario};
use std::path::Path;

/// Writes a scenario to edit.
///
/// # Errors
/// When the file is there already, or cannot be written.
pub fn run(options: &NewOptions) -> Result<Outcome, Failure> {
    let Some(name) = options.file.file_name().and_then(|name| name.to_str()) else {
        return Err(Failure::Plain(format!("{} names no file; name one to write", options.file.display())));
    };
    let folder =
        options.file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Err(Failure::Plain(format!(
            "there is no folder {}; make it first, or name another",
            folder.display()
        )));
    }
    let mut outbox = Outbox::default();
    let form = match (options.full, options.example) {
        (_, true) => Form::Example,
        (true, false) => Form::Full,
        (false, false) => Form::Short,
    };
    let system = match options.units {
        Some(Measures::Inch) => System::Inch,
        Some(Measures::Metric) | None => System::Metric,
    };
    outbox.add(name, new_scenario(form, system));
    outbox.send(folder, options.force)?;
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
