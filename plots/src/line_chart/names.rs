//! Names of what is in one panel: curves, limits, points.

use super::paint::MARKER;
use super::{Marks, Panel, Series};
use crate::axes::{Page, PanelPlace, Span};
use crate::canvas::Setting;
use crate::font::clean;
use crate::geometry::{Point, Rect, clip_polyline, simplified};
use crate::labels::block::Block;
use crate::labels::column::spread;
use crate::labels::field::{Curve, Field, Pull};
use crate::scene::TextBox;
use crate::theme::Colour;

/// A point's name further away than this gets a thin line to it, px.
const NEEDS_LINE: f64 = 24.0;
/// Px from the panel to the names in the column.
pub const TO_COLUMN: f64 = 14.0;
/// Px more, for the lines from the curves' ends to names that had to move.
const LEADER: f64 = 40.0;
/// Names in the panel are no wider than this part of it.
const INSIDE_PART: f64 = 0.4;
/// Px between two names in the column.
const COLUMN_GAP: f64 = 4.0;
/// An end further than this from the right edge lies well inside, px.
const NEAR_EDGE: f64 = 60.0;
/// Steps along a curve shorter than this cannot be seen, nor can what lies no further beside it, px.
const UNSEEN: f64 = 0.25;
/// Into how many parts an upright line is cut to look for room beside it.
const UPRIGHT_PARTS: u32 = 12;
/// An end this near the right edge counts as being there, px.
const AT_EDGE: f64 = 6.0;

/// Where the name of a curve stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// At the curve's right end; the ends lie apart.
    End,
    /// Beside the curve, in the panel.
    Inside,
    /// In a column at the right, with a thin line to the curve's end.
    Column,
}

/// The names of one panel.
#[derive(Debug, Default)]
pub struct Names {
    /// The names.
    pub texts: Vec<TextBox>,
    /// Thin lines from names to what they name.
    pub leaders: Vec<(Vec<Point>, Colour)>,
    /// Names without room.
    pub omitted: Vec<String>,
}

/// The curves and limits of one panel in pixels, and what they are called.
pub struct Drawn {
    /// Pieces of each series, then of each limit.
    pub curves: Vec<Curve>,
    named: Vec<Named>,
    silent: Vec<(String, Colour)>,
}

struct Named {
    curve: usize,
    label: String,
    colour: Colour,
    end: Point,
    kind: Kind,
}

impl Named {
    /// A place near the end of a curve that ends well before the right edge; a line from there to the
    /// column would run through the panel.
    fn at_free_end(
        &self,
        at: &PanelPlace,
        block: &Block,
        (field, names): (&mut Field, &mut Names),
    ) -> Option<Rect> {
        if self.end.0 > at.rect.right - NEAR_EDGE {
            return None;
        }
        let place = field.at_end(self.curve, self.end, block.size())?;
        names.leaders.extend(leader(self.end, &place, self.colour));
        Some(place)
    }
}

/// What is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Curve,
    Limit,
    /// A limit on x: the name stands by one of its points.
    Upright,
    /// Points that no line joins: the name stands by one of them.
    Scatter,
}

/// Pieces of a series within the panel; a lone point is a piece of two equal points.
fn pieces(series: &Series, x: &Span, place: &PanelPlace) -> Vec<Vec<Point>> {
    let rect = &place.rect;
    let mut out = Vec::new();
    let mut piece: Vec<Point> = Vec::new();
    let mut close = |piece: &mut Vec<Point>| {
        if let &[(px, py)] = piece.as_slice()
            && rect.grown(0.5).contains(&Rect::sized(px, py, 0.0, 0.0))
        {
            out.push(vec![(px, py); 2]);
        }
        out.extend(clip_polyline(&simplified(piece, UNSEEN), rect));
        piece.clear();
    };
    for &(at, value) in &series.points {
        match x.pixel(at, rect.left, rect.right).zip(place.y.pixel(value, rect.bottom, rect.top)) {
            // Steps too short to be seen only cost time.
            Some(pixel) => {
                if piece.last().is_none_or(|last| (pixel.0 - last.0).hypot(pixel.1 - last.1) > UNSEEN) {
                    piece.push(pixel);
                }
            }
            None => close(&mut piece),
        }
    }
    close(&mut piece);
    out
}

impl Drawn {
    /// The curves of a panel.
    pub fn new(setting: &Setting, page: &Page, panel: &Panel, place: &PanelPlace) -> Self {
        let theme = setting.theme;
        let mut drawn = Self { curves: Vec::new(), named: Vec::new(), silent: Vec::new() };
        for (index, series) in panel.series.iter().enumerate() {
            let colour = series.colours(index, theme).text;
            let radius = if series.markers == Marks::None {
                theme.line_width / 2.0
            } else {
                MARKER * theme.line_width
            };
            let curve = Curve { pieces: pieces(series, &page.x, place), radius };
            let label = clean(&series.label);
            if curve.pieces.is_empty() {
                let words = if label.is_empty() { "no data".into() } else { format!("{label}: no data") };
                drawn.silent.push((words, colour));
            }
            drawn.add(curve, label, colour, if series.line { Kind::Curve } else { Kind::Scatter });
        }
        for limit in &panel.limits {
            let line = place.y.pixel(limit.value, place.rect.bottom, place.rect.top);
            let line = line.filter(|_| place.y.holds(limit.value));
            let across = |y: f64| vec![(place.rect.left, y), (place.rect.right, y)];
            let curve = Curve { pieces: line.map(across).into_iter().collect(), radius: 0.0 };
            drawn.add(curve, clean(&limit.label), theme.limit, Kind::Limit);
        }
        for limit in &panel.x_limits {
            let upright = |x: f64| vec![(x, place.rect.top), (x, place.rect.bottom)];
            let pieces = page.x_inside(limit.value).map(upright).into_iter().collect();
            drawn.add(Curve { pieces, radius: 0.0 }, clean(&limit.label), theme.limit, Kind::Upright);
        }
        for event in &panel.events {
            let upright = |x: f64| vec![(x, place.rect.top), (x, place.rect.bottom)];
            let pieces = page.x_inside(event.x).map(upright).into_iter().collect();
            drawn.add(Curve { pieces, radius: 0.0 }, clean(&event.label), theme.muted, Kind::Upright);
        }
        if panel.series.is_empty() && panel.points.is_empty() {
            drawn.silent.push(("no data".into(), theme.muted));
        }
        drawn
    }

    fn add(&mut self, curve: Curve, label: String, colour: Colour, kind: Kind) {
        if let Some(end) = curve.end().filter(|_| !label.is_empty()) {
            self.named.push(Named { curve: self.curves.len(), label, colour, end, kind });
        }
        self.curves.push(curve);
    }

    /// Where each name should stand if there is room: at the curves' ends if these reach the right edge
    /// and lie far enough apart, else beside the curves.
    pub fn wishes(&self, setting: &Setting, place: &PanelPlace) -> Vec<Spot> {
        let is_joined = |named: &&Named| matches!(named.kind, Kind::Curve | Kind::Limit);
        let mut ends: Vec<(f64, f64)> = self
            .named
            .iter()
            .filter(is_joined)
            .map(|named| (named.end.1, Block::in_column(setting, &named.label).height))
            .collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        let apart = ends.windows(2).all(|pair| matches!(pair, [a, b] if b.0 - a.0 > f64::midpoint(a.1, b.1)));
        let at_edge =
            self.named.iter().filter(is_joined).all(|named| named.end.0 > place.rect.right - AT_EDGE);
        let by_ends = ends.len() > 1 && apart && at_edge;
        let spot = |named: &Named| if by_ends && is_joined(&named) { Spot::End } else { Spot::Inside };
        self.named.iter().map(spot).collect()
    }

    /// Width to keep free at the right for the names, px.
    pub fn column_width(&self, setting: &Setting, spots: &[Spot]) -> f64 {
        let width = |(named, spot): (&Named, &Spot)| match spot {
            Spot::Inside => 0.0,
            Spot::End => Block::in_column(setting, &named.label).width + TO_COLUMN,
            Spot::Column => Block::in_column(setting, &named.label).width + TO_COLUMN + LEADER,
        };
        self.named.iter().zip(spots).map(width).fold(0.0, f64::max)
    }

    /// Sets all names of the panel.
    ///
    /// # Errors
    /// The places in `spots` of the names that were to stand inside and found no room.
    pub fn name(
        &self,
        setting: &Setting,
        page: &Page,
        (panel, at): (&Panel, &PanelPlace),
        spots: &[Spot],
    ) -> Result<Names, Vec<usize>> {
        let mut names = Names::default();
        let mut homeless = Vec::new();
        let stems: Vec<f64> = page.stems.iter().map(|(x, _)| *x).collect();
        let mut field = Field::new(at.rect.grown(-6.0), &self.curves, &stems);
        name_points(setting, page, (panel, at), (&mut field, &mut names));
        for (index, named) in
            self.named.iter().enumerate().filter(|(i, _)| spots.get(*i) == Some(&Spot::Inside))
        {
            let block = Block::new(setting, &named.label, INSIDE_PART * at.rect.width());
            let found = match named.kind {
                Kind::Curve => field
                    .beside_curve(named.curve, block.size(), Pull::Room)
                    .or_else(|| named.at_free_end(at, &block, (&mut field, &mut names))),
                Kind::Limit => field.beside_curve(named.curve, block.size(), Pull::Right),
                Kind::Upright => field.beside_curve(named.curve, block.size(), Pull::Room).or_else(|| {
                    let part =
                        |n: u32| at.rect.top + at.rect.height() * f64::from(n) / f64::from(UPRIGHT_PARTS);
                    let points: Vec<Point> = (1..UPRIGHT_PARTS).map(|n| (named.end.0, part(n))).collect();
                    field.by_points(&points, block.size()).map(|(_, place)| place)
                }),
                Kind::Scatter => {
                    let points =
                        self.curves.get(named.curve).into_iter().flat_map(|curve| &curve.pieces).flatten();
                    let found = field.by_points(&points.copied().collect::<Vec<_>>(), block.size());
                    names
                        .leaders
                        .extend(found.and_then(|(point, place)| leader(point, &place, named.colour)));
                    found.map(|(_, place)| place)
                }
            };
            match found {
                Some(found) => names.texts.extend(block.set(setting, &found, named.colour)),
                None => homeless.push(index),
            }
        }
        if !homeless.is_empty() {
            return Err(homeless);
        }
        self.fill_column(setting, at, spots, &mut names);
        for (words, colour) in &self.silent {
            let block = Block::new(setting, words, INSIDE_PART * at.rect.width());
            match field.anywhere(block.size()) {
                Some(found) => names.texts.extend(block.set(setting, &found, *colour)),
                None => names.omitted.push(words.clone()),
            }
        }
        Ok(names)
    }

    fn fill_column(&self, setting: &Setting, at: &PanelPlace, spots: &[Spot], names: &mut Names) {
        let outside = self.named.iter().zip(spots).filter(|(_, spot)| **spot != Spot::Inside);
        let mut order: Vec<(&Named, Spot, Block)> =
            outside.map(|(named, spot)| (named, *spot, Block::in_column(setting, &named.label))).collect();
        // The sort is stable: curves that end together keep their order.
        order.sort_by(|a, b| a.0.end.1.total_cmp(&b.0.end.1));
        let reach = at.rect.grown(0.5 * setting.theme.sizes.label);
        let tops = loop {
            let wanted: Vec<(f64, f64)> =
                order.iter().map(|(named, _, block)| (named.end.1, block.height)).collect();
            if let Some(tops) = spread(&wanted, COLUMN_GAP, reach.top, reach.bottom) {
                break tops;
            }
            if let Some((named, ..)) = order.pop() {
                names.omitted.push(named.label.clone());
            }
        };
        // If one name had to move, all stand behind its line.
        let moved = order.iter().any(|(_, spot, _)| *spot == Spot::Column);
        let left = at.rect.right + TO_COLUMN + if moved { LEADER } else { 0.0 };
        for ((named, _, block), top) in order.iter().zip(tops) {
            let found = Rect::sized(left, top, block.width, block.height);
            names.texts.extend(block.set(setting, &found, named.colour));
            if moved {
                let target = (left - 6.0, top + block.height / 2.0);
                names.leaders.push((vec![(named.end.0 + 6.0, named.end.1), target], named.colour));
            }
        }
    }
}

/// Names the named points, which come before the curves since they have the least choice.
fn name_points(
    setting: &Setting,
    page: &Page,
    (panel, at): (&Panel, &PanelPlace),
    (field, names): (&mut Field, &mut Names),
) {
    let placed: Vec<_> = panel.points.iter().map(|point| (point, point_pixel(page, at, point.at))).collect();
    for (x, y) in placed.iter().filter_map(|(_, pixel)| *pixel) {
        field.take(Rect::sized(x, y, 0.0, 0.0).grown(4.0));
    }
    for (point, pixel) in placed {
        let label = clean(&point.label);
        let block = Block::new(setting, &label, INSIDE_PART * at.rect.width());
        let Some((pixel, found)) = pixel.and_then(|pixel| field.by_points(&[pixel], block.size())) else {
            names.omitted.push(label);
            continue;
        };
        let colour = point.style.map_or(setting.theme.ink, |style| setting.theme.series_colour(style).text);
        names.texts.extend(block.set(setting, &found, colour));
        names.leaders.extend(leader(pixel, &found, colour));
    }
}

/// A thin line from a point to its name, if that is not close by.
fn leader((x, y): Point, place: &Rect, colour: Colour) -> Option<(Vec<Point>, Colour)> {
    let nearest = (x.clamp(place.left, place.right), y.clamp(place.top, place.bottom));
    ((nearest.0 - x).hypot(nearest.1 - y) > NEEDS_LINE).then(|| (vec![(x, y), nearest], colour))
}

/// The pixel of a named point, if it lies within the axes.
pub fn point_pixel(page: &Page, at: &PanelPlace, (x, y): (f64, f64)) -> Option<Point> {
    let up = at.y.pixel(y, at.rect.bottom, at.rect.top).filter(|_| at.y.holds(y))?;
    Some((page.x_inside(x)?, up))
}
