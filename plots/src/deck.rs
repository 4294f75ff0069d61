//! Pictures as a PDF to be shown, one to a page.
//!
//! Shapes stay vectors; text is drawn with the embedded fonts, so that it can be searched and read aloud. Each page has its
//! title in the document's outline. Nothing in the document tells the time, so that the same pictures have the same bytes.

use crate::error::PlotError;
use crate::font::Fonts;
use crate::render;
use crate::scene::Picture;
use crate::svg::{self, Words};
use crate::theme::Theme;
use krilla::Document;
use krilla::destination::XyzDestination;
use krilla::geom::{Point, Size};
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};

/// Width of a page, points of PDF: 13⅓ inches, the usual width of a slide of 16 : 9.
const WIDTH: f32 = 960.0;

/// One page.
#[derive(Clone, Copy)]
pub struct DeckPage<'a> {
    /// Its title in the outline.
    pub title: &'a str,
    /// What stands on it.
    pub picture: &'a dyn Picture,
}

/// The pictures as a PDF, in their order, each on a page of its own shape; `title` names the document.
///
/// # Errors
/// Those of [`Picture::compose`]; [`PlotError::Svg`] or [`PlotError::Pdf`] if there is no page or one cannot be coded.
pub fn deck(title: &str, pages: &[DeckPage<'_>], theme: &Theme) -> Result<Vec<u8>, PlotError> {
    if pages.is_empty() {
        return Err(PlotError::Pdf("there is no picture to show".to_owned()));
    }
    let wrong = || PlotError::Pdf("the page has no size".to_owned());
    let fonts = Fonts::load()?;
    let mut document = Document::new();
    document.set_metadata(
        Metadata::new()
            .title(title.to_owned())
            .creator("latchstroke".to_owned())
            .language("en-GB".to_owned()),
    );
    let mut outline = Outline::new();
    for (number, shown) in pages.iter().enumerate() {
        let tree = render::parse(&svg::picture(&shown.picture.compose(theme)?, &fonts, Words::Live))?;
        let high = WIDTH * tree.size().height() / tree.size().width();
        let size = Size::from_wh(WIDTH, high).ok_or_else(wrong)?;
        let mut page = document.start_page_with(PageSettings::from_wh(WIDTH, high).ok_or_else(wrong)?);
        let mut surface = page.surface();
        let drawn = surface.draw_svg(&tree, size, SvgSettings { embed_text: true, ..SvgSettings::default() });
        surface.finish();
        page.finish();
        drawn.ok_or_else(|| PlotError::Pdf("a picture does not fit its page".to_owned()))?;
        let place = XyzDestination::new(number, Point::from_xy(0.0, 0.0));
        outline.push_child(OutlineNode::new(shown.title.to_owned(), place));
    }
    document.set_outline(outline);
    document.finish().map_err(|error| PlotError::Pdf(format!("{error:?}")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axes::Axis;
    use crate::board::Board;
    use crate::line_chart::{LineChart, Panel, Series};

    fn good<T>(outcome: Result<T, PlotError>) -> T {
        outcome.unwrap_or_else(|error| panic!("{error}"))
    }

    /// Outside its compressed streams a PDF is plain text (ISO 32000-1, section 7): pages, fonts and the outline show there.
    #[test]
    fn property_each_picture_has_a_page_and_fonts_are_embedded() {
        let board = Board::new("A board").with_row("5 mm", "of lift");
        let panel =
            Panel::new(Axis::new("lift", "mm")).with_series(Series::new("cam", [(0.0, 0.0), (1.0, 2.0)]));
        let chart = LineChart::new("A chart", Axis::new("time", "ms")).with_panel(panel).with_size(1600, 900);
        let pages =
            [DeckPage { title: "First", picture: &board }, DeckPage { title: "Second", picture: &chart }];
        let pdf = good(deck("Two pictures", &pages, &Theme::dark()));
        assert_eq!(pdf, good(deck("Two pictures", &pages, &Theme::dark())));
        let plain = String::from_utf8_lossy(&pdf).into_owned();
        assert!(plain.starts_with("%PDF-"));
        assert_eq!(plain.matches("/Type/Page/").count(), 2);
        assert_eq!(plain.matches("/MediaBox[0 0 960 540]").count(), 2);
        assert!(plain.contains("/FontFile"), "no font inside");
        assert!(plain.contains("/Outlines") && plain.contains("(Second)"));
        assert!(!plain.contains("/CreationDate") && !plain.contains("/ModDate"));
    }

    #[test]
    fn property_no_pictures_are_refused() {
        let refused = deck("", &[], &Theme::light());
        assert!(matches!(refused, Err(PlotError::Pdf(_))), "{refused:?}");
    }
}
