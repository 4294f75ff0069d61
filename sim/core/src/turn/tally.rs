//! Sums and peaks over a turn: where the energy went, how much metal and air moved, and the greatest of each load.

use super::leg::{Equations, Leg};
use latchstroke_models::energy::{self, Powers};
use latchstroke_models::machine::Loads;
use latchstroke_models::mode::{MouldMode, WellMode};
use latchstroke_models::mould::lifting_force;
use latchstroke_models::ringing::Swing;
use latchstroke_models::state::State;
use std::f64::consts::TAU;

/// Integrals over a turn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Sums {
    /// The cam's net work, J.
    pub cam_work: f64,
    /// The cam's work while it drives, leaving out what the springs give back, J.
    pub cam_work_driving: f64,
    /// Lost in the lever train, J.
    pub train: f64,
    /// Lost in the shoulder, J.
    pub shoulder: f64,
    /// Lost to friction and drag of rod and piston, J.
    pub friction: f64,
    /// Lost by slip past the piston, J.
    pub leakage: f64,
    /// Lost in the nozzle, J.
    pub nozzle: f64,
    /// Handed to metal and air in the mould, J.
    pub cavity: f64,
    /// Taken out of the ringing of a full or sealed mould, J.
    pub ringing: f64,
    /// Lost at once as faces part, the inlet opens or the entry seals, J.
    pub events: f64,
    /// Swept by the piston on closed metal, m³.
    pub swept: f64,
    /// Slipped past the piston, m³.
    pub leaked: f64,
    /// Air through the vents, kg.
    pub vented: f64,
    /// Heat to the mould's walls by the lump of the filling, J: the solver's own account, held against its state. What a cast
    /// gives the mould is [`crate::studies::cooling::heat_of_cast`].
    #[cfg_attr(feature = "serde", serde(skip))]
    pub wall_heat: f64,
}

/// Greatest values over a turn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Peaks {
    /// Piston speed forwards until the entry seals, m/s.
    pub piston_speed: f64,
    /// Jet speed at the nozzle while the mould fills, m/s.
    pub jet_speed: f64,
    /// Reynolds number in the nozzle while the mould fills.
    pub reynolds: f64,
    /// Well pressure, Pa.
    pub well_pressure: f64,
    /// Cavity pressure, Pa.
    pub cavity_pressure: f64,
    /// Force lifting the matrix, N.
    pub lifting_force: f64,
    /// Cam contact force, N.
    pub cam_force: f64,
    /// Cam torque F_cam·dy_c/dθ, N·m.
    pub cam_torque: f64,
    /// Spring force, N.
    pub spring_force: f64,
    /// Closing of the springs from rest, m.
    pub spring_closing: f64,
    /// Lift of the cross block, m.
    pub block_lift: f64,
}

/// Weights of Simpson's rule for the start, the middle and the end of a step: of order 4, as the solution itself.
const SIMPSON: [f64; 3] = [1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0];

/// A sample beside a peak is not below the peak by more than to this share of it.
const NEARLY: f64 = 0.95;

/// The greatest of each load at one instant, in the order of the fields of [`Peaks`]; those that do not count then stand below
/// everything.
type Sample = [f64; 11];

/// The last instants looked at, so that a peak between them can be found.
struct Rolling {
    last: Option<(usize, f64, Sample)>,
    before: Option<(f64, Sample)>,
}

impl Sums {
    /// Adds a leg up to `end` (s); answers what the mould's pressure was on the way.
    pub(super) fn add_leg(
        &mut self,
        peaks: &mut Peaks,
        (holding, swing): (&mut Holding, &mut Swing),
        equations: &Equations<'_>,
        leg: &Leg,
        end: f64,
    ) {
        let packed = equations.mode.mould == MouldMode::Packed;
        let begun = leg.times[0];
        let mut at_start = equations.look(begun, &leg.at(0, begun));
        // The leg's start counts as a neighbour alone: as damping begins it may stand above all that follows.
        let first = sample(equations, &at_start.1, &at_start.0);
        let mut rolling = Rolling { before: None, last: Some((0, begun, first)) };
        for step in 0..leg.times.len() - 1 {
            let start = leg.times[step];
            let stop = leg.times[step + 1].min(end);
            let length = stop - start;
            if length <= 0.0 {
                break;
            }
            let look = |t: f64| equations.look(t, &leg.at(step, t));
            let middle = start + 0.5 * length;
            let looks = [(start, at_start), (middle, look(middle)), (stop, look(stop))];
            for (weight, (t, (state, loads))) in SIMPSON.into_iter().zip(&looks) {
                self.add(weight * length, equations, loads, state);
                if packed {
                    swing.see(state.rod_speed);
                    holding.note(*t, weight * length, loads.cavity_pressure);
                }
            }
            for (t, (state, loads)) in &looks[1..] {
                peaks.look(&mut rolling, equations, leg, (step, *t), sample(equations, loads, state));
            }
            at_start = looks[2].1;
        }
    }

    fn add(&mut self, dt: f64, equations: &Equations<'_>, loads: &Loads, state: &State) {
        let machine = equations.machine;
        let Powers { cam, train, shoulder, friction, leakage, nozzle, cavity, ringing } =
            energy::powers(machine, loads, state, equations.mode);
        self.cam_work += dt * cam;
        self.cam_work_driving += dt * cam.max(0.0);
        self.train += dt * train;
        self.shoulder += dt * shoulder;
        self.friction += dt * friction;
        self.leakage += dt * leakage;
        self.nozzle += dt * nozzle;
        self.cavity += dt * cavity;
        self.ringing += dt * ringing;
        if equations.mode.well != WellMode::PortOpen {
            self.swept += dt * loads.swept;
            self.leaked += dt * loads.leak;
        }
        self.wall_heat += dt * loads.wall_heat;
    }

    /// Books the air of a leg that led from one state to another. The vents all but close within one step as the mould becomes
    /// full, which a sum over points of the step would miss.
    pub(super) fn add_air(&mut self, before: &State, after: &State) {
        self.vented += before.air_mass - after.air_mass;
    }

    /// Everything lost or handed on, J.
    pub fn spent(&self) -> f64 {
        self.train
            + self.shoulder
            + self.friction
            + self.leakage
            + self.nozzle
            + self.cavity
            + self.ringing
            + self.events
    }
}

impl Peaks {
    /// Takes in the sample at `t` (s) of a step. Where the one before it was greater than both its neighbours in something, and
    /// than nearly all before, the peak itself is looked up: at the top of the parabola through the three.
    fn look(
        &mut self,
        rolling: &mut Rolling,
        equations: &Equations<'_>,
        leg: &Leg,
        (step, t): (usize, f64),
        now: Sample,
    ) {
        if let (Some((first, early)), Some((of, middle, top))) = (rolling.before, rolling.last) {
            let greatest = self.as_sample();
            for i in 0..now.len() {
                if top[i] >= NEARLY * greatest[i]
                    && top[i] > early[i]
                    && top[i] > now[i]
                    && early[i].is_finite()
                {
                    let at = parabola_top((first, early[i]), (middle, top[i]), (t, now[i]));
                    self.raise(&sample_at(equations, leg, if at > middle { step } else { of }, at));
                }
            }
        }
        self.raise(&now);
        rolling.before = rolling.last.map(|(_, t, sample)| (t, sample));
        rolling.last = Some((step, t, now));
    }

    fn fields(&mut self) -> [&mut f64; 11] {
        [
            &mut self.piston_speed,
            &mut self.jet_speed,
            &mut self.reynolds,
            &mut self.well_pressure,
            &mut self.cavity_pressure,
            &mut self.lifting_force,
            &mut self.cam_force,
            &mut self.cam_torque,
            &mut self.spring_force,
            &mut self.spring_closing,
            &mut self.block_lift,
        ]
    }

    fn as_sample(self) -> Sample {
        let mut own = self;
        own.fields().map(|field| *field)
    }

    fn raise(&mut self, sample: &Sample) {
        for (peak, value) in self.fields().into_iter().zip(sample) {
            *peak = peak.max(*value);
        }
    }
}

/// The place of the highest point of the parabola through three points of which the middle one is the highest.
fn parabola_top((a, at_a): (f64, f64), (b, at_b): (f64, f64), (c, at_c): (f64, f64)) -> f64 {
    let (left, right) = ((b - a) * (at_b - at_c), (c - b) * (at_b - at_a));
    let top = b + 0.5 * ((c - b) * right - (b - a) * left) / (left + right);
    if top.is_finite() { top.clamp(a, c) } else { b }
}

fn sample_at(equations: &Equations<'_>, leg: &Leg, step: usize, t: f64) -> Sample {
    let (state, loads) = equations.look(t, &leg.at(step, t));
    sample(equations, &loads, &state)
}

fn sample(equations: &Equations<'_>, loads: &Loads, state: &State) -> Sample {
    let machine = equations.machine;
    let mould = equations.mode.mould;
    let counts = |so: bool, value: f64| if so { value } else { f64::NEG_INFINITY };
    let fills = mould == MouldMode::Filling;
    let filled = matches!(mould, MouldMode::Filling | MouldMode::Packed);
    [
        counts(mould != MouldMode::Sealed, machine.rod.ratio * state.rod_speed),
        counts(fills, state.flow / machine.nozzle.area),
        counts(fills, machine.nozzle.reynolds(state.flow)),
        loads.well_pressure,
        counts(filled, loads.cavity_pressure),
        counts(filled, lifting_force(&machine.mould, loads.cavity_pressure)),
        loads.cam,
        loads.cam * loads.cam_slope,
        loads.spring,
        state.block_lift - state.rod_lift,
        state.block_lift,
    ]
}

/// What the pressure in the full mould was, moment by moment, to tell the one that lasts from its ringing.
#[derive(Debug, Clone, Default)]
pub(super) struct Holding {
    /// Time (s), how much of it (s), and the pressure then (Pa).
    moments: Vec<(f64, f64, f64)>,
}

impl Holding {
    fn note(&mut self, t: f64, share: f64, pressure: f64) {
        self.moments.push((t, share, pressure));
    }

    /// The pressure that lasts up to `end` (s), Pa: the mean over the last `window` (s), weighted by a raised cosine so that
    /// whatever still rings falls out, at any phase; that of the last moment where the steps are longer than the window, since nothing
    /// rings then. None where the mould was not full within the window.
    pub fn lasting(&self, end: f64, window: f64) -> Option<f64> {
        let start = end - window.min(end - self.moments.first()?.0);
        let &(.., pressure) = self.moments.last().filter(|(last, ..)| *last > start)?;
        let weight = |t: f64| 1.0 - (TAU * (t - start) / (end - start)).cos();
        let late = self.moments.iter().rev().take_while(|(t, ..)| *t > start);
        let (mut sum, mut total) = (0.0, 0.0);
        for (t, share, pressure) in late {
            sum += share * weight(*t) * pressure;
            total += share * weight(*t);
        }
        Some(if total > 0.0 { sum / total } else { pressure })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: a pressure that falls evenly lasts at the middle of the window. With steps longer than the window it is that of the
    /// last moment, and there is none where the mould was full only before it.
    #[test]
    fn what_lasts_is_the_mean_of_the_window() {
        let mut holding = Holding::default();
        (0..=100).for_each(|n| holding.note(0.1 * f64::from(n), 0.1, 10.0 - 0.1 * f64::from(n)));
        let lasting = holding.lasting(10.0, 4.0).expect("full");
        assert!((lasting - 2.0).abs() < 1e-12, "{lasting}");
        let mut holding = Holding::default();
        for (t, pressure) in [(0.0, 9.0), (5.0, 8.0), (10.0, 7.0)] {
            holding.note(t, 5.0, pressure);
        }
        assert_eq!(holding.lasting(10.0, 4.0), Some(7.0));
        assert_eq!(holding.lasting(20.0, 4.0), None);
    }
}
