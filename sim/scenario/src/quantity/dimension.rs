//! What a quantity measures, and which units may state it.

use super::units::{self, Unit, Units, normalised};
use strum::VariantArray;

/// What a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, VariantArray)]
pub enum Dimension {
    /// Length, SI metre.
    Length,
    /// Distance a nut moves in one turn, SI metre; also stated as threads per inch.
    ThreadPitch,
    /// Plane angle, SI radian.
    Angle,
    /// Mass, SI kilogram.
    Mass,
    /// Force, SI newton.
    Force,
    /// Spring rate, SI newton per metre.
    Stiffness,
    /// Viscous damping, SI newton second per metre.
    Damping,
    /// Moment of inertia, SI kilogram square metre.
    MomentOfInertia,
    /// Pressure or elastic modulus, SI pascal.
    Pressure,
    /// Volume, SI cubic metre.
    Volume,
    /// Volume that flows in a time, SI cubic metre per second.
    VolumeFlow,
    /// Area, SI square metre.
    Area,
    /// Density, SI kilogram per cubic metre.
    Density,
    /// Dynamic viscosity, SI pascal second.
    Viscosity,
    /// Time, SI second.
    Time,
    /// Speed, SI metre per second.
    Speed,
    /// Turns of the main shaft in a time, SI turn per second.
    Pace,
    /// Temperature, SI kelvin.
    Temperature,
    /// Heat transfer coefficient, SI watt per square metre kelvin.
    HeatTransfer,
    /// Heat flow for each kelvin of difference, SI watt per kelvin.
    ThermalConductance,
    /// Thermal conductivity, SI watt per metre kelvin.
    Conductivity,
    /// Specific heat, SI joule per kilogram kelvin.
    SpecificHeat,
    /// Latent heat, SI joule per kilogram.
    LatentHeat,
    /// Work or heat, SI joule.
    Energy,
    /// Torque, SI newton metre.
    Torque,
    /// Heat or work in a time, SI watt.
    Power,
    /// Turns of a nut; a plain number will do.
    Turns,
    /// A plain number or a percentage.
    Ratio,
}

impl Dimension {
    /// Every dimension.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// The units of this dimension.
    pub fn units(self) -> &'static Units {
        match self {
            Self::Length => &units::LENGTH,
            Self::ThreadPitch => &units::THREAD_PITCH,
            Self::Angle => &units::ANGLE,
            Self::Mass => &units::MASS,
            Self::Force => &units::FORCE,
            Self::Stiffness => &units::STIFFNESS,
            Self::Damping => &units::DAMPING,
            Self::MomentOfInertia => &units::MOMENT_OF_INERTIA,
            Self::Pressure => &units::PRESSURE,
            Self::Volume => &units::VOLUME,
            Self::VolumeFlow => &units::VOLUME_FLOW,
            Self::Area => &units::AREA,
            Self::Density => &units::DENSITY,
            Self::Viscosity => &units::VISCOSITY,
            Self::Time => &units::TIME,
            Self::Speed => &units::SPEED,
            Self::Pace => &units::PACE,
            Self::Temperature => &units::TEMPERATURE,
            Self::HeatTransfer => &units::HEAT_TRANSFER,
            Self::ThermalConductance => &units::THERMAL_CONDUCTANCE,
            Self::Conductivity => &units::CONDUCTIVITY,
            Self::SpecificHeat => &units::SPECIFIC_HEAT,
            Self::LatentHeat => &units::LATENT_HEAT,
            Self::Energy => &units::ENERGY,
            Self::Torque => &units::TORQUE,
            Self::Power => &units::POWER,
            Self::Turns => &units::TURNS,
            Self::Ratio => &units::RATIO,
        }
    }

    /// The dimension in words with its article, as in "a length".
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::ThreadPitch => "a thread pitch",
            Self::Angle => "an angle",
            Self::Mass => "a mass",
            Self::Force => "a force",
            Self::Stiffness => "a spring rate",
            Self::Damping => "a damping rate",
            Self::MomentOfInertia => "a moment of inertia",
            Self::Pressure => "a pressure",
            Self::Volume => "a volume",
            Self::VolumeFlow => "a volume flow",
            Self::Area => "an area",
            Self::Density => "a density",
            Self::Viscosity => "a viscosity",
            Self::Time => "a time",
            Self::Speed => "a speed",
            Self::Pace => "a pace",
            Self::Temperature => "a temperature",
            Self::HeatTransfer => "a heat transfer coefficient",
            Self::ThermalConductance => "a thermal conductance",
            Self::Conductivity => "a thermal conductivity",
            Self::SpecificHeat => "a specific heat",
            Self::LatentHeat => "a latent heat",
            Self::Energy => "an energy",
            Self::Torque => "a torque",
            Self::Power => "a power",
            Self::Turns => "a number of turns",
            Self::Ratio => "a plain number",
        }
    }

    /// The unit `typed` names in this dimension, by symbol or alias. Capitals
    /// count: `mPa` and `MPa` are nine powers of ten apart.
    pub fn find(self, typed: &str) -> Option<&'static Unit> {
        let wanted = normalised(typed);
        self.units().iter().find(|unit| unit.names().any(|name| normalised(name) == wanted))
    }

    /// Whether a number may stand without a unit.
    pub fn allows_bare_number(self) -> bool {
        self.find("").is_some()
    }

    /// This dimension's units as they are typed, in table order: "mm, cm, m".
    pub fn unit_list(self) -> String {
        let names: Vec<String> =
            self.units().iter().map(Unit::typeable).filter(|name| !name.is_empty()).collect();
        names.join(", ")
    }
}
