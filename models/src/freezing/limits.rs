//! How long the metal stays fit to fill the mould, in closed form: the lapping limit and the bulk limit of the lump, and the
//! bound of a splashed film.
//!
//! The lump is the full cavity at one temperature, h_eff of filling between it and the walls ([`crate::mould`]); it freezes on
//! the straight line between liquidus and solidus, whatever path the solved cooling follows. Skin on the face is solved
//! ([`super::skin`]); the splashed film is its bound on the side of haste.

use crate::metal::Metal;
use crate::mould::Mould;

/// Lapping limit, s: how long a fill may last for the metal that came in first to hold no more than the share `accepted_solid`
/// of solid as the mould is full, so that its streams still knit.
///
/// At nought it must not be below the liquidus. Die casters of zinc allow 0.05 to 0.2 (common practice, no source). The heat
/// balance is the one behind the die casters' fill-time rule.
pub fn lapping_limit(metal: &Metal, mould: &Mould, accepted_solid: f64) -> f64 {
    time_to_solid_share(metal, mould, accepted_solid)
}

/// Bulk limit, s: time for a full cavity at the pot's temperature to reach f_crit, where it no longer flows.
pub fn bulk_limit(metal: &Metal, mould: &Mould) -> f64 {
    time_to_solid_share(metal, mould, metal.sealing_fraction)
}

/// Time, s, in which the lump cools from the pot's temperature until the share f = `share` of it is solid.
///
/// Two exponential stages with the rate C = h_eff·A_w against the mass M = ρ·V. Superheat:
/// t₁ = M·c_p/C·ln((T_pot − T_w)/(T_liq − T_w)); freezing range: t₂ = M·e_m/(C·ΔT)·ln((T_liq − T_w)/(T_f − T_w)), T_f the
/// temperature at f. A eutectic (ΔT → 0) freezes in t₂ = M·f·L/(C·(T_liq − T_w)).
pub fn time_to_solid_share(metal: &Metal, mould: &Mould, share: f64) -> f64 {
    let mass = metal.density * mould.volume;
    let conductance = mould.effective_heat_transfer * mould.wetted_area;
    let above = |temperature: f64| temperature - mould.wall_temperature;
    let superheat = mass * metal.specific_heat / conductance
        * libm::log(above(metal.pot_temperature) / above(metal.liquidus));
    let stop = metal.temperature_at_fraction(share);
    // ln(1 + x)/x with x = (T_liq − T_f)/(T_f − T_w): the same formula, exact down to a eutectic.
    let x = (metal.liquidus - stop) / above(stop);
    let shape = if x > 1e-12 { libm::log1p(x) / x } else { 1.0 };
    superheat + mass * metal.melt_heat * share / (conductance * above(stop)) * shape
}

/// Heat that a kilogram of a splashed film gives up to hang together, L_eff = f·L + c_p(T_pot − T_f), J/kg, with f the sealing
/// fraction and T_f the temperature at which that share is solid.
pub fn splashed_film_heat(metal: &Metal) -> f64 {
    let freezing = metal.temperature_at_fraction(metal.sealing_fraction);
    metal.sealing_fraction * metal.latent_heat + metal.specific_heat * (metal.pot_temperature - freezing)
}

/// Splashed-film limit, s: time in which a film of `thickness` (m), thrown ahead onto the face with no hot metal behind it,
/// freezes through.
///
/// s²/(2·k_s) + s/h = (T_f − T_w)·t/(ρ·L_eff): quasi-steady conduction through what has frozen, in series with the interface.
/// With 1/h → 0 it is the classical square-root law, with 1/k_s → 0 the linear one. No skin on a filled face is as quick, up to
/// half of the way to the middle, since the metal behind it has to cool too ([`super::skin`]): with type metal it takes three to
/// five times as long.
pub fn splashed_film_limit(metal: &Metal, mould: &Mould, thickness: f64) -> f64 {
    let drive = metal.temperature_at_fraction(metal.sealing_fraction) - mould.wall_temperature;
    let path = thickness * thickness / (2.0 * metal.conductivity_solid) + thickness / mould.heat_transfer;
    path * metal.density * splashed_film_heat(metal) / drive
}

/// Thickness, m, of the splashed film that is frozen through `time` (s) after it met the face: the positive root of the same
/// equation.
pub fn splashed_film_thickness(metal: &Metal, mould: &Mould, time: f64) -> f64 {
    let drive = metal.temperature_at_fraction(metal.sealing_fraction) - mould.wall_temperature;
    let path = drive * time.max(0.0) / (metal.density * splashed_film_heat(metal));
    // s²/(2k) + s/h = path, solved so that no digits cancel for a thin film.
    let inverse = 1.0 / mould.heat_transfer;
    2.0 * path / (inverse + (inverse * inverse + 2.0 * path / metal.conductivity_solid).sqrt())
}
