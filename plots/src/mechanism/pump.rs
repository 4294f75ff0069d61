//! The pump: pot, well with its inlet port, piston, channel, nozzle and a pressure gauge.

use super::Pose;
use super::pen::{Pen, corners};
use super::plan::Plan;
use crate::geometry::Point;
use std::f64::consts::PI;

/// Thickness of the well's wall, mm.
const WALL: f64 = 6.0;
/// From the piston's upper end in the metal to the lowest that the lever comes to, mm: metal, rim and wall of the well.
pub(super) const ABOVE: f64 = 40.0;
/// How far the pot reaches beyond the piston, away from the rod, mm.
pub(super) const RIGHT: f64 = WALL + 14.0;
/// From the well's floor to the pot's foot, mm.
pub(super) const UNDER: f64 = WALL + 12.0;
/// Radius of the gauge's dial, mm.
const DIAL: f64 = 20.0;
/// Half the room of the dial with its figures, mm.
pub(super) const ROUND: f64 = 38.0;
/// Parts of its scale.
const MARKS: u32 = 8;

/// Height of the metal in the pot, mm.
pub(super) fn level(plan: &Plan) -> f64 {
    plan.face + 0.75 * plan.piston_length
}

/// Where the gauge stands.
pub(super) fn centre(plan: &Plan) -> Point {
    let pot = plan.piston_x - plan.piston_half - super::plan::POT;
    (pot - ROUND, (plan.well_floor + 22.0).min(plan.lever_low() - ROUND))
}

/// Pot, well, channel and nozzle, full of metal.
pub(super) fn pot(plan: &Plan, pen: &mut Pen) {
    let tints = pen.tints;
    let (x, half) = (plan.piston_x, plan.piston_half);
    let (left, right) = (x - half - super::plan::POT, x + half + RIGHT);
    let rim = level(plan) + 14.0;
    let floor = plan.well_floor - UNDER;
    // Pot and throat are one casting.
    let (throat_left, throat_right) = (plan.riser_x - 13.0, plan.riser_x + 13.0);
    let throat_top = plan.nozzle_foot;
    pen.part(
        &[
            (left, rim),
            (left, floor),
            (throat_right, floor),
            (throat_right, throat_top),
            (throat_left, throat_top),
            (throat_left, plan.well_floor + plan.channel + 8.0),
            (right, plan.well_floor + plan.channel + 8.0),
            (right, rim),
        ],
        tints.iron,
    );
    // The metal in the pot round the well.
    let (pot_left, pot_right) = (left + 7.0, right - 7.0);
    let pot_floor = plan.well_floor + plan.channel + 6.0;
    pen.area(&corners(pot_left, level(plan), pot_right, rim), tints.ground);
    pen.part(&corners(pot_left, pot_floor, pot_right, level(plan)), tints.metal);
    // The well's walls stand in it.
    pen.part(&corners(x - half - WALL, plan.well_floor - WALL, x + half + WALL, rim + 4.0), tints.iron);
    pen.area(&corners(x - half, plan.well_floor, x + half, rim + 4.0), tints.ground);
    if plan.port > 0.0 {
        // The inlet port, from the piston's face at rest downwards.
        for (from, to) in [(x - half - WALL, x - half), (x + half, x + half + WALL)] {
            pen.area(&corners(from - 0.8, plan.face - plan.port, to + 0.8, plan.face), tints.metal);
        }
    }
    // Channel and nozzle.
    let channel = plan.channel;
    let (riser, foot) = (plan.riser_x, plan.well_floor);
    pen.area(&corners(x - half, foot, riser + 0.5 * channel, foot + channel), tints.metal);
    pen.area(&corners(riser - 0.5 * channel, foot, riser + 0.5 * channel, throat_top), tints.metal);
    let tip = plan.mould_foot();
    let (wide, narrow) = (11.0, (0.5 * plan.nozzle + 3.0).min(11.0));
    let outline = [
        (riser - wide, throat_top),
        (riser - narrow, tip),
        (riser + narrow, tip),
        (riser + wide, throat_top),
    ];
    pen.part(&outline, tints.iron);
    pen.area(
        &corners(riser - 0.5 * plan.nozzle, throat_top - 1.0, riser + 0.5 * plan.nozzle, tip),
        tints.metal,
    );
}

/// The piston with its rod, and the metal under it.
pub(super) fn piston(plan: &Plan, pose: &Pose, pen: &mut Pen) {
    let tints = pen.tints;
    let (x, half) = (plan.piston_x, plan.piston_half);
    let face = plan.face - 1e3 * pose.piston_travel;
    pen.area(&corners(x - half, plan.well_floor, x + half, face), tints.metal);
    let top = face + plan.piston_length;
    pen.part(&corners(x - 4.0, top - 1.0, x + 4.0, plan.lever_pins(pose).1.1), tints.thrown);
    pen.part(&corners(x - half, face, x + half, top), tints.thrown);
}

/// Draws the dial, its pipe and its needle.
pub(super) fn dial(plan: &Plan, pose: &Pose, pen: &mut Pen) {
    let tints = pen.tints;
    let centre = centre(plan);
    let pot = (centre.0 + ROUND, centre.1.max(plan.well_floor - 0.5 * UNDER));
    let pipe = [(centre.0 + DIAL, centre.1), (f64::midpoint(centre.0 + DIAL, pot.0), centre.1), pot];
    pen.line(&pipe, tints.ink, 2.0 * pen.outline);
    pen.disc(centre, DIAL, tints.ground);
    for mark in 0..=MARKS {
        let share = f64::from(mark) / f64::from(MARKS);
        let inner = if mark % (MARKS / 2) == 0 { 0.72 } else { 0.82 };
        let mark = [at(plan, share, inner * DIAL), at(plan, share, 0.92 * DIAL)];
        pen.line(&mark, tints.ink, 0.7 * pen.outline);
    }
    let needle = at(plan, pose.pressure.clamp(-0.04, 1.0), 0.68 * DIAL);
    pen.line(&[centre, needle], tints.ink, 1.4 * pen.outline);
    pen.pin(centre, 2.2);
}

/// A pressure gauge: where its figures stand, as shares of its scale, and their unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// Share of the full scale, and the figure there.
    pub figures: Vec<(f64, String)>,
    /// The unit.
    pub unit: String,
}

impl Gauge {
    /// Figures and unit, each with the point of the dial's rim (mm) that it stands outside of.
    pub(super) fn words(&self, plan: &Plan) -> impl Iterator<Item = (&str, Point)> {
        let figures = self.figures.iter().map(|(share, text)| (text.as_str(), at(plan, *share, DIAL)));
        let (x, y) = centre(plan);
        figures.chain([(self.unit.as_str(), (x, y - DIAL - 5.0))])
    }
}

/// A point of the dial at a share of the scale and a radius (mm).
fn at(plan: &Plan, share: f64, radius: f64) -> Point {
    let angle = PI * (1.25 - 1.5 * share);
    let (x, y) = centre(plan);
    (x + radius * angle.cos(), y + radius * angle.sin())
}
