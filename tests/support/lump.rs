//! Heat that a lump of metal at one temperature throughout has left after a time, in closed form.
//!
//! M·de/dt = −C·(T(e) − T_w): T runs exponentially toward T_w in each of three stages (liquid, freezing, solid), and an arrest
//! is left in a straight line of heat over time.

use latchstroke_models::metal::Metal;

/// Heat, J/kg from solid at the solidus, in `mass` M (kg) of metal `time` (s) after it stood in the mould at the pot's
/// temperature, with C = `conductance` (W/K) between it and walls at `wall` T_w (K).
pub fn heat_left(metal: &Metal, mass: f64, conductance: f64, wall: f64, time: f64) -> f64 {
    let sensible = mass * metal.specific_heat / conductance;
    let superheat = stage(sensible, metal.pot_temperature - wall, metal.liquidus - wall);
    if time < superheat {
        let lost = (metal.pot_temperature - wall) * (-time / sensible).exp_m1();
        return metal.pot_heat + metal.specific_heat * lost;
    }
    let time = time - superheat;
    let (range, drive) = (metal.liquidus - metal.solidus, metal.liquidus - wall);
    let freezing_constant = mass * metal.melt_heat / (conductance * range);
    let freezing = if range > 0.0 {
        stage(freezing_constant, drive, metal.solidus - wall)
    } else {
        mass * metal.melt_heat / (conductance * drive)
    };
    if time < freezing {
        let share =
            if range > 0.0 { drive * (-time / freezing_constant).exp_m1() / range } else { -time / freezing };
        return metal.melt_heat * (1.0 + share);
    }
    metal.specific_heat * (metal.solidus - wall) * (-(time - freezing) / sensible).exp_m1()
}

/// Time, s, in which what is `hot` (K above the wall) cools to `cold` (K above it) with the time constant `constant` (s);
/// without end where the wall is as hot.
fn stage(constant: f64, hot: f64, cold: f64) -> f64 {
    if cold > 0.0 { constant * (hot / cold).ln() } else { f64::INFINITY }
}
