//! The mould: small at the nozzle, and enlarged, where its filling and freezing can be seen.
//!
//! The metal stands as high as the mould is filled. A skin of frozen metal grows from every wall it touches, and what is still
//! liquid within turns from the liquid's colour to the solid's by the share that is solid.

use super::Pose;
use super::pen::{Pen, corners};
use super::plan::Plan;
use super::sort::Body;
use super::tints::mix;
use crate::geometry::{Point, dashes};
use crate::scene::Shape;
use crate::theme::Colour;

/// Steps in which liquid turns solid, so that few colours are needed.
const STEPS: f64 = 6.0;

/// Cavity and walls of one drawing of the mould, mm.
struct Cavity {
    left: f64,
    foot: f64,
    width: f64,
    depth: f64,
    wall: f64,
    /// mm of the drawing for each metre of skin.
    skin_scale: f64,
}

impl Cavity {
    /// The mould's walls with a gate at the foot, and the matrix that closes the cavity above.
    fn walls(&self, gate: f64, pen: &mut Pen) {
        let (left, right) = (self.left, self.left + self.width);
        let (foot, top) = (self.foot, self.foot + self.depth);
        let wall = self.wall;
        let iron = pen.tints.iron;
        pen.part(&corners(left - wall, foot - 0.4 * wall, right + wall, top), iron);
        pen.area(&corners(left, foot, right, top), pen.tints.ground);
        let middle = f64::midpoint(left, right);
        pen.area(
            &corners(middle - 0.5 * gate, foot - 0.4 * wall, middle + 0.5 * gate, foot),
            pen.tints.metal,
        );
        // The matrix, with the letter's face cut into it.
        pen.part(&corners(left - 0.6 * wall, top, right + 0.6 * wall, top + 0.8 * wall), pen.tints.frame);
    }

    fn metal(&self, gate: f64, pose: &Pose, pen: &mut Pen) {
        let fill = pose.fill.clamp(0.0, 1.0);
        if fill <= 0.0 {
            return;
        }
        let (left, right, foot) = (self.left, self.left + self.width, self.foot);
        let level = foot + fill * self.depth;
        let tints = pen.tints;
        let skin = (1e3 * pose.skin.max(0.0) * self.skin_scale).min(0.5 * self.width).min(0.5 * self.depth);
        pen.area(&corners(left, foot, right, level), tints.solid);
        let steps = (STEPS * pose.solid.clamp(0.0, 1.0)).round() / STEPS;
        let liquid = mix(tints.metal, tints.solid, steps);
        // The free surface of metal that is still rising has no skin.
        let reached = fill >= 0.97;
        let top = if reached { level - skin } else { level };
        if right - left > 2.0 * skin && top > foot + skin {
            pen.area(&corners(left + skin, foot + skin, right - skin, top), liquid);
        }
        // Until it freezes, the entry stays open.
        let middle = f64::midpoint(left, right);
        let (from, to) = (foot - 0.4 * self.wall, foot + skin.min(level - foot));
        let entry = corners(middle - 0.5 * gate, from, middle + 0.5 * gate, to);
        pen.area(&entry, if pose.sealed { tints.solid } else { liquid });
    }

    fn edge(&self, pen: &mut Pen) {
        pen.edge(&corners(self.left, self.foot, self.left + self.width, self.foot + self.depth));
    }
}

/// The cavity as it stands on the nozzle.
fn small(plan: &Plan) -> Cavity {
    Cavity {
        left: plan.riser_x - 0.5 * plan.body,
        foot: plan.mould_foot() + 3.0,
        width: plan.body,
        depth: plan.depth,
        wall: 8.0,
        skin_scale: 1.0,
    }
}

/// The cavity in the enlarged drawing.
fn large(plan: &Plan) -> Cavity {
    let (left, bottom, right, _) = plan.mould_room();
    let width = plan.body * plan.enlargement;
    Cavity {
        left: f64::midpoint(left, right) - 0.5 * width,
        foot: bottom + 16.0,
        width,
        depth: plan.depth * plan.enlargement,
        wall: 18.0,
        skin_scale: plan.enlargement,
    }
}

/// Middle of the enlarged cavity at a share of its depth, mm.
pub(super) fn inside(plan: &Plan, across: f64, up: f64) -> Point {
    let cavity = large(plan);
    (cavity.left + across * cavity.width, cavity.foot + up * cavity.depth)
}

/// Middle of the enlarged matrix, mm.
pub(super) fn matrix(plan: &Plan) -> Point {
    let cavity = large(plan);
    (cavity.left + 0.8 * cavity.width, cavity.foot + cavity.depth + 0.4 * cavity.wall)
}

/// The small mould.
pub(super) fn at_the_nozzle(plan: &Plan, pose: &Pose, pen: &mut Pen) {
    let cavity = small(plan);
    cavity.walls(plan.nozzle, pen);
    cavity.metal(plan.nozzle, pose, pen);
    cavity.edge(pen);
}

/// The enlarged mould, joined by thin lines to the small one.
pub(super) fn enlarged(plan: &Plan, pose: &Pose, pen: &mut Pen) {
    let (small, large) = (small(plan), large(plan));
    let ends = |cavity: &Cavity| {
        let low = (cavity.foot - 0.4 * cavity.wall, cavity.foot + cavity.depth + 0.8 * cavity.wall);
        (cavity.left - cavity.wall, cavity.left + cavity.width + cavity.wall, low)
    };
    let (from, to) = (ends(&small), ends(&large));
    let thin: Colour = pen.tints.thin;
    for line in [[(from.0, from.2.1), (to.0, to.2.0)], [(from.1, from.2.1), (to.1, to.2.0)]] {
        let whole: Vec<Point> = line.iter().map(|&point| pen.place.px(point)).collect();
        let width = 0.6 * pen.outline;
        for points in dashes(&whole, &[9.0, 8.0]) {
            pen.shapes.push(Shape::Line { points, colour: thin, width });
        }
    }
    if let Some(looks) = &pose.looks {
        let Cavity { left, foot, width, depth, .. } = large;
        looks.draw(Body { left, foot, width, depth }, pen);
        return;
    }
    large.walls(plan.nozzle * plan.enlargement, pen);
    large.metal(plan.nozzle * plan.enlargement, pose, pen);
    large.edge(pen);
}
