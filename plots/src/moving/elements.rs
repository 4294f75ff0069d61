//! A laid-out picture as a list of SVG elements, in tenths of a pixel, text as outlines.

use std::fmt::Write as _;

use rustybuzz::ttf_parser::{GlyphId, OutlineBuilder};

use crate::font::{self, Fonts};
use crate::geometry::Point;
use crate::scene::{Scene, Shape, TextBox};
use crate::theme::Colour;

/// One picture taken apart.
pub(super) struct Drawn {
    pub size: (u32, u32),
    pub background: Colour,
    pub elements: Vec<String>,
    pub colours: Vec<[u8; 3]>,
}

/// Takes a picture apart.
pub(super) fn of(scene: &Scene, fonts: &Fonts) -> Drawn {
    let mut elements: Vec<String> = scene.shapes.iter().map(shape).collect();
    elements.extend(scene.layout.texts.iter().map(|text| letters(text, fonts)));
    let mut colours = vec![scene.background.rgb];
    colours.extend(scene.shapes.iter().map(|shape| match shape {
        Shape::Line { colour, .. } | Shape::Area { colour, .. } | Shape::Dot { colour, .. } => colour.rgb,
    }));
    colours.extend(scene.layout.texts.iter().map(|text| text.colour.rgb));
    let size = (scene.layout.width, scene.layout.height);
    Drawn { size, background: scene.background, elements, colours }
}

/// A colour as it is written in SVG.
pub(super) fn web(colour: Colour) -> String {
    let [red, green, blue] = colour.rgb;
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// A length in the drawing's units, tenths of a pixel.
fn units(pixels: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "the cast saturates, far outside any canvas")]
    let units = (10.0 * pixels).round() as i32;
    units
}

/// Writes a step or place, with a blank only where two figures would run into one.
fn pair(out: &mut String, (x, y): (i32, i32)) {
    if out.ends_with(|last: char| last.is_ascii_digit()) && x >= 0 {
        out.push(' ');
    }
    // Writing to a String cannot fail.
    let _ = write!(out, "{x}{}{y}", if y < 0 { "" } else { " " });
}

/// A line through points: the first place, then steps, which take fewer figures.
fn path(points: &[Point]) -> String {
    let mut out = String::with_capacity(6 * points.len());
    let mut last: Option<(i32, i32)> = None;
    for &(x, y) in points {
        let here = (units(x), units(y));
        match last {
            None => {
                out.push('M');
                pair(&mut out, here);
                out.push('l');
            }
            Some(last) => pair(&mut out, (here.0 - last.0, here.1 - last.1)),
        }
        last = Some(here);
    }
    if points.len() < 2 {
        out.push_str("0 0");
    }
    out
}

fn shape(shape: &Shape) -> String {
    match shape {
        Shape::Line { points, colour, width } => format!(
            "<path d='{}' stroke='{}' stroke-width='{}'{}/>",
            path(points),
            web(*colour),
            units(*width),
            opacity("stroke", *colour)
        ),
        Shape::Area { points, colour } => {
            format!("<path d='{}Z' fill='{}'{}/>", path(points), web(*colour), opacity("fill", *colour))
        }
        Shape::Dot { centre, radius, colour } => format!(
            "<circle cx='{}' cy='{}' r='{}' fill='{}'{}/>",
            units(centre.0),
            units(centre.1),
            units(*radius),
            web(*colour),
            opacity("fill", *colour)
        ),
    }
}

fn opacity(what: &str, colour: Colour) -> String {
    if colour.opacity < 1.0 { format!(" {what}-opacity='{:.2}'", colour.opacity) } else { String::new() }
}

/// One line of text as one filled path.
fn letters(text: &TextBox, fonts: &Fonts) -> String {
    let face = fonts.face(text.weight);
    let mut outline = Outline { d: String::new(), origin: (text.x, text.baseline()), scale: 1.0 };
    for run in font::runs(&text.text) {
        outline.scale = text.size * run.scale / f64::from(face.units_per_em());
        outline.origin.1 = text.baseline() - run.rise * text.size;
        let mut buffer = rustybuzz::UnicodeBuffer::new();
        buffer.push_str(&run.text);
        buffer.guess_segment_properties();
        let shaped = rustybuzz::shape(face, &[], buffer);
        for (glyph, position) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
            if let Ok(id) = u16::try_from(glyph.glyph_id) {
                face.outline_glyph(GlyphId(id), &mut outline);
            }
            outline.origin.0 += f64::from(position.x_advance) * outline.scale;
        }
    }
    format!("<path d='{}' fill='{}'/>", outline.d, web(text.colour))
}

/// Writes a glyph's outline as an SVG path.
struct Outline {
    d: String,
    origin: Point,
    scale: f64,
}

impl Outline {
    fn write(&mut self, letter: char, points: &[(f32, f32)]) {
        self.d.push(letter);
        for (x, y) in points {
            let place =
                (self.origin.0 + self.scale * f64::from(*x), self.origin.1 - self.scale * f64::from(*y));
            pair(&mut self.d, (units(place.0), units(place.1)));
        }
    }
}

impl OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.write('M', &[(x, y)]);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.write('L', &[(x, y)]);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.write('Q', &[(x1, y1), (x, y)]);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.write('C', &[(x1, y1), (x2, y2), (x, y)]);
    }

    fn close(&mut self) {
        self.d.push('Z');
    }
}
