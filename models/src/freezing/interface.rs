//! Heat transfer between the metal and the wall.
//!
//! While liquid, the metal wets the wall through a film of oxide and gas, and a constant coefficient h serves. Once solid the
//! casting shrinks away from the wall, and the gap adds its own resistance. How much is poorly known for small castings; the
//! laws here say what they assume, so that a range can be tried.

use super::slab::Walls;
use crate::fault::Faults;
use crate::field;

/// How h behaves.
#[derive(Debug, Clone, PartialEq)]
pub enum Interface {
    /// The same h, W/(m²·K), throughout. Infinite h is perfect contact: the surface takes the wall's temperature.
    Constant(f64),
    /// h over time: pairs of time (s) and h (W/(m²·K)) in rising order of time, straight lines between, constant beyond the
    /// ends.
    OverTime(Vec<(f64, f64)>),
    /// The casting shrinks from the wall by its own contraction:
    /// 1/h = 1/h_0 + α·b·max(0, T_sol − T_mean)/k_g, with b the half thickness and T_mean the mean temperature.
    ///
    /// A gas gap without radiation (negligible at these temperatures), opening on both sides alike once the mean is below the
    /// solidus; the wall's own expansion and the pressure that holds a still liquid core against the wall are left out. The
    /// least of the gap's effect is none ([`Interface::Constant`]), so the two bound a real mould. Form as for gaps in
    /// permanent-mould casting (from memory).
    Parting(Parting),
}

/// The numbers of [`Interface::Parting`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parting {
    /// h_0 while the metal touches the wall, W/(m²·K).
    pub contact: f64,
    /// α, coefficient of linear contraction of the solid, 1/K.
    pub contraction: f64,
    /// k_g, conductivity of the gas in the gap, W/(m·K).
    pub gas_conductivity: f64,
}

impl Interface {
    pub(super) fn check(&self, faults: &mut Faults) {
        let field = field!(Walls, interface);
        match self {
            Self::Constant(h) => {
                if h.is_nan() || *h <= 0.0 {
                    faults.add(field, format!("{h} is not above zero"), "give a coefficient above zero");
                }
            }
            Self::OverTime(pairs) => {
                if pairs.is_empty() {
                    faults.add(field, "the table is empty", "give at least one pair of time and coefficient");
                }
                for &(time, h) in pairs {
                    faults.finite(field, time);
                    faults.positive(field, h);
                }
                if !pairs.iter().zip(pairs.iter().skip(1)).all(|(a, b)| a.0 < b.0) {
                    faults.add(field, "the times are out of order", "give the pairs in rising order of time");
                }
            }
            Self::Parting(parting) => {
                faults.positive(field, parting.contact);
                faults.not_negative(field, parting.contraction);
                faults.positive(field, parting.gas_conductivity);
            }
        }
    }

    /// 1/h, m²·K/W, at `time` (s), when metal of half thickness `half` (m) is on average `below` (K) under its solidus.
    pub(super) fn resistance(&self, time: f64, half: f64, below: f64) -> f64 {
        match self {
            Self::Constant(h) => 1.0 / h,
            Self::OverTime(pairs) => 1.0 / between(pairs, time),
            Self::Parting(parting) => {
                1.0 / parting.contact + parting.contraction * half * below.max(0.0) / parting.gas_conductivity
            }
        }
    }

    /// Whether h depends on the metal's mean temperature.
    pub(super) fn follows_metal(&self) -> bool {
        matches!(self, Self::Parting(_))
    }
}

/// The value at `x` of straight lines through `pairs` (in rising order), constant beyond the ends; NaN for no pairs.
pub fn between(pairs: &[(f64, f64)], x: f64) -> f64 {
    let after = pairs.partition_point(|pair| pair.0 <= x);
    let high = pairs.get(after);
    let low = after.checked_sub(1).and_then(|before| pairs.get(before));
    match (low, high) {
        (Some(low), Some(high)) => low.1 + (high.1 - low.1) * (x - low.0) / (high.0 - low.0),
        (Some(only), None) | (None, Some(only)) => only.1,
        (None, None) => f64::NAN,
    }
}
