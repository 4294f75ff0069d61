//! Cooling through half the body, in one dimension.
//!
//! ρ·∂e/∂t = ∂²φ/∂x² from the wall (x = 0) to the middle of the body (x = b), where nothing flows; at the wall
//! q = (T_0 − T_w)/(1/h + δ/k), T_0 and k those of the outermost cell and δ half its width. Finite volumes, finer toward the
//! wall; heat content is the unknown, so that latent heat needs no special treatment and no heat is lost at a front.
//!
//! In time: TR-BDF2, of second order and L-stable, with steps chosen from its embedded third-order estimate (Bank et al. 1985;
//! coefficients as in Hosea and Shampine 1996, from memory). Each stage is solved by Newton's method with a tridiagonal matrix
//! that is never singular, since more heat in a cell never draws more heat into it.
//!
//! Left out: flow of the melt, shrinkage, the ends of the type (face and foot) and, in one dimension, its sides; see
//! [`super::section`] for these last. The wall's temperature is constant.

use super::course::{Course, Moment, Row, depth};
use super::grid::Grid;
use super::interface::Interface;
use super::substance::Substance;
use crate::fault::{Fault, Faults};
use crate::field;

mod step;

use step::Work;

/// The mould's wall.
#[derive(Debug, Clone, PartialEq)]
pub struct Walls {
    /// T_w, K.
    pub temperature: f64,
    /// h.
    pub interface: Interface,
}

/// How fine to solve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resolution {
    /// Cells from the wall to the middle.
    pub cells: usize,
    /// Width of each cell over that of its neighbour toward the wall.
    pub growth: f64,
    /// Error allowed in each step, as a share of the heat there is to lose.
    pub tolerance: f64,
}

impl Default for Resolution {
    /// Time until the middle is solid within 1 % and skin within 2 % of the limit of fine grids, at about a tenth of a
    /// millisecond a course; see the tests of the grid's convergence.
    fn default() -> Self {
        Self { cells: 20, growth: 1.08, tolerance: 2e-3 }
    }
}

/// When to stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum End {
    /// At a time, s; it must be finite.
    Time(f64),
    /// At a time, or as soon as all but a ten-thousandth of the heat there is to lose is lost.
    Spent {
        /// The time, s; it must be finite.
        time: f64,
    },
    /// As soon as the middle is solid, or at the time `give_up` (s).
    MiddleSolid {
        /// The longest time to solve for, s; it must be finite.
        give_up: f64,
    },
    /// As soon as the skin is `depth` (m) deep and `time` (s) has passed, or the skin goes through to the middle, or at the
    /// time `give_up` (s); or once `within` (s) has passed.
    Skin {
        /// Depth from the wall, m.
        depth: f64,
        /// Time to be solved for in any case, s.
        time: f64,
        /// The time, s, after which it no longer matters when the skin becomes so deep; no step is cut short for it.
        within: f64,
        /// The longest time to solve for, s; it must be finite.
        give_up: f64,
    },
}

impl End {
    pub(super) fn latest(self) -> f64 {
        match self {
            Self::Time(time)
            | Self::Spent { time }
            | Self::MiddleSolid { give_up: time }
            | Self::Skin { give_up: time, .. } => time,
        }
    }
}

/// Half a body against a wall.
#[derive(Debug, Clone, PartialEq)]
pub struct Slab {
    metal: Substance,
    walls: Walls,
    grid: Grid,
    /// One over the mass of each cell on a square metre of wall, m²/kg.
    inverse_masses: Vec<f64>,
    tolerance: f64,
    held_against: HeldAgainst,
}

/// What the error of a step is a share of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum HeldAgainst {
    /// The heat that all of the slab has to lose.
    Whole,
    /// The heat it has lost so far, so that what happens close to the wall and early is as good as what happens late.
    Lost,
}

impl Slab {
    /// Half a body of `half` (m), at the usual resolution.
    ///
    /// # Errors
    /// When the half thickness, the wall's temperature or a number of its interface is out of range.
    pub fn new(metal: Substance, walls: Walls, half: f64) -> Result<Self, Vec<Fault>> {
        Self::with_resolution(metal, walls, half, Resolution::default())
    }

    /// The same at a chosen resolution.
    ///
    /// # Errors
    /// As [`Slab::new`], and when there are fewer than three cells, or the growth or the tolerance is not above zero.
    pub fn with_resolution(
        metal: Substance,
        walls: Walls,
        half: f64,
        resolution: Resolution,
    ) -> Result<Self, Vec<Fault>> {
        let mut faults = Faults::default();
        faults.positive(field!(half), half);
        faults.positive(field!(Walls, temperature), walls.temperature);
        faults.positive(field!(Resolution, growth), resolution.growth);
        faults.positive(field!(Resolution, tolerance), resolution.tolerance);
        walls.interface.check(&mut faults);
        if resolution.cells < 3 {
            faults.add(
                field!(Resolution, cells),
                format!("{} are too few", resolution.cells),
                "give at least 3",
            );
        }
        faults.settle(Self::known(metal, walls, half, resolution))
    }

    /// As [`Slab::with_resolution`], from values already known to be in range.
    pub(super) fn known(metal: Substance, walls: Walls, half: f64, resolution: Resolution) -> Self {
        let grid = Grid::graded(half, resolution.cells, resolution.growth);
        Self::over(grid, metal, walls, resolution.tolerance, HeldAgainst::Whole)
    }

    /// A slab on a grid fine at the wall, whose errors are held against the heat lost so far; from values already known to be
    /// in range.
    pub(super) fn early(grid: Grid, metal: Substance, walls: Walls, tolerance: f64) -> Self {
        Self::over(grid, metal, walls, tolerance, HeldAgainst::Lost)
    }

    fn over(grid: Grid, metal: Substance, walls: Walls, tolerance: f64, held_against: HeldAgainst) -> Self {
        let inverse_masses = grid.widths.iter().map(|width| 1.0 / (metal.density() * width)).collect();
        Self { metal, walls, grid, inverse_masses, tolerance, held_against }
    }

    /// The cooling from `start` until `end`; skin is counted at the solid share `share`.
    ///
    /// `start(s)` is the heat (J/kg) at the share s of the way from the wall (0) to the middle (1) as the clock starts: a
    /// constant for a cavity filled at once, or whatever profile the fill has left
    /// ([`between`](super::interface::between) makes one from a table). A start that is not finite leaves only the first moment.
    pub fn course(&self, start: impl Fn(f64) -> f64, share: f64, end: End) -> Course {
        let length = self.grid.length();
        let heat: Vec<f64> = self.grid.centres.iter().map(|x| start(x / length)).collect();
        let mut work = Work::new(self, heat);
        let mut course = Course::from_start(self.moment(&work, share), self.grid.length(), self.coldest());
        while !course.is_over(end) && work.advance(self, end.latest()) {
            if course.middle_solid.is_none() && work.middle_heat() <= 0.0 {
                work.close_in_on_solid(self);
            }
            course.add(self.moment(&work, share), end);
        }
        course.profile = self.grid.centres.iter().copied().zip(work.heat).collect();
        course
    }

    /// Heat, J/kg, of metal as cold as the wall.
    fn coldest(&self) -> f64 {
        self.metal.curve().greatest_heat(self.walls.temperature)
    }

    /// Heat flow into the wall, W/m², from an outermost cell holding `heat` behind the wall's resistance (m²·K/W), and its
    /// slope by that heat.
    fn wall_flow(&self, heat: f64, resistance: f64) -> (f64, f64) {
        let local = self.metal.local(heat);
        let outer = self.grid.centres.first().copied().unwrap_or(0.0);
        let path = resistance + outer / local.conductivity;
        let above = local.temperature - self.walls.temperature;
        let path_slope = -outer * local.conductivity_slope / (local.conductivity * local.conductivity);
        (above / path, (local.temperature_slope - above * path_slope / path) / path)
    }

    fn moment(&self, work: &Work, share: f64) -> Moment {
        let metal = &self.metal;
        let outer = work.heat.first().copied().unwrap_or(0.0);
        let middle = work.middle_heat();
        let surface = self.walls.temperature + self.wall_flow(outer, work.resistance).0 * work.resistance;
        let mean = |of: &dyn Fn(f64) -> f64| {
            let sum: f64 = work.heat.iter().zip(&self.grid.widths).map(|(&e, width)| of(e) * width).sum();
            sum / self.grid.length()
        };
        let row = Row { metal, grid: &self.grid, heat: &work.heat, surface_temperature: surface };
        let mean_heat = mean(&|e| e);
        let progress = row.progress(share);
        Moment {
            time: work.time,
            skin: depth(progress, self.grid.length()),
            progress,
            surface_temperature: surface,
            middle_heat: middle,
            middle_temperature: metal.temperature(middle),
            middle_solid: metal.solid(middle),
            mean_temperature: mean(&|e| metal.temperature(e)),
            mean_solid: mean(&|e| metal.solid(e)),
            mean_heat,
            heat: metal.density() * mean_heat * self.grid.length(),
            heat_lost: work.heat_lost,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heat_curve::HeatCurve;

    /// What flows into the wall bends with the heat of the cell behind it as its slope says, in solid, in freezing and in liquid metal.
    #[test]
    fn closed_form_the_slope_of_the_flow_into_the_wall() {
        let curve = HeatCurve::straight(513.0, 543.0, 45e3, 150.0, 160.0).expect("a curve");
        let metal = Substance::new(9_700.0, &curve, 25.0, 16.0).expect("a metal");
        let walls = Walls { temperature: 350.0, interface: Interface::Constant(5e3) };
        let slab = Slab::new(metal, walls, 2e-3).expect("a slab");
        for heat in [-20e3, -5e3, 10e3, 30e3, 45e3, 60e3] {
            for resistance in [2e-4, 1e-6] {
                let (_, slope) = slab.wall_flow(heat, resistance);
                let flow = |heat: f64| slab.wall_flow(heat, resistance).0;
                let by_difference = flow(heat + 1.0) - flow(heat - 1.0);
                assert!((2.0 * slope / by_difference - 1.0).abs() < 1e-6, "{heat}: {slope} {by_difference}");
            }
        }
    }
}
