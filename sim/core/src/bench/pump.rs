//! The pump measured at the bench: the clearance of a piston that sinks, and what weighed casts hold.

use super::carried::{Known, carried};
use latchstroke_models::mould::Mould;
use latchstroke_models::piston::clearance_of;
use std::f64::consts::PI;

/// The density of type metal that freezes is known no better than this share (half its interval): it lies between that of the liquid and that
/// of the solid. Our judgement, no source.
const DENSITY: f64 = 0.02;
/// The viscosity of metal that nobody measured is known no better than this share (half its interval): published figures of such alloys differ
/// by so much. Our judgement, no source.
pub const VISCOSITY: f64 = 0.2;
/// Types that weigh so many times what full ones would are other types, or counted wrong.
pub const MOST_FULL: f64 = 1.2;

/// A piston that sinks under a load, the nozzle stopped and its inlet port covered. SI throughout.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sinking {
    /// How long it took, s.
    pub time: Known,
    /// How far it sank, m.
    pub sank: Known,
    /// What pressed on it, its weight counted, N.
    pub load: Known,
    /// The rod's dry friction, N.
    pub friction: Known,
    /// How many times as far as the rod the piston goes.
    pub ratio: f64,
    /// The piston's diameter, m.
    pub diameter: Known,
    /// Its length in its fit, m.
    pub length: Known,
    /// Viscosity of the liquid, Pa·s.
    pub viscosity: Known,
}

/// What the error of a clearance comes of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// The time.
    Time,
    /// How far it sank.
    Sank,
    /// The load.
    Load,
    /// The rod's friction.
    Friction,
    /// The piston's diameter.
    Diameter,
    /// Its length.
    Length,
    /// The liquid's viscosity.
    Viscosity,
}

impl Sinking {
    /// The radial clearance, m, and the share that each value has in the square of its error. What the piston sweeps leaks past it:
    /// A·x/t = λ·p with p = (F − F_c/i)/A, so that λ = A²·x/(t·(F − F_c/i)), and the clearance is that which leaks λ
    /// ([`clearance_of`]). None where the load does not surely pass the friction.
    pub fn clearance(&self) -> Option<(Known, Vec<(Source, f64)>)> {
        let values = [
            (Source::Time, self.time),
            (Source::Sank, self.sank),
            (Source::Load, self.load),
            (Source::Friction, self.friction),
            (Source::Diameter, self.diameter),
            (Source::Length, self.length),
            (Source::Viscosity, self.viscosity),
        ];
        let clearance = |v: &[f64]| {
            let [time, sank, load, friction, diameter, length, viscosity] = v else { return f64::NAN };
            let area = PI / 4.0 * diameter * diameter;
            let pressing = load - friction / self.ratio;
            if pressing <= 0.0 {
                return f64::NAN;
            }
            clearance_of(area * area * sank / (time * pressing), *diameter, *length, *viscosity)
        };
        let (found, shares) = carried(&values.map(|value| value.1), clearance)?;
        Some((found, values.iter().map(|value| value.0).zip(shares).collect()))
    }
}

/// The volume of one of `count` casts that weigh so much (kg) together, of metal of a `density` (kg/m³), m³: V = m/(n·ρ). None
/// where that is no number.
pub fn volume(weight: Known, count: f64, density: f64) -> Option<Known> {
    let density = Known { value: density, half: DENSITY * density };
    carried(&[weight, density], |v| v[0] / v[1] / count).map(|(volume, _)| volume)
}

/// The share of a mould that each of `count` types fills that weigh so much (kg) together.
pub fn share_full(weight: Known, count: f64, density: f64, mould: &Mould) -> Option<Known> {
    let part = |volume: Known| Known { value: volume.value / mould.volume, half: volume.half / mould.volume };
    volume(weight, count, density).map(part)
}

#[cfg(test)]
mod tests {
    use super::*;
    use latchstroke_models::piston::leakage;

    fn exact(value: f64) -> Known {
        Known { value, half: 0.0 }
    }

    /// Closed form: under F the piston sinks at λ·p/A; the friction takes F_c/i off the load, and the clearance, as the cube root of what
    /// leaks, is off by a third of the share by which the time is.
    #[test]
    fn closed_form_of_a_sinking_piston() {
        let (diameter, clearance, length, viscosity) = (0.02, 30e-6, 0.05, 2e-3);
        let area = PI / 4.0 * diameter * diameter;
        let (load, friction, ratio, sank) = (120.0, 20.0, 0.5, 4e-3);
        let time = sank * area * area / (leakage(diameter, clearance, length, viscosity) * (load - 40.0));
        let sinking = Sinking {
            time: Known { value: time, half: 0.03 * time },
            sank: exact(sank),
            load: exact(load),
            friction: exact(friction),
            ratio,
            diameter: exact(diameter),
            length: exact(length),
            viscosity: exact(viscosity),
        };
        let (found, shares) = sinking.clearance().expect("a clearance");
        assert!((found.value / clearance - 1.0).abs() < 1e-12, "{found:?}");
        assert!((found.half / clearance - 0.01).abs() < 1e-4, "{found:?}");
        assert_eq!(shares[0], (Source::Time, 1.0));
        assert_eq!(Sinking { load: exact(39.0), ..sinking }.clearance(), None);
    }

    /// Closed form: 20 jets of 10 600 kg/m³ that weigh 0.0424 kg hold 0.2 cm³ each.
    #[test]
    fn closed_form_of_weighed_casts() {
        let volume = volume(Known { value: 0.0424, half: 0.000_424 }, 20.0, 10_600.0).expect("a volume");
        assert!((volume.value - 0.2e-6).abs() < 1e-15);
        assert!((volume.half / volume.value - 0.01_f64.hypot(DENSITY)).abs() < 1e-4, "{volume:?}");
    }
}
