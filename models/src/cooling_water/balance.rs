//! Casts against cooling.
//!
//! Each cast gives the mould Q(T_m), what [`Casting`] has it give by the time t = α/(2π·n) for which the mould is shut at the
//! pace n. The rest of the heat leaves with the type. The mould settles where
//!
//! n·Q(T_m) = U·(T_m − T_0).
//!
//! The left side falls with T_m and the right side rises, so there is one such temperature. It rises with the pace: Q grows
//! with t, but ever more slowly, so n·Q = (α/2π)·Q(t)/t grows as t shrinks.
//!
//! Left out: heat that comes from pot and nozzle by conduction.

use super::{CoolingWater, CoolingWaterStatement};
use crate::fault::Faults;
use crate::field;
use crate::freezing::casting::Casting;
use crate::units::Pace;
use heats::Heats;

mod heats;

/// A mould between the casts of one sort, at one pace, and its cooling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// The cooling.
    pub water: CoolingWater,
    casting: Casting,
    /// n, turns/s.
    pace: f64,
    heats: Heats,
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
    /// None where something is wrong already, so that there is nothing to solve.
    pub(crate) fn prepare(
        stated: &CoolingWaterStatement,
        casting: Casting,
        pace: Pace,
        faults: &mut Faults,
    ) -> Option<Self> {
        let water = CoolingWater::prepare(stated, faults);
        faults.is_empty().then(|| Self::new(water, casting, pace.0))
    }

    fn new(water: CoolingWater, casting: Casting, pace: f64) -> Self {
        Self { water, casting, pace, heats: Heats::tabulate(&water, &casting, pace) }
    }

    /// The same mould at another pace.
    #[must_use]
    pub fn at(&self, pace: Pace) -> Self {
        Self::new(self.water, self.casting, pace.0)
    }

    /// The same mould with `share` of the water, its conductance as before.
    #[must_use]
    pub fn with_water(&self, share: f64) -> Self {
        Self::new(self.water.with_flow(share), self.casting, self.pace)
    }

    /// How long the mould stays shut, s.
    pub fn shut_time(&self) -> f64 {
        self.water.shut_share / self.pace
    }

    /// Q, J: heat that a cast gives the mould at `temperature` (K); from a table, within a quarter per cent, where a mould that starts cold
    /// and settles comes by, solved anew elsewhere.
    pub fn heat_per_cast(&self, temperature: f64) -> f64 {
        self.heats.at(temperature).unwrap_or_else(|| self.casting.heat_given(temperature, self.shut_time()))
    }

    /// T_m, K, at which the mould settles.
    ///
    /// By bisection between the idle mould, which takes heat, and the hottest tabulated, which gives more to its cooling than
    /// it takes.
    pub fn steady(&self) -> f64 {
        let idle = self.water.idle();
        let (mut cold, mut hot) = (idle, self.heats.hottest().unwrap_or(idle));
        loop {
            let middle = cold + 0.5 * (hot - cold);
            // Until no number lies between the two.
            if middle <= cold || middle >= hot || middle.is_nan() {
                return middle;
            }
            if self.pace * self.heat_per_cast(middle) > self.water.loss() * (middle - idle) {
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
    pub fn turn(&self, temperature: f64) -> Turn {
        let heat = self.heat_per_cast(temperature);
        let toward = self.water.idle() + self.pace * heat / self.water.loss();
        let share = -libm::expm1(-1.0 / (self.water.time_constant() * self.pace));
        Turn { heat, temperature: temperature + share * (toward - temperature) }
    }

    /// [`Balance::steady`], noting a fault where nothing would freeze at it.
    pub(crate) fn settled(&self, faults: &mut Faults) -> f64 {
        let steady = self.steady();
        if steady >= self.casting.metal().solidus {
            faults.add(
                field!(CoolingWaterStatement, flow),
                format!(
                    "at {:.1} turns/min the mould settles at {:.0} °C, as hot as the metal's solidus, so nothing would freeze",
                    60.0 * self.pace,
                    steady - 273.15
                ),
                "more or colder water, or a slower pace",
            );
        }
        steady
    }
}
