//! Sums over a turn, taken step by step: where the energy went, and how much metal and air moved.

use super::holding::Holding;
use super::leg::{Equations, Look};
use super::peaks::{Greatest, Sample, sample};
use super::step::Step;
use latchstroke_models::energy::{self, Powers};
use latchstroke_models::mode::{MouldMode, WellMode};
use latchstroke_models::ringing::Swing;
use latchstroke_models::state::State;

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

/// A turn's sums and peaks in the making, step by step.
#[derive(Default)]
pub(super) struct Tally {
    pub sums: Sums,
    pub greatest: Greatest,
    pub holding: Holding,
    pub swing: Swing,
    /// What was seen last.
    last: Seen,
    /// What was seen before that, in the middle of the last step, so that a peak between them can be looked up; none as a leg begins.
    before: Option<Sample>,
}

/// What there was to see at an instant, as far as it counts.
#[derive(Clone, Copy, Default)]
struct Seen {
    /// s.
    time: f64,
    /// What each sum grew by, 1/s.
    growth: Sums,
    sample: Sample,
    rod_speed: f64,
    /// With what the damping of the ringing adds: over its time that makes up for the swing it takes out, so that the mean stays.
    cavity_pressure: f64,
}

impl Seen {
    fn of(equations: &Equations<'_>, look: &Look) -> Self {
        Self {
            time: look.time,
            growth: Sums::growth(equations, look),
            sample: sample(equations, look),
            rod_speed: look.state.rod_speed,
            cavity_pressure: look.loads.cavity_pressure,
        }
    }
}

impl Tally {
    /// A leg begins. Its start counts as a neighbour alone: it is the end of the last leg, which has counted.
    pub fn begin(&mut self, equations: &Equations<'_>, look: &Look) {
        self.last = Seen::of(equations, look);
        self.before = None;
    }

    /// Takes in a step, or the beginning of one, with what there is to see in its middle and at its end; `previous` is the step before
    /// it, where the leg has one.
    pub fn add(
        &mut self,
        equations: &Equations<'_>,
        (previous, step): (&Step, &Step),
        middle: &Look,
        end: &Look,
    ) {
        let (start, middle, end) = (self.last, Seen::of(equations, middle), Seen::of(equations, end));
        let length = end.time - start.time;
        // Simpson's rule: of order 4, as the solution itself.
        for (weight, seen) in [(1.0 / 6.0, &start), (4.0 / 6.0, &middle), (1.0 / 6.0, &end)] {
            self.sums.grow(weight * length, &seen.growth);
            if equations.mode.mould == MouldMode::Packed {
                self.swing.see(seen.rod_speed, seen.cavity_pressure);
            }
        }
        if equations.mode.mould == MouldMode::Packed {
            self.holding
                .note((start.time, end.time), [&start, &middle, &end].map(|seen| seen.cavity_pressure));
        }
        let greatest = &mut self.greatest;
        if let Some(early) = &self.before {
            let times = [previous.middle(), start.time, middle.time];
            greatest.look_up(equations, [previous, step], times, [early, &start.sample, &middle.sample]);
        }
        greatest.raise(&middle.sample);
        let times = [start.time, middle.time, end.time];
        greatest.look_up(equations, [step, step], times, [&start.sample, &middle.sample, &end.sample]);
        greatest.raise(&end.sample);
        self.before = Some(middle.sample);
        self.last = end;
    }
}

macro_rules! grow {
    ($own:ident, $by:ident, $dt:ident, $($sum:ident)*) => { $($own.$sum += $dt * $by.$sum;)* };
}

impl Sums {
    /// What each sum grows by at an instant, 1/s; what changes at once, by events or as a leg ends, does not.
    fn growth(equations: &Equations<'_>, look: &Look) -> Self {
        let Look { state, loads, .. } = look;
        let Powers { cam, train, shoulder, friction, leakage, nozzle, cavity, ringing } =
            energy::powers(equations.machine, loads, state, equations.mode);
        let closed = equations.mode.well != WellMode::PortOpen;
        Self {
            cam_work: cam,
            cam_work_driving: cam.max(0.0),
            train,
            shoulder,
            friction,
            leakage,
            nozzle,
            cavity,
            ringing,
            swept: if closed { loads.swept } else { 0.0 },
            leaked: if closed { loads.leak } else { 0.0 },
            wall_heat: loads.wall_heat,
            events: 0.0,
            vented: 0.0,
        }
    }

    fn grow(&mut self, dt: f64, by: &Self) {
        grow!(self, by, dt, cam_work cam_work_driving train shoulder friction leakage nozzle cavity ringing
            swept leaked wall_heat);
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
