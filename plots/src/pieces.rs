//! Pieces of type side by side: what comes out of a mould, sound or spoiled, and a mould cut open while metal freezes in it.

use crate::canvas::{Body, Chart, Content, LEADING, Setting};
use crate::error::PlotError;
use crate::font::Weight;
use crate::geometry::Rect;
use crate::mechanism::{Body as Sort, Looks, Pen, Place, Tints};
use crate::scene::{Shape, TextBox};
use crate::theme::Colour;

/// Px between the columns.
const GAP: f64 = 36.0;
/// Size of the words under a piece, in sizes of the labels.
const WORDS: f64 = 1.1;
/// Size of a piece's name, in sizes of the labels.
const NAME: f64 = 1.35;
/// Lines of a name and of the words, at most.
const LINES: (usize, usize) = (2, 6);
/// Width of outlines, px.
const OUTLINE: f64 = 3.0;
/// Thickness of the mould's walls, px.
const WALL: f64 = 34.0;
/// Room round a shaded column, px.
const AIR: f64 = 16.0;

/// Pieces in a row.
pub type Pieces = Chart<PieceRow>;

/// The body of [`Pieces`].
#[derive(Debug, Clone, PartialEq)]
pub struct PieceRow {
    /// The pieces, from the left.
    pub pieces: Vec<Piece>,
}

/// One piece with what is said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Its name, above it.
    pub name: String,
    /// What it shows, below it.
    pub words: String,
    /// How it looks.
    pub look: Look,
    /// Whether it is the one meant: it stands on a tint.
    pub marked: bool,
}

/// How a piece looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Look {
    /// A type from its side, feet down.
    Type(Looks),
    /// A mould cut open.
    Mould(Cut),
}

/// A mould cut open, to scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Width of the cavity, m.
    pub body: f64,
    /// Its depth, m.
    pub depth: f64,
    /// Share that is filled, 0 to 1.
    pub fill: f64,
    /// Skin on its walls, m.
    pub skin: f64,
}

impl Pieces {
    /// A row without pieces on a canvas of 1920 × 1080 px.
    pub fn new(headline: impl Into<String>) -> Self {
        Self::of(headline, PieceRow { pieces: Vec::new() })
    }

    /// The same row with one more piece.
    #[must_use]
    pub fn with_piece(self, piece: Piece) -> Self {
        self.with(|row| row.pieces.push(piece))
    }
}

impl Body for PieceRow {
    fn draw(&self, setting: &Setting) -> Result<Content, PlotError> {
        let Setting { room, theme, fonts, .. } = *setting;
        let count = self.pieces.len().max(1) as f64;
        let wide = (room.width() - GAP * (count - 1.0)) / count;
        let (name, words) = (NAME * theme.sizes.label, WORDS * theme.sizes.label);
        let inner = wide - 2.0 * AIR;
        let wrapped = |text: &str, size, weight, most| fonts.wrap(text, size, weight, inner, most);
        let lines: Vec<(Vec<String>, Vec<String>)> = self
            .pieces
            .iter()
            .map(|piece| {
                (
                    wrapped(&piece.name, name, Weight::Bold, LINES.0),
                    wrapped(&piece.words, words, Weight::Regular, LINES.1),
                )
            })
            .collect();
        let most = |of: fn(&(Vec<String>, Vec<String>)) -> usize| lines.iter().map(of).max().unwrap_or(0);
        let above = Setting::height_of(most(|lines| lines.0.len()), name) + AIR;
        let below = Setting::height_of(most(|lines| lines.1.len()), words) + AIR;
        let middle =
            Rect { top: room.top + AIR + above + AIR, bottom: room.bottom - below - 2.0 * AIR, ..room };
        if middle.height() < 3.0 * WALL || inner < 3.0 * WALL {
            return Err(setting.too_small(3.0 * WALL - inner, 3.0 * WALL - middle.height()));
        }
        let tints = Tints::of(theme);
        let mut content = Content::default();
        for (n, (piece, (names, says))) in self.pieces.iter().zip(&lines).enumerate() {
            let left = room.left + n as f64 * (wide + GAP);
            if piece.marked {
                let ground = Rect { left, right: left + wide, ..room };
                content.shapes.push(Shape::block(&ground, theme.bands[0]));
            }
            let place = Rect { left: left + AIR, right: left + wide - AIR, ..middle };
            content.shapes.extend(match piece.look {
                Look::Type(looks) => drawn(looks, &place, tints),
                Look::Mould(cut) => cut.draw(&place, &tints),
            });
            let centred = |lines: &[String], top: f64, size: f64, kind: (Weight, Colour)| -> Vec<TextBox> {
                let tops = (0_u32..).map(|n| top + LEADING * size * f64::from(n));
                let set = |(line, top): (&String, f64)| {
                    let x = left + 0.5 * (wide - fonts.width(line, size, kind.0));
                    TextBox::set(fonts, line, (x, top), (size, kind.0, kind.1))
                };
                lines.iter().zip(tops).map(set).collect()
            };
            content.texts.extend(centred(names, room.top + AIR, name, (Weight::Bold, theme.ink)));
            let under = middle.bottom + 2.0 * AIR;
            content.texts.extend(centred(says, under, words, (Weight::Regular, theme.ink)));
            let whole = [(names, &piece.name), (says, &piece.words)];
            let cut = whole.into_iter().filter(|(lines, text)| lines.join(" ") != crate::font::clean(text));
            content.omitted.extend(cut.map(|(_, text)| text.clone()));
        }
        Ok(content)
    }
}

/// A type from its side in a place: it has the proportions of a large one.
fn drawn(looks: Looks, place: &Rect, tints: Tints) -> Vec<Shape> {
    let body = Sort { left: 0.0, foot: 0.0, width: 10.0, depth: 19.0 };
    // Room for the letter above and for what comes out beside it.
    let room = ((-2.5, -0.5), (12.5, 21.0));
    let place = Place::fit(room, (place.left, place.top, place.right, place.bottom));
    let mut shapes = Vec::new();
    looks.draw(body, &mut Pen { place, tints, outline: OUTLINE, shapes: &mut shapes });
    shapes
}

impl Cut {
    /// Walls, metal and skin in a place.
    fn draw(&self, place: &Rect, tints: &Tints) -> Vec<Shape> {
        let (wide, high) = (place.width() - 2.0 * WALL, place.height() - 2.0 * WALL);
        let scale = (wide / self.body).min(high / self.depth);
        let middle = place.middle().0;
        let (half, depth) = (0.5 * scale * self.body, scale * self.depth);
        let bottom = place.bottom - WALL;
        let cavity = Rect { left: middle - half, right: middle + half, top: bottom - depth, bottom };
        let gate = (0.25 * half).min(0.8 * WALL);
        let skin = (scale * self.skin.max(0.0)).min(half).min(0.5 * depth);
        let level = Rect { top: cavity.bottom - self.fill.clamp(0.0, 1.0) * depth, ..cavity };
        let walls = Rect { top: cavity.top, bottom: bottom + WALL, ..cavity.grown_by((WALL, 0.0)) };
        let matrix = Rect { top: cavity.top - WALL, bottom: cavity.top, ..walls };
        let mut shapes = vec![
            Shape::block(&walls, tints.iron),
            Shape::block(&matrix, tints.frame),
            Shape::block(&cavity, tints.ground),
            Shape::block(&level, tints.solid),
        ];
        // The free surface of metal that still rises has no skin.
        let full = self.fill >= FULL;
        let top = if full { level.top + skin } else { level.top };
        let liquid =
            Rect { left: level.left + skin, right: level.right - skin, top, bottom: level.bottom - skin };
        if liquid.width() > 0.0 && liquid.height() > 0.0 {
            shapes.push(Shape::block(&liquid, tints.metal));
            let entry =
                Rect { left: middle - gate, right: middle + gate, top: liquid.bottom, bottom: walls.bottom };
            shapes.push(Shape::block(&entry, tints.metal));
        }
        for edge in [&walls, &matrix, &cavity] {
            shapes.push(Shape::Line { points: edge.outline(), colour: tints.ink, width: OUTLINE });
        }
        shapes
    }
}

/// From this share on a mould counts as full.
const FULL: f64 = 0.97;

#[cfg(test)]
mod tests;
