//! The shapes of a line chart, from the ground up.

use super::foot::TO_FIGURES;
use super::names::{Drawn, Names, point_pixel};
use super::page::{Page, PanelPlace, Setting};
use super::{Hatch, Panel};
use crate::geometry::{Point, Rect, dashes};
use crate::hatch::FORBIDDEN;
use crate::scene::{Shape, TextBox, Weight};
use crate::theme::{Colour, Marker, Stroke, Theme};

/// Width of grid lines, axes and leaders, px.
const HAIR: f64 = 1.5;
/// Half-width of a marker, line widths.
pub const MARKER: f64 = 2.1;
/// Length of a tick on the x axis, px.
const TICK: f64 = 9.0;

fn line(points: Vec<Point>, colour: Colour, width: f64) -> Shape {
    Shape::Line { points, colour, width }
}

/// Shading, grid, axes and upright lines, under everything else.
pub fn ground(setting: &Setting, page: &Page, shapes: &mut Vec<Shape>) {
    let theme = setting.theme;
    for place in &page.panels {
        for (bar, index) in &page.bars {
            let column = Rect { top: place.rect.top, bottom: place.rect.bottom, ..*bar };
            shapes.push(Shape::block(&column, shade(theme, *index)));
        }
    }
    for (bar, _) in &page.bars {
        shapes.push(Shape::block(bar, theme.axis.faded(0.55)));
    }
    for PanelPlace { rect, marks, y } in &page.panels {
        let across = |up: f64, colour: Colour| line(vec![(rect.left, up), (rect.right, up)], colour, HAIR);
        let upright = |x: f64, colour: Colour| line(vec![(x, rect.top), (x, rect.bottom)], colour, HAIR);
        shapes.extend(marks.minor.iter().map(|up| across(*up, theme.grid.faded(0.6))));
        shapes.extend(page.marks.minor.iter().map(|x| upright(*x, theme.grid.faded(0.6))));
        shapes.extend(marks.major.iter().map(|(up, _)| across(*up, theme.grid)));
        shapes.extend(page.marks.major.iter().map(|(x, _)| upright(*x, theme.grid.faded(0.7))));
        let zero = y.pixel(0.0, rect.bottom, rect.top).filter(|_| y.holds(0.0));
        shapes.extend(zero.map(|zero| across(zero, theme.axis.faded(0.6))));
        shapes.push(line(vec![(rect.left, rect.bottom), (rect.right, rect.bottom)], theme.axis, 2.0));
    }
    if let Some(PanelPlace { rect, .. }) = page.panels.last() {
        for (x, _) in &page.marks.major {
            shapes.push(line(vec![(*x, rect.bottom), (*x, rect.bottom + TICK)], theme.axis, 2.0));
        }
    }
    for (index, PanelPlace { rect, .. }) in page.panels.iter().enumerate() {
        for (x, top) in &page.stems {
            let start = if index == 0 { *top } else { rect.top };
            shapes.push(line(vec![(*x, start), (*x, rect.bottom)], theme.axis, 2.0));
        }
    }
}

/// The colour of a band's shading.
fn shade(theme: &Theme, index: usize) -> Colour {
    theme.bands[index % 2]
}

/// The shading that lies under the whole of a text in a panel, if any; later bands cover earlier ones.
pub fn shade_under(theme: &Theme, bars: &[(Rect, usize)], text: &Rect) -> Option<Colour> {
    let covers = |bar: &Rect| bar.left <= text.left && text.right <= bar.right;
    let touches = |bar: &Rect| bar.left < text.right && text.left < bar.right;
    let (bar, index) = bars.iter().rfind(|(bar, _)| touches(bar))?;
    covers(bar).then(|| shade(theme, *index))
}

/// The figures along all axes.
pub fn figures(setting: &Setting, page: &Page) -> Vec<TextBox> {
    let theme = setting.theme;
    let size = theme.sizes.tick;
    let width = |text: &str| setting.fonts.width(text, size, Weight::Regular);
    let set = |text: &str, corner: Point| {
        TextBox::set(setting.fonts, text, corner, (size, Weight::Regular, theme.muted))
    };
    let mut out = Vec::new();
    for PanelPlace { rect, marks, .. } in &page.panels {
        for (y, text) in &marks.major {
            out.push(set(text, (rect.left - TO_FIGURES - width(text), y - 0.5 * size)));
        }
    }
    if let Some(PanelPlace { rect, .. }) = page.panels.last() {
        for (x, text) in &page.marks.major {
            let left = (x - width(text) / 2.0).min(page.frame.right + 0.5 * theme.margin - width(text));
            out.push(set(text, (left, rect.bottom + TO_FIGURES)));
        }
    }
    out
}

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
    for (points, colour) in &names.leaders {
        shapes.push(line(points.clone(), colour.faded(0.8), HAIR));
    }
    for (index, (series, curve)) in panel.series.iter().zip(&drawn.curves).enumerate() {
        let style = series.style.unwrap_or(index);
        let colour = theme.series_colour(style).line;
        let turn = style % Stroke::ALL.len();
        let stroke = series.stroke.or_else(|| Stroke::ALL.get(turn).copied()).unwrap_or(Stroke::Solid);
        let pattern: Vec<f64> = stroke.pattern().iter().map(|length| length * theme.line_width).collect();
        for piece in &curve.pieces {
            if piece.first() == piece.last() && piece.len() == 2 {
                if let Some(&centre) = piece.first() {
                    shapes.push(Shape::Dot { centre, radius: 1.2 * theme.line_width, colour });
                }
            } else if series.line {
                let cut = dashes(piece, &pattern);
                shapes.extend(cut.into_iter().map(|dash| line(dash, colour, theme.line_width)));
            }
        }
        if series.markers {
            let marker = Marker::ALL.get(style % Marker::ALL.len()).copied().unwrap_or(Marker::Circle);
            for point in &series.points {
                if let Some(centre) = point_pixel(page, at, *point) {
                    shapes.push(sign(marker, centre, 2.9 * theme.line_width, theme.background));
                    shapes.push(sign(marker, centre, MARKER * theme.line_width, colour));
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
        edges.extend(ends.map(|ends| line(ends.to_vec(), theme.limit, 2.5)));
    }
    shapes.extend(edges);
}

/// Slanting lines over what a limit forbids, one of them through `anchor`.
pub fn forbidden(region: &Rect, anchor: Point, theme: &Theme) -> Vec<Shape> {
    if region.width() <= 0.0 || region.height() <= 0.0 {
        return Vec::new();
    }
    let lines = FORBIDDEN.lines(&region.corners(), anchor);
    lines.into_iter().map(|(from, to)| line(vec![from, to], theme.limit.faded(0.35), HAIR)).collect()
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
