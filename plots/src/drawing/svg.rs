//! A sheet as SVG, in millimetres.

use super::PAPER;
use super::ink::Pen;
use super::page::{Group, Mark, Page, PlacedText};
use crate::font::{self, Fonts, Weight};
use crate::geometry::Point;
use crate::render::escaped;
use std::f64::consts::{PI, TAU};
use std::fmt::Write as _;

/// SVG with text as outlines.
pub(super) fn outlined(page: &Page, fonts: &Fonts) -> String {
    document(page, &|text| letters(text, fonts))
}

/// SVG with live text in the embedded family.
pub(super) fn live(page: &Page) -> String {
    document(page, &words)
}

// Writing to a String cannot fail, so its results are dropped below.

fn document(page: &Page, set: &dyn Fn(&PlacedText) -> String) -> String {
    let (wide, high) = PAPER;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}mm\" height=\"{high}mm\" viewBox=\"0 0 {wide} {high}\">\n\
         <title>{}</title>\n<style>path {{ fill: none; stroke: #000; stroke-linecap: round; stroke-linejoin: round }} ",
        escaped(&page.title)
    );
    for pen in Pen::ALL {
        let dashes = pen
            .dashes()
            .map_or(String::new(), |dashes| format!("; stroke-dasharray: {dashes}; stroke-linecap: butt"));
        let _ = write!(svg, ".{} {{ stroke-width: {}{dashes} }} ", pen.name(), pen.width());
    }
    svg.push_str(".solid { fill: #000; stroke: none }</style>\n");
    let _ = writeln!(svg, "<rect width=\"{wide}\" height=\"{high}\" fill=\"#fff\"/>");
    for group in &page.groups {
        write_group(&mut svg, group, set);
    }
    svg.push_str("</svg>\n");
    svg
}

fn write_group(svg: &mut String, group: &Group, set: &dyn Fn(&PlacedText) -> String) {
    let _ = writeln!(svg, "<g id=\"{}\">", group.name);
    for mark in &group.marks {
        let _ = match mark {
            Mark::Line { points, pen } => {
                writeln!(svg, "<path class=\"{}\" d=\"{}\"/>", pen.name(), polyline(points))
            }
            Mark::Arc { centre, radius, angles, pen } => {
                writeln!(svg, "<path class=\"{}\" d=\"{}\"/>", pen.name(), arc(*centre, *radius, *angles))
            }
            Mark::Fill(points) => writeln!(svg, "<path class=\"solid\" d=\"{}Z\"/>", polyline(points)),
        };
    }
    for text in &group.texts {
        svg.push_str(&set(text));
    }
    svg.push_str("</g>\n");
}

/// A figure to a tenth of a micrometre.
fn figure(value: f64) -> String {
    let text = format!("{value:.4}");
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}

fn polyline(points: &[Point]) -> String {
    let mut d = String::new();
    for (n, (x, y)) in points.iter().enumerate() {
        let _ = write!(d, "{}{} {}", if n == 0 { "M" } else { "L" }, figure(*x), figure(*y));
    }
    d
}

/// Arcs of at most half a turn each.
fn arc((x, y): Point, radius: f64, (from, to): (f64, f64)) -> String {
    let at =
        |angle: f64| format!("{} {}", figure(x + radius * angle.cos()), figure(y + radius * angle.sin()));
    let closed = (to - from - TAU).abs() < 1e-9;
    let mut d = format!("M{}", at(from));
    let mut angle = from;
    while angle < to - 1e-9 {
        angle = (angle + PI).min(to);
        let r = figure(radius);
        let _ = write!(d, "A{r} {r} 0 0 1 {}", at(angle));
    }
    if closed {
        d.push('Z');
    }
    d
}

fn words(text: &PlacedText) -> String {
    let weight = match text.weight {
        Weight::Regular => 400,
        Weight::Bold => 700,
    };
    format!(
        "<text x=\"{}\" y=\"{}\" font-family=\"{}\" font-size=\"{}\" font-weight=\"{weight}\" xml:space=\"preserve\">{}</text>\n",
        figure(text.x),
        figure(text.baseline),
        font::FAMILY,
        figure(text.size),
        escaped(&text.text)
    )
}

/// The outlines of a line of text, shaped as it was measured.
fn letters(text: &PlacedText, fonts: &Fonts) -> String {
    let face = fonts.face(text.weight);
    let mut buffer = rustybuzz::UnicodeBuffer::new();
    buffer.push_str(&text.text);
    buffer.guess_segment_properties();
    let shaped = rustybuzz::shape(face, &[], buffer);
    let scale = text.size / f64::from(face.units_per_em());
    let mut pen = OutlinePen { d: String::new(), x: text.x, y: text.baseline, scale };
    let mut along = 0.0;
    for (glyph, place) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
        pen.x = text.x + scale * (along + f64::from(place.x_offset));
        pen.y = text.baseline - scale * f64::from(place.y_offset);
        // A glyph number of this font fits into 16 bits; a space has no outline.
        if let Ok(id) = u16::try_from(glyph.glyph_id) {
            let _ = face.outline_glyph(rustybuzz::ttf_parser::GlyphId(id), &mut pen);
        }
        along += f64::from(place.x_advance);
    }
    let label = escaped(&text.text).replace('"', "&quot;");
    format!("<g role=\"img\" aria-label=\"{label}\"><path class=\"solid\" d=\"{}\"/></g>\n", pen.d)
}

/// Writes outlines in font units as a path in mm.
struct OutlinePen {
    d: String,
    x: f64,
    y: f64,
    scale: f64,
}

impl OutlinePen {
    fn add(&mut self, command: char, points: &[(f32, f32)]) {
        self.d.push(command);
        for (n, (x, y)) in points.iter().enumerate() {
            let _ = write!(
                self.d,
                "{}{} {}",
                if n == 0 { "" } else { " " },
                figure(self.x + self.scale * f64::from(*x)),
                figure(self.y - self.scale * f64::from(*y))
            );
        }
    }
}

impl rustybuzz::ttf_parser::OutlineBuilder for OutlinePen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.add('M', &[(x, y)]);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.add('L', &[(x, y)]);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.add('Q', &[(x1, y1), (x, y)]);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.add('C', &[(x1, y1), (x2, y2), (x, y)]);
    }

    fn close(&mut self) {
        self.d.push('Z');
    }
}
