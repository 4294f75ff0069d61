//! Air and the atmosphere: what the mould's air, its vents and the metal's suction are reckoned with.

/// Specific gas constant of air, J/(kg·K). Source: molar mass 28.96546 g/mol.
pub const AIR_GAS_CONSTANT: f64 = 287.05;
/// Ratio of specific heats of air near room temperature.
pub const GAMMA: f64 = 1.4;
/// Standard atmosphere, Pa.
pub const ATMOSPHERE: f64 = 101_325.0;

/// Viscosity of air, Pa·s, at `temperature` (K): Sutherland's law 1.458e-6·T^1.5/(T + 110.4).
///
/// Source: U.S. Standard Atmosphere 1976 (from memory); within 0.5 % of the reference values used in the tests at 300 to 600 K.
pub fn air_viscosity(temperature: f64) -> f64 {
    1.458e-6 * libm::pow(temperature, 1.5) / (temperature + 110.4)
}
