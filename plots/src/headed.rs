//! A picture that has no headline of its own, made as small as goes under one.

use crate::canvas::{Body, Chart, Content, Setting};
use crate::error::PlotError;
use crate::geometry::Point;
use crate::scene::{Layout, Picture, Scene, Shape, TextBox};

/// A picture under a headline.
pub type Headed<P> = Chart<Framed<P>>;

/// The body of a [`Headed`] picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Framed<P> {
    /// What stands under the headline.
    pub picture: P,
}

impl<P> Headed<P> {
    /// A picture under a headline, on a canvas of 1920 × 1080 px.
    pub fn new(headline: impl Into<String>, picture: P) -> Self {
        Self::of(headline, Framed { picture })
    }
}

impl<P: Picture> Body for Framed<P> {
    fn draw(&self, setting: &Setting) -> Result<Content, PlotError> {
        let Scene { shapes, layout, .. } = self.picture.compose(setting.theme)?;
        let Layout { width, height, texts, omitted } = layout;
        let (wide, high, room) = (f64::from(width), f64::from(height), setting.room);
        let scale = (setting.width() / wide).min(room.height() / high);
        let left = 0.5 * (setting.width() - scale * wide);
        let at = |(x, y): Point| (left + scale * x, room.top + scale * y);
        let shapes = shapes.into_iter().map(|shape| match shape {
            Shape::Line { points, colour, width } => {
                Shape::Line { points: points.into_iter().map(at).collect(), colour, width: scale * width }
            }
            Shape::Area { points, colour } => {
                Shape::Area { points: points.into_iter().map(at).collect(), colour }
            }
            Shape::Dot { centre, radius, colour } => {
                Shape::Dot { centre: at(centre), radius: scale * radius, colour }
            }
        });
        let texts = texts.into_iter().map(|text| {
            let (x, y) = at((text.x, text.y));
            TextBox { x, y, w: scale * text.w, h: scale * text.h, size: scale * text.size, ..text }
        });
        Ok(Content { shapes: shapes.collect(), texts: texts.collect(), omitted })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::board::Board;
    use crate::render::layout;
    use crate::theme::Theme;

    #[test]
    fn property_a_picture_under_a_headline_keeps_its_shape_and_stays_on_the_canvas() {
        let inner = Board::new("").with_row("5 mm", "of lift").with_row("7 mm", "of travel");
        let theme = Theme::light();
        let alone = layout(&inner, &theme).expect("room");
        let headed = layout(&Headed::new("What is said of it", inner), &theme).expect("room");
        let (head, rest) = headed.texts.split_first().expect("a headline");
        assert_eq!((head.text.as_str(), rest.len()), ("What is said of it", alone.texts.len()));
        let scale = rest[0].size / alone.texts[0].size;
        assert!(scale < 1.0);
        for (small, large) in rest.iter().zip(&alone.texts) {
            assert_eq!(small.text, large.text);
            for (of, was) in [(small.size, large.size), (small.w, large.w), (small.h, large.h)] {
                assert!((of - scale * was).abs() < 1e-9);
            }
            let from = (small.x - rest[0].x) - scale * (large.x - alone.texts[0].x);
            assert!(from.abs() < 1e-9 && small.y >= head.y + head.h);
            assert!(
                small.x + small.w <= f64::from(headed.width) && small.y + small.h <= f64::from(headed.height)
            );
        }
    }
}
