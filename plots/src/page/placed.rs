//! What stands where: the inks of a page, and the boxes that tell of them.

use super::line::{Ink, Line};
use crate::font::{ASCENT, DESCENT};
use crate::geometry::Rect;

/// Something on paper; lengths in pt, y downwards.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A line of type.
    Type {
        /// Its left end.
        x: f64,
        /// Its baseline.
        y: f64,
        /// The line.
        line: Line,
        /// Its colour.
        ink: Ink,
        /// Which line of which paragraph.
        of: Option<LineOf>,
    },
    /// A level rule.
    Rule {
        /// Its left end.
        x: f64,
        /// Its middle.
        y: f64,
        /// Its length.
        length: f64,
        /// Its thickness.
        thickness: f64,
        /// Its colour.
        ink: Ink,
    },
    /// A picture.
    Picture {
        /// Its place.
        place: Rect,
        /// The SVG.
        svg: String,
    },
}

impl Mark {
    /// The same mark elsewhere.
    pub fn moved(mut self, right: f64, down: f64) -> Self {
        match &mut self {
            Self::Type { x, y, .. } | Self::Rule { x, y, .. } => {
                *x += right;
                *y += down;
            }
            Self::Picture { place, .. } => {
                *place = Rect::sized(place.left + right, place.top + down, place.width(), place.height());
            }
        }
        self
    }
}

/// Which line of which paragraph.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LineOf {
    /// Number of the paragraph in the document.
    pub paragraph: usize,
    /// Number of the line in the paragraph, from 0.
    pub line: usize,
    /// How many lines the paragraph has.
    pub of: usize,
}

/// A line of type or a picture and the box it fills, pt from the top left corner of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// The words; empty for a picture.
    pub text: String,
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height: one type size for a line.
    pub h: f64,
    /// Which line of which paragraph of running text.
    pub line: Option<LineOf>,
}

impl Placed {
    fn of(mark: &Mark) -> Option<Self> {
        match mark {
            Mark::Type { x, y, line, of, .. } => Some(Self {
                text: line.text(),
                x: *x,
                y: y - ASCENT * line.size(),
                w: line.width(),
                h: (ASCENT + DESCENT) * line.size(),
                line: *of,
            }),
            Mark::Picture { place, .. } => Some(Self {
                text: String::new(),
                x: place.left,
                y: place.top,
                w: place.width(),
                h: place.height(),
                line: None,
            }),
            Mark::Rule { .. } => None,
        }
    }

    fn rect(&self) -> Rect {
        Rect::sized(self.x, self.y, self.w, self.h)
    }

    /// Whether the two boxes cover common ground.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.rect().overlaps(&other.rect())
    }

    /// Whether the box lies at least `margin` pt inside a page of this size (pt).
    pub fn is_inside(&self, (width, height): (f64, f64), margin: f64) -> bool {
        Rect::sized(0.0, 0.0, width, height).grown(-margin).contains(&self.rect())
    }
}

/// Where everything stands.
#[derive(Debug, Clone, PartialEq)]
pub struct PageLayout {
    /// Width and height of the paper, pt.
    pub paper: (f64, f64),
    /// Lines and pictures, page by page.
    pub pages: Vec<Vec<Placed>>,
}

/// Composed pages.
#[derive(Debug, Clone, PartialEq)]
pub struct Pages {
    /// Width and height of the paper, pt.
    pub paper: (f64, f64),
    /// The marks, page by page.
    pub pages: Vec<Vec<Mark>>,
}

impl Pages {
    /// The boxes of all lines and pictures.
    pub fn layout(&self) -> PageLayout {
        let pages = self.pages.iter().map(|marks| marks.iter().filter_map(Placed::of).collect()).collect();
        PageLayout { paper: self.paper, pages }
    }
}
