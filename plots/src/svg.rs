//! The one writer of SVG, for pictures, films and workshop drawings alike.
//!
//! Places are rounded to a number of decimals, and a path is written as the steps between rounded places: steps take fewer figures
//! than places, and rounding does not add up along a path. Words are written as outlines of the embedded faces, so that a file looks
//! the same on a machine without fonts, or as live text for a PDF.

use rustybuzz::ttf_parser::{GlyphId, OutlineBuilder};

use crate::font::{self, Fonts, Weight};
use crate::geometry::Point;
use crate::scene::{Scene, Shape, TextBox};
use crate::theme::Colour;

/// Width of the halo round letters, px on each side.
const HALO: f64 = 5.0;
/// Attributes of the group that all shapes stand in.
pub const PENS: &str = "fill='none' stroke-linejoin='round' stroke-linecap='round'";

/// Text as it stands between tags or in an attribute.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '>' => out += "&gt;",
            '"' => out += "&quot;",
            '\'' => out += "&#39;",
            _ => out.push(c),
        }
    }
    out
}

/// To how many decimals figures are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Decimals(pub usize);

impl Decimals {
    /// A value in units of the last decimal.
    fn units(self, value: f64) -> i64 {
        let unit = (0..self.0).fold(1.0, |unit, _| 10.0 * unit);
        #[expect(clippy::cast_possible_truncation, reason = "the cast saturates, far outside any canvas")]
        let units = (value * unit).round() as i64;
        units
    }

    fn place(self, (x, y): Point) -> (i64, i64) {
        (self.units(x), self.units(y))
    }

    /// Adds a number of units to a list of figures, with a blank only where two figures would run into one.
    fn add(self, out: &mut String, units: i64) {
        if units < 0 {
            out.push('-');
        } else if out.ends_with(|last: char| last.is_ascii_digit()) {
            out.push(' ');
        }
        let digits = format!("{:0>1$}", units.unsigned_abs(), self.0 + 1);
        let (whole, part) = digits.split_at(digits.len() - self.0);
        let part = part.trim_end_matches('0');
        if whole != "0" || part.is_empty() {
            *out += whole;
        }
        if !part.is_empty() {
            out.push('.');
            *out += part;
        }
    }

    /// A value alone.
    pub fn figure(self, value: f64) -> String {
        let mut out = String::new();
        self.add(&mut out, self.units(value));
        out
    }
}

/// The outline of something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Path {
    d: String,
    decimals: Decimals,
    start: (i64, i64),
    here: (i64, i64),
    command: char,
}

impl Path {
    fn new(decimals: Decimals) -> Self {
        Self { d: String::new(), decimals, start: (0, 0), here: (0, 0), command: 'Z' }
    }

    /// Straight lines through points. One without length is a dot under a pen with round ends.
    pub fn through(points: &[Point], decimals: Decimals) -> Self {
        let mut path = Self::new(decimals);
        let Some((&first, rest)) = points.split_first() else { return path };
        path.move_to(first);
        for &point in rest {
            if decimals.place(point) != path.here {
                path.step('l', &[point]);
            }
        }
        if path.command == 'M' {
            path.command = 'l';
            path.d += "l";
            decimals.add(&mut path.d, 1);
            decimals.add(&mut path.d, 0);
        }
        path
    }

    /// A part of a circle from one angle to another, rad, clockwise; closed if they are a turn apart.
    pub fn arc(centre: Point, radius: f64, (from, to): (f64, f64), decimals: Decimals) -> Self {
        use std::f64::consts::{PI, TAU};
        let at = |angle: f64| (centre.0 + radius * angle.cos(), centre.1 + radius * angle.sin());
        let mut path = Self::new(decimals);
        path.move_to(at(from));
        let mut angle = from;
        while angle < to - 1e-9 {
            // Arcs of at most half a turn each.
            angle = (angle + PI).min(to);
            let r = decimals.figure(radius);
            path.d += &format!("a{r} {r} 0 0 1");
            path.command = 'a';
            path.step('a', &[at(angle)]);
        }
        if (to - from - TAU).abs() < 1e-9 {
            path.close();
        }
        path
    }

    fn move_to(&mut self, point: Point) {
        self.here = self.decimals.place(point);
        (self.start, self.command) = (self.here, 'M');
        self.d.push('M');
        self.decimals.add(&mut self.d, self.here.0);
        self.decimals.add(&mut self.d, self.here.1);
    }

    /// One step of a kind: its places, the last of which it ends at.
    fn step(&mut self, command: char, points: &[Point]) {
        if self.command != command {
            self.d.push(command);
            self.command = command;
        }
        let from = self.here;
        for &point in points {
            self.here = self.decimals.place(point);
            self.decimals.add(&mut self.d, self.here.0.saturating_sub(from.0));
            self.decimals.add(&mut self.d, self.here.1.saturating_sub(from.1));
        }
    }

    fn close(&mut self) {
        self.d.push('Z');
        (self.here, self.command) = (self.start, 'Z');
    }
}

/// One line of text: its words, the left end of its baseline, its size and weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lettering<'a> {
    /// The words.
    pub text: &'a str,
    /// The left end of the baseline.
    pub at: Point,
    /// The type size.
    pub size: f64,
    /// Weight of the type.
    pub weight: Weight,
}

impl<'a> From<&'a TextBox> for Lettering<'a> {
    fn from(text: &'a TextBox) -> Self {
        Self { text: &text.text, at: (text.x, text.baseline()), size: text.size, weight: text.weight }
    }
}

impl Lettering<'_> {
    /// The outlines of its letters, shaped as they were measured.
    pub fn outline(&self, fonts: &Fonts, decimals: Decimals) -> Path {
        let face = fonts.face(self.weight);
        let mut letters = Letters { path: Path::new(decimals), origin: self.at, scale: 1.0 };
        let mut along = self.at.0;
        for run in font::runs(self.text) {
            letters.scale = self.size * run.scale / f64::from(face.units_per_em());
            let baseline = self.at.1 - run.rise * self.size;
            let shaped = fonts.shape(&run.text, self.weight);
            for (glyph, place) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
                letters.origin.0 = along + letters.scale * f64::from(place.x_offset);
                letters.origin.1 = baseline - letters.scale * f64::from(place.y_offset);
                // A glyph number of these faces fits into 16 bits; a space has no outline.
                if let Ok(id) = u16::try_from(glyph.glyph_id) {
                    face.outline_glyph(GlyphId(id), &mut letters);
                }
                along += letters.scale * f64::from(place.x_advance);
            }
        }
        letters.path
    }
}

/// Takes down outlines in font units.
struct Letters {
    path: Path,
    origin: Point,
    scale: f64,
}

impl Letters {
    fn at(&self, x: f32, y: f32) -> Point {
        (self.origin.0 + self.scale * f64::from(x), self.origin.1 - self.scale * f64::from(y))
    }
}

impl OutlineBuilder for Letters {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.at(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.path.step('l', &[self.at(x, y)]);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.path.step('q', &[self.at(x1, y1), self.at(x, y)]);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.path.step('c', &[self.at(x1, y1), self.at(x2, y2), self.at(x, y)]);
    }

    fn close(&mut self) {
        self.path.close();
    }
}

/// A document, or a part of one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Svg {
    out: String,
    decimals: Decimals,
}

impl Svg {
    /// Elements without a document round them.
    pub fn part(decimals: Decimals) -> Self {
        Self { out: String::new(), decimals }
    }

    /// A document of a width and height in a unit; none for px.
    pub fn document((width, height): (f64, f64), unit: &str, decimals: Decimals) -> Self {
        let out = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='{width}{unit}' height='{height}{unit}' viewBox='0 0 {width} {height}'>\n"
        );
        Self { out, decimals }
    }

    /// What has been written.
    pub fn text(self) -> String {
        self.out
    }

    /// What has been written, and the end of the document.
    pub fn end(self) -> String {
        self.out + "</svg>\n"
    }

    /// Adds what is written already.
    pub fn add(&mut self, markup: &str) {
        self.out += markup;
    }

    /// Begins a group.
    pub fn open(&mut self, attributes: &str) {
        self.out += &format!("<g {attributes}>\n");
    }

    /// Ends a group.
    pub fn close(&mut self) {
        self.out += "</g>\n";
    }

    /// Covers the whole canvas.
    pub fn ground(&mut self, (width, height): (f64, f64), colour: Colour) {
        self.out += &format!("<rect width='{width}' height='{height}' fill='{}'/>\n", colour.web());
    }

    /// A path.
    pub fn path(&mut self, path: &Path, attributes: &str) {
        self.out += &format!("<path d='{}' {attributes}/>", path.d);
    }

    /// Straight lines through points.
    pub fn line(&mut self, points: &[Point], attributes: &str) {
        self.path(&Path::through(points, self.decimals), attributes);
    }

    /// A polygon.
    pub fn polygon(&mut self, corners: &[Point], attributes: &str) {
        let mut path = Path::through(corners, self.decimals);
        path.close();
        self.path(&path, attributes);
    }

    /// A part of a circle, as [`Path::arc`].
    pub fn arc(&mut self, centre: Point, radius: f64, angles: (f64, f64), attributes: &str) {
        self.path(&Path::arc(centre, radius, angles, self.decimals), attributes);
    }

    /// A shape of a picture.
    pub fn shape(&mut self, shape: &Shape) {
        match shape {
            Shape::Line { points, colour, width } => {
                let width = self.decimals.figure(*width);
                self.line(points, &format!("{} stroke-width='{width}'", paint("stroke", *colour)));
            }
            Shape::Area { points, colour } => self.polygon(points, &paint("fill", *colour)),
            Shape::Dot { centre, radius, colour } => {
                let [x, y, r] = [centre.0, centre.1, *radius].map(|value| self.decimals.figure(value));
                let paint = paint("fill", *colour);
                self.out += &format!("<circle cx='{x}' cy='{y}' r='{r}' {paint}/>");
            }
        }
    }

    /// A line of text as outlines that tell their words to those who cannot see them.
    pub fn letters(&mut self, text: &Lettering, fonts: &Fonts, attributes: &str) {
        let label = escaped(text.text);
        let attributes = format!("{attributes} role='img' aria-label='{label}'");
        self.path(&text.outline(fonts, self.decimals), &attributes);
    }

    /// A line of text as text in the embedded family.
    pub fn words(&mut self, text: &Lettering, fonts: &Fonts, attributes: &str) {
        let weight = match text.weight {
            Weight::Regular => 400,
            Weight::Bold => 700,
        };
        let mut x = text.at.0;
        for run in font::runs(text.text) {
            let size = text.size * run.scale;
            let [left, y, high] =
                [x, text.at.1 - run.rise * text.size, size].map(|value| self.decimals.figure(value));
            self.out += &format!(
                "<text x='{left}' y='{y}' font-family='{}' font-size='{high}' font-weight='{weight}' {attributes} xml:space='preserve'>{}</text>\n",
                font::FAMILY,
                escaped(&run.text)
            );
            x += fonts.run_width(&run.text, size, text.weight);
        }
    }
}

/// The attributes that paint a line or an area.
fn paint(what: &str, colour: Colour) -> String {
    let mut paint = format!("{what}='{}'", colour.web());
    if colour.opacity < 1.0 {
        paint += &format!(" {what}-opacity='{}'", Decimals(2).figure(colour.opacity));
    }
    paint
}

/// How the words of a picture are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Words {
    /// As outlines.
    Outlines,
    /// As live text.
    Live,
}

/// A laid-out picture.
pub fn picture(scene: &Scene, fonts: &Fonts, words: Words) -> String {
    let size = (f64::from(scene.layout.width), f64::from(scene.layout.height));
    let mut svg = Svg::document(size, "", Decimals(2));
    svg.ground(size, scene.background);
    svg.open(PENS);
    for shape in &scene.shapes {
        svg.shape(shape);
        svg.add("\n");
    }
    for text in &scene.layout.texts {
        let letters = paint("fill", text.colour);
        let halo = text.halo.unwrap_or(scene.background).web();
        let edge = format!("stroke='{halo}' stroke-width='{}'", 2.0 * HALO);
        match words {
            Words::Outlines => {
                svg.letters(&text.into(), fonts, &format!("{letters} {edge} paint-order='stroke'"));
                svg.add("\n");
            }
            Words::Live if font::runs(&text.text).len() == 1 => {
                svg.words(&text.into(), fonts, &format!("{letters} {edge} paint-order='stroke'"));
            }
            Words::Live => {
                // All halos come first, so that none cuts into the run before it.
                svg.words(&text.into(), fonts, &edge);
                svg.words(&text.into(), fonts, &letters);
            }
        }
    }
    svg.close();
    svg.end()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_steps_add_up_to_the_rounded_places() {
        let points = [(0.004, -0.004), (1.0, 2.5), (0.996, 2.504), (10.126, -3.0)];
        assert_eq!(Path::through(&points, Decimals(2)).d, "M0 0l1 2.5 9.13-5.5");
        assert_eq!(Path::through(&points, Decimals(0)).d, "M0 0l1 3 9-6");
    }

    #[test]
    fn property_what_has_no_length_is_still_a_dot() {
        assert_eq!(Path::through(&[(3.0, 4.0); 2], Decimals(1)).d, "M3 4l.1 0");
        assert_eq!(Path::through(&[], Decimals(1)).d, "");
    }

    /// Half a turn and the other half, by the end points of a circle of 2 about (1, 1).
    #[test]
    fn closed_form_a_circle_is_two_arcs() {
        let circle = Path::arc((1.0, 1.0), 2.0, (0.0, std::f64::consts::TAU), Decimals(3));
        assert_eq!(circle.d, "M3 1a2 2 0 0 1-4 0a2 2 0 0 1 4 0Z");
    }

    #[test]
    fn property_figures_are_short() {
        let figures = [0.0, -0.001, 0.5, -0.5, 10.0, 100.25].map(|value| Decimals(2).figure(value));
        assert_eq!(figures, ["0", "0", ".5", "-.5", "10", "100.25"]);
    }

    #[test]
    fn property_text_is_escaped() {
        assert_eq!(escaped("<b> & \"a\" 'c'"), "&lt;b&gt; &amp; &quot;a&quot; &#39;c&#39;");
    }
}
