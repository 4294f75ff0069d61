//! Pieces in their places on one axis.

use super::callout::Callouts;
use super::dimension::Rows;
use super::ink::{Pen, WORDS};
use super::page::Group;
use super::part::{Callout, LengthDimension, TurnedPart};
use super::placing::Placing;
use super::side_view::{self, AXIS_PAST};
use crate::font::{Fonts, Weight};

/// From the dimensions of a pose to its words, mm.
const CAPTION_OFF: f64 = 3.0;
/// From line to line of its words, mm.
const LEADING: f64 = 1.3 * WORDS;
/// From one pose to the next, mm.
const BETWEEN: f64 = 3.0;

/// What an assembly is made of.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A part to be made, as far in section as it says.
    Part(TurnedPart),
    /// A round body of the machine: its length, and its inner and outer diameter.
    Found(f64, f64, f64),
    /// A rod, drawn from outside: its length and diameter.
    Rod(f64, f64),
    /// A spring, cut: its length, the mean diameter of its coils, its wire and how many coils there are.
    Spring(f64, f64, f64, u32),
}

/// A shape in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Where its left end lies on the axis, mm.
    pub at: f64,
    /// What it is.
    pub shape: Shape,
}

impl Piece {
    /// Its ends on the axis and its greatest diameter.
    fn extent(&self) -> (f64, f64, f64) {
        let (length, diameter) = match &self.shape {
            Shape::Part(part) => (part.length(), part.greatest_diameter()),
            Shape::Found(length, _, outer) => (*length, *outer),
            Shape::Rod(length, diameter) => (*length, *diameter),
            Shape::Spring(length, mean, wire, _) => (*length, mean + wire),
        };
        (self.at, self.at + length, diameter)
    }
}

/// The pieces in one state of the machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Pose {
    /// Which state, in words below it.
    pub caption: String,
    /// The pieces; where they lie over each other, the later ones are drawn over the earlier.
    pub pieces: Vec<Piece>,
    /// Lengths below them.
    pub lengths: Vec<LengthDimension>,
    /// Words above them.
    pub callouts: Vec<Callout>,
}

impl Pose {
    /// From the left-most place to the right-most, and the greatest diameter, mm.
    pub(super) fn extent(&self) -> (f64, f64, f64) {
        let all = self.pieces.iter().map(Piece::extent);
        all.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1), a.2.max(b.2))).unwrap_or((0.0, 0.0, 0.0))
    }
}

/// A pose laid out at a scale.
pub(super) struct Laid {
    rows: Rows,
    callouts: Callouts,
    caption: Vec<String>,
    half: f64,
    /// Height of all of it, mm.
    pub height: f64,
    /// What it takes left and right of the axis' nought, mm.
    pub reach: (f64, f64),
}

impl Laid {
    pub fn plan(pose: &Pose, factor: f64, room: f64, fonts: &Fonts) -> Self {
        let (left, right, diameter) = pose.extent();
        let placing = Placing::whole(factor);
        let rows = Rows::plan(&pose.lengths, &placing, fonts);
        let callouts = Callouts::plan(&pose.callouts, room, fonts);
        let caption = fonts.wrap(&pose.caption, WORDS, Weight::Regular, room, 3);
        let half = 0.5 * factor * diameter;
        let words = CAPTION_OFF + LEADING * caption.len() as f64 + BETWEEN;
        let height = callouts.height() + 2.0 * half + rows.depth() + words;
        // The rows count from nought, the pieces from their own left end.
        let (past_left, past_right) = rows.overhang(factor * right);
        let reach = (
            (past_left).max(AXIS_PAST - factor * left),
            (factor * right + past_right).max(factor * right + AXIS_PAST),
        );
        Self { rows, callouts, caption, half, height, reach }
    }

    /// Draws it with its axis' nought at `x0` and its top at `top`, words between `left` and `right`.
    pub fn draw(
        &self,
        pose: &Pose,
        (x0, top, factor): (f64, f64, f64),
        (left, right): (f64, f64),
        fonts: &Fonts,
    ) -> Vec<Group> {
        let axis = top + self.callouts.height() + self.half;
        let placing = Placing { origin: (x0, axis), factor, left_out: None };
        let mut view = Group::new("assembly");
        for piece in &pose.pieces {
            draw_piece(&mut view, piece, &placing);
        }
        let (start, end, _) = pose.extent();
        let past = AXIS_PAST / factor;
        view.line(Pen::Axis, [placing.at((start - past, 0.0)), placing.at((end + past, 0.0))]);
        let mut words = Group::new("caption");
        let below = axis + self.half + self.rows.depth() + CAPTION_OFF;
        for (n, line) in self.caption.iter().enumerate() {
            words.text(fonts, line, (left, below + LEADING * n as f64 + WORDS), WORDS, Weight::Bold);
        }
        vec![
            view,
            self.rows.draw(&pose.lengths, &placing, (self.half, self.half), fonts),
            self.callouts.draw(&pose.callouts, &placing, (self.half, left, right), fonts),
            words,
        ]
    }
}

fn draw_piece(group: &mut Group, piece: &Piece, placing: &Placing) {
    let origin = placing.at((piece.at, 0.0));
    let here = Placing { origin, ..*placing };
    let boxed = |group: &mut Group, pen: Pen, length: f64, (low, high): (f64, f64)| {
        group.boxed(pen, here.at((0.0, high)), (placing.factor * length, placing.factor * (high - low)));
    };
    match &piece.shape {
        Shape::Part(part) => side_view::body(group, part, &here),
        Shape::Rod(length, diameter) => boxed(group, Pen::Edge, *length, (-0.5 * diameter, 0.5 * diameter)),
        Shape::Found(length, inner, outer) => {
            boxed(group, Pen::Phantom, *length, (0.5 * inner, 0.5 * outer));
            boxed(group, Pen::Phantom, *length, (-0.5 * outer, -0.5 * inner));
        }
        Shape::Spring(length, mean, wire, coils) => {
            let steps = (*coils).max(2);
            // The coils of the two sides lie half a pitch apart.
            for n in 0..=2 * steps {
                let side = if n % 2 == 0 { 0.5 } else { -0.5 };
                let along = 0.5 * wire + (length - wire) * f64::from(n) / f64::from(2 * steps);
                group.circle(Pen::Thin, here.at((along, side * mean)), 0.5 * wire * placing.factor);
            }
        }
    }
}
