//! Printed pages: paragraphs, tables and pictures set on paper and written as PDF.
//!
//! A [`Document`] is plain data: bands of blocks, one below the other, each over the whole measure or in two columns. [`layout`]
//! answers where every line stands; [`pdf()`] writes the pages, with the faces used embedded as subsets and all text live, so that
//! it can be searched and copied. The same document has the same bytes each time.
//!
//! * Everything stands on a grid of [`GRID`] pt, so that lines of neighbouring columns are level.
//! * Paragraphs are set ragged right and broken over the whole paragraph for the least sum of squared gaps, by textwrap.
//! * Figures are lining, so that no 1 is taken for an I; those of tables are of one width, aligned on the decimal point.
//! * "2 11/16" is set as a true fraction; a no-break space after a figure is a thin one.
//! * A heading stays with what follows it; no line of a paragraph stands alone at the head or the foot of a column.
//!
//! Text is shaped here and not by krilla, which knows no OpenType features.

mod faces;
mod flow;
mod line;
mod paragraph;
mod pdf;
mod placed;
mod spelling;
mod table;

#[cfg(test)]
mod tests;

pub use placed::{LineOf, PageLayout, Placed};

use crate::error::PlotError;

/// Distance between the baselines of running text, pt; all heights are multiples of it.
pub const GRID: f64 = 13.0;

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// ISO A4, 210 mm × 297 mm.
    A4,
    /// US letter, 8½ in × 11 in.
    Letter,
}

impl Paper {
    /// Width and height, pt of 1/72 in.
    pub fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0),
            Self::Letter => (612.0, 792.0),
        }
    }
}

/// The measure of the page: width of the type area, pt.
pub const MEASURE: f64 = 482.0;

/// What stands on the pages.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// The title, large at the head of the first page and small at the head of the others.
    pub title: String,
    /// A line below the title.
    pub subtitle: String,
    /// The line at the foot of every page, left of the page number.
    pub foot: String,
    /// The paper.
    pub paper: Paper,
    /// Bands, from the top.
    pub bands: Vec<Band>,
}

/// A stretch of the page from margin to margin.
#[derive(Debug, Clone, PartialEq)]
pub enum Band {
    /// Blocks over the whole measure.
    Wide(Vec<Block>),
    /// Blocks that run down one column and on in the other, both about equally long.
    Columns(Vec<Block>),
    /// Blocks of the left column and of the right one, side by side, on one page.
    Sides(Vec<Block>, Vec<Block>),
    /// What follows begins on a new page.
    NewPage,
}

/// One thing in a column.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading.
    Heading(String),
    /// A paragraph of running text.
    Paragraph(Vec<Span>),
    /// A paragraph that hangs from a bullet.
    Item(Vec<Span>),
    /// A table.
    Table(Table),
    /// A picture over the width of its column.
    Figure(Figure),
}

/// Words in one style.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    /// The words.
    pub text: String,
    /// Their style.
    pub style: Style,
}

impl Span {
    /// Words in roman.
    pub fn roman(text: impl Into<String>) -> Self {
        Self { text: text.into(), style: Style::Roman }
    }

    /// Words in italic.
    pub fn italic(text: impl Into<String>) -> Self {
        Self { text: text.into(), style: Style::Italic }
    }
}

/// How running text is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// Upright.
    Roman,
    /// Italic.
    Italic,
}

/// Rows of cells under a heading row.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Columns, from the left.
    pub columns: Vec<Column>,
    /// Rows of cells, a cell for each column.
    pub rows: Vec<Vec<String>>,
    /// Small print below the last rule; may be empty.
    pub note: String,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its heading; a table whose columns have none has no heading row.
    pub heading: String,
    /// How its cells stand.
    pub align: Align,
}

impl Column {
    /// A column.
    pub fn new(heading: impl Into<String>, align: Align) -> Self {
        Self { heading: heading.into(), align }
    }
}

/// How cells stand in their column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Flush left.
    Left,
    /// With the ends of their whole numbers, and so their decimal points, in line.
    Decimal,
}

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// The picture as SVG.
    pub svg: String,
    /// Its width and height in any one unit: only their ratio counts.
    pub size: (f64, f64),
}

/// Where every line and picture of a document stands, page by page.
///
/// # Errors
/// [`PlotError::Font`] if an embedded face is damaged, [`PlotError::Pdf`] if a block is higher than a page.
pub fn layout(document: &Document) -> Result<PageLayout, PlotError> {
    Ok(flow::compose(document, &faces::Faces::load()?)?.layout())
}

/// The document as PDF.
///
/// # Errors
/// Those of [`layout`]; [`PlotError::Svg`] if a picture is no SVG, [`PlotError::Pdf`] if the pages cannot be written.
pub fn pdf(document: &Document) -> Result<Vec<u8>, PlotError> {
    let faces = faces::Faces::load()?;
    pdf::write(document, &flow::compose(document, &faces)?)
}
