//! Stepping a section through time.

use super::Section;
use crate::freezing::grid::Grid;

/// Stages of a step, odd as the method asks. More would step further for the same work, but past the moments worth seeing.
const STAGES: u32 = 9;

/// A section's heat as it is solved, row by row from the set's wall, with room for the arithmetic.
pub(super) struct Work {
    pub time: f64,
    pub heat: Vec<f64>,
    /// 1/h of the step in hand, m²·K/W.
    pub resistance: f64,
    pub heat_lost: f64,
    /// Longest stable step, s.
    step: f64,
    potentials: Vec<f64>,
    /// Cooling rates as the step began, and at the stage in hand.
    first_rates: Vec<f64>,
    rates: Vec<f64>,
    /// The two stages before the one in hand.
    last: Vec<f64>,
    before_last: Vec<f64>,
}

impl Work {
    pub fn new(section: &Section, heat: Vec<f64>) -> Self {
        let empty = vec![0.0; heat.len()];
        let mut work = Self {
            time: 0.0,
            resistance: 0.0,
            heat_lost: 0.0,
            step: 0.0,
            potentials: empty.clone(),
            first_rates: empty.clone(),
            rates: empty.clone(),
            last: empty.clone(),
            before_last: empty,
            heat,
        };
        work.resistance = work.resistance_now(section);
        let fastest = fastest(&section.across_body) + fastest(&section.across_set);
        let explicit = 2.0 / (fastest * section.metal.greatest_diffusivity());
        let stages = f64::from(STAGES);
        // A twentieth in hand against rounding and the wall's own slope.
        work.step = 0.95 * explicit * (stages * stages + stages - 2.0) / 4.0;
        work
    }

    /// One step, not beyond `latest`.
    pub fn advance(&mut self, section: &Section, latest: f64) {
        let left = latest - self.time;
        let last_step = self.step >= left;
        let step = if last_step { left } else { self.step };
        self.resistance = self.resistance_now(section);
        let weight = |stage: u32| {
            let j = f64::from(stage);
            if stage < 2 { 1.0 / 3.0 } else { (j * j + j - 2.0) / (2.0 * j * (j + 1.0)) }
        };
        let stages = f64::from(STAGES);
        let unit = 4.0 / (stages * stages + stages - 2.0);
        self.before_last.copy_from_slice(&self.heat);
        let first_lost =
            rates(section, &self.heat, self.resistance, &mut self.potentials, &mut self.first_rates);
        let push = weight(1) * unit * step;
        for (last, (heat, rate)) in self.last.iter_mut().zip(self.heat.iter().zip(&self.first_rates)) {
            *last = heat + push * rate;
        }
        // The wall's account goes through the same stages as the heat, so that the two balance to rounding.
        let (mut lost_before, mut lost) = (0.0, push * first_lost);
        for stage in 2..=STAGES {
            let j = f64::from(stage);
            let mu = (2.0 * j - 1.0) / j * weight(stage) / weight(stage - 1);
            let nu = -(j - 1.0) / j * weight(stage) / weight(stage - 2);
            let push = mu * unit * step;
            let first_push = -(1.0 - weight(stage - 1)) * push;
            let rest = 1.0 - mu - nu;
            let now_lost = rates(section, &self.last, self.resistance, &mut self.potentials, &mut self.rates);
            let known = self.last.iter().zip(&self.heat);
            let pushes = self.rates.iter().zip(&self.first_rates);
            for ((before, (last, heat)), (rate, first)) in self.before_last.iter_mut().zip(known).zip(pushes)
            {
                *before = mu * last + nu * *before + rest * heat + push * rate + first_push * first;
            }
            std::mem::swap(&mut self.last, &mut self.before_last);
            let next = mu * lost + nu * lost_before + push * now_lost + first_push * first_lost;
            (lost_before, lost) = (lost, next);
        }
        std::mem::swap(&mut self.heat, &mut self.last);
        self.heat_lost += lost;
        self.time = if last_step { latest } else { self.time + step };
    }

    fn resistance_now(&self, section: &Section) -> f64 {
        let interface = &section.walls.interface;
        if !interface.follows_metal() {
            return interface.resistance(self.time, 0.0, 0.0);
        }
        let mean = section.mean(&self.heat, |e| section.metal.temperature(e));
        // The gap across the body, the wider of the two.
        let half = section.across_body.length().max(section.across_set.length());
        interface.resistance(self.time, half, section.metal.temperature(0.0) - mean)
    }
}

/// Greatest Σ_faces 1/(gap·width), 1/m², of one direction's cells; the wall's face as if h were infinite.
fn fastest(grid: &Grid) -> f64 {
    let mut outer = grid.centres.first().map_or(0.0, |depth| 1.0 / depth);
    let mut fastest = 0.0_f64;
    for (width, inner) in grid.widths.iter().zip(&grid.inverse_gaps) {
        fastest = fastest.max((outer + inner) / width);
        outer = *inner;
    }
    fastest
}

/// Cooling rate of every cell, J/(kg·s), into `rates`; hands back the heat flow into the walls, W/m.
fn rates(section: &Section, heat: &[f64], resistance: f64, potentials: &mut [f64], rates: &mut [f64]) -> f64 {
    let (body, set) = (&section.across_body, &section.across_set);
    let columns = body.len();
    let density = section.metal.density();
    for (potential, &e) in potentials.iter_mut().zip(heat) {
        *potential = section.metal.potential(e);
    }
    let (body_depth, set_depth) = (body.centres[0], set.centres[0]);
    let mut lost = 0.0;
    for row in 0..set.len() {
        let height = set.widths[row];
        let mut flow = section.wall_flow(heat[row * columns], body_depth, resistance);
        lost += flow * height;
        for column in 0..columns {
            let cell = row * columns + column;
            let inner = if column + 1 < columns {
                body.inverse_gaps[column] * (potentials[cell + 1] - potentials[cell])
            } else {
                0.0
            };
            let outward = if row == 0 {
                let outward = section.wall_flow(heat[cell], set_depth, resistance);
                lost += outward * body.widths[column];
                outward
            } else {
                set.inverse_gaps[row - 1] * (potentials[cell] - potentials[cell - columns])
            };
            let inward = if row + 1 < set.len() {
                set.inverse_gaps[row] * (potentials[cell + columns] - potentials[cell])
            } else {
                0.0
            };
            rates[cell] = ((inner - flow) / body.widths[column] + (inward - outward) / height) / density;
            flow = inner;
        }
    }
    lost
}
