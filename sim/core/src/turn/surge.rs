//! The throw with the springs resolved along their length, to see whether the usual rule for their mass is good enough.
//!
//! From the moment at which the latch lets go until the mould is full, each spring is a row of masses
//! ([`latchstroke_models::spring::Coil`]) instead of a massless spring with a third of its mass on the rod. All else is the same
//! model: the same equations, guards and events.

use super::events::{self, Discrete, EventKind, LatchProgress};
use super::leg::{Equations, LegError};
use super::watch::{Watch, due};
use super::{Stop, Turn};
use latchstroke_models::cam::Motion;
use latchstroke_models::contact::Touch;
use latchstroke_models::machine::Machine;
use latchstroke_models::mode::RodMode;
use latchstroke_models::spring::Coil;
use latchstroke_models::state::{STATE_SIZE, State};
use nalgebra::{DVector, SVector};
use ode_solvers::continuous_output_model::ContinuousOutputModel;
use ode_solvers::dop_shared::OutputType;
use ode_solvers::{Dopri5, System};

/// What the resolved springs make of a throw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ResolvedThrow {
    /// Pieces in each spring.
    pub pieces: usize,
    /// Fill time, s, if the mould became full.
    pub fill_time: Option<f64>,
    /// Greatest piston speed, m/s.
    pub piston_speed: f64,
}

/// The longest throw that is followed, s.
const LONGEST: f64 = 2.0;
/// More events than a throw can hold.
const MOST_EVENTS: usize = 1_000;
/// The finest springs tried.
const MOST_PIECES: usize = 64;
/// The fill time must move by less than this share when the pieces are doubled.
const CONVERGED: f64 = 1e-3;

/// Follows the throw of a solved turn with ever finer springs until the fill time no longer moves, in `MOST_PIECES` at most. None
/// where the latch does not throw the rod, or a spring lies loose at rest.
///
/// # Errors
/// Why the throw could not be followed.
pub fn resolve(machine: &Machine, turn: &Turn, tolerance: f64) -> Result<Option<ResolvedThrow>, Stop> {
    let Some(event) = turn.first(EventKind::LatchLetsGo) else { return Ok(None) };
    if machine.springs.iter().any(|spring| spring.rest_squeeze <= 0.0 || spring.mass <= 0.0) {
        return Ok(None);
    }
    let mut pieces = 4;
    let mut coarse = throw(machine, event.time, event.after, pieces, tolerance)?;
    loop {
        pieces *= 2;
        let fine = throw(machine, event.time, event.after, pieces, tolerance)?;
        let moved = match (coarse.fill_time, fine.fill_time) {
            (Some(a), Some(b)) => (a / b - 1.0).abs(),
            (None, None) => 0.0,
            _ => 1.0,
        };
        if moved < CONVERGED || pieces >= MOST_PIECES {
            return Ok(Some(fine));
        }
        coarse = fine;
    }
}

/// The machine's equations with its springs resolved.
struct Resolved<'a> {
    equations: Equations<'a>,
    coils: Vec<Coil>,
    /// Mass of rod and springs' ends, kg.
    rod_mass: f64,
}

impl Resolved<'_> {
    /// The numbers of the state and, after them, displacements (m) and then speeds (m/s) of all nodes.
    fn size(&self) -> usize {
        STATE_SIZE + 2 * self.nodes()
    }

    fn nodes(&self) -> usize {
        self.coils.iter().map(Coil::nodes).sum()
    }

    fn state(&self, t: f64, y: &DVector<f64>) -> State {
        self.equations.state(t, &SVector::from_fn(|r, _| y[r]))
    }

    fn cam(&self, t: f64) -> Motion {
        self.equations.machine.cam.at(self.equations.angle(t))
    }

    /// Every node at rest within its spring, which is squeezed evenly, its speed between those of its ends.
    fn start(&self, t: f64, state: &State) -> DVector<f64> {
        let mut y = DVector::zeros(self.size());
        y.rows_mut(0, STATE_SIZE).copy_from(&self.equations.vector(self.cam(t), state));
        let mut place = STATE_SIZE;
        for coil in &self.coils {
            for i in 1..coil.pieces {
                let share = i as f64 / coil.pieces as f64;
                y[place] = state.block_lift + share * (state.rod_lift - state.block_lift);
                y[place + self.nodes()] = (1.0 - share) * state.block_speed;
                place += 1;
            }
        }
        y
    }

    fn rates(&self, t: f64, y: &DVector<f64>, rates: &mut DVector<f64>) {
        let Equations { machine, mode, .. } = &self.equations;
        let state = self.state(t, y);
        let mut own = machine.rates(self.equations.angle(t), &state, *mode);
        let massless = machine.spring_force(state.block_lift - state.rod_lift);
        let (mut on_block, mut on_rod) = (0.0, 0.0);
        let nodes = self.nodes();
        let mut first = STATE_SIZE;
        for coil in &self.coils {
            let count = coil.nodes();
            let displacements = &y.as_slice()[first..first + count];
            let accelerations = &mut rates.as_mut_slice()[first + nodes..first + nodes + count];
            let (up, down) = coil.forces(state.block_lift, state.rod_lift, displacements, accelerations);
            on_block += up;
            on_rod += down;
            first += count;
        }
        for i in STATE_SIZE..STATE_SIZE + nodes {
            rates[i] = y[i + nodes];
        }
        own.block_speed += (massless - on_block) / machine.cross_block.mass;
        if mode.rod != RodMode::Held {
            own.rod_speed = (own.rod_speed * machine.rod.mass - massless + on_rod) / self.rod_mass;
        }
        let cam_speed = self.cam(t).slope * machine.shaft_speed;
        let own = SVector::from(own.scaled(cam_speed, &self.equations.scales));
        rates.rows_mut(0, STATE_SIZE).copy_from(&own);
    }
}

struct Watched<'a, W> {
    resolved: &'a Resolved<'a>,
    look: W,
}

impl<W: FnMut(f64, &DVector<f64>) -> bool> System<f64, DVector<f64>> for Watched<'_, W> {
    fn system(&self, t: f64, y: &DVector<f64>, rates: &mut DVector<f64>) {
        self.resolved.rates(t, y, rates);
    }

    fn solout(&mut self, t: f64, y: &DVector<f64>, _rates: &DVector<f64>) -> bool {
        (self.look)(t, y)
    }
}

fn throw(
    machine: &Machine,
    start: f64,
    state: State,
    pieces: usize,
    tolerance: f64,
) -> Result<ResolvedThrow, Stop> {
    let coils: Vec<Coil> = machine.springs.iter().map(|spring| Coil::of(spring, pieces)).collect();
    let whole: f64 = machine.springs.iter().map(|spring| spring.mass).sum();
    let ends: f64 = coils.iter().map(Coil::end_mass).sum();
    let mut discrete = Discrete::at_rest(machine);
    discrete.latch = LatchProgress::LetGo;
    discrete.mode.rod = RodMode::Free;
    discrete.mode.shoulder = Touch::Open;
    let mut resolved = Resolved {
        equations: Equations { machine, mode: discrete.mode, scales: machine.scales() },
        coils,
        rod_mass: machine.rod.mass - whole / 3.0 + ends,
    };
    let mut y = resolved.start(start, &state);
    let mut t = start;
    let mut entry = None;
    let mut piston_speed = 0.0_f64;
    for _ in 0..MOST_EVENTS {
        let guard =
            |kind, t: f64, state: &State| events::guard(kind, &resolved.equations, &discrete, t, state);
        let now = resolved.state(t, &y);
        let mut watch = Watch::from(t, |kind| guard(kind, t, &now));
        let found = if let Some(kind) = due(|kind| guard(kind, t, &now)) {
            Some((kind, t))
        } else {
            let look = |t: f64, y: &DVector<f64>| {
                let state = resolved.state(t, y);
                piston_speed = piston_speed.max(machine.rod.ratio * state.rod_speed);
                watch.look(t, |kind| guard(kind, t, &state))
            };
            let piece = integrate(&resolved, look, t, start + LONGEST, &y, tolerance)?;
            let found = watch.first_event(|t| resolved.state(t, &piece.at(t)), guard);
            if let Some((_, when)) = found {
                y = piece.at(when);
            }
            found
        };
        let Some((kind, when)) = found else { break };
        t = when;
        if kind == EventKind::EntryReached {
            entry = Some(t);
        }
        if kind == EventKind::Full {
            let fill_time = entry.map(|entry| t - entry);
            return Ok(ResolvedThrow { pieces, fill_time, piston_speed });
        }
        let mut state = resolved.state(t, &y);
        events::happen(kind, machine, t, 0.0, &mut discrete, &mut state);
        resolved.equations.mode = discrete.mode;
        y.rows_mut(0, STATE_SIZE).copy_from(&resolved.equations.vector(resolved.cam(t), &state));
    }
    Ok(ResolvedThrow { pieces, fill_time: None, piston_speed })
}

/// The solution from one event to the next.
struct Piece {
    curve: ContinuousOutputModel<f64, DVector<f64>>,
    last: DVector<f64>,
}

impl Piece {
    fn at(&self, t: f64) -> DVector<f64> {
        self.curve.evaluate(t).unwrap_or_else(|| self.last.clone())
    }
}

/// Integrates until `look` answers true, or to `end` (s).
fn integrate(
    resolved: &Resolved<'_>,
    look: impl FnMut(f64, &DVector<f64>) -> bool,
    start: f64,
    end: f64,
    y: &DVector<f64>,
    tolerance: f64,
) -> Result<Piece, Stop> {
    let mut stepper = Dopri5::from_param(
        Watched { resolved, look },
        start,
        end,
        0.0,
        y.clone(),
        tolerance,
        tolerance,
        0.9,
        0.04,
        0.2,
        10.0,
        end - start,
        0.0,
        1_000_000,
        u32::MAX,
        OutputType::Continuous,
    );
    let mut curve = ContinuousOutputModel::default();
    stepper
        .integrate_with_continuous_output_model(&mut curve)
        .map_err(|error| Stop::Solver(LegError::from(error)))?;
    let last = stepper.y_out().last().cloned().unwrap_or_else(|| y.clone());
    Ok(Piece { curve, last })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::prepared;
    use crate::turn::{Accuracy, solve};
    use latchstroke_models::latch::LatchSetting;
    use latchstroke_models::machine::MachineStatement;
    use latchstroke_models::units::Mass;

    /// The demo at 24 pt with one spring and a rod of these masses (kg), at a pace (turns/s).
    fn machine(spring: f64, rod: f64, pace: f64) -> Machine {
        let mut stated = MachineStatement::demo();
        stated.springs.truncate(1);
        stated.springs[0].mass = Some(Mass(spring));
        stated.rod.mass = Mass(rod);
        prepared(&stated, 24.0, pace, LatchSetting::Set)
    }

    fn turned(machine: &Machine) -> Turn {
        solve(machine, Accuracy { tolerance: 1e-7, ..Accuracy::default() })
    }

    fn thrown(spring: f64, rod: f64) -> (Machine, Turn) {
        let machine = machine(spring, rod, 0.7);
        let turn = turned(&machine);
        (machine, turn)
    }

    #[test]
    fn springs_that_lie_loose_or_weigh_nothing_have_no_surge() {
        let (machine, turn) = thrown(0.3, 1.5);
        assert!(resolve(&machine, &turn, 1e-5).expect("solved").is_some());
        let mut changed = machine.clone();
        changed.springs[0].rest_squeeze = 0.0;
        assert_eq!(resolve(&changed, &turn, 1e-5), Ok(None));
        let mut changed = machine.clone();
        changed.springs[0].mass = 0.0;
        assert_eq!(resolve(&changed, &turn, 1e-5), Ok(None));
        let aside = Turn { events: Vec::new(), ..turn };
        assert_eq!(resolve(&machine, &aside, 1e-5), Ok(None));
    }

    /// Eight for springs as heavy as any machine's; more where they weigh many times the rod, whose fill time moves by a thousandth still.
    #[test]
    fn pieces_are_doubled_until_they_tell_no_other_fill_time() {
        let known =
            [(0.01, 1.5, 8), (0.4, 1.5, 8), (1.5, 1.5, 8), (1.5, 0.05, 16), (3.0, 1.5, 32), (5.0, 1.5, 64)];
        for (spring, rod, pieces) in known {
            let (machine, turn) = thrown(spring, rod);
            let release = turn.first(EventKind::LatchLetsGo).expect("a throw");
            let time = |pieces| {
                let throw = throw(&machine, release.time, release.after, pieces, 1e-6).expect("solved");
                throw.fill_time.expect("full")
            };
            let found = resolve(&machine, &turn, 1e-6).expect("solved").expect("a throw");
            assert_eq!((found.pieces, found.fill_time), (pieces, Some(time(pieces))));
            for fine in [8, 16, 32, 64].into_iter().filter(|fine| *fine <= pieces) {
                let moved = (time(fine / 2) / time(fine) - 1.0).abs();
                assert_eq!(moved < CONVERGED, fine == pieces, "{spring} {rod} {fine}: {moved}");
            }
        }
    }

    /// Springs heavier than any can be: the finest still tell another time, and are taken.
    #[test]
    fn no_more_pieces_are_tried_than_the_most() {
        let (machine, turn) = thrown(50.0, 0.05);
        let release = turn.first(EventKind::LatchLetsGo).expect("a throw");
        let time =
            |pieces| throw(&machine, release.time, release.after, pieces, 1e-6).expect("solved").fill_time;
        let found = resolve(&machine, &turn, 1e-6).expect("solved").expect("a throw");
        assert_eq!((found.pieces, found.fill_time), (MOST_PIECES, time(MOST_PIECES)));
        let moved = time(MOST_PIECES / 2).expect("full") / time(MOST_PIECES).expect("full") - 1.0;
        assert!(moved.abs() > CONVERGED, "{moved}");
    }

    /// Wave equation: a spring of mass m_s, one end held, with a mass m_r at the other, let go evenly squeezed by X: the end moves as
    /// X·Σ a_n·cos ω_n·t with ω_n = β_n·√(k/m_s), β·tan β = m_s/m_r, and a_n as the even squeeze has of each mode (S. S. Rao, *Mechanical
    /// Vibrations*, the bar with an end mass; from memory). Its greatest speed before the shoulder strikes.
    fn end_speed(rate: f64, [spring, rod]: [f64; 2], [squeeze, closing]: [f64; 2]) -> f64 {
        let modes: Vec<[f64; 2]> = (0..60)
            .map(|n| {
                let (mut low, mut high) =
                    (f64::from(n) * std::f64::consts::PI, (f64::from(n) + 0.5) * std::f64::consts::PI);
                for _ in 0..80 {
                    let middle = 0.5 * (low + high);
                    if middle * middle.tan() < spring / rod { low = middle } else { high = middle }
                }
                let beta = low;
                let (sin, cos) = beta.sin_cos();
                let share = spring * (sin - beta * cos) / (beta * beta) + rod * sin;
                let size = spring * (0.5 - sin * cos / (2.0 * beta)) + rod * sin * sin;
                [beta * (rate / spring).sqrt(), share * sin / size]
            })
            .collect();
        let whole = squeeze + closing;
        let (mut fastest, mut t) = (0.0_f64, 0.0);
        loop {
            let place: f64 = modes.iter().map(|[omega, a]| whole * a * (omega * t).cos()).sum();
            if place <= squeeze {
                return fastest;
            }
            let speed: f64 = modes.iter().map(|[omega, a]| whole * a * omega * (omega * t).sin()).sum();
            (fastest, t) = (fastest.max(speed), t + 1e-5);
        }
    }

    /// Without metal and friction, and with the shaft all but at a stand, the rod is thrown as the wave equation says, whatever the springs
    /// weigh; the usual rule is some per cent off where they weigh as much.
    #[test]
    fn closed_form_a_rod_is_thrown_as_the_wave_equation_says() {
        for (spring, rod) in [(0.1, 1.5), (0.5, 1.5), (1.5, 1.5), (1.5, 0.5)] {
            let mut machine = machine(spring, rod, 0.005);
            (machine.rod.friction, machine.rod.drag, machine.piston.port_travel) = (0.0, 0.0, 1.0);
            let turn = turned(&machine);
            let release = turn.first(EventKind::LatchLetsGo).expect("a throw");
            let found = throw(&machine, release.time, release.after, 40, 1e-6).expect("solved");
            let part = machine.springs[0];
            let closing = release.after.block_lift - release.after.rod_lift;
            let masses = [spring, machine.rod.mass - spring / 3.0];
            let exact = end_speed(part.rate, masses, [part.rest_squeeze, closing]);
            let ours = found.piston_speed / machine.rod.ratio;
            // A row of forty masses rings a little about the wave's front.
            assert!((ours / exact - 1.0).abs() < 1.5e-2, "{spring} {rod}: {ours} {exact}");
            let usual = turn.peaks.piston_speed / machine.rod.ratio;
            let is_off = (usual / exact - 1.0).abs() > 2.5e-2;
            assert_eq!(is_off, spring > 1.0, "{spring} {rod}: {usual} {exact}");
        }
    }
}
