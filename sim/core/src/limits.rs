//! One list of limits: whether a cast will do is one question, and this is its one answer.
//!
//! For a machine, a size, a pace and a setting of the latch every limit stands in one list ([`Standing`]) with its value, its
//! bound, the reserve asked for, and a state. Verdicts, windows, thresholds, remedies, designs, headlines and exit codes all go
//! by that list; nothing else decides.
//!
//! One scale serves all of them: a limit's *factor* is how many times over it is kept once the reserve is used up,
//! bound/(reserve·value) for what must stay below its bound and value/(reserve·bound) for what must reach it. From one on the
//! limit is kept.

mod clocks;
mod freezing;
mod standing;

use strum::VariantArray;

pub use clocks::{Clock, Clocks};
pub use freezing::Freezings;
pub use standing::{Does, Reading, Standing, air_left};

/// What a machine and a cast must keep within.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray)]
pub enum Limit {
    /// Every spring goes into its gap and is not solid at rest.
    SpringsFit,
    /// No spring lies loose at rest.
    SpringsTight,
    /// No spring becomes solid over the lift.
    CoilsApart,
    /// The latch lets go.
    LatchTrips,
    /// The latch holds.
    LatchHolds,
    /// The stress in the wire stays below what it may bear.
    WireStress,
    /// The follower stays on its cam.
    FollowerStays,
    /// The rod's extension goes through the springs.
    ExtensionClears,
    /// The abutment does not strike the extension's socket over the lift.
    SocketClears,
    /// The mould is reached and becomes full.
    Filled,
    /// The first metal is not too cold to knit as the mould is full.
    Lapping,
    /// The skin on the face is not too thick as the mould is full.
    Skin,
    /// The metal still flows as the mould is full.
    Bulk,
    /// The pressure does not lift the matrix.
    MatrixHeld,
    /// No more air stays in the mould than is accepted.
    TrappedAir,
    /// The middle is solid before the mould opens.
    Solid,
}

/// What a limit is measured in, all SI.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// s.
    Time,
    /// m.
    Length,
    /// N.
    Force,
    /// Pa.
    Stress,
    /// A share of one.
    Share,
}

impl Limit {
    /// Every limit, those of the machine first, in the order in which they are told.
    pub const ALL: &'static [Self] = Self::VARIANTS;

    /// Whether it is of the machine itself, whatever is cast.
    pub fn is_of_machine(self) -> bool {
        self < Self::Filled
    }

    /// Whether it is one of the clocks that the fill is held against.
    pub fn is_clock(self) -> bool {
        matches!(self, Self::Lapping | Self::Skin | Self::Bulk)
    }

    /// What its value and bound are measured in.
    pub fn quantity(self) -> Quantity {
        match self {
            Self::SpringsFit
            | Self::SpringsTight
            | Self::CoilsApart
            | Self::LatchTrips
            | Self::LatchHolds
            | Self::ExtensionClears
            | Self::SocketClears => Quantity::Length,
            Self::WireStress => Quantity::Stress,
            Self::FollowerStays | Self::MatrixHeld => Quantity::Force,
            Self::Filled | Self::TrappedAir => Quantity::Share,
            Self::Lapping | Self::Skin | Self::Bulk | Self::Solid => Quantity::Time,
        }
    }
}

/// Why nothing is known of a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unknown {
    /// No bound is stated, or the measure that it takes.
    NotStated,
    /// The turn could not be solved so that its figures can be trusted.
    Untrusted,
    /// The mould does not become full, so that there is no fill to measure.
    NeverFull,
    /// The springs do not go into their gap: there is no such machine to turn.
    NoRoom,
}

/// How a limit stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Kept, with the reserve asked for.
    Kept,
    /// Within its bound, but inside the reserve: not kept.
    Near,
    /// Missed.
    Missed,
    /// Not known.
    NotKnown(Unknown),
}

/// One limit of the list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// The limit.
    pub limit: Limit,
    /// What is taken up, SI; none where it cannot be told.
    pub value: Option<f64>,
    /// What is allowed, SI; none where none is stated.
    pub bound: Option<f64>,
    /// How many times over the bound must be kept.
    pub reserve: f64,
    /// How many times over the limit is kept with the reserve used up; from one on it is. Without end where nothing is known.
    pub factor: f64,
    /// How it stands.
    pub state: State,
}

impl Margin {
    /// What must stay below its bound.
    pub(crate) fn below(limit: Limit, value: f64, bound: f64, reserve: f64) -> Self {
        let ratio = if value > 0.0 { bound / value } else { f64::INFINITY };
        Self::at(limit, ratio, (Some(value), Some(bound)), reserve)
    }

    /// A limit kept `ratio` times over, the reserve not counted.
    pub(crate) fn at(
        limit: Limit,
        ratio: f64,
        (value, bound): (Option<f64>, Option<f64>),
        reserve: f64,
    ) -> Self {
        // A limit that is missed by more than can be told stands at nothing.
        let ratio = if ratio.is_nan() { 0.0 } else { ratio.max(0.0) };
        let factor = ratio / reserve;
        let state = match () {
            () if factor >= 1.0 => State::Kept,
            () if ratio >= 1.0 => State::Near,
            () => State::Missed,
        };
        Self { limit, value, bound, reserve, factor, state }
    }

    fn unknown(limit: Limit, value: Option<f64>, bound: Option<f64>, why: Unknown) -> Self {
        Self { limit, value, bound, reserve: 1.0, factor: f64::INFINITY, state: State::NotKnown(why) }
    }

    /// Whether it is kept, with the reserve asked for.
    pub fn is_kept(&self) -> bool {
        self.state == State::Kept
    }

    /// Whether it stands in the way: missed, or inside the reserve.
    pub fn is_in_the_way(&self) -> bool {
        matches!(self.state, State::Near | State::Missed)
    }

    /// Whether anything is known of it.
    pub fn is_known(&self) -> bool {
        !matches!(self.state, State::NotKnown(_))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_limits_are_clocks() {
        let clocks: Vec<Limit> = Limit::ALL.iter().copied().filter(|limit| limit.is_clock()).collect();
        assert_eq!(clocks, [Limit::Lapping, Limit::Skin, Limit::Bulk]);
    }

    #[test]
    fn a_margin_is_kept_near_missed_or_not_known() {
        let stands = |value: f64| Margin::below(Limit::Bulk, value, 3.0, 1.5);
        for (value, factor, state) in [
            (2.0, 1.0, State::Kept),
            (2.5, 0.8, State::Near),
            (3.0, 2.0 / 3.0, State::Near),
            (4.0, 0.5, State::Missed),
            (0.0, f64::INFINITY, State::Kept),
            (-1.0, f64::INFINITY, State::Kept),
        ] {
            let margin = stands(value);
            assert!(margin.is_known() && margin.state == state, "{margin:?}");
            assert!((1.0 / margin.factor - 1.0 / factor).abs() < 1e-12, "{margin:?}");
            assert_eq!(
                (margin.is_kept(), margin.is_in_the_way()),
                (state == State::Kept, state != State::Kept)
            );
        }
        // What cannot be compared is missed.
        assert_eq!(Margin::at(Limit::Bulk, f64::NAN, (None, None), 1.0).factor.to_bits(), 0.0_f64.to_bits());
        let unknown = Margin::unknown(Limit::Bulk, Some(1.0), None, Unknown::NotStated);
        assert!(!unknown.is_known() && !unknown.is_kept() && !unknown.is_in_the_way());
        assert_eq!(unknown.reserve.to_bits(), 1.0_f64.to_bits());
    }
}
