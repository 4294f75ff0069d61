//! What stands on a sheet: lines, fills and text, mm from the top left corner, y downwards.

use crate::font::{ASCENT, DESCENT, Fonts, Weight};
use crate::geometry::Point;
use crate::page::Paper;

use super::ink::Pen;

const MM_IN_POINT: f64 = 25.4 / 72.0;

/// A sheet of paper and the frame on it, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Border {
    /// Width and height of the paper.
    pub paper: (f64, f64),
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Border {
    /// The frame of a paper; the wider left margin is for filing.
    pub fn of(paper: Paper) -> Self {
        let (width, height) = paper.size();
        // Papers are cut to a tenth of a millimetre.
        let [width, height] = [width, height].map(|points| (10.0 * points * MM_IN_POINT).round() / 10.0);
        Self { paper: (width, height), left: 20.0, top: 10.0, right: width - 10.0, bottom: height - 10.0 }
    }
}

/// Text on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedText {
    /// The words.
    pub text: String,
    /// Left edge, mm.
    pub x: f64,
    /// Baseline, mm.
    pub baseline: f64,
    /// Width, mm.
    pub width: f64,
    /// Type size, mm.
    pub size: f64,
    /// Weight of the type.
    pub weight: Weight,
}

impl PlacedText {
    /// Left, top, right and bottom of its box, mm.
    pub fn bounds(&self) -> (f64, f64, f64, f64) {
        let top = self.baseline - ASCENT * self.size;
        (self.x, top, self.x + self.width, self.baseline + DESCENT * self.size)
    }

    /// Whether two boxes cover common ground.
    pub fn overlaps(&self, other: &Self) -> bool {
        let (a, b) = (self.bounds(), other.bounds());
        a.0 < b.2 && b.0 < a.2 && a.1 < b.3 && b.1 < a.3
    }
}

/// A line or a fill.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Mark {
    /// A line through points.
    Line { points: Vec<Point>, pen: Pen },
    /// A part of a circle, from one angle to another, rad, clockwise on paper; the whole of it if they are a turn apart.
    Arc { centre: Point, radius: f64, angles: (f64, f64), pen: Pen },
    /// A filled polygon.
    Fill(Vec<Point>),
}

/// Marks that belong together, under a name.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    pub name: &'static str,
    pub marks: Vec<Mark>,
    pub texts: Vec<PlacedText>,
}

impl Group {
    pub fn new(name: &'static str) -> Self {
        Self { name, marks: Vec::new(), texts: Vec::new() }
    }

    pub fn line(&mut self, pen: Pen, points: impl Into<Vec<Point>>) {
        self.marks.push(Mark::Line { points: points.into(), pen });
    }

    pub fn circle(&mut self, pen: Pen, centre: Point, radius: f64) {
        self.arc(pen, centre, radius, (0.0, std::f64::consts::TAU));
    }

    pub fn arc(&mut self, pen: Pen, centre: Point, radius: f64, angles: (f64, f64)) {
        self.marks.push(Mark::Arc { centre, radius, angles, pen });
    }

    /// An arrowhead with its tip at `tip`, pointing along `direction` (of any length).
    pub fn arrow(&mut self, tip: Point, direction: Point) {
        const LENGTH: f64 = 2.6;
        const HALF_WIDTH: f64 = 0.45;
        let size = direction.0.hypot(direction.1);
        let (u, v) = (direction.0 / size, direction.1 / size);
        let back = (tip.0 - LENGTH * u, tip.1 - LENGTH * v);
        let side = (HALF_WIDTH * v, HALF_WIDTH * u);
        self.fill([tip, (back.0 - side.0, back.1 + side.1), (back.0 + side.0, back.1 - side.1)]);
    }

    pub fn fill(&mut self, corners: impl Into<Vec<Point>>) {
        self.marks.push(Mark::Fill(corners.into()));
    }

    /// A rectangle by its top left corner, width and height.
    pub fn boxed(&mut self, pen: Pen, (x, y): Point, (width, height): Point) {
        let (right, bottom) = (x + width, y + height);
        self.line(pen, [(x, y), (right, y), (right, bottom), (x, bottom), (x, y)]);
    }

    /// Sets a line of text from its left edge and baseline; answers its width.
    pub fn text(&mut self, fonts: &Fonts, words: &str, at: Point, size: f64, weight: Weight) -> f64 {
        let width = fonts.width(words, size, weight);
        if !words.is_empty() {
            self.texts.push(PlacedText {
                text: words.to_owned(),
                x: at.0,
                baseline: at.1,
                width,
                size,
                weight,
            });
        }
        width
    }
}

/// The whole sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Page {
    /// Width and height of the paper, mm.
    pub paper: (f64, f64),
    pub groups: Vec<Group>,
    /// What is said of the page to those who cannot see it.
    pub title: String,
}

impl Page {
    pub fn texts(&self) -> impl Iterator<Item = &PlacedText> {
        self.groups.iter().flat_map(|group| &group.texts)
    }
}
