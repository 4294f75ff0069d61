//! The mould cavity: its volume, the air in it, the pressure of what fills it, and the heat it takes.
//!
//! V = body × set × depth, wetted area A_w = 2·body·set + 2(body + set)·depth. With V_f of metal in it the air has
//! V_a = max(V − V_f, 0.001·V) left and stands at p_a = m_a·R·T_a/V_a, isothermal. Full at V_f = 0.98·V: the vents are
//! shut and p_cav = p_a + β·max(0, V_f − 0.98·V)/V: metal that runs back leaves the walls, it does not pull on
//! them. The walls take heat through 1/h_eff = 1/h + b/(6·k_l), b the lesser of body and set.
//!
//! h is low while the mould fills, at a few bar, and high once it is full and packed, when the metal is pressed into the wall's
//! roughness: a published contact model gives 4 to 15 kW/(m²·K) at 2 bar and 24 to 119 at 10 bar for a lead alloy on steel, by
//! how rough it is. It may be stated as one number or as two.
//!
//! Their temperature is stated, or is the one at which the mould settles between what the casts give it and what its cooling
//! water takes away ([`crate::cooling_water`]).

use crate::air::{AIR_GAS_CONSTANT, ATMOSPHERE};
use crate::cooling_water::{Balance, CoolingWaterStatement};
use crate::fault::{Faults, Order};
use crate::field;
use crate::freezing::casting::Casting;
use crate::metal::{Metal, MetalStatement};
use crate::units::{Force, HeatTransfer, Length, Pace, Temperature, Volume};
use crate::vent::{Vent, VentStatement};
use strum::{EnumString, VariantNames};

/// The mould as an owner states it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct MouldStatement {
    /// Depth of the cavity from face to foot.
    pub depth: Length,
    /// V_prime: metal that goes past the nozzle before the mould is entered.
    pub priming_volume: Volume,
    /// How warm the walls are.
    pub wall: WallStatement,
    /// h between metal and wall while the mould fills.
    pub heat_transfer: HeatTransfer,
    /// h once the mould is full and packed; none: the same.
    pub packed_heat_transfer: Option<HeatTransfer>,
    /// How the solved cooling sees the type.
    pub freezing: Freezing,
    /// T_a of the air as it is driven out.
    pub air_temperature: Temperature,
    /// The vents.
    pub vent: VentStatement,
    /// C_v of the vents.
    pub vent_coefficient: f64,
    /// Force that holds the matrix down, where known.
    pub hold_down: Option<Force>,
}

/// How warm the mould's walls are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WallStatement {
    /// T_w as measured, whatever is cast and however fast.
    Temperature(Temperature),
    /// Cooled by water: T_w follows from the size and the pace.
    Cooled(CoolingWaterStatement),
}

impl Default for WallStatement {
    /// Nothing stated: nought.
    fn default() -> Self {
        Self::Temperature(Temperature::default())
    }
}

/// How the solved cooling sees the type in the shut mould.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, VariantNames)]
#[strum(serialize_all = "kebab-case")]
pub enum Freezing {
    /// A slab, cooled across the lesser of body and set alone ([`crate::freezing::slab`]).
    #[default]
    Slab,
    /// The section of body by set, cooled from all four sides ([`crate::freezing::section`]).
    Section,
}

/// What is cast: the size of the type.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Sort {
    /// Body size.
    pub body: Length,
    /// Set width.
    pub set: Length,
}

/// The share of the cavity at which it counts as full and its vents as shut.
pub const FULL: f64 = 0.98;
/// The least share of the cavity that trapped air is squeezed into.
const LEAST_AIR: f64 = 0.001;

/// A prepared cavity for one sort.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mould {
    /// Body, m.
    pub body: f64,
    /// Set, m.
    pub set: f64,
    /// V, m³.
    pub volume: f64,
    /// V_prime, m³.
    pub priming_volume: f64,
    /// A_w, m².
    pub wetted_area: f64,
    /// T_w, K: as stated, or as it settles at the pace the machine is prepared for.
    pub wall_temperature: f64,
    /// What the casts give the mould and its water takes away, where water cools it.
    pub balance: Option<Balance>,
    /// How the solved cooling sees the type.
    pub freezing: Freezing,
    /// h while filling, W/(m²·K), at the wall alone.
    pub heat_transfer: f64,
    /// h_eff while filling, W/(m²·K), from the middle of the metal to the wall.
    pub effective_heat_transfer: f64,
    /// h once full and packed.
    pub packed_heat_transfer: f64,
    /// h_eff once full and packed.
    pub packed_effective_heat_transfer: f64,
    /// m_a0, kg: air in the empty cavity.
    pub air_mass: f64,
    /// The vents.
    pub vent: Vent,
    /// Hold-down force on the matrix, N, where known.
    pub hold_down: Option<f64>,
    air_constant: f64,
    packing_stiffness: f64,
}

impl Mould {
    /// `bulk_modulus` (Pa) of the metal once it packs.
    pub(crate) fn prepare(
        stated: &MouldStatement,
        sort: Sort,
        pace: Pace,
        metal: &Metal,
        bulk_modulus: f64,
        faults: &mut Faults,
    ) -> Self {
        let body = faults.positive(field!(Sort, body), sort.body.0);
        let set = faults.positive(field!(Sort, set), sort.set.0);
        let depth = faults.positive(field!(MouldStatement, depth), stated.depth.0);
        let air_temperature =
            faults.positive(field!(MouldStatement, air_temperature), stated.air_temperature.0);
        let heat_transfer = faults.positive(field!(MouldStatement, heat_transfer), stated.heat_transfer.0);
        let volume = body * set * depth;
        let wetted_area = 2.0 * body * set + 2.0 * (body + set) * depth;
        let packed_heat_transfer = stated.packed_heat_transfer.map_or(heat_transfer, |packed| {
            faults.positive(field!(MouldStatement, packed_heat_transfer), packed.0)
        });
        let effective = |h: f64| 1.0 / (1.0 / h + body.min(set) / (6.0 * metal.conductivity_liquid));
        let (wall_temperature, balance) = match &stated.wall {
            WallStatement::Temperature(wall) => {
                let field = field!(WallStatement::Temperature, 0);
                let wall = faults.positive(field, wall.0);
                let solidus = (field!(MetalStatement, solidus), metal.solidus);
                let why = "in a mould as hot as this the type would not set";
                faults.ordered((field, wall), Order::Below, solidus, why);
                (wall, None)
            }
            WallStatement::Cooled(water) => {
                let casting =
                    Casting::prepare(metal, [body, set], volume, packed_heat_transfer, stated.freezing);
                let balance = Balance::prepare(water, casting, pace, faults);
                (balance.map_or(f64::NAN, |balance| balance.settled(faults)), balance)
            }
        };
        let air_constant = AIR_GAS_CONSTANT * air_temperature;
        Self {
            body,
            set,
            volume,
            priming_volume: faults
                .not_negative(field!(MouldStatement, priming_volume), stated.priming_volume.0),
            wetted_area,
            wall_temperature,
            balance,
            freezing: stated.freezing,
            heat_transfer,
            effective_heat_transfer: effective(heat_transfer),
            packed_heat_transfer,
            packed_effective_heat_transfer: effective(packed_heat_transfer),
            air_mass: ATMOSPHERE * volume / air_constant,
            vent: Vent::prepare(&stated.vent, stated.vent_coefficient, air_temperature, faults),
            hold_down: stated
                .hold_down
                .map(|force| faults.positive(field!(MouldStatement, hold_down), force.0)),
            air_constant,
            packing_stiffness: bulk_modulus / volume,
        }
    }

    /// V_f, m³: metal in the mould when `past_nozzle` (m³) has gone past the nozzle.
    pub fn metal_inside(&self, past_nozzle: f64) -> f64 {
        past_nozzle - self.priming_volume
    }

    /// Absolute pressure, Pa, of `air` (kg) over `inside` (m³) of metal.
    pub fn air_pressure(&self, air: f64, inside: f64) -> f64 {
        air * self.air_constant / (self.volume - inside).max(LEAST_AIR * self.volume)
    }

    /// Slopes of the air pressure by the mass of air (Pa/kg) and by the volume of metal inside (Pa/m³).
    pub fn air_pressure_slopes(&self, air: f64, inside: f64) -> (f64, f64) {
        let left = self.volume - inside;
        let least = LEAST_AIR * self.volume;
        let by_air = self.air_constant / left.max(least);
        (by_air, if left > least { air * by_air / left } else { 0.0 })
    }

    /// Pressure added for each cubic metre packed past full, β/V, Pa/m³.
    pub fn packing_stiffness(&self) -> f64 {
        self.packing_stiffness
    }

    /// Slope of the packing pressure by the volume of metal inside, Pa/m³.
    pub fn packing_slope(&self, inside: f64) -> f64 {
        if inside > FULL * self.volume { self.packing_stiffness } else { 0.0 }
    }

    /// Pressure added by packing metal past full, Pa, with `inside` (m³) of metal.
    pub fn packing_pressure(&self, inside: f64) -> f64 {
        self.packing_stiffness * (inside - FULL * self.volume).max(0.0)
    }

    /// h_eff·A_w, W/K, of walls wetted all over: that of the mould as it fills, or once it is full and packed.
    pub fn conductance(&self, packed: bool) -> f64 {
        let coefficient =
            if packed { self.packed_effective_heat_transfer } else { self.effective_heat_transfer };
        coefficient * self.wetted_area
    }
}

/// Lifting force on the matrix, N, against its spring or toggle: p_cav × body × set, at cavity pressure `pressure` (Pa, gauge).
pub fn lifting_force(mould: &Mould, pressure: f64) -> f64 {
    pressure * mould.body * mould.set
}
