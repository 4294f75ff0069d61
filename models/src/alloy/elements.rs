//! Lead, tin and antimony by themselves.
//!
//! Heats: the SGTE unary functions of A. T. Dinsdale, Calphad 15 (1991) 317, coefficients as read in the open database file
//! agbicupbsbsn.TDB. Valid from room temperature to antimony's melting point. They carry the liquid below and the solid above its melting point, as a mixture needs.
//! Densities and lead's transport properties: given at each function.

/// A phase's Gibbs energy a + … + c·T·ln T + d·T² + e·T³ + f/T + g·T⁷ + h·T⁻⁹, J/mol, without the term linear in T, which
/// neither enthalpy nor heat capacity contains.
#[derive(Debug, Clone, Copy)]
struct Gibbs {
    a: f64,
    c: f64,
    d: f64,
    e: f64,
    f: f64,
    g: f64,
    h: f64,
}

impl Gibbs {
    /// H = G − T·dG/dT, J/mol.
    fn enthalpy(&self, t: f64) -> f64 {
        self.a - self.c * t - self.d * t * t - 2.0 * self.e * t.powi(3) + 2.0 * self.f / t
            - 6.0 * self.g * t.powi(7)
            + 10.0 * self.h * t.powi(-9)
    }

    /// C_p = −T·d²G/dT², J/(mol·K).
    fn heat_capacity(&self, t: f64) -> f64 {
        -self.c
            - 2.0 * self.d * t
            - 6.0 * self.e * t * t
            - 2.0 * self.f / (t * t)
            - 42.0 * self.g * t.powi(6)
            - 90.0 * self.h * t.powi(-10)
    }
}

/// One of the three metals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Element {
    /// Pb.
    Lead,
    /// Sn.
    Tin,
    /// Sb.
    Antimony,
}

/// Melting points in the SGTE functions, K, where the functions of solid and liquid change.
const LEAD_CHANGES: f64 = 600.61;
const TIN_CHANGES: f64 = 505.08;

impl Element {
    /// Molar mass, g/mol.
    pub fn molar_mass(self) -> f64 {
        match self {
            Self::Lead => 207.2,
            Self::Tin => 118.710,
            Self::Antimony => 121.760,
        }
    }

    /// Density of the solid at 20 °C, kg/m³ (from memory).
    pub fn density_solid(self) -> f64 {
        match self {
            Self::Lead => 11340.0,
            Self::Tin => 7287.0,
            Self::Antimony => 6697.0,
        }
    }

    /// Density of the liquid, kg/m³, at `temperature` (K), straight lines carried on below the melting point.
    ///
    /// Lead: OECD/NEA lead–bismuth handbook 2015, 11441 − 1.2795·T. Tin: CRC Handbook table of molten metals. Antimony:
    /// Crawley and Kiff, Metall. Trans. 3 (1972) 157, abstract.
    pub fn density_liquid(self, temperature: f64) -> f64 {
        match self {
            Self::Lead => 11441.0 - 1.2795 * temperature,
            Self::Tin => 6979.0 - 0.652 * (temperature - 505.08),
            Self::Antimony => 6902.0 - 0.6486 * (temperature - 273.15),
        }
    }

    /// Specific heat of the solid, J/(kg·K), at `temperature` (K).
    pub fn specific_heat_solid(self, temperature: f64) -> f64 {
        1000.0 * self.solid(temperature).heat_capacity(temperature) / self.molar_mass()
    }

    /// Specific heat of the liquid, J/(kg·K), at `temperature` (K).
    pub fn specific_heat_liquid(self, temperature: f64) -> f64 {
        let sum = self.solid(temperature).heat_capacity(temperature)
            + self.fusion(temperature).heat_capacity(temperature);
        1000.0 * sum / self.molar_mass()
    }

    /// Heat of fusion, J/kg, at `temperature` (K), of the undercooled liquid below the melting point.
    pub fn latent_heat(self, temperature: f64) -> f64 {
        1000.0 * self.fusion(temperature).enthalpy(temperature) / self.molar_mass()
    }

    fn solid(self, temperature: f64) -> Gibbs {
        match self {
            Self::Lead => {
                Gibbs { a: -7650.085, c: -24.5242231, d: -0.00365895, e: -2.4395e-7, f: 0.0, g: 0.0, h: 0.0 }
            }
            Self::Tin if temperature < TIN_CHANGES => {
                Gibbs { a: -5855.135, c: -15.961, d: -0.0188702, e: 3.121167e-6, f: -61960.0, g: 0.0, h: 0.0 }
            }
            Self::Tin => Gibbs {
                a: 2524.724,
                c: -8.2590486,
                d: -0.016814429,
                e: 2.623131e-6,
                f: -1081244.0,
                g: 0.0,
                h: -1.2307e25,
            },
            Self::Antimony => Gibbs {
                a: -9242.858,
                c: -30.5130752,
                d: 0.007748768,
                e: -3.003415e-6,
                f: 100625.0,
                g: 0.0,
                h: 0.0,
            },
        }
    }

    /// The liquid's Gibbs energy less the solid's.
    fn fusion(self, temperature: f64) -> Gibbs {
        let (a, g, h) = match self {
            Self::Lead if temperature >= LEAD_CHANGES => (4853.138, 0.0, -8.054e25),
            Self::Lead => (4672.123, -6.019e-19, 0.0),
            Self::Tin if temperature < TIN_CHANGES => (7103.092, 1.47031e-18, 0.0),
            Self::Tin => (6971.587, 0.0, 1.2307e25),
            Self::Antimony => (19822.329, -1.7485e-20, 0.0),
        };
        Gibbs { a, c: 0.0, d: 0.0, e: 0.0, f: 0.0, g, h }
    }
}

/// Viscosity of liquid lead, Pa·s, at `temperature` (K): 4.55e-4·exp(1069/T), good to 5 %.
///
/// Source: OECD/NEA lead–bismuth handbook 2015.
pub fn lead_viscosity(temperature: f64) -> f64 {
    4.55e-4 * libm::exp(1069.0 / temperature)
}

/// Conductivity of liquid lead, W/(m·K), at `temperature` (K): 9.2 + 0.011·T, good to 15 %.
///
/// Source: OECD/NEA lead–bismuth handbook 2015.
pub fn lead_conductivity(temperature: f64) -> f64 {
    9.2 + 0.011 * temperature
}

/// Viscosity of liquid tin, Pa·s, at `temperature` (K): Andrade's form μ·v^(1/3) = A·exp(C/(v·T)), with A = 2.75e-3 and
/// C = 88.49 for v in cm³/g and μ in poise.
///
/// Source: Thresh and Crawley, Metall. Trans. 1 (1970) 1531, abstract.
pub fn tin_viscosity(temperature: f64) -> f64 {
    let volume = 1000.0 / Element::Tin.density_liquid(temperature);
    0.1 * 2.75e-3 * libm::exp(88.49 / (volume * temperature)) / libm::cbrt(volume)
}
