//! A spring's loads at several lengths, or at several squeezes, as a table.

use std::path::Path;

use super::super::disk::Unread;
use super::super::mistakes::{Mistake, Mistakes};
use super::super::quantity::{Dimension, Quantity, Unit};
use super::table::{Table, step};

/// Standard gravity, m/s²: scales that say a mass bear its weight.
const GRAVITY: f64 = 9.80665;
/// More readings say no more.
const MOST: usize = 200;

/// What was read.
#[derive(Debug)]
pub struct Loads {
    /// How far it is squeezed (m), a length counting below nought, and the load (N).
    pub readings: Vec<(f64, f64)>,
    /// Each reading as its owner wrote it: length or squeeze, and load.
    pub written: Vec<(Quantity, Quantity)>,
    /// The line of the file that each stands on.
    pub lines: Vec<usize>,
    /// The lines with one of the two and not the other.
    pub gaps: Vec<usize>,
    /// Whether lengths were read; squeezes from somewhere otherwise.
    pub lengths: bool,
    /// What the loads were rounded to, N.
    pub step: f64,
}

impl Loads {
    /// The unit of the lengths.
    pub fn unit(&self) -> Option<&'static Unit> {
        self.written.first().map(|(length, _)| length.unit)
    }
}

/// A load as a force: what scales say in kilograms or pounds is the weight of so much.
fn force(load: &Quantity) -> f64 {
    if load.dimension == Dimension::Mass { GRAVITY * load.si } else { load.si }
}

/// Reads the table at `path`; `columns` stands for its heading where given.
///
/// # Errors
/// [`Unread`] if there is no such file, or it has mistakes.
pub fn loads(path: &Path, columns: Option<&str>) -> Result<Loads, Unread> {
    let table = Table::open(path, columns)?;
    read(&table).map_err(|list| Unread::Mistakes(Mistakes::new(&table.name, &table.text, list)))
}

fn read(table: &Table) -> Result<Loads, Vec<Mistake>> {
    const LOADS: [Dimension; 2] = [Dimension::Force, Dimension::Mass];
    let of = |words: &[&str]| {
        let has = |text: &str| words.iter().any(|word| text.to_lowercase().contains(word));
        table.heading.iter().position(|cell| has(&cell.text))
    };
    let load = of(&["load", "force", "weight", "scale", "mass"]);
    let squeeze = of(&["compress", "squeez", "deflect", "travel"]);
    let length = of(&["length", "height", "long"]);
    let mut mistakes = Vec::new();
    let (Some(load), Some(along)) = (load, length.or(squeeze)) else {
        let message = match load {
            None => "no column has the load",
            Some(_) => "no column has the length, or how far the spring is squeezed",
        };
        let right = "head the columns, as in \"load (kg), length (mm)\" or \"load (lbf), squeezed (in)\", or give it by --columns";
        return Err(vec![table.mistake(message, right, table.heading.first())]);
    };
    let mut unit = |column, dimensions: &[Dimension], example| match table.unit(column, dimensions, example) {
        Ok(unit) => unit,
        Err(mistake) => {
            mistakes.push(mistake);
            None
        }
    };
    let units = (unit(along, &[Dimension::Length], "length (mm)"), unit(load, &LOADS, "load (kg)"));
    if !mistakes.is_empty() {
        return Err(mistakes);
    }
    let (mut read, mut gaps) = (Vec::new(), Vec::new());
    for row in &table.rows {
        let cell = |column: usize, dimensions: &[Dimension], unit: Option<&str>| {
            row.get(column).map_or(Ok(None), |cell| table.quantity(cell, dimensions, unit))
        };
        match (cell(along, &[Dimension::Length], units.0.as_deref()), cell(load, &LOADS, units.1.as_deref()))
        {
            (Ok(Some(along)), Ok(Some(load))) => {
                if load.si < 0.0 {
                    let right = "count loads from what the scales show with nothing on the spring";
                    mistakes.push(table.mistake(
                        "a spring does not bear less than nothing",
                        right,
                        row.first(),
                    ));
                }
                read.push((along, load, table.line(row)));
            }
            (Ok(Some(_)), Ok(None)) | (Ok(None), Ok(Some(_))) => gaps.push(table.line(row)),
            (a, b) => mistakes.extend(a.err().into_iter().chain(b.err())),
        }
    }
    if read.len() > MOST {
        let message = format!("there are {} readings, and no more than {MOST} are looked at", read.len());
        mistakes.push(table.mistake(&message, "keep every second or third", None));
    }
    if !mistakes.is_empty() {
        return Err(mistakes);
    }
    let divided = step(read.iter().map(|(_, load, _)| load.text.as_str()));
    let weight = |load: &Quantity| if load.dimension == Dimension::Mass { GRAVITY } else { 1.0 };
    let step = read.first().map_or(0.0, |(_, load, _)| load.unit.to_si(divided) * weight(load));
    let sign = if length.is_some() { -1.0 } else { 1.0 };
    Ok(Loads {
        readings: read.iter().map(|(along, load, _)| (sign * along.si, force(load))).collect(),
        lines: read.iter().map(|row| row.2).collect(),
        gaps,
        lengths: length.is_some(),
        step,
        written: read.into_iter().map(|(along, load, _)| (along, load)).collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_squeezes_scales_and_fractions_are_read() {
        let loads =
            read(&Table::of("a.csv", "# on the scales\nload (kg), length (in)\n2, 5 3/4\n4.5, 5 1/8\n, 5\n"))
                .expect("loads");
        assert_eq!((loads.lines.as_slice(), loads.gaps.as_slice()), (&[3, 4][..], &[5][..]));
        assert!(loads.lengths);
        assert!((loads.readings[0].0 + 5.75 * 0.0254).abs() < 1e-12, "{loads:?}");
        assert!((loads.readings[1].1 - 4.5 * 9.80665).abs() < 1e-9, "{loads:?}");
        assert!((loads.step - 0.980665).abs() < 1e-9);
        let loads = read(&Table::of("b.csv", "squeezed;load\n12,5 mm;30 lbf\n1 in;62 lbf\n")).expect("loads");
        assert!(!loads.lengths && (loads.readings[0].0 - 12.5e-3).abs() < 1e-12, "{loads:?}");
        assert!((loads.readings[1].1 - 62.0 * 4.4482216152605).abs() < 1e-9, "{loads:?}");
    }

    #[test]
    fn every_mistake_is_told_at_its_place() {
        for (text, place, word) in [
            ("load, length (mm)\n2, 100\n", "line 1", "`load` is measured"),
            ("load (kg), width (mm)\n2, 100\n", "line 1", "no column has the length"),
            ("load (kg), length (mm)\n2, 100\nx, 90\n", "line 3", "does not start with a number"),
            ("load (kg), length (mm)\n-2, 100\n", "line 2", "less than nothing"),
            ("load (kg), length (mm)\n2, 100 kg\n", "line 2", "this wants a length"),
        ] {
            let said = read(&Table::of("a.csv", text)).expect_err(text);
            assert_eq!(said.len(), 1, "{said:?}");
            assert!(said[0].location.in_words() == place && said[0].message.contains(word), "{said:?}");
        }
    }
}
