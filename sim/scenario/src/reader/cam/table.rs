//! Readings in a CSV file beside the scenario.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::super::super::disk;
use super::super::super::heading::unit_of;
use super::super::super::mistakes::{Location, Mistake};
use super::super::super::quantity::Dimension;
use super::{Cell, READINGS, Rows, Source};

/// A table's text and the file it is from.
pub(super) struct Table {
    pub name: PathBuf,
    pub text: Arc<str>,
}

/// The rows of the file `name`: beside the scenario where the scenario names it at `place`, or where the command is given that names it.
pub(super) fn rows(
    name: &str,
    place: &Location,
    folder: Option<&Path>,
) -> Result<Rows<'static>, Vec<Mistake>> {
    let refuse = |message: String, right: &str| {
        vec![Mistake { message, right: right.to_owned(), location: place.clone() }]
    };
    let path = match (place, folder) {
        (Location::Override { .. }, _) => Path::new(name).to_owned(),
        (_, Some(folder)) => folder.join(name),
        (_, None) => {
            let message = "a file beside this scenario cannot be read here".to_owned();
            return Err(refuse(message, "write the readings into the scenario"));
        }
    };
    let read = disk::text(&path).map_err(|fault| refuse(fault.message, &fault.right))?;
    let source = Source::Beside(Table { name: path, text: read.into() });
    read_rows(source)
}

fn read_rows(source: Source<'static>) -> Result<Rows<'static>, Vec<Mistake>> {
    let Source::Beside(table) = &source else { return Err(Vec::new()) };
    let text = Arc::clone(&table.text);
    let body = text.trim_start_matches('\u{feff}');
    let skipped = text.len() - body.len();
    let first = body.lines().next().unwrap_or_default();
    // Spreadsheets where the comma stands before decimals part columns by semicolons.
    let delimiter = [b';', b'\t'].into_iter().find(|mark| first.as_bytes().contains(mark)).unwrap_or(b',');
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .delimiter(delimiter)
        .from_reader(body.as_bytes());
    let mut rows = Vec::new();
    let mut heading = (None, None);
    let mut mistakes = Vec::new();
    for (n, record) in reader.records().enumerate() {
        let Ok(record) = record else { continue };
        let start = record.position().map_or(0, |position| usize::try_from(position.byte()).unwrap_or(0));
        let start = skipped + start;
        let line = text.get(start..).and_then(|rest| rest.trim_start_matches(['\r', '\n']).lines().next());
        let line = line.unwrap_or_default();
        let start = start + text.get(start..).unwrap_or_default().find(line).unwrap_or(0);
        let span = |field: &str| {
            let at = start + line.find(field).unwrap_or(0);
            at..at + field.len()
        };
        let (Some(angle), Some(lift), None | Some(""), true) =
            (record.get(0), record.get(1), record.get(2), record.iter().skip(3).all(str::is_empty))
        else {
            let filled = record.iter().filter(|field| !field.is_empty()).count();
            let message = format!("two columns are wanted, angle and lift, and this row has {filled}");
            mistakes.push(source.mistake(message, "write rows such as 20, 2.9", start..start + line.len()));
            if mistakes.len() > *READINGS.end() {
                break;
            }
            continue;
        };
        let is_heading = |field: &str| !field.is_empty() && !field.contains(|c: char| c.is_ascii_digit());
        if n == 0 && is_heading(angle) && is_heading(lift) {
            if unit_of(angle, Dimension::Length).is_some() || unit_of(lift, Dimension::Angle).is_some() {
                let right = "put the angle in the first column and the lift in the second";
                return Err(vec![source.mistake(
                    "the columns stand the other way round",
                    right,
                    span(angle),
                )]);
            }
            heading = (unit_of(angle, Dimension::Angle), unit_of(lift, Dimension::Length));
            continue;
        }
        let cell = |field: &str| Cell { text: field.to_owned(), span: span(field), quoted: false };
        let (angle, mut lift) = (cell(angle), cell(lift));
        // A lift that reads like its angle stands behind it.
        if lift.span.start <= angle.span.start {
            lift.span = start + line.rfind(&lift.text).unwrap_or(0)..start + line.len();
        }
        rows.push((angle, lift));
        if rows.len() > *READINGS.end() {
            break;
        }
    }
    let span = skipped..skipped + first.len();
    if mistakes.is_empty() { Ok(Rows { cells: rows, source, span, heading }) } else { Err(mistakes) }
}
