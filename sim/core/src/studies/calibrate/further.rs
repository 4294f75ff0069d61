//! Which further cast would teach most, and what is to be expected of all that were asked about.

use super::clocks::{Clocks, Cooled, Ruling, TURNS, clocks, with};
use super::{Calibration, Estimate, Evidence, Outcome, Posterior, sound};
use crate::parallel::prelude::*;
use crate::studies::cooling::fastest_solid;
use crate::studies::judge::{Cast, Terms};
use crate::studies::watch::Watch;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting::{self, Aside, Set};
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Pace;

/// How sure an owner is taken to be of a cast still to be made.
const SURE: f64 = 0.95;
/// A cast that teaches less than this, in bits, is not worth the metal.
const LEAST: f64 = 0.05;
/// One that is as good as certain to fail, or to come out sound, is no experiment.
const OPEN: (f64, f64) = (0.05, 0.95);
/// How many are proposed, each of another size.
const PROPOSED: usize = 3;

/// A cast not made yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// What would be cast.
    pub cast: Cast,
    /// With the latch so.
    pub setting: LatchSetting,
    /// The chance that it is sound.
    pub chance: f64,
    /// What its outcome would tell, bits.
    pub information: f64,
    /// Whether it can be tried: every limit but those of filling is kept, and the type is solid in time, be it by the low end of
    /// the coefficient or because one at least as thick is remembered as sound at no slower a pace.
    pub can_be_tried: bool,
    slack: Vec<f64>,
}

/// A cast worth making.
#[derive(Debug, Clone, PartialEq)]
pub struct Further {
    /// Which.
    pub outlook: Outlook,
    /// The accepted skin, with the interface coefficient as stated, if it comes out sound.
    pub if_sound: Estimate,
    /// The same if it fails.
    pub if_failed: Estimate,
}

/// How many turns [`outlooks`] solves.
pub fn turns(sorts: usize, paces: usize) -> usize {
    2 * TURNS * sorts * paces
}

/// The outlook for every size, pace and setting, in that order; none when the work is called off.
///
/// # Errors
/// The faults of the statement.
pub fn outlooks(
    stated: &MachineStatement,
    sorts: &[Sort],
    paces: &[Pace],
    terms: &Terms,
    calibration: &Calibration,
    watch: &impl Watch,
) -> Result<Option<Vec<Outlook>>, Vec<Fault>> {
    let posterior = &calibration.posterior;
    let slow = with(stated, posterior.film().low, None);
    let solid: Vec<(f64, Cooled)> = sorts
        .par_iter()
        .map(|&sort| {
            let by_model = fastest_solid(&slow, sort, terms.shut)?.map_or(0.0, |cooling| cooling.pace);
            let cooled = Cooled::of(stated, (sort, None), terms.shut, posterior)?;
            Ok((by_model.max(fastest_remembered(calibration, sort)), cooled))
        })
        .collect::<Result<_, Vec<Fault>>>()?;
    let asked: Vec<(Cast, LatchSetting, &(f64, Cooled))> = sorts
        .iter()
        .zip(&solid)
        .flat_map(|(&sort, solid)| paces.iter().map(move |&pace| (Cast { sort, pace }, solid)))
        .flat_map(|(cast, solid)| [(cast, Aside, solid), (cast, Set, solid)])
        .collect();
    asked
        .par_iter()
        .map(|&(cast, setting, (solid, cooled))| {
            let found = clocks(stated, (cast, setting, None), posterior, terms, watch)?;
            Ok(found.map(|clocks: Clocks| {
                let chance = sound(posterior, &clocks, &cooled.slack(cast.pace, posterior));
                let slack = clocks.filling(Ruling::Least);
                let information = posterior.information(&slack, SURE);
                let can_be_tried = cast.pace.0 <= *solid && clocks.works && clocks.trusted;
                Outlook { cast, setting, chance, information, can_be_tried, slack }
            }))
        })
        .collect()
}

/// The fastest pace, turns/s, at which a sort at least as thick is remembered as sound from the pot as stated; nought without one.
fn fastest_remembered(calibration: &Calibration, sort: Sort) -> f64 {
    let thickness = |sort: Sort| sort.body.0.min(sort.set.0);
    calibration
        .casts
        .iter()
        .map(|weighed| &weighed.experience)
        .filter(|e| {
            e.outcome == Outcome::Sound && e.pot.is_none() && thickness(e.cast.sort) >= thickness(sort)
        })
        .map(|experience| experience.cast.pace.0)
        .fold(0.0, f64::max)
}

/// The casts that would teach most, each of another size, the best first; `film` is the coefficient as stated, W/m²K.
pub fn proposals(outlooks: &[Outlook], posterior: &Posterior, film: f64) -> Vec<Further> {
    let is_worth_it = |outlook: &&Outlook| {
        let is_open = (OPEN.0..=OPEN.1).contains(&outlook.chance);
        outlook.can_be_tried && is_open && outlook.information >= LEAST
    };
    let mut order: Vec<&Outlook> = outlooks.iter().filter(is_worth_it).collect();
    order.sort_by(|a, b| b.information.total_cmp(&a.information));
    let mut chosen: Vec<&Outlook> = Vec::new();
    for outlook in order {
        let is_new = chosen.iter().all(|other| other.cast.sort != outlook.cast.sort);
        if is_new && chosen.len() < PROPOSED {
            chosen.push(outlook);
        }
    }
    let skin = |outlook: &Outlook, kept: bool| {
        let report = Evidence { slack: outlook.slack.clone(), kept, sure: SURE };
        posterior.after([&report]).skin_given(film)
    };
    chosen
        .into_iter()
        .map(|outlook| Further {
            outlook: outlook.clone(),
            if_sound: skin(outlook, true),
            if_failed: skin(outlook, false),
        })
        .collect()
}
