//! The pictures as files.

use super::Slide;
use latchstroke_core::studies::watch::Watch;
use latchstroke_plots::{PlotError, Theme, layout, to_png, to_svg};
use rayon::prelude::*;

/// A picture as drawn.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// The name of its files, without an ending.
    pub name: String,
    /// Width and height, px.
    pub size: (u32, u32),
    /// As SVG, text as outlines.
    pub svg: String,
    /// As PNG.
    pub png: Vec<u8>,
    /// Labels for which there was no room.
    pub omitted: Vec<String>,
}

/// Draws every picture, on all cores, in their order; none where the work was called off.
///
/// # Errors
/// When a picture cannot be drawn.
pub fn draw(
    slides: &[Slide<'_>],
    theme: &Theme,
    watch: &impl Watch,
) -> Result<Option<Vec<Drawn>>, PlotError> {
    let drawn = slides
        .par_iter()
        .map(|slide| {
            if watch.called_off() {
                return Ok(None);
            }
            let picture = slide.picture.as_ref();
            let laid = layout(picture, theme)?;
            let svg = to_svg(picture, theme)?;
            let png = to_png(&svg, theme.format.png_width())?;
            watch.advance(1);
            let size = (laid.width, laid.height);
            Ok(Some(Drawn { name: slide.name(), size, svg, png, omitted: laid.omitted }))
        })
        .collect::<Result<Vec<Option<Drawn>>, PlotError>>()?;
    Ok(drawn.into_iter().collect())
}
