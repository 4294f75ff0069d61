//! Channel and nozzle: the column of metal between well and mould.
//!
//! I·dQ/dt = p − p_cav − ½ρ·Q|Q|/A_n²·(1 + K + f·L_n/d_n), I = ρ·(L_n/A_n + L_ch/A_ch), with the Darcy friction factor f(Re)
//! of a smooth pipe. The channel adds inertia only: it is three times as wide, so its friction is under one hundredth.

use crate::fault::Faults;
use crate::units::Length;
use std::f64::consts::PI;

/// Channel and nozzle as an owner states them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NozzleStatement {
    /// Bore d_n of the nozzle.
    pub bore: Length,
    /// Length L_n of the nozzle.
    pub length: Length,
    /// Loss coefficient K besides the jet's own velocity head and wall friction.
    pub loss: f64,
    /// Bore of the channel from the well.
    pub channel_bore: Length,
    /// Length L_ch of the channel.
    pub channel_length: Length,
}

/// A prepared channel and nozzle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nozzle {
    /// A_n, m².
    pub area: f64,
    /// Inertance I, kg/m⁴.
    pub inertance: f64,
    loss: f64,
    slenderness: f64,
    head: f64,
    reynolds_per_flow: f64,
}

impl Nozzle {
    /// `density` (kg/m³) and `viscosity` (Pa·s) of the metal.
    pub(crate) fn prepare(
        stated: &NozzleStatement,
        density: f64,
        viscosity: f64,
        faults: &mut Faults,
    ) -> Self {
        let bore = faults.positive("nozzle.bore", stated.bore.0);
        let length = faults.positive("nozzle.length", stated.length.0);
        let channel_bore = faults.positive("channel.bore", stated.channel_bore.0);
        let channel_length = faults.not_negative("channel.length", stated.channel_length.0);
        let area = PI / 4.0 * bore * bore;
        let channel_area = PI / 4.0 * channel_bore * channel_bore;
        Self {
            area,
            inertance: density * (length / area + channel_length / channel_area),
            loss: faults.not_negative("nozzle.loss", stated.loss),
            slenderness: length / bore,
            head: 0.5 * density / (area * area),
            reynolds_per_flow: 4.0 * density / (PI * bore * viscosity),
        }
    }

    /// Reynolds number ρ·v·d_n/μ at flow `q` (m³/s).
    pub fn reynolds(&self, q: f64) -> f64 {
        self.reynolds_per_flow * q.abs()
    }

    /// Pressure lost between well and mould at flow `q` (m³/s), Pa, with the sign of the flow.
    pub fn pressure_loss(&self, q: f64) -> f64 {
        let re = self.reynolds(q);
        if re < LAMINAR {
            // f = 64/Re makes the friction linear in the flow; written so that it stays finite at rest.
            let friction = 64.0 / self.reynolds_per_flow * self.slenderness;
            return self.head * q * (q.abs() * (1.0 + self.loss) + friction);
        }
        self.head * q * q.abs() * (1.0 + self.loss + friction_factor(re) * self.slenderness)
    }

    /// Resistance, Pa·s/m³, that just keeps the column from ringing against a mould of `stiffness` (Pa/m³): 2·√(I·S).
    ///
    /// A full mould and the column in the nozzle ring for a tenth of a second with a few thousandths of the stroke's energy.
    /// The first swings make the peak pressure; the rest changes nothing that an owner is told, so a full mould that has had
    /// time for its peak goes over to [`crate::mode::MouldMode::Holding`], where this resistance takes the ringing out. What
    /// flows then is so little that it costs about a thousandth of the pressure.
    pub fn quieting(&self, stiffness: f64) -> f64 {
        2.0 * (self.inertance * stiffness).sqrt()
    }

    /// Slope of the pressure loss by flow at `q` (m³/s), Pa·s/m³: a difference over a millionth of the flow.
    pub fn loss_slope(&self, q: f64) -> f64 {
        let step = 1e-6 * q.abs().max(LAMINAR / self.reynolds_per_flow);
        (self.pressure_loss(q + step) - self.pressure_loss(q)) / step
    }
}

/// Below this Reynolds number Churchill's formula is 64/Re to the last digit of a double.
const LAMINAR: f64 = 20.0;

/// Darcy friction factor of a smooth pipe at Reynolds number `re` > 0, laminar to turbulent in one smooth curve.
///
/// f = 8·((8/Re)¹² + 1/(A + B)^1.5)^(1/12), A = (−2.457·ln((7/Re)^0.9))¹⁶, B = (37530/Re)¹⁶.
///
/// Source: S. W. Churchill, *Chemical Engineering* 84 (7 November 1977) 91, zero roughness.
pub fn friction_factor(re: f64) -> f64 {
    let a = (2.457 * 0.9 * (7.0 / re).ln()).powi(16);
    let b = (37530.0 / re).powi(16);
    let sum = a + b;
    let root = sum.sqrt();
    let laminar = (8.0 / re).powi(12) * sum * root;
    // f = 8·(A + B)^(−1/8)·(1 + laminar share)^(1/12); the last factor is one to the last digit in a fast jet.
    let turbulent = 8.0 / root.sqrt().sqrt();
    if laminar < 1e-16 { turbulent } else { turbulent * (1.0 + laminar).powf(1.0 / 12.0) }
}
