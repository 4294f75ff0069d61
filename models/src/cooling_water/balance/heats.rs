//! The heat of a cast against the mould's temperature, tabulated.
//!
//! Solving the type's cooling for every cast of a warm-up, and for every step toward where the mould settles, would take
//! seconds. At one pace the heat Q(T_m) is a smooth curve, nearly straight while the type comes out solid, with bends where the
//! wall is at the metal's solidus or liquidus. So it is solved at the Chebyshev points of each stretch between those, from the idle
//! mould's temperature T_0 up to one past which no mould can settle, and read on the polynomial through them.

use super::super::CoolingWater;
use crate::freezing::casting::Casting;
use std::f64::consts::PI;

/// The most points of a stretch, both ends among them.
const MOST: usize = 10;
/// Points of a stretch shorter than this, K.
const FEW: (f64, usize) = (50.0, 5);

/// Up to three stretches, cold ones first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Heats([Option<Stretch>; 3]);

/// Q at the Chebyshev points of a range of temperatures.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stretch {
    from: f64,
    to: f64,
    heats: [f64; MOST],
    points: usize,
}

impl Heats {
    pub fn tabulate(water: &CoolingWater, casting: &Casting, pace: f64) -> Self {
        let metal = casting.metal();
        let (idle, loss) = (water.idle(), water.loss());
        let heat = |temperature: f64| casting.heat_given(temperature, water.shut_share / pace);
        let settles_above = |temperature: f64, heat: f64| pace * heat > loss * (temperature - idle);
        // Q falls with the temperature, so none settles where even the idle mould's heat would not hold it.
        let bound = idle + pace * heat(idle) / loss;
        let mut from = idle;
        let mut open = true;
        Self([metal.solidus, metal.liquidus, metal.pot_temperature].map(|bend| {
            let to = bound.min(bend);
            if !open || to <= from {
                return None;
            }
            let stretch = Stretch::between(from, to, heat);
            from = to;
            open = settles_above(to, stretch.at(to));
            Some(stretch)
        }))
    }

    /// The hottest temperature tabulated, K; none where casts give the idle mould nothing.
    pub fn hottest(&self) -> Option<f64> {
        self.0.iter().flatten().next_back().map(|stretch| stretch.to)
    }

    /// Q, J, at `temperature` (K), where it is tabulated.
    pub fn at(&self, temperature: f64) -> Option<f64> {
        let holds = |stretch: &&Stretch| (stretch.from..=stretch.to).contains(&temperature);
        self.0.iter().flatten().find(holds).map(|stretch| stretch.at(temperature))
    }
}

impl Stretch {
    fn between(from: f64, to: f64, heat: impl Fn(f64) -> f64) -> Self {
        let points = if to - from < FEW.0 { FEW.1 } else { MOST };
        let mut stretch = Self { from, to, heats: [0.0; MOST], points };
        for (n, value) in stretch.heats.iter_mut().enumerate().take(points) {
            *value = heat(point((from, to), (n, points)));
        }
        stretch
    }

    /// The polynomial through the points, in its barycentric form (J.-P. Berrut and L. N. Trefethen, SIAM Review 46 (2004) 501,
    /// from memory).
    fn at(&self, temperature: f64) -> f64 {
        let (mut above, mut below) = (0.0, 0.0);
        let mut sign = 1.0;
        for (n, heat) in self.heats.iter().enumerate().take(self.points) {
            let off = temperature - point((self.from, self.to), (n, self.points));
            if off == 0.0 {
                return *heat;
            }
            let share = if n == 0 || n + 1 == self.points { 0.5 } else { 1.0 };
            let weight = sign * share / off;
            above += weight * heat;
            below += weight;
            sign = -sign;
        }
        above / below
    }
}

/// The Chebyshev point `n` of `points` of a range.
fn point((from, to): (f64, f64), (n, points): (usize, usize)) -> f64 {
    if n == 0 {
        from
    } else if n + 1 == points {
        to
    } else {
        from + (to - from) * 0.5 * (1.0 - libm::cos(PI * n as f64 / (points - 1) as f64))
    }
}
