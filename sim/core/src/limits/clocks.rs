//! The clocks that a fill is held against, each of the same machine, so that changing a value moves all of them together.

use crate::studies::judge::Acceptance;
use latchstroke_models::freezing::skin::SkinGrowth;
use latchstroke_models::freezing::{bulk_limit, lapping_limit, splashed_film_limit};
use latchstroke_models::machine::Machine;

/// Which clock ends first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clock {
    /// The metal that came in first is too cold to knit.
    Lapping,
    /// The skin on the face becomes thicker than the owner accepts.
    Skin,
    /// The metal stops flowing.
    Bulk,
}

/// How long the fill may take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clocks {
    /// Lapping, s: until the metal that came in first, lumped across the section, holds more solid than is accepted.
    pub lapping: f64,
    /// Skin, s: until metal at rest on the face hangs together to the accepted depth; without end where it never does.
    pub skin: f64,
    /// Bulk, s: until the lump no longer flows.
    pub bulk: f64,
    /// The lower bound of the skin clock, s: a film splashed ahead onto the face, with no hot metal behind it.
    pub splashed_film: f64,
    /// The least of the three clocks over the margin, s.
    pub allowed: f64,
    /// Skin as that time is up, m.
    pub skin_allowed: f64,
}

impl Clocks {
    /// The clocks of a machine's mould and metal.
    pub fn of(machine: &Machine, acceptance: Acceptance) -> Self {
        let (metal, mould) = (&machine.metal, &machine.mould);
        // A skin thicker than half the body, or one that takes longer than any turn, never comes.
        let growth = SkinGrowth::solve(metal, mould, acceptance.skin, 0.0);
        let skin = growth.time(acceptance.skin).unwrap_or(f64::INFINITY);
        let [lapping, bulk] = lumped(machine, acceptance);
        let allowed = lapping.min(skin).min(bulk) / acceptance.margin;
        Self {
            lapping,
            skin,
            bulk,
            splashed_film: splashed_film_limit(metal, mould, acceptance.skin),
            allowed,
            skin_allowed: growth.depth(allowed),
        }
    }

    /// The clocks as far as they tell whether a fill of `fill` (s) is in time: without the skin where another clock is the answer, and
    /// without end where the skin comes later than would matter. The verdict's turn stops where it is late ([`late`](Self::late)).
    pub fn for_fill(machine: &Machine, acceptance: Acceptance, fill: f64) -> Self {
        let (metal, mould) = (&machine.metal, &machine.mould);
        let [lapping, bulk] = lumped(machine, acceptance);
        let needed = acceptance.margin * fill;
        let asks = needed <= lapping.min(bulk);
        // A skin that comes a little later than needed comes late enough, whatever the last digit of the margin says.
        let within = needed * (1.0 + 1e-9);
        let skin = asks.then(|| SkinGrowth::time_within(metal, mould, acceptance.skin, within)).flatten();
        let skin = skin.unwrap_or(f64::INFINITY);
        let allowed = lapping.min(skin).min(bulk) / acceptance.margin;
        Self { lapping, skin, bulk, splashed_film: f64::INFINITY, allowed, skin_allowed: acceptance.skin }
    }

    /// From which time on a fill is late, whatever the skin, s.
    pub fn late(machine: &Machine, acceptance: Acceptance) -> f64 {
        let [lapping, bulk] = lumped(machine, acceptance);
        lapping.min(bulk) / acceptance.margin
    }

    /// The clock that ends first.
    pub fn deciding(&self) -> Clock {
        if self.lapping <= self.skin.min(self.bulk) {
            Clock::Lapping
        } else if self.skin <= self.bulk {
            Clock::Skin
        } else {
            Clock::Bulk
        }
    }

    /// How long a clock runs, s.
    pub fn of_clock(&self, clock: Clock) -> f64 {
        match clock {
            Clock::Lapping => self.lapping,
            Clock::Skin => self.skin,
            Clock::Bulk => self.bulk,
        }
    }
}

/// The clocks of lapping and of the bulk, s: closed forms of the lump.
fn lumped(machine: &Machine, acceptance: Acceptance) -> [f64; 2] {
    let (metal, mould) = (&machine.metal, &machine.mould);
    [lapping_limit(metal, mould, acceptance.solid), bulk_limit(metal, mould)]
}
