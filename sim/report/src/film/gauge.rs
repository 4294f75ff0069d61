//! The scale of the gauge: from nothing to a round figure above the greatest pressure of both turns.

use super::super::owner::{OwnerUnits, significant};
use latchstroke_plots::mechanism::Gauge;
use latchstroke_scenario::quantity::trimmed;

/// Round figures between one and ten.
const ROUND: [f64; 5] = [1.0, 2.0, 4.0, 6.0, 10.0];
/// Parts of the scale that have figures.
const FIGURES: u32 = 2;

/// The full scale, Pa, for a greatest pressure (Pa).
pub(super) fn full_scale(greatest: f64, units: &OwnerUnits) -> f64 {
    let shown = units.pressure.from_si(greatest);
    if !(shown.is_finite() && shown > 0.0) {
        return units.pressure.to_si(1.0);
    }
    let decade = 10.0_f64.powf(shown.log10().floor());
    let round = ROUND.into_iter().find(|round| round * decade >= shown).unwrap_or(10.0);
    units.pressure.to_si(round * decade)
}

/// The gauge with that full scale.
pub(super) fn of(full_scale: f64, units: &OwnerUnits) -> Gauge {
    let figure = |part: u32| {
        let share = f64::from(part) / f64::from(FIGURES);
        (share, trimmed(significant(units.pressure.from_si(share * full_scale), 3)))
    };
    Gauge { figures: (0..=FIGURES).map(figure).collect(), unit: units.pressure.symbol.to_owned() }
}
