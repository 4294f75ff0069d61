//! What a solved turn reports.

use super::ENERGY_TOLERANCE;
use super::events::EventKind;
use super::leg::LegError;
use super::peaks::Peaks;
use super::tally::Sums;
use super::trace::Instant;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::state::State;

/// One event of a turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// What happened.
    pub kind: EventKind,
    /// When, s from the start of the turn.
    pub time: f64,
    /// Shaft angle, rad.
    pub angle: f64,
    /// The state just before.
    pub before: State,
    /// The state just after.
    pub after: State,
}

/// Why a run stopped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stop {
    /// The shaft has made its turn.
    FullTurn,
    /// The turn was followed for as long as a limit hangs on it, and no further ([`super::solve_for_limits`]).
    Answered,
    /// An event would have happened twice at one instant.
    Chatter(EventKind),
    /// More events than a turn can hold.
    TooManyEvents,
    /// A number of this part is no longer finite.
    NotFinite(&'static str),
    /// The integrator could not go on.
    Solver(LegError),
}

/// How the mould was filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    /// When the metal entered the mould, s.
    pub entry: f64,
    /// When the mould was full, s.
    pub full: f64,
    /// Mean piston speed from entry to full, m/s.
    pub mean_piston_speed: f64,
    /// Mean jet speed from entry to full, m/s.
    pub mean_jet_speed: f64,
    /// Skin where the metal came in first, as the mould became full, m; told of a turn that is written down.
    pub skin: Option<f64>,
}

impl Fill {
    /// Fill time, s: from the mould's entry to 98 % full.
    pub fn time(&self) -> f64 {
        self.full - self.entry
    }
}

/// How the latch threw the rod.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Throw {
    /// When the latch let go, s.
    pub time: f64,
    /// Load on the latch as it let go, N.
    pub latch_load: f64,
    /// Energy then stored in the springs above that at rest, J.
    pub stored_energy: f64,
    /// When the rod caught up with the cross block, if it did, s.
    pub caught_up: Option<f64>,
    /// Speed with which the shoulder struck the block, m/s.
    pub strike_speed: f64,
    /// Energy ½·m_r·v² of the rod on that strike, J.
    pub strike_energy: f64,
}

/// Something an owner must know about a turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finding {
    /// The latch never lets go: sleeve too short.
    NeverTrips {
        /// Greatest lift of the cross block, m.
        lift: f64,
        /// Lift it would need, m.
        needed: f64,
    },
    /// The latch never holds: sleeve too long.
    NeverHolds {
        /// Clearance to the prongs, m, below zero.
        clearance: f64,
    },
    /// The coils of a spring touched.
    CoilBound {
        /// Shaft angle, rad.
        angle: f64,
        /// Room there was, m.
        room: f64,
        /// Closing there was, m.
        closing: f64,
    },
    /// The follower left the cam.
    FollowerFloats {
        /// Shaft angle, rad.
        angle: f64,
    },
    /// The metal never reached the mould.
    EntryNeverReached {
        /// Metal driven past the nozzle, m³.
        driven: f64,
        /// Metal needed, m³.
        needed: f64,
    },
    /// The stroke ended before the mould was full.
    ShortCast {
        /// Share filled.
        filled: f64,
    },
    /// The entry froze before the mould was full.
    SealedEarly {
        /// Share filled.
        filled: f64,
        /// After entry, s.
        after: f64,
    },
    /// The pressure lifts the matrix against its hold-down.
    MatrixLifts {
        /// Lifting force, N.
        force: f64,
        /// Hold-down force, N.
        hold_down: f64,
        /// Whether the force that lasts is above it too, not just the peak.
        lasting: bool,
    },
    /// The machine was not at rest as the turn ended; told of turns followed to their end.
    NotHome {
        /// Distance of the rod from its rest, m.
        distance: f64,
    },
    /// The energy balance does not close.
    EnergyOpen {
        /// Residual as a share of the cam's work.
        residual: f64,
    },
    /// The turn could not be solved to its end.
    Unsolved {
        /// Why.
        stop: Stop,
        /// Shaft angle, rad.
        angle: f64,
    },
}

impl Finding {
    /// Whether no sound type can come of the turn.
    pub fn spoils_cast(&self) -> bool {
        match self {
            Self::NeverTrips { .. }
            | Self::EntryNeverReached { .. }
            | Self::ShortCast { .. }
            | Self::SealedEarly { .. }
            | Self::EnergyOpen { .. }
            | Self::Unsolved { .. } => true,
            Self::NeverHolds { .. }
            | Self::CoilBound { .. }
            | Self::FollowerFloats { .. }
            | Self::MatrixLifts { .. }
            | Self::NotHome { .. } => false,
        }
    }

    /// Whether the figures of the turn cannot be trusted.
    pub fn makes_unreliable(&self) -> bool {
        matches!(self, Self::EnergyOpen { .. } | Self::Unsolved { .. })
    }

    /// Whether the setting itself cannot work, whatever the size and pace.
    pub fn faults_setting(&self) -> bool {
        matches!(
            self,
            Self::NeverTrips { .. }
                | Self::NeverHolds { .. }
                | Self::CoilBound { .. }
                | Self::FollowerFloats { .. }
        )
    }
}

/// A solved turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// Whether the latch was set.
    pub setting: LatchSetting,
    /// ω, rad/s.
    pub shaft_speed: f64,
    /// The events in order.
    pub events: Vec<Event>,
    /// How the mould was filled, if it was.
    pub fill: Option<Fill>,
    /// How the latch threw the rod, if it did.
    pub throw: Option<Throw>,
    /// Springs' force at rest, N.
    pub preload: f64,
    /// Share of V_prime + V that the springs alone can drive: i·A_p·y_trip/(V_prime + V).
    pub snap_share: f64,
    /// Share of the mould filled in the end.
    pub filled: f64,
    /// Trapped air, 1 − V_f/V, in the end.
    pub trapped_air: f64,
    /// Pressure that lasted in the full mould until its entry sealed, ringing apart, Pa; zero if it did not seal full.
    pub hold_pressure: f64,
    /// Force lifting the matrix under that pressure, N.
    pub hold_lifting_force: f64,
    /// Bulk limit, s.
    pub bulk_limit: f64,
    /// Integrals.
    pub sums: Sums,
    /// Greatest values.
    pub peaks: Peaks,
    /// Cam work less all that was spent and the change in held energy, as a share of the cam's driving work.
    pub energy_residual: f64,
    /// What an owner must know.
    pub findings: Vec<Finding>,
    /// Why the run stopped.
    pub stop: Stop,
    /// Steps taken by the integrators.
    pub steps: usize,
    /// The turn instant by instant, where asked for.
    pub trace: Vec<Instant>,
}

impl Turn {
    /// Fill time, s, of a cast that came out full and whose figures hold.
    pub fn sound_fill_time(&self) -> Option<f64> {
        if self.findings.iter().any(Finding::spoils_cast) {
            return None;
        }
        self.fill.map(|fill| fill.time())
    }

    /// Whether the turn came to its end, or as far as it was to be followed, and its energy closes.
    pub(super) fn is_closed(&self) -> bool {
        self.openness() <= ENERGY_TOLERANCE
    }

    /// How far the energy is from closing; without end for a turn that did not come so far.
    pub(super) fn openness(&self) -> f64 {
        if matches!(self.stop, Stop::FullTurn | Stop::Answered) {
            self.energy_residual.abs()
        } else {
            f64::INFINITY
        }
    }

    /// The first event of a kind.
    pub fn first(&self, kind: EventKind) -> Option<&Event> {
        self.events.iter().find(|event| event.kind == kind)
    }
}
