//! Screw threads of the pump rod: sizes of the profile, the strength of the thread, and how much of it must engage.
//!
//! With H the height of the sharp triangle, p the pitch and d the major diameter:
//!
//! | | metric (ISO 68-1, ISO 724) | Unified (ASME B1.1) | Whitworth (BS 84) |
//! |---|---|---|---|
//! | flank angle | 60° | 60° | 55° |
//! | pitch (effective) diameter | d − 3/4·H | d − 3/4·H | d − h |
//! | minor diameter of the nut | d − 5/4·H | d − 5/4·H | d − 2·h |
//! | core diameter of the rod | d − 17/12·H | d − 17/12·H | d − 2·h |
//!
//! H = p·√3/2 for 60°; h = p/(3·tan 27.5°) = 0.640327·p is the depth of the rounded Whitworth profile. All sizes are basic
//! ones: limits of the classes of fit are a few hundredths of a millimetre away.

mod series;
mod strength;
mod undercut;

pub use series::{Series, series_pitch, standard_thread};
pub use strength::{Cycle, cut_thread_endurance, goodman_safety};
pub use undercut::Undercut;

use std::f64::consts::PI;
use std::fmt;

/// The form of a thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// ISO metric.
    Metric,
    /// Unified inch.
    Unified,
    /// Whitworth, coarse or fine.
    Whitworth,
}

/// Which of two threads that go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Of a rod.
    External,
    /// Of a nut or a socket.
    Internal,
}

impl Form {
    /// The class of fit that a workshop cuts unless told otherwise: 6g and 6H (ISO 965-1, the classes for general use), 2A and 2B (ASME
    /// B1.1, the same), medium (BS 84). From memory.
    pub fn class(self, side: Side) -> &'static str {
        match (self, side) {
            (Self::Metric, Side::External) => "6g",
            (Self::Metric, Side::Internal) => "6H",
            (Self::Unified, Side::External) => "2A",
            (Self::Unified, Side::Internal) => "2B",
            (Self::Whitworth, _) => "medium",
        }
    }
}

/// Major diameter and pitch that make no thread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoThread {
    /// Major diameter, m.
    pub major: f64,
    /// Pitch, m.
    pub pitch: f64,
}

impl fmt::Display for NoThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "a thread of {:.3} mm with a pitch of {:.3} mm leaves no sound core",
            self.major * 1e3,
            self.pitch * 1e3
        )
    }
}

impl std::error::Error for NoThread {}

/// A single-start thread of basic size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread {
    form: Form,
    major: f64,
    pitch: f64,
}

impl Thread {
    /// A thread of `major` diameter and `pitch`, both in m.
    ///
    /// # Errors
    /// [`NoThread`] unless both are above zero and the core is at least half as thick as the thread.
    pub fn new(form: Form, major: f64, pitch: f64) -> Result<Self, NoThread> {
        let thread = Self { form, major, pitch };
        let sound =
            major.is_finite() && pitch.is_finite() && pitch > 0.0 && thread.core_diameter() >= 0.5 * major;
        if sound && major > 0.0 { Ok(thread) } else { Err(NoThread { major, pitch }) }
    }

    /// Its form.
    pub fn form(&self) -> Form {
        self.form
    }

    /// Major diameter d, m.
    pub fn major(&self) -> f64 {
        self.major
    }

    /// Pitch p, m: how far a nut moves in one turn.
    pub fn pitch(&self) -> f64 {
        self.pitch
    }

    /// Half the flank angle, rad.
    fn half_angle(&self) -> f64 {
        match self.form {
            Form::Metric | Form::Unified => PI / 6.0,
            Form::Whitworth => 27.5_f64.to_radians(),
        }
    }

    /// Height H of the sharp triangle over one pitch, p/(2·tan α), m.
    pub fn triangle_height(&self) -> f64 {
        self.pitch / (2.0 * libm::tan(self.half_angle()))
    }

    /// Depth of the Whitworth profile, two thirds of its triangle: p/(3·tan 27.5°), m.
    fn whitworth_depth(&self) -> f64 {
        self.triangle_height() * 2.0 / 3.0
    }

    /// Pitch diameter (effective diameter), m: where thread and groove are equally wide.
    pub fn pitch_diameter(&self) -> f64 {
        match self.form {
            Form::Metric | Form::Unified => self.major - 0.75 * self.triangle_height(),
            Form::Whitworth => self.major - self.whitworth_depth(),
        }
    }

    /// Minor diameter of the internal thread, m: the bore of nut or socket.
    pub fn nut_minor(&self) -> f64 {
        match self.form {
            Form::Metric | Form::Unified => self.major - 1.25 * self.triangle_height(),
            Form::Whitworth => self.major - 2.0 * self.whitworth_depth(),
        }
    }

    /// Core (root) diameter of the external thread, m.
    ///
    /// Metric d_3 = d_1 − H/6 by ISO 68-1; the same rounded root is taken for Unified threads (from memory).
    pub fn core_diameter(&self) -> f64 {
        match self.form {
            Form::Metric | Form::Unified => self.major - (17.0 / 12.0) * self.triangle_height(),
            Form::Whitworth => self.major - 2.0 * self.whitworth_depth(),
        }
    }

    /// Tensile stress area A_t, m²: the plain section as strong in tension as the threaded rod.
    ///
    /// Metric: π/4·((d_2 + d_3)/2)² (ISO 898-1). Unified: π/4·(d − 9·√3/16·p)² (ASME B1.1). Whitworth: the area of the core,
    /// π/4·(d − 1.280654·p)². The mean of effective and core diameters, used for the other two, would give about a tenth more;
    /// BS 84 states no stress area, so the core, which no crack can miss, is on the safe side.
    pub fn stress_area(&self) -> f64 {
        let diameter = match self.form {
            Form::Metric => 0.5 * (self.pitch_diameter() + self.core_diameter()),
            Form::Unified => self.major - 9.0 * 3.0_f64.sqrt() / 16.0 * self.pitch,
            Form::Whitworth => self.core_diameter(),
        };
        0.25 * PI * diameter * diameter
    }

    /// Mean tensile stress from `force` (N), Pa.
    pub fn stress(&self, force: f64) -> f64 {
        force / self.stress_area()
    }

    /// Area, m², in which the rod's thread shears when it strips over a `length` (m), along the minor diameter of the nut:
    /// π·K_n·L·(1/2 + tan α/p·(E_s − K_n)), K_n minor diameter of the nut, E_s pitch diameter of the rod, α half the flank
    /// angle.
    ///
    /// Source: *Machinery's Handbook*, 24th edition, "Formulas for Stress Areas and Length of Engagement of Screw Threads",
    /// written there for 60° (tan α = 0.57735). Basic sizes stand for the limits it names.
    pub fn strip_area(&self, length: f64) -> f64 {
        let (k, e) = (self.nut_minor(), self.pitch_diameter());
        PI * k * length * (0.5 + libm::tan(self.half_angle()) / self.pitch * (e - k))
    }

    /// Length of thread, m, that must engage so that the rod breaks before its thread strips, both parts being equally strong:
    /// the length over which [`Self::strip_area`] is twice the stress area. By the distortion-energy rule √3 times would do.
    ///
    /// Source: as for [`Self::strip_area`], formula 1.
    pub fn engagement(&self) -> f64 {
        2.0 * self.stress_area() / self.strip_area(1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thread_has_a_finite_diameter_and_pitch() {
        let form = Form::Metric;
        assert!(Thread::new(form, 10e-3, 1.5e-3).is_ok());
        for (major, pitch) in [
            (f64::INFINITY, 1.5e-3),
            (10e-3, f64::INFINITY),
            (f64::NAN, 1.5e-3),
            (10e-3, f64::NAN),
            (10e-3, 0.0),
            (10e-3, -1.5e-3),
            (-10e-3, 1.5e-3),
            (1e-3, 1.5e-3),
        ] {
            assert!(Thread::new(form, major, pitch).is_err(), "{major} {pitch}");
        }
    }
}
