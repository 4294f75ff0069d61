//! From a laid-out picture to SVG, and from SVG to PNG.
//!
//! Shapes are drawn with plotters' SVG backend, which works in whole pixels, on a canvas
//! [`UNITS`](self) times too large, so that what it rounds cannot be seen. Three things are done here and
//! not by plotters: text (plotters measures without the font's own widths and cannot put a halo round
//! letters), dashes and clipping (its SVG backend has neither). Line ends and joins are rounded by one
//! group round all it draws.
//!
//! The SVG handed out has its text turned into outlines, so it looks the same on a machine without fonts;
//! the PNG is made by resvg. Neither ever looks at the fonts of the machine, and both are the same byte
//! for byte each time.

use std::fmt::Write as _;

use plotters::prelude::{
    Circle, DrawingArea, IntoDrawingArea, PathElement, Polygon, RGBAColor, SVGBackend, ShapeStyle,
};
use resvg::tiny_skia::{Pixmap, Transform};

use crate::error::PlotError;
use crate::font::{self, Fonts, Weight};
use crate::geometry::Point;
use crate::scene::{Layout, Picture, Scene, Shape, TextBox};
use crate::theme::{Colour, Theme};

/// Drawing units to a pixel.
const UNITS: u32 = 8;
/// The widest PNG, px.
const WIDEST: u32 = 16384;
/// Width of the halo round letters, px on each side.
const HALO: f64 = 5.0;

/// Draws a picture as SVG, text as outlines.
///
/// # Errors
/// Those of [`Picture::compose`]; [`PlotError::Drawing`] or [`PlotError::Svg`] if a library refuses
/// what it is given.
pub fn to_svg(picture: &(impl Picture + ?Sized), theme: &Theme) -> Result<String, PlotError> {
    let scene = picture.compose(theme)?;
    let tree = parse(&with_live_text(&scene)?)?;
    let options = usvg::WriteOptions {
        preserve_text: false,
        coordinates_precision: 2,
        indent: usvg::Indent::None,
        ..usvg::WriteOptions::default()
    };
    Ok(tree.to_string(&options))
}

/// Turns SVG into a PNG `width` px wide, its height in proportion.
///
/// # Errors
/// [`PlotError::PngWidth`] if `width` is not within `1..=16384`, [`PlotError::Svg`] if `svg` cannot be
/// read, [`PlotError::Png`] if the picture cannot be coded.
pub fn to_png(svg: &str, width: u32) -> Result<Vec<u8>, PlotError> {
    if !(1..=WIDEST).contains(&width) {
        return Err(PlotError::PngWidth(width));
    }
    let tree = parse(svg)?;
    let scale = width as f32 / tree.size().width();
    let height = (tree.size().height() * scale).round().max(1.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "rounded, and at least 1")]
    let rows = height as u32;
    let mut pixels = Pixmap::new(width, rows.min(WIDEST)).ok_or(PlotError::PngWidth(width))?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| PlotError::Png(error.to_string()))
}

/// Where the text of a picture stands.
///
/// # Errors
/// Those of [`Picture::compose`].
pub fn layout(picture: &(impl Picture + ?Sized), theme: &Theme) -> Result<Layout, PlotError> {
    Ok(picture.compose(theme)?.layout)
}

pub(crate) fn parse(svg: &str) -> Result<usvg::Tree, PlotError> {
    let options = usvg::Options {
        font_family: font::FAMILY.into(),
        fontdb: font::database(),
        ..usvg::Options::default()
    };
    usvg::Tree::from_str(svg, &options).map_err(|error| PlotError::Svg(error.to_string()))
}

/// The picture as SVG whose text is still text.
pub(crate) fn with_live_text(scene: &Scene) -> Result<String, PlotError> {
    let Layout { width, height, .. } = scene.layout;
    let (wide, high) = (width.saturating_mul(UNITS), height.saturating_mul(UNITS));
    let mut drawn = String::new();
    {
        let area = SVGBackend::with_string(&mut drawn, (wide, high)).into_drawing_area();
        for shape in &scene.shapes {
            draw(&area, shape).map_err(PlotError::Drawing)?;
        }
        area.present().map_err(|error| PlotError::Drawing(error.to_string()))?;
    }
    // What plotters drew, without its own outermost element.
    let start = drawn.find('>').map_or(0, |at| at + 1);
    let end = drawn.rfind("</svg>").unwrap_or(drawn.len());
    let shapes = drawn.get(start..end).unwrap_or_default();
    let mut svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}">
<rect width="{width}" height="{height}" fill="{background}"/>
<g transform="scale({scale})" stroke-linejoin="round" stroke-linecap="round">{shapes}</g>
"#,
        background = web(scene.background),
        scale = 1.0 / f64::from(UNITS),
    );
    let fonts = Fonts::load()?;
    for text in &scene.layout.texts {
        write_text(&mut svg, text, text.halo.unwrap_or(scene.background), &fonts);
    }
    svg.push_str("</svg>\n");
    Ok(svg)
}

/// Draws one shape; the error is plotters' own words.
fn draw(area: &DrawingArea<SVGBackend, plotters::coord::Shift>, shape: &Shape) -> Result<(), String> {
    let outcome = match shape {
        Shape::Line { points, colour, width } => {
            area.draw(&PathElement::new(in_units(points), style(*colour, *width)))
        }
        Shape::Area { points, colour } => area.draw(&Polygon::new(in_units(points), style(*colour, 0.0))),
        Shape::Dot { centre, radius, colour } => {
            area.draw(&Circle::new(unit_point(*centre), units(*radius), style(*colour, 0.0)))
        }
    };
    outcome.map_err(|error| error.to_string())
}

fn style(colour: Colour, width: f64) -> ShapeStyle {
    let [red, green, blue] = colour.rgb;
    ShapeStyle {
        color: RGBAColor(red, green, blue, colour.opacity),
        filled: width == 0.0,
        stroke_width: units(width).unsigned_abs(),
    }
}

fn units(pixels: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "the cast saturates, far outside any canvas")]
    let units = (pixels * f64::from(UNITS)).round() as i32;
    units
}

fn unit_point((x, y): Point) -> (i32, i32) {
    (units(x), units(y))
}

/// Points in drawing units, without repeats.
fn in_units(points: &[Point]) -> Vec<(i32, i32)> {
    let mut out: Vec<(i32, i32)> = points.iter().map(|&point| unit_point(point)).collect();
    out.dedup();
    if let &[only] = out.as_slice() {
        // A line of no length is still a dot under a pen with round ends.
        out.push((only.0 + 1, only.1));
    }
    out
}

fn web(colour: Colour) -> String {
    let [red, green, blue] = colour.rgb;
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// Writes one line of text with its halo; where there are several runs, all halos come first, so that none
/// cuts into the run before it.
fn write_text(svg: &mut String, text: &TextBox, halo: Colour, fonts: &Fonts) {
    let weight = match text.weight {
        Weight::Regular => "400",
        Weight::Bold => "700",
    };
    let runs = font::runs(&text.text);
    let letters = format!(r#"fill="{}""#, web(text.colour));
    let edge = format!(r#"stroke="{}" stroke-width="{}" stroke-linejoin="round""#, web(halo), 2.0 * HALO);
    let paints = if runs.len() == 1 {
        vec![format!(r#"{letters} {edge} paint-order="stroke""#)]
    } else {
        vec![format!(r#"fill="none" {edge}"#), letters]
    };
    for paint in paints {
        let mut x = text.x;
        for run in &runs {
            let size = text.size * run.scale;
            // Writing to a String cannot fail.
            let _ = writeln!(
                svg,
                r#"<text x="{x:.3}" y="{y:.3}" font-family="{family}" font-size="{size:.3}" font-weight="{weight}" {paint} xml:space="preserve">{words}</text>"#,
                y = text.baseline() - run.rise * text.size,
                family = font::FAMILY,
                words = escaped(&run.text),
            );
            x += fonts.run_width(&run.text, size, text.weight);
        }
    }
}

pub(crate) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[cfg(test)]
mod tests;
