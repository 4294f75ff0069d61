//! Composed pages as PDF.

use super::Document;
use super::faces::{Face, Run};
use super::line::Ink;
use super::placed::{Mark, Pages};
use crate::error::PlotError;
use crate::geometry::Rect;
use crate::render;
use krilla::color::rgb;
use krilla::geom::{PathBuilder, Point, Size, Transform};
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla::paint::Fill;
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla_svg::{SurfaceExt, SvgSettings};

impl Ink {
    fn fill(self) -> Fill {
        let colour = match self {
            Self::Black => rgb::Color::new(0x1a, 0x1a, 0x1a),
            Self::Grey => rgb::Color::new(0x55, 0x55, 0x55),
            Self::Red => rgb::Color::new(0x9b, 0x1c, 0x1c),
        };
        Fill { paint: colour.into(), ..Fill::default() }
    }
}

/// A length in pt as krilla takes it.
#[expect(clippy::cast_possible_truncation, reason = "a page is measured in hundreds of points")]
fn pt(length: f64) -> f32 {
    length as f32
}

/// Writes the pages. The document states no date, so that it has the same bytes each time.
pub(super) fn write(source: &Document, pages: &Pages) -> Result<Vec<u8>, PlotError> {
    let wrong = || PlotError::Pdf("the page has no size".to_owned());
    let fonts = Face::ALL
        .iter()
        .copied()
        .map(|face| Font::new(face.data().into(), 0).map(|font| (face, font)).ok_or(PlotError::Font))
        .collect::<Result<Vec<_>, _>>()?;
    let mut document = krilla::Document::new();
    document.set_metadata(
        Metadata::new()
            .title(source.title.clone())
            .description(source.subtitle.clone())
            .creator("latchstroke".to_owned())
            .language("en-GB".to_owned()),
    );
    for marks in &pages.pages {
        let settings = PageSettings::from_wh(pt(pages.paper.0), pt(pages.paper.1)).ok_or_else(wrong)?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        for mark in marks {
            draw(&mut surface, mark, &fonts)?;
        }
        surface.finish();
        page.finish();
    }
    document.finish().map_err(|error| PlotError::Pdf(format!("{error:?}")))
}

fn draw(surface: &mut Surface, mark: &Mark, fonts: &[(Face, Font)]) -> Result<(), PlotError> {
    match mark {
        Mark::Type { x, y, line, ink, .. } => {
            surface.set_fill(Some(ink.fill()));
            let mut x = *x;
            for run in &line.runs {
                let font = fonts.iter().find(|(face, _)| *face == run.face).ok_or(PlotError::Font)?;
                let at = Point::from_xy(pt(x), pt(*y));
                surface.draw_glyphs(at, &glyphs(run), font.1.clone(), &run.text, pt(run.size), false);
                x += run.width();
            }
            Ok(())
        }
        Mark::Rule { x, y, length, thickness, ink } => {
            surface.set_fill(Some(ink.fill()));
            let rule = Rect::sized(*x, y - 0.5 * thickness, *length, *thickness);
            let mut path = PathBuilder::new();
            path.move_to(pt(rule.left), pt(rule.top));
            path.line_to(pt(rule.right), pt(rule.top));
            path.line_to(pt(rule.right), pt(rule.bottom));
            path.line_to(pt(rule.left), pt(rule.bottom));
            path.close();
            if let Some(path) = path.finish() {
                surface.draw_path(&path);
            }
            Ok(())
        }
        Mark::Picture { place, svg } => picture(surface, place, svg),
    }
}

fn glyphs(run: &Run) -> Vec<KrillaGlyph> {
    run.glyphs
        .iter()
        .map(|glyph| KrillaGlyph {
            glyph_id: GlyphId::new(glyph.id),
            text_range: glyph.range.clone(),
            x_advance: pt(glyph.advance),
            x_offset: pt(glyph.right),
            y_offset: pt(glyph.up),
            y_advance: 0.0,
            location: None,
        })
        .collect()
}

fn picture(surface: &mut Surface, place: &Rect, svg: &str) -> Result<(), PlotError> {
    let tree = render::parse(svg)?;
    let refused = || PlotError::Pdf("a picture does not fit its place".to_owned());
    let size = Size::from_wh(pt(place.width()), pt(place.height())).ok_or_else(refused)?;
    surface.push_transform(&Transform::from_translate(pt(place.left), pt(place.top)));
    let drawn = surface.draw_svg(&tree, size, SvgSettings::default());
    surface.pop();
    drawn.ok_or_else(refused)
}
