//! Workshop drawings of turned parts: one A4 sheet for each, true to a stated scale.
//!
//! A [`Sheet`] holds a [`TurnedPart`] as plain steps, in millimetres, and what is to be written on it. It is drawn as a side
//! view, its left end in section, with the view from the left placed on its right (first-angle projection). [`Sheet::svg`]
//! gives SVG whose text is outlines, so that it looks the same everywhere; [`Sheet::pdf`] gives a PDF of one page whose text can
//! be searched. Both have the same bytes each time.
//!
//! Line widths and kinds follow the habit of ISO 128: visible edges thick; dimensions, hatching and the roots of threads thin;
//! hidden edges dashed; axes in long dashes and dots.

mod dimension;
mod end_view;
mod ink;
mod page;
mod pdf;
mod profile;
mod scale;
mod sheet;
mod side_view;
mod svg;
mod title;

#[cfg(test)]
mod tests;

pub use page::PlacedText;
pub use scale::Scale;

use crate::error::PlotError;
use crate::font::Fonts;
use crate::svg::Words;

/// Width and height of the sheet, A4 upright, mm.
pub const PAPER: (f64, f64) = (210.0, 297.0);

/// A part turned about one axis, from left to right, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct TurnedPart {
    /// The outside, step by step.
    pub outside: Vec<OutsideStep>,
    /// A bore from the left end, step by step; through if it is as long as the outside, empty for a solid part.
    pub bore: Vec<BoreStep>,
    /// How much of the length, from the left, is drawn in section.
    pub sectioned: f64,
}

/// A stretch of the outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutsideStep {
    /// Its length.
    pub length: f64,
    /// Its diameter.
    pub diameter: f64,
    /// Chamfers of 45° at its left and right ends.
    pub chamfers: (f64, f64),
    /// What it is like.
    pub surface: Surface,
}

/// What a stretch of the outside is like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Surface {
    /// Round.
    Plain,
    /// Threaded down to this core diameter.
    Thread(f64),
    /// Round with two flats, this far across.
    Flats(f64),
}

/// A stretch of the bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoreStep {
    /// Its length.
    pub length: f64,
    /// Its diameter; that of the hole before tapping, where it is threaded.
    pub diameter: f64,
    /// Major diameter of its thread, if it has one.
    pub thread: Option<f64>,
}

/// A dimension's text, of which the lower line may be empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Above the line, large.
    pub upper: String,
    /// Below the line, small.
    pub lower: String,
}

/// A length between two places on the axis.
#[derive(Debug, Clone, PartialEq)]
pub struct LengthDimension {
    /// The left place, from the left end.
    pub from: f64,
    /// The right place, from the left end.
    pub to: f64,
    /// What is written.
    pub label: Label,
}

/// A diameter, told by a leader to its circle in the end view.
#[derive(Debug, Clone, PartialEq)]
pub struct DiameterDimension {
    /// The diameter.
    pub diameter: f64,
    /// What is written.
    pub label: Label,
}

/// Words with a leader to a place on the side view.
#[derive(Debug, Clone, PartialEq)]
pub struct Callout {
    /// The place: along the axis from the left end, and up from the axis.
    pub at: (f64, f64),
    /// The words.
    pub text: String,
}

/// What the title block says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TitleBlock {
    /// The part's name.
    pub part: String,
    /// What it belongs to.
    pub machine: String,
    /// What it is made of.
    pub material: String,
    /// How its surfaces are finished.
    pub finish: String,
    /// Tolerances of lengths that state none.
    pub tolerances: String,
    /// What the dimensions are in.
    pub dimensions: String,
    /// Whether the bar that proves the print is in inches.
    pub in_inches: bool,
    /// Where the measures come from.
    pub source: String,
    /// Number of the sheet, and of how many.
    pub number: (usize, usize),
}

/// One sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The part.
    pub part: TurnedPart,
    /// Lengths, drawn below the side view.
    pub lengths: Vec<LengthDimension>,
    /// Diameters, drawn beside the end view.
    pub diameters: Vec<DiameterDimension>,
    /// Words about places, drawn above the side view.
    pub callouts: Vec<Callout>,
    /// Notes in a numbered list.
    pub notes: Vec<String>,
    /// The title block.
    pub title: TitleBlock,
}

impl Sheet {
    /// The sheet as SVG, its text as outlines. Each piece of text carries its words as `aria-label`.
    ///
    /// # Errors
    /// [`PlotError::Font`] if the embedded font is damaged; [`PlotError::Drawing`] if the part has no size or is too large for
    /// the smallest scale.
    pub fn svg(&self) -> Result<String, PlotError> {
        let fonts = Fonts::load()?;
        Ok(svg::document(&sheet::compose(self, &fonts)?, &fonts, Words::Outlines))
    }

    /// The sheet as a PDF of one page with its font embedded.
    ///
    /// # Errors
    /// Those of [`Self::svg`], and [`PlotError::Pdf`] if the page cannot be coded.
    pub fn pdf(&self) -> Result<Vec<u8>, PlotError> {
        let fonts = Fonts::load()?;
        let page = sheet::compose(self, &fonts)?;
        pdf::one_page(&svg::document(&page, &fonts, Words::Live), &self.title)
    }

    /// Every piece of text with its place on the paper, for checks that none overlap.
    ///
    /// # Errors
    /// Those of [`Self::svg`].
    pub fn texts(&self) -> Result<Vec<PlacedText>, PlotError> {
        let fonts = Fonts::load()?;
        Ok(sheet::compose(self, &fonts)?.texts().cloned().collect())
    }

    /// The scale at which the part is drawn.
    ///
    /// # Errors
    /// Those of [`Self::svg`].
    pub fn scale(&self) -> Result<Scale, PlotError> {
        let fonts = Fonts::load()?;
        Ok(sheet::plan(self, &fonts)?.scale)
    }
}
