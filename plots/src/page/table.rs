//! Tables: lining figures of one width, decimal points in line, three thin rules and no more.

use super::faces::{Face, Faces};
use super::line::{Ink, Line, words};
use super::paragraph::{self, Strip};
use super::placed::Mark;
use super::{Align, Column, GRID, Table};

/// Type size of cells, pt; a table too wide for its column is set smaller.
const CELL: f64 = 8.6;
/// The smallest type size of cells, pt.
const SMALLEST: f64 = 6.4;
/// Steps in which type is made smaller.
const SMALLER: f64 = 0.97;
/// Type size of headings and of the note, as a share of the cells'.
const SMALL: f64 = 0.89;
/// Distance between lines of headings and of the note, pt.
const LEADING: f64 = 9.6;
/// The least gap between columns, pt.
const GAP: f64 = 8.0;
/// Baseline of a row below its top, pt.
const BASELINE: f64 = 9.6;
/// Thickness of rules, pt.
const THIN: f64 = 0.4;

/// A table as one strip.
pub fn strip(faces: &Faces, table: &Table, measure: f64) -> Strip {
    let mut size = CELL;
    let mut columns = set(faces, table, size);
    while gap(&columns, measure) < GAP && size * SMALLER >= SMALLEST {
        size *= SMALLER;
        columns = set(faces, table, size);
    }
    let gap = gap(&columns, measure);
    let mut marks = Vec::new();
    let heading_lines = columns.iter().map(|column| column.heading.len()).max().unwrap_or(0);
    let head = if heading_lines == 0 { 0.0 } else { on_grid(LEADING * heading_lines as f64 + 1.0) };
    let rule = |y: f64| Mark::Rule { x: 0.0, y, length: measure, thickness: THIN, ink: Ink::Black };
    marks.push(rule(head + 0.4));
    let mut left = 0.0;
    for column in columns {
        let width = column.width;
        column.place(left, head, heading_lines, &mut marks);
        left += width + gap;
    }
    let foot = head + GRID * table.rows.len() as f64;
    marks.push(rule(foot + 0.4));
    let note = words(faces, &table.note, Face::Sans, SMALL * CELL);
    let note = if note.is_empty() { Vec::new() } else { paragraph::lines(&note, measure, 0.0) };
    let mut bottom = foot;
    for line in note {
        bottom += LEADING;
        marks.push(Mark::Type { x: 0.0, y: bottom + 1.0, line, ink: Ink::Grey, of: None });
    }
    Strip { height: on_grid(bottom + 1.5), marks, may_end: true, is_space: false }
}

/// The next height on the grid.
fn on_grid(height: f64) -> f64 {
    (height / GRID).ceil() * GRID
}

/// The gap between columns that spreads them over the measure, pt.
fn gap(columns: &[SetColumn], measure: f64) -> f64 {
    let width: f64 = columns.iter().map(|column| column.width).sum();
    (measure - width) / columns.len().saturating_sub(1).max(1) as f64
}

/// A column whose cells are set.
struct SetColumn {
    align: Align,
    heading: Vec<Line>,
    cells: Vec<Cell>,
    /// Width of the whole numbers, pt.
    before: f64,
    /// Width of headings and cells, pt.
    width: f64,
    /// Width of the cells alone, pt.
    cells_width: f64,
}

/// A cell that is set.
struct Cell {
    line: Line,
    /// Width of its whole number, pt; none for a cell that begins with no figure.
    before: Option<f64>,
}

fn set(faces: &Faces, table: &Table, size: f64) -> Vec<SetColumn> {
    table
        .columns
        .iter()
        .enumerate()
        .map(|(n, column)| {
            let cells = table.rows.iter().map(|row| row.get(n).map_or("", String::as_str));
            SetColumn::new(faces, column, cells, size)
        })
        .collect()
}

impl SetColumn {
    fn new<'a>(faces: &Faces, column: &Column, cells: impl Iterator<Item = &'a str>, size: f64) -> Self {
        let heading: Vec<Line> = column
            .heading
            .split('\n')
            .filter(|line| !line.is_empty())
            .map(|line| Line::set(faces, line, Face::Sans, SMALL * size))
            .collect();
        let cells: Vec<Cell> = cells
            .map(|text| {
                let whole = whole_number(text).filter(|_| column.align == Align::Decimal);
                Cell {
                    line: Line::set(faces, text, Face::Sans, size),
                    before: whole.map(|whole| Line::set(faces, whole, Face::Sans, size).width()),
                }
            })
            .collect();
        let greatest = |widths: &mut dyn Iterator<Item = f64>| widths.fold(0.0, f64::max);
        let before = greatest(&mut cells.iter().filter_map(|cell| cell.before));
        let after = greatest(&mut cells.iter().filter_map(|cell| Some(cell.line.width() - cell.before?)));
        let other =
            greatest(&mut cells.iter().filter(|cell| cell.before.is_none()).map(|cell| cell.line.width()));
        let cells_width = other.max(before + after);
        let width = greatest(&mut heading.iter().map(Line::width)).max(cells_width);
        Self { align: column.align, heading, cells, before, width, cells_width }
    }

    /// Puts the column's marks with its left edge at `left`, below a head of height `head`.
    fn place(self, left: f64, head: f64, heading_lines: usize, marks: &mut Vec<Mark>) {
        let right = left + self.width;
        let flush = |line: &Line| match self.align {
            Align::Left => left,
            Align::Decimal => right - line.width(),
        };
        let missing = heading_lines - self.heading.len();
        for (n, line) in self.heading.into_iter().enumerate() {
            let lines_below = (heading_lines - 1 - n - missing) as f64;
            let y = head - 3.4 - LEADING * lines_below;
            marks.push(Mark::Type { x: flush(&line), y, line, ink: Ink::Grey, of: None });
        }
        for (n, cell) in self.cells.into_iter().enumerate() {
            let x = match cell.before {
                Some(before) => right - self.cells_width + self.before - before,
                None => flush(&cell.line),
            };
            let y = head + GRID * n as f64 + BASELINE;
            marks.push(Mark::Type { x, y, line: cell.line, ink: Ink::Black, of: None });
        }
    }
}

/// The sign and the whole number that a cell begins with.
fn whole_number(text: &str) -> Option<&str> {
    let sign = text.strip_prefix('−').map_or(0, |_| '−'.len_utf8());
    let rest = text.get(sign..)?;
    let figures = rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    // A fraction alone stands behind the point.
    let figures = if rest.get(figures..)?.starts_with('/') { 0 } else { figures };
    (figures > 0 || rest.starts_with(|c: char| c.is_ascii_digit()))
        .then(|| text.get(..sign + figures))
        .flatten()
}
