//! Workshop drawings of turned parts and of how they go together: one sheet for each, true to a stated scale.
//!
//! A [`Sheet`] shows a [`PartView`], a part as plain steps with what is to be written on it, or [`Pose`]s of an assembly, all in
//! millimetres. A part is drawn as a side view, its left end in section, with a view along the axis on its right: from the left by the
//! first-angle method, from the right by the third ([`Projection`]). A part too long for a scale of 1 : 1 is broken where nothing
//! changes. [`Sheet::svg`] gives SVG whose text is outlines, so that it looks the same everywhere; [`Sheet::pdf`] gives a PDF of one
//! page whose text can be searched. Both have the same bytes each time.
//!
//! Line widths and kinds follow the habit of ISO 128: visible edges thick; dimensions, hatching and the roots of threads thin;
//! hidden edges dashed; axes in long dashes and dots, what belongs to the machine in long dashes and two dots.

mod assembly;
mod callout;
mod dimension;
mod end_view;
mod ink;
mod page;
mod part;
mod pdf;
mod placing;
mod profile;
mod scale;
mod sheet;
mod side_view;
mod svg;
mod title;

#[cfg(test)]
mod tests;

pub use assembly::{Piece, Pose, Shape};
pub use page::PlacedText;
pub use part::{
    BoreStep, Callout, Characteristic, DiameterDimension, Label, LengthDimension, OutsideStep, PartView,
    Surface, ToleranceFrame, TurnedPart,
};
pub use scale::Scale;

use crate::error::PlotError;
use crate::font::Fonts;
use crate::page::Paper;
use crate::svg::Words;

/// What the title block says; the fields are those that ISO 7200 asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TitleBlock {
    /// The part's name.
    pub part: String,
    /// What it belongs to.
    pub machine: String,
    /// Number of the drawing.
    pub drawing: String,
    /// What it is made of.
    pub material: String,
    /// How its surfaces are finished.
    pub finish: String,
    /// Tolerances of sizes that state none.
    pub tolerances: String,
    /// What the dimensions are in.
    pub dimensions: String,
    /// Whether the bar that proves the print is in inches.
    pub in_inches: bool,
    /// Where the measures come from.
    pub source: String,
    /// How many are to be made.
    pub quantity: u32,
    /// The date, where there is one.
    pub date: String,
    /// Number of the sheet, and of how many.
    pub number: (usize, usize),
}

/// How the view along the axis is placed (ISO 5456-2, ASME Y14.3).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Projection {
    /// What is seen from the left stands on the right.
    First,
    /// What is seen from the right stands on the right.
    Third,
}

/// What a sheet shows.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// One part.
    Part(PartView),
    /// Parts in their places, in one or more states of the machine.
    Assembly(Vec<Pose>),
}

/// One sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// What it shows.
    pub figure: Figure,
    /// Notes in a numbered list.
    pub notes: Vec<String>,
    /// The title block.
    pub title: TitleBlock,
    /// The paper.
    pub paper: Paper,
    /// How views are placed.
    pub projection: Projection,
    /// Why nothing must be made from this sheet, which then says so across it.
    pub forbidden: Option<String>,
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
        pdf::one_page(&svg::document(&page, &fonts, Words::Live), page.paper, &self.title)
    }

    /// Every piece of text with its place on the paper, for checks that none overlap.
    ///
    /// # Errors
    /// Those of [`Self::svg`].
    pub fn texts(&self) -> Result<Vec<PlacedText>, PlotError> {
        let fonts = Fonts::load()?;
        Ok(sheet::compose(self, &fonts)?.texts().cloned().collect())
    }

    /// The scale at which the figure is drawn.
    ///
    /// # Errors
    /// Those of [`Self::svg`].
    pub fn scale(&self) -> Result<Scale, PlotError> {
        let fonts = Fonts::load()?;
        sheet::scale(self, &fonts)
    }
}
