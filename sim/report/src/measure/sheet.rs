//! The worksheet: two pages to take to the machine, with a place, a blank and a unit for each value.

use super::super::cautions::{CAUTIONS, HEADING};
use super::super::film::drawn;
use super::super::handout::{theme, words::bound, words::roman};
use super::super::owner::{OwnerUnits, significant};
use super::capital;
use super::read::{unit, within};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_plots::mechanism::{LatchPose, Part, PartLabel, Pose, Schematic};
use latchstroke_plots::page::{Align, Band, Block, Column, Document, Figure, Paper, Table, layout, pdf};
use latchstroke_plots::{PlotError, to_svg};
use latchstroke_scenario::catalogue::bench::{Measured, Place, all};
use latchstroke_scenario::catalogue::{Need, entry};
use latchstroke_scenario::quantity::trimmed;
use latchstroke_scenario::{Origin, Scenario, Section, Unit, Value};

/// The pages of a worksheet, at most.
pub const PAGES: usize = 2;
/// Width of the drawing, px: four to the point of the page.
const WIDTH: f64 = 1920.0;
/// Heights of the drawing, px; the tallest with which all goes on two pages is taken.
const HEIGHTS: [u32; 3] = [960, 840, 720];
/// Where a value is to be written.
const BLANK: &str = "_________";

/// What a worksheet is for.
pub struct Sheet<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The machine stated by it.
    pub stated: &'a MachineStatement,
    /// The same, prepared.
    pub machine: &'a Machine,
    /// Whether the scenario is an example: its values are then not filled in.
    pub example: bool,
    /// The owner's units.
    pub units: OwnerUnits,
}

/// The worksheet as PDF.
///
/// # Errors
/// When the drawing or a page cannot be made.
pub fn write(sheet: &Sheet, paper: Paper) -> Result<Vec<u8>, PlotError> {
    pdf(&document(sheet, paper)?)
}

/// The worksheet's pages as plain data. Where it does not go on two pages with the way to measure every value, those already known
/// do without.
///
/// # Errors
/// When the drawing cannot be made, or when it does not go on two pages even so.
pub fn document(sheet: &Sheet, paper: Paper) -> Result<Document, PlotError> {
    for all_told in [true, false] {
        for height in HEIGHTS {
            let blank = Figure { svg: String::new(), size: (WIDTH, f64::from(height)) };
            if layout(&sheet.document(paper, blank, all_told))?.pages.len() <= PAGES {
                return Ok(sheet.document(paper, drawing(sheet, height)?, all_told));
            }
        }
    }
    Err(PlotError::Pdf(format!("the worksheet does not go on {PAGES} pages of this paper")))
}

/// Places whose values stand in one table, and its heading.
const GROUPS: [(&str, &[Place]); 8] = [
    ("cam and cross block", &[Place::Cam, Place::CrossBlock]),
    ("springs", &[Place::Springs]),
    ("stack and latch", &[Place::Abutment, Place::Sleeve, Place::Extension, Place::Nut, Place::Prongs]),
    ("rod and lever", &[Place::Rod, Place::Lever]),
    ("piston and port", &[Place::Piston, Place::Port]),
    ("well and metal", &[Place::Well]),
    ("channel and nozzle", &[Place::Channel, Place::Nozzle]),
    ("mould, matrix and vents", &[Place::Mould, Place::Matrix]),
];

/// A value of the worksheet.
struct Row {
    measured: &'static Measured,
    /// Its full key.
    path: String,
    /// Which spring it is of, where there are several.
    number: Option<usize>,
}

/// The machine at rest with the latch set, its places numbered.
fn drawing(sheet: &Sheet, height: u32) -> Result<Figure, PlotError> {
    let labels = Place::ALL.iter().filter_map(|&place| {
        let part = part(place, sheet.machine)?;
        Some(PartLabel { part, name: format!("{}  {}", place.number(), place.name()), note: String::new() })
    });
    let mechanism = drawn(sheet.stated, sheet.machine);
    let picture = Schematic {
        mechanism: &mechanism,
        pose: Pose::at_rest(LatchPose::Set(0.0)),
        headline: String::new(),
        source: String::new(),
        labels: labels.collect(),
        height,
    };
    let mut theme = theme();
    theme.sizes.label = 34.0;
    theme.sizes.headline = 4.0;
    theme.sizes.small = 4.0;
    Ok(Figure { svg: to_svg(&picture, &theme)?, size: (WIDTH, f64::from(height)) })
}

/// The part of the drawing that a place is; none where the machine has none.
fn part(place: Place, machine: &Machine) -> Option<Part> {
    Some(match place {
        Place::Cam => Part::Cam,
        Place::CrossBlock => Part::Block,
        Place::Springs => Part::Spring,
        Place::Abutment => Part::Abutment,
        Place::Sleeve => (machine.abutment.sleeve > 0.0).then_some(Part::Sleeve)?,
        Place::Extension => (machine.abutment.extension > 0.0).then_some(Part::Extension)?,
        Place::Nut => Part::Nut,
        Place::Prongs => Part::Latch,
        Place::Rod => Part::Rod,
        Place::Lever => Part::Lever,
        Place::Piston => Part::Piston,
        Place::Port => (machine.piston.port_travel > 0.0).then_some(Part::Port)?,
        Place::Well => Part::Well,
        Place::Channel => Part::Channel,
        Place::Nozzle => Part::Nozzle,
        Place::Mould => Part::Mould,
        Place::Matrix => Part::Matrix,
    })
}

impl Sheet<'_> {
    fn document(&self, paper: Paper, drawing: Figure, all_told: bool) -> Document {
        let mut blocks: Vec<Block> = vec![Block::Heading(HEADING.to_owned())];
        blocks.extend(CAUTIONS.iter().map(|caution| Block::Item(roman(caution))));
        let tables = GROUPS.iter().filter_map(|(heading, places)| self.table(heading, places, all_told));
        blocks.extend(tables.map(Block::Table));
        let name = if self.example { "Your machine" } else { self.scenario.machine_name() };
        Document {
            title: format!("{name}: what to measure"),
            subtitle: "Numbers are those of the drawing. Write into each blank what you read, to within the ± beside it.".to_owned(),
            foot: format!("Printed by latchstroke {}. Power off; turn the machine by hand.", env!("CARGO_PKG_VERSION")),
            paper,
            bands: vec![Band::Wide(vec![Block::Figure(drawing)]), Band::Columns(blocks)],
        }
    }

    /// The values measured at a place.
    fn rows(&self, place: Place) -> Vec<Row> {
        let sections = |name: &str| -> Vec<&Section> {
            self.scenario.sections().iter().filter(|section| section.spec.name == name).collect()
        };
        let of = |measured: &'static Measured| {
            let (name, key) = measured.path.split_once('.').unwrap_or_default();
            let sections = sections(name);
            let several = sections.len() > 1;
            let asked = sections.into_iter().filter(move |section| asks(section, key));
            asked.map(move |section| Row {
                measured,
                path: format!("{}.{key}", section.name()),
                number: section.number.filter(|_| several),
            })
        };
        all().filter(|measured| measured.place == place).flat_map(of).collect()
    }

    /// The table of some places; none where nothing is to be measured there.
    fn table(&self, heading: &str, places: &[Place], all_told: bool) -> Option<Table> {
        let rows: Vec<Row> = places.iter().flat_map(|&place| self.rows(place)).collect();
        if rows.is_empty() {
            return None;
        }
        let columns = [heading, "read to", "value"].map(|heading| Column::new(heading, Align::Left)).to_vec();
        let mut said: Vec<&str> = Vec::new();
        let mut note: Vec<String> = Vec::new();
        for row in rows.iter().filter(|row| all_told || !self.is_known(row)) {
            let Measured { tool, how, caution, .. } = row.measured;
            // Several springs are measured in one way.
            if !said.contains(how) {
                said.push(how);
                note.push(format!("{} ({tool}): {how}", capital(&label(row.measured))));
            }
            if !caution.is_empty() && !said.contains(caution) {
                said.push(caution);
                note.push(format!("Caution: {caution}"));
            }
        }
        let cells = rows.iter().map(|row| self.cells(row)).collect();
        Some(Table { columns, rows: cells, note: bound(&note.join(" ")) })
    }

    fn is_known(&self, row: &Row) -> bool {
        let item = self.scenario.item(&row.path);
        !self.example && item.is_some_and(|item| matches!(item.origin, Origin::Given(_)))
    }

    /// What it is, how closely it is read, and its value or a blank for it.
    fn cells(&self, row: &Row) -> Vec<String> {
        let Some((_, entry)) = entry(row.measured.path) else { return Vec::new() };
        let number = row.number.map_or_else(String::new, |number| format!(" {number}"));
        let name = format!("{} {}{number}", row.measured.place.number(), label(row.measured));
        let unit = unit(self.scenario, &row.path, entry, &self.units);
        let blank = format!("{BLANK} {}", unit.symbol).trim_end().to_owned();
        let item = self.scenario.item(&row.path).filter(|_| !self.example);
        let value = match item.map(|item| (&item.value, &item.origin)) {
            Some((Value::Quantity(quantity) | Value::Number(quantity), origin)) => match origin {
                Origin::Given(_) | Origin::Fitted | Origin::Measured(_) => self.units.stated(quantity),
                Origin::Assumed => format!("{blank} (assumed {})", figure(unit, quantity.si)),
                Origin::Default | Origin::SameAs(_) => {
                    format!("{blank} (left out: {})", figure(unit, quantity.si))
                }
            },
            _ => blank,
        };
        let within = within(self.scenario, &row.path, entry, row.measured, &self.units);
        vec![name, within, value]
    }
}

/// A value (SI) in a unit that stands beside it, to two figures.
fn figure(unit: &Unit, si: f64) -> String {
    trimmed(significant(unit.from_si(si), 2))
}

/// Whether a value is wanted of a section: it stands there, or it may.
fn asks(section: &Section, key: &str) -> bool {
    let Some(entry) = section.spec.entry(key) else { return false };
    let may = matches!(entry.need, Need::Required | Need::Optional);
    section.item(key).is_some() || may && !section.items.is_empty()
}

/// The key in words.
fn label(measured: &Measured) -> String {
    let key = measured.path.split_once('.').map_or(measured.path, |(_, key)| key);
    key.replace('_', " ")
}
