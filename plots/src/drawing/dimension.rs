//! Dimensions and leaders, laid out so that no words stand on others.

use super::ink::{Pen, UPPER, WORDS};
use super::page::{Group, PlacedText};
use super::part::{DiameterDimension, Label, LengthDimension};
use super::placing::Placing;
use crate::font::{ASCENT, Fonts, Weight};
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
const FIRST_ROW: f64 = 9.0;
/// How far extension lines run past the dimension line, mm.
const PAST: f64 = 1.8;
/// Gap between the part and its extension lines, mm.
const OFF: f64 = 0.8;
/// Shelf beside the words of a leader, mm.
const SHELF: f64 = 3.0;

/// Width of a label, mm.
fn label_width(label: &Label, fonts: &Fonts) -> f64 {
    fonts.width(&label.upper, UPPER, Weight::Regular).max(fonts.width(&label.lower, WORDS, Weight::Regular))
}

/// Where a label stands by the place that it is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Right,
    Middle,
    Left,
}

/// The upper line above a line through `at`, the lower below it.
fn write(group: &mut Group, fonts: &Fonts, label: &Label, at: Point, side: Side) {
    for (words, size, baseline) in [
        (&label.upper, UPPER, at.1 - CLEAR - 0.06 * UPPER),
        (&label.lower, WORDS, at.1 + CLEAR + ASCENT * WORDS),
    ] {
        let share = match side {
            Side::Right => 0.0,
            Side::Middle => 0.5,
            Side::Left => 1.0,
        };
        let shift = share * fonts.width(words, size, Weight::Regular);
        group.text(fonts, words, (at.0 - shift, baseline), size, Weight::Regular);
    }
}

/// Where a length dimension goes, mm on paper from the left end of the part.
#[derive(Debug, Clone, Copy)]
struct Slot {
    from: f64,
    to: f64,
    /// The edge of the words that is nearer to the arrows, or their middle when they stand between these.
    words: f64,
    side: Side,
    /// What the line and its words take up.
    taken: (f64, f64),
    row: usize,
}

/// The length dimensions in rows below the side view.
pub(super) struct Rows {
    slots: Vec<Slot>,
}

impl Rows {
    /// Lays them out below a part placed with its left end at nought: short ones nearest to the part.
    pub fn plan(dimensions: &[LengthDimension], placing: &Placing, fonts: &Fonts) -> Self {
        let ends: Vec<f64> = dimensions.iter().flat_map(|d| [placing.x(d.from), placing.x(d.to)]).collect();
        let mut slots: Vec<Slot> = dimensions.iter().map(|d| slot(d, &ends, placing, fonts)).collect();
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
        let level = |slot: &Slot| axis + clear + FIRST_ROW + ROW * slot.row as f64;
        for (slot, dimension) in self.slots.iter().zip(dimensions) {
            let y = level(slot);
            let (a, b) = (x0 + slot.from, x0 + slot.to);
            if slot.side == Side::Middle {
                group.line(Pen::Thin, [(a, y), (b, y)]);
                group.arrow((a, y), (-1.0, 0.0));
                group.arrow((b, y), (1.0, 0.0));
            } else {
                group.line(Pen::Thin, [(x0 + slot.taken.0, y), (x0 + slot.taken.1, y)]);
                group.arrow((a, y), (1.0, 0.0));
                group.arrow((b, y), (-1.0, 0.0));
            }
            write(&mut group, fonts, &dimension.label, (x0 + slot.words, y), slot.side);
        }
        let boxes: Vec<_> = group.texts.iter().map(PlacedText::bounds).collect();
        for slot in &self.slots {
            for x in [x0 + slot.from, x0 + slot.to] {
                let gaps = boxes.iter().filter(|text| (text.0 - CLEAR..=text.2 + CLEAR).contains(&x));
                let gaps = gaps.map(|text| (text.1 - CLEAR, text.3 + CLEAR));
                for (top, bottom) in without((axis + half + OFF, level(slot) + PAST), gaps.collect()) {
                    group.line(Pen::Thin, [(x, top), (x, bottom)]);
                }
            }
        }
        group
    }
}

/// What is left of a stretch without gaps in it.
fn without((start, end): (f64, f64), mut gaps: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut kept, mut here) = (Vec::new(), start);
    for (from, to) in gaps {
        if from.min(end) > here {
            kept.push((here, from.min(end)));
        }
        here = here.max(to);
    }
    if end > here {
        kept.push((here, end));
    }
    kept
}

/// Words too wide to stand between the arrows stand beside them: on the side where no other dimension passes, if there is one.
fn slot(dimension: &LengthDimension, ends: &[f64], placing: &Placing, fonts: &Fonts) -> Slot {
    let (from, to) = (placing.x(dimension.from), placing.x(dimension.to));
    let width = label_width(&dimension.label, fonts);
    if width + 2.0 * ARROW_ROOM <= to - from {
        return Slot { from, to, words: 0.5 * (from + to), side: Side::Middle, taken: (from, to), row: 0 };
    }
    let (right, left) = (to + TAIL, from - TAIL - width);
    let crossings =
        |start: f64| ends.iter().filter(|end| (start - TAIL..=start + width + CLEAR).contains(*end)).count();
    if crossings(left) < crossings(right) {
        let taken = (left, to + TAIL);
        return Slot { from, to, words: from - TAIL, side: Side::Left, taken, row: 0 };
    }
    Slot { from, to, words: right, side: Side::Right, taken: (from - TAIL, right + width), row: 0 }
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
pub(super) const COLUMN_OFF: f64 = 7.0;

/// Side of the box of a datum's letter, from its triangle to it, and from the words to the triangle, mm.
const DATUM: f64 = 5.4;
const DATUM_OFF: f64 = 3.4;
const DATUM_CLEAR: f64 = 1.2;

/// The letter of a datum in its box, with the triangle that says what it is the datum of.
fn datum(group: &mut Group, fonts: &Fonts, letter: char, (x, y): Point) {
    let (left, top) = (x + DATUM_OFF, y - 0.5 * DATUM);
    group.fill([(x, y - 1.2), (x + 2.2, y), (x, y + 1.2)]);
    group.line(Pen::Thin, [(x, y), (left, y)]);
    group.boxed(Pen::Thin, (left, top), (DATUM, DATUM));
    let words = letter.to_string();
    let shift = 0.5 * (DATUM - fonts.width(&words, WORDS, Weight::Regular));
    group.text(fonts, &words, (left + shift, y + 0.35 * WORDS), WORDS, Weight::Regular);
}

impl Column {
    /// Measures it.
    pub fn plan(diameters: &[DiameterDimension], fonts: &Fonts) -> Self {
        let datum = |d: &DiameterDimension| d.datum.map_or(0.0, |_| DATUM_CLEAR + DATUM_OFF + DATUM);
        let width = diameters.iter().map(|d| label_width(&d.label, fonts) + datum(d)).fold(0.0, f64::max);
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
            let end = left + label_width(&dimension.label, fonts);
            group.line(Pen::Thin, [tip, knee, (end + dimension.datum.map_or(0.0, |_| DATUM_CLEAR), y)]);
            if let Some(letter) = dimension.datum {
                datum(&mut group, fonts, letter, (end + DATUM_CLEAR, y));
            }
            group.arrow(tip, (-dx, -dy));
            write(&mut group, fonts, &dimension.label, (left, y), Side::Right);
        }
        group
    }
}
