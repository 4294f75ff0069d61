//! The handout: two printed pages on one machine and its job, every number on them computed.

mod charts;
mod figures;
mod prose;
pub(super) mod words;

pub(crate) use words::listed;

use super::each_once;
use super::owner::OwnerUnits;
use latchstroke_core::studies::job::Size;
use latchstroke_core::studies::judge::{Acceptance, Cast, Judgement};
use latchstroke_core::studies::overview::Overview;
use latchstroke_models::machine::Machine;
use latchstroke_models::units::Pace;
use latchstroke_plots::page::{Band, Block, Document, Figure, Paper, layout, pdf};
use latchstroke_plots::{Chart, Picture, PlotError, Theme, to_svg};
use latchstroke_scenario::Scenario;

/// The pages of a handout.
pub const PAGES: usize = 2;
/// Width of a chart, px: 3 px to the point of the page.
const CHART_WIDTH: u32 = 1446;
/// A step of the page's grid, px.
const STEP: u32 = 39;
/// The lowest and the tallest chart, in steps: the tallest with which all goes on two pages is taken.
const CHART_STEPS: (u32, u32) = (14, 26);
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

/// The handout's pages as plain data: with charts as tall and tables as long as go on two pages.
///
/// # Errors
/// When a chart cannot be drawn, or when not even the shortest tables and lowest charts go on two pages.
pub fn document(answer: &Answer, paper: Paper) -> Result<Document, PlotError> {
    let (travel, fills) = (charts::travel(answer), charts::fills(answer));
    let fits = |before: usize, bands: Vec<Band>| -> Result<bool, PlotError> {
        Ok(layout(&around(answer, paper, before, bands))?.pages.len() == before + 1)
    };
    let Some(lower) = tallest(|chart| fits(1, second_page(answer, chart)))? else { return Err(no_room()) };
    let room = answer.overview.answer.sizes.len().clamp(LEAST_ROWS, MOST_ROWS);
    for rows in (LEAST_ROWS..=room).rev() {
        if let Some(upper) = tallest(|chart| fits(0, first_page(answer, rows, chart)))? {
            let mut bands = first_page(answer, rows, drawn(&travel, upper)?);
            bands.push(Band::NewPage);
            bands.extend(second_page(answer, drawn(&fills, lower)?));
            return Ok(around(answer, paper, 0, bands));
        }
    }
    Err(no_room())
}

/// The height (px) of the tallest chart that fits, if any does.
fn tallest(fits: impl Fn(Figure) -> Result<bool, PlotError>) -> Result<Option<u32>, PlotError> {
    for height in (CHART_STEPS.0..=CHART_STEPS.1).rev().map(|steps| STEP * steps) {
        if fits(blank(height))? {
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

fn first_page(answer: &Answer, rows: usize, chart: Figure) -> Vec<Band> {
    let mut left = prose::answer(answer);
    left.extend(prose::latch(answer));
    let right = vec![Block::Heading("The machine".to_owned()), Block::Table(figures::machine(answer))];
    vec![
        Band::Sides(left, right),
        Band::Sides(figures::at_their_pace(answer, rows), figures::beside(answer, rows)),
        Band::Wide(vec![Block::Figure(chart)]),
    ]
}

fn second_page(answer: &Answer, chart: Figure) -> Vec<Band> {
    let mut blocks = prose::changes(answer);
    blocks.extend(prose::stands_out(answer));
    blocks.extend(prose::computed(answer));
    blocks.extend(prose::left_out(answer));
    blocks.extend(prose::cautions());
    vec![Band::Wide(vec![Block::Figure(chart)]), Band::Columns(blocks)]
}

fn size_of(height: u32) -> (f64, f64) {
    (f64::from(CHART_WIDTH), f64::from(height))
}

/// The place of a chart, for trying the layout.
fn blank(height: u32) -> Figure {
    Figure { svg: String::new(), size: size_of(height) }
}

fn drawn<B: Clone>(chart: &Chart<B>, height: u32) -> Result<Figure, PlotError>
where
    Chart<B>: Picture,
{
    let chart = chart.clone().with_size(CHART_WIDTH, height);
    Ok(Figure { svg: to_svg(&chart, &theme())?, size: size_of(height) })
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
