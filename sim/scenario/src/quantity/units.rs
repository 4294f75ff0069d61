//! The units, one table for each dimension.
//!
//! Factors follow from the definitions: inch 25.4 mm, pound 0.45359237 kg,
//! standard gravity 9.80665 m/s², UK gallon 4.54609 l, US gallon 231 in³ (Btu (IT) 1055.05585262 J (NIST
//! SP 811, from memory).

use std::f64::consts::{PI, TAU};

/// How a value in a unit becomes SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Conversion {
    /// SI = factor · value.
    Factor(f64),
    /// SI = factor · value + offset; a temperature scale.
    Scale {
        /// SI units to one degree.
        factor: f64,
        /// SI value of the scale's zero.
        offset: f64,
    },
    /// SI = factor / value; threads to the inch.
    Reciprocal(f64),
}

/// One unit: its printed symbol, other spellings, and its size.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// The symbol the program prints.
    pub symbol: &'static str,
    /// Other spellings that are read.
    pub aliases: &'static [&'static str],
    /// Its size in SI.
    pub conversion: Conversion,
}

impl Unit {
    /// `value` of this unit in SI.
    pub fn to_si(&self, value: f64) -> f64 {
        match self.conversion {
            Conversion::Factor(factor) => factor * value,
            Conversion::Scale { factor, offset } => factor * value + offset,
            Conversion::Reciprocal(factor) => factor / value,
        }
    }

    /// An SI value in this unit.
    // Its counterpart `to_si` also takes the unit by reference.
    #[allow(clippy::wrong_self_convention)]
    pub fn from_si(&self, si: f64) -> f64 {
        match self.conversion {
            Conversion::Factor(factor) => si / factor,
            Conversion::Scale { factor, offset } => (si - offset) / factor,
            Conversion::Reciprocal(factor) => factor / si,
        }
    }

    /// A small difference of `size` units at `value` in SI: a temperature
    /// difference has no offset, and a difference in threads to the inch is
    /// taken to first order. Never negative.
    pub fn difference_to_si(&self, value: f64, size: f64) -> f64 {
        match self.conversion {
            Conversion::Factor(factor) | Conversion::Scale { factor, .. } => (factor * size).abs(),
            Conversion::Reciprocal(factor) => (factor * size / (value * value)).abs(),
        }
    }

    /// A spelling that any keyboard has: the symbol without its superscripts, or
    /// the first alias in plain letters.
    pub fn typeable(&self) -> String {
        let flat = self.symbol.replace('²', "2").replace('³', "3");
        if flat.is_ascii() {
            return flat;
        }
        let plain = self.aliases.iter().find(|alias| alias.is_ascii());
        plain.map_or(flat, |alias| (*alias).to_owned())
    }

    /// The symbol and the aliases.
    pub fn names(&self) -> impl Iterator<Item = &'static str> + use<> {
        std::iter::once(self.symbol).chain(self.aliases.iter().copied())
    }
}

/// The units of one dimension, the usual ones in a workshop first.
#[derive(Debug)]
pub struct Units {
    /// The SI unit.
    pub si: Unit,
    others: &'static [Unit],
}

impl Units {
    /// Every unit of the dimension, the SI unit last.
    pub fn iter(&'static self) -> impl Iterator<Item = &'static Unit> {
        self.others.iter().chain(std::iter::once(&self.si))
    }
}

/// A unit's spelling with its typography levelled: superscripts become digits;
/// spaces, dots, brackets and signs of multiplication go; double primes become
/// inch marks.
pub fn normalised(typed: &str) -> String {
    let mut plain = String::with_capacity(typed.len());
    for c in typed.chars() {
        match c {
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            'µ' | 'μ' => plain.push('u'),
            '″' | '”' | '“' => plain.push('"'),
            'º' | '˚' => plain.push('°'),
            '℃' => plain.push_str("°C"),
            '℉' => plain.push_str("°F"),
            '^' | '·' | '⋅' | '*' | '×' | '(' | ')' | '.' => {}
            c if c.is_whitespace() => {}
            c => plain.push(c),
        }
    }
    plain
}

const fn unit(symbol: &'static str, aliases: &'static [&'static str], factor: f64) -> Unit {
    Unit { symbol, aliases, conversion: Conversion::Factor(factor) }
}

const INCH: f64 = 0.0254;
const LITRE: f64 = 1e-3;
const UK_GALLON: f64 = 4.54609 * LITRE;
const US_GALLON: f64 = 231.0 * INCH * INCH * INCH;
const POUND: f64 = 0.45359237;
const OUNCE: f64 = POUND / 16.0;
const GRAVITY: f64 = 9.80665;
const POUND_FORCE: f64 = POUND * GRAVITY;
const FOOT: f64 = 12.0 * INCH;
/// The international table's British thermal unit, exactly.
const BTU: f64 = 1055.05585262;
const BTU_PER_HOUR: f64 = BTU / 3600.0;
/// A degree Fahrenheit as a difference, K.
const RANKINE: f64 = 5.0 / 9.0;
/// The American and British printer's point, exactly 0.013837 in.
const POINT: f64 = 0.013837 * INCH;
/// The Didot point of the German type standard, 0.376065 mm. The older
/// definition, one metre to 2660 points, gives 0.375940 mm; both stand side by
/// side. The standard's value is taken because Didot moulds are made to it; the
/// two differ by 0.033 %, or 0.005 mm on a body of 36 points.
const DIDOT: f64 = 0.376065e-3;

pub(super) static LENGTH: Units = Units {
    si: unit("m", &["metre", "metres", "meter", "meters"], 1.0),
    others: &[
        unit("mm", &["millimetre", "millimetres"], 1e-3),
        unit("cm", &[], 1e-2),
        unit("in", &["\"", "inch", "inches"], INCH),
        unit("thou", &["mil"], 1e-3 * INCH),
        unit("ft", &["foot", "feet"], 12.0 * INCH),
        unit("pt", &["point", "points"], POINT),
        unit("pica", &["picas"], 12.0 * POINT),
        unit("didot", &["dd"], DIDOT),
        unit("cicero", &["ciceros"], 12.0 * DIDOT),
        unit("µm", &["um", "micron", "microns"], 1e-6),
    ],
};

pub(super) static THREAD_PITCH: Units = Units {
    si: unit("m", &[], 1.0),
    others: &[
        unit("mm", &[], 1e-3),
        unit("in", &["\"", "inch"], INCH),
        Unit { symbol: "tpi", aliases: &["TPI", "threads/in"], conversion: Conversion::Reciprocal(INCH) },
    ],
};

pub(super) static ANGLE: Units = Units {
    si: unit("rad", &[], 1.0),
    others: &[unit("°", &["deg", "degree", "degrees"], PI / 180.0), unit("turn", &["turns"], TAU)],
};

pub(super) static MASS: Units = Units {
    si: unit("kg", &[], 1.0),
    others: &[unit("g", &["gram", "grams"], 1e-3), unit("lb", &["lbs"], POUND), unit("oz", &[], OUNCE)],
};

pub(super) static FORCE: Units = Units {
    si: unit("N", &[], 1.0),
    others: &[
        unit("kN", &[], 1e3),
        unit("lbf", &[], POUND_FORCE),
        unit("kgf", &[], GRAVITY),
        unit("ozf", &[], OUNCE * GRAVITY),
    ],
};

pub(super) static STIFFNESS: Units = Units {
    si: unit("N/m", &[], 1.0),
    others: &[
        unit("N/mm", &[], 1e3),
        unit("lbf/in", &[], POUND_FORCE / INCH),
        unit("kgf/mm", &[], GRAVITY * 1e3),
    ],
};

pub(super) static DAMPING: Units =
    Units { si: unit("N s/m", &["Ns/m"], 1.0), others: &[unit("lbf s/in", &[], POUND_FORCE / INCH)] };

pub(super) static MOMENT_OF_INERTIA: Units = Units {
    si: unit("kg m²", &[], 1.0),
    others: &[unit("kg cm²", &[], 1e-4), unit("lb in²", &[], POUND * INCH * INCH)],
};

pub(super) static PRESSURE: Units = Units {
    si: unit("Pa", &[], 1.0),
    others: &[
        unit("kPa", &[], 1e3),
        unit("MPa", &["N/mm²"], 1e6),
        unit("GPa", &[], 1e9),
        unit("bar", &[], 1e5),
        unit("psi", &["lbf/in²"], POUND_FORCE / (INCH * INCH)),
        unit("kgf/cm²", &[], GRAVITY * 1e4),
        unit("atm", &[], 101_325.0),
    ],
};

pub(super) static VOLUME: Units = Units {
    si: unit("m³", &[], 1.0),
    others: &[
        unit("cm³", &["cc"], 1e-6),
        unit("mm³", &[], 1e-9),
        unit("ml", &["mL"], 1e-6),
        unit("in³", &[], INCH * INCH * INCH),
    ],
};

pub(super) static VOLUME_FLOW: Units = Units {
    si: unit("m³/s", &[], 1.0),
    others: &[
        unit("l/min", &["L/min", "litre/min", "litres/min"], LITRE / 60.0),
        unit("l/h", &["L/h"], LITRE / 3600.0),
        unit("l/s", &["L/s"], LITRE),
        unit("cm³/s", &["ml/s", "cc/s"], 1e-6),
        unit("in³/s", &[], INCH * INCH * INCH),
        unit(
            "UK gal/min",
            &["imp gal/min", "Imp gal/min", "imperial gal/min", "gal UK/min"],
            UK_GALLON / 60.0,
        ),
        unit("US gal/min", &["gal US/min"], US_GALLON / 60.0),
        unit("UK gal/h", &["imp gal/h", "Imp gal/h", "imperial gal/h", "gal UK/h"], UK_GALLON / 3600.0),
        unit("US gal/h", &["gal US/h"], US_GALLON / 3600.0),
        unit(
            "UK pint/min",
            &["imp pint/min", "Imp pint/min", "imperial pint/min", "UK pints/min"],
            UK_GALLON / 480.0,
        ),
        unit("US pint/min", &["US pints/min"], US_GALLON / 480.0),
    ],
};

pub(super) static AREA: Units = Units {
    si: unit("m²", &[], 1.0),
    others: &[unit("mm²", &[], 1e-6), unit("cm²", &[], 1e-4), unit("in²", &[], INCH * INCH)],
};

pub(super) static DENSITY: Units = Units {
    si: unit("kg/m³", &[], 1.0),
    others: &[unit("g/cm³", &[], 1e3), unit("lb/in³", &[], POUND / (INCH * INCH * INCH))],
};

pub(super) static VISCOSITY: Units = Units {
    si: unit("Pa s", &[], 1.0),
    others: &[
        unit("mPa s", &[], 1e-3),
        unit("cP", &[], 1e-3),
        unit("µreyn", &["ureyn"], 1e-6 * POUND_FORCE / (INCH * INCH)),
    ],
};

pub(super) static TIME: Units = Units {
    si: unit("s", &["second", "seconds"], 1.0),
    others: &[unit("ms", &[], 1e-3), unit("µs", &["us"], 1e-6), unit("min", &["minute", "minutes"], 60.0)],
};

pub(super) static SPEED: Units = Units {
    si: unit("m/s", &[], 1.0),
    others: &[unit("mm/s", &[], 1e-3), unit("in/s", &[], INCH), unit("ft/min", &[], 12.0 * INCH / 60.0)],
};

pub(super) static PACE: Units = Units {
    si: unit("turns/s", &["turn/s", "rev/s"], 1.0),
    others: &[unit("turns/min", &["turn/min", "rev/min", "rpm", "/min", "1/min"], 1.0 / 60.0)],
};

pub(super) static TEMPERATURE: Units = Units {
    si: unit("K", &["kelvin"], 1.0),
    others: &[
        Unit {
            symbol: "°C",
            aliases: &["degC"],
            conversion: Conversion::Scale { factor: 1.0, offset: 273.15 },
        },
        Unit {
            symbol: "°F",
            aliases: &["degF"],
            conversion: Conversion::Scale { factor: 5.0 / 9.0, offset: 273.15 - 32.0 * 5.0 / 9.0 },
        },
    ],
};

pub(super) static HEAT_TRANSFER: Units = Units {
    si: unit("W/m²K", &[], 1.0),
    others: &[
        unit("kW/m²K", &[], 1e3),
        unit("Btu/h ft²°F", &["Btu/h ft2 degF"], BTU_PER_HOUR / (FOOT * FOOT * RANKINE)),
    ],
};

pub(super) static THERMAL_CONDUCTANCE: Units = Units {
    si: unit("W/K", &[], 1.0),
    others: &[unit("kW/K", &[], 1e3), unit("Btu/h°F", &["Btu/h degF"], BTU_PER_HOUR / RANKINE)],
};

pub(super) static CONDUCTIVITY: Units = Units {
    si: unit("W/mK", &["W/m K"], 1.0),
    others: &[unit("Btu/h ft°F", &["Btu/h ft degF"], BTU_PER_HOUR / (FOOT * RANKINE))],
};

pub(super) static SPECIFIC_HEAT: Units = Units {
    si: unit("J/kgK", &["J/kg K"], 1.0),
    others: &[unit("kJ/kgK", &["kJ/kg K"], 1e3), unit("Btu/lb°F", &["Btu/lb degF"], BTU / (POUND * RANKINE))],
};

pub(super) static LATENT_HEAT: Units = Units {
    si: unit("J/kg", &[], 1.0),
    others: &[unit("kJ/kg", &[], 1e3), unit("Btu/lb", &[], BTU / POUND)],
};

pub(super) static ENERGY: Units = Units {
    si: unit("J", &[], 1.0),
    others: &[unit("ft lbf", &[], FOOT * POUND_FORCE), unit("Btu", &[], BTU)],
};

pub(super) static TORQUE: Units = Units {
    si: unit("N m", &[], 1.0),
    others: &[unit("lbf in", &[], INCH * POUND_FORCE), unit("lbf ft", &[], FOOT * POUND_FORCE)],
};

pub(super) static POWER: Units =
    Units { si: unit("W", &[], 1.0), others: &[unit("Btu/h", &[], BTU_PER_HOUR)] };

pub(super) static TURNS: Units = Units { si: unit("turns", &["turn", ""], 1.0), others: &[] };

pub(super) static RATIO: Units = Units { si: unit("", &[], 1.0), others: &[unit("%", &["percent"], 1e-2)] };
