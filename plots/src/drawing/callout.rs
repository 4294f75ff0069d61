//! Words above the side view, with leaders to the places they are of.

use super::ink::{Pen, WORDS};
use super::page::Group;
use super::part::{Callout, Characteristic, ToleranceFrame};
use super::placing::Placing;
use crate::font::{DESCENT, Fonts, Weight};
use crate::geometry::Point;

/// Clear space between neighbours, mm.
const GAP: f64 = 3.0;
/// Widest column of words above the side view, mm.
const WIDEST: f64 = 44.0;
/// Most lines of a callout.
const LINES: usize = 6;
/// From line to line of words, mm.
const LEADING: f64 = 1.15 * WORDS;
/// Shelf beside the words of a leader, mm.
const SHELF: f64 = 3.0;
/// Height of the leaders between words and part, mm.
const LEADER_RISE: f64 = 9.0;
/// Height of a frame with a tolerance of geometry, and the width of its sign's and its datum's fields, mm.
const FRAME: f64 = 5.4;
/// Space of a frame below words and above the shelf, mm.
const FRAME_OFF: f64 = 1.4;

fn frame_width(frame: &ToleranceFrame, fonts: &Fonts) -> f64 {
    2.0 * FRAME + fonts.width(&frame.value, WORDS, Weight::Regular) + 3.0
}

/// Draws a frame from its top left corner.
fn draw_frame(group: &mut Group, fonts: &Fonts, frame: &ToleranceFrame, (x, y): Point) {
    let width = frame_width(frame, fonts);
    group.boxed(Pen::Thin, (x, y), (width, FRAME));
    for rule in [x + FRAME, x + width - FRAME] {
        group.line(Pen::Thin, [(rule, y), (rule, y + FRAME)]);
    }
    let (cx, cy) = (x + 0.5 * FRAME, y + 0.5 * FRAME);
    match frame.characteristic {
        Characteristic::Square => {
            group.line(Pen::Sign, [(cx - 1.7, cy + 1.5), (cx + 1.7, cy + 1.5)]);
            group.line(Pen::Sign, [(cx, cy + 1.5), (cx, cy - 1.7)]);
        }
        Characteristic::Coaxial => {
            group.circle(Pen::Sign, (cx, cy), 1.8);
            group.circle(Pen::Sign, (cx, cy), 0.9);
        }
    }
    let baseline = cy + 0.35 * WORDS;
    group.text(fonts, &frame.value, (x + FRAME + 1.5, baseline), WORDS, Weight::Regular);
    let datum = frame.datum.to_string();
    let shift = 0.5 * (FRAME - fonts.width(&datum, WORDS, Weight::Regular));
    group.text(fonts, &datum, (x + width - FRAME + shift, baseline), WORDS, Weight::Regular);
}

/// Words above the side view.
pub(super) struct Callouts {
    /// From left to right.
    blocks: Vec<Block>,
}

/// One of them.
struct Block {
    lines: Vec<String>,
    width: f64,
    /// Which callout it is.
    of: usize,
    /// Whether a frame stands below its words.
    framed: bool,
}

impl Block {
    fn height(&self) -> f64 {
        let frame = if self.framed { FRAME + 2.0 * FRAME_OFF } else { 0.0 };
        LEADING * self.lines.len() as f64 + frame
    }
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
                let callout = callouts.get(n)?;
                let text = &callout.text;
                let lines = fonts.wrap(text, WORDS, Weight::Regular, share.min(WIDEST), LINES);
                let width =
                    lines.iter().map(|line| fonts.width(line, WORDS, Weight::Regular)).fold(0.0, f64::max);
                let framed = callout.frame.as_ref().map_or(0.0, |frame| frame_width(frame, fonts));
                Some(Block { lines, width: width.max(framed), of: n, framed: framed > 0.0 })
            })
            .collect();
        Self { blocks }
    }

    /// How far they reach above the part, mm.
    pub fn height(&self) -> f64 {
        let tallest = self.blocks.iter().map(Block::height).fold(0.0, f64::max);
        if tallest > 0.0 { LEADER_RISE + tallest } else { 0.0 }
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
            .filter_map(|block| Some((placing.at(callouts.get(block.of)?.at).0, block.width + SHELF)))
            .collect();
        for (block, x) in self.blocks.iter().zip(side_by_side(&wishes, left, right)) {
            let Some(callout) = callouts.get(block.of) else { continue };
            let tip = placing.at(callout.at);
            // The shelf underlines the words; the leader leaves it at the end nearer to the place.
            let end = x + SHELF + block.width;
            let from_left = (tip.0 - x).abs() <= (tip.0 - end).abs();
            let (knee, other, words) = if from_left { (x, end, x + SHELF) } else { (end, x, x) };
            group.line(Pen::Thin, [(other, foot), (knee, foot), tip]);
            group.arrow(tip, (tip.0 - knee, tip.1 - foot));
            if let Some(frame) = &callout.frame {
                draw_frame(&mut group, fonts, frame, (words, foot - FRAME_OFF - FRAME));
            }
            let top = foot - block.height();
            for (row, line) in block.lines.iter().enumerate() {
                let baseline = top + LEADING * (row + 1) as f64 - DESCENT * WORDS;
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
