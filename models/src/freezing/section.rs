//! Cooling of a cross-section, body by set, in two dimensions: for square and narrow sorts, whose sides cool them too.
//!
//! ρ·∂e/∂t = ∂²φ/∂x² + ∂²φ/∂y² over a quarter of the section, with walls at x = 0 (across the body) and y = 0 (across the set)
//! behind one interface, and symmetry at the middles. Finite volumes as in [`super::slab`].
//!
//! In time: the stabilised explicit method RKL2 of Meyer, Balsara and Aslam (J. Comput. Phys. 257 (2014) 594, from memory),
//! of second order: with s stages it may step by Δt ≤ Δt_e·(s² + s − 2)/4. The explicit bound is
//! Δt_e = 2/max_i(Σ_faces G/(w_i·w_j)), for diffusivity no greater than the largest on the heat curve (Gershgorin). No equations
//! need solving, so an arrest makes no difference.

use super::course::{self, Course, Moment, Row};
use super::grid::Grid;
use super::slab::{End, Walls};
use super::substance::Substance;
use crate::fault::{Fault, Faults};
use crate::field;

mod step;

use step::Work;

/// How fine to solve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionResolution {
    /// Cells from wall to middle across the body.
    pub cells_across_body: usize,
    /// Cells from wall to middle across the set.
    pub cells_across_set: usize,
    /// Width of each cell over that of its neighbour toward the wall.
    pub growth: f64,
}

impl Default for SectionResolution {
    /// Time until the middle is solid within 1 % of the limit of fine grids, at some milliseconds a course; see the tests of
    /// the grid's convergence.
    fn default() -> Self {
        Self { cells_across_body: 16, cells_across_set: 16, growth: 1.08 }
    }
}

/// A quarter of a section between its walls.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    metal: Substance,
    walls: Walls,
    across_body: Grid,
    across_set: Grid,
}

impl Section {
    /// The quarter of a section of half body `half_body` and half set `half_set` (m), at the usual resolution.
    ///
    /// # Errors
    /// When a half, the wall's temperature or a number of its interface is out of range.
    pub fn new(metal: Substance, walls: Walls, half_body: f64, half_set: f64) -> Result<Self, Vec<Fault>> {
        Self::with_resolution(metal, walls, half_body, half_set, SectionResolution::default())
    }

    /// The same at a chosen resolution.
    ///
    /// # Errors
    /// As [`Section::new`], and when there are fewer than three cells either way or the growth is not above zero.
    pub fn with_resolution(
        metal: Substance,
        walls: Walls,
        half_body: f64,
        half_set: f64,
        resolution: SectionResolution,
    ) -> Result<Self, Vec<Fault>> {
        let mut faults = Faults::default();
        faults.positive(field!(half_body), half_body);
        faults.positive(field!(half_set), half_set);
        faults.positive(field!(Walls, temperature), walls.temperature);
        faults.positive(field!(SectionResolution, growth), resolution.growth);
        walls.interface.check(&mut faults);
        for (field, cells) in [
            (field!(SectionResolution, cells_across_body), resolution.cells_across_body),
            (field!(SectionResolution, cells_across_set), resolution.cells_across_set),
        ] {
            if cells < 3 {
                faults.add(field, format!("{cells} are too few"), "give at least 3");
            }
        }
        faults.settle(Self::known(metal, walls, half_body, half_set, resolution))
    }

    /// As [`Section::with_resolution`], from values already known to be in range.
    pub(super) fn known(
        metal: Substance,
        walls: Walls,
        half_body: f64,
        half_set: f64,
        resolution: SectionResolution,
    ) -> Self {
        let across_body = Grid::graded(half_body, resolution.cells_across_body, resolution.growth);
        let across_set = Grid::graded(half_set, resolution.cells_across_set, resolution.growth);
        Self { metal, walls, across_body, across_set }
    }

    /// The cooling from `start` until `end`; skin is counted at the solid share `share`, from the wall across the body and
    /// half-way along it.
    ///
    /// `start(s, t)` is the heat (J/kg) at the shares s of the way from the body's wall to the middle and t of the way from the
    /// set's wall.
    pub fn course(&self, start: impl Fn(f64, f64) -> f64, share: f64, end: End) -> Course {
        let (length, breadth) = (self.across_body.length(), self.across_set.length());
        let rows = self.across_set.centres.iter();
        let heat: Vec<f64> = rows
            .flat_map(|y| self.across_body.centres.iter().map(move |x| (x, y)))
            .map(|(x, y)| start(x / length, y / breadth))
            .collect();
        let mut work = Work::new(self, heat);
        let mut course = Course::from_start(
            self.moment(&work, share),
            self.across_body.length(),
            self.metal.curve().greatest_heat(self.walls.temperature),
        );
        while !course.is_over(end) {
            work.advance(self, end.latest());
            course.add(self.moment(&work, share), end);
        }
        let row = work.heat.chunks(self.across_body.len()).next_back().unwrap_or_default();
        course.profile = self.across_body.centres.iter().copied().zip(row.iter().copied()).collect();
        course
    }

    /// Heat flow into a wall, W/m², from a cell holding `heat` whose centre is `depth` (m) from it.
    fn wall_flow(&self, heat: f64, depth: f64, resistance: f64) -> f64 {
        let local = self.metal.local(heat);
        (local.temperature - self.walls.temperature) / (resistance + depth / local.conductivity)
    }

    /// Mean over the section of what `of` makes of each cell's heat.
    fn mean(&self, heat: &[f64], of: impl Fn(f64) -> f64) -> f64 {
        let mut sum = 0.0;
        for (row, height) in heat.chunks(self.across_body.len()).zip(&self.across_set.widths) {
            for (&e, width) in row.iter().zip(&self.across_body.widths) {
                sum += of(e) * width * height;
            }
        }
        sum / (self.across_body.length() * self.across_set.length())
    }

    fn moment(&self, work: &Work, share: f64) -> Moment {
        let metal = &self.metal;
        let row = work.heat.chunks(self.across_body.len()).next_back().unwrap_or_default();
        let outer = row.first().copied().unwrap_or(0.0);
        let middle = row.last().copied().unwrap_or(0.0);
        let depth = self.across_body.centres.first().copied().unwrap_or(0.0);
        let surface =
            self.walls.temperature + self.wall_flow(outer, depth, work.resistance) * work.resistance;
        let row = Row { metal, grid: &self.across_body, heat: row, surface_temperature: surface };
        let mean_heat = self.mean(&work.heat, |e| e);
        let progress = row.progress(share);
        let area = self.across_body.length() * self.across_set.length();
        Moment {
            time: work.time,
            skin: course::depth(progress, self.across_body.length()),
            progress,
            surface_temperature: surface,
            middle_heat: middle,
            middle_temperature: metal.temperature(middle),
            middle_solid: metal.solid(middle),
            mean_temperature: self.mean(&work.heat, |e| metal.temperature(e)),
            mean_solid: self.mean(&work.heat, |e| metal.solid(e)),
            mean_heat,
            heat: metal.density() * area * mean_heat,
            heat_lost: work.heat_lost,
        }
    }
}
