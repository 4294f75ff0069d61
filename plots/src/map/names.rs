//! Names in the regions, beside points, and above the panel for what has no room.

use super::Regions;
use super::regions::Region;
use crate::axes::{OnePanel, UNDER_TITLE};
use crate::canvas::{Content, Setting};
use crate::font::clean;
use crate::geometry::{Point, Rect};
use crate::labels::block::Block;
use crate::labels::field::{Curve, Field};
use crate::scene::{Shape, TextBox};

/// How far a plate reaches beyond its name, px across and upwards.
const PLATE: (f64, f64) = (12.0, 7.0);
/// Px that the name of a region keeps off a point and its name, so that it is not read as theirs.
const APART: f64 = 28.0;
/// Px between a plate and the edge of its region.
const CLEAR: f64 = 8.0;
/// Widths a name is broken to, parts of the panel, until it finds room.
const ROOMS: [f64; 4] = [0.5, 0.26, 0.16, 0.1];
/// Heights tried in a region.
const TRIES: u32 = 64;
/// A second region of one category is named if it covers this part of the panel.
const WORTH_A_NAME: f64 = 0.04;
/// A point's name further away than this gets a thin line to it, px.
const NEEDS_LINE: f64 = 30.0;
/// Names of points are no wider than this part of the panel.
const POINT_ROOM: f64 = 0.3;
/// Width of a sample beside a name above the panel, px.
const SAMPLE: f64 = 56.0;
/// Px between a sample and its name, and three times as much between names.
const GAP: f64 = 14.0;

/// Names points first, which have the least choice, then regions, then above the panel what is left.
pub fn name(
    map: &Regions,
    setting: &Setting,
    page: &OnePanel,
    (regions, edges): (&[Region], &[Vec<Point>]),
) -> Content {
    let mut named = Content::default();
    let mut taken = points(map, setting, page, edges, &mut named);
    let mut homeless = Vec::new();
    for (number, category) in map.categories.iter().enumerate() {
        let label = clean(&category.label);
        let mut own: Vec<&Region> = regions.iter().filter(|region| region.category == Some(number)).collect();
        own.sort_by(|a, b| b.area().total_cmp(&a.area()));
        if label.is_empty() || own.is_empty() {
            continue;
        }
        let mut found = false;
        for region in own {
            if found && region.area() < WORTH_A_NAME * page.rect.width() * page.rect.height() {
                break;
            }
            if let Some((block, place)) = inside(setting, page, region, &label, &taken) {
                let plate = place.grown_by(PLATE);
                taken.push(plate);
                named.shapes.push(Shape::block(&plate, setting.theme.background));
                named.texts.extend(block.set(setting, &place, setting.theme.ink));
                found = true;
            }
        }
        if !found {
            homeless.push((number, label));
        }
    }
    above(map, setting, page, &homeless, &mut named);
    named
}

/// Draws and names the points; answers the ground they take.
fn points(
    map: &Regions,
    setting: &Setting,
    page: &OnePanel,
    edges: &[Vec<Point>],
    named: &mut Content,
) -> Vec<Rect> {
    let theme = setting.theme;
    let curves: Vec<Curve> =
        edges.iter().map(|edge| Curve { pieces: vec![edge.clone()], radius: theme.line_width }).collect();
    let mut field = Field::new(page.rect.grown(-CLEAR - PLATE.0), &curves, &[]);
    let mut taken = Vec::new();
    let within = |(x, y): Point| {
        let place = Rect::sized(x, y, 0.0, 0.0);
        page.rect.grown(0.5).contains(&place).then_some((x, y))
    };
    let placed: Vec<(String, Option<Point>)> = map
        .points
        .iter()
        .map(|point| (clean(&point.label), page.x(point.at.0).zip(page.y(point.at.1)).and_then(within)))
        .collect();
    let reach = 3.0 * theme.line_width;
    for (x, y) in placed.iter().filter_map(|(_, pixel)| *pixel) {
        let ground = Rect::sized(x, y, 0.0, 0.0).grown(reach);
        field.take(ground);
        taken.push(ground.grown(APART));
    }
    let mut dots = Vec::new();
    for (label, pixel) in placed {
        let Some(centre) = pixel else {
            named.omitted.push(label);
            continue;
        };
        dots.push(Shape::Dot { centre, radius: reach, colour: theme.background });
        dots.push(Shape::Dot { centre, radius: 2.1 * theme.line_width, colour: theme.ink });
        if label.is_empty() {
            continue;
        }
        let block = Block::new(setting, &label, POINT_ROOM * page.rect.width());
        let (width, height) = block.size();
        let Some((_, plate)) = field.by_points(&[centre], (width + 2.0 * PLATE.0, height + 2.0 * PLATE.1))
        else {
            named.omitted.push(label);
            continue;
        };
        taken.push(plate.grown(APART));
        let nearest = (centre.0.clamp(plate.left, plate.right), centre.1.clamp(plate.top, plate.bottom));
        if (nearest.0 - centre.0).hypot(nearest.1 - centre.1) > NEEDS_LINE {
            named.shapes.push(Shape::line(centre, nearest, theme.ink, 2.0));
        }
        named.shapes.push(Shape::block(&plate, theme.background));
        let place = plate.grown_by((-PLATE.0, -PLATE.1));
        named.texts.extend(block.set(setting, &place, theme.ink));
    }
    named.shapes.extend(dots);
    taken
}

/// The roomiest place for a name in a region, in as few lines as may be.
fn inside(
    setting: &Setting,
    page: &OnePanel,
    region: &Region,
    label: &str,
    taken: &[Rect],
) -> Option<(Block, Rect)> {
    ROOMS.iter().find_map(|room| {
        let block = Block::new(setting, label, room * page.rect.width());
        // A name cut short is no name.
        block.is_whole(label).then_some(())?;
        let place = roomiest(region, block.size(), taken)?;
        Some((block, place))
    })
}

/// The place in a region furthest from its edges, clear of what is taken.
fn roomiest(region: &Region, (width, height): (f64, f64), taken: &[Rect]) -> Option<Rect> {
    let (across, upwards) = (PLATE.0 + CLEAR, PLATE.1 + CLEAR);
    let (top, bottom) = region.heights();
    let mut best: Option<(f64, Rect)> = None;
    for step in 0..=TRIES {
        let y = top + upwards + (bottom - top - 2.0 * upwards - height) * f64::from(step) / f64::from(TRIES);
        let Some((from, to)) = region.clear_between(y - upwards, y + height + upwards) else { continue };
        let spare = to - from - width - 2.0 * across;
        if spare < 0.0 {
            continue;
        }
        for part in [0.5, 0.25, 0.75, 0.0, 1.0] {
            let place = Rect::sized(from + across + part * spare, y, width, height);
            let plate = place.grown_by((across, upwards));
            if taken.iter().any(|taken| taken.overlaps(&plate)) {
                continue;
            }
            let beside = (place.left - from).min(to - place.right);
            let room = beside.min(2.0 * (y - top).min(bottom - y - height));
            if best.is_none_or(|(most, _)| room > most + 1e-9) {
                best = Some((room, place));
            }
        }
    }
    best.map(|(_, place)| place)
}

/// Samples and names in the row of the y axis' title, from the right.
fn above(
    map: &Regions,
    setting: &Setting,
    page: &OnePanel,
    homeless: &[(usize, String)],
    named: &mut Content,
) {
    let size = setting.theme.sizes.label;
    let top = page.rect.top - UNDER_TITLE - size;
    let in_row = |text: &&TextBox| text.y < top + size && text.y + text.h > top;
    let title_end =
        page.content.texts.iter().filter(in_row).map(|text| text.x + text.w).fold(page.rect.left, f64::max);
    let mut right = page.rect.right;
    for (number, label) in homeless.iter().rev() {
        let width = setting.width_of(label, size);
        let left = right - width - GAP - SAMPLE;
        if left < title_end + 3.0 * GAP {
            named.omitted.push(label.clone());
            continue;
        }
        let sample = Rect::sized(left, top, SAMPLE, size);
        named.shapes.extend(map.surface(&sample.corners(), Some(*number), setting.theme));
        let points = sample.outline();
        named.shapes.push(Shape::Line { points, colour: setting.theme.ink, width: 2.0 });
        named.texts.push(setting.text(label, (left + SAMPLE + GAP, top), (size, setting.theme.ink)));
        right = left - 3.0 * GAP;
    }
}
