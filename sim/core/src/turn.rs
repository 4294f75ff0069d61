//! One full turn of the main shaft, 0 to 360°, solved as a hybrid system.
//!
//! A turn is a chain of legs. Within a leg one set of equations holds ([`latchstroke_models::mode::Mode`]) and an integrator
//! follows them; a leg ends at an event, located to [`EVENT_TIME`] on the integrator's own interpolant, or where the cam's law
//! changes. The event changes mode and state, and the next leg begins with a fresh integrator.
//!
//! The phases an owner knows follow from this: at rest, held (latch holding), thrown (latch let go, shoulder apart), caught up
//! (shoulder struck), filling, packed, sealed, and the return with the latch caught again.

mod dormand;
mod elimination;
mod events;
mod findings;
mod holding;
mod integrator;
mod leg;
mod peaks;
mod report;
mod rosenbrock;
mod step;
pub mod surge;
mod tally;
mod trace;
mod watch;

pub use events::EventKind;
pub use leg::{LegError, Method};
pub use peaks::Peaks;
pub use report::{Event, Fill, Finding, Stop, Throw, Turn};
pub use tally::Sums;
use tally::Tally;
pub use trace::{Instant, add_skin};

use events::Discrete;
use integrator::{Span, integrate};
use latchstroke_models::cam::Piece;
use latchstroke_models::contact::Touch;
use latchstroke_models::energy;
use latchstroke_models::freezing::bulk_limit;
use latchstroke_models::machine::Machine;
use latchstroke_models::mode::MouldMode;
use latchstroke_models::mould::lifting_force;
use latchstroke_models::ringing::{FOLLOWED_PERIODS, Swing};
use latchstroke_models::state::{Scales, State};
use leg::{Equations, Look};
use std::f64::consts::TAU;
use step::Step;
use watch::Watch;

/// How closely the time of an event is located, s.
pub const EVENT_TIME: f64 = 1e-9;
/// The open share of the energy balance above which a turn is not to be trusted.
pub const ENERGY_TOLERANCE: f64 = 1e-3;
/// The greatest step of an integrator while the cam moves, rad of the shaft: over longer ones neither the energy sums nor a
/// pressure that follows the cam hold to half a per cent.
const LONGEST_STEP: f64 = 3.0 * DEGREE;
/// The same as a share of a rise or a fall: over the whole of it a cam that rises would look as one that stands.
const LONGEST_SHARE: f64 = 0.125;
/// The same while the cam dwells.
const LONGEST_STEP_IN_DWELL: f64 = 20.0 * DEGREE;
/// How many times as long it may be once the entry has sealed and the cam goes down: no limit hangs on a pressure then, and where the
/// energy sums cannot bear it the turn is solved again.
const COMING_HOME: f64 = 2.0;
const DEGREE: f64 = std::f64::consts::PI / 180.0;
/// How many times the tolerance goes as the full mould first rings: peak pressures are made of a few swings.
const WHILE_PEAKING: f64 = 0.2;
/// For how many of the machine's own periods after the mould is first full they are made.
const PEAKING_PERIODS: f64 = 1.0;
/// How many times it goes once the entry has sealed: what is told of it then changes slowly.
const ONCE_SEALED: f64 = 10.0;
/// A guard above this has been passed already as a leg begins; below it, it is the noise of locating the last event.
const GUARD_NOISE: f64 = 1e-9;
/// Legs shorter than this many seconds are stepped over.
const SHORTEST_LEG: f64 = 1e-12;
/// How a turn that cannot be trusted is solved again: so many times the tolerance, and by which integrator. Its longest steps are as many
/// times the usual as the fourth root of that, since the energy sums are of order 4 and do not know the tolerance.
const AGAIN: [(f64, Option<Method>); 6] = [
    (1e-1, None),
    (1e-1, Some(Method::Stiff)),
    (1e-2, None),
    (1e-2, Some(Method::Stiff)),
    (1e-3, None),
    (1e-3, Some(Method::Stiff)),
];
/// The rod flies free where the springs press at least so many times as hard as dry friction holds.
const THROWN: f64 = 2.0;
/// Over how many of the machine's own periods before the entry seals the lasting pressure is taken.
const LASTING_PERIODS: f64 = 4.0;
const MOST_EVENTS: usize = 5_000;
/// So many events have room from the start: a turn that bounces no more than most allocates nothing on its way.
const USUAL_EVENTS: usize = 64;

/// A fill this share longer than allowed is late, however the times were rounded.
const ROUNDING: f64 = 1e-9;
/// Below this share of its lift the cam is well on its way down: no train gives by as much as it has fallen.
const LOW: f64 = 0.9;

/// How a turn is to be solved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Relative tolerance of the integrators until the mould is full; its first swings after that are solved five times as closely,
    /// and what is left once the entry has sealed ten times as loosely.
    pub tolerance: f64,
    /// The integrator of every leg; by default each leg takes what suits it.
    pub method: Option<Method>,
    /// For how many of the machine's own periods the ringing of a full or sealed mould is followed before it is damped.
    pub ringing: f64,
}

impl Default for Accuracy {
    /// Fill times to about one part in 10⁵; the tests hold them to 10⁻⁴.
    fn default() -> Self {
        Self { tolerance: 2e-4, method: None, ringing: FOLLOWED_PERIODS }
    }
}

/// What a turn is solved for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Asked {
    /// The whole turn.
    Turn,
    /// The same, every instant written down.
    Trace,
    /// What the limits hang on, as long as the fill takes no longer than `late` (s).
    Limits { late: f64 },
}

/// Solves one turn without writing it down.
pub fn solve(machine: &Machine, accuracy: Accuracy) -> Turn {
    solve_until_closed(machine, accuracy, Asked::Turn)
}

/// Solves one turn and writes down every instant, but for the skin ([`add_skin`]).
pub fn solve_traced(machine: &Machine, accuracy: Accuracy) -> Turn {
    solve_until_closed(machine, accuracy, Asked::Trace)
}

/// Solves one turn for its limits alone ([`crate::limits`]), which are those of [`solve`]: for searches, which look at no more of it.
///
/// Once the entry has sealed, the cam is well on its way down and the cross block bears on the rod's shoulder, the mould is shut
/// off, the springs are as at rest and the block does not come as high again: no limit hangs on the rest, and it is not followed
/// past the next event. What is told of a machine's
/// coming home then cannot be and is not told. A follower that a return spring holds may still leave the cam on its way down, so
/// with one-way closure the turn is followed to its end.
pub fn solve_for_limits(machine: &Machine, accuracy: Accuracy) -> Turn {
    solve_unless_late(machine, accuracy, f64::INFINITY)
}

/// The same, followed no further where the mould is not full within `late` (s): for verdicts that hang on no more of it than that.
pub fn solve_unless_late(machine: &Machine, accuracy: Accuracy, late: f64) -> Turn {
    solve_until_closed(machine, accuracy, Asked::Limits { late })
}

/// A turn that does not come to its end, or whose energy does not close, is solved again by other means ([`AGAIN`]) before it is
/// reported as not to be trusted. Of those that come to their end the one whose energy closes best is kept.
fn solve_until_closed(machine: &Machine, accuracy: Accuracy, asked: Asked) -> Turn {
    let mut best = Run::new(machine, accuracy, 1.0, asked).turn();
    for (closer, method) in AGAIN {
        if best.is_closed() {
            break;
        }
        let again = Accuracy { method: accuracy.method.or(method), ..accuracy };
        let turn = Run::new(machine, again, closer, asked).turn();
        if turn.openness() < best.openness() {
            best = turn;
        }
    }
    best
}

/// A turn in the making.
struct Run<'a> {
    machine: &'a Machine,
    scales: Scales,
    accuracy: Accuracy,
    /// How many times as long as usual steps may be.
    longest: f64,
    asked: Asked,
    time: f64,
    discrete: Discrete,
    state: State,
    events: Vec<Event>,
    tally: Tally,
    trace: Vec<Instant>,
    steps: usize,
    throw: Option<Throw>,
    lasting: Option<f64>,
}

impl<'a> Run<'a> {
    /// A turn at `closer` times the tolerance of an accuracy, its longest steps shorter by the fourth root of that.
    fn new(machine: &'a Machine, accuracy: Accuracy, closer: f64, asked: Asked) -> Self {
        Self {
            machine,
            scales: machine.scales(),
            accuracy: Accuracy { tolerance: closer * accuracy.tolerance, ..accuracy },
            longest: closer.sqrt().sqrt(),
            asked,
            time: 0.0,
            discrete: Discrete::at_rest(machine),
            state: machine.rest_state(),
            events: Vec::with_capacity(USUAL_EVENTS),
            tally: Tally::default(),
            trace: Vec::new(),
            steps: 0,
            throw: None,
            lasting: None,
        }
    }

    fn turn(mut self) -> Turn {
        let held_at_start = energy::held(self.machine, 0.0, &self.state, self.discrete.mode);
        let stop = self.legs();
        let angle = self.time * self.machine.shaft_speed;
        let cam = self.machine.cam.at(angle.min(TAU));
        let held_at_end = energy::held(self.machine, cam.lift, &self.state, self.discrete.mode);
        let open = self.tally.sums.cam_work - self.tally.sums.spent() - (held_at_end - held_at_start);
        let residual = open / self.tally.sums.cam_work_driving.max(f64::MIN_POSITIVE);
        self.report(stop, residual)
    }

    /// Runs leg after leg to the end of the turn.
    fn legs(&mut self) -> Stop {
        let shaft_speed = self.machine.shaft_speed;
        for angle in self.machine.cam.breaks().into_iter().chain([TAU]) {
            let end = angle / shaft_speed;
            while end - self.time > SHORTEST_LEG {
                let late = self.late();
                if self.is_answered() || self.time >= late - SHORTEST_LEG {
                    return Stop::Answered;
                }
                if let Err(stop) = self.leg(end.min(late)) {
                    return stop;
                }
            }
            self.time = end;
        }
        Stop::FullTurn
    }

    /// When a fill that has begun is late, s; without end where it has not begun, is over, or may take any time.
    fn late(&self) -> f64 {
        let Asked::Limits { late } = self.asked else { return f64::INFINITY };
        let first = |kind: EventKind| self.events.iter().find(|e| e.kind == kind);
        match (first(EventKind::EntryReached), first(EventKind::Full)) {
            (Some(entry), None) => entry.time + late * (1.0 + ROUNDING),
            _ => f64::INFINITY,
        }
    }

    /// Whether it is the limits that are asked for, and none hangs on what is still to come.
    fn is_answered(&self) -> bool {
        if !matches!(self.asked, Asked::Limits { .. }) {
            return false;
        }
        let mode = self.discrete.mode;
        let (cam, angle) = (&self.machine.cam, self.time * self.machine.shaft_speed);
        let is_low = angle > cam.fall_start() && cam.at(angle).lift < LOW * cam.lift();
        let two_way = self.machine.cross_block.return_spring.is_none();
        is_low && two_way && mode.mould == MouldMode::Sealed && mode.shoulder == Touch::Closed
    }

    /// Runs one leg towards `end` (s), up to the first event.
    fn leg(&mut self, end: f64) -> Result<(), Stop> {
        self.settle_events()?;
        let equations = self.equations();
        let middle = equations.angle(0.5 * (self.time + end));
        let cam = self.machine.cam.piece(middle);
        let span = Span {
            start: self.time,
            end,
            cam,
            longest: self.longest_step(cam, middle),
            tolerance: self.accuracy.tolerance * self.closeness(),
            method: self.method(),
        };
        let discrete = self.discrete;
        let guard = |kind, t: f64, state: &State| events::guard(kind, &equations, &discrete, t, state);
        let mut watch = Watch::from(self.time, |kind| guard(kind, self.time, &self.state));
        let cam = cam.at(equations.angle(self.time));
        let start = equations.vector(cam, &self.state);
        let begun = equations.look_on(self.time, cam, &start);
        self.tally.begin(&equations, &begun);
        let (mut found, mut is_first) = (None, true);
        let from = self.state;
        let see = |step: &Step, before: &Step, end: &Look| {
            self.steps += 1;
            let mut middle = equations.look_in(step, step.middle());
            let mut rose = |look: &Look| watch.look(look.time, |kind| guard(kind, look.time, &look.state));
            let stops = rose(&middle) || rose(end);
            if stops {
                found = watch.first_event(|t| equations.state_in(step, t), guard);
            }
            let cut = found.map(|(_, time)| {
                middle = equations.look_in(step, 0.5 * (step.start + time));
                equations.look_in(step, time)
            });
            let end = cut.as_ref().unwrap_or(end);
            if self.asked == Asked::Trace {
                trace::write(&mut self.trace, &equations, step, end.time, is_first);
            }
            is_first = false;
            if end.time > step.start {
                self.tally.add(&equations, (before, step), &middle, end);
            }
            (self.time, self.state) = (end.time, end.state);
            stops
        };
        let ended = integrate(&equations, &span, start, see);
        self.tally.sums.add_air(&from, &self.state);
        ended.map_err(Stop::Solver)?;
        if let Some(part) = self.state.broken_part() {
            return Err(Stop::NotFinite(part));
        }
        match found {
            Some((kind, _)) => self.happen(kind),
            None => Ok(()),
        }
    }

    /// The equations that hold now.
    fn equations(&self) -> Equations<'a> {
        Equations { machine: self.machine, mode: self.discrete.mode, scales: self.scales }
    }

    /// Whether the first swings of the full mould are going on.
    fn is_peaking(&self) -> bool {
        let full = self.events.iter().find(|e| e.kind == EventKind::Full);
        full.is_some_and(|full| self.time - full.time < PEAKING_PERIODS * self.machine.ringing_period())
    }

    /// How many times the tolerance a leg is solved to.
    fn closeness(&self) -> f64 {
        match self.discrete.mode.mould {
            MouldMode::Sealed => ONCE_SEALED,
            MouldMode::Packed if self.is_peaking() => WHILE_PEAKING,
            _ => 1.0,
        }
    }

    /// The longest step, s, on a law of the cam about an angle (rad) of the shaft.
    fn longest_step(&self, law: Piece, about: f64) -> f64 {
        let comes_home =
            self.discrete.mode.mould == MouldMode::Sealed && about > self.machine.cam.fall_start();
        let longer = if comes_home { COMING_HOME } else { 1.0 };
        let longest = match law {
            Piece::Still(_) => longer * LONGEST_STEP_IN_DWELL,
            Piece::Law { width, .. } => (longer * LONGEST_STEP).min(LONGEST_SHARE * width),
            Piece::Cubic { .. } => longer * LONGEST_STEP,
        };
        self.longest * longest / self.machine.shaft_speed
    }

    /// Lets every event happen whose guard is already past as a leg begins, in tie order.
    fn settle_events(&mut self) -> Result<(), Stop> {
        loop {
            let equations = self.equations();
            let guard = |kind| events::guard(kind, &equations, &self.discrete, self.time, &self.state);
            match watch::due(guard) {
                Some(kind) => self.happen(kind)?,
                None => return Ok(()),
            }
        }
    }

    /// Lets one event happen now.
    fn happen(&mut self, kind: EventKind) -> Result<(), Stop> {
        let again =
            self.events.iter().rev().take_while(|e| self.time - e.time < EVENT_TIME).any(|e| e.kind == kind);
        if again {
            return Err(Stop::Chatter(kind));
        }
        if self.events.len() >= MOST_EVENTS {
            return Err(Stop::TooManyEvents);
        }
        let machine = self.machine;
        let followed = self.accuracy.ringing * machine.ringing_period();
        let angle = self.time * machine.shaft_speed;
        if kind == EventKind::RungOut && self.discrete.mode.mould == MouldMode::Packed {
            let swing = std::mem::take(&mut self.tally.swing);
            if swing.goes_on(machine, angle, &self.state, self.tally.greatest.peaks().cavity_pressure) {
                self.discrete.rings_until = Some(self.time + machine.ringing_period());
                return Ok(());
            }
        }
        let until = self.discrete.rings_until;
        let before = self.state;
        let cam_lift = machine.cam.at(angle).lift;
        let held = energy::held(machine, cam_lift, &before, self.discrete.mode);
        let loads = machine.loads(angle, &before, self.discrete.mode);
        events::happen(kind, machine, self.time, followed, &mut self.discrete, &mut self.state);
        self.tally.sums.events += held - energy::held(machine, cam_lift, &self.state, self.discrete.mode);
        // What is seen of a swing is what is seen since its time began.
        if self.discrete.rings_until != until {
            self.tally.swing = Swing::default();
        }
        match kind {
            EventKind::LatchLetsGo => {
                self.throw = Some(Throw {
                    time: self.time,
                    latch_load: loads.spring,
                    stored_energy: machine.spring_energy(before.block_lift - before.rod_lift)
                        - machine.spring_energy(0.0),
                    caught_up: None,
                    strike_speed: 0.0,
                    strike_energy: 0.0,
                });
            }
            EventKind::ShoulderStrikes => {
                if let Some(throw) = self.throw.as_mut().filter(|throw| throw.caught_up.is_none()) {
                    let speed = before.rod_speed - before.block_speed;
                    throw.caught_up = Some(self.time);
                    throw.strike_speed = speed;
                    throw.strike_energy = 0.5 * machine.rod.mass * speed * speed;
                }
            }
            EventKind::Sealed => {
                let window = LASTING_PERIODS * machine.ringing_period();
                self.lasting = self.tally.holding.lasting(self.time, window);
            }
            _ => {}
        }
        self.events.push(Event { kind, time: self.time, angle, before, after: self.state });
        Ok(())
    }

    /// The integrator that suits the coming leg. A rod that dry friction all but holds creeps as a stiff system does.
    fn method(&self) -> Method {
        let closing = self.state.block_lift - self.state.rod_lift;
        let thrown = self.machine.spring_force(closing) > THROWN * self.machine.rod.friction;
        let flies = self.discrete.flies() && thrown;
        self.accuracy.method.unwrap_or(if flies { Method::Explicit } else { Method::Stiff })
    }

    fn report(self, stop: Stop, energy_residual: f64) -> Turn {
        let machine = self.machine;
        let event = |kind: EventKind| self.events.iter().find(|e| e.kind == kind);
        let fill = match (event(EventKind::EntryReached), event(EventKind::Full)) {
            (Some(entry), Some(full)) => {
                let time = full.time - entry.time;
                let travel = machine.piston_travel(&full.before) - machine.piston_travel(&entry.before);
                Some(Fill {
                    entry: entry.time,
                    full: full.time,
                    mean_piston_speed: travel / time,
                    mean_jet_speed: (full.before.past_nozzle - entry.before.past_nozzle)
                        / time
                        / machine.nozzle.area,
                    skin: None,
                })
            }
            _ => None,
        };
        let filled = (machine.mould.metal_inside(self.state.past_nozzle) / machine.mould.volume).max(0.0);
        let hold_pressure = self.lasting.unwrap_or_default();
        let mut turn = Turn {
            setting: machine.setting,
            shaft_speed: machine.shaft_speed,
            fill,
            throw: self.throw,
            preload: machine.preload(),
            snap_share: machine.snap_volume() / (machine.mould.priming_volume + machine.mould.volume),
            filled,
            trapped_air: (1.0 - filled).max(0.0),
            hold_pressure,
            hold_lifting_force: lifting_force(&machine.mould, hold_pressure),
            bulk_limit: bulk_limit(&machine.metal, &machine.mould),
            sums: self.tally.sums,
            peaks: self.tally.greatest.peaks(),
            energy_residual,
            findings: Vec::new(),
            stop,
            steps: self.steps,
            trace: self.trace,
            events: self.events,
        };
        turn.findings = findings::of(machine, &turn, &self.state, &self.discrete, self.time);
        turn
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::prepared;
    use latchstroke_models::cam::CamStatement;
    use latchstroke_models::contact::DampingStatement;
    use latchstroke_models::latch::LatchSetting;
    use latchstroke_models::machine::MachineStatement;
    use latchstroke_models::units::{Angle, Damping};

    /// A cam that drops within a degree and a half against a train damped all but to a stop: first tries do not book right what it puts into
    /// so short a fall.
    #[test]
    fn a_turn_that_does_not_close_is_solved_again_until_it_does() {
        let mut opened = 0;
        for damping in [1e4, 3e4, 1e5, 3e5] {
            let mut stated = MachineStatement::demo();
            if let CamStatement::Law { fall, .. } = &mut stated.cam {
                *fall = Angle(1.5_f64.to_radians());
            }
            stated.cross_block.train_damping = DampingStatement::Coefficient(Damping(damping));
            let machine = prepared(&stated, 24.0, 1.0, LatchSetting::Aside);
            let accuracy = Accuracy::default();
            let first = Run::new(&machine, accuracy, 1.0, Asked::Turn).turn();
            let turn = solve(&machine, accuracy);
            assert!(turn.is_closed(), "{} {}", first.openness(), turn.openness());
            opened += usize::from(!first.is_closed());
        }
        assert!(opened > 0, "the first try closes: it takes another machine to tell");
    }
}
