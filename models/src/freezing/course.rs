//! What a solved cooling tells: the section's state at each moment, and when things happen.

use super::grid::Grid;
use super::slab::End;
use super::substance::Substance;

/// The section at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time since the start, s.
    pub time: f64,
    /// Skin: depth from the wall to which at least the asked share is solid, m.
    pub skin: f64,
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
            (Some(low), Some(high)) => Some(low.toward(high, (time - low.time) / (high.time - low.time))),
            (only, None) | (None, only) => only.copied(),
        }
    }

    /// When the skin first reached `thickness` (m), s; none when it never did.
    pub fn time_of_skin(&self, thickness: f64) -> Option<f64> {
        self.first_time(|moment| moment.skin - thickness)
    }

    /// When the mean temperature first fell to `temperature` (K), s; none when it never did.
    pub fn time_of_mean_temperature(&self, temperature: f64) -> Option<f64> {
        self.first_time(|moment| temperature - moment.mean_temperature)
    }

    pub(super) fn from_start(start: Moment) -> Self {
        Self {
            middle_solid: (start.middle_heat <= 0.0).then_some(start.time),
            moments: vec![start],
            profile: Vec::new(),
        }
    }

    /// Whether `end` is reached, or the last moment holds no numbers any more.
    pub(super) fn is_over(&self, end: End) -> bool {
        let last_time = self.moments.last().filter(|last| last.heat.is_finite()).map(|last| last.time);
        let stopped = matches!(end, End::MiddleSolid { .. }) && self.middle_solid.is_some();
        stopped || last_time.is_none_or(|time| time >= end.latest())
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
            surface_temperature: mix(self.surface_temperature, next.surface_temperature),
            middle_heat: mix(self.middle_heat, next.middle_heat),
            middle_temperature: mix(self.middle_temperature, next.middle_temperature),
            middle_solid: mix(self.middle_solid, next.middle_solid),
            mean_temperature: mix(self.mean_temperature, next.mean_temperature),
            mean_solid: mix(self.mean_solid, next.mean_solid),
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
    /// Skin, m: depth from the wall to which the solid share is at least `share`.
    ///
    /// Where that share freezes at an arrest there is a sharp front, which stands in the first cell that is not past the
    /// arrest, as far in as the arrest is over there. Elsewhere the share is read on straight lines between the cells'
    /// centres.
    pub fn skin(&self, share: f64) -> f64 {
        if let Some((start, end)) = self.metal.arrest(share) {
            let mut depth = 0.0;
            for (heat, width) in self.heat.iter().zip(&self.grid.widths) {
                let over = ((end - heat) / (end - start)).clamp(0.0, 1.0);
                depth += over * width;
                if over < 1.0 {
                    return depth;
                }
            }
            return depth;
        }
        let mut last = (0.0, self.metal.curve().greatest_solid(self.surface_temperature));
        if last.1 < share {
            return 0.0;
        }
        for (&depth, &heat) in self.grid.centres.iter().zip(self.heat) {
            let solid = self.metal.solid(heat);
            if solid < share {
                return last.0 + (depth - last.0) * (last.1 - share) / (last.1 - solid);
            }
            last = (depth, solid);
        }
        self.grid.length()
    }
}
