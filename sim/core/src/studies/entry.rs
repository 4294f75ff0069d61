//! What the latch does besides filling the mould sooner: the air it leaves in, the force with which it lifts the matrix, the
//! speed at which the metal comes in.

use crate::limits::air_left;
use crate::turn::Turn;
use latchstroke_models::mould::FULL;

/// Usual speeds of the metal at the gate in die casting, m/s: metal, slowest, fastest. Common practice, no source. None is
/// known for type metal, and the jet here is that of the nozzle, the narrowest place before the mould.
pub const GATE_SPEEDS: [(&str, f64, f64); 3] =
    [("zinc", 30.0, 60.0), ("aluminium", 20.0, 60.0), ("magnesium", 30.0, 90.0)];

/// A difference in the air left of less than this share of the mould's air is not worth a word.
const AIR_MATTERS: f64 = 0.01;

/// How far below full, as a share of the mould, the metal may settle before its entry seals. More, and it has run back.
const RUN_BACK: f64 = 0.01;

/// A jet against usual gate speeds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Jet {
    /// Slower than any of them: it runs in as a stream.
    Slower,
    /// Among them: it sprays.
    Usual,
    /// Faster than any of them.
    Faster,
}

impl Jet {
    /// A jet of `speed` (m/s).
    pub fn of(speed: f64) -> Self {
        let (slowest, fastest) = gate_speeds();
        if speed < slowest {
            Self::Slower
        } else if speed <= fastest {
            Self::Usual
        } else {
            Self::Faster
        }
    }
}

/// The slowest and the fastest of all [`GATE_SPEEDS`], m/s.
pub fn gate_speeds() -> (f64, f64) {
    GATE_SPEEDS.iter().fold((f64::INFINITY, 0.0), |(slowest, fastest), &(_, low, high)| {
        (low.min(slowest), high.max(fastest))
    })
}

/// How the metal comes into a mould that becomes full.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entry {
    /// Share of the mould's air that is still in it once it is full.
    pub air_left: f64,
    /// Share of the mould's volume that is not metal once it has packed.
    pub air_packed: f64,
    /// Greatest force lifting the matrix, N.
    pub peak_lift: f64,
    /// Force lifting the matrix as the entry seals, N.
    pub lasting_lift: f64,
    /// Greatest jet speed, m/s.
    pub peak_jet: f64,
    /// Mean jet speed over the fill, m/s.
    pub mean_jet: f64,
}

impl Entry {
    /// Of a turn, with `air_mass` (kg) of air in the empty mould; none where the mould does not become full.
    pub fn of(turn: &Turn, air_mass: f64) -> Option<Self> {
        turn.sound_fill_time()?;
        Some(Self {
            air_left: air_left(turn, air_mass)?,
            air_packed: turn.trapped_air,
            peak_lift: turn.peaks.lifting_force,
            lasting_lift: turn.hold_lifting_force,
            peak_jet: turn.peaks.jet_speed,
            mean_jet: turn.fill?.mean_jet_speed,
        })
    }

    /// Whether the metal has run back out of the full mould: trapped air or the retreating piston can take it out where the
    /// entry has not sealed in time.
    pub fn runs_back(&self) -> bool {
        1.0 - self.air_packed < FULL - RUN_BACK
    }

    /// The greater of peak and lasting force lifting the matrix, N.
    pub fn lift(&self) -> f64 {
        self.peak_lift.max(self.lasting_lift)
    }
}

/// Something that is worse with the latch set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Worse {
    /// More air stays in, since the vents have less time: shares of the mould's air.
    MoreAir {
        /// Latch aside.
        aside: f64,
        /// Latch set.
        set: f64,
    },
    /// The matrix lifts, which it does not with the latch aside.
    LiftsMatrix {
        /// Force, N.
        force: f64,
        /// Hold-down, N.
        hold_down: f64,
        /// Whether the force that lasts is above the hold-down too.
        lasting: bool,
    },
    /// The metal runs back out of the mould once it is full, which it does not with the latch aside.
    RunsBack {
        /// Share of the mould filled in the end.
        filled: f64,
    },
    /// The metal comes in as fast as in die casting, which it does not with the latch aside: greatest jet speeds, m/s.
    Jets {
        /// Latch aside.
        aside: f64,
        /// Latch set.
        set: f64,
    },
}

/// Both settings of the latch beside each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Latch aside; none where the mould does not become full.
    pub aside: Option<Entry>,
    /// Latch set; none where the mould does not become full.
    pub set: Option<Entry>,
    /// What the latch makes worse, where both fill the mould.
    pub worse: Vec<Worse>,
}

/// Compares two turns of one cast, with `air_mass` (kg) of air in the empty mould and a `hold_down` (N) where known.
pub fn compare(aside: &Turn, set: &Turn, air_mass: f64, hold_down: Option<f64>) -> Comparison {
    let (aside, set) = (Entry::of(aside, air_mass), Entry::of(set, air_mass));
    let worse = aside.zip(set).map_or_else(Vec::new, |(aside, set)| worse(&aside, &set, hold_down));
    Comparison { aside, set, worse }
}

fn worse(aside: &Entry, set: &Entry, hold_down: Option<f64>) -> Vec<Worse> {
    let mut found = Vec::new();
    if set.air_left > aside.air_left + AIR_MATTERS {
        found.push(Worse::MoreAir { aside: aside.air_left, set: set.air_left });
    }
    if let Some(hold_down) = hold_down
        && set.lift() > hold_down
        && aside.lift() <= hold_down
    {
        let lasting = set.lasting_lift > hold_down;
        found.push(Worse::LiftsMatrix { force: set.lift(), hold_down, lasting });
    }
    if set.runs_back() && !aside.runs_back() {
        found.push(Worse::RunsBack { filled: 1.0 - set.air_packed });
    }
    if Jet::of(aside.peak_jet) == Jet::Slower && Jet::of(set.peak_jet) != Jet::Slower {
        found.push(Worse::Jets { aside: aside.peak_jet, set: set.peak_jet });
    }
    found
}
