//! Heat curves of an alloy: see [`super::FreezingPath`].

use super::melting::{EUTECTIC, EUTECTIC_TEMPERATURE};
use super::{Alloy, Composition};
use crate::heat_curve::CurvePoint;

/// Straight pieces between the arrest and the liquidus.
const PIECES: u32 = 4;

/// What stays in the liquid while crystals form, as a share of the alloy and of the eutectic: lead, or in alloys richer in
/// lead than the eutectic, the two other metals.
fn staying(composition: Composition) -> (f64, f64) {
    if composition.lead() <= EUTECTIC.lead() {
        (composition.lead(), EUTECTIC.lead())
    } else {
        (100.0 - composition.lead(), 100.0 - EUTECTIC.lead())
    }
}

/// f_p = 1 − w_0/w_E; none for an alloy that the table has liquid right down to the arrest.
pub(super) fn solid_before_arrest(alloy: &Alloy) -> f64 {
    if alloy.liquidus() <= EUTECTIC_TEMPERATURE {
        return 0.0;
    }
    let (own, at_eutectic) = staying(alloy.composition());
    1.0 - own / at_eutectic
}

pub(super) fn straight(alloy: &Alloy) -> Vec<CurvePoint> {
    let range = alloy.liquidus() - alloy.solidus();
    let melt_heat = alloy.latent_heat() + alloy.specific_heat_liquid(alloy.liquidus()) * range;
    vec![
        CurvePoint { heat: 0.0, temperature: alloy.solidus(), solid: 1.0 },
        CurvePoint { heat: melt_heat, temperature: alloy.liquidus(), solid: 0.0 },
    ]
}

pub(super) fn eutectic(alloy: &Alloy) -> Vec<CurvePoint> {
    let (own, at_eutectic) = staying(alloy.composition());
    let before = solid_before_arrest(alloy);
    let latent_heat = alloy.latent_heat();
    if before <= 0.0 {
        // Nothing freezes before the arrest, and what is above it is the liquid's own heat.
        return vec![
            CurvePoint { heat: 0.0, temperature: EUTECTIC_TEMPERATURE, solid: 1.0 },
            CurvePoint { heat: latent_heat, temperature: EUTECTIC_TEMPERATURE, solid: 0.0 },
        ];
    }
    let specific_heat = alloy.specific_heat_liquid(alloy.liquidus());
    let range = alloy.liquidus() - EUTECTIC_TEMPERATURE;
    let arrest = ((1.0 - before) * EUTECTIC.latent_heat()).min(latent_heat);
    let mut points = vec![
        CurvePoint { heat: 0.0, temperature: EUTECTIC_TEMPERATURE, solid: 1.0 },
        CurvePoint { heat: arrest, temperature: EUTECTIC_TEMPERATURE, solid: before },
    ];
    for piece in 1..=PIECES {
        let up = f64::from(piece) / f64::from(PIECES);
        let solid = if piece == PIECES { 0.0 } else { 1.0 - own / (at_eutectic + up * (own - at_eutectic)) };
        let melted = (before - solid) / before;
        points.push(CurvePoint {
            heat: arrest + melted * (latent_heat - arrest) + specific_heat * up * range,
            temperature: EUTECTIC_TEMPERATURE + up * range,
            solid,
        });
    }
    points
}
