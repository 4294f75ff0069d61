//! The machine drawn: cam, cross block, latch, spring, rod, pump and mould, in the proportions of its own numbers.
//!
//! Everything comes from plain numbers: [`Proportions`] say how large the parts are and [`Pose`] where they stand at one
//! instant. Lengths are metres; inside, the drawing is laid out in millimetres, x to the right of the rod's axis and y upwards
//! from the underside of the cross block at rest. Parts that move together share a hue: green goes with the cam, blue with the
//! spring rod, purple is the latch, orange is liquid metal and grey is what does not move or has frozen.
//!
//! True to scale are the cam (for the drawn lever train), the stack of sleeve, abutment, spring and nut, the prongs' clearance
//! and travel, the lever's ratio, piston, port, nozzle and mould. Simplified are the lever train (one bell crank), the frame,
//! and the shape of pot and channel. The mould is shown once more, enlarged.

mod cam;
mod film;
mod latch;
mod live;
mod mould;
mod pen;
mod plan;
mod pump;
mod schematic;
mod sort;
mod spring;
mod tints;

pub use film::{FilmFrame, Side};
pub use live::{LiveCurve, LiveLimit, LivePlot};
pub(crate) use pen::Pen;
pub use pen::Place;
pub use pump::Gauge;
pub use schematic::{Part, PartLabel, SCREEN, Schematic};
pub(crate) use sort::Body;
pub use sort::Looks;
pub use tints::Tints;
pub(crate) use tints::mix;

use crate::font::{Fonts, Weight};
use crate::geometry::Point;
use crate::scene::TextBox;
use crate::theme::Colour;
use cam::Cam;
use plan::Plan;

/// One spring of the nest, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpringShape {
    /// Free length.
    pub free: f64,
    /// Coils in all, closed and ground ends counted.
    pub coils: f64,
    /// Mean diameter of the coil.
    pub coil: f64,
    /// Diameter of the wire.
    pub wire: f64,
}

/// How large the parts are, m.
#[derive(Debug, Clone, PartialEq)]
pub struct Proportions {
    /// Lift of the cross block (m) at shaft angles (rad) evenly over one turn, from 0 on; the cam is drawn from it.
    pub cam: Vec<(f64, f64)>,
    /// Length of the sleeve under the abutment.
    pub sleeve: f64,
    /// Length added to the rod.
    pub extension: f64,
    /// Gap between abutment and nut at rest.
    pub gap: f64,
    /// The nested springs.
    pub springs: Vec<SpringShape>,
    /// Clearance between abutment and prongs at rest.
    pub prong_clearance: f64,
    /// Travel of the abutment along the prongs until the latch lets go.
    pub prong_travel: f64,
    /// Piston travel for each unit of rod travel.
    pub lever_ratio: f64,
    /// Diameter of the piston.
    pub piston: f64,
    /// Length of the piston.
    pub piston_length: f64,
    /// Travel at which the piston covers its inlet port.
    pub port_travel: f64,
    /// Depth of the well under the piston at rest.
    pub well_depth: f64,
    /// Bore of the channel.
    pub channel: f64,
    /// Bore of the nozzle.
    pub nozzle: f64,
    /// Length of the nozzle.
    pub nozzle_length: f64,
    /// Width of the mould's cavity.
    pub body: f64,
    /// Depth of the mould's cavity, from face to foot.
    pub mould_depth: f64,
}

/// Where the latch stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LatchPose {
    /// Swung clear.
    Aside,
    /// Over the nut, with its prongs opened by this share: 0 holds, 1 lets go.
    Set(f64),
}

/// Where everything stands at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Shaft angle, rad.
    pub angle: f64,
    /// Lift of the cross block, m.
    pub block_lift: f64,
    /// Lift of the spring rod, m.
    pub rod_lift: f64,
    /// The latch.
    pub latch: LatchPose,
    /// Travel of the piston, m.
    pub piston_travel: f64,
    /// Share of the mould that is filled, 0 to 1.
    pub fill: f64,
    /// Thickness of the skin on the mould's walls, m.
    pub skin: f64,
    /// Share of the metal in the mould that is solid, 0 to 1.
    pub solid: f64,
    /// Whether the mould's entry has frozen.
    pub sealed: bool,
    /// Pressure in the well as a share of the gauge's full scale, 0 to 1.
    pub pressure: f64,
    /// What the type looks like, once the mould has opened; the enlarged drawing then shows it and no mould.
    pub looks: Option<Looks>,
}

impl Pose {
    /// Everything at rest.
    pub fn at_rest(latch: LatchPose) -> Self {
        Self {
            angle: 0.0,
            block_lift: 0.0,
            rod_lift: 0.0,
            latch,
            piston_travel: 0.0,
            fill: 0.0,
            skin: 0.0,
            solid: 0.0,
            sealed: false,
            pressure: 0.0,
            looks: None,
        }
    }
}

/// A machine ready to be drawn in any pose.
#[derive(Debug, Clone, PartialEq)]
pub struct Mechanism {
    plan: Plan,
    cam: Cam,
    springs: Vec<SpringShape>,
    gauge: Option<Gauge>,
}

impl Mechanism {
    /// Lays the machine out. Lengths that are not finite or not positive where they must be are drawn as small as can be seen.
    pub fn new(proportions: &Proportions) -> Self {
        let plan = Plan::new(proportions);
        let cam = Cam::new(&proportions.cam, &plan);
        Self { plan, cam, springs: proportions.springs.clone(), gauge: None }
    }

    /// The same with a gauge on its well.
    #[must_use]
    pub fn with_gauge(self, gauge: Gauge) -> Self {
        Self { gauge: Some(gauge), ..self }
    }

    /// The corners, left below and right above, of all that is drawn in any pose, mm.
    pub fn extent(&self) -> (Point, Point) {
        self.plan.extent()
    }

    /// Where the middle of the piston's face stands after a travel (m), mm.
    pub fn piston_face(&self, travel: f64) -> Point {
        (self.plan.piston_x, self.plan.face - 1e3 * travel)
    }

    /// The figures of the gauge and their unit, in type of `size`, each at its place.
    fn gauge_words(&self, place: &Place, (fonts, size): (&Fonts, f64), colour: Colour) -> Vec<TextBox> {
        let words = self.gauge.iter().flat_map(|gauge| gauge.words(&self.plan));
        let centre = place.px(pump::centre(&self.plan));
        words
            .map(|(text, rim)| {
                let rim = place.px(rim);
                let away = ((rim.0 - centre.0).hypot(rim.1 - centre.1)).max(1.0);
                let (dx, dy) = ((rim.0 - centre.0) / away, (rim.1 - centre.1) / away);
                let width = fonts.width(text, size, Weight::Regular);
                // So far out that the text's box is clear of the dial.
                let out = 4.0 + 0.5 * width * dx.abs() + 0.5 * size * dy.abs();
                let corner = (rim.0 + out * dx - 0.5 * width, rim.1 + out * dy - 0.55 * size);
                TextBox::set(fonts, text, corner, (size, Weight::Regular, colour))
            })
            .collect()
    }

    /// Draws the machine.
    fn draw(&self, pose: &Pose, pen: &mut Pen) {
        let plan = &self.plan;
        plan.draw_frame(pen);
        pump::pot(plan, pen);
        pump::piston(plan, pose, pen);
        if self.gauge.is_some() {
            pump::dial(plan, pose, pen);
        }
        mould::at_the_nozzle(plan, pose, pen);
        mould::enlarged(plan, pose, pen);
        self.cam.draw(plan, pose, pen);
        let faces = plan.spring_faces(pose);
        for shape in &self.springs {
            spring::draw(shape, faces, spring::Half::Back, pen);
        }
        plan.draw_rod(pose, pen);
        for shape in &self.springs {
            spring::draw(shape, faces, spring::Half::Front, pen);
        }
        plan.draw_block(pose, pen);
        plan.draw_nut(pose, pen);
        latch::draw(plan, pose, pen);
        plan.draw_lever(pose, pen);
    }
}

#[cfg(test)]
mod apart;
#[cfg(test)]
mod tests;
