//! Temperature and solid share against heat content.
//!
//! Heat e is counted for each kilogram from solid at the solidus, as in [`crate::metal`]. Between listed points both the
//! temperature T(e) and the solid share f(e) are straight lines; below the first point the metal is solid with specific heat
//! c_s, above the last it is liquid with c_l. A level piece (two points at one temperature) is an arrest: the metal freezes
//! there without getting colder, as a eutectic does.

use crate::fault::{Fault, Faults};
use crate::field;

/// One listed point of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// e, J/kg.
    pub heat: f64,
    /// T, K.
    pub temperature: f64,
    /// f, share of solid, 0 to 1.
    pub solid: f64,
}

/// A checked curve.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatCurve {
    points: Vec<CurvePoint>,
    specific_heat_solid: f64,
    specific_heat_liquid: f64,
}

impl HeatCurve {
    /// The curve through `points`, from solid to liquid, with specific heats c_s and c_l (J/(kg·K)) beyond its ends.
    ///
    /// # Errors
    /// When there are fewer than two points; when the first is not solid (f = 1) at no heat or the last not liquid (f = 0);
    /// when heat does not rise, temperature falls or the solid share rises from one point to the next; when a specific heat or
    /// a temperature is not above zero, or a solid share not between 0 and 1.
    pub fn new(
        points: Vec<CurvePoint>,
        specific_heat_solid: f64,
        specific_heat_liquid: f64,
    ) -> Result<Self, Vec<Fault>> {
        let mut faults = Faults::default();
        faults.positive(field!(HeatCurve, specific_heat_solid), specific_heat_solid);
        faults.positive(field!(HeatCurve, specific_heat_liquid), specific_heat_liquid);
        for point in &points {
            faults.positive(field!(CurvePoint, temperature), point.temperature);
            if !(0.0..=1.0).contains(&point.solid) {
                faults.add(
                    field!(CurvePoint, solid),
                    format!("{} is not a share", point.solid),
                    "give a share from 0 to 1",
                );
            }
        }
        if !points.first().is_some_and(|first| first.heat == 0.0 && first.solid >= 1.0) {
            faults.add(
                field!(HeatCurve, points),
                "the curve does not begin with solid metal at no heat",
                "start at heat 0, share 1",
            );
        }
        if !(points.len() > 1 && points.last().is_some_and(|last| last.solid <= 0.0)) {
            faults.add(
                field!(HeatCurve, points),
                "the curve does not end with liquid metal",
                "end at a solid share of 0",
            );
        }
        let in_order = |pair: &[CurvePoint]| match pair {
            [low, high] => {
                high.heat > low.heat && high.temperature >= low.temperature && high.solid <= low.solid
            }
            _ => true,
        };
        if !points.windows(2).all(in_order) {
            faults.add(
                field!(HeatCurve, points),
                "the points are out of order",
                "heat must rise, temperature must not fall and the solid share must not rise from point to point",
            );
        }
        faults.settle(Self { points, specific_heat_solid, specific_heat_liquid })
    }

    /// A straight freezing range: all of L and the sensible heat c_l·(T_liq − T_sol) given up evenly from `liquidus` to
    /// `solidus` (K); equal temperatures give an arrest.
    ///
    /// # Errors
    /// When the solidus is above the liquidus or a value is not above zero.
    pub fn straight(
        solidus: f64,
        liquidus: f64,
        latent_heat: f64,
        specific_heat_solid: f64,
        specific_heat_liquid: f64,
    ) -> Result<Self, Vec<Fault>> {
        let melt_heat = latent_heat + specific_heat_liquid * (liquidus - solidus);
        let points = vec![
            CurvePoint { heat: 0.0, temperature: solidus, solid: 1.0 },
            CurvePoint { heat: melt_heat, temperature: liquidus, solid: 0.0 },
        ];
        Self::new(points, specific_heat_solid, specific_heat_liquid)
    }

    /// A curve through points already known to be in order.
    pub(crate) fn known(
        points: Vec<CurvePoint>,
        specific_heat_solid: f64,
        specific_heat_liquid: f64,
    ) -> Self {
        Self { points, specific_heat_solid, specific_heat_liquid }
    }

    /// The listed points, from solid to liquid.
    pub fn points(&self) -> &[CurvePoint] {
        &self.points
    }

    /// c_s, J/(kg·K).
    pub fn specific_heat_solid(&self) -> f64 {
        self.specific_heat_solid
    }

    /// c_l, J/(kg·K).
    pub fn specific_heat_liquid(&self) -> f64 {
        self.specific_heat_liquid
    }

    /// The most heat, J/kg, that metal can hold at `temperature` (K): at an arrest, that of the most liquid state.
    pub fn greatest_heat(&self, temperature: f64) -> f64 {
        let mut heat = f64::NAN;
        let mut low: Option<&CurvePoint> = None;
        for high in &self.points {
            if temperature < high.temperature {
                return match low {
                    None => high.heat + self.specific_heat_solid * (temperature - high.temperature),
                    Some(low) => {
                        let share = (temperature - low.temperature) / (high.temperature - low.temperature);
                        low.heat + share * (high.heat - low.heat)
                    }
                };
            }
            heat = high.heat + self.specific_heat_liquid * (temperature - high.temperature);
            low = Some(high);
        }
        heat
    }

    /// The temperature, K, at which the share `share` is solid; the greatest at which it is, where the metal cools with no more
    /// of it freezing.
    pub fn temperature_at_solid(&self, share: f64) -> f64 {
        let mut temperature = f64::NAN;
        let mut high: Option<&CurvePoint> = None;
        for low in self.points.iter().rev() {
            if share <= low.solid {
                return high.map_or(low.temperature, |high| {
                    let up = (low.solid - share) / (low.solid - high.solid);
                    low.temperature + up * (high.temperature - low.temperature)
                });
            }
            temperature = low.temperature;
            high = Some(low);
        }
        temperature
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_runs_from_all_solid_to_all_liquid() {
        let point = |heat: f64, temperature: f64, solid: f64| CurvePoint { heat, temperature, solid };
        let (cold, half, hot) = (point(0.0, 500.0, 1.0), point(2e4, 510.0, 0.5), point(5e4, 530.0, 0.0));
        assert!(HeatCurve::new(vec![cold, half, hot], 150.0, 160.0).is_ok());
        for (points, said) in [
            (vec![cold, half], "does not end with liquid metal"),
            (vec![cold], "does not end with liquid metal"),
            (vec![half, hot], "does not begin with solid metal"),
            (vec![cold, hot, half], "out of order"),
        ] {
            let faults = HeatCurve::new(points, 150.0, 160.0).expect_err("not a curve");
            assert!(faults.iter().any(|fault| fault.to_string().contains(said)), "{said}: {faults:?}");
        }
    }
}
