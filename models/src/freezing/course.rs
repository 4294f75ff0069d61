//! What a solved cooling tells: the section's state at each moment, and when things happen.

use super::grid::Grid;
use super::slab::End;
use super::substance::Substance;

/// Share of the heat there was to lose that counts as none.
const SPENT: f64 = 1e-4;

/// The section at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time since the start, s.
    pub time: f64,
    /// Skin: depth from the wall to which at least the asked share is solid, m.
    pub skin: f64,
    /// How far it has come toward the middle, which it reaches at 1; see `Row::progress`.
    pub(super) progress: f64,
    /// Temperature of the surface against the wall, K; where there are two walls, of the one across the body.
    pub surface_temperature: f64,
    /// Heat in the middle, J/kg, counted from solid at the solidus.
    pub middle_heat: f64,
    /// Temperature of the middle, K.
    pub middle_temperature: f64,
    /// Share of solid in the middle.
    pub middle_solid: f64,
    /// Mean temperature of the section, K.
    pub mean_temperature: f64,
    /// Share of solid in the whole section.
    pub mean_solid: f64,
    /// Mean heat of the section, J/kg.
    pub mean_heat: f64,
    /// Heat in the section, J/m² of wall for a slab (half the body) and J/m for a quarter section.
    pub heat: f64,
    /// Heat the wall has taken since the start, in the same unit.
    pub heat_lost: f64,
}

/// A solved cooling, from its start.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// The moments solved for, in order of time.
    pub moments: Vec<Moment>,
    /// When the middle reached its solidus, s; none when the course ended before.
    pub middle_solid: Option<f64>,
    /// Heat, J/kg, that the metal has left once it is as cold as the wall.
    coldest: f64,
    /// Depth of the middle from the wall across the body, m.
    pub length: f64,
    /// Depth (m) and heat (J/kg) of each cell on the way from the wall across the body to the middle, after the last step.
    pub profile: Vec<(f64, f64)>,
}

impl Course {
    /// The section at `time` (s), on straight lines between the moments solved for; the first or the last moment beyond them.
    /// None for an empty course.
    pub fn at(&self, time: f64) -> Option<Moment> {
        let after = self.moments.partition_point(|moment| moment.time <= time);
        let high = self.moments.get(after);
        let low = after.checked_sub(1).and_then(|before| self.moments.get(before));
        match (low, high) {
            (Some(low), Some(high)) => {
                let moment = low.toward(high, (time - low.time) / (high.time - low.time));
                Some(Moment { skin: depth(moment.progress, self.length), ..moment })
            }
            (only, None) | (None, only) => only.copied(),
        }
    }

    /// When the skin first reached `thickness` (m), s; none when it never did.
    pub fn time_of_skin(&self, thickness: f64) -> Option<f64> {
        let wanted = progress(thickness, self.length);
        self.first_time(|moment| moment.progress - wanted)
    }

    /// When the mean temperature first fell to `temperature` (K), s; none when it never did.
    pub fn time_of_mean_temperature(&self, temperature: f64) -> Option<f64> {
        self.first_time(|moment| temperature - moment.mean_temperature)
    }

    /// From the first moment, with the middle `length` (m) deep and `coldest` (J/kg) left in the metal in the end.
    pub(super) fn from_start(start: Moment, length: f64, coldest: f64) -> Self {
        Self {
            length,
            coldest,
            middle_solid: (start.middle_heat <= 0.0).then_some(start.time),
            moments: vec![start],
            profile: Vec::new(),
        }
    }

    /// Whether `end` is reached, or the last moment holds no numbers any more.
    pub(super) fn is_over(&self, end: End) -> bool {
        let Some(last) = self.moments.last().filter(|last| last.heat.is_finite()) else { return true };
        let stopped = match end {
            End::Time(_) => false,
            End::Spent { .. } => {
                let first = self.moments.first().map_or(0.0, |first| first.mean_heat);
                last.mean_heat - self.coldest <= SPENT * (first - self.coldest)
            }
            End::MiddleSolid { .. } => self.middle_solid.is_some(),
            End::Skin { depth, time, within, .. } => {
                last.progress >= 1.0 || last.skin >= depth && last.time >= time || last.time >= within
            }
        };
        stopped || last.time >= end.latest()
    }

    /// Notes a moment, and whether the middle is solid at it; where that is the end, the moment at which it became solid takes
    /// the place of the last one.
    pub(super) fn add(&mut self, moment: Moment, end: End) {
        self.moments.push(moment);
        if self.middle_solid.is_none() && moment.middle_heat <= 0.0 {
            self.middle_solid = self.first_time(|moment| -moment.middle_heat);
            if matches!(end, End::MiddleSolid { .. })
                && let Some(solid) = self.middle_solid.and_then(|time| self.at(time))
                && let Some(last) = self.moments.last_mut()
            {
                *last = solid;
            }
        }
    }

    /// The first time at which `measure` is no longer below zero.
    fn first_time(&self, measure: impl Fn(&Moment) -> f64) -> Option<f64> {
        let reached = self.moments.iter().position(|moment| measure(moment) >= 0.0)?;
        let high = self.moments.get(reached)?;
        let Some(low) = reached.checked_sub(1).and_then(|before| self.moments.get(before)) else {
            return Some(high.time);
        };
        let (before, after) = (measure(low), measure(high));
        Some(low.time + (high.time - low.time) * before / (before - after))
    }
}

impl Moment {
    /// The moment the share `s` of the way from this one to `next`.
    fn toward(&self, next: &Self, s: f64) -> Self {
        let mix = |a: f64, b: f64| a + s * (b - a);
        Self {
            time: mix(self.time, next.time),
            skin: mix(self.skin, next.skin),
            progress: mix(self.progress, next.progress),
            surface_temperature: mix(self.surface_temperature, next.surface_temperature),
            middle_heat: mix(self.middle_heat, next.middle_heat),
            middle_temperature: mix(self.middle_temperature, next.middle_temperature),
            middle_solid: mix(self.middle_solid, next.middle_solid),
            mean_temperature: mix(self.mean_temperature, next.mean_temperature),
            mean_solid: mix(self.mean_solid, next.mean_solid),
            mean_heat: mix(self.mean_heat, next.mean_heat),
            heat: mix(self.heat, next.heat),
            heat_lost: mix(self.heat_lost, next.heat_lost),
        }
    }
}

/// A row of cells from the wall to the middle, to read its skin from.
pub(super) struct Row<'a> {
    pub metal: &'a Substance,
    pub grid: &'a Grid,
    /// Heat of each cell, J/kg.
    pub heat: &'a [f64],
    /// Temperature of the surface against the wall, K.
    pub surface_temperature: f64,
}

impl Row<'_> {
    /// How far the skin has come, as p = 1 − (1 − s/b)² with s its depth and b that of the middle; see [`depth`].
    ///
    /// p runs on where s cannot: below 0 by the depth before the wall at which the surface's slope would have the freezing
    /// temperature, above 1 by what the middle is colder than that. So it has no kink in time where skin begins, nor where the
    /// two skins of a body meet, which they do ever faster.
    ///
    /// Where the share freezes at an arrest there is a sharp front, which stands in the first cell that is not past the
    /// arrest, as far in as the arrest is over there. Elsewhere the temperature that goes with the share is sought on straight
    /// lines between the surface and the cells' centres, and about the middle on the parabola through the last two of them.
    pub fn progress(&self, share: f64) -> f64 {
        let arrest = self.metal.arrest(share);
        let freezing = match arrest {
            Some((start, _)) => self.metal.temperature(start),
            None => self.metal.curve().temperature_at_solid(share),
        };
        let length = self.grid.length();
        let of_depth = |depth: f64| progress(depth, length);
        let (first, outer) = match (self.grid.centres.first(), self.heat.first()) {
            (Some(&centre), Some(&heat)) => (centre, self.metal.temperature(heat)),
            _ => return 0.0,
        };
        if self.surface_temperature > freezing {
            let slope = (outer - self.surface_temperature) / first;
            let before = (self.surface_temperature - freezing) / slope.max(f64::MIN_POSITIVE);
            return of_depth(-before.min(length));
        }
        if let Some((start, end)) = arrest {
            return of_depth(self.front(start, end));
        }
        let mut last = (0.0, self.surface_temperature);
        let mut cells = self.grid.centres.iter().zip(self.heat).peekable();
        while let Some((&depth, &heat)) = cells.next() {
            let temperature = self.metal.temperature(heat);
            if cells.peek().is_none() && temperature > last.1 {
                // T = T_m − c·(b − x)² through the last two centres.
                let squares = [(length - last.0).powi(2), (length - depth).powi(2)];
                let bend = (temperature - last.1) / (squares[0] - squares[1]);
                let middle = temperature + bend * squares[1];
                return 1.0 - (middle - freezing) / (bend * length * length);
            }
            if temperature > freezing {
                return of_depth(last.0 + (depth - last.0) * (freezing - last.1) / (temperature - last.1));
            }
            last = (depth, temperature);
        }
        1.0
    }

    /// Depth, m, of the front of metal that freezes at an arrest between the heats `start` (solid side) and `end` (J/kg).
    fn front(&self, start: f64, end: f64) -> f64 {
        let mut depth = 0.0;
        for (heat, width) in self.heat.iter().zip(&self.grid.widths) {
            let over = ((end - heat) / (end - start)).clamp(0.0, 1.0);
            depth += over * width;
            if over < 1.0 {
                break;
            }
        }
        depth
    }
}

/// How far a skin `depth` s (m) deep has come toward a middle `length` b (m) deep: p = 1 − (1 − s/b)².
pub(super) fn progress(depth: f64, length: f64) -> f64 {
    1.0 - (1.0 - depth / length).powi(2)
}

/// Depth s, m, of the skin that has come as far as `progress` p toward a middle `length` b (m) deep: s = b·(1 − √(1 − p)), from
/// 0 to b.
pub(super) fn depth(progress: f64, length: f64) -> f64 {
    length * (1.0 - (1.0 - progress).clamp(0.0, 1.0).sqrt())
}
