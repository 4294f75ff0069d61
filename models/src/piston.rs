//! The piston in its bore: area, and the metal that slips past it.

use crate::fault::Faults;
use crate::field;
use crate::units::{Length, Mass};
use std::f64::consts::PI;

/// The piston as an owner states it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct PistonStatement {
    /// Diameter D.
    pub diameter: Length,
    /// Radial clearance c in the well.
    pub clearance: Length,
    /// Length L_p of the fit.
    pub length: Length,
    /// Mass.
    pub mass: Mass,
    /// x_port: travel from rest at which the piston covers its inlet port.
    pub port_travel: Length,
}

/// A prepared piston.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piston {
    /// A_p, m².
    pub area: f64,
    /// Mass, kg.
    pub mass: f64,
    /// x_port, m.
    pub port_travel: f64,
    /// Leakage for each pascal, π·D·c³/(12·μ·L_p), m³/(s·Pa): laminar flow between parallel faces, piston central.
    pub leakage: f64,
}

/// The leakage of each pascal, m³/(s·Pa), past a piston of `diameter` in a fit of radial `clearance` and `length` (m), by a liquid
/// of `viscosity` (Pa·s).
pub fn leakage(diameter: f64, clearance: f64, length: f64, viscosity: f64) -> f64 {
    PI * diameter * clearance.powi(3) / (12.0 * viscosity * length)
}

/// The radial clearance (m) that leaks so much; the other way round of [`leakage`].
pub fn clearance_of(leaks: f64, diameter: f64, length: f64, viscosity: f64) -> f64 {
    libm::cbrt(leaks * 12.0 * viscosity * length / (PI * diameter))
}

impl Piston {
    /// `viscosity` of the metal in Pa·s.
    pub(crate) fn prepare(stated: &PistonStatement, viscosity: f64, faults: &mut Faults) -> Self {
        let diameter = faults.positive(field!(PistonStatement, diameter), stated.diameter.0);
        let clearance = faults.not_negative(field!(PistonStatement, clearance), stated.clearance.0);
        let length = faults.positive(field!(PistonStatement, length), stated.length.0);
        Self {
            area: PI / 4.0 * diameter * diameter,
            mass: faults.positive(field!(PistonStatement, mass), stated.mass.0),
            port_travel: faults.not_negative(field!(PistonStatement, port_travel), stated.port_travel.0),
            leakage: leakage(diameter, clearance, length, viscosity),
        }
    }
}
