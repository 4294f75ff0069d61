//! The two systems of measures.

use latchstroke_scenario::{Dimension, Unit};

/// A system of measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// Millimetres, newtons, degrees Celsius.
    Metric,
    /// Inches, pounds-force, degrees Fahrenheit.
    Inch,
}

/// Lengths below this are told finely, m.
const SMALL: f64 = 1.5e-3;
/// Words of units that belong to the inch system.
const INCH_WORDS: [&str; 11] = ["in", "thou", "ft", "lbf", "lb", "oz", "ozf", "psi", "F", "tpi", "Btu"];
/// Units that belong to neither system: sizes of type, times, turns, angles and shares.
const OF_NEITHER: [&str; 15] = [
    "pt",
    "pica",
    "didot",
    "cicero",
    "s",
    "ms",
    "µs",
    "min",
    "turns/s",
    "turns/min",
    "turns",
    "turn",
    "°",
    "rad",
    "%",
];

impl System {
    /// The system a unit belongs to; none where it is used beside both.
    pub fn of(unit: &Unit) -> Option<Self> {
        let mut words = unit.symbol.split(|c: char| !c.is_alphabetic());
        match unit.symbol {
            "" => None,
            symbol if OF_NEITHER.contains(&symbol) => None,
            "UK gal/min" | "US gal/min" | "µreyn" => Some(Self::Inch),
            _ if words.any(|word| INCH_WORDS.contains(&word)) => Some(Self::Inch),
            _ => Some(Self::Metric),
        }
    }

    /// The unit in which a workshop of this system tells a dimension.
    pub fn unit(self, dimension: Dimension) -> &'static Unit {
        let (metric, inch) = match dimension {
            Dimension::Length | Dimension::ThreadPitch => ("mm", "in"),
            Dimension::Angle => ("°", "°"),
            Dimension::Mass => ("kg", "lb"),
            Dimension::Force => ("N", "lbf"),
            Dimension::Stiffness => ("N/mm", "lbf/in"),
            Dimension::Damping => ("N s/m", "lbf s/in"),
            Dimension::MomentOfInertia => ("kg cm²", "lb in²"),
            Dimension::Pressure => ("MPa", "psi"),
            Dimension::Volume => ("cm³", "in³"),
            Dimension::VolumeFlow => ("l/min", "in³/s"),
            Dimension::Area => ("mm²", "in²"),
            Dimension::Density => ("g/cm³", "lb/in³"),
            Dimension::Viscosity => ("mPa s", "µreyn"),
            Dimension::Time => ("s", "s"),
            Dimension::Speed => ("m/s", "in/s"),
            Dimension::Pace => ("turns/min", "turns/min"),
            Dimension::Temperature => ("°C", "°F"),
            Dimension::HeatTransfer => ("kW/m²K", "Btu/h ft²°F"),
            Dimension::ThermalConductance => ("W/K", "Btu/h°F"),
            Dimension::Conductivity => ("W/mK", "Btu/h ft°F"),
            Dimension::SpecificHeat => ("J/kgK", "Btu/lb°F"),
            Dimension::LatentHeat => ("kJ/kg", "Btu/lb"),
            Dimension::Energy => ("J", "ft lbf"),
            Dimension::Torque => ("N m", "lbf in"),
            Dimension::Power => ("W", "Btu/h"),
            Dimension::Turns => ("turns", "turns"),
            Dimension::Ratio => ("", ""),
        };
        let symbol = if self == Self::Inch { inch } else { metric };
        dimension.find(symbol).unwrap_or(&dimension.units().si)
    }

    /// The unit of lengths too small for that of [`Self::unit`].
    pub(super) fn fine(self) -> &'static Unit {
        let symbol = if self == Self::Inch { "thou" } else { "mm" };
        Dimension::Length.find(symbol).unwrap_or(&Dimension::Length.units().si)
    }

    /// The unit for a value of a dimension: a small length is told more finely.
    pub fn of_size(self, dimension: Dimension, si: f64) -> &'static Unit {
        if dimension == Dimension::Length && si.abs() < SMALL { self.fine() } else { self.unit(dimension) }
    }
}
