//! What can happen within a turn: each event's guard, what it resets, and the equations that hold after it.
//!
//! Every guard is written so that its event happens as the guard *rises* through zero. Guards are plain numbers of size one
//! (lifts in tenths of the cam's lift, speeds, pressures and flows by their scales, forces by the preload), so that one
//! threshold tells noise from meaning for all of them.
//!
//! **Ties.** Events that fall into the same nanosecond happen in the order in which [`EventKind`] lists them; after each, the
//! guards of the new mode are looked at again. An event cannot happen twice at one instant: that would be chatter, and stops
//! the turn as unreliable.

use super::leg::Equations;
use latchstroke_models::contact::Touch;
use latchstroke_models::latch::{Latch, LatchSetting};
use latchstroke_models::machine::Machine;
use latchstroke_models::mode::{Mode, MouldMode, Ringing, RodMode, WellMode};
use latchstroke_models::mould::FULL;
use latchstroke_models::state::{State, place};
use strum::VariantArray;

/// The events of a turn, in the order in which they happen when they fall together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, VariantArray)]
#[cfg_attr(feature = "serde", derive(serde::Serialize), serde(rename_all = "kebab-case"))]
pub enum EventKind {
    /// The cross block has lifted far enough to spread the prongs; the latch lets go after its delay.
    ProngsSpread,
    /// The latch lets go: the springs throw the rod.
    LatchLetsGo,
    /// With one-way closure: the follower leaves the cam.
    FollowerLeaves,
    /// The follower is back on the cam.
    FollowerReturns,
    /// The rod's shoulder parts from the cross block: the springs close.
    ShoulderParts,
    /// The rod's shoulder strikes the cross block: a thrown rod has caught up.
    ShoulderStrikes,
    /// The coils of a spring touch.
    CoilsTouch,
    /// The piston covers its inlet port.
    InletCloses,
    /// The piston has drawn back past its inlet port.
    InletReopens,
    /// The metal in the well parts: the piston retreats, or the column in the nozzle runs on, faster than the rest follows.
    MetalParts,
    /// The void in the well has closed.
    MetalMeets,
    /// The metal reaches the mould.
    EntryReached,
    /// The metal has run back out of the mould.
    EntryLeft,
    /// The mould is full and its vents are shut.
    Full,
    /// Metal has left the full mould, and its vents are open again.
    VentsReopen,
    /// The full mould has had time for its peak pressure; from here on its ringing is damped.
    RungOut,
    /// The entry has frozen.
    Sealed,
    /// The rod is home and the latch has caught it again.
    LatchCatches,
}

impl EventKind {
    /// Every event, in tie order.
    pub const ALL: &'static [Self] = Self::VARIANTS;

    /// The event in an owner's words.
    pub fn words(self) -> &'static str {
        match self {
            Self::ProngsSpread => "prongs spread",
            Self::LatchLetsGo => "latch lets go",
            Self::FollowerLeaves => "follower leaves the cam",
            Self::FollowerReturns => "follower back on the cam",
            Self::ShoulderParts => "shoulder parts",
            Self::ShoulderStrikes => "shoulder strikes",
            Self::CoilsTouch => "spring coil-bound",
            Self::InletCloses => "inlet closes",
            Self::InletReopens => "inlet reopens",
            Self::MetalParts => "metal parts in the well",
            Self::MetalMeets => "metal meets again",
            Self::EntryReached => "metal enters the mould",
            Self::EntryLeft => "metal leaves the mould",
            Self::Full => "mould full",
            Self::VentsReopen => "vents open again",
            Self::RungOut => "ringing damped",
            Self::Sealed => "entry sealed",
            Self::LatchCatches => "latch caught again",
        }
    }
}

/// The least share of the cavity that metal must fill to freeze its entry shut: with less, what is left of it stands away from
/// the entry. Our judgement; a mould that ran as empty as that casts nothing either way.
const LEAST_SEALING: f64 = 0.1;

/// How far the latch has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum LatchProgress {
    /// Swung clear, or unable to hold.
    Aside,
    /// Holding the rod.
    Holding,
    /// Prongs spread; lets go at this time (s).
    Releasing(f64),
    /// The rod is free.
    LetGo,
    /// Caught again.
    Caught,
}

/// The discrete half of the machine's state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Discrete {
    pub mode: Mode,
    pub latch: LatchProgress,
    /// Until when the ringing of a full or sealed mould is followed, s.
    pub rings_until: Option<f64>,
}

impl Discrete {
    pub fn at_rest(machine: &Machine) -> Self {
        let mode = machine.rest_mode();
        let latch = match mode.rod {
            RodMode::Held => LatchProgress::Holding,
            RodMode::Free => LatchProgress::Aside,
        };
        Self { mode, latch, rings_until: None }
    }

    /// A blow sets the metal of a full or sealed mould ringing anew: it is followed until `until` (s).
    fn stir(&mut self, until: f64) {
        if matches!(self.mode.mould, MouldMode::Packed | MouldMode::Sealed) {
            self.mode.ringing = Ringing::Followed;
            self.rings_until = Some(until);
        }
    }

    /// Whether the rod flies free: let go by the latch, apart from the cross block, and no metal in the mould yet.
    pub fn flies(&self) -> bool {
        self.latch == LatchProgress::LetGo
            && self.mode.shoulder == Touch::Open
            && self.mode.mould == MouldMode::Empty
    }
}

/// The guard of one event, or none where the event cannot happen in this mode, whatever the state.
pub(super) fn guard(
    kind: EventKind,
    equations: &Equations<'_>,
    discrete: &Discrete,
    t: f64,
    state: &State,
) -> Option<f64> {
    let Equations { machine, mode, scales } = equations;
    let inside = machine.mould.metal_inside(state.past_nozzle);
    let depth = state.rod_lift - state.block_lift;
    let past_port = || (machine.piston_travel(state) - machine.piston.port_travel) / scales.lift;
    let touch = |wanted: Touch, is: Touch| (wanted == is).then_some(());
    match kind {
        EventKind::ProngsSpread => (discrete.latch == LatchProgress::Holding)
            .then(|| (state.block_lift - machine.latch.trip_lift) / scales.lift),
        EventKind::LatchLetsGo => match discrete.latch {
            LatchProgress::Releasing(when) => Some((t - when) * machine.shaft_speed),
            _ => None,
        },
        EventKind::FollowerLeaves => {
            machine.cross_block.return_spring?;
            touch(Touch::Closed, mode.follower)?;
            Some(-follower_guard(equations, t, state))
        }
        EventKind::FollowerReturns => {
            touch(Touch::Open, mode.follower)?;
            Some(follower_guard(equations, t, state))
        }
        EventKind::ShoulderParts => {
            touch(Touch::Closed, mode.shoulder)?;
            Some(-shoulder_guard(equations, depth, state))
        }
        EventKind::ShoulderStrikes => {
            touch(Touch::Open, mode.shoulder)?;
            Some(shoulder_guard(equations, depth, state))
        }
        EventKind::CoilsTouch => machine.coil_room().map(|room| (-depth - room) / scales.lift),
        EventKind::InletCloses => (mode.well == WellMode::PortOpen).then(past_port),
        EventKind::InletReopens => (mode.well != WellMode::PortOpen).then(|| -past_port()),
        EventKind::MetalParts => {
            let floor = machine.well.parting_volume()?;
            (mode.well == WellMode::Closed).then(|| (floor - state.pressed) / scales.size(place::PRESSED))
        }
        EventKind::MetalMeets => {
            let floor = machine.well.parting_volume()?;
            (mode.well == WellMode::Parted).then(|| (state.pressed - floor) / scales.size(place::PRESSED))
        }
        EventKind::EntryReached => match mode.mould {
            // With nothing to prime, the entry is reached as the piston first presses on closed metal.
            MouldMode::Empty if machine.mould.priming_volume <= 0.0 => {
                let presses = mode.well != WellMode::PortOpen && state.rod_speed > 0.0;
                Some(if presses { 1.0 } else { -1.0 })
            }
            MouldMode::Empty | MouldMode::Emptied => Some(inside / machine.mould.volume),
            MouldMode::Filling | MouldMode::Packed | MouldMode::Sealed => None,
        },
        EventKind::EntryLeft => (mode.mould == MouldMode::Filling).then(|| -inside / machine.mould.volume),
        EventKind::Full => (mode.mould == MouldMode::Filling).then(|| inside / machine.mould.volume - FULL),
        EventKind::VentsReopen => {
            (mode.mould == MouldMode::Packed).then(|| FULL - inside / machine.mould.volume)
        }
        EventKind::RungOut => {
            // While the shoulder bears on the block the cam still drives, and the pressure has not come to its peak.
            (mode.ringing == Ringing::Followed && mode.shoulder == Touch::Open).then_some(())?;
            Some((t - discrete.rings_until?) * machine.shaft_speed)
        }
        EventKind::Sealed => match mode.mould {
            MouldMode::Filling | MouldMode::Packed => {
                // A drop left at the far end does not seal the entry.
                if inside <= LEAST_SEALING * machine.mould.volume {
                    return Some(-1.0);
                }
                let sealing = (1.0 - machine.metal.sealing_fraction) * machine.metal.melt_heat;
                Some((sealing - machine.metal_heat(state)) / machine.metal.melt_heat)
            }
            MouldMode::Empty | MouldMode::Emptied | MouldMode::Sealed => None,
        },
        EventKind::LatchCatches => {
            if machine.setting != LatchSetting::Set || discrete.latch != LatchProgress::LetGo {
                return None;
            }
            let rod_out = state.rod_lift - machine.rod_rest - Latch::CATCH_PLAY;
            let block_out = state.block_lift - machine.latch.trip_lift;
            Some(-rod_out.max(block_out) / scales.lift)
        }
    }
}

fn shoulder_guard(equations: &Equations<'_>, depth: f64, state: &State) -> f64 {
    equations.machine.rod.stop.guard(depth, state.rod_speed - state.block_speed) / force_scale(equations)
}

fn follower_guard(equations: &Equations<'_>, t: f64, state: &State) -> f64 {
    let machine = equations.machine;
    let cam = machine.cam.at(equations.angle(t));
    let rate = cam.slope * machine.shaft_speed - state.block_speed;
    machine.cross_block.train.guard(cam.lift - state.block_lift, rate) / force_scale(equations)
}

fn force_scale(equations: &Equations<'_>) -> f64 {
    let machine = equations.machine;
    machine.well.stiffness() * equations.scales.size(place::PRESSED) * machine.piston.area * machine.rod.ratio
}

/// The state and the equations after an event at time `t`; `followed` is how long the ringing of a full or sealed mould is, s.
pub(super) fn happen(
    kind: EventKind,
    machine: &Machine,
    t: f64,
    followed: f64,
    discrete: &mut Discrete,
    state: &mut State,
) {
    let mode = &mut discrete.mode;
    match kind {
        EventKind::ProngsSpread => discrete.latch = LatchProgress::Releasing(t + machine.latch.release_delay),
        EventKind::LatchLetsGo => {
            discrete.latch = LatchProgress::LetGo;
            mode.rod = RodMode::Free;
        }
        EventKind::FollowerLeaves => mode.follower = Touch::Open,
        EventKind::FollowerReturns => mode.follower = Touch::Closed,
        EventKind::ShoulderParts => {
            mode.shoulder = Touch::Open;
            discrete.stir(t + followed);
        }
        EventKind::ShoulderStrikes => {
            mode.shoulder = Touch::Closed;
            discrete.stir(t + followed);
        }
        // Only worth telling: the springs' law covers it without a change of equations.
        EventKind::CoilsTouch => {}
        EventKind::InletCloses => mode.well = WellMode::Closed,
        EventKind::MetalMeets => {
            mode.well = WellMode::Closed;
            discrete.stir(t + followed);
        }
        EventKind::InletReopens => {
            mode.well = WellMode::PortOpen;
            state.pressed = 0.0;
            state.flow = 0.0;
        }
        EventKind::MetalParts => mode.well = WellMode::Parted,
        EventKind::EntryReached => mode.mould = MouldMode::Filling,
        EventKind::EntryLeft => {
            mode.mould = MouldMode::Emptied;
            state.heat_given = 0.0;
        }
        EventKind::Full => {
            mode.mould = MouldMode::Packed;
            discrete.rings_until = Some(t + followed);
        }
        EventKind::VentsReopen => {
            mode.mould = MouldMode::Filling;
            mode.ringing = Ringing::Followed;
            discrete.rings_until = None;
        }
        EventKind::RungOut => mode.ringing = Ringing::Damped,
        EventKind::Sealed => {
            // Metal that freezes while it still flows stops the rod, which rings then.
            mode.mould = MouldMode::Sealed;
            discrete.rings_until = Some(t + followed);
            state.flow = 0.0;
        }
        EventKind::LatchCatches => discrete.latch = LatchProgress::Caught,
    }
}
