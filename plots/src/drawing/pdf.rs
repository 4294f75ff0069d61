//! A sheet as a PDF of one page.

use super::TitleBlock;
use crate::error::PlotError;
use crate::render;
use krilla::Document;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};

/// Points of PDF in a millimetre.
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Puts an SVG of the paper's size on a page of its own. The document states no date, so that the same drawing has the same
/// bytes.
pub(super) fn one_page(svg: &str, paper: (f64, f64), title: &TitleBlock) -> Result<Vec<u8>, PlotError> {
    let tree = render::parse(svg)?;
    #[expect(clippy::cast_possible_truncation, reason = "a sheet of paper is measured in hundreds of points")]
    let (width, height) = ((paper.0 * POINTS_PER_MM) as f32, (paper.1 * POINTS_PER_MM) as f32);
    let wrong = || PlotError::Pdf("the page has no size".to_owned());
    let size = Size::from_wh(width, height).ok_or_else(wrong)?;
    let mut document = Document::new();
    document.set_metadata(
        Metadata::new()
            .title(format!("{}, {}", title.part, title.machine))
            .creator("latchstroke".to_owned())
            .language("en-GB".to_owned()),
    );
    let mut page = document.start_page_with(PageSettings::from_wh(width, height).ok_or_else(wrong)?);
    let mut surface = page.surface();
    let drawn = surface.draw_svg(&tree, size, SvgSettings { embed_text: true, ..SvgSettings::default() });
    surface.finish();
    page.finish();
    drawn.ok_or_else(|| PlotError::Pdf("the drawing does not fit the page".to_owned()))?;
    document.finish().map_err(|error| PlotError::Pdf(format!("{error:?}")))
}
