//! Readings of a dial indicator round the turn, once or several times, as a table.
//!
//! Runs stand side by side, a column for each, or below one another, each beginning where the angle goes back.

use std::f64::consts::PI;
use std::path::Path;

use latchstroke_core::bench::dial::Look;

use super::super::disk::Unread;
use super::super::mistakes::{Mistake, Mistakes};
use super::super::quantity::{Dimension, Unit};
use super::table::{Table, step};

/// More angles say no more of a cam, and more readings no more of an angle.
const MOST: (usize, usize) = (400, 4000);
/// No indicator shows more than this, m; no pump cam lifts half as far.
const WIDEST: f64 = 0.3;

/// What was read.
#[derive(Debug)]
pub struct Dial {
    /// The readings, run by run as they stand in the table.
    pub looks: Vec<Look>,
    /// The line of the file that each stands on.
    pub lines: Vec<usize>,
    /// A division of the dial, m.
    pub step: f64,
    /// The unit of the lifts.
    pub unit: &'static Unit,
}

/// Reads the table at `path`; `columns` stands for its heading where given.
///
/// # Errors
/// [`Unread`] if there is no such file, or it has mistakes.
pub fn dial(path: &Path, columns: Option<&str>) -> Result<Dial, Unread> {
    let table = Table::open(path, columns)?;
    read(&table).map_err(|list| Unread::Mistakes(Mistakes::new(&table.name, &table.text, list)))
}

fn read(table: &Table) -> Result<Dial, Vec<Mistake>> {
    const LENGTH: [Dimension; 1] = [Dimension::Length];
    let is = |words: &[&str], text: &str| words.iter().any(|word| text.to_lowercase().contains(word));
    let angle = table.heading.iter().position(|cell| is(&["angle", "deg", "shaft"], &cell.text));
    let is_lift = |text: &str| is(&["lift", "run", "dial", "reading", "height"], text);
    let lifts: Vec<usize> = (0..table.heading.len())
        .filter(|n| Some(*n) != angle && table.heading.get(*n).is_some_and(|cell| is_lift(&cell.text)))
        .collect();
    let (Some(angle), [first, ..]) = (angle, lifts.as_slice()) else {
        let message = if angle.is_none() { "no column has the angle" } else { "no column has the lift" };
        let right = "head the columns, as in \"angle (deg), lift (mm)\" or \"angle (deg), run 1 (in), run 2 (in)\", or give it by --columns";
        return Err(vec![table.mistake(message, right, table.heading.first())]);
    };
    let angles = table.unit(angle, &[Dimension::Angle], "angle (deg)");
    // One lift's unit serves for those beside it that say none.
    let said = lifts.iter().find_map(|n| table.unit(*n, &LENGTH, "").ok().flatten());
    let common = said.map_or_else(|| table.unit(*first, &LENGTH, "lift (mm)"), |unit| Ok(Some(unit)));
    let (angle_unit, common) = match (angles, common) {
        (Ok(angle), Ok(lift)) => (angle, lift),
        (a, b) => return Err(a.err().into_iter().chain(b.err()).collect()),
    };
    let mut mistakes = Vec::new();
    let mut rows: Vec<(f64, usize, Vec<Option<f64>>)> = Vec::new();
    let mut unit = None;
    for row in &table.rows {
        let Some(cell) = row.get(angle) else { continue };
        let counted = table.quantity(cell, &[Dimension::Angle], angle_unit.as_deref());
        let mut shown = Vec::new();
        for n in &lifts {
            let own = table.unit(*n, &LENGTH, "").ok().flatten();
            let own = own.as_deref().or(common.as_deref());
            match row.get(*n).map_or(Ok(None), |cell| table.quantity(cell, &LENGTH, own)) {
                Ok(Some(lift)) if lift.si.abs() > WIDEST => {
                    let message = format!("no dial shows `{lift}`");
                    mistakes.push(table.mistake(
                        &message,
                        "write what it showed, in the column's unit",
                        row.get(*n),
                    ));
                }
                Ok(lift) => {
                    unit = unit.or(lift.as_ref().map(|lift| lift.unit));
                    shown.push(lift.map(|lift| lift.si));
                }
                Err(mistake) => mistakes.push(mistake),
            }
        }
        match counted {
            Ok(Some(angle)) => rows.push((angle.si, table.line(row), shown)),
            Ok(None) if shown.iter().any(Option::is_some) => {
                mistakes.push(table.mistake(
                    "this reading has no angle",
                    "write the angle it was taken at",
                    row.get(*first),
                ));
            }
            Ok(None) => {}
            Err(mistake) => mistakes.push(mistake),
        }
    }
    let mut angles: Vec<f64> = rows.iter().map(|row| row.0).collect();
    angles.sort_by(f64::total_cmp);
    angles.dedup();
    if angles.len() > MOST.0 || rows.len() * lifts.len() > MOST.1 {
        let message = format!(
            "there are readings at {} angles, and no more than {} at {} angles are looked at",
            angles.len(),
            MOST.1,
            MOST.0
        );
        mistakes.push(table.mistake(&message, "keep every second or third angle", None));
    }
    let Some(unit) = unit.filter(|_| mistakes.is_empty()) else {
        if mistakes.is_empty() {
            mistakes.push(table.mistake("there are no readings", "write rows such as 20, 2.9", None));
        }
        return Err(mistakes);
    };
    let texts = table.rows.iter().flat_map(|row| lifts.iter().filter_map(|n| row.get(*n)));
    let step = unit.to_si(step(texts.map(|cell| cell.text.as_str())));
    let (looks, lines) = runs(&rows, lifts.len());
    Ok(Dial { looks, lines, step, unit })
}

/// The readings, each with its run: a new one begins in every column where the angle turns back.
fn runs(rows: &[(f64, usize, Vec<Option<f64>>)], columns: usize) -> (Vec<Look>, Vec<usize>) {
    let mut pass = 0;
    let mut way = 0.0;
    let mut found: Vec<(usize, Look, usize)> = Vec::new();
    for (n, (angle, line, shown)) in rows.iter().enumerate() {
        let moved =
            n.checked_sub(1).and_then(|before| rows.get(before)).map_or(0.0, |before| angle - before.0);
        if way == 0.0 && moved != 0.0 {
            way = moved.signum();
        }
        // Back by less than half a turn may be a slip of order, and is taken as it stands.
        if moved * way < -PI {
            pass += 1;
            way = 0.0;
        }
        for (column, lift) in shown.iter().enumerate() {
            let look = |lift| Look { run: pass * columns + column, angle: *angle, lift };
            found.extend(lift.map(|lift| (pass * columns + column, look(lift), *line)));
        }
    }
    // A column that is empty in one of the passes is no run.
    let mut known: Vec<usize> = found.iter().map(|one| one.0).collect();
    known.sort_unstable();
    known.dedup();
    let numbered = |run: usize| known.binary_search(&run).unwrap_or(0);
    found.into_iter().map(|(run, look, line)| (Look { run: numbered(run), ..look }, line)).unzip()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Dial {
        read(&Table::of("cam.csv", text)).unwrap_or_else(|list| panic!("{list:?}"))
    }

    #[test]
    fn runs_stand_side_by_side_or_below_one_another() {
        let beside = of("angle (deg), run 1 (in), run 2\n0, .010, .020\n90, 1.010,\n180, .510, .520\n");
        assert_eq!(beside.looks.len(), 5);
        assert_eq!(beside.looks.iter().map(|look| look.run).collect::<Vec<_>>(), [0, 1, 0, 0, 1]);
        assert!(
            (beside.looks[1].lift - 0.02 * 0.0254).abs() < 1e-12 && (beside.step - 0.0254e-3).abs() < 1e-12
        );
        let below = of("deg; lift (mm)\n0; 0,00\n180; 9,50\n360; 0,01\n0; 0,02\n180; 9,51\n360; 0,02\n");
        assert_eq!(below.looks.iter().map(|look| look.run).collect::<Vec<_>>(), [0, 0, 0, 1, 1, 1]);
        assert_eq!(below.lines, [2, 3, 4, 5, 6, 7]);
        assert!((below.looks[4].lift - 9.51e-3).abs() < 1e-12, "{below:?}");
        // Turned backwards.
        let back = of("angle (deg), lift (mm)\n360, 0\n180, 9\n0, 0\n360, 0\n180, 9\n0, 0\n");
        assert_eq!(back.looks.iter().map(|look| look.run).collect::<Vec<_>>(), [0, 0, 0, 1, 1, 1]);
    }

    #[test]
    fn every_mistake_is_told_at_its_place() {
        for (text, place, word) in [
            ("angle, lift (mm)\n0, 1\n", "line 1", "`angle` is measured"),
            ("angle (deg), lift\n0, 1\n", "line 1", "`lift` is measured"),
            ("angle (deg), width\n0, 1\n", "line 1", "no column has the lift"),
            ("angle (deg), lift (mm)\n0, 1\n10, l\n", "line 3", "does not start with a number"),
            ("angle (deg), lift (mm)\n0, 1\n, 2\n", "line 3", "has no angle"),
            ("angle (deg), lift (mm)\n0, 1\n10, 1000\n", "line 3", "no dial shows"),
            ("angle (deg), lift (mm)\n", "", "no readings"),
        ] {
            let said = read(&Table::of("cam.csv", text)).expect_err(text);
            assert_eq!(said.len(), 1, "{said:?}");
            assert!(said[0].location.in_words() == place && said[0].message.contains(word), "{said:?}");
        }
    }
}
