//! The cross block: the sliding block that the cam lifts through a lever train.
//!
//! m_c·ÿ = F_cam − F_s + F_stop − F_r, with F_cam = k_f(y_c − y) + c_f(ẏ_c − ẏ) through the compliant train. With two-way
//! closure the train pushes and pulls; with one-way closure it only pushes (F_cam ≥ 0) and a return spring
//! F_r = F_r0 + k_r·y keeps the follower on the cam, or fails to.

use crate::contact::{Contact, DampingStatement, Touch};
use crate::fault::Faults;
use crate::field;
use crate::units::{Force, Mass, Stiffness};
use strum::{EnumString, VariantNames};

/// How the follower is kept on the cam.
#[derive(Debug, Clone, Copy, PartialEq, Default, EnumString, VariantNames)]
#[strum(serialize_all = "kebab-case")]
pub enum Closure {
    /// The cam drives the block both ways.
    #[default]
    TwoWay,
    /// The cam only pushes; a return spring pushes the block down.
    OneWay {
        /// Force F_r0 of the return spring at zero lift.
        return_force: Force,
        /// Rate k_r of the return spring.
        return_rate: Stiffness,
    },
}

/// The cross block and its train as an owner states them.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct CrossBlockStatement {
    /// Mass m_c of the block and what moves with it.
    pub mass: Mass,
    /// Stiffness k_f of the lever train between cam and block.
    pub train_stiffness: Stiffness,
    /// Damping c_f of the lever train.
    pub train_damping: DampingStatement,
    /// How the follower is kept on the cam.
    pub closure: Closure,
}

/// A prepared cross block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrossBlock {
    /// m_c, kg.
    pub mass: f64,
    /// The lever train.
    pub train: Contact,
    /// F_r0 (N) and k_r (N/m) when the closure is one-way.
    pub return_spring: Option<(f64, f64)>,
}

impl CrossBlock {
    pub(crate) fn prepare(stated: &CrossBlockStatement, faults: &mut Faults) -> Self {
        let mass = faults.positive(field!(CrossBlockStatement, mass), stated.mass.0);
        Self {
            mass,
            train: Contact::prepare(
                (field!(CrossBlockStatement, train_stiffness), stated.train_stiffness),
                (field!(CrossBlockStatement, train_damping), stated.train_damping),
                mass,
                faults,
            ),
            return_spring: match stated.closure {
                Closure::TwoWay => None,
                Closure::OneWay { return_force, return_rate } => Some((
                    faults.not_negative(field!(Closure::OneWay, return_force), return_force.0),
                    faults.not_negative(field!(Closure::OneWay, return_rate), return_rate.0),
                )),
            },
        }
    }

    /// F_cam, N: what the train passes on for a squeeze y_c − y (m) and its rate (m/s).
    pub fn cam_force(&self, follower: Touch, squeeze: f64, rate: f64) -> f64 {
        match self.return_spring {
            None => self.train.force(Touch::Closed, squeeze, rate),
            Some(_) => self.train.force(follower, squeeze, rate),
        }
    }

    /// F_r, N: the return spring's push downwards at lift `y` (m); zero with two-way closure.
    #[inline]
    pub fn return_force(&self, y: f64) -> f64 {
        self.return_spring.map_or(0.0, |(force, rate)| force + rate * y)
    }

    /// k_r, N/m; zero with two-way closure.
    pub fn return_rate(&self) -> f64 {
        self.return_spring.map_or(0.0, |(_, rate)| rate)
    }

    /// Energy held in the return spring at lift `y` (m), counted from zero lift, J.
    pub fn return_energy(&self, y: f64) -> f64 {
        self.return_spring.map_or(0.0, |(force, rate)| (force + 0.5 * rate * y) * y)
    }

    /// Where the block rests with the cam at zero lift, m: the return spring squeezes the train a little.
    pub fn rest_lift(&self) -> f64 {
        self.return_spring.map_or(0.0, |(force, rate)| -force / (self.train.stiffness + rate))
    }
}
