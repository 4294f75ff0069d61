//! From blocks to pages: strips run down columns, columns fill bands, bands fill pages.

use super::faces::{Face, Faces};
use super::line::{Ink, Line};
use super::paragraph::{Strip, heading, item, paragraph};
use super::placed::{Mark, Pages};
use super::{Band, Block, Document, GRID, MEASURE, table};
use crate::error::PlotError;
use crate::geometry::Rect;

/// From the top of the paper to the type area, pt.
const TOP: f64 = 56.0;
/// From the type area to the bottom of the paper, pt.
const BOTTOM: f64 = 58.0;
/// Between two columns, pt.
const GUTTER: f64 = 22.0;
/// Width of one of two columns, pt.
const COLUMN: f64 = (MEASURE - GUTTER) / 2.0;
/// Type sizes of the title, the line below it, and the lines at head and foot, pt.
const TITLE: f64 = 22.0;
const SUBTITLE: f64 = 10.4;
const SMALL: f64 = 7.6;
/// Rounding of heights, pt.
const SLACK: f64 = 1e-6;

/// Sets the document on pages.
pub fn compose(document: &Document, faces: &Faces) -> Result<Pages, PlotError> {
    let (width, height) = document.paper.size();
    let mut composer = Composer {
        faces,
        left: (width - MEASURE) / 2.0,
        height: height - TOP - BOTTOM,
        pages: vec![Vec::new()],
        used: 0.0,
        paragraphs: 0,
    };
    composer.title(document);
    for band in &document.bands {
        composer.band(band)?;
    }
    composer.head_and_foot(document, height);
    Ok(Pages { paper: (width, height), pages: composer.pages })
}

struct Composer<'a> {
    faces: &'a Faces,
    /// Left margin, pt.
    left: f64,
    /// Height of the type area, pt.
    height: f64,
    pages: Vec<Vec<Mark>>,
    /// Height of the type area taken on the last page, pt.
    used: f64,
    paragraphs: usize,
}

impl Composer<'_> {
    fn room(&self) -> f64 {
        self.height - self.used
    }

    fn new_page(&mut self) {
        self.pages.push(Vec::new());
        self.used = 0.0;
    }

    fn put(&mut self, mark: Mark) {
        if let Some(page) = self.pages.last_mut() {
            page.push(mark);
        }
    }

    /// Puts strips one below the other, `x` pt from the left margin, beginning where the page is free.
    fn put_strips(&mut self, strips: &[Strip], x: f64) {
        let mut y = TOP + self.used;
        for strip in strips {
            for mark in &strip.marks {
                self.put(mark.clone().moved(self.left + x, y));
            }
            y += strip.height;
        }
    }

    fn title(&mut self, document: &Document) {
        let line = Line::set(self.faces, &document.title, Face::Roman, TITLE);
        self.put(Mark::Type { x: self.left, y: TOP + 17.0, line, ink: Ink::Black, of: None });
        let line = Line::set(self.faces, &document.subtitle, Face::Italic, SUBTITLE);
        self.put(Mark::Type { x: self.left, y: TOP + 36.0, line, ink: Ink::Black, of: None });
        self.put(Mark::Rule { x: self.left, y: TOP + 46.0, length: MEASURE, thickness: 0.8, ink: Ink::Red });
        self.used = 4.0 * GRID;
    }

    fn head_and_foot(&mut self, document: &Document, paper: f64) {
        let count = self.pages.len();
        let set = |text: &str| Line::set(self.faces, text, Face::Sans, SMALL);
        let (head, foot) = (set(&document.title), set(&document.foot));
        for n in 0..count {
            let number = set(&format!("page {} of {count}", n + 1));
            let right = self.left + MEASURE - number.width();
            let mut lines = vec![(self.left, paper - 34.0, foot.clone()), (right, paper - 34.0, number)];
            if n > 0 {
                lines.push((self.left, TOP - 18.0, head.clone()));
            }
            let marks =
                lines.into_iter().map(|(x, y, line)| Mark::Type { x, y, line, ink: Ink::Grey, of: None });
            if let Some(page) = self.pages.get_mut(n) {
                page.extend(marks);
            }
        }
    }

    fn band(&mut self, band: &Band) -> Result<(), PlotError> {
        if self.used > 0.0 && *band != Band::NewPage {
            self.used += GRID;
        }
        match band {
            Band::NewPage => {
                self.new_page();
                Ok(())
            }
            Band::Wide(blocks) => {
                let strips = self.strips(blocks, MEASURE);
                self.wide(&strips)
            }
            Band::Columns(blocks) => {
                let strips = self.strips(blocks, COLUMN);
                self.columns(&strips)
            }
            Band::Sides(left, right) => {
                let (left, right) = (self.strips(left, COLUMN), self.strips(right, COLUMN));
                self.sides(trimmed(&left), trimmed(&right))
            }
        }
    }

    /// Blocks as strips of a column of this measure (pt).
    fn strips(&mut self, blocks: &[Block], measure: f64) -> Vec<Strip> {
        let mut all: Vec<Strip> = Vec::new();
        let mut before: Option<&Block> = None;
        for block in blocks {
            let stands_apart = |block: &Block| matches!(block, Block::Table(_) | Block::Figure(_));
            let after_heading = matches!(before, Some(Block::Heading(_)));
            if !matches!(block, Block::Heading(_))
                && before
                    .is_some_and(|before| !after_heading && (stands_apart(before) || stands_apart(block)))
            {
                all.push(Strip::space());
            }
            match block {
                Block::Heading(text) => all.extend(heading(self.faces, text, measure)),
                Block::Paragraph(spans) => {
                    let follows = matches!(before, Some(Block::Paragraph(_)));
                    all.extend(paragraph(self.faces, spans, measure, follows, self.paragraphs));
                    self.paragraphs += 1;
                }
                Block::Item(spans) => {
                    all.extend(item(self.faces, spans, measure, self.paragraphs));
                    self.paragraphs += 1;
                }
                Block::Table(table) => all.push(table::strip(self.faces, table, measure)),
                Block::Figure(figure) => {
                    let height = measure * figure.size.1 / figure.size.0;
                    let place = Rect::sized(0.0, 0.0, measure, height);
                    all.push(Strip {
                        height: (height / GRID - SLACK).ceil() * GRID,
                        marks: vec![Mark::Picture { place, svg: figure.svg.clone() }],
                        may_end: true,
                        is_space: false,
                    });
                }
            }
            before = Some(block);
        }
        all
    }

    fn wide(&mut self, strips: &[Strip]) -> Result<(), PlotError> {
        let mut rest = trimmed(strips);
        while !rest.is_empty() {
            let (now, later) = rest.split_at(fitting(rest, self.room()));
            if now.is_empty() && self.used == 0.0 {
                return Err(too_high());
            }
            self.put_strips(now, 0.0);
            self.used += height(now);
            rest = trimmed(later);
            if !rest.is_empty() {
                self.new_page();
            }
        }
        Ok(())
    }

    fn columns(&mut self, strips: &[Strip]) -> Result<(), PlotError> {
        let mut rest = trimmed(strips);
        while !rest.is_empty() {
            let split = |height: f64| {
                let (left, later) = rest.split_at(fitting(rest, height));
                let later = trimmed(later);
                let (right, later) = later.split_at(fitting(later, height));
                (left, right, trimmed(later))
            };
            let mut depth = GRID;
            while depth + GRID <= self.room() + SLACK && !split(depth).2.is_empty() {
                depth += GRID;
            }
            let (left, right, later) = split(depth.min(self.room()));
            if left.is_empty() && self.used == 0.0 {
                return Err(too_high());
            }
            self.put_strips(left, 0.0);
            self.put_strips(right, COLUMN + GUTTER);
            self.used += height(left).max(height(right));
            rest = later;
            if !rest.is_empty() {
                self.new_page();
            }
        }
        Ok(())
    }

    fn sides(&mut self, left: &[Strip], right: &[Strip]) -> Result<(), PlotError> {
        let tall = height(left).max(height(right));
        if tall > self.height + SLACK {
            return Err(too_high());
        }
        if tall > self.room() + SLACK {
            self.new_page();
        }
        self.put_strips(left, 0.0);
        self.put_strips(right, COLUMN + GUTTER);
        self.used += tall;
        Ok(())
    }
}

fn too_high() -> PlotError {
    PlotError::Pdf("a table or a picture is higher than the page".to_owned())
}

fn height(strips: &[Strip]) -> f64 {
    strips.iter().map(|strip| strip.height).sum()
}

/// Without the white at the head.
fn trimmed(strips: &[Strip]) -> &[Strip] {
    let white = strips.iter().take_while(|strip| strip.is_space).count();
    strips.get(white..).unwrap_or_default()
}

/// How many strips go into a column of this height, ended where it may be.
fn fitting(strips: &[Strip], room: f64) -> usize {
    let mut used = 0.0;
    let mut count = 0;
    for (n, strip) in strips.iter().enumerate() {
        used += strip.height;
        if used > room + SLACK {
            break;
        }
        if strip.may_end || n + 1 == strips.len() {
            count = n + 1;
        }
    }
    count
}
