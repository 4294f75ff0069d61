//! How skin grows on a face that the metal has filled.
//!
//! Skin is the depth from the face to which metal hangs together: where at least the share f_crit of it is solid
//! ([`crate::metal::Metal::sealing_fraction`]). It grows in metal that lies still against the wall from the moment it arrives, at
//! the pot's temperature, with h of filling between: half of the lesser of body and set, in one dimension, solved by its heat
//! ([`super::slab`]) on a grid that is fine at the wall. First the face has to cool to the temperature at which f_crit is solid, and
//! all that lies behind it goes on feeding heat to it: this takes three to five times as long as a film that freezes by itself
//! ([`super::splashed_film_limit`]).
//!
//! Left out: that the metal moves while the mould fills, which brings heat to the face; and the face's corners, which cool two
//! ways.

use super::course::{depth, progress};
use super::grid::Grid;
use super::interface::{Interface, between};
use super::slab::{End, Slab, Walls};
use super::substance::Substance;
use crate::metal::Metal;
use crate::mould::Mould;

/// The longest growth followed, s: that of a turn at one a minute.
const LONGEST: f64 = 60.0;
/// Width of the first cell as a share of k/h, the depth over which cold metal stands out from the wall at first, and between
/// which widths it is kept, m.
const FIRST: (f64, (f64, f64)) = (0.04, (1e-6, 6e-6));
/// Width of each cell over that of its neighbour toward the wall.
const GROWTH: f64 = 1.1;
/// The widest cell, as a share of the half thickness.
const WIDEST: f64 = 0.05;
/// Error of a step as a share of the heat lost so far.
const TOLERANCE: f64 = 2e-3;

/// Skin over time.
///
/// Times are within 0.5 % of those of fine grids for skins from 0.02 to 0.5 mm, at 3 to 50 kW/(m²·K) and 5 to 72 points, and
/// within 1 % down to the middle and up to 200 kW/(m²·K). For metal that freezes at one temperature, whose front steps from cell
/// to cell, they are within 1 % up to 50 kW/(m²·K) and 3 % beyond. So are depths, but where a change of time by so much makes
/// more of it: just after the skin has begun, and just before it meets that of the other face.
#[derive(Debug, Clone, PartialEq)]
pub struct SkinGrowth {
    half: f64,
    /// Time, s, and how far the skin has come: 1 − (1 − s/b)², which has no kinks; see [`depth`].
    progress: Vec<(f64, f64)>,
}

impl SkinGrowth {
    /// The growth against the wall of a prepared mould, until the skin is `depth` (m) deep and `time` (s) has passed, or until
    /// it has gone through to the middle, but for no longer than a minute.
    ///
    /// A tenth to a fifth of a millisecond for the skins that casters accept.
    pub fn solve(metal: &Metal, mould: &Mould, depth: f64, time: f64) -> Self {
        Self::until(metal, mould, End::Skin { depth, time, within: f64::INFINITY, give_up: LONGEST })
    }

    /// Time, s, until the skin is `depth` (m) deep, as [`SkinGrowth::time`] of the whole growth has it; none where that is later than
    /// `within` (s), beyond which little is solved.
    pub fn time_within(metal: &Metal, mould: &Mould, depth: f64, within: f64) -> Option<f64> {
        let end = End::Skin { depth, time: 0.0, within, give_up: LONGEST };
        Self::until(metal, mould, end).time(depth).filter(|time| *time <= within)
    }

    fn until(metal: &Metal, mould: &Mould, end: End) -> Self {
        let half = 0.5 * mould.body.min(mould.set);
        let h = mould.heat_transfer;
        let walls = Walls { temperature: mould.wall_temperature, interface: Interface::Constant(h) };
        let (share, (least, most)) = FIRST;
        let first = (share * metal.conductivity_liquid / h).clamp(least, most);
        let grid = Grid::widening(half, first, GROWTH, WIDEST * half);
        let substance = Substance::of_metal(metal);
        let poured = substance.curve().greatest_heat(metal.pot_temperature);
        let slab = Slab::early(grid, substance, walls, TOLERANCE);
        let course = slab.course(|_| poured, metal.sealing_fraction, end);
        let mut progress: Vec<(f64, f64)> = Vec::with_capacity(course.moments.len());
        for moment in &course.moments {
            // Steps of a front from cell to cell may set it back by a hair.
            let reached = progress.last().map_or(f64::NEG_INFINITY, |last| last.1);
            progress.push((moment.time, moment.progress.max(reached)));
        }
        Self { half, progress }
    }

    /// s, m, `time` (s) after the metal arrived; beyond what was solved for, the last that was.
    pub fn depth(&self, time: f64) -> f64 {
        depth(between(&self.progress, time), self.half)
    }

    /// Time, s, after the metal arrived until the skin is `depth` (m) deep; none where that is deeper than the middle, or than
    /// what was solved for.
    pub fn time(&self, depth: f64) -> Option<f64> {
        if depth > self.half {
            return None;
        }
        let wanted = progress(depth, self.half);
        let after = self.progress.iter().position(|point| point.1 >= wanted)?;
        let high = self.progress.get(after)?;
        let Some(low) = after.checked_sub(1).and_then(|before| self.progress.get(before)) else {
            return Some(high.0);
        };
        Some(low.0 + (high.0 - low.0) * (wanted - low.1) / (high.1 - low.1))
    }
}
