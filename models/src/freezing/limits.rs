//! How long the metal stays fit to fill the mould: the bulk limit and the skin limit, both in closed form.

use crate::metal::Metal;
use crate::mould::Mould;

/// Bulk limit, s: time for a full cavity at the pot's temperature to reach f_crit.
///
/// Two exponential stages with the rate C = h_eff·A_w against the mass M = ρ·V. Superheat:
/// t₁ = M·c_p/C·ln((T_pot − T_w)/(T_liq − T_w)); freezing range: t₂ = M·e_m/(C·ΔT)·ln((T_liq − T_w)/(T_f − T_w)), T_f the
/// temperature at f_crit. A eutectic (ΔT → 0) freezes in t₂ = M·f·L/(C·(T_liq − T_w)).
pub fn bulk_limit(metal: &Metal, mould: &Mould) -> f64 {
    let mass = metal.density * mould.volume;
    let conductance = mould.effective_heat_transfer * mould.wetted_area;
    let above = |temperature: f64| temperature - mould.wall_temperature;
    let superheat = mass * metal.specific_heat / conductance
        * (above(metal.pot_temperature) / above(metal.liquidus)).ln();
    let stop = metal.temperature_at_fraction(metal.sealing_fraction);
    // ln(1 + x)/x with x = (T_liq − T_f)/(T_f − T_w): the same formula, exact down to a eutectic.
    let x = (metal.liquidus - stop) / above(stop);
    let shape = if x > 1e-12 { x.ln_1p() / x } else { 1.0 };
    let heat = metal.melt_heat * metal.sealing_fraction;
    superheat + mass * heat / (conductance * above(stop)) * shape
}

/// Heat that a kilogram gives up to become skin, L_eff = f·L + c_p(T_pot − T_f), J/kg, with f the sealing fraction and T_f
/// the temperature at which that share is solid.
pub fn skin_heat(metal: &Metal) -> f64 {
    let freezing = metal.temperature_at_fraction(metal.sealing_fraction);
    metal.sealing_fraction * metal.latent_heat + metal.specific_heat * (metal.pot_temperature - freezing)
}

/// Skin limit, s: time from first contact until the skin on the wall is `thickness` (m) thick.
///
/// s²/(2·k_s) + s/h = (T_f − T_w)·t/(ρ·L_eff): quasi-steady conduction through the skin in series with the interface. With
/// 1/h → 0 it is the classical square-root law, with 1/k_s → 0 the linear one.
pub fn skin_limit(metal: &Metal, mould: &Mould, thickness: f64) -> f64 {
    let drive = metal.temperature_at_fraction(metal.sealing_fraction) - mould.wall_temperature;
    let path = thickness * thickness / (2.0 * metal.conductivity_solid) + thickness / mould.heat_transfer;
    path * metal.density * skin_heat(metal) / drive
}

/// Skin thickness, m, at `time` (s) after first contact: the positive root of the same equation.
pub fn skin_thickness(metal: &Metal, mould: &Mould, time: f64) -> f64 {
    let drive = metal.temperature_at_fraction(metal.sealing_fraction) - mould.wall_temperature;
    let path = drive * time.max(0.0) / (metal.density * skin_heat(metal));
    // s²/(2k) + s/h = path, solved so that no digits cancel for a thin skin.
    let inverse = 1.0 / mould.heat_transfer;
    2.0 * path / (inverse + (inverse * inverse + 2.0 * path / metal.conductivity_solid).sqrt())
}
