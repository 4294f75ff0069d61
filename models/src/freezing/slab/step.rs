//! Stepping a slab through time.

use super::{HeldAgainst, Slab};

/// Diagonal coefficient of both implicit stages, 1 − 1/√2.
const DIAGONAL: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// Weight of the first two stages in the result, √2/4.
const WEIGHT: f64 = 0.5 * std::f64::consts::FRAC_1_SQRT_2;
/// Share of the step at which the first implicit stage stands, 2 − √2.
const STAGE: f64 = 2.0 * DIAGONAL;
/// Newton's corrections stop at this share of the tolerance of a step.
const NEWTON: f64 = 0.05;
/// A stage that has not settled in so many corrections is tried again with a smaller step.
const CORRECTIONS: usize = 12;

/// What else than the heat itself a step changes.
#[derive(Debug, Clone, Copy, Default)]
struct Account {
    time: f64,
    heat_lost: f64,
    resistance: f64,
    flow: f64,
}

/// A slab's heat as it is solved, with room for the arithmetic.
pub(super) struct Work {
    pub time: f64,
    pub heat: Vec<f64>,
    /// 1/h as the step began, m²·K/W.
    pub resistance: f64,
    pub heat_lost: f64,
    step: f64,
    /// Heat there is to lose, J/kg: scale of errors.
    scale: f64,
    /// Cooling rates (J/(kg·s)) at the start of the step and at its two stages.
    rates: [Vec<f64>; 3],
    /// Flow into the wall, W/m².
    flow: f64,
    /// The account as the last step began, when `stage` held the heat and the last rates those at the start.
    before: Account,
    stage: Vec<f64>,
    right: Vec<f64>,
    /// What elimination leaves of each cell: its change of heat, and the share of its inner neighbour's change in that.
    sweep: Vec<(f64, f64)>,
}

impl Work {
    pub fn new(slab: &Slab, heat: Vec<f64>) -> Self {
        let cells = heat.len();
        let coldest = slab.coldest();
        let scale = heat.iter().fold(0.0, |most: f64, e| most.max((e - coldest).abs()));
        let mut work = Self {
            time: 0.0,
            resistance: 0.0,
            heat_lost: 0.0,
            step: 0.0,
            scale,
            rates: [vec![0.0; cells], vec![0.0; cells], vec![0.0; cells]],
            flow: 0.0,
            before: Account::default(),
            stage: heat.clone(),
            right: vec![0.0; cells],
            sweep: vec![(0.0, 0.0); cells],
            heat,
        };
        work.resistance = work.resistance_at(slab, 0.0);
        work.first_rates(slab);
        // A first step in which the outermost cell loses a twentieth of its heat.
        let fastest = work.rates[0].iter().fold(0.0, |most: f64, rate| most.max(rate.abs()));
        work.step = 0.05 * scale / fastest.max(f64::MIN_POSITIVE);
        work
    }

    pub fn middle_heat(&self) -> f64 {
        self.heat.last().copied().unwrap_or(0.0)
    }

    /// Comes nearer, to a thousandth, to the moment at which the middle became solid, when the last step has passed it.
    ///
    /// Until then all the heat the wall takes comes from the last liquid; afterwards from the whole section. A straight line
    /// across a long step would miss that kink.
    pub fn close_in_on_solid(&mut self, slab: &Slab) {
        let mut late = self.time;
        while late - self.before.time > 1e-3 * late {
            let between = 0.5 * (self.before.time + late);
            self.undo();
            if !self.advance(slab, between) {
                return;
            }
            if self.middle_heat() <= 0.0 {
                late = self.time;
            } else if !self.advance(slab, late) || self.middle_heat() > 0.0 {
                return;
            }
        }
    }

    /// Takes the last step back.
    fn undo(&mut self) {
        std::mem::swap(&mut self.heat, &mut self.stage);
        self.rates.swap(0, 2);
        Account {
            time: self.time,
            heat_lost: self.heat_lost,
            resistance: self.resistance,
            flow: self.flow,
        } = self.before;
    }

    /// One accepted step, not beyond `latest`; false when no step could be found.
    pub fn advance(&mut self, slab: &Slab, latest: f64) -> bool {
        for _ in 0..60 {
            let left = latest - self.time;
            let last = self.step >= left;
            let step = if last { left } else { self.step };
            let before = Account {
                time: self.time,
                heat_lost: self.heat_lost,
                resistance: self.resistance,
                flow: self.flow,
            };
            let error = self.attempt(slab, step) / slab.tolerance;
            if error <= 1.0 {
                self.before = before;
                self.time = if last { latest } else { self.time + step };
                std::mem::swap(&mut self.heat, &mut self.stage);
                self.rates.swap(0, 2);
                self.resistance = self.resistance_at(slab, self.time);
                if slab.walls.interface.follows_metal() {
                    self.first_rates(slab);
                }
                let growth = (0.9 * libm::pow(error.max(1e-4), -1.0 / 3.0)).clamp(0.3, 2.5);
                if !last || growth < 1.0 {
                    self.step = step * growth;
                }
                return true;
            }
            let shrink =
                if error.is_finite() { (0.9 * libm::pow(error, -1.0 / 3.0)).clamp(0.2, 0.8) } else { 0.3 };
            self.step = step * shrink;
        }
        false
    }

    /// Tries a step; leaves the new heat in `stage` and hands back the estimated error as a share of the heat there is to
    /// lose, infinite when a stage did not settle. The wall's account is only settled when the step will be accepted.
    fn attempt(&mut self, slab: &Slab, step: f64) -> f64 {
        let begin = self.flow;
        for (right, (heat, rate)) in self.right.iter_mut().zip(self.heat.iter().zip(&self.rates[0])) {
            *right = heat + DIAGONAL * step * rate;
        }
        self.stage.copy_from_slice(&self.heat);
        let Some(middle) = self.settle(slab, step, STAGE, 1) else { return f64::INFINITY };
        for (right, (heat, (first, second))) in
            self.right.iter_mut().zip(self.heat.iter().zip(self.rates[0].iter().zip(&self.rates[1])))
        {
            *right = heat + WEIGHT * step * (first + second);
        }
        let Some(end) = self.settle(slab, step, 1.0, 2) else { return f64::INFINITY };
        // b − b̂ of the embedded third-order formula.
        let [first, second, third] = &self.rates;
        let estimate: f64 = first
            .iter()
            .zip(second.iter().zip(third))
            .zip(&slab.grid.widths)
            .map(|((r0, (r1, r2)), width)| {
                let difference = (WEIGHT - (1.0 - WEIGHT) / 3.0) * r0
                    + (WEIGHT - (3.0 * WEIGHT + 1.0) / 3.0) * r1
                    + (DIAGONAL - DIAGONAL / 3.0) * r2;
                (step * difference).abs() * width
            })
            .sum();
        let error = estimate / self.at_stake(slab);
        if error <= slab.tolerance {
            self.heat_lost += step * (WEIGHT * (begin + middle) + DIAGONAL * end);
            self.flow = end;
        }
        error
    }

    /// What the error of a step is a share of, J·m/kg.
    fn at_stake(&self, slab: &Slab) -> f64 {
        let whole = slab.grid.length() * self.scale;
        match slab.held_against {
            HeldAgainst::Whole => whole,
            HeldAgainst::Lost => {
                let first = slab.grid.widths.first().copied().unwrap_or(0.0);
                (first * self.scale + self.heat_lost / slab.metal.density()).min(whole)
            }
        }
    }

    /// Solves e = right + d·Δt·r(e) for `stage`, at the share `at` of the step; notes the rates r as stage `number` and hands
    /// back the flow into the wall. None when it does not settle.
    fn settle(&mut self, slab: &Slab, step: f64, at: f64, number: usize) -> Option<f64> {
        let tau = DIAGONAL * step;
        let resistance = if slab.walls.interface.follows_metal() {
            self.resistance
        } else {
            slab.walls.interface.resistance(self.time + at * step, 0.0, 0.0)
        };
        let close = NEWTON * slab.tolerance * self.scale;
        for _ in 0..CORRECTIONS {
            let largest = self.correct(slab, tau, resistance);
            if !largest.is_finite() {
                return None;
            }
            if largest <= close {
                let rates = self.rates.get_mut(number)?;
                let mut lost = 0.0;
                for ((rate, (stage, right)), width) in
                    rates.iter_mut().zip(self.stage.iter().zip(&self.right)).zip(&slab.grid.widths)
                {
                    *rate = (stage - right) / tau;
                    lost -= *rate * width;
                }
                return Some(slab.metal.density() * lost);
            }
        }
        None
    }

    /// One correction of Newton's, by elimination from the wall inwards; the largest change of heat.
    fn correct(&mut self, slab: &Slab, tau: f64, resistance: f64) -> f64 {
        let metal = &slab.metal;
        let Some(&outer) = self.stage.first() else { return 0.0 };
        let mut here = metal.local(outer);
        // Flow, and its slopes by the heats on its two sides, through the outer face of the cell in hand.
        let (mut flow, mut slope_in) = slab.wall_flow(outer, resistance);
        let (mut slope_out, mut upper, mut solved) = (0.0, 0.0, 0.0);
        let inner = self.stage.iter().skip(1).chain(self.stage.last());
        let cells = self
            .stage
            .iter()
            .zip(inner)
            .zip(&self.right)
            .zip(slab.grid.inverse_gaps.iter().zip(&slab.inverse_masses));
        for (sweep, (((&heat, &inner), right), (gap, inverse_mass))) in self.sweep.iter_mut().zip(cells) {
            let next = metal.local(inner);
            let share = tau * inverse_mass;
            let inner_flow = gap * (next.potential - here.potential);
            let inner_slope_out = gap * here.potential_slope;
            let inner_slope_in = gap * next.potential_slope;
            let residual = right + share * (inner_flow - flow) - heat;
            let lower = share * slope_out;
            let pivot = 1.0 / (1.0 + share * (inner_slope_out + slope_in) - lower * upper);
            solved = (residual + lower * solved) * pivot;
            upper = share * inner_slope_in * pivot;
            *sweep = (solved, upper);
            (flow, slope_out, slope_in, here) = (inner_flow, inner_slope_out, inner_slope_in, next);
        }
        let mut change = 0.0;
        let mut largest = 0.0_f64;
        for (heat, (solved, upper)) in self.stage.iter_mut().zip(&self.sweep).rev() {
            change = solved + upper * change;
            *heat += change;
            // Not f64::max, which would let a NaN go by.
            largest = if change.abs() <= largest { largest } else { change.abs() };
        }
        largest
    }

    /// The rates at the start of a step.
    fn first_rates(&mut self, slab: &Slab) {
        let (mut flow, _) = slab.wall_flow(self.heat.first().copied().unwrap_or(0.0), self.resistance);
        self.flow = flow;
        let inner = self.heat.iter().skip(1).chain(self.heat.last());
        let cells = self.heat.iter().zip(inner).zip(slab.inverse_masses.iter().zip(&slab.grid.inverse_gaps));
        for (rate, ((&here, &next), (inverse_mass, gap))) in self.rates[0].iter_mut().zip(cells) {
            let inner_flow = gap * (slab.metal.potential(next) - slab.metal.potential(here));
            *rate = (inner_flow - flow) * inverse_mass;
            flow = inner_flow;
        }
    }

    fn resistance_at(&self, slab: &Slab, time: f64) -> f64 {
        let interface = &slab.walls.interface;
        if !interface.follows_metal() {
            return interface.resistance(time, 0.0, 0.0);
        }
        let sum: f64 = self
            .heat
            .iter()
            .zip(&slab.grid.widths)
            .map(|(&e, width)| slab.metal.temperature(e) * width)
            .sum();
        let solidus = slab.metal.temperature(0.0);
        interface.resistance(time, slab.grid.length(), solidus - sum / slab.grid.length())
    }
}
