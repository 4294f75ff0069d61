//! The pump latch: two arms that hang from pins, with hooks over the nut and prongs in the abutment's way.
//!
//! The rising abutment meets the prongs after their clearance and wedges them apart over their travel; the prongs' slope is such
//! that abutment and prong touch all that while, and that the hooks clear the nut as the travel ends.

use super::pen::{Pen, turned};
use super::plan::Plan;
use super::{LatchPose, Pose};
use crate::geometry::Point;

/// How far the prongs stand off when the latch is aside, mm.
const ASIDE: f64 = 25.0;
/// From the pins down to the hooks, mm.
pub(super) const TO_HOOK: f64 = 55.0;
/// How far the hooks must move to clear the nut, mm.
const HOOK: f64 = 4.2;
/// What the hooks lie over the nut, mm.
pub(super) const OVER: f64 = 3.2;
/// Width of an arm, mm.
const ARM: f64 = 8.0;

/// Pieces of the prong's slope.
const SLOPE: u32 = 8;

/// How far the arms turn to let go, rad.
pub(super) fn opening() -> f64 {
    HOOK / TO_HOOK
}

/// How far beyond the abutment's rim an arm comes that is swung aside, with its prongs so far below the hooks (mm).
pub(super) fn reach(below_hook: f64) -> f64 {
    // The pin, half the arm, and the swing at the prongs and below.
    5.0 + 0.5 * ARM + ASIDE * (TO_HOOK + below_hook + 12.0) / (TO_HOOK + below_hook).max(1.0)
}

/// The right arm as it holds, mm.
pub(super) fn arm(plan: &Plan) -> Vec<Point> {
    let pin = plan.latch_pin();
    let inner = pin.0 - 0.5 * ARM;
    let outer = pin.0 + 0.5 * ARM;
    let hook = plan.flange_top();
    let toe = plan.prong_foot();
    let shoulder = (toe + plan.prong_travel + 10.0).min(hook - 12.0);
    let step = (shoulder + 6.0).min(hook - 6.0);
    let mut points = vec![(inner, pin.1 + 7.0), (outer, pin.1 + 7.0), (outer, toe + 3.0), (outer - 3.0, toe)];
    // The prong's slope: where the abutment's rim stands at each share of the travel, turned back by what the arm has opened.
    let slope = (0..=SLOPE).map(|step| {
        let share = f64::from(step) / f64::from(SLOPE);
        turned((plan.abutment_half, toe + share * plan.prong_travel), pin, -share * opening())
    });
    points.extend(slope);
    let tip = points.last().map_or(inner, |point| point.0);
    points.extend([
        (tip, shoulder),
        (inner, step),
        (inner, hook),
        (plan.flange_half - OVER, hook),
        (plan.flange_half - OVER, hook + 6.0),
        (inner, hook + 14.0),
    ]);
    points
}

/// Draws both arms.
pub(super) fn draw(plan: &Plan, pose: &Pose, pen: &mut Pen) {
    let pin = plan.latch_pin();
    let (angle, colour) = match pose.latch {
        LatchPose::Aside => (ASIDE / (pin.1 - plan.prong_foot()), pen.tints.latch_aside),
        LatchPose::Set(open) => (opening() * open.clamp(0.0, 1.0), pen.tints.latch),
    };
    let right: Vec<Point> = arm(plan).into_iter().map(|point| turned(point, pin, angle)).collect();
    let left: Vec<Point> = right.iter().map(|&(x, y)| (-x, y)).collect();
    pen.part(&right, colour);
    pen.part(&left, colour);
    pen.pin(pin, 2.4);
    pen.pin((-pin.0, pin.1), 2.4);
}
