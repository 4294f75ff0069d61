//! The mould's vents: how fast air leaves before the metal.
//!
//! A vent stated as an area passes the isentropic nozzle flow ṁ = C_v·A_v·p_u·ψ(r)/√(R·T), choked below the critical
//! pressure ratio. Real vents are slits a few hundredths of a millimetre thick, where friction rules: a slit passes the lesser
//! of that flow and the viscous slit flow ṁ = w·g³·(p_u² − p_d²)/(24·μ_a·R·T·L). Absolute pressures throughout. A mould below
//! atmospheric pressure draws air in by the same laws.
//!
//! Sources: isentropic flow as in NACA report 1135; plane Poiseuille flow of an ideal gas, isothermal.

use crate::air::{AIR_GAS_CONSTANT, ATMOSPHERE, GAMMA, air_viscosity};
use crate::fault::Faults;
use crate::units::{Area, Length};

/// Relative pressure difference (about 1 Pa) below which the square root of the nozzle law is made linear: its slope at zero
/// is infinite, which no solver likes and no vent has.
const SOFTENING: f64 = 1e-5;

/// The vents as an owner states them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum VentStatement {
    /// Free area A_v in all.
    Area(Area),
    /// A slit: thickness g_v, width w_v in all, length L_v along the flow.
    Slit {
        /// Thickness.
        gap: Length,
        /// Width, all vents together.
        width: Length,
        /// Length along the flow.
        length: Length,
    },
}

/// Prepared vents.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vent {
    /// C_v·A_v/√(R·T), kg/(s·Pa).
    orifice: f64,
    /// w·g³/(24·μ_a·R·T·L), kg/(s·Pa²), for a slit.
    slit: Option<f64>,
}

impl Vent {
    /// `coefficient` C_v; `air_temperature` T_a in K.
    pub(crate) fn prepare(
        stated: &VentStatement,
        coefficient: f64,
        air_temperature: f64,
        faults: &mut Faults,
    ) -> Self {
        let coefficient = faults.positive("mould.vent_coefficient", coefficient);
        let rt = AIR_GAS_CONSTANT * air_temperature;
        let (area, slit) = match stated {
            VentStatement::Area(area) => (faults.not_negative("mould.vent_area", area.0), None),
            VentStatement::Slit { gap, width, length } => {
                let gap = faults.positive("mould.vent_gap", gap.0);
                let width = faults.positive("mould.vent_width", width.0);
                let length = faults.positive("mould.vent_length", length.0);
                (
                    gap * width,
                    Some(width * gap.powi(3) / (24.0 * air_viscosity(air_temperature) * rt * length)),
                )
            }
        };
        Self { orifice: coefficient * area / rt.sqrt(), slit }
    }

    /// Mass flow out of the mould, kg/s, at absolute air pressure `inside` (Pa); below zero when air is drawn in.
    pub fn flow(&self, inside: f64) -> f64 {
        let (up, down, sign) = if inside >= ATMOSPHERE {
            (inside, ATMOSPHERE, 1.0)
        } else {
            (ATMOSPHERE, inside.max(0.0), -1.0)
        };
        let drop = (up - down) / up;
        let orifice = self.orifice * up * flow_function(1.0 - drop) * (drop / (drop + SOFTENING)).sqrt();
        let viscous = self.slit.map(|slit| slit * (up * up - down * down));
        sign * viscous.map_or(orifice, |v| v.min(orifice))
    }

    /// Slope of the flow by the pressure inside, kg/(s·Pa): a difference over a hundredth of a pascal.
    pub fn flow_slope(&self, inside: f64) -> f64 {
        const STEP: f64 = 0.01;
        (self.flow(inside + STEP) - self.flow(inside - STEP)) / (2.0 * STEP)
    }
}

/// ψ(r) = √(2γ/(γ−1)·(r^(2/γ) − r^((γ+1)/γ))) at the pressure ratio `r` = p_down/p_up; constant below the critical ratio.
pub fn flow_function(r: f64) -> f64 {
    let critical = (2.0 / (GAMMA + 1.0)).powf(GAMMA / (GAMMA - 1.0));
    let log = r.max(critical).ln();
    let spread = -((GAMMA - 1.0) / GAMMA * log).exp_m1();
    (2.0 * GAMMA / (GAMMA - 1.0) * (2.0 / GAMMA * log).exp() * spread).sqrt()
}
