//! Dimensions and leaders, laid out so that no words stand on others.

use super::ink::{Pen, UPPER, WORDS};
use super::page::Group;
use super::side_view::Placing;
use super::{Callout, DiameterDimension, Label, LengthDimension};
use crate::font::{ASCENT, DESCENT, Fonts, Weight};
use crate::geometry::Point;

/// Room for an arrowhead and a little more, mm.
const ARROW_ROOM: f64 = 4.0;
/// Length of the lines outside a dimension too narrow for its arrows, mm.
const TAIL: f64 = 5.0;
/// Clear space between neighbours, mm.
const GAP: f64 = 3.0;
/// Gap between a line and the words on it, mm.
const CLEAR: f64 = 0.8;
/// From one row of dimensions to the next, mm.
const ROW: f64 = UPPER + WORDS + 2.0 * CLEAR + 2.4;
/// From the part to the first row, mm.
const FIRST_ROW: f64 = 11.0;
/// How far extension lines run past the dimension line, mm.
const PAST: f64 = 1.8;
/// Gap between the part and its extension lines, mm.
const OFF: f64 = 0.8;
/// Widest column of words above the side view, mm.
const WIDEST_CALLOUT: f64 = 44.0;
/// Most lines of a callout.
const CALLOUT_LINES: usize = 5;
/// From line to line of words, mm.
const LEADING: f64 = 1.15 * WORDS;
/// Shelf beside the words of a leader, mm.
const SHELF: f64 = 3.0;
/// Height of the leaders between words and part, mm.
const LEADER_RISE: f64 = 9.0;

/// Width of a label, mm.
fn label_width(label: &Label, fonts: &Fonts) -> f64 {
    fonts.width(&label.upper, UPPER, Weight::Regular).max(fonts.width(&label.lower, WORDS, Weight::Regular))
}

/// The upper line above a line through `at`, the lower below it, both from the left edge `at.0` or centred on it.
fn write(group: &mut Group, fonts: &Fonts, label: &Label, at: Point, centred: bool) {
    for (words, size, baseline) in [
        (&label.upper, UPPER, at.1 - CLEAR - 0.06 * UPPER),
        (&label.lower, WORDS, at.1 + CLEAR + ASCENT * WORDS),
    ] {
        let shift = if centred { 0.5 * fonts.width(words, size, Weight::Regular) } else { 0.0 };
        group.text(fonts, words, (at.0 - shift, baseline), size, Weight::Regular);
    }
}

/// Where a length dimension goes, mm on paper from the left end of the part.
#[derive(Debug, Clone, Copy)]
struct Slot {
    from: f64,
    to: f64,
    /// Left edge of the words, or their middle when they stand between the arrows.
    words: f64,
    inside: bool,
    /// What the line and its words take up.
    taken: (f64, f64),
    row: usize,
}

/// The length dimensions in rows below the side view.
pub(super) struct Rows {
    slots: Vec<Slot>,
}

impl Rows {
    /// Lays them out at `factor` mm on paper for each of a part of `length`: short ones nearest to the part.
    pub fn plan(dimensions: &[LengthDimension], length: f64, factor: f64, fonts: &Fonts) -> Self {
        let ends: Vec<f64> = dimensions.iter().flat_map(|d| [factor * d.from, factor * d.to]).collect();
        let mut slots: Vec<Slot> = dimensions.iter().map(|d| slot(d, &ends, length, fonts, factor)).collect();
        let mut order: Vec<usize> = (0..slots.len()).collect();
        let span = |slot: &Slot| slot.to - slot.from;
        order.sort_by(|&a, &b| match (slots.get(a), slots.get(b)) {
            (Some(a), Some(b)) => span(a).total_cmp(&span(b)),
            _ => std::cmp::Ordering::Equal,
        });
        let mut placed: Vec<((f64, f64), usize)> = Vec::new();
        for n in order {
            if let Some(slot) = slots.get_mut(n) {
                let (left, right) = slot.taken;
                let meets = |other: &(f64, f64)| left < other.1 + GAP && other.0 < right + GAP;
                // Below every shorter one that it meets, so that no line crosses another's words.
                slot.row = placed
                    .iter()
                    .filter(|(taken, _)| meets(taken))
                    .map(|(_, row)| row + 1)
                    .max()
                    .unwrap_or(0);
                placed.push((slot.taken, slot.row));
            }
        }
        Self { slots }
    }

    /// How far the rows reach below the part, mm.
    pub fn depth(&self) -> f64 {
        let rows = self.slots.iter().map(|slot| slot.row + 1).max().unwrap_or(0);
        if rows == 0 { 0.0 } else { FIRST_ROW + ROW * (rows - 1) as f64 + CLEAR + WORDS + PAST }
    }

    /// How far they reach past the left and the right end of the part, mm.
    pub fn overhang(&self, length_on_paper: f64) -> (f64, f64) {
        let left = self.slots.iter().map(|slot| -slot.taken.0).fold(0.0, f64::max);
        let right = self.slots.iter().map(|slot| slot.taken.1 - length_on_paper).fold(0.0, f64::max);
        (left, right)
    }

    /// Draws them below `clear`; `half` is half the part's height on paper. Both count from the axis, mm.
    pub fn draw(
        &self,
        dimensions: &[LengthDimension],
        placing: &Placing,
        (half, clear): (f64, f64),
        fonts: &Fonts,
    ) -> Group {
        let mut group = Group::new("lengths");
        let (x0, axis) = placing.origin;
        for (slot, dimension) in self.slots.iter().zip(dimensions) {
            let y = axis + clear + FIRST_ROW + ROW * slot.row as f64;
            let (a, b) = (x0 + slot.from, x0 + slot.to);
            for x in [a, b] {
                group.line(Pen::Thin, [(x, axis + half + OFF), (x, y + PAST)]);
            }
            if slot.inside {
                group.line(Pen::Thin, [(a, y), (b, y)]);
                group.arrow((a, y), (-1.0, 0.0));
                group.arrow((b, y), (1.0, 0.0));
            } else {
                group.line(Pen::Thin, [(x0 + slot.taken.0, y), (x0 + slot.taken.1, y)]);
                group.arrow((a, y), (1.0, 0.0));
                group.arrow((b, y), (-1.0, 0.0));
            }
            write(&mut group, fonts, &dimension.label, (x0 + slot.words, y), slot.inside);
        }
        group
    }
}

/// Words too wide to stand between the arrows stand beside them where no extension line passes, else right of the part.
fn slot(dimension: &LengthDimension, ends: &[f64], length: f64, fonts: &Fonts, factor: f64) -> Slot {
    let (from, to) = (factor * dimension.from, factor * dimension.to);
    let width = label_width(&dimension.label, fonts);
    if width + 2.0 * ARROW_ROOM <= to - from {
        return Slot { from, to, words: 0.5 * (from + to), inside: true, taken: (from, to), row: 0 };
    }
    let (right, left) = (to + TAIL, from - TAIL - width);
    let is_free = |start: f64| !ends.iter().any(|end| (start - CLEAR..=start + width + CLEAR).contains(end));
    let words = if is_free(right) {
        right
    } else if left >= 0.0 && is_free(left) {
        left
    } else {
        length * factor + TAIL
    };
    let taken = (words.min(from - TAIL), (words + width).max(to + TAIL));
    Slot { from, to, words, inside: false, taken, row: 0 }
}

/// The column of diameters beside the end view.
pub(super) struct Column {
    /// Width of its widest label, mm.
    pub width: f64,
    /// Its height, mm.
    pub height: f64,
}

/// From label to label of a column, mm.
const COLUMN_ROW: f64 = UPPER + WORDS + 2.0 * CLEAR + 3.0;
/// From the end view to the words of the column, mm.
pub(super) const COLUMN_OFF: f64 = 9.0;

impl Column {
    /// Measures it.
    pub fn plan(diameters: &[DiameterDimension], fonts: &Fonts) -> Self {
        let width = diameters.iter().map(|d| label_width(&d.label, fonts)).fold(0.0, f64::max);
        Self { width, height: COLUMN_ROW * diameters.len() as f64 }
    }

    /// Draws it beside an end view about `centre` of `radius` mm on paper.
    pub fn draw(
        &self,
        diameters: &[DiameterDimension],
        centre: Point,
        (radius, factor): (f64, f64),
        fonts: &Fonts,
    ) -> Group {
        let mut group = Group::new("diameters");
        let left = centre.0 + radius + COLUMN_OFF;
        for (n, dimension) in diameters.iter().enumerate() {
            let y = centre.1 - 0.5 * self.height + COLUMN_ROW * (n as f64 + 0.5);
            // The leader runs towards the centre, as a radius does.
            let knee = (left - SHELF, y);
            let (dx, dy) = (knee.0 - centre.0, knee.1 - centre.1);
            let reach = dx.hypot(dy);
            let share = 0.5 * dimension.diameter * factor / reach;
            let tip = (centre.0 + share * dx, centre.1 + share * dy);
            group.line(Pen::Thin, [tip, knee, (left + label_width(&dimension.label, fonts), y)]);
            group.arrow(tip, (-dx, -dy));
            write(&mut group, fonts, &dimension.label, (left, y), false);
        }
        group
    }
}

/// Words above the side view.
pub(super) struct Callouts {
    /// The lines of each, its width, and which callout it is, from left to right.
    blocks: Vec<(Vec<String>, f64, usize)>,
}

impl Callouts {
    /// Breaks the words into columns that share `room` mm.
    pub fn plan(callouts: &[Callout], room: f64, fonts: &Fonts) -> Self {
        let mut order: Vec<usize> = (0..callouts.len()).collect();
        order.sort_by(|&a, &b| {
            let place = |n: usize| callouts.get(n).map_or(0.0, |callout| callout.at.0);
            place(a).total_cmp(&place(b))
        });
        let share = room / callouts.len().max(1) as f64 - GAP - SHELF;
        let blocks = order
            .into_iter()
            .filter_map(|n| {
                let text = &callouts.get(n)?.text;
                let lines =
                    fonts.wrap(text, WORDS, Weight::Regular, share.min(WIDEST_CALLOUT), CALLOUT_LINES);
                let width =
                    lines.iter().map(|line| fonts.width(line, WORDS, Weight::Regular)).fold(0.0, f64::max);
                Some((lines, width, n))
            })
            .collect();
        Self { blocks }
    }

    /// How far they reach above the part, mm.
    pub fn height(&self) -> f64 {
        let lines = self.blocks.iter().map(|(lines, ..)| lines.len()).max().unwrap_or(0);
        if lines == 0 { 0.0 } else { LEADER_RISE + LEADING * lines as f64 }
    }

    /// Draws them between `left` and `right`, their leaders starting above `clear` mm from the axis.
    pub fn draw(
        &self,
        callouts: &[Callout],
        placing: &Placing,
        (clear, left, right): (f64, f64, f64),
        fonts: &Fonts,
    ) -> Group {
        let mut group = Group::new("callouts");
        let foot = placing.origin.1 - clear - LEADER_RISE;
        let wishes: Vec<(f64, f64)> = self
            .blocks
            .iter()
            .filter_map(|(_, width, n)| Some((placing.at(callouts.get(*n)?.at).0, width + SHELF)))
            .collect();
        for ((lines, _, n), x) in self.blocks.iter().zip(side_by_side(&wishes, left, right)) {
            let Some(callout) = callouts.get(*n) else { continue };
            let tip = placing.at(callout.at);
            let bottom = foot - LEADING * lines.len() as f64 + DESCENT * WORDS;
            // The shelf underlines the last line; the leader leaves it at the end nearer to the place.
            let end = x + SHELF + lines.last().map_or(0.0, |line| fonts.width(line, WORDS, Weight::Regular));
            let from_left = (tip.0 - x).abs() <= (tip.0 - end).abs();
            let (knee, other, words) = if from_left { (x, end, x + SHELF) } else { (end, x, x) };
            group.line(Pen::Thin, [(other, foot), (knee, foot), tip]);
            group.arrow(tip, (tip.0 - knee, tip.1 - foot));
            for (row, line) in lines.iter().enumerate() {
                let baseline = bottom + LEADING * (row + 1) as f64 - 2.0 * DESCENT * WORDS;
                group.text(fonts, line, (words, baseline), WORDS, Weight::Regular);
            }
        }
        group
    }
}

/// Left edges of blocks of given widths, each as near to its wish as the others leave room, between `left` and `right`.
fn side_by_side(wishes: &[(f64, f64)], left: f64, right: f64) -> Vec<f64> {
    let mut edges: Vec<f64> = Vec::with_capacity(wishes.len());
    let mut free = left;
    for (wish, width) in wishes {
        let edge = (wish - 0.5 * width).max(free);
        edges.push(edge);
        free = edge + width + GAP;
    }
    let mut limit = right;
    for (edge, (_, width)) in edges.iter_mut().zip(wishes).rev() {
        *edge = edge.min(limit - width);
        limit = *edge - GAP;
    }
    edges
}
