//! The clocks of one cast over a range of interface coefficients: how much time there was for each time needed.
//!
//! The turn is solved at [`TURNS`] coefficients, evenly by ratio; between them the logarithm of the fill time runs straight.
//! Skin is solved at every coefficient of the grid; lapping and bulk limit are in closed form and hang on the coefficient alone. No
//! margin is asked for: experience says what came out.

use super::posterior::Posterior;
use crate::limits::{Clocks as Judged, Limit, Margin, Reading, Standing};
use crate::parallel::prelude::*;
use crate::studies::cooling::{cooling, fastest_solid};
use crate::studies::judge::{Cast, PACES, Solid, Terms};
use crate::studies::watch::Watch;
use crate::turn::{Finding, Turn, solve};
use latchstroke_models::fault::Fault;
use latchstroke_models::freezing::skin::SkinGrowth;
use latchstroke_models::freezing::{bulk_limit, lapping_limit};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Angle, HeatTransfer, Pace};
use std::f64::consts::LN_10;

/// Turns solved for one cast; odd, so that one has the coefficient in the middle of the grid.
pub const TURNS: usize = 25;
/// Slacks go no further than a factor of ten either way, which is as certain as can be. A cast that never fills is taken as
/// ten times too late.
const FARTHEST: f64 = LN_10;

/// The slacks of one cast over the grid of a [`Posterior`].
#[derive(Debug, Clone, PartialEq)]
pub struct Clocks {
    /// ln(lapping limit / fill time).
    pub lapping: Vec<f64>,
    /// ln(skin limit / fill time).
    pub skin: Vec<f64>,
    /// ln(bulk limit / fill time).
    pub bulk: Vec<f64>,
    /// Whether every limit of the list but the clocks, the filling and the cooling is kept, with the coefficient in the middle of
    /// the grid: these hang on the coefficient and are weighed over it, the others are not.
    pub works: bool,
    /// Whether a turn could be solved so that it can be trusted, at one coefficient at least.
    pub trusted: bool,
}

/// Which of the two clocks of the streams and the face count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ruling {
    /// Lapping alone.
    Lapping,
    /// Skin alone.
    Skin,
    /// The lesser of both, as the judge has it.
    Least,
}

impl Clocks {
    /// Slack of the clocks that spoil the face: below nought it laps or its edges are round.
    pub fn face(&self, ruling: Ruling) -> Vec<f64> {
        match ruling {
            Ruling::Lapping => self.lapping.clone(),
            Ruling::Skin => self.skin.clone(),
            Ruling::Least => least(&self.lapping, &self.skin),
        }
    }

    /// The least slack of all: the cast fills in time where it is above nought.
    pub fn filling(&self, ruling: Ruling) -> Vec<f64> {
        least(&self.face(ruling), &self.bulk)
    }
}

/// The lesser of two slacks, point by point.
pub fn least(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(a, b)| a.min(*b)).collect()
}

/// A machine with another interface coefficient (W/m²K) while it fills and, where given, another pot temperature (K). A
/// coefficient of its own for the packed mould goes with it by the same ratio: what lies between metal and wall is the same.
pub(super) fn with(stated: &MachineStatement, film: f64, pot: Option<f64>) -> MachineStatement {
    let mut stated = stated.clone();
    let ratio = film / stated.mould.heat_transfer.0;
    stated.mould.packed_heat_transfer =
        stated.mould.packed_heat_transfer.map(|packed| HeatTransfer(packed.0 * ratio));
    stated.mould.heat_transfer = HeatTransfer(film);
    if let Some(pot) = pot {
        stated.metal = stated.metal.at_pot(pot);
    }
    stated
}

/// The clocks of a cast; none when the work is called off.
///
/// # Errors
/// The faults of the statement.
pub fn clocks(
    stated: &MachineStatement,
    (cast, setting, pot): (Cast, LatchSetting, Option<f64>),
    grid: &Posterior,
    terms: &Terms,
    watch: &impl Watch,
) -> Result<Option<Clocks>, Vec<Fault>> {
    let prepare = |film: f64| Machine::prepare(&with(stated, film, pot), cast.sort, cast.pace, setting);
    let mut fills = Vec::with_capacity(TURNS);
    let mut works = false;
    for (n, film) in nodes(grid).into_iter().enumerate() {
        if watch.called_off() {
            return Ok(None);
        }
        let machine = prepare(film)?;
        let turn = solve(&machine, terms.accuracy);
        if n == TURNS / 2 {
            works = keeps_the_others((&machine, &turn), cast.pace, terms);
        }
        // A turn that cannot be trusted says nothing; its neighbours stand in for it.
        if !turn.findings.iter().any(Finding::makes_unreliable) {
            fills.push((film, turn.sound_fill_time().map(libm::log)));
        }
        watch.advance(1);
    }
    // All coefficients alike can be prepared, for the nodes have been.
    let known = |film: f64| prepare(film).ok().zip(between(&fills, film));
    let slack = |limit: f64, fill: f64| (libm::log(limit) - fill).clamp(-FARTHEST, FARTHEST);
    let thickest = grid.skins().last().copied().unwrap_or(0.0);
    let skin = grid.field(|film| {
        let growth = known(film)
            .map(|(machine, fill)| (SkinGrowth::solve(&machine.metal, &machine.mould, thickest, 0.0), fill));
        // A skin thicker than half the body never comes.
        let limit = |growth: &SkinGrowth, skin: f64| growth.time(skin).unwrap_or(f64::INFINITY);
        move |skin| growth.as_ref().map_or(-FARTHEST, |(growth, fill)| slack(limit(growth, skin), *fill))
    });
    let of_coefficient = |limit: &dyn Fn(&Machine) -> f64| {
        grid.field(|film| {
            let slack = known(film).map_or(-FARTHEST, |(machine, fill)| slack(limit(&machine), fill));
            move |_| slack
        })
    };
    let accepted = terms.acceptance.solid;
    Ok(Some(Clocks {
        lapping: of_coefficient(&|m| lapping_limit(&m.metal, &m.mould, accepted)),
        skin,
        bulk: of_coefficient(&|m| bulk_limit(&m.metal, &m.mould)),
        works,
        trusted: !fills.is_empty(),
    }))
}

/// Whether a turn keeps every limit but the clocks, the filling and the cooling.
fn keeps_the_others((machine, turn): (&Machine, &Turn), pace: Pace, terms: &Terms) -> bool {
    let solid = Solid::at(cooling(machine, terms.shut), terms.shut, pace);
    let clocks = Judged::of(machine, terms.acceptance);
    let standing = Standing::of((machine, turn), &clocks, &solid, terms, Reading::Still);
    let weighed =
        |margin: &Margin| margin.limit.is_clock() || matches!(margin.limit, Limit::Filled | Limit::Solid);
    standing.in_the_way().all(weighed)
}

/// The fastest pace (turns/s, as a logarithm) that leaves a sort solid, at each of the coefficients at which turns are solved.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooled(Vec<(f64, Option<f64>)>);

impl Cooled {
    /// Of a sort from a pot (K) of another temperature, where given.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn of(
        stated: &MachineStatement,
        (sort, pot): (Sort, Option<f64>),
        shut: Angle,
        grid: &Posterior,
    ) -> Result<Self, Vec<Fault>> {
        let limits = nodes(grid).into_par_iter().map(|film| {
            let cooling = fastest_solid(&with(stated, film, pot), sort, shut)?;
            Ok((film, Some(libm::log(cooling.map_or(PACES.0, |cooling| cooling.pace)))))
        });
        Ok(Self(limits.collect::<Result<_, Vec<Fault>>>()?))
    }

    /// Slack of the cooling at a pace, ln(fastest pace that leaves it solid / the pace), over the grid.
    pub fn slack(&self, pace: Pace, grid: &Posterior) -> Vec<f64> {
        let own = libm::log(pace.0);
        grid.field(|film| {
            let limit = between(&self.0, film);
            move |_| limit.map_or(-FARTHEST, |limit| (limit - own).clamp(-FARTHEST, FARTHEST))
        })
    }
}

/// The coefficients at which turns are solved: over the grid's range, evenly by ratio.
fn nodes(grid: &Posterior) -> Vec<f64> {
    let (Some(&low), Some(&high)) = (grid.films().first(), grid.films().last()) else { return Vec::new() };
    let share = |n: usize| n as f64 / (TURNS - 1) as f64;
    (0..TURNS).map(|n| low * libm::pow(high / low, share(n))).collect()
}

/// The straight line, over the logarithm of the coefficient, between what is known at coefficients that rise; the nearer of two
/// where one is unknown, and the outermost beyond them.
fn between(known: &[(f64, Option<f64>)], film: f64) -> Option<f64> {
    let above = known.partition_point(|(at, _)| *at < film);
    let (&(b, at_b), before) = (known.get(above).or(known.last())?, above.checked_sub(1));
    let Some(&(a, at_a)) = before.and_then(|n| known.get(n)).filter(|(a, _)| *a < b) else { return at_b };
    let share = (libm::log(film / a) / libm::log(b / a)).clamp(0.0, 1.0);
    match (at_a, at_b) {
        (Some(at_a), Some(at_b)) => Some(at_a + share * (at_b - at_a)),
        _ if share < 0.5 => at_a,
        _ => at_b,
    }
}
