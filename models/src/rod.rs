//! The spring rod with its shoulder stop and the pump lever: the mass that the springs throw.
//!
//! m_r = m_rod + m_springs/3 + J/r² + i²·m_piston (one third of a spring's mass moves with its end: Rayleigh).
//! m_r·ẍ = F_s − F_stop − F_c·tanh(ẋ/v_s) − c_v·ẋ − i·A_p·p.

use crate::contact::{Contact, DampingStatement};
use crate::fault::Faults;
use crate::field;
use crate::units::{Damping, Force, Length, Mass, MomentOfInertia, Speed, Stiffness};

/// The spring rod as an owner states it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct RodStatement {
    /// Mass m_rod of the rod with its nut and any extension.
    pub mass: Mass,
    /// Dry friction F_c.
    pub friction: Force,
    /// Viscous drag c_v.
    pub drag: Damping,
    /// Speed v_s over which dry friction changes sign.
    pub friction_speed: Speed,
    /// Stiffness k_st of the shoulder on the cross block.
    pub stop_stiffness: Stiffness,
    /// Damping c_st of the shoulder.
    pub stop_damping: DampingStatement,
}

/// The pump lever as an owner states it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct LeverStatement {
    /// Ratio i: piston travel for each unit of rod travel.
    pub ratio: f64,
    /// Moment of inertia J about the pivot.
    pub inertia: MomentOfInertia,
    /// Arm r from the pivot to the rod; needed when the inertia is not zero.
    pub arm: Option<Length>,
}

/// A prepared rod and lever.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rod {
    /// m_r, kg: everything that moves with the rod, at the rod.
    pub mass: f64,
    /// F_c, N.
    pub friction: f64,
    /// c_v, N·s/m.
    pub drag: f64,
    /// v_s, m/s.
    pub friction_speed: f64,
    /// The shoulder on the cross block.
    pub stop: Contact,
    /// i.
    pub ratio: f64,
}

impl Rod {
    /// `spring_mass`, `piston_mass` and `block_mass` in kg. The block is free to give way to a blow of the rod, so that the shoulder
    /// carries what is left of both masses together, m_r·m_c/(m_r + m_c).
    pub(crate) fn prepare(
        stated: &RodStatement,
        lever: &LeverStatement,
        spring_mass: f64,
        piston_mass: f64,
        block_mass: f64,
        faults: &mut Faults,
    ) -> Self {
        let ratio = faults.positive(field!(LeverStatement, ratio), lever.ratio);
        let inertia = faults.not_negative(field!(LeverStatement, inertia), lever.inertia.0);
        let lever_mass = if let Some(arm) = lever.arm {
            inertia / faults.positive(field!(LeverStatement, arm), arm.0).powi(2)
        } else {
            if inertia > 0.0 {
                let what = "the lever's inertia moves the rod only through its arm, which is not given";
                faults.add(field!(LeverStatement, arm), what, "give the arm");
            }
            0.0
        };
        let own = faults.positive(field!(RodStatement, mass), stated.mass.0);
        let mass = own + spring_mass / 3.0 + lever_mass + ratio * ratio * piston_mass;
        Self {
            mass,
            friction: faults.not_negative(field!(RodStatement, friction), stated.friction.0),
            drag: faults.not_negative(field!(RodStatement, drag), stated.drag.0),
            friction_speed: faults.positive(field!(RodStatement, friction_speed), stated.friction_speed.0),
            stop: Contact::prepare(
                (field!(RodStatement, stop_stiffness), stated.stop_stiffness),
                (field!(RodStatement, stop_damping), stated.stop_damping),
                mass * block_mass / (mass + block_mass),
                faults,
            ),
            ratio,
        }
    }

    /// Dry friction F_c·tanh(ẋ/v_s), N, against the motion at `speed` (m/s).
    pub fn dry_friction(&self, speed: f64) -> f64 {
        self.friction * tanh(speed / self.friction_speed)
    }

    /// Slope of the dry friction by speed, N·s/m.
    pub fn dry_friction_slope(&self, speed: f64) -> f64 {
        let share = tanh(speed / self.friction_speed);
        self.friction * (1.0 - share * share) / self.friction_speed
    }
}

/// tanh x by one exponential, to 2·10⁻¹⁶: friction needs no more of it where it is next to nothing.
fn tanh(x: f64) -> f64 {
    if x.abs() > 19.0 {
        return 1.0_f64.copysign(x); // to the last digit
    }
    let fallen = libm::exp(-2.0 * x.abs());
    ((1.0 - fallen) / (1.0 + fallen)).copysign(x)
}
