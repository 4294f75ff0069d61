//! The handout: two printed pages on one machine and its job, every number on them computed.

mod charts;
mod figures;
mod prose;
pub(super) mod words;

pub(crate) use words::listed;

use super::each_once;
use super::odds::Doubts;
use super::owner::OwnerUnits;
use super::talk::HEADLINE;
use latchstroke_core::studies::job::Size;
use latchstroke_core::studies::judge::{Acceptance, Cast, Judgement};
use latchstroke_core::studies::overview::Overview;
use latchstroke_core::studies::pace::SizeMap;
use latchstroke_models::machine::Machine;
use latchstroke_models::units::Pace;
use latchstroke_plots::mechanism::Schematic;
use latchstroke_plots::page::{Band, Block, Document, Figure, Paper, layout, pdf};
use latchstroke_plots::{Picture, PlotError, Theme, to_svg};
use latchstroke_scenario::Scenario;

/// The pages of a handout.
pub const PAGES: usize = 2;
/// Width of a picture across the page and of one in a column, px: 3 px to the point of the page.
const ACROSS: u32 = 1446;
const IN_COLUMN: u32 = 690;
/// A step of the page's grid, px.
const STEP: u32 = 39;
/// The lowest and the tallest picture in a column, in steps: the tallest with which all goes on two pages is taken.
const CHART_STEPS: (u32, u32) = (10, 22);
/// The same of the machine across the page, whose names need room.
const MACHINE_STEPS: (u32, u32) = (13, 24);
/// Room round the drawing of the machine, px of its own.
const MARGIN: f64 = 16.0;
/// How much smaller than along the charts the names of its parts are set.
const CLOSER: f64 = 0.9;
/// Width of the drawing of the machine, px; it has a scale of its own.
const MACHINE_WIDTH: f64 = 1920.0;
/// Rows of a table of sizes, at most.
const MOST_ROWS: usize = 12;
/// Rows of a table of sizes, at least.
const LEAST_ROWS: usize = 3;

/// Everything the handout says.
pub struct Answer<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The machine, prepared for the job's cast with the latch set.
    pub machine: &'a Machine,
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// The job, solved.
    pub overview: &'a Overview,
    /// Which paces do for every size.
    pub map: &'a SizeMap,
    /// How sure the verdicts are, in the order of the sizes.
    pub doubts: &'a Doubts<'a>,
    /// The machine drawn, with the names of its parts.
    pub schematic: &'a Schematic<'a>,
    /// The owner's units.
    pub units: OwnerUnits,
}

impl Answer<'_> {
    /// The paces compared, in the order asked.
    fn paces(&self) -> Vec<Pace> {
        each_once(self.overview.grid.iter().map(|judgement| judgement.cast.pace))
    }

    /// Each size of the job at the pace that tells most.
    fn told(&self) -> impl Iterator<Item = &Judgement> {
        self.overview.answer.sizes.iter().filter_map(Size::told)
    }

    /// A size and pace in words.
    fn cast_words(&self, cast: Cast) -> String {
        format!("{} at {}", self.units.size(cast.sort.body.0), self.units.turns(cast.pace.0))
    }
}

/// The handout as PDF.
///
/// # Errors
/// When a chart or a page cannot be drawn.
pub fn write(answer: &Answer, paper: Paper) -> Result<Vec<u8>, PlotError> {
    pdf(&document(answer, paper)?)
}

/// The handout's pages as plain data: with pictures as tall and tables as long as go on two pages.
///
/// # Errors
/// When a picture cannot be drawn, or when not even the shortest tables and lowest pictures go on two pages.
pub fn document(answer: &Answer, paper: Paper) -> Result<Document, PlotError> {
    let fits = |before: usize, bands: Vec<Band>| -> Result<bool, PlotError> {
        Ok(layout(&around(answer, paper, before, bands))?.pages.len() == before + 1)
    };
    let across = |height| fits(1, second_page(answer, blank(ACROSS, height)));
    let Some(lower) = tallest(MACHINE_STEPS, across)? else { return Err(no_room()) };
    let room = answer.overview.answer.sizes.len().clamp(LEAST_ROWS, MOST_ROWS);
    for rows in (LEAST_ROWS..=room).rev() {
        let beside =
            |height| fits(0, first_page(answer, rows, [blank(IN_COLUMN, height), blank(IN_COLUMN, height)]));
        if let Some(upper) = tallest(CHART_STEPS, beside)? {
            let size = (IN_COLUMN, upper);
            let fills = charts::fills(answer).with_size(size.0, size.1);
            let map = charts::map(answer).with_size(size.0, size.1);
            let mut bands =
                first_page(answer, rows, [drawn(&fills, size, &theme())?, drawn(&map, size, &theme())?]);
            bands.push(Band::NewPage);
            bands.extend(second_page(answer, machine(answer, lower)?));
            return Ok(around(answer, paper, 0, bands));
        }
    }
    Err(no_room())
}

/// The height (px) of the tallest picture that fits, if any does.
fn tallest(
    (least, most): (u32, u32),
    fits: impl Fn(u32) -> Result<bool, PlotError>,
) -> Result<Option<u32>, PlotError> {
    for height in (least..=most).rev().map(|steps| STEP * steps) {
        if fits(height)? {
            return Ok(Some(height));
        }
    }
    Ok(None)
}

fn no_room() -> PlotError {
    PlotError::Pdf(format!("the handout does not go on {PAGES} pages of this paper"))
}

/// The document round some bands, `before` empty pages before them.
fn around(answer: &Answer, paper: Paper, before: usize, bands: Vec<Band>) -> Document {
    let mut all = vec![Band::NewPage; before];
    all.extend(bands);
    Document {
        title: prose::title(answer),
        subtitle: prose::subtitle(answer),
        foot: prose::foot(),
        paper,
        bands: all,
    }
}

fn first_page(answer: &Answer, rows: usize, [fills, map]: [Figure; 2]) -> Vec<Band> {
    let mut left = prose::answer(answer);
    left.extend(prose::latch(answer));
    let right = vec![Block::Heading("The machine".to_owned()), Block::Table(figures::machine(answer))];
    vec![
        Band::Sides(left, right),
        Band::Sides(figures::at_their_pace(answer, rows), figures::beside(answer, rows)),
        Band::Sides(vec![Block::Figure(fills)], vec![Block::Figure(map)]),
    ]
}

fn second_page(answer: &Answer, machine: Figure) -> Vec<Band> {
    let mut blocks = prose::changes(answer);
    blocks.extend(prose::stands_out(answer));
    blocks.extend(prose::computed(answer));
    blocks.extend(prose::left_out(answer));
    blocks.extend(prose::cautions());
    vec![Band::Wide(vec![Block::Figure(machine)]), Band::Columns(blocks)]
}

/// The place of a picture, for trying the layout.
fn blank(width: u32, height: u32) -> Figure {
    Figure { svg: String::new(), size: (f64::from(width), f64::from(height)) }
}

fn drawn(
    picture: &(impl Picture + ?Sized),
    (width, height): (u32, u32),
    theme: &Theme,
) -> Result<Figure, PlotError> {
    Ok(Figure { svg: to_svg(picture, theme)?, ..blank(width, height) })
}

/// The machine with the names of its parts, on its own scale.
fn machine(answer: &Answer, height: u32) -> Result<Figure, PlotError> {
    let scale = MACHINE_WIDTH / f64::from(ACROSS);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few thousand at the most")]
    let own = (scale * f64::from(height)).round() as u32;
    let mut picture = answer.schematic.clone();
    picture.height = own;
    HEADLINE.clone_into(&mut picture.headline);
    let mut theme = theme();
    theme.margin = MARGIN;
    let sizes = &mut theme.sizes;
    for size in [&mut sizes.headline, &mut sizes.label, &mut sizes.small] {
        *size *= scale;
    }
    // Its names stand in a column as high as the picture.
    sizes.label *= CLOSER;
    sizes.small *= CLOSER;
    drawn(&picture, (ACROSS, height), &theme)
}

/// Type of the charts on the page's scale of 3 px to the point, on the white of the paper.
pub(super) fn theme() -> Theme {
    let mut theme = Theme::light();
    theme.background = latchstroke_plots::theme::Colour::hex(0xFFFFFF);
    theme.sizes.headline = 31.0;
    theme.sizes.axis = 25.0;
    theme.sizes.label = 25.0;
    theme.sizes.tick = 24.0;
    theme.sizes.small = 22.0;
    theme.line_width = 3.4;
    theme.margin = 4.0;
    theme
}
