//! The mould's vents: how fast air leaves before the metal.
//!
//! A vent stated as an area passes the isentropic nozzle flow ṁ = C_v·A_v·p_u·ψ(r)/√(R·T), choked below the critical
//! pressure ratio. Real vents are slits a few hundredths of a millimetre thick, where friction rules: a slit passes the lesser
//! of that flow and the viscous slit flow ṁ = w·g³·(p_u² − p_d²)/(24·μ_a·R·T·L). Absolute pressures throughout. A mould below
//! atmospheric pressure draws air in by the same laws.
//!
//! Sources: isentropic flow as in NACA report 1135; plane Poiseuille flow of an ideal gas, isothermal.

use crate::air::{AIR_GAS_CONSTANT, ATMOSPHERE, air_viscosity};
use crate::fault::Faults;
use crate::field;
use crate::mould::MouldStatement;
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

impl Default for VentStatement {
    /// Nothing stated: nought.
    fn default() -> Self {
        Self::Area(Area::default())
    }
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
        let coefficient = faults.positive(field!(MouldStatement, vent_coefficient), coefficient);
        let rt = AIR_GAS_CONSTANT * air_temperature;
        let (area, slit) = match stated {
            VentStatement::Area(area) => (faults.not_negative(field!(VentStatement::Area, 0), area.0), None),
            VentStatement::Slit { gap, width, length } => {
                let gap = faults.positive(field!(VentStatement::Slit, gap), gap.0);
                let width = faults.positive(field!(VentStatement::Slit, width), width.0);
                let length = faults.positive(field!(VentStatement::Slit, length), length.0);
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
        self.flow_and_slope(inside).0
    }

    /// Slope of the flow by the pressure inside, kg/(s·Pa).
    pub fn flow_slope(&self, inside: f64) -> f64 {
        self.flow_and_slope(inside).1
    }

    #[expect(clippy::inline_always, reason = "what a caller does not use is then not worked out")]
    #[inline(always)]
    fn flow_and_slope(&self, inside: f64) -> (f64, f64) {
        let outwards = inside >= ATMOSPHERE;
        let (up, down) = if outwards { (inside, ATMOSPHERE) } else { (ATMOSPHERE, inside.max(0.0)) };
        let drop = (up - down) / up;
        let (head, by_drop) = softened_head(drop);
        let root = head.sqrt();
        // Of √head; towards no drop, where both are nought, it is √(2/ε).
        let root_by_drop = if root > 0.0 { 0.5 * by_drop / root } else { (2.0 / SOFTENING).sqrt() };
        let orifice = self.orifice * up * root;
        let by_inside = if outwards { root + (1.0 - drop) * root_by_drop } else { root_by_drop };
        let sign = if outwards { 1.0 } else { -1.0 };
        match self.slit.map(|slit| (slit * (up * up - down * down), slit * 2.0 * inside.max(0.0))) {
            Some((viscous, slope)) if viscous < orifice => (sign * viscous, slope),
            _ => (sign * orifice, self.orifice * by_inside),
        }
    }
}

/// ψ²·δ/(δ + ε) at the relative pressure drop δ = 1 − r, ε the softening; and its slope by δ.
fn softened_head(drop: f64) -> (f64, f64) {
    let (head, by_drop) = squared_flow_function(drop);
    let soft = 1.0 / (drop + SOFTENING);
    (head * drop * soft, by_drop * drop * soft + head * SOFTENING * soft * soft)
}

/// ψ² and its slope, by the relative pressure drop δ = 1 − r.
///
/// With s = r^((γ−1)/γ) and γ = 7/5 it is ψ² = 7·s⁵·(1 − s); where it chokes s = 2/(γ + 1) = 5/6.
fn squared_flow_function(drop: f64) -> (f64, f64) {
    // 1 − s, to the last digit for the smallest of drops.
    let spread = -libm::expm1(2.0 / 7.0 * libm::log1p(-drop));
    let choked = 1.0 / 6.0;
    if spread >= choked {
        let s: f64 = 1.0 - choked;
        return (7.0 * s.powi(5) * choked, 0.0);
    }
    let s = 1.0 - spread;
    let fifth = s.powi(5);
    (7.0 * fifth * spread, 2.0 * fifth * (6.0 * s - 5.0) / (1.0 - drop))
}

/// ψ(r) = √(2γ/(γ−1)·(r^(2/γ) − r^((γ+1)/γ))) at the pressure ratio `r` = p_down/p_up; constant below the critical ratio.
pub fn flow_function(r: f64) -> f64 {
    squared_flow_function(1.0 - r).0.sqrt()
}
