//! The report of a judgement: verdicts, the limits that decide them, what else the latch does, and what would change the answer.

mod beside;
mod changes;
pub mod data;
mod tables;
pub(super) mod words;

use super::calibrate::{sureness, sureness_lines};
use super::cautions::CAUTIONS;
use super::findings::sentence;
use super::owner::{OwnerUnits, percent, rounded, significant};
use super::turn::wrapped;
use latchstroke_core::studies::calibrate::Chances;
use latchstroke_core::studies::judge::{Acceptance, Appraisal, Onset};
use latchstroke_core::studies::real_pace::{RESERVE, RealPace, SetBy};
use latchstroke_core::studies::remedy::Remedy;
use latchstroke_core::turn::Finding;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Angle;

/// Everything a judgement says.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The machine's name.
    pub machine: String,
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// The greatest share of the mould's air that may stay in it, where the caster has one.
    pub accepted_air: Option<f64>,
    /// Force that holds the matrix down, N, where known.
    pub hold_down: Option<f64>,
    /// Angle of the main shaft for which the mould stays shut after it is full.
    pub shut: Angle,
    /// The fastest pace at which the machine is run, turns/s.
    pub fastest: f64,
    /// Whether each size is judged at its real pace alone, not at paces asked for.
    pub at_real_pace: bool,
    /// The sizes, each with its real pace, in the order asked.
    pub sizes: Vec<Size>,
    /// The casts, in the order asked: size by size, pace by pace.
    pub appraisals: Vec<Appraisal>,
    /// How the size from which the latch is wanted moves with the accepted skin.
    pub thresholds: Thresholds,
    /// For each cast the chances that it is sound, where the scenario lists casts to calibrate by.
    pub sureness: Option<Vec<Chances>>,
}

/// What is said of one size.
#[derive(Debug, Clone)]
pub struct Size {
    /// The size.
    pub sort: Sort,
    /// The pace at which it is really cast.
    pub real: RealPace,
    /// The slowest pace that fills the mould in time with the latch aside.
    pub slowest: Onset,
    /// What would change the answer for one of its casts, by that cast's place in the list.
    pub remedies: Option<(usize, Vec<Remedy>)>,
}

/// How the size from which the latch is wanted moves with the accepted skin.
#[derive(Debug, Clone)]
pub struct Thresholds {
    /// The pace, turns/s; none where each size is taken at its real pace.
    pub pace: Option<f64>,
    /// Half, once and twice the accepted skin (m), each with the size.
    pub sizes: Vec<(f64, Onset)>,
}

impl Answer {
    /// Whether some size asked for cannot be cast at any pace asked for.
    pub fn some_size_fails(&self) -> bool {
        self.sizes.iter().any(|size| !self.casts_of(size).any(Appraisal::can_be_cast))
    }

    fn casts_of<'a>(&'a self, size: &'a Size) -> impl Iterator<Item = &'a Appraisal> {
        self.appraisals.iter().filter(|appraisal| appraisal.judgement.cast.sort == size.sort)
    }
}

/// The report.
pub fn text(answer: &Answer, units: &OwnerUnits) -> String {
    let mut text = format!("{}\n\n", answer.machine);
    text += &match answer.appraisals.as_slice() {
        [only] => headline(only, sure_of(answer, only), units),
        _ if answer.at_real_pace => "Is the latch needed?\n".to_owned(),
        _ => tables::grid(answer, units),
    };
    text += &tables::figures(answer, units).text(2);
    text += &wrapped(&terms(answer, units), 2, 2);
    text += &findings(answer, units);
    text += &beside::text(answer, units);
    text += "\nSlowest pace that still does with the latch aside\n";
    for size in &answer.sizes {
        let said = match size.slowest {
            Onset::Always => "any pace".to_owned(),
            Onset::From(pace) => units.turns(pace) + &too_fast(answer, size, pace, units),
            Onset::Never => "none".to_owned(),
        };
        text += &format!("  {:>8}  {said}\n", units.size(size.sort.body.0));
    }
    text += &threshold_lines(&answer.thresholds, units);
    text += &changes::text(answer, units);
    if let Some(chances) = &answer.sureness {
        text += &sureness_lines(answer.appraisals.iter().map(|a| &a.judgement), chances, units);
    }
    text += "\n";
    text += CAUTIONS;
    text
}

/// The answer for one cast, in full.
/// How sure the verdict on a cast is, in words, where the scenario lists casts to calibrate by.
fn sure_of(answer: &Answer, only: &Appraisal) -> Option<&'static str> {
    let chances = answer.sureness.as_ref()?.first()?;
    Some(sureness(chances.of(only.judgement.verdict)))
}

fn headline(only: &Appraisal, sure: Option<&str>, units: &OwnerUnits) -> String {
    let cast = only.judgement.cast;
    let mut said = format!(
        "{} × {} at {}: {}{}.",
        units.size(cast.sort.body.0),
        units.size(cast.sort.set.0),
        units.turns(cast.pace.0),
        super::turn::verdict(only.judgement.verdict),
        sure.map_or(String::new(), |sure| format!(", {sure}"))
    );
    if !only.solid.in_time() {
        said += &match only.solid.cooling {
            Some(cooling) => format!(
                " But at this pace the type is not solid as the mould opens: it is up to {}.",
                units.turns(cooling.pace)
            ),
            None => " But the type is not solid as the mould opens, however slow the pace.".to_owned(),
        };
    }
    wrapped(&said, 0, 0) + "\n"
}

/// A remark on a pace above the cooling limit of a size.
fn too_fast(answer: &Answer, size: &Size, pace: f64, units: &OwnerUnits) -> String {
    let Some(first) = answer.casts_of(size).next() else { return String::new() };
    match first.solid.cooling {
        Some(cooling) if pace <= cooling.pace => String::new(),
        Some(cooling) => format!(", too fast: solid only up to {}", units.turns(cooling.pace)),
        None => ", too fast: not solid at any pace".to_owned(),
    }
}

/// What the figures mean.
fn terms(answer: &Answer, units: &OwnerUnits) -> String {
    let shut = significant(answer.shut.0.to_degrees(), 3);
    let mut text = String::new();
    if answer.at_real_pace {
        let bound: Vec<String> = answer
            .sizes
            .iter()
            .filter(|size| size.real.set_by == SetBy::Machine)
            .map(|size| units.size(size.sort.body.0))
            .collect();
        let bound = if bound.is_empty() {
            String::new()
        } else {
            format!(", which is what holds back {}", listed(&bound))
        };
        text += &format!(
            "Each size at the pace at which it is really cast: the fastest that leaves it solid through its middle in the {shut}° for which the mould stays shut, over a reserve of {}; no faster than {}, the fastest pace in the scenario{bound}. ",
            significant(RESERVE, 2),
            units.turns(answer.fastest),
        );
    }
    if answer.appraisals.iter().any(|appraisal| !appraisal.solid.in_time()) {
        text += &format!(
            "* The pace is too fast: the type is not solid through its middle in the {shut}° for which the mould stays shut. The word before the star is then about filling alone. "
        );
    }
    text += &format!(
        "Fill times run from the mould's entry to 98 % full. They must fit into the time allowed: the lesser of skin and bulk limit over a margin of {}. A skin of {} on the face is taken as acceptable; that is the caster's judgement. The deciding limit is the one with the least margin, with the latch as advised{}.",
        significant(answer.acceptance.margin, 3),
        rounded(units.fine, answer.acceptance.skin, 3),
        if answer.at_real_pace { "; the cooling limit, where it sets the pace, is left aside" } else { "" },
    );
    if let Some(air) = answer.accepted_air {
        text += &format!(
            " Of the mould's air {} may still be in it when it is full (job.accepted_air).",
            percent(air)
        );
    }
    text
}

/// "14 pt, 18 pt and 24 pt".
fn listed(all: &[String]) -> String {
    match all {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// What is wrong with the setting or stands out in a turn, each thing once.
fn findings(answer: &Answer, units: &OwnerUnits) -> String {
    let mut seen: Vec<std::mem::Discriminant<Finding>> = Vec::new();
    let mut text = String::new();
    for judgement in answer.appraisals.iter().map(|appraisal| &appraisal.judgement) {
        for (name, turn) in [("aside", &judgement.aside), ("set", &judgement.set)] {
            for finding in turn
                .findings
                .iter()
                .filter(|f| !matches!(f, Finding::ShortCast { .. } | Finding::SealedEarly { .. }))
            {
                if seen.contains(&std::mem::discriminant(finding)) {
                    continue;
                }
                seen.push(std::mem::discriminant(finding));
                let place = format!(
                    "! Latch {name}, {} at {}: {}",
                    units.size(judgement.cast.sort.body.0),
                    units.turns(judgement.cast.pace.0),
                    sentence(finding, units)
                );
                text += &wrapped(&place, 2, 4);
            }
        }
    }
    if text.is_empty() { text } else { format!("\n{text}") }
}

fn threshold_lines(thresholds: &Thresholds, units: &OwnerUnits) -> String {
    let place = thresholds
        .pace
        .map_or("each at its real pace".to_owned(), |pace| format!("at {}", units.turns(pace)));
    let mut text = format!("\nSize from which the latch is wanted, {place}, by the accepted skin\n");
    for (skin, onset) in &thresholds.sizes {
        let said = match onset {
            Onset::Always => "every size".to_owned(),
            Onset::From(body) => format!("from {}", rounded(units.body, *body, 3)),
            Onset::Never => "no size".to_owned(),
        };
        text += &format!("  {:>9}  {said}\n", rounded(units.fine, *skin, 3));
    }
    text
}
