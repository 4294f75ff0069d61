//! A table of numbers, each cell with its place in the file.

use std::ops::Range;
use std::path::Path;

use super::super::disk::{self, Unread};
use super::super::heading::unit_of;
use super::super::quantity::{Dimension, Quantity, unit_as_typed};
use super::{Location, Mistake};

/// One cell and where it stands.
#[derive(Debug)]
pub(super) struct Cell {
    pub text: String,
    /// None of a heading that was given beside the file.
    span: Option<Range<usize>>,
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
    /// The table in a file; `columns` is its heading, where the file has none or one that does not say enough.
    pub fn open(path: &Path, columns: Option<&str>) -> Result<Self, Unread> {
        let text = disk::text(path)
            .map_err(|fault| Unread::Unusable(format!("{}; {}", fault.message, fault.right)))?;
        let mut table = Self::of(&path.display().to_string(), &text);
        if let Some(columns) = columns {
            let cell = |piece: &str| Cell { text: piece.trim().to_owned(), span: None };
            let heading = columns.split([',', ';']).map(cell).collect();
            let own = std::mem::replace(&mut table.heading, heading);
            if own.iter().any(|cell| cell.text.contains(|c: char| c.is_ascii_digit())) {
                table.rows.insert(0, own);
            }
        }
        Ok(table)
    }

    /// Columns are parted by semicolons, tabs or commas, whichever the heading has first in this order; lines that begin with # are
    /// remarks, and so is a name above the heading of several columns.
    pub fn of(name: &str, text: &str) -> Self {
        let filled =
            |line: &str| line.split([';', '\t', ',']).filter(|piece| !piece.trim().is_empty()).count();
        let mut lines =
            lines(text).filter(|(_, line)| !line.trim().is_empty() && !line.starts_with('#')).peekable();
        let mut first = lines.next();
        let is_name =
            first.is_some_and(|(_, line)| filled(line) == 1 && !line.contains(|c: char| c.is_ascii_digit()));
        if is_name && lines.peek().is_some_and(|(_, line)| filled(line) > 1) {
            first = lines.next();
        }
        let mark = first.and_then(|(_, line)| [';', '\t'].into_iter().find(|mark| line.contains(*mark)));
        let split = |(start, line): (usize, &str)| -> Vec<Cell> {
            let mut at = start;
            let pieces = line.split(mark.unwrap_or(','));
            let cell = |piece: &str| {
                let begin = at + piece.len() - piece.trim_start().len();
                at += piece.len() + 1;
                Cell {
                    text: piece.trim().trim_matches('"').to_owned(),
                    span: Some(begin..begin + piece.trim().len()),
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

    /// The value in a cell, with a unit of its own or in that of its column; none where the cell is empty.
    pub fn quantity(
        &self,
        cell: &Cell,
        dimensions: &[Dimension],
        unit: Option<&str>,
    ) -> Result<Option<Quantity>, Mistake> {
        if ["", "-"].contains(&cell.text.as_str()) {
            return Ok(None);
        }
        let plain = if self.comma { cell.text.replace(',', ".") } else { cell.text.clone() };
        let bare = Quantity::parse(&plain, Dimension::Ratio).is_ok() && unit_as_typed(&plain).is_empty();
        let text = unit.filter(|_| bare).map_or_else(|| plain.clone(), |unit| format!("{plain} {unit}"));
        let mut read = dimensions.iter().map(|dimension| Quantity::parse(&text, *dimension));
        let first = read.next().unwrap_or_else(|| Quantity::parse(&text, Dimension::Ratio));
        let quantity = first.or_else(|fault| read.find_map(Result::ok).ok_or(fault));
        quantity.map(Some).map_err(|fault| self.mistake(&fault.message, &fault.right, Some(cell)))
    }

    /// The unit that a heading says, of one of these dimensions; where it says none and the column's first value has none either, what
    /// is wrong.
    pub fn unit(
        &self,
        column: usize,
        dimensions: &[Dimension],
        example: &str,
    ) -> Result<Option<String>, Mistake> {
        let heading = self.heading.get(column);
        let said = heading.and_then(|cell| dimensions.iter().find_map(|of| unit_of(&cell.text, *of)));
        let first = self.rows.iter().filter_map(|row| row.get(column)).find(|cell| !cell.text.is_empty());
        if said.is_none() && first.is_some_and(|cell| unit_as_typed(&cell.text).is_empty()) {
            let message =
                format!("nothing says in what `{}` is measured", heading.map_or("", |cell| &cell.text));
            let right =
                format!("write the unit into the heading, as in \"{example}\", or give it by --columns");
            return Err(self.mistake(&message, &right, heading));
        }
        Ok(said)
    }

    /// The line on which a row stands, from 1.
    pub fn line(&self, row: &[Cell]) -> usize {
        let span = row.iter().find_map(|cell| cell.span.clone());
        span.and_then(|span| Location::in_file(&self.text, span).line()).unwrap_or(1)
    }

    /// A mistake at a cell, or about the whole file.
    pub fn mistake(&self, message: &str, right: &str, cell: Option<&Cell>) -> Mistake {
        let span = cell.and_then(|cell| cell.span.clone());
        let location = span.map_or(Location::WholeFile, |span| Location::in_file(&self.text, span));
        Mistake { message: message.to_owned(), right: right.to_owned(), location }
    }
}

/// To what a value of a column was rounded, in the column's unit: one in the last decimal of the one that has most, or the smallest
/// fraction.
pub(super) fn step<'a>(texts: impl Iterator<Item = &'a str>) -> f64 {
    let digits = |text: &str| text.chars().take_while(char::is_ascii_digit).collect::<String>();
    let of = |text: &str| match (text.split_once('/'), text.split_once(['.', ','])) {
        (Some((_, below)), _) => 1.0 / digits(below.trim()).parse::<f64>().unwrap_or(1.0).max(1.0),
        (None, Some((_, decimals))) => {
            0.1_f64.powi(i32::try_from(digits(decimals).len()).unwrap_or(0).min(9))
        }
        (None, None) => 1.0,
    };
    texts.map(of).fold(1.0, f64::min)
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
