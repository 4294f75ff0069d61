//! The clocks of one cast over a range of interface coefficients: how much time there was for each time needed.
//!
//! The turn is solved at [`TURNS`] coefficients, evenly by ratio; between them the logarithm of the fill time runs straight.
//! Skin is solved at every coefficient of the grid, and the bulk limit is in closed form. No margin is asked for: experience says what came out.

use super::posterior::Posterior;
use crate::parallel::prelude::*;
use crate::studies::cooling::fastest_solid;
use crate::studies::judge::{Cast, PACES};
use crate::studies::watch::Watch;
use crate::turn::{Accuracy, Finding, Turn, solve};
use latchstroke_models::fault::Fault;
use latchstroke_models::freezing::bulk_limit;
use latchstroke_models::freezing::skin::SkinGrowth;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::{Angle, HeatTransfer, Temperature};
use std::f64::consts::LN_10;

/// Turns solved for one cast; odd, so that one has the coefficient in the middle of the grid.
pub const TURNS: usize = 25;
/// Slacks go no further than a factor of ten either way, which is as certain as can be. A cast that never fills is taken as
/// ten times too late.
const FARTHEST: f64 = LN_10;

/// The slacks of one cast over the grid of a [`Posterior`].
#[derive(Debug, Clone, PartialEq)]
pub struct Clocks {
    /// ln(skin limit / fill time).
    pub skin: Vec<f64>,
    /// ln(bulk limit / fill time).
    pub bulk: Vec<f64>,
    /// Whether the setting itself works, with the coefficient in the middle of the grid: the latch holds and lets go, no coils
    /// touch, and the follower stays on its cam.
    pub works: bool,
    /// Whether the pressure lifts the matrix there.
    pub lifts: bool,
}

impl Clocks {
    /// The lesser of both slacks: the cast fills in time where it is above zero.
    pub fn filling(&self) -> Vec<f64> {
        self.skin.iter().zip(&self.bulk).map(|(skin, bulk)| skin.min(*bulk)).collect()
    }
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
        stated.metal.pot_temperature = Temperature(pot);
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
    accuracy: Accuracy,
    watch: &impl Watch,
) -> Result<Option<Clocks>, Vec<Fault>> {
    let prepare = |film: f64| Machine::prepare(&with(stated, film, pot), cast.sort, cast.pace, setting);
    let nodes = nodes(grid);
    let mut turns: Vec<Turn> = Vec::with_capacity(TURNS);
    for &film in &nodes {
        if watch.called_off() {
            return Ok(None);
        }
        turns.push(solve(&prepare(film)?, accuracy));
        watch.advance(1);
    }
    let fills: Vec<Option<f64>> = turns.iter().map(|turn| turn.sound_fill_time().map(f64::ln)).collect();
    let among_middle = |is_so: fn(&Finding) -> bool| {
        turns.get(TURNS / 2).is_some_and(|turn| turn.findings.iter().any(is_so))
    };
    // All coefficients alike can be prepared, for the nodes have been.
    let known = |film: f64| prepare(film).ok().zip(between(&nodes, &fills, film));
    let slack = |limit: f64, fill: f64| (limit.ln() - fill).clamp(-FARTHEST, FARTHEST);
    let thickest = grid.skins().last().copied().unwrap_or(0.0);
    let skin = grid.field(|film| {
        let growth = known(film)
            .map(|(machine, fill)| (SkinGrowth::solve(&machine.metal, &machine.mould, thickest, 0.0), fill));
        // A skin thicker than half the body never comes.
        let limit = |growth: &SkinGrowth, skin: f64| growth.time(skin).unwrap_or(f64::INFINITY);
        move |skin| growth.as_ref().map_or(-FARTHEST, |(growth, fill)| slack(limit(growth, skin), *fill))
    });
    let bulk = grid.field(|film| {
        let slack = known(film)
            .map_or(-FARTHEST, |(machine, fill)| slack(bulk_limit(&machine.metal, &machine.mould), fill));
        move |_| slack
    });
    Ok(Some(Clocks {
        skin,
        bulk,
        works: !among_middle(Finding::faults_setting),
        lifts: among_middle(|finding| matches!(finding, Finding::MatrixLifts { .. })),
    }))
}

/// Slack of the cooling of a cast, ln(fastest pace that leaves it solid / its pace), over the grid.
///
/// # Errors
/// The faults of the statement.
pub fn cooling_slack(
    stated: &MachineStatement,
    (cast, pot): (Cast, Option<f64>),
    shut: Angle,
    grid: &Posterior,
) -> Result<Vec<f64>, Vec<Fault>> {
    let nodes = nodes(grid);
    let paces: Vec<Option<f64>> = nodes
        .par_iter()
        .map(|&film| {
            let cooling = fastest_solid(&with(stated, film, pot), cast.sort, shut)?;
            Ok(Some(cooling.map_or(PACES.0, |cooling| cooling.pace).ln()))
        })
        .collect::<Result<_, Vec<Fault>>>()?;
    let own = cast.pace.0.ln();
    Ok(grid.field(|film| {
        let limit = between(&nodes, &paces, film);
        move |_| limit.map_or(-FARTHEST, |limit| (limit - own).clamp(-FARTHEST, FARTHEST))
    }))
}

/// The coefficients at which turns are solved: over the grid's range, evenly by ratio.
fn nodes(grid: &Posterior) -> Vec<f64> {
    let (Some(&low), Some(&high)) = (grid.films().first(), grid.films().last()) else { return Vec::new() };
    let share = |n: usize| n as f64 / (TURNS - 1) as f64;
    (0..TURNS).map(|n| low * (high / low).powf(share(n))).collect()
}

/// The straight line, over the logarithm of the coefficient, between what is known at the nodes; the nearer node where one of
/// the two is unknown.
fn between(nodes: &[f64], values: &[Option<f64>], film: f64) -> Option<f64> {
    let known: Vec<(f64, Option<f64>)> = nodes.iter().copied().zip(values.iter().copied()).collect();
    // The last stretch also takes what rounding puts past its end.
    let mut stretches = known.windows(2);
    let pair =
        stretches.find(|pair| pair.last().is_some_and(|last| film <= last.0)).or(known.windows(2).last());
    let [(a, at_a), (b, at_b)] = *pair? else { return None };
    let share = ((film / a).ln() / (b / a).ln()).clamp(0.0, 1.0);
    match (at_a, at_b) {
        (Some(at_a), Some(at_b)) => Some(at_a + share * (at_b - at_a)),
        _ if share < 0.5 => at_a,
        _ => at_b,
    }
}
