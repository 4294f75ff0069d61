//! What was measured, as tables (CSV): how a part moved, positions marked in the frames of a film, a spring's loads, a dial's readings.

pub mod dial;
pub mod loads;
mod table;

use super::disk::Unread;
use super::heading::unit_of;
use super::mistakes::{Location, Mistake, Mistakes};
use super::quantity::{Dimension, Quantity};
use latchstroke_core::fit::curve::Part;
use latchstroke_core::fit::trace::{Gauge, Measured};
use std::path::Path;
use table::{Cell, Table};

/// What a quantity as typed was rounded to, SI: one in its last decimal, or its smallest fraction.
pub fn rounded_to(quantity: &Quantity) -> f64 {
    let value = quantity.text.split(['±', '+']).next().unwrap_or_default();
    quantity.unit.difference_to_si(quantity.si, table::step(std::iter::once(value)))
}

/// How a trace is to be read.
#[derive(Debug, Clone, Copy, Default)]
pub struct Reading {
    /// The part whose place it is, where the heading does not say.
    pub part: Option<Part>,
    /// Frames a second, where it counts frames.
    pub frames: Option<f64>,
    /// Whether it has positions marked in a picture, x and y.
    pub marks: bool,
    /// Length of one unit of the picture, m.
    pub pixel: Option<f64>,
    /// Whether the scale is to be found out.
    pub free_scale: bool,
}

/// A trace as read.
#[derive(Debug)]
pub struct Trace {
    /// What was measured.
    pub measured: Measured,
    /// Whether readings are in m; in the picture's own units otherwise.
    pub in_metres: bool,
}

/// What a column is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Column {
    Time,
    Frame,
    Place(Option<Part>),
    X,
    Y,
    Other,
}

impl Column {
    fn of(heading: &str) -> Self {
        let plain = heading.to_lowercase();
        let first = plain.split([' ', '(', '[', '_', ',', '/']).next().unwrap_or_default();
        match first {
            "t" | "time" => Self::Time,
            _ if first.starts_with("frame") => Self::Frame,
            "x" => Self::X,
            "y" => Self::Y,
            _ if plain.contains("piston") => Self::Place(Some(Part::Piston)),
            _ if plain.contains("block") => Self::Place(Some(Part::Block)),
            _ if plain.contains("rod") => Self::Place(Some(Part::Rod)),
            "position" | "place" | "lift" | "travel" | "reading" => Self::Place(None),
            _ => Self::Other,
        }
    }
}

/// Reads the trace in the file at `path`; `columns` stands for its heading where given.
///
/// # Errors
/// [`Unread`] if there is no such file, it holds no trace, or it has mistakes.
pub fn trace(path: &Path, columns: Option<&str>, reading: &Reading) -> Result<Trace, Unread> {
    let table = Table::open(path, columns)?;
    read(&table, reading).map_err(|list| Unread::Mistakes(Mistakes::new(&table.name, &table.text, list)))
}

/// Columns of a trace: which they are, and in which unit.
struct Columns {
    time: usize,
    /// Seconds for each of the time's units.
    tick: f64,
    place: Places,
    part: Part,
}

enum Places {
    /// A column of places and metres for each of its units; none where that is not known.
    One(usize, Option<f64>),
    /// x and y.
    Marks(usize, usize, Option<f64>),
}

fn read(table: &Table, reading: &Reading) -> Result<Trace, Vec<Mistake>> {
    let columns = columns(table, reading)?;
    let mut mistakes = Vec::new();
    let mut rows: Vec<(f64, [f64; 2])> = Vec::new();
    for row in &table.rows {
        let number = |column: usize| row.get(column).map_or(Ok(None), |cell| table.number(cell));
        let (x, y) = match columns.place {
            Places::One(place, _) => (number(place), Ok(Some(0.0))),
            Places::Marks(x, y, _) => (number(x), number(y)),
        };
        match (number(columns.time), x, y) {
            (Ok(Some(time)), Ok(Some(x)), Ok(Some(y))) => {
                let time = time * columns.tick;
                if rows.last().is_some_and(|(last, _)| *last >= time) {
                    mistakes.push(table.mistake(
                        "the time does not go on here",
                        "put the rows in the order in which they were taken, each with its own time",
                        row.first(),
                    ));
                }
                rows.push((time, [x, y]));
            }
            (time, x, y) => {
                let faults = [time.err(), x.err(), y.err()];
                // A row without a reading is a gap.
                mistakes.extend(faults.into_iter().flatten());
            }
        }
    }
    if !mistakes.is_empty() {
        return Err(mistakes);
    }
    let (readings, unit) = match columns.place {
        Places::One(_, unit) => (rows.iter().map(|(t, [x, _])| (*t, *x)).collect(), unit),
        Places::Marks(.., unit) => (along(&rows), unit),
    };
    let scaled =
        |readings: Vec<(f64, f64)>, by: f64| readings.into_iter().map(|(t, y)| (t, by * y)).collect();
    let gauge = if reading.free_scale || unit.is_none() { Gauge::Free } else { Gauge::EitherWay(1.0) };
    let readings = scaled(readings, unit.unwrap_or(1.0));
    Ok(Trace { measured: Measured { part: columns.part, readings, gauge }, in_metres: unit.is_some() })
}

/// Places along the line on which marks lie, which is that of their greatest spread.
fn along(rows: &[(f64, [f64; 2])]) -> Vec<(f64, f64)> {
    let count = rows.len().max(1) as f64;
    let mean = |axis: usize| rows.iter().map(|(_, at)| at[axis]).sum::<f64>() / count;
    let (x, y) = (mean(0), mean(1));
    let sum = |of: fn(f64, f64) -> f64| rows.iter().map(|(_, at)| of(at[0] - x, at[1] - y)).sum::<f64>();
    let angle = 0.5 * (2.0 * sum(|x, y| x * y)).atan2(sum(|x, _| x * x) - sum(|_, y| y * y));
    rows.iter().map(|(t, at)| (*t, (at[0] - x) * angle.cos() + (at[1] - y) * angle.sin())).collect()
}

fn columns(table: &Table, reading: &Reading) -> Result<Columns, Vec<Mistake>> {
    let headings: Vec<(usize, &Cell, Column)> =
        table.heading.iter().enumerate().map(|(n, cell)| (n, cell, Column::of(&cell.text))).collect();
    let find =
        |column: Column| headings.iter().find(|(.., of)| *of == column).map(|(n, cell, _)| (*n, *cell));
    let wrong = |message: &str, right: &str, cell: Option<&Cell>| {
        table.mistake(message, right, cell.or_else(|| table.heading.first()))
    };
    let unit = |cell: &Cell, dimension| {
        let unit = unit_of(&cell.text, dimension)?;
        Quantity::parse(&format!("1 {unit}"), dimension).ok().map(|one| one.si)
    };
    let mut mistakes = Vec::new();
    let time = match (find(Column::Time), find(Column::Frame), reading.frames) {
        (None, Some((n, _)), Some(frames)) => Some((n, 1.0 / frames)),
        (Some((n, cell)), ..) => {
            let tick = unit(cell, Dimension::Time);
            if tick.is_none() {
                let right = "write the unit into the heading, as in \"time (ms)\"";
                mistakes.push(wrong("nothing says in what the time is counted", right, Some(cell)));
            }
            tick.map(|tick| (n, tick))
        }
        (None, Some((_, cell)), None) => {
            let right = "give the rate at which the camera took them, as in --fps 240";
            mistakes.push(wrong(
                "these rows count frames, and nothing says how many there are to a second",
                right,
                Some(cell),
            ));
            None
        }
        (None, None, _) => {
            let right = "head the columns, as in \"time (ms), piston (mm)\" or \"frame, rod (in)\"";
            mistakes.push(wrong("no column is headed time or frame", right, None));
            None
        }
    };
    let place = if reading.marks { marks(&find, &unit, reading) } else { place(&headings, &unit, reading) };
    match (time, place) {
        (Some((time, tick)), Ok((place, part))) if mistakes.is_empty() => {
            Ok(Columns { time, tick, place, part })
        }
        (_, place) => {
            mistakes.extend(place.err().map(|(message, right)| wrong(message, right, None)));
            Err(mistakes)
        }
    }
}

type Wrong = (&'static str, &'static str);

const WHICH_PART: Wrong =
    ("nothing says which part these places are of", "give --of piston, --of rod or --of block");

fn marks<'a>(
    find: &impl Fn(Column) -> Option<(usize, &'a Cell)>,
    unit: &impl Fn(&Cell, Dimension) -> Option<f64>,
    reading: &Reading,
) -> Result<(Places, Part), Wrong> {
    let (Some((x, cell)), Some((y, _))) = (find(Column::X), find(Column::Y)) else {
        return Err((
            "marks have columns headed x and y, and this table lacks one",
            "head them as in \"frame, x, y\"",
        ));
    };
    let part = reading.part.ok_or(WHICH_PART)?;
    Ok((Places::Marks(x, y, reading.pixel.or_else(|| unit(cell, Dimension::Length))), part))
}

fn place(
    headings: &[(usize, &Cell, Column)],
    unit: &impl Fn(&Cell, Dimension) -> Option<f64>,
    reading: &Reading,
) -> Result<(Places, Part), Wrong> {
    let places = headings.iter().filter_map(|(n, cell, of)| match of {
        Column::Place(part) => Some((*n, *cell, *part)),
        _ => None,
    });
    let mut fitting =
        places.filter(|(_, _, part)| part.is_none() || reading.part.is_none() || *part == reading.part);
    let Some((n, cell, part)) = fitting.next() else {
        return Err((
            "no column has the place of a part",
            "head one piston, rod or block, or position and give --of; for places marked in a picture, x and y, give --marks",
        ));
    };
    if fitting.next().is_some() {
        return Err((
            "several columns have places of parts",
            "say which one is meant by --of piston, --of rod or --of block",
        ));
    }
    let part = part.or(reading.part).ok_or(WHICH_PART)?;
    match unit(cell, Dimension::Length) {
        None if !reading.free_scale => Err((
            "nothing says in what the place is measured",
            "write the unit into the heading, as in \"piston (mm)\", or give --scale free where it is not known",
        )),
        unit => Ok((Places::One(n, unit), part)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str, reading: Reading) -> Result<Trace, Vec<String>> {
        let table = Table::of("trace.csv", text);
        read(&table, &reading).map_err(|list| {
            list.iter().map(|m| format!("{}: {}", m.location.in_words(), m.message)).collect()
        })
    }

    #[test]
    fn columns_units_gaps_and_frames_are_read() {
        let trace =
            of("time (ms), piston (in)\n0, 0\n10, 0.5\n20,\n30, 1\n", Reading::default()).expect("a trace");
        let near = |a: &[(f64, f64)], b: &[(f64, f64)]| {
            a.len() == b.len()
                && a.iter().zip(b).all(|(a, b)| (a.0 - b.0).abs() < 1e-12 && (a.1 - b.1).abs() < 1e-9)
        };
        assert!(near(&trace.measured.readings, &[(0.0, 0.0), (0.01, 0.0127), (0.03, 0.0254)]), "{trace:?}");
        // The name of what was marked above the heading, as programs that follow marks in a film write it.
        let named = of("mark A,,\ntime (s),rod (m)\n0,0\n1,2\n", Reading::default()).expect("a trace");
        assert!(near(&named.measured.readings, &[(0.0, 0.0), (1.0, 2.0)]), "{named:?}");
        // Semicolons and decimal commas, frames, another part's column beside.
        let german = "# filmed\nframe; cross block (mm); rod (mm)\n0; 0,5; 9\n12; 1,5; 9\n";
        let reading = Reading { frames: Some(120.0), part: Some(Part::Block), ..Reading::default() };
        let trace = of(german, reading).expect("a trace");
        assert!(near(&trace.measured.readings, &[(0.0, 0.5e-3), (0.1, 1.5e-3)]), "{trace:?}");
        // Marks along a slanted line: 3, 4, 5.
        let reading = Reading {
            frames: Some(10.0),
            part: Some(Part::Rod),
            marks: true,
            pixel: Some(1e-3),
            ..Reading::default()
        };
        let trace = of("frame,x,y\n0,100,100\n1,103,104\n2,106,108\n", reading).expect("a trace");
        let steps: Vec<f64> =
            trace.measured.readings.windows(2).map(|pair| (pair[1].1 - pair[0].1).abs()).collect();
        assert!(steps.iter().all(|step| (step - 5e-3).abs() < 1e-9), "{steps:?}");
    }

    #[test]
    fn every_mistake_is_told_at_its_place() {
        let said = of("time (s), piston (mm)\n0.1, 1\n0.2, one\n0.05, 2\n", Reading::default())
            .expect_err("mistakes");
        assert_eq!(said.len(), 2, "{said:?}");
        assert!(said[0].starts_with("line 3") && said[1].starts_with("line 4"), "{said:?}");
        for (text, word) in [
            ("frame, piston (mm)\n0, 1\n", "frames"),
            ("time (s), piston\n0, 1\n", "measured"),
            ("time (s), position (mm)\n0, 1\n", "which part"),
            ("time (s), piston (mm), rod (mm)\n0, 1, 2\n", "several"),
            ("time, piston (mm)\n0, 1\n", "counted"),
            ("a, b\n0, 1\n", "headed time"),
            ("", "headed time"),
        ] {
            let said = of(text, Reading::default()).expect_err(text).concat();
            assert!(said.contains(word), "{text}: {said}");
        }
    }
}
