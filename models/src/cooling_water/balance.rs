//! Casts against cooling.
//!
//! Each cast gives the mould Q(T_m) = M·(e_in − e), with e what is left of the metal's heat when the mould opens: the lumped
//! law ([`heat_left`]) for the time t = α/(2π·n) at which the mould has been shut at the pace n. The rest of the heat leaves
//! with the type. The mould settles where
//!
//! n·Q(T_m) = U·(T_m − T_0).
//!
//! The left side falls with T_m and the right side rises, so there is one such temperature. It rises with the pace: Q grows
//! with t, but ever more slowly, so n·Q = (α/2π)·Q(t)/t grows as t shrinks.
//!
//! Left out: heat that comes from pot and nozzle by conduction, and what the metal gives while it fills the mould.

use super::{CoolingWater, CoolingWaterStatement};
use crate::fault::Faults;
use crate::freezing::lump::heat_left;
use crate::metal::Metal;
use crate::units::Pace;

/// A mould between the casts of one sort and its cooling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// The cooling.
    pub water: CoolingWater,
    metal: Metal,
    /// M, kg.
    mass: f64,
    /// C between metal and mould, W/K.
    conductance: f64,
}

/// What a turn does to the mould.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// Q, J: what the cast gave.
    pub heat: f64,
    /// The mould's temperature at the end of the turn, K.
    pub temperature: f64,
}

impl Balance {
    /// `mass` (kg) of metal a cast, with `conductance` (W/K) between it and the mould.
    pub(crate) fn prepare(
        stated: &CoolingWaterStatement,
        metal: &Metal,
        mass: f64,
        conductance: f64,
        faults: &mut Faults,
    ) -> Self {
        Self { water: CoolingWater::prepare(stated, faults), metal: *metal, mass, conductance }
    }

    /// The same mould with `share` of the water, its conductance as before.
    #[must_use]
    pub fn with_water(self, share: f64) -> Self {
        Self { water: self.water.with_flow(share), ..self }
    }

    /// How long the mould stays shut, s, at a pace.
    pub fn shut_time(&self, pace: Pace) -> f64 {
        self.water.shut_share / pace.0
    }

    /// Q, J: heat that a cast gives the mould at `temperature` (K).
    pub fn heat_per_cast(&self, temperature: f64, pace: Pace) -> f64 {
        let left = heat_left(&self.metal, self.mass, self.conductance, temperature, self.shut_time(pace));
        self.mass * (self.metal.pot_heat - left)
    }

    /// T_m, K, at which the mould settles at a pace.
    ///
    /// By bisection between the idle mould, which takes heat, and the pot's temperature, at which it takes none.
    pub fn steady(&self, pace: Pace) -> f64 {
        let idle = self.water.idle();
        let (mut cold, mut hot) = (idle, self.metal.pot_temperature.max(idle));
        loop {
            let middle = cold + 0.5 * (hot - cold);
            // Until no number lies between the two.
            if middle <= cold || middle >= hot || middle.is_nan() {
                return middle;
            }
            if pace.0 * self.heat_per_cast(middle, pace) > self.water.loss() * (middle - idle) {
                cold = middle;
            } else {
                hot = middle;
            }
        }
    }

    /// One turn of the mould from `temperature` T (K) at its start.
    ///
    /// The cast's heat Q(T) comes evenly over the turn: C_m·dT/dt = n·Q − U·(T − T_0), so T runs toward T_0 + n·Q/U by the
    /// share 1 − exp(−U/(C_m·n)). Where it no longer moves is [`Balance::steady`].
    pub fn turn(&self, temperature: f64, pace: Pace) -> Turn {
        let heat = self.heat_per_cast(temperature, pace);
        let toward = self.water.idle() + pace.0 * heat / self.water.loss();
        let share = -(-1.0 / (self.water.time_constant() * pace.0)).exp_m1();
        Turn { heat, temperature: temperature + share * (toward - temperature) }
    }

    /// [`Balance::steady`], noting a fault where nothing would freeze at it.
    pub(crate) fn settled(&self, pace: Pace, faults: &mut Faults) -> f64 {
        let steady = self.steady(pace);
        if steady >= self.metal.solidus {
            faults.add(
                "cooling_water.flow",
                format!(
                    "at {:.1} turns/min the mould settles at {:.0} °C, as hot as the metal's solidus, so nothing would freeze",
                    60.0 * pace.0,
                    steady - 273.15
                ),
                "more or colder water, or a slower pace",
            );
        }
        steady
    }
}
