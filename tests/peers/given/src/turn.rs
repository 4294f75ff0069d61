//! One turn by any solver: legs, events and damping as `sim/core/src/turn.rs` has them, but for the energy sums.

use crate::events::{self, Discrete, EventKind, LatchProgress};
use crate::leg::Equations;
use latchstroke_models::cam::Piece;
use latchstroke_models::machine::{Loads, Machine};
use latchstroke_models::mode::{MouldMode, WellMode};
use latchstroke_models::ringing::{FOLLOWED_PERIODS, Swing};
use latchstroke_models::state::{STATE_SIZE, State};
use std::f64::consts::TAU;

/// The state as the solvers see it: numbers of size one.
pub type Numbers = [f64; STATE_SIZE];
/// What is past zero by no more than this as a leg begins is the noise of locating the last event.
const GUARD_NOISE: f64 = 1e-9;
const SHORTEST_LEG: f64 = 1e-12;
const MOST_EVENTS: usize = 5_000;
/// How many times the tolerance goes as the full mould first rings, for how many periods it does, and once the entry has sealed.
const WHILE_PEAKING: f64 = 0.2;
const PEAKING_PERIODS: f64 = 1.0;
const ONCE_SEALED: f64 = 10.0;
/// All of them.
pub const CLOSENESSES: [f64; 3] = [WHILE_PEAKING, 1.0, ONCE_SEALED];

/// What a solver is given of one leg.
pub struct Leg<'a> {
    pub equations: Equations<'a>,
    discrete: Discrete,
    cam: Piece,
    /// The events that may happen, in tie order.
    pub kinds: Vec<EventKind>,
    pub start: f64,
    pub end: f64,
    /// How many times the tolerance goes.
    pub closeness: f64,
}

impl Leg<'_> {
    fn cam(&self, t: f64) -> latchstroke_models::cam::Motion {
        self.cam.at(self.equations.angle(t))
    }

    fn state(&self, t: f64, y: &Numbers) -> State {
        State::from_scaled(y, self.cam(t).lift, &self.equations.scales)
    }

    /// What there is, the pressures those of the metal: what damping pulls with as it begins is nowhere in the machine.
    fn loads(&self, t: f64, y: &Numbers) -> Loads {
        let (machine, mode, state) = (self.equations.machine, self.equations.mode, self.state(t, y));
        let loads = machine.loads_on(self.cam(t), &state, mode);
        let [well_pressure, cavity_pressure] = machine.metal_pressures(&loads, &state, mode);
        Loads { well_pressure, cavity_pressure, ..loads }
    }

    /// The rates.
    pub fn rates(&self, t: f64, y: &Numbers) -> Numbers {
        let Equations { machine, mode, scales } = &self.equations;
        let cam = self.cam(t);
        let state = State::from_scaled(y, cam.lift, scales);
        machine.rates_on(cam, &state, *mode).scaled(cam.slope * machine.shaft_speed, scales)
    }

    /// Their slopes, row by row.
    pub fn slopes(&self, t: f64, y: &Numbers) -> [Numbers; STATE_SIZE] {
        let Equations { machine, mode, scales } = &self.equations;
        machine.tangent(self.cam(t), &self.state(t, y), *mode, scales).slopes.rows()
    }

    /// The guards of the events that may happen.
    pub fn guards(&self, t: f64, y: &Numbers, out: &mut [f64]) {
        let state = self.state(t, y);
        for (kind, out) in self.kinds.iter().zip(out) {
            *out = events::guard(*kind, &self.equations, &self.discrete, t, &state).unwrap_or(-1.0);
        }
    }
}

/// One step that a solver has made.
pub struct Step<'a> {
    pub start: f64,
    pub end: f64,
    pub y: &'a Numbers,
    /// The solution within it.
    pub at: &'a dyn Fn(f64) -> Numbers,
}

/// A solver that goes along a leg.
pub trait Solver {
    /// From `y` at the leg's start until an event happens or its end; shows each step to `see`. Answers when it stopped, and the place
    /// of the event among the leg's kinds.
    fn follow(
        &mut self,
        leg: &Leg<'_>,
        y: &mut Numbers,
        see: &mut dyn FnMut(&Step<'_>),
    ) -> Result<(f64, Option<usize>), String>;
}

/// What is told of a turn.
#[derive(Debug, Clone, Copy)]
pub struct Told {
    /// s; not a number for a short cast.
    pub fill: f64,
    /// Greatest pressure of well and mould, Pa.
    pub well: f64,
    pub mould: f64,
}

/// Solves one turn; a function of its own, so that what it takes can be counted.
#[inline(never)]
pub fn turn(machine: &Machine, solver: &mut dyn Solver) -> Result<Told, String> {
    let mut run = Run {
        machine,
        time: 0.0,
        discrete: Discrete::at_rest(machine),
        state: machine.rest_state(),
        swing: Swing::default(),
        events: Vec::new(),
        told: Told { fill: f64::NAN, well: 0.0, mould: 0.0 },
    };
    let speed = machine.shaft_speed;
    let mut ends: Vec<f64> = machine.cam.breaks().iter().map(|angle| angle / speed).collect();
    ends.push(TAU / speed);
    for end in ends {
        while end - run.time > SHORTEST_LEG {
            run.leg(end, solver)?;
        }
        run.time = end;
    }
    let first = |kind| run.events.iter().find(|(was, _)| *was == kind).map(|(_, time)| *time);
    if let (Some(entry), Some(full)) = (first(EventKind::EntryReached), first(EventKind::Full)) {
        run.told.fill = full - entry;
    }
    Ok(run.told)
}

struct Run<'a> {
    machine: &'a Machine,
    time: f64,
    discrete: Discrete,
    state: State,
    swing: Swing,
    events: Vec<(EventKind, f64)>,
    told: Told,
}

impl<'a> Run<'a> {
    fn equations(&self) -> Equations<'a> {
        Equations { machine: self.machine, mode: self.discrete.mode, scales: self.machine.scales() }
    }

    fn leg(&mut self, end: f64, solver: &mut dyn Solver) -> Result<(), String> {
        self.settle()?;
        let equations = self.equations();
        let machine = self.machine;
        let cam = machine.cam.piece(equations.angle(0.5 * (self.time + end)));
        let guard = |kind| events::guard(kind, &equations, &self.discrete, self.time, &self.state);
        // A time that is known beforehand ends the leg; it need not be sought.
        let timed = [
            match self.discrete.latch {
                LatchProgress::Releasing(when) => Some((EventKind::LatchLetsGo, when)),
                _ => None,
            },
            guard(EventKind::RungOut).and(self.discrete.rings_until).map(|when| (EventKind::RungOut, when)),
        ];
        let timed =
            timed.into_iter().flatten().filter(|(_, when)| *when < end).min_by(|a, b| a.1.total_cmp(&b.1));
        let sought = |kind: &&EventKind| {
            !matches!(kind, EventKind::LatchLetsGo | EventKind::RungOut | EventKind::CoilsTouch)
        };
        let kinds =
            EventKind::ALL.iter().filter(sought).copied().filter(|kind| guard(*kind).is_some()).collect();
        let leg = Leg {
            discrete: self.discrete,
            cam,
            kinds,
            start: self.time,
            end: timed.map_or(end, |(_, when)| when),
            closeness: self.closeness(),
            equations,
        };
        let mut y = self.state.scaled(leg.cam(self.time).lift, &leg.equations.scales);
        let (swing, told) = (&mut self.swing, &mut self.told);
        let mut before = leg.loads(self.time, &y);
        let mut see = |step: &Step<'_>| {
            let now = leg.loads(step.end, step.y);
            look(&leg, step, (&before, &now), told);
            if leg.equations.mode.mould == MouldMode::Packed {
                swing.see(leg.state(step.end, step.y).rod_speed, now.cavity_pressure);
            }
            before = now;
        };
        let (time, found) = solver.follow(&leg, &mut y, &mut see)?;
        self.state = leg.state(time, &y);
        self.time = time;
        if self.state.broken_part().is_some() {
            return Err("not finite".into());
        }
        match (found, timed) {
            (Some(place), _) => self.happen(leg.kinds[place]),
            (None, Some((kind, _))) => self.happen(kind),
            (None, None) => Ok(()),
        }
    }

    fn closeness(&self) -> f64 {
        let full = self.events.iter().find(|(kind, _)| *kind == EventKind::Full);
        let peaks =
            full.is_some_and(|(_, time)| self.time - time < PEAKING_PERIODS * self.machine.ringing_period());
        match self.discrete.mode.mould {
            MouldMode::Sealed => ONCE_SEALED,
            MouldMode::Packed if peaks => WHILE_PEAKING,
            _ => 1.0,
        }
    }

    fn settle(&mut self) -> Result<(), String> {
        loop {
            let equations = self.equations();
            let past = |kind: EventKind| {
                let guard = events::guard(kind, &equations, &self.discrete, self.time, &self.state);
                match kind {
                    EventKind::CoilsTouch => false,
                    EventKind::LatchLetsGo | EventKind::RungOut => guard.is_some_and(|g| g >= 0.0),
                    _ => guard.is_some_and(|g| g > GUARD_NOISE),
                }
            };
            match EventKind::ALL.iter().copied().find(|kind| past(*kind)) {
                Some(kind) => self.happen(kind)?,
                None => return Ok(()),
            }
        }
    }

    fn happen(&mut self, kind: EventKind) -> Result<(), String> {
        if self.events.len() > MOST_EVENTS {
            return Err("too many events".into());
        }
        let machine = self.machine;
        if kind == EventKind::RungOut && self.discrete.mode.mould == MouldMode::Packed {
            let swing = std::mem::take(&mut self.swing);
            if swing.goes_on(machine, self.time * machine.shaft_speed, &self.state, self.told.mould) {
                self.discrete.rings_until = Some(self.time + machine.ringing_period());
                return Ok(());
            }
        }
        let until = self.discrete.rings_until;
        let followed = FOLLOWED_PERIODS * machine.ringing_period();
        events::happen(kind, machine, self.time, followed, &mut self.discrete, &mut self.state);
        if self.discrete.rings_until != until {
            self.swing = Swing::default();
        }
        self.events.push((kind, self.time));
        Ok(())
    }
}

/// The greatest pressures of a step. Where the pressure's slope changes its sign within it, the top is where the cubic through both ends
/// has it, and its height the interpolant's.
fn look(leg: &Leg<'_>, step: &Step<'_>, (before, now): (&Loads, &Loads), told: &mut Told) {
    let mode = leg.equations.mode;
    let well = |loads: &Loads| {
        let pressed = if mode.well == WellMode::Closed { loads.swept - loads.flow - loads.leak } else { 0.0 };
        (loads.well_pressure, leg.equations.machine.well.stiffness() * pressed)
    };
    let mould = |loads: &Loads| match mode.mould {
        MouldMode::Packed => {
            (loads.cavity_pressure, leg.equations.machine.mould.packing_stiffness() * loads.flow)
        }
        MouldMode::Filling => (loads.cavity_pressure, 0.0),
        _ => (0.0, 0.0),
    };
    let top = |of: &dyn Fn(&Loads) -> (f64, f64), so_far: f64| {
        let ((p0, s0), (p1, s1)) = (of(before), of(now));
        if s0 > 0.0 && s1 < 0.0 && p0.max(p1) > 0.95 * so_far {
            let time =
                step.start + (step.end - step.start) * cubic_top((p0, s0), (p1, s1), step.end - step.start);
            return so_far.max(p1).max(of(&leg.loads(time, &(step.at)(time))).0);
        }
        so_far.max(p1)
    };
    told.well = top(&well, told.well);
    told.mould = top(&mould, told.mould);
}

/// At which share of the way the cubic of these values and slopes is highest: where its slope, which falls from above zero to below, is
/// nought.
fn cubic_top((p0, s0): (f64, f64), (p1, s1): (f64, f64), length: f64) -> f64 {
    let (a, b, rise) = (s0 * length, s1 * length, p1 - p0);
    // Slope: a + 2u·(3·rise − 2a − b) + 3u²·(a + b − 2·rise).
    let slope = |u: f64| a + 2.0 * u * (3.0 * rise - 2.0 * a - b) + 3.0 * u * u * (a + b - 2.0 * rise);
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if slope(middle) > 0.0 { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}
