//! From pictures to files: SVG, and from SVG to PNG.
//!
//! The SVG handed out has its text as outlines, so it looks the same on a machine without fonts; the PNG is made by resvg. Neither
//! ever looks at the fonts of the machine, and both are the same byte for byte each time.

#[cfg(feature = "files")]
use resvg::tiny_skia::{Pixmap, Transform};

use crate::error::PlotError;
use crate::font::Fonts;
use crate::scene::{Layout, Picture};
use crate::svg::{self, Words};
use crate::theme::Theme;

/// The widest PNG, px.
#[cfg(feature = "files")]
const WIDEST: u32 = 16384;

/// Draws a picture as SVG, text as outlines.
///
/// # Errors
/// Those of [`Picture::compose`].
pub fn to_svg(picture: &(impl Picture + ?Sized), theme: &Theme) -> Result<String, PlotError> {
    Ok(svg::picture(&picture.compose(theme)?, &Fonts::load()?, Words::Outlines))
}

/// Draws a picture as SVG whose text is live, for a page that has the faces ([`crate::face`]): a third of the size of outlines.
///
/// # Errors
/// Those of [`Picture::compose`].
pub fn to_live_svg(picture: &(impl Picture + ?Sized), theme: &Theme) -> Result<String, PlotError> {
    Ok(svg::picture(&picture.compose(theme)?, &Fonts::load()?, Words::Live))
}

/// Turns SVG into a PNG `width` px wide, its height in proportion.
///
/// # Errors
/// [`PlotError::PngWidth`] if `width` is not within `1..=16384`, [`PlotError::Svg`] if `svg` cannot be
/// read, [`PlotError::Png`] if the picture cannot be coded.
#[cfg(feature = "files")]
pub fn to_png(svg: &str, width: u32) -> Result<Vec<u8>, PlotError> {
    if !(1..=WIDEST).contains(&width) {
        return Err(PlotError::PngWidth(width));
    }
    let tree = parse(svg)?;
    let height = (tree.size().height() * width as f32 / tree.size().width()).round().max(1.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "rounded, and at least 1")]
    let pixels = pixels(&tree, (width, (height as u32).min(WIDEST)));
    let pixels = pixels.ok_or(PlotError::PngWidth(width))?;
    pixels.encode_png().map_err(|error| PlotError::Png(error.to_string()))
}

/// A drawing in pixels, scaled to their width; none for a size of nothing.
#[cfg(feature = "files")]
pub(crate) fn pixels(tree: &usvg::Tree, (width, height): (u32, u32)) -> Option<Pixmap> {
    let mut pixels = Pixmap::new(width, height)?;
    let scale = width as f32 / tree.size().width();
    resvg::render(tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    Some(pixels)
}

/// Where the text of a picture stands.
///
/// # Errors
/// Those of [`Picture::compose`].
pub fn layout(picture: &(impl Picture + ?Sized), theme: &Theme) -> Result<Layout, PlotError> {
    Ok(picture.compose(theme)?.layout)
}

/// Reads SVG, with the embedded family and no other.
#[cfg(feature = "files")]
pub(crate) fn parse(svg: &str) -> Result<usvg::Tree, PlotError> {
    let options = usvg::Options {
        font_family: crate::font::FAMILY.into(),
        fontdb: crate::font::database(),
        ..usvg::Options::default()
    };
    usvg::Tree::from_str(svg, &options).map_err(|error| PlotError::Svg(error.to_string()))
}

#[cfg(test)]
mod tests;
