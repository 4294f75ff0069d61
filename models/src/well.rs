//! The well: the metal under the piston, a little compressible.
//!
//! dp/dt = β/V_well·(A_p·i·ẋ − Q − Q_leak) once the inlet port is covered; before that the well stays at pot pressure. The
//! state carries the volume pressed in, σ = ∫(A_p·i·ẋ − Q − Q_leak)dt, and p = β·σ/V_well.
//!
//! A thrown piston rebounds, and the column in the nozzle runs on: the well is then stretched. Liquid metal parts rather than
//! be stretched, so from absolute zero pressure on a void opens (σ below its floor, p = −1 atm) and must close again before
//! the piston presses. The simpler law without that floor is kept as [`Suction::Holds`], since it changes fill times by
//! several per cent; it lets the well pull on the piston harder than any metal can.

use crate::air::ATMOSPHERE;
use crate::fault::Faults;
use crate::field;
use crate::units::{Pressure, Volume};
use strum::{EnumString, VariantNames};

/// What stretched metal does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, EnumString, VariantNames)]
#[strum(serialize_all = "kebab-case")]
pub enum Suction {
    /// It parts at absolute zero pressure.
    #[default]
    Parts,
    /// It holds any tension: the simpler law.
    Holds,
}

/// The well as an owner states it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct WellStatement {
    /// Volume V_well of metal under the piston.
    pub volume: Volume,
    /// Bulk modulus β: metal, well walls and any gas in the metal together.
    pub bulk_modulus: Pressure,
    /// What the metal does when it is stretched.
    pub suction: Suction,
}

/// A prepared well.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Well {
    /// V_well, m³.
    pub volume: f64,
    /// β, Pa.
    pub bulk_modulus: f64,
    /// What the metal does when it is stretched.
    pub suction: Suction,
    stiffness: f64,
}

impl Well {
    pub(crate) fn prepare(stated: &WellStatement, faults: &mut Faults) -> Self {
        let volume = faults.positive(field!(WellStatement, volume), stated.volume.0);
        let bulk_modulus = faults.positive(field!(WellStatement, bulk_modulus), stated.bulk_modulus.0);
        Self { volume, bulk_modulus, suction: stated.suction, stiffness: bulk_modulus / volume }
    }

    /// Pressure gained for each cubic metre pressed in, β/V_well, Pa/m³.
    pub fn stiffness(&self) -> f64 {
        self.stiffness
    }

    /// Volume pressed in at which the metal parts, m³, below zero; none where it holds any tension.
    pub fn parting_volume(&self) -> Option<f64> {
        match self.suction {
            Suction::Parts => Some(-ATMOSPHERE / self.stiffness()),
            Suction::Holds => None,
        }
    }

    /// Energy, J, of the squeezed metal with `pressed` (m³) in it, and of the void once it has parted.
    pub fn energy(&self, pressed: f64) -> f64 {
        match self.parting_volume() {
            Some(floor) if pressed < floor => -ATMOSPHERE * (pressed - 0.5 * floor),
            _ => 0.5 * self.stiffness() * pressed * pressed,
        }
    }
}
