//! How a turn stands against each limit that a cast must keep, and which of them decides.

use super::Limits;
use crate::turn::{EventKind, Finding, Turn};
use latchstroke_models::machine::Machine;
use latchstroke_models::mould::FULL;

/// What a cast must keep within.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// The turn's figures can be trusted.
    Trust,
    /// The latch, the springs and the follower do their work.
    Setting,
    /// The mould becomes full at all.
    Filling,
    /// It is full before the skin on the face is too thick.
    Skin,
    /// It is full before the metal stops flowing.
    Bulk,
    /// The middle is solid before the mould opens.
    Cooling,
    /// The pressure does not lift the matrix.
    MatrixLift,
    /// No more air stays in the mould than the caster accepts.
    TrappedAir,
}

impl Limit {
    /// Whether the latch setting fills the mould in time: what the verdict on the latch is about.
    pub fn is_of_fill(self) -> bool {
        matches!(self, Self::Trust | Self::Setting | Self::Filling | Self::Skin | Self::Bulk)
    }

    /// Whether nothing usable is cast unless it is kept. A lifted matrix and trapped air spoil a type more or less.
    pub fn is_vital(self) -> bool {
        self.is_of_fill() || self == Self::Cooling
    }
}

/// How well one limit is kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kept {
    /// The limit.
    pub limit: Limit,
    /// What is allowed over what is taken up: from one on the limit is kept.
    pub times: f64,
}

impl Kept {
    /// Whether the limit is kept.
    pub fn is_kept(&self) -> bool {
        self.times >= 1.0
    }
}

/// What the limits allow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// How long the fill may take.
    pub limits: Limits,
    /// How many times the fill must fit into skin and bulk limit.
    pub margin: f64,
    /// The fastest pace that leaves the middle solid over the pace.
    pub solid: f64,
    /// Hold-down force on the matrix, N, where known.
    pub hold_down: Option<f64>,
    /// The greatest share of the mould's air that may stay in it, where the caster has one.
    pub air: Option<f64>,
    /// Air in the empty mould, kg.
    pub air_mass: f64,
}

/// A turn against every limit that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The limits, the one with the least margin first.
    pub kept: Vec<Kept>,
}

impl Standing {
    /// How a turn stands against `bounds`.
    ///
    /// Skin and bulk: limit/(margin·fill time). Cooling: fastest solid pace/pace. Matrix: hold-down over the greater of peak and
    /// lasting force. Air: accepted share over the share left. A mould that does not become full stands at the share filled over
    /// the share that counts as full; a setting that cannot work, and a turn not to be trusted, at nothing.
    pub fn of(turn: &Turn, bounds: &Bounds) -> Self {
        let mut kept = Vec::with_capacity(6);
        let mut put = |limit, times: f64| kept.push(Kept { limit, times });
        let has = |of: fn(&Finding) -> bool| turn.findings.iter().any(of);
        let unreliable = has(Finding::makes_unreliable);
        let faulty = has(Finding::faults_setting);
        if unreliable {
            put(Limit::Trust, 0.0);
        } else if faulty {
            put(Limit::Setting, 0.0);
        }
        match turn.sound_fill_time() {
            Some(time) => {
                let allowed = bounds.margin * time;
                put(Limit::Skin, bounds.limits.skin / allowed);
                put(Limit::Bulk, bounds.limits.bulk / allowed);
                let lifting = turn.peaks.lifting_force.max(turn.hold_lifting_force);
                if let Some(hold_down) = bounds.hold_down.filter(|_| lifting > 0.0) {
                    put(Limit::MatrixLift, hold_down / lifting);
                }
                if let (Some(accepted), Some(left)) = (bounds.air, air_left(turn, bounds.air_mass)) {
                    put(Limit::TrappedAir, accepted / left);
                }
            }
            None if unreliable || faulty => {}
            None => put(Limit::Filling, (turn.filled / FULL).clamp(0.0, 1.0 - f64::EPSILON)),
        }
        put(Limit::Cooling, bounds.solid);
        // A stable sort: of equal margins the one named first above decides.
        kept.sort_by(|a, b| a.times.total_cmp(&b.times));
        Self { kept }
    }

    /// The limit with the least margin among those asked for.
    pub fn deciding(&self, of: impl Fn(Limit) -> bool) -> Option<Kept> {
        self.kept.iter().find(|kept| of(kept.limit)).copied()
    }

    /// How many times over the least of the limits asked for is kept; infinite where none of them is known.
    pub fn times(&self, of: impl Fn(Limit) -> bool) -> f64 {
        self.deciding(of).map_or(f64::INFINITY, |kept| kept.times)
    }

    /// Whether the setting fills the mould in time.
    pub fn fills(&self) -> bool {
        self.times(Limit::is_of_fill) >= 1.0
    }

    /// Whether the middle is solid before the mould opens.
    pub fn is_solid(&self) -> bool {
        self.times(|limit| limit == Limit::Cooling) >= 1.0
    }
}

impl Bounds {
    /// The bounds for a machine prepared for its cast. `solid` is the fastest pace that leaves the middle solid over the pace.
    pub fn of(machine: &Machine, terms: &super::Terms, solid: f64) -> Self {
        Self {
            limits: Limits::of(machine, terms.acceptance),
            margin: terms.acceptance.margin,
            solid,
            hold_down: machine.mould.hold_down,
            air: terms.accepted_air,
            air_mass: machine.mould.air_mass,
        }
    }
}

/// Share of the `air_mass` (kg) of an empty mould that is still in it once it is full and its vents are shut: the volume that
/// this air would take up at the pressure of the atmosphere, as a share of the mould. None where the mould does not become full.
pub fn air_left(turn: &Turn, air_mass: f64) -> Option<f64> {
    turn.fill?;
    Some(turn.first(EventKind::Full)?.before.air_mass / air_mass)
}
