//! The plan of the machine in millimetres: where every part stands at rest, and those parts that are plain boxes.

use super::latch::TO_HOOK;
use super::pen::{Pen, corners};
use super::{Pose, Proportions};
use crate::geometry::Point;

/// Thickness of the cross block.
const BLOCK: f64 = 30.0;
/// Half the width of the cross block.
const BLOCK_HALF: f64 = 50.0;
/// From the block to the far side of its guides.
const GUIDE: f64 = 9.0;
/// Thickness of the abutment.
const ABUTMENT: f64 = 10.0;
/// Thickness of the nut's flange, which the hooks lie over.
const FLANGE: f64 = 6.0;
/// Half the width of the rod.
pub(super) const ROD_HALF: f64 = 6.0;
/// From the rod's axis to the piston's, along the lever, at least.
const LEVER: f64 = 152.0;
/// Half the width of the lever and the room it keeps from what it passes.
const LEVER_ROOM: f64 = 10.0;
/// From the cross block's underside down to the rod's eye at rest, at least.
const EYE: f64 = 36.0;
/// Height of the crank's axle.
const CRANK_AT: f64 = -6.0;
/// Length of the crank's lying arm, for lifts of up to 30 mm, …
const LYING: f64 = 142.0;
/// … and of its upright arm.
const UPRIGHT: f64 = 82.0;
/// From the crank's axle to the farthest that the cam reaches, along the floor.
const CAM_REACH: f64 = 104.0;
/// Room between parts that pass each other.
const CLEAR: f64 = 6.0;
/// Width of the post that bears the latch.
const POST: f64 = 14.0;
/// Half the width of the nut, which stands within the hooks.
const NUT_HALF: f64 = 13.0;
/// Height of the nut on its flange, and of the rod's end above it.
const NUT: f64 = 13.0;
const END: f64 = 9.0;
/// How far the pot reaches beyond the piston, towards the rod.
pub(super) const POT: f64 = 32.0;
/// Half the width of the extension's body, its socket's depth and the length of its thread: as the parts are made for the
/// drawn rod.
const BODY_HALF: f64 = 9.0;
const SOCKET: f64 = 17.0;
const THREAD: f64 = 38.0;
/// Where the crank's pad lifts the cross block.
const PAD_AT: f64 = -34.0;
/// Radius of the pad.
pub(super) const PAD: f64 = 6.0;
/// Radius of the cam in its low dwell.
const CAM: f64 = 37.0;
/// Room for the enlarged mould: its greatest width and height.
const ENLARGED: (f64, f64) = (126.0, 164.0);

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
    /// Height of the boss under the abutment's plate, which keeps the prongs clear of the cross block.
    pub boss: f64,
    pub flange_half: f64,
    pub prong_clearance: f64,
    pub prong_travel: f64,
    /// How far the prongs reach in over the abutment's rim.
    pub wedge: f64,
    /// Where the post of the latch begins.
    pub post: f64,
    /// Height of the lever's fulcrum.
    pub lever_y: f64,
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
        // The hooks lie beside the nut, however slender the springs.
        let flange_half = (coil_half + 2.0).max(NUT_HALF + super::latch::OVER + 3.0);
        // The prongs begin below the hooks, whatever is stated.
        let prong_clearance = mm(of.prong_clearance, 0.0).min(gap - 14.0);
        let prong_travel = mm(of.prong_travel, 1.0);
        let below_hook = gap + FLANGE - prong_clearance;
        let wedge = super::latch::opening() * (TO_HOOK + below_hook);
        let piston_half = 0.5 * mm(of.piston, 4.0);
        let ratio = if of.lever_ratio.is_finite() { of.lever_ratio.clamp(0.1, 10.0) } else { 1.0 };
        let well_depth = mm(of.well_depth, ratio * lift + 8.0).min((ratio * lift + 8.0).max(70.0));
        let (body, depth) = (mm(of.body, 1.0), mm(of.mould_depth, 4.0));
        let nozzle_length = mm(of.nozzle_length, 4.0).min(40.0);
        let sleeve = mm(of.sleeve, 0.0);
        let abutment_half = flange_half - 1.0 + wedge;
        let boss = (lift - sleeve - prong_clearance).max(0.0);
        // The latch swung aside, the cam left of it and its post right of it.
        let reach = abutment_half + super::latch::reach(below_hook);
        let post = reach + CLEAR;
        // The gauge stands between post and pot.
        let piston_x = LEVER.max(post + POST + 2.0 * super::pump::ROUND + CLEAR + POT + piston_half);
        let fulcrum = piston_x / (1.0 + ratio);
        // At rest the lever rises from the rod's eye under the block and its guides.
        let rises = (0.5 * lift * (BLOCK_HALF + GUIDE + CLEAR - fulcrum) / fulcrum).max(0.0);
        let lever_y = (0.5 * lift - EYE).min(-LEVER_ROOM - rises);
        let piston_length = mm(of.piston_length, 8.0).min(90.0);
        // The pot lies under the lowest the lever comes to.
        let face = lever_y - 0.5 * ratio * lift - super::pump::ABOVE - 0.75 * piston_length;
        let well_floor = face - well_depth;
        let lying = LYING * (lift / 30.0).max(1.0);
        let crank =
            (PAD_AT - lying.max(reach.max(BLOCK_HALF + GUIDE) + CLEAR + CAM_REACH + PAD_AT), CRANK_AT);
        Self {
            lift,
            sleeve,
            extension: mm(of.extension, 0.0),
            gap,
            coil_half,
            abutment_half,
            boss,
            post,
            lever_y,
            flange_half,
            prong_clearance,
            prong_travel,
            wedge,
            crank,
            cam_centre: (crank.0 + super::cam::ROLLER + CAM, crank.1 + UPRIGHT),
            piston_x,
            ratio,
            piston_half,
            piston_length,
            port: mm(of.port_travel, 0.0),
            face,
            well_floor,
            channel: mm(of.channel, 2.0).min(16.0),
            nozzle: mm(of.nozzle, 0.8).min(8.0),
            nozzle_foot: well_floor + 42.0,
            nozzle_length,
            riser_x: piston_x + piston_half + 38.0 + (0.5 * body).max(12.0),
            body,
            depth,
            enlargement: (ENLARGED.0 / body).min(ENLARGED.1 / depth).min(6.0),
        }
    }

    /// Corners of all that is drawn.
    pub fn extent(&self) -> (Point, Point) {
        // The roller goes out as far as the upright arm leans.
        let lean = (self.cam_centre.1 - self.crank.1) * self.sine(self.lift);
        let left = self.crank.0 - lean - super::cam::ROLLER - 5.0;
        let right = self.mould_room().2 + 4.0;
        let rod = self.flange_top() + NUT + END + self.lift;
        let lever = self.lever_y + 0.5 * self.ratio * self.lift + 10.0;
        let top = rod.max(self.latch_pin().1 + 8.0).max(lever).max(self.mould_room().3);
        ((left, self.floor() - 8.0), (right, top + 4.0))
    }

    /// Height of the abutment's upper face at rest.
    pub fn abutment_face(&self) -> f64 {
        BLOCK + self.sleeve + self.boss + ABUTMENT
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

    pub fn fulcrum(&self) -> Point {
        (self.piston_x / (1.0 + self.ratio), self.lever_y)
    }

    /// Height of the lowest that the lever comes to.
    pub fn lever_low(&self) -> f64 {
        self.lever_y - 0.5 * self.lift * self.ratio.max(1.0) - LEVER_ROOM
    }

    /// Height of the floor, on which the pot stands.
    pub fn floor(&self) -> f64 {
        (self.well_floor - super::pump::UNDER).min(super::pump::centre(self).1 - super::pump::ROUND)
    }

    /// The rod's and the piston rod's pins on the lever.
    pub fn lever_pins(&self, pose: &Pose) -> (Point, Point) {
        let from_middle = 1e3 * pose.rod_lift - 0.5 * self.lift;
        let y = self.lever_y;
        ((0.0, y + from_middle), (self.piston_x, y - self.ratio * from_middle))
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
        let left =
            (self.piston_x + self.piston_half + super::pump::RIGHT + CLEAR).max(self.riser_x - 0.5 * wide);
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
        let (fulcrum, pin, floor) = (self.fulcrum(), self.latch_pin(), self.floor());
        // What stands still lies behind what moves.
        let (post, right) = (self.post, self.post + POST);
        pen.part(&corners(post, floor, right, pin.1 + 8.0), colour);
        pen.part(&corners(-pin.0 - 8.0, pin.1 - 6.0, right, pin.1 + 8.0), colour);
        let guide = BLOCK + self.lift + 6.0;
        for side in [-1.0, 1.0] {
            let (near, far) = (side * (BLOCK_HALF + 1.0), side * (BLOCK_HALF + GUIDE));
            pen.part(&corners(near.min(far), floor, near.max(far), guide), colour);
        }
        let (from, to) = (fulcrum.0.min(post), fulcrum.0.max(right));
        pen.part(&corners(from, self.lever_y - 5.0, to, self.lever_y + 5.0), colour);
        pen.part(&corners(self.crank.0 - 6.0, floor, self.crank.0 + 6.0, self.crank.1), colour);
        pen.part(&corners(self.crank.0 - 16.0, floor - 6.0, self.riser_x + 26.0, floor), colour);
    }

    /// The spring rod: its eye on the lever, its shoulder under the cross block, and its upper end in the nut; with an extension,
    /// which is screwed on over the rod's own thread and ends in the thread for the nut.
    pub fn draw_rod(&self, pose: &Pose, pen: &mut Pen) {
        let up = 1e3 * pose.rod_lift;
        let (eye, nut) = (self.lever_pins(pose).0.1, self.nut_face() + up);
        let tints = pen.tints;
        let top = nut + FLANGE + NUT + END;
        let seat = top - self.extension;
        pen.part(&corners(-ROD_HALF, eye, ROD_HALF, seat), tints.thrown);
        if self.extension > 0.0 {
            pen.part(&corners(-ROD_HALF, seat, ROD_HALF, top), tints.extension);
            let (from, to) = (seat - SOCKET, (top - THREAD).max(seat + 6.0).min(nut - 1.0));
            if to > from {
                pen.part(&corners(-BODY_HALF, from, BODY_HALF, to), tints.extension);
            }
        }
        pen.part(&corners(-16.0, -11.0 + up, 16.0, up), tints.thrown);
    }

    /// Where the extension is seen, at rest.
    pub fn extension_at(&self) -> f64 {
        let top = self.nut_face() + FLANGE + NUT + END;
        f64::midpoint((top - self.extension).max(self.abutment_face()), self.nut_face())
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
        if self.boss > 0.0 {
            let foot = face - ABUTMENT - self.boss;
            pen.part(&corners(-17.0, foot, 17.0, face - ABUTMENT), tints.driven);
        }
        pen.part(&corners(-self.abutment_half, face - ABUTMENT, self.abutment_half, face), tints.driven);
    }

    /// The rod nut.
    pub fn draw_nut(&self, pose: &Pose, pen: &mut Pen) {
        let face = self.nut_face() + 1e3 * pose.rod_lift;
        let colour = pen.tints.thrown;
        let half = self.flange_half;
        pen.part(&corners(-half, face, half, face + FLANGE), colour);
        let (foot, top) = (face + FLANGE, face + FLANGE + NUT);
        pen.part(&corners(-NUT_HALF, foot, NUT_HALF, top), colour);
        for x in [-4.5, 4.5] {
            let (ink, width) = (pen.tints.ink, 0.6 * pen.outline);
            pen.line(&[(x, foot), (x, top)], ink, width);
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
