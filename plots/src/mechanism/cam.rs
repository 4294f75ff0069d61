//! The cam in its true shape, its roller follower and the bell crank that stands for the lever train.
//!
//! The roller sits on the upright arm of the crank and the other arm lifts the cross block. For each shaft angle θ the lift
//! gives the crank's angle, and so the roller's centre; seen from the turning cam these centres are the pitch curve, and the
//! cam's edge is its inner parallel at one roller radius. So cam and roller touch at every angle, as long as the roller is
//! smaller than the tightest hollow of the cam.

use super::Pose;
use super::pen::{Pen, turned};
use super::plan::Plan;
use crate::geometry::Point;
use std::f64::consts::TAU;

/// Radius of the roller, mm.
pub(super) const ROLLER: f64 = 11.0;

/// Radius of the arrow that shows which way it turns, mm.
const ARROW: f64 = 20.5;

/// The cam's edge in its own frame, about its centre, as it lies at shaft angle zero, mm.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cam {
    edge: Vec<Point>,
}

impl Cam {
    /// The edge for lifts (m) of the cross block at shaft angles (rad) over one turn.
    pub fn new(lifts: &[(f64, f64)], plan: &Plan) -> Self {
        let centre = plan.cam_centre;
        let pitch: Vec<Point> = lifts
            .iter()
            .map(|&(angle, lift)| {
                let (x, y) = turned(plan.roller(1e3 * lift), centre, angle);
                (x - centre.0, y - centre.1)
            })
            .collect();
        let count = pitch.len();
        let at = |index: usize| pitch.get(index % count.max(1)).copied().unwrap_or((1.0, 0.0));
        let edge = (0..count)
            .map(|index| {
                let (before, here, after) = (at(index + count - 1), at(index), at(index + 1));
                let (dx, dy) = (after.0 - before.0, after.1 - before.1);
                let length = dx.hypot(dy).max(f64::MIN_POSITIVE);
                // Of the two normals, the one that points away from the shaft.
                let outward = (here.0 * dy - here.1 * dx).signum();
                let (nx, ny) = (outward * dy / length, -outward * dx / length);
                (here.0 - ROLLER * nx, here.1 - ROLLER * ny)
            })
            .collect();
        Self { edge }
    }

    /// The edge with the shaft at `angle` (rad), mm; the shaft turns clockwise.
    pub fn edge(&self, angle: f64, plan: &Plan) -> Vec<Point> {
        let (x, y) = plan.cam_centre;
        self.edge.iter().map(|&(dx, dy)| turned((x + dx, y + dy), (x, y), -angle)).collect()
    }

    /// Draws crank, roller, cam and shaft.
    pub fn draw(&self, plan: &Plan, pose: &Pose, pen: &mut Pen) {
        let tints = pen.tints;
        let lift = 1e3 * pose.block_lift;
        let (roller, pad) = (plan.roller(lift), plan.pad(lift));
        pen.bar(&[roller, plan.crank, pad], tints.driven, 9.0);
        pen.disc(plan.crank, 8.0, tints.frame);
        pen.pin(plan.crank, 2.6);
        pen.disc(pad, super::plan::PAD, tints.driven);
        pen.part(&self.edge(pose.angle, plan), tints.driven);
        let centre = plan.cam_centre;
        pen.disc(centre, 14.0, tints.frame);
        // The key shows how far the shaft has turned.
        let key = |along: f64, across: f64| {
            turned((centre.0 + along, centre.1 + across), centre, TAU / 4.0 - pose.angle)
        };
        pen.area(&[key(9.0, -3.0), key(18.0, -3.0), key(18.0, 3.0), key(9.0, 3.0)], tints.ink);
        pen.pin(centre, 2.0);
        turning(centre, pen);
        pen.disc(roller, ROLLER, tints.frame);
        pen.pin(roller, 2.6);
    }
}

/// An arrow round the shaft, the way it turns: clockwise.
fn turning(centre: Point, pen: &mut Pen) {
    let at = |degrees: f64, radius: f64| {
        let angle = degrees.to_radians();
        (centre.0 + radius * angle.cos(), centre.1 + radius * angle.sin())
    };
    let arc: Vec<Point> = (0..=14_u32).map(|step| at(250.0 - 10.0 * f64::from(step), ARROW)).collect();
    let ink = pen.tints.ink;
    pen.line(&arc, ink, 0.9 * pen.outline);
    pen.area(&[at(110.0, ARROW + 3.6), at(110.0, ARROW - 3.6), at(86.0, ARROW)], ink);
}

#[cfg(test)]
impl Cam {
    /// The edge's own points, for tests of its shape.
    pub fn points(&self) -> &[Point] {
        &self.edge
    }
}
