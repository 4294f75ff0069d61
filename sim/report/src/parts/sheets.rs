//! The drawings of sleeve and extension, and of how they go together.

mod assembly;
mod extension;
mod sleeve;

use super::Made;
use super::measures::Measures;
use crate::charts::close;
use crate::outbox::Outbox;
use crate::owner::OwnerUnits;
use latchstroke_core::studies::parts::{Parts, STEEL};
use latchstroke_models::machine::Machine;
use latchstroke_plots::PlotError;
use latchstroke_plots::drawing::{Characteristic, Figure, Projection, Sheet, TitleBlock, ToleranceFrame};
use latchstroke_plots::page::Paper;
use latchstroke_scenario::key;
use latchstroke_scenario::stated::Title;
use latchstroke_scenario::{Dimension, Scenario};
use std::ffi::OsStr;
use std::path::Path;

/// Chamfer on outside edges, m.
const CHAMFER: f64 = 0.5e-3;
/// How far a face may be off square, m: what facing in the same chucking holds without care. Common practice, no source.
const SQUARE: f64 = 0.05e-3;
/// How far an axis may be off another, m: the width of the zone. Common practice, no source.
const COAXIAL: f64 = 0.1e-3;
/// Edges and inner corners that no dimension tells, m. Common practice, no source; ISO 13715 has signs for them.
const EDGE: f64 = 0.3e-3;

/// What every sheet is drawn from.
#[derive(Clone, Copy)]
struct Draft<'a> {
    made: Made<'a>,
    measures: Measures,
    units: &'a OwnerUnits,
}

impl Draft<'_> {
    fn is_assumed(&self, key: &str) -> bool {
        self.made.parts.assumed.contains(&key)
    }

    fn star(&self, key: &str) -> &'static str {
        if self.is_assumed(key) { " *" } else { "" }
    }

    /// "0.5 × 45°", for a chamfer in mm.
    fn chamfer(&self, chamfer: f64) -> String {
        format!("{}\u{a0}×\u{a0}45°", self.measures.drawn_roughly(1e-3 * chamfer))
    }

    fn square(&self) -> ToleranceFrame {
        let value = self.measures.zone(SQUARE);
        ToleranceFrame { characteristic: Characteristic::Square, value, datum: 'A' }
    }

    fn coaxial(&self) -> ToleranceFrame {
        let value = format!("Ø\u{a0}{}", self.measures.zone(COAXIAL));
        ToleranceFrame { characteristic: Characteristic::Coaxial, value, datum: 'A' }
    }

    /// A note on edges and corners, one on what is marked, and one on the finished weight.
    fn closing_notes(&self, keys: &[&str], volume: f64) -> Vec<String> {
        let edge = self.measures.drawn_roughly(EDGE);
        let mut notes = vec![format!(
            "Edges not dimensioned broken {edge} at most, no burrs; inner corners not dimensioned R\u{a0}{edge} at most."
        )];
        if keys.iter().any(|key| self.is_assumed(key)) {
            notes.push(
                "* Not stated by the owner: assumed by rule of thumb. Measure the machine before you cut metal."
                    .to_owned(),
            );
        }
        let weight = close(&self.units.figure(Dimension::Mass, STEEL * volume));
        notes.push(format!("Finished weight in steel {weight}."));
        notes
    }
}

/// The sheets, each with its file name without ending; `machine` has the pieces on it.
pub fn of_parts(
    scenario: &Scenario,
    machine: &Machine,
    made: Made<'_>,
    units: &OwnerUnits,
) -> Vec<(&'static str, Sheet)> {
    let measures = Measures::of(units);
    let draft = Draft { made, measures, units };
    let parts = made.parts;
    let mut figures: Vec<(&str, &str, Figure, Vec<String>)> = Vec::new();
    if let Some(piece) = &parts.sleeve {
        let (view, notes) = sleeve::draw(piece, draft);
        figures.push(("sleeve", "Sleeve", Figure::Part(view), notes));
    }
    if let Some(piece) = &parts.extension {
        let (view, notes) = extension::draw(piece, draft);
        figures.push(("rod-extension", "Rod extension", Figure::Part(view), notes));
    }
    if let Some((mut poses, notes)) = assembly::draw(machine, draft) {
        // Of pieces that are not to be made only the place is worth showing.
        poses.truncate(if made.forbidding.is_empty() { poses.len() } else { 1 });
        figures.push(("assembly", "Assembly", Figure::Assembly(poses), notes));
    }
    let forbidden = (!made.forbidding.is_empty()).then(|| made.forbidding.join(" "));
    let count = figures.len();
    let sheets = figures.into_iter().enumerate().map(|(n, (file, name, figure, notes))| {
        let title = title(scenario, parts, (name, (n + 1, count)), measures);
        let (paper, projection) = if measures.in_inches() {
            (Paper::Letter, Projection::Third)
        } else {
            (Paper::A4, Projection::First)
        };
        (file, Sheet { figure, notes, title, paper, projection, forbidden: forbidden.clone() })
    });
    sheets.collect()
}

/// Draws the sheets as SVG and PDF into an outbox.
///
/// # Errors
/// When a sheet cannot be drawn.
pub fn draw(sheets: &[(&str, Sheet)], outbox: &mut Outbox) -> Result<(), PlotError> {
    for (name, sheet) in sheets {
        outbox.add(format!("{name}.svg"), sheet.svg()?);
        outbox.add(format!("{name}.pdf"), sheet.pdf()?);
    }
    Ok(())
}

fn title(
    scenario: &Scenario,
    parts: &Parts,
    (part, number): (&str, (usize, usize)),
    measures: Measures,
) -> TitleBlock {
    let name = scenario.machine_name();
    let machine =
        scenario.text(key!(Title, place)).map_or(name.to_owned(), |place| format!("{name}, {place}"));
    // The name of a file, without the way to it; what is no file has a name in words.
    let file = scenario.file_name();
    let path = Path::new(file);
    let is_file = path.extension().is_some_and(|end| end == "toml");
    let own = |part: &OsStr| part.to_string_lossy().into_owned();
    let stem = path.file_stem().filter(|_| is_file).map_or("demo".to_owned(), own);
    TitleBlock {
        part: part.to_owned(),
        machine,
        drawing: format!("{stem}-{}", number.0),
        material: parts.material.clone(),
        finish: format!("turned, {}; edges broken", measures.roughness().1),
        tolerances: measures.general(),
        dimensions: measures.words(),
        in_inches: measures.in_inches(),
        source: path.file_name().filter(|_| is_file).map_or(file.to_owned(), own),
        quantity: 1,
        date: scenario.text(key!(Title, date)).unwrap_or_default().to_owned(),
        number,
    }
}

fn mm(metres: f64) -> f64 {
    metres * 1e3
}
