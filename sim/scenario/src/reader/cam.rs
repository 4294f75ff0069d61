//! The readings of a measured cam: pairs, two lists or a CSV file, with their units stated one by one or once for all.
//!
//! Whichever way they are given, they become the key `readings`, in growing order of angle, each with its unit.

mod ring;
mod stated;
mod table;

use std::ops::Range;
use std::path::{Path, PathBuf};

use toml::de::DeTable;

use super::super::mistakes::{Location, Mistake};
use super::super::quantity::{Dimension, Quantity, QuantityError, unit_as_typed};
use super::super::resolved::Value;
use super::draft::{Draft, DraftSection, Slot};
use super::neighbours::Neighbours;
use super::place::within_text;
use ring::Reading;
use table::Table;

/// Fewest readings that show the shape of a cam, and the most that are worth the sums.
const READINGS: std::ops::RangeInclusive<usize> = 6..=1000;

/// The other keys that say what `readings` says.
const OTHER_KEYS: [&str; 5] = ["angles", "lifts", "readings_file", "angle_unit", "lift_unit"];

/// What came of it.
#[derive(Default)]
pub(super) struct Noted {
    pub mistakes: Vec<Mistake>,
    pub remarks: Vec<Mistake>,
    /// The table that was read.
    pub file: Option<PathBuf>,
}

/// Reads the readings of the draft's cam, whose keys stand in `file`; a file beside the scenario is looked for in `folder`.
pub(super) fn read(
    draft: &mut Draft,
    file: &DeTable<'_>,
    text: &str,
    folder: Option<&Path>,
    neighbours: &Neighbours,
) -> Noted {
    let mut noted = Noted::default();
    let Some(cam) = draft.section_mut("cam") else { return noted };
    let place = ["readings", "angles", "readings_file"].into_iter().find_map(|key| cam.place(key)).cloned();
    if let Some(place) = place {
        let slot = match stated::rows(cam, file, text, folder) {
            Ok(rows) => {
                if let Source::Beside(table) = &rows.source {
                    noted.file = Some(table.name.clone());
                }
                rows.read(cam, neighbours, &mut noted)
            }
            Err(mistakes) => {
                noted.mistakes.extend(mistakes);
                None
            }
        };
        cam.put(
            "readings",
            slot.map_or(Slot::Broken, |readings| Slot::Good(Value::Readings(readings), place)),
        );
    }
    for key in OTHER_KEYS {
        cam.put(key, Slot::Absent);
    }
    noted
}

/// One half of a reading as it stands: its text, without a unit or with one, and where that is.
struct Cell {
    text: String,
    span: Range<usize>,
    /// Bytes of the text before the value itself, such as an opening quote.
    quoted: bool,
}

/// Readings not yet read, and the text they stand in.
struct Rows<'a> {
    cells: Vec<(Cell, Cell)>,
    source: Source<'a>,
    /// The whole list or table.
    span: Range<usize>,
    /// Units said in the table's heading.
    heading: (Option<String>, Option<String>),
}

/// The text that readings stand in.
enum Source<'a> {
    Scenario(&'a str),
    Beside(Table),
}

impl Source<'_> {
    fn location(&self, span: Range<usize>) -> Location {
        match self {
            Self::Scenario(text) => Location::in_file(text, span),
            Self::Beside(table) => Location::beside(&table.name.display().to_string(), &table.text, span),
        }
    }

    fn mistake(&self, message: impl Into<String>, right: impl Into<String>, span: Range<usize>) -> Mistake {
        Mistake { message: message.into(), right: right.into(), location: self.location(span) }
    }

    /// What to say of more readings than are worth the sums, given at `span`.
    fn too_many(&self, span: Range<usize>) -> Mistake {
        let message = format!("there are more than {} readings", READINGS.end());
        self.mistake(message, "keep every second or third: the cam is no better known by more", span)
    }

    /// A fault inside a cell.
    fn inside(&self, fault: QuantityError, cell: &Cell) -> Mistake {
        let place = match self {
            Self::Scenario(text) if cell.quoted => within_text(text, &cell.span, &fault.span),
            _ => cell.span.clone(),
        };
        self.mistake(fault.message, fault.right, place)
    }
}

/// Whether a cell is a number and nothing else.
fn is_bare(cell: &Cell) -> bool {
    Quantity::parse(&cell.text, Dimension::Ratio).is_ok() && unit_as_typed(&cell.text).is_empty()
}

impl Rows<'_> {
    /// The readings in growing order of angle; nothing where there is a mistake.
    fn read(
        mut self,
        cam: &DraftSection,
        neighbours: &Neighbours,
        noted: &mut Noted,
    ) -> Option<Vec<(Quantity, Quantity)>> {
        let count = self.cells.len();
        let before = noted.mistakes.len();
        if count > *READINGS.end() {
            noted.mistakes.push(self.source.too_many(self.span));
            return None;
        }
        if count < *READINGS.start() {
            let right =
                format!("give at least {} round the turn, to show the shape of the cam", READINGS.start());
            let message = format!("there are {count} readings");
            noted.mistakes.push(self.source.mistake(message, right, self.span.clone()));
        }
        let heading = std::mem::take(&mut self.heading);
        let angle_unit = cam.choice("angle_unit").map(str::to_owned).or(heading.0);
        let lift_unit = cam.choice("lift_unit").map(str::to_owned).or(heading.1);
        noted.mistakes.extend(self.without_units(angle_unit.is_none(), lift_unit.is_none(), neighbours));
        let mut readings = Vec::new();
        for (angle, lift) in &self.cells {
            let angle_read = self.quantity(angle, Dimension::Angle, angle_unit.as_deref());
            let lift_read = self.quantity(lift, Dimension::Length, lift_unit.as_deref());
            match (angle_read, lift_read) {
                (Ok(Some(a)), Ok(Some(l))) => {
                    readings.push(Reading {
                        angle: a,
                        lift: l,
                        spans: (angle.span.clone(), lift.span.clone()),
                    });
                }
                (angle, lift) => noted.mistakes.extend(angle.err().into_iter().chain(lift.err())),
            }
        }
        if noted.mistakes.len() > before {
            return None;
        }
        ring::ordered(readings, &self.source, noted)
    }

    /// One word on all numbers that lack a unit.
    fn without_units(&self, angles: bool, lifts: bool, neighbours: &Neighbours) -> Option<Mistake> {
        let bare_angles = self.cells.iter().filter(|(angle, _)| angles && is_bare(angle)).count();
        let bare_lifts = self.cells.iter().filter(|(_, lift)| lifts && is_bare(lift)).count();
        let (first_angle, first_lift) = self.cells.first().map(|(a, l)| (a.span.clone(), l.span.clone()))?;
        let degrees = "angle_unit = \"deg\"";
        let lengths = format!("lift_unit = {}", neighbours.lengths("cam"));
        let (which, lines, span) = match (bare_angles, bare_lifts) {
            (0, 0) => return None,
            (_, 0) => ("angles", degrees.to_owned(), first_angle),
            (0, _) => ("lifts", lengths, first_lift),
            _ => ("angles and lifts", format!("{degrees} and {lengths}"), first_angle),
        };
        let message = format!("the {which} of these readings have no units");
        let heading = match self.source {
            Source::Beside(_) => "; or in the heading of the table, as in \"angle (deg), lift (in)\"",
            Source::Scenario(_) => "",
        };
        Some(self.source.mistake(
            message,
            format!("say once for all what they are, by {lines} in [cam]{heading}"),
            span,
        ))
    }

    /// What a cell holds, in its own unit or in the one said for all; nothing where it lacks one and that has been reported.
    fn quantity(
        &self,
        cell: &Cell,
        dimension: Dimension,
        unit: Option<&str>,
    ) -> Result<Option<Quantity>, Mistake> {
        let text = match (is_bare(cell), unit) {
            (true, Some(unit)) => format!("{} {unit}", cell.text.trim()),
            (true, None) => return Ok(None),
            (false, _) => cell.text.clone(),
        };
        let quantity = Quantity::parse(&text, dimension).map_err(|fault| self.source.inside(fault, cell))?;
        // No pump cam lifts further than the catalogue allows a stated lift.
        if dimension == Dimension::Length && !(0.0..=0.15).contains(&quantity.si) {
            let message = format!("a lift of `{quantity}` is impossible");
            let right = "write a lift between 0 mm and 150 mm, counted from the lowest place";
            return Err(self.source.mistake(message, right, cell.span.clone()));
        }
        Ok(Some(quantity))
    }
}
