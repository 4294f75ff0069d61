//! How warm does the mould get, how soon, and what does that do to the type?
//!
//! From cold, the mould is taken turn by turn through what each cast gives it and the cooling takes
//! ([`latchstroke_models::cooling_water::Balance::turn`]) until it has settled, and the type's cooling is solved against the cold
//! and the settled wall ([`super::cooling`]).

use super::judge::{Cast, PACES};
use crate::parallel::prelude::*;
use latchstroke_models::cooling_water::{BOILING, Balance};
use latchstroke_models::fault::Fault;
use latchstroke_models::freezing::casting::Casting;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::Pace;

/// How near to where it settles the mould counts as warm, K.
pub const NEAR: f64 = 1.0;
/// Casts followed at most: a day's work at a fast pace.
pub const MOST_CASTS: usize = 100_000;
/// The fewest casts followed, unless told how many.
const FEWEST_CASTS: usize = 20;

/// Where a mould settles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settled {
    /// T_m, K.
    pub mould: f64,
    /// T_out of the water, K.
    pub outlet: f64,
}

/// The mould warming up with one cast.
#[derive(Debug, Clone, PartialEq)]
pub struct WarmUp {
    /// The size and the pace.
    pub cast: Cast,
    /// The mould's temperature at the start and after each cast followed, K.
    pub temperatures: Vec<f64>,
    /// Where it settles.
    pub settled: Settled,
    /// Heat of a cast to the cold mould, J.
    pub first_heat: f64,
    /// Heat of a cast to the settled mould, J.
    pub heat: f64,
    /// Heat to the water and to the air once settled, W.
    pub carried: (f64, f64),
    /// Casts until within [`NEAR`] of where it settles; none when that takes more than [`MOST_CASTS`].
    pub casts_until_warm: Option<usize>,
    /// How long the mould stays shut, s.
    pub shut_time: f64,
    /// When the middle is solid in the cold mould, s; none when it takes longer than [`PACES`] allow.
    pub solid_cold: Option<f64>,
    /// When it is in the settled mould.
    pub solid_warm: Option<f64>,
    /// Where it would settle with half the water.
    pub half_water: Settled,
    /// Where it would settle at twice the pace.
    pub twice_pace: Settled,
    /// T_sol, K.
    pub solidus: f64,
}

impl WarmUp {
    /// Whether the settled mould is too hot for anything to freeze in it.
    pub fn never_freezes(&self) -> bool {
        self.settled.mould >= self.solidus
    }

    /// Whether the middle of the type is solid in the settled mould before it opens.
    pub fn solid_in_time(&self) -> bool {
        self.solid_warm.is_some_and(|time| time <= self.shut_time)
    }

    /// Whether the water would boil before it leaves the mould.
    pub fn boils(&self) -> bool {
        self.settled.outlet >= BOILING
    }

    /// Whether the mould is so hot that water may boil where it touches it.
    pub fn may_boil(&self) -> bool {
        self.settled.mould >= BOILING
    }

    /// Time until warm, s.
    pub fn time_until_warm(&self) -> Option<f64> {
        self.casts_until_warm.map(|casts| casts as f64 / self.cast.pace.0)
    }
}

/// The mould warming up with each of `casts`, on all cores; the answers stand in their order. All are followed for `followed`
/// casts, or for half as many again as the slowest takes to be warm. None when the mould's temperature is stated, and no water
/// that cools it.
///
/// # Errors
/// The faults of the statement.
pub fn warm_ups(
    stated: &MachineStatement,
    casts: &[Cast],
    followed: Option<usize>,
) -> Result<Option<Vec<WarmUp>>, Vec<Fault>> {
    let answers: Result<Option<Vec<(WarmUp, Balance)>>, _> =
        casts.par_iter().map(|&cast| warm_up(stated, cast)).collect();
    let Some(mut answers) = answers? else { return Ok(None) };
    let longest = answers.iter().map(|(answer, _)| answer.casts_until_warm.unwrap_or(MOST_CASTS)).max();
    let followed =
        followed.unwrap_or_else(|| (longest.unwrap_or(0) * 3 / 2).max(FEWEST_CASTS)).min(MOST_CASTS);
    for (answer, balance) in &mut answers {
        answer.temperatures = course(balance).take(followed + 1).collect();
    }
    Ok(Some(answers.into_iter().map(|(answer, _)| answer).collect()))
}

fn warm_up(stated: &MachineStatement, cast: Cast) -> Result<Option<(WarmUp, Balance)>, Vec<Fault>> {
    // At the slowest pace, where the mould is coolest: a mould too hot at the pace asked for is an answer here, not a fault.
    let machine = Machine::prepare(stated, cast.sort, Pace(PACES.0), LatchSetting::Aside)?;
    let Some(balance) = machine.mould.balance else { return Ok(None) };
    let balance = balance.at(cast.pace);
    let settled = settle(&balance);
    let cold = balance.water.idle();
    let give_up = balance.water.shut_share / PACES.0;
    let casting = Casting::of(&machine.metal, &machine.mould);
    let solid = |wall: f64| {
        // Against a wall at its solidus the middle never gets there.
        if wall < machine.metal.solidus { Some(casting.solid(wall, give_up)?.time) } else { None }
    };
    let answer = WarmUp {
        cast,
        temperatures: vec![cold],
        settled,
        first_heat: balance.heat_per_cast(cold),
        heat: balance.heat_per_cast(settled.mould),
        carried: (balance.water.to_water(settled.mould), balance.water.to_air(settled.mould)),
        casts_until_warm: course(&balance)
            .take(MOST_CASTS + 1)
            .position(|now| (now - settled.mould).abs() <= NEAR),
        shut_time: balance.shut_time(),
        solid_cold: solid(cold),
        solid_warm: solid(settled.mould),
        half_water: settle(&balance.with_water(0.5)),
        twice_pace: settle(&balance.at(Pace(2.0 * cast.pace.0))),
        solidus: machine.metal.solidus,
    };
    Ok(Some((answer, balance)))
}

fn settle(balance: &Balance) -> Settled {
    let mould = balance.steady();
    Settled { mould, outlet: balance.water.outlet(mould) }
}

/// The mould's temperature from cold on, at the start and after each cast.
fn course(balance: &Balance) -> impl Iterator<Item = f64> {
    std::iter::successors(Some(balance.water.idle()), move |&now| Some(balance.turn(now).temperature))
}
