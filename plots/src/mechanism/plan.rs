//! The plan of the machine in millimetres: where every part stands at rest, and those parts that are plain boxes.

use super::latch::TO_HOOK;
use super::pen::{Pen, corners};
use super::{Pose, Proportions};
use crate::geometry::Point;

/// Thickness of the cross block.
const BLOCK: f64 = 30.0;
/// Half the width of the cross block.
const BLOCK_HALF: f64 = 50.0;
/// Thickness of the abutment.
const ABUTMENT: f64 = 10.0;
/// Thickness of the nut's flange, which the hooks lie over.
const FLANGE: f64 = 6.0;
/// Half the width of the rod.
pub(super) const ROD_HALF: f64 = 6.0;
/// From the latch's pins up to the rod's upper end at rest.
const PIN_TO_EYE: f64 = 20.0;
/// From the rod's axis to the piston's, along the lever.
const LEVER: f64 = 152.0;
/// Where the crank turns.
const CRANK: Point = (-176.0, -6.0);
/// Length of the crank's upright arm.
const UPRIGHT: f64 = 82.0;
/// Where the crank's pad lifts the cross block.
const PAD_AT: f64 = -34.0;
/// Radius of the pad.
pub(super) const PAD: f64 = 6.0;
/// Radius of the cam in its low dwell, for lifts of up to 30 mm.
const CAM: f64 = 37.0;
/// Height of the floor.
const FLOOR: f64 = -44.0;
/// Room for the enlarged mould: its greatest width and height.
const ENLARGED: (f64, f64) = (96.0, 124.0);

/// Where the parts stand at rest, mm.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Plan {
    pub lift: f64,
    pub sleeve: f64,
    pub extension: f64,
    pub gap: f64,
    /// Half the outside of the widest spring.
    pub coil_half: f64,
    pub abutment_half: f64,
    pub flange_half: f64,
    pub prong_clearance: f64,
    pub prong_travel: f64,
    /// How far the prongs reach in over the abutment's rim.
    pub wedge: f64,
    pub crank: Point,
    pub cam_centre: Point,
    pub piston_x: f64,
    pub ratio: f64,
    pub piston_half: f64,
    pub piston_length: f64,
    pub port: f64,
    /// Height of the piston's face.
    pub face: f64,
    /// Height of the well's floor.
    pub well_floor: f64,
    pub channel: f64,
    pub nozzle: f64,
    pub nozzle_foot: f64,
    pub nozzle_length: f64,
    pub riser_x: f64,
    pub body: f64,
    pub depth: f64,
    /// How much larger the enlarged mould is.
    pub enlargement: f64,
}

/// A length in mm, at least `least`.
fn mm(metres: f64, least: f64) -> f64 {
    let length = 1e3 * metres;
    if length.is_finite() { length.max(least) } else { least }
}

impl Plan {
    pub fn new(of: &Proportions) -> Self {
        let highest =
            of.cam.iter().map(|&(_, lift)| lift).filter(|lift| lift.is_finite()).fold(0.0, f64::max);
        let lift = mm(highest, 1.0);
        let gap = mm(of.gap, 20.0);
        let widest = of.springs.iter().map(|spring| spring.coil + spring.wire).fold(0.0, f64::max);
        let coil_half = 0.5 * mm(widest, 16.0);
        // The prongs begin below the hooks, whatever is stated.
        let prong_clearance = mm(of.prong_clearance, 0.0).min(gap - 14.0);
        let prong_travel = mm(of.prong_travel, 1.0);
        let below_hook = gap + FLANGE - prong_clearance;
        let wedge = super::latch::opening() * (TO_HOOK + below_hook);
        let piston_half = 0.5 * mm(of.piston, 4.0);
        let ratio = if of.lever_ratio.is_finite() { of.lever_ratio.clamp(0.1, 10.0) } else { 1.0 };
        let well_floor = 4.0;
        let well_depth = mm(of.well_depth, ratio * lift + 8.0).min((ratio * lift + 8.0).max(70.0));
        let (body, depth) = (mm(of.body, 1.0), mm(of.mould_depth, 4.0));
        let nozzle_length = mm(of.nozzle_length, 4.0).min(40.0);
        let roller_reach = super::cam::ROLLER;
        Self {
            lift,
            sleeve: mm(of.sleeve, 0.0),
            extension: mm(of.extension, 0.0),
            gap,
            coil_half,
            abutment_half: coil_half + 1.0 + wedge,
            flange_half: coil_half + 2.0,
            prong_clearance,
            prong_travel,
            wedge,
            crank: CRANK,
            cam_centre: (
                CRANK.0 + roller_reach + CAM * (lift / 30.0).max(1.0),
                CRANK.1 + UPRIGHT * (lift / 30.0).max(1.0),
            ),
            piston_x: LEVER,
            ratio,
            piston_half,
            piston_length: mm(of.piston_length, 8.0).min(90.0),
            port: mm(of.port_travel, 0.0),
            face: well_floor + well_depth,
            well_floor,
            channel: mm(of.channel, 2.0).min(16.0),
            nozzle: mm(of.nozzle, 0.8).min(8.0),
            nozzle_foot: 46.0,
            nozzle_length,
            riser_x: LEVER + piston_half + 50.0,
            body,
            depth,
            enlargement: (ENLARGED.0 / body).min(ENLARGED.1 / depth).min(6.0),
        }
    }

    /// Corners of all that is drawn.
    pub fn extent(&self) -> (Point, Point) {
        let left = (self.crank.0 - 30.0 - self.lift * 0.6).min(-200.0);
        let right = self.mould_room().2.max(super::pump::centre(self).0 + super::pump::ROUND) + 4.0;
        ((left, FLOOR - 8.0), (right, self.lever_y() + self.lift * 0.5 * self.ratio.max(1.0) + 14.0))
    }

    /// Height of the abutment's upper face at rest.
    pub fn abutment_face(&self) -> f64 {
        BLOCK + self.sleeve + ABUTMENT
    }

    /// Height of the nut's lower face at rest.
    pub fn nut_face(&self) -> f64 {
        self.abutment_face() + self.gap
    }

    pub fn flange_top(&self) -> f64 {
        self.nut_face() + FLANGE
    }

    /// Where the prongs begin.
    pub fn prong_foot(&self) -> f64 {
        self.abutment_face() + self.prong_clearance
    }

    /// The right pin of the latch.
    pub fn latch_pin(&self) -> Point {
        (self.abutment_half + 5.0, self.flange_top() + TO_HOOK)
    }

    /// Height of the lever's fulcrum: half the lift above the rod's upper end at rest.
    pub fn lever_y(&self) -> f64 {
        self.latch_pin().1 + PIN_TO_EYE + 0.5 * self.lift
    }

    pub fn fulcrum(&self) -> Point {
        (LEVER / (1.0 + self.ratio), self.lever_y())
    }

    /// The rod's and the piston rod's pins on the lever.
    pub fn lever_pins(&self, pose: &Pose) -> (Point, Point) {
        let from_middle = 1e3 * pose.rod_lift - 0.5 * self.lift;
        let y = self.lever_y();
        ((0.0, y + from_middle), (LEVER, y - self.ratio * from_middle))
    }

    /// The crank's angle for a lift (mm), as its sine.
    fn sine(&self, lift: f64) -> f64 {
        (lift / (PAD_AT - self.crank.0)).clamp(-0.9, 0.9)
    }

    /// The roller's centre with the cross block lifted so far (mm).
    pub fn roller(&self, lift: f64) -> Point {
        let sin = self.sine(lift);
        let upright = self.cam_centre.1 - self.crank.1;
        (self.crank.0 - upright * sin, self.crank.1 + upright * (1.0 - sin * sin).sqrt())
    }

    /// The pad's centre with the cross block lifted so far (mm).
    pub fn pad(&self, lift: f64) -> Point {
        let sin = self.sine(lift);
        let arm = PAD_AT - self.crank.0;
        (self.crank.0 + arm * (1.0 - sin * sin).sqrt(), self.crank.1 + arm * sin)
    }

    /// The faces between which the springs stand: abutment and nut.
    pub fn spring_faces(&self, pose: &Pose) -> (f64, f64) {
        (self.abutment_face() + 1e3 * pose.block_lift, self.nut_face() + 1e3 * pose.rod_lift)
    }

    /// Left, bottom, right and top of the room for the enlarged mould.
    pub fn mould_room(&self) -> (f64, f64, f64, f64) {
        let wide = (self.body * self.enlargement + 44.0).max(110.0);
        let left = LEVER + 34.0;
        let bottom = self.mould_foot() + self.depth + 34.0;
        (left, bottom, left + wide, bottom + self.depth * self.enlargement + 46.0)
    }

    /// Height of the small mould's foot: the nozzle's tip.
    pub fn mould_foot(&self) -> f64 {
        self.nozzle_foot + self.nozzle_length
    }

    /// Floor, posts, guides and the bracket of the latch.
    pub fn draw_frame(&self, pen: &mut Pen) {
        let colour = pen.tints.frame;
        let fulcrum = self.fulcrum();
        let pin = self.latch_pin();
        pen.part(&corners(fulcrum.0 - 7.0, FLOOR, fulcrum.0 + 7.0, fulcrum.1 + 6.0), colour);
        pen.part(&corners(-pin.0 - 8.0, pin.1 - 6.0, fulcrum.0, pin.1 + 8.0), colour);
        let guide = BLOCK + self.lift + 6.0;
        for side in [-1.0, 1.0] {
            let (near, far) = (side * (BLOCK_HALF + 1.0), side * (BLOCK_HALF + 9.0));
            pen.part(&corners(near.min(far), FLOOR, near.max(far), guide), colour);
        }
        pen.part(&corners(self.crank.0 - 6.0, FLOOR, self.crank.0 + 6.0, self.crank.1), colour);
        let right = self.riser_x + 26.0;
        pen.part(&corners(self.crank.0 - 16.0, FLOOR - 6.0, right, FLOOR), colour);
    }

    /// The spring rod with its shoulder and its extension.
    pub fn draw_rod(&self, pose: &Pose, pen: &mut Pen) {
        let up = 1e3 * pose.rod_lift;
        let (top, nut) = (self.lever_pins(pose).0.1, self.nut_face() + up);
        let tints = pen.tints;
        pen.part(&corners(-ROD_HALF, -18.0 + up, ROD_HALF, top), tints.thrown);
        if self.extension > 0.0 {
            pen.part(&corners(-ROD_HALF, nut - self.extension, ROD_HALF, nut), tints.extension);
        }
        pen.part(&corners(-16.0, -11.0 + up, 16.0, up), tints.thrown);
    }

    /// Cross block, sleeve and abutment.
    pub fn draw_block(&self, pose: &Pose, pen: &mut Pen) {
        let up = 1e3 * pose.block_lift;
        let tints = pen.tints;
        pen.part(&corners(-BLOCK_HALF, up, BLOCK_HALF, BLOCK + up), tints.driven);
        if self.sleeve > 0.0 {
            pen.part(&corners(-13.0, BLOCK + up, 13.0, BLOCK + self.sleeve + up), tints.sleeve);
        }
        let face = self.abutment_face() + up;
        pen.part(&corners(-self.abutment_half, face - ABUTMENT, self.abutment_half, face), tints.driven);
    }

    /// The rod nut.
    pub fn draw_nut(&self, pose: &Pose, pen: &mut Pen) {
        let face = self.nut_face() + 1e3 * pose.rod_lift;
        let colour = pen.tints.thrown;
        let half = self.flange_half;
        pen.part(&corners(-half, face, half, face + FLANGE), colour);
        pen.part(&corners(-13.0, face + FLANGE, 13.0, face + FLANGE + 13.0), colour);
        for x in [-4.5, 4.5] {
            let (ink, width) = (pen.tints.ink, 0.6 * pen.outline);
            pen.line(&[(x, face + FLANGE), (x, face + FLANGE + 13.0)], ink, width);
        }
    }

    /// The pump lever with its pins.
    pub fn draw_lever(&self, pose: &Pose, pen: &mut Pen) {
        let (rod, piston) = self.lever_pins(pose);
        let colour = pen.tints.thrown;
        pen.bar(&[rod, piston], colour, 12.0);
        pen.disc(rod, 7.5, colour);
        pen.disc(piston, 7.5, colour);
        pen.disc(self.fulcrum(), 9.0, pen.tints.frame);
        for pin in [rod, piston, self.fulcrum()] {
            pen.pin(pin, 2.6);
        }
    }
}
