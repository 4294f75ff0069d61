//! Cooling water through the mould, and the temperature at which the mould settles.
//!
//! The mould is a lump at one temperature T_m, of heat capacity C_m = m·c. Water runs through it at ṁ, from T_in to
//!
//! T_out = T_in + ε·(T_m − T_in), ε = 1 − exp(−G/(ṁ·c_w)),
//!
//! a heat exchanger with one side at one temperature throughout: G is the conductance from the mould's face to the water (F. P.
//! Incropera and others, *Fundamentals of Heat and Mass Transfer*, chapter 11, from memory). Air takes G_a·(T_m − T_a). Both
//! together take U·(T_m − T_0) with U = ε·ṁ·c_w + G_a, T_0 the temperature of the mould while nothing is cast. What the casts
//! give, and where both meet, is in [`Balance`].
//!
//! Left out: differences of temperature within the mould; its swing within a turn; that a slower stream also takes heat less
//! readily (G is kept as stated); steam, so that nothing here holds where water boils.

mod balance;

pub use balance::{Balance, Turn};

use crate::fault::Faults;
use crate::field;
use crate::units::{Angle, Mass, SpecificHeat, Temperature, ThermalConductance, VolumeFlow};
use std::f64::consts::TAU;

/// Density of water at 20 °C, kg/m³. Source: Incropera, table A.6 (from memory); 0.8 % less at 45 °C.
const DENSITY: f64 = 998.0;
/// c_w at 20 to 60 °C, J/(kg·K). Source: the same table (from memory); within 0.2 % throughout.
const SPECIFIC_HEAT: f64 = 4182.0;
/// Where water boils at one atmosphere, K.
pub const BOILING: f64 = 373.15;

/// The mould's cooling as an owner states it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct CoolingWaterStatement {
    /// Volume of water in a time.
    pub flow: VolumeFlow,
    /// T_in.
    pub inlet_temperature: Temperature,
    /// G from the mould's face to the water.
    pub conductance: ThermalConductance,
    /// m of the mould, with all that warms up with it.
    pub mould_mass: Mass,
    /// c of the mould.
    pub mould_specific_heat: SpecificHeat,
    /// G_a from the mould to the air about it.
    pub air_loss: ThermalConductance,
    /// T_a.
    pub room_temperature: Temperature,
    /// α: angle of the main shaft for which the mould stays shut after it is full.
    pub shut: Angle,
}

/// Prepared cooling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoolingWater {
    /// T_in, K.
    pub inlet: f64,
    /// C_m, J/K.
    pub capacity: f64,
    /// Share of a turn for which the mould stays shut.
    pub shut_share: f64,
    /// ṁ·c_w, W/K.
    stream: f64,
    conductance: f64,
    air_loss: f64,
    room: f64,
}

impl CoolingWater {
    pub(crate) fn prepare(stated: &CoolingWaterStatement, faults: &mut Faults) -> Self {
        let flow = faults.positive(field!(CoolingWaterStatement, flow), stated.flow.0);
        let mass = faults.positive(field!(CoolingWaterStatement, mould_mass), stated.mould_mass.0);
        Self {
            inlet: faults
                .positive(field!(CoolingWaterStatement, inlet_temperature), stated.inlet_temperature.0),
            capacity: mass
                * faults.positive(
                    field!(CoolingWaterStatement, mould_specific_heat),
                    stated.mould_specific_heat.0,
                ),
            shut_share: faults.positive(field!(CoolingWaterStatement, shut), stated.shut.0) / TAU,
            stream: flow * DENSITY * SPECIFIC_HEAT,
            conductance: faults.positive(field!(CoolingWaterStatement, conductance), stated.conductance.0),
            air_loss: faults.not_negative(field!(CoolingWaterStatement, air_loss), stated.air_loss.0),
            room: faults.positive(field!(CoolingWaterStatement, room_temperature), stated.room_temperature.0),
        }
    }

    /// The same cooling with `share` of the flow.
    fn with_flow(self, share: f64) -> Self {
        Self { stream: share * self.stream, ..self }
    }

    /// ε, 0 to 1: how far the water is warmed toward the mould's own temperature.
    pub fn effectiveness(&self) -> f64 {
        -libm::expm1(-self.conductance / self.stream)
    }

    /// Heat, W, that the water takes from the mould at `temperature` (K).
    pub fn to_water(&self, temperature: f64) -> f64 {
        self.effectiveness() * self.stream * (temperature - self.inlet)
    }

    /// Heat, W, that the air takes from the mould at `temperature` (K).
    pub fn to_air(&self, temperature: f64) -> f64 {
        self.air_loss * (temperature - self.room)
    }

    /// T_out, K, of the water that has run through the mould at `temperature` (K).
    pub fn outlet(&self, temperature: f64) -> f64 {
        self.inlet + self.effectiveness() * (temperature - self.inlet)
    }

    /// U, W/K: what water and air together take for each kelvin.
    pub fn loss(&self) -> f64 {
        self.effectiveness() * self.stream + self.air_loss
    }

    /// T_0, K: the mould's temperature while nothing is cast, the water running.
    pub fn idle(&self) -> f64 {
        let water = self.effectiveness() * self.stream;
        (water * self.inlet + self.air_loss * self.room) / (water + self.air_loss)
    }

    /// C_m/U, s: time in which the mould comes 63 % of the way to where it settles, were the heat of each cast the same.
    pub fn time_constant(&self) -> f64 {
        self.capacity / self.loss()
    }
}
