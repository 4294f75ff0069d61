//! A table of numbers, each cell with its place in the file.

use std::ops::Range;
use std::path::Path;

use super::super::disk::{self, Unread};
use super::{Location, Mistake};

/// One cell and where it stands.
#[derive(Debug)]
pub(super) struct Cell {
    pub text: String,
    span: Range<usize>,
}

/// A table with a heading.
#[derive(Debug)]
pub(super) struct Table {
    pub name: String,
    pub text: String,
    pub heading: Vec<Cell>,
    pub rows: Vec<Vec<Cell>>,
    /// Whether a comma stands before decimals, since it does not part the columns.
    comma: bool,
}

impl Table {
    pub fn open(path: &Path) -> Result<Self, Unread> {
        let text = disk::text(path)
            .map_err(|fault| Unread::Unusable(format!("{}; {}", fault.message, fault.right)))?;
        Ok(Self::of(&path.display().to_string(), &text))
    }

    /// Columns are parted by semicolons, tabs or commas, whichever the heading has first in this order; lines that begin with # are
    /// remarks.
    pub fn of(name: &str, text: &str) -> Self {
        let mut lines = lines(text).filter(|(_, line)| !line.trim().is_empty() && !line.starts_with('#'));
        let first = lines.next();
        let mark = first.and_then(|(_, line)| [';', '\t'].into_iter().find(|mark| line.contains(*mark)));
        let split = |(start, line): (usize, &str)| -> Vec<Cell> {
            let mut at = start;
            let pieces = line.split(mark.unwrap_or(','));
            let cell = |piece: &str| {
                let begin = at + piece.len() - piece.trim_start().len();
                at += piece.len() + 1;
                Cell {
                    text: piece.trim().trim_matches('"').to_owned(),
                    span: begin..begin + piece.trim().len(),
                }
            };
            pieces.map(cell).collect()
        };
        let heading = first.map(split).unwrap_or_default();
        let rows = lines.map(split).collect();
        Self { name: name.to_owned(), text: text.to_owned(), heading, rows, comma: mark.is_some() }
    }

    /// The number in a cell; none where it is empty, or says that there is none.
    pub fn number(&self, cell: &Cell) -> Result<Option<f64>, Mistake> {
        let text = cell.text.as_str();
        if ["", "-", "nan", "na", "n/a"].contains(&text.to_lowercase().as_str()) {
            return Ok(None);
        }
        let plain = if self.comma { text.replace(',', ".") } else { text.to_owned() };
        match plain.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(Some(number)),
            _ => {
                let message = format!("`{text}` is no number");
                Err(self.mistake(&message, "write a plain number, or leave the cell empty", Some(cell)))
            }
        }
    }

    /// A mistake at a cell, or about the whole file.
    pub fn mistake(&self, message: &str, right: &str, cell: Option<&Cell>) -> Mistake {
        let location =
            cell.map_or(Location::WholeFile, |cell| Location::in_file(&self.text, cell.span.clone()));
        Mistake { message: message.to_owned(), right: right.to_owned(), location }
    }
}

/// The lines of a text and where each begins, without the mark that some editors put before the first.
fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let body = text.trim_start_matches('\u{feff}');
    let mut at = text.len() - body.len();
    body.split_inclusive('\n').map(move |line| {
        let start = at;
        at += line.len();
        (start, line.trim_end_matches(['\n', '\r']))
    })
}
