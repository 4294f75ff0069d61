//! Everything a talk about one machine shows: one cast in full, the same cast over the paces, each size at its pace, the rod
//! nut, the sleeve, and what would do where nothing does.

use super::cooling::{Cooling, fastest_solid};
use super::judge::{Cast, Judgement, PACES, Terms, judge_all, judge_traced};
use super::pace::{Fineness, ROWS, Reach, SizeMap, reach, size_map, slowest_aside};
use super::preload::{self, Nut};
use super::real_pace::CastAt;
use super::remedy::{Pacing, Remedy, remedies};
use super::sleeve::{self, Unknown, Window, window};
use super::watch::Watch;
use crate::roots::Onset;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};

/// How many paces the piston's speed is solved at, besides the cast's own.
const PACE_STEPS: u32 = 9;
/// How far these curves go on below and above the sizes asked for, as ratios.
const AROUND: (f64, f64) = (0.8, 1.15);
/// Values closer than this share are one.
const SAME: f64 = 1e-3;

/// Turns that the parts of the work take, for whoever waits: about as many as they do.
const FOR_PACES: u64 = 2 * (PACE_STEPS as u64 + 1);
const FOR_ONSETS: u64 = 40;
const FOR_REMEDIES: u64 = 60;
const FOR_PRELOAD: u64 = 60;
/// For each size.
const FOR_SLEEVE: u64 = 30;
/// For each row of the map.
const FOR_ROW: u64 = 80;

/// What is asked.
#[derive(Clone, Copy)]
pub struct Question<'a> {
    /// The machine.
    pub stated: &'a MachineStatement,
    /// The cast shown in full.
    pub cast: Cast,
    /// The sizes to be shown, that of the cast among them; at least one.
    pub sorts: &'a [Sort],
    /// Slowest and fastest pace to be shown, turns/s; those that leave the type liquid inside are not.
    pub paces: (f64, f64),
    /// What the caster accepts, how long the mould stays shut, and how the turns are solved.
    pub terms: Terms,
    /// At which pace each size is cast; the cast shown in full among them.
    pub at: CastAt,
    /// How far the trip lift may be off by the stated tolerances, m.
    pub tolerance: f64,
    /// Which settings of the nut to solve, m of its way, rising.
    pub advances: &'a dyn Fn(&Nut) -> Vec<f64>,
    /// Which lengths of sleeve to solve, m, rising.
    pub lengths: &'a dyn Fn(&Window) -> Vec<f64>,
    /// How fine the map of sizes and paces is; through as many sizes as it has at first the curves of the fill time run, besides those
    /// asked for.
    pub fineness: Fineness,
}

impl Question<'_> {
    /// About how many turns the answer takes.
    pub fn turns(&self) -> u64 {
        let sizes = self.sorts.len() as u64;
        2 + FOR_PACES
            + self.turns_of_sizes()
            + FOR_ONSETS
            + FOR_REMEDIES
            + FOR_PRELOAD
            + FOR_SLEEVE * sizes
            + FOR_ROW * ROWS
    }

    fn turns_of_sizes(&self) -> u64 {
        2 * (u64::from(self.fineness.sizes) + self.sorts.len() as u64)
    }
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Ended {
    /// The statement has faults.
    Faults(Vec<Fault>),
    /// Whoever waited has called it off.
    CalledOff,
}

impl From<Vec<Fault>> for Ended {
    fn from(faults: Vec<Fault>) -> Self {
        Self::Faults(faults)
    }
}

/// Everything a talk shows.
#[derive(Debug, Clone)]
pub struct Talk {
    /// The cast in full, instant by instant.
    pub judgement: Judgement,
    /// The cast's size at paces from slow to fast, its own pace among them.
    pub paces: Vec<Judgement>,
    /// The sizes asked for, each at its pace, the smallest first.
    pub sizes: Vec<Judgement>,
    /// Those sizes and others between and around them, the smallest first.
    pub curve: Vec<Judgement>,
    /// The slowest pace at which the cast's size does with the latch aside.
    pub slowest_aside: Onset,
    /// From which size on the latch may not stand aside, each at its pace, and why.
    pub aside: Reach,
    /// The fastest pace that leaves the cast's size solid through its middle as the mould opens; none where no pace does.
    pub cooling: Option<Cooling>,
    /// What would do for the cast, one thing at a time; empty where a setting of the latch does.
    pub remedies: Vec<Remedy>,
    /// What the rod nut does.
    pub preload: preload::Answer,
    /// What the sleeve does, over all sizes asked for; none where the trip lift was read directly.
    pub sleeve: Option<sleeve::Answer>,
    /// Which paces do for every size.
    pub map: SizeMap,
}

/// Someone who waits for the map, each row of which is [`FOR_ROW`] turns.
struct ByRows<'a, W>(&'a W);

impl<W: Watch> Watch for ByRows<'_, W> {
    fn advance(&self, rows: u64) {
        self.0.advance(rows * FOR_ROW);
    }

    fn called_off(&self) -> bool {
        self.0.called_off()
    }
}

/// Solves it all.
///
/// # Errors
/// The faults of the statement, or that the work was called off.
pub fn study(question: &Question<'_>, watch: &impl Watch) -> Result<Talk, Ended> {
    let Question { stated, cast, terms, at, .. } = *question;
    let done = |turns: u64| {
        watch.advance(turns);
        if watch.called_off() { Err(Ended::CalledOff) } else { Ok(()) }
    };
    let judgement = judge_traced(stated, cast, &terms)?;
    done(2)?;
    let cooling = fastest_solid(stated, cast.sort, terms.shut)?;
    let shown = paces(question, cooling).into_iter();
    let casts: Vec<Cast> = shown.map(|pace| Cast { pace, ..cast }).collect();
    let paces = judge_all(stated, &casts, &terms)?;
    done(FOR_PACES)?;
    let (sorts, shown) = sizes(question);
    let casts = at.casts(stated, &shown)?;
    let curve = judge_all(stated, &casts, &terms)?;
    let sizes = curve.iter().filter(|judgement| sorts.contains(&judgement.cast.sort)).cloned().collect();
    done(question.turns_of_sizes())?;
    let slowest_aside = slowest_aside(stated, cast.sort, &terms)?;
    let proportion = cast.sort.set.0 / cast.sort.body.0;
    let aside = reach(stated, LatchSetting::Aside, proportion, &at, &terms);
    done(FOR_ONSETS)?;
    let remedies = if judgement.can_be_cast() {
        Vec::new()
    } else {
        let pacing = at.asked.map_or(Pacing::Real { fastest: at.fastest }, |_| Pacing::Fixed);
        remedies(stated, &[&judgement], &terms, pacing)?
    };
    done(FOR_REMEDIES)?;
    let preload = nut(question)?;
    done(FOR_PRELOAD)?;
    let sleeve = sleeve_of(question, &sorts)?;
    done(FOR_SLEEVE * sorts.len() as u64)?;
    let map = size_map(stated, &sorts, (cast, at), terms, question.fineness, &ByRows(watch))?
        .ok_or(Ended::CalledOff)?;
    Ok(Talk { judgement, paces, sizes, curve, slowest_aside, aside, cooling, remedies, preload, sleeve, map })
}

/// Values apart by more than a thousandth, rising.
fn apart(mut values: Vec<f64>) -> Vec<f64> {
    values.sort_by(f64::total_cmp);
    values.dedup_by(|b, a| *b <= *a * (1.0 + SAME));
    values
}

/// The paces to solve, with the cast's own and both ends among them.
fn paces(question: &Question<'_>, cooling: Option<Cooling>) -> Vec<Pace> {
    let own = question.cast.pace.0;
    let low = question.paces.0.min(own).max(PACES.0.min(own));
    let solid = cooling.map_or(own, |cooling| cooling.pace.max(own));
    let high = question.paces.1.max(own).min(PACES.1.max(own)).min(solid);
    let last = f64::from(PACE_STEPS - 1);
    // Those next to the cast's own pace make way for it.
    let near = 0.2 * (high - low) / last;
    let even = (0..PACE_STEPS)
        .map(|n| low + (high - low) * f64::from(n) / last)
        .filter(|pace| (pace - own).abs() > near);
    apart(even.chain([own]).collect()).into_iter().map(Pace).collect()
}

/// The sizes asked for, and these with others between and around them; both the smallest first.
fn sizes(question: &Question<'_>) -> (Vec<Sort>, Vec<Sort>) {
    let by_body = |sorts: &mut Vec<Sort>| sorts.sort_by(|a, b| a.body.0.total_cmp(&b.body.0));
    let mut asked = question.sorts.to_vec();
    by_body(&mut asked);
    let least = asked.first().map_or(0.0, |sort| sort.body.0) * AROUND.0;
    let most = asked.last().map_or(0.0, |sort| sort.body.0) * AROUND.1;
    let own = question.cast.sort;
    let proportion = own.set.0 / own.body.0;
    let steps = question.fineness.sizes.max(2);
    let between = (0..steps).map(|n| least + (most - least) * f64::from(n) / f64::from(steps - 1));
    let between = between.map(|body| Sort { body: Length(body), set: Length(body * proportion) });
    let mut all: Vec<Sort> = asked
        .iter()
        .copied()
        .chain(between.filter(|sort| asked.iter().all(|own| (sort.body.0 / own.body.0 - 1.0).abs() > SAME)))
        .collect();
    by_body(&mut all);
    (asked, all)
}

fn nut(question: &Question<'_>) -> Result<preload::Answer, Vec<Fault>> {
    let asked = preload::Question { stated: question.stated, cast: question.cast, terms: question.terms };
    let nut = Nut::of(question.stated, question.cast)?;
    let advances = (question.advances)(&nut);
    preload::study(&asked, nut, &advances, None)
}

/// The sleeve's answer; none where the trip lift was read directly.
fn sleeve_of(question: &Question<'_>, sorts: &[Sort]) -> Result<Option<sleeve::Answer>, Vec<Fault>> {
    let casts = question.at.casts(question.stated, sorts)?;
    let asked = sleeve::Question {
        stated: question.stated,
        casts: &casts,
        terms: question.terms,
        tolerance: question.tolerance,
    };
    match window(&asked) {
        Ok(window) => {
            let lengths = if window.is_empty() { Vec::new() } else { (question.lengths)(&window) };
            sleeve::study(&asked, window, &lengths).map(Some)
        }
        Err(Unknown::TripStated) => Ok(None),
        Err(Unknown::Faults(faults)) => Err(faults),
    }
}
