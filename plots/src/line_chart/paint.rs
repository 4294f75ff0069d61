//! The shapes of a line chart, from the limits up.

use super::names::{Drawn, Names, point_pixel};
use super::{Marks, Panel};
use crate::axes::{Hatch, Page, PanelPlace};
use crate::canvas::Setting;
use crate::geometry::{Point, Rect, dashes};
use crate::hatch::forbidden;
use crate::scene::Shape;
use crate::theme::{Colour, Marker, Stroke, Theme};

/// Width of leaders, px.
const HAIR: f64 = 1.5;
/// Half-width of a marker, line widths.
pub const MARKER: f64 = 2.1;
/// Half-width of what is left open in a hollow one, line widths.
const HOLLOW: f64 = 1.1;

/// Limits, curves, points and leaders of one panel.
pub fn panel(
    setting: &Setting,
    page: &Page,
    (panel, at): (&Panel, &PanelPlace),
    (drawn, names): (&Drawn, &Names),
    shapes: &mut Vec<Shape>,
) {
    let theme = setting.theme;
    limits(page, (panel, at), theme, shapes);
    for x in panel.events.iter().filter_map(|event| page.x_inside(event.x)) {
        shapes.push(Shape::line((x, at.rect.top), (x, at.rect.bottom), theme.axis, 2.0));
    }
    for (points, colour) in &names.leaders {
        shapes.push(Shape::Line { points: points.clone(), colour: colour.faded(0.8), width: HAIR });
    }
    for (index, (series, curve)) in panel.series.iter().zip(&drawn.curves).enumerate() {
        let colour = series.colours(index, theme).line;
        let (stroke, marker) = series.signs(index);
        let turn = stroke % Stroke::ALL.len();
        let stroke = series.stroke.or_else(|| Stroke::ALL.get(turn).copied()).unwrap_or(Stroke::Solid);
        let pattern: Vec<f64> = stroke.pattern().iter().map(|length| length * theme.line_width).collect();
        for piece in &curve.pieces {
            if piece.first() == piece.last() && piece.len() == 2 {
                if let Some(&centre) = piece.first() {
                    shapes.push(Shape::Dot { centre, radius: 1.2 * theme.line_width, colour });
                }
            } else if series.line {
                let pen = |points| Shape::Line { points, colour, width: theme.line_width };
                shapes.extend(dashes(piece, &pattern).into_iter().map(pen));
            }
        }
        if series.markers != Marks::None {
            let marker = Marker::ALL.get(marker % Marker::ALL.len()).copied().unwrap_or(Marker::Circle);
            for point in &series.points {
                if let Some(centre) = point_pixel(page, at, *point) {
                    shapes.push(sign(marker, centre, 2.9 * theme.line_width, theme.background));
                    shapes.push(sign(marker, centre, MARKER * theme.line_width, colour));
                    if series.markers == Marks::Hollow {
                        shapes.push(sign(marker, centre, HOLLOW * theme.line_width, theme.background));
                    }
                }
            }
        }
    }
    for point in &panel.points {
        let colour = point.style.map_or(theme.ink, |style| theme.series_colour(style).line);
        if let Some(centre) = point_pixel(page, at, point.at) {
            shapes.push(Shape::Dot { centre, radius: 2.5 * theme.line_width, colour: theme.background });
            shapes.push(Shape::Dot { centre, radius: 1.8 * theme.line_width, colour });
        }
    }
}

/// The limits of a panel and the hatching of what they forbid. The lines of one hatching meet those of the next, so that ground
/// forbidden twice looks no different.
fn limits(page: &Page, (panel, at): (&Panel, &PanelPlace), theme: &Theme, shapes: &mut Vec<Shape>) {
    let rect = at.rect;
    let upwards = panel.limits.iter().filter_map(|limit| {
        let y = at.y.pixel(limit.value, rect.bottom, rect.top)?;
        let ends = at.y.holds(limit.value).then_some([(rect.left, y), (rect.right, y)]);
        let above = Rect { bottom: y.min(rect.bottom), ..rect };
        Some((limit.hatch, above, Rect { top: y.max(rect.top), ..rect }, ends))
    });
    let across = panel.x_limits.iter().filter_map(|limit| {
        let x = page.x_pixel(limit.value)?;
        let ends = page.x.holds(limit.value).then_some([(x, rect.top), (x, rect.bottom)]);
        let beyond = Rect { left: x.max(rect.left), ..rect };
        Some((limit.hatch, beyond, Rect { right: x.min(rect.right), ..rect }, ends))
    });
    let mut anchor = None;
    let mut edges = Vec::new();
    for (hatch, above, below, ends) in upwards.chain(across) {
        let side = match hatch {
            Hatch::None => None,
            Hatch::Above => Some(above),
            Hatch::Below => Some(below),
        };
        if let Some(side) = side {
            let anchor = *anchor.get_or_insert((side.left - side.height(), side.bottom));
            shapes.extend(forbidden(&side, anchor, theme));
        }
        edges.extend(ends.map(|[from, to]| Shape::line(from, to, theme.limit, 2.5)));
    }
    shapes.extend(edges);
}

/// A marker of half-width `r`.
fn sign(marker: Marker, centre: Point, r: f64, colour: Colour) -> Shape {
    let (x, y) = centre;
    let corners: &[Point] = match marker {
        Marker::Circle => return Shape::Dot { centre, radius: r, colour },
        Marker::Square => &[(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)],
        Marker::Triangle => &[(0.0, -1.2), (1.1, 0.8), (-1.1, 0.8)],
        Marker::Diamond => &[(0.0, -1.3), (1.3, 0.0), (0.0, 1.3), (-1.3, 0.0)],
        Marker::Nabla => &[(0.0, 1.2), (-1.1, -0.8), (1.1, -0.8)],
    };
    Shape::Area { points: corners.iter().map(|(dx, dy)| (x + r * dx, y + r * dy)).collect(), colour }
}
