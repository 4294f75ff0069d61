//! The report of a judgement: verdicts, the limits that decide them, what else the latch does, and what would change the answer.

mod beside;
mod changes;
pub mod data;
mod limits_met;
pub mod words;

use super::cautions;
use super::limits;
use super::odds::Doubts;
use super::owner::{OwnerUnits, milliseconds, percent, rounded, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::Machine;
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::job::{Answer, Job, Size, Threshold};
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::studies::real_pace::RESERVE;
use latchstroke_core::turn::{Finding, Turn};
use latchstroke_scenario::Dimension;

/// Sizes that lie no further apart than this, as a ratio, count as hardly moved.
const HARDLY: f64 = 1.5;

/// Everything a judgement says.
#[derive(Debug, Clone, Copy)]
pub struct Report<'a> {
    /// The machine's name.
    pub machine: &'a str,
    /// The machine ready for its first size, with the latch set.
    pub prepared: &'a Machine,
    /// What was asked.
    pub job: &'a Job<'a>,
    /// The answer.
    pub answer: &'a Answer,
    /// What of it is not known exactly.
    pub doubts: &'a Doubts<'a>,
    /// The owner's units.
    pub units: &'a OwnerUnits,
}

impl<'a> Report<'a> {
    fn judgements(&self) -> impl Iterator<Item = &'a Judgement> + use<'a> {
        self.answer.sizes.iter().flat_map(|size| &size.judgements)
    }

    /// "18 pt, 24 pt".
    fn listed<'b>(&self, sizes: impl IntoIterator<Item = &'b Size>) -> String {
        let names: Vec<String> = sizes.into_iter().map(|size| self.units.size(size.sort.body.0)).collect();
        names.join(", ")
    }
}

/// The report: a line for each size, the table behind them, and where something does not do what stands in the way and what would
/// do; with `more` everything that was asked besides.
pub fn text(report: &Report, more: bool) -> String {
    let mut text = format!("{}\n\n", report.machine);
    for (place, size) in report.answer.sizes.iter().enumerate() {
        if let Some(told) = size.told() {
            let sure = report.doubts.said(place, told).map_or_else(String::new, |said| format!("; {said}"));
            text += &wrapped(&format!("{}{sure}.", limits::answer(told, report.units)), 0, 2);
        }
    }
    text += &wrapped(report.doubts.left_out().trim_start(), 0, 2);
    text += "\n";
    text += &figures(report).text(2);
    text += &findings(report);
    text += &limits_met::text(report);
    text += &changes::for_all(report);
    text += &report.doubts.assumptions(report.units);
    if more {
        text += &format!("\nHow to read the table\n{}", wrapped(&terms(report), 2, 2));
        text += &otherwise(report);
        text += &report.doubts.text(&report.answer.sizes, report.units);
        text += &beside::text(report);
        text += &changes::text(report);
        text += &sizes_wanting_latch(report);
        text += &slowest(report);
        text += "\n";
    } else {
        text += &format!("\n{}", wrapped(MORE, 0, 2));
    }
    text += &cautions::short();
    text
}

/// What the report leaves out unless it is asked for.
const MORE: &str = "With --more: how sure each verdict is and what would settle it, what would change it, from which size on the latch is wanted, and the slowest pace without it.";

/// The figures behind each verdict.
fn figures(report: &Report) -> Table {
    let units = report.units;
    let mut table = Table::new(&[
        "size",
        units.pace.symbol,
        "fill, aside",
        "fill, set",
        "allowed",
        "verdict",
        "nearest limits, times kept",
    ]);
    for (n, size) in report.answer.sizes.iter().enumerate() {
        if n > 0 && report.job.paces.is_some_and(|paces| paces.len() > 1) {
            table.rule();
        }
        for judgement in &size.judgements {
            table.row([
                units.size(size.sort.body.0),
                units.turns_figure(judgement.cast.pace.0),
                fill(&judgement.aside),
                fill(&judgement.set),
                milliseconds(judgement.clocks.allowed),
                limits::short(judgement.verdict).to_owned(),
                limits::telling(judgement, limits::times),
            ]);
        }
    }
    table
}

fn fill(turn: &Turn) -> String {
    match turn.sound_fill_time() {
        Some(time) => milliseconds(time),
        None if turn.findings.iter().any(Finding::makes_unreliable) => "not solved".to_owned(),
        None => format!("{} full", percent(turn.filled.clamp(0.0, 1.0))),
    }
}

/// What the figures mean.
fn terms(report: &Report) -> String {
    let (units, terms) = (report.units, report.job.terms);
    let mut text = String::new();
    if report.job.paces.is_none() {
        text += &format!(
            "Each size at the pace at which it is really cast: the fastest that leaves it solid in the {}° for which the mould stays shut, over a reserve of {}, but no faster than {}; where the cooling comes first for that reason, the next limit is told too. ",
            significant(terms.shut.0.to_degrees(), 3),
            significant(RESERVE, 2),
            units.turns(report.job.fastest.0),
        );
    }
    text += &format!(
        "A fill runs from the mould's entry to 98 % full; it may take the least of lapping, skin and bulk limit over a margin of {}. Accepted, by the caster's judgement: a skin of {}{}. A limit is kept as many times over as is left with its reserve used up; the one kept the fewest times decides, with the latch as advised.",
        significant(terms.acceptance.margin, 3),
        units.skin(terms.acceptance.skin),
        terms
            .accepted_air
            .map_or_else(String::new, |air| format!(" and {} of the mould's air left in it", percent(air))),
    );
    text
}

/// What stands out in a turn but for what the limits tell, each thing once.
fn findings(report: &Report) -> String {
    let mut seen: Vec<std::mem::Discriminant<Finding>> = Vec::new();
    let mut text = String::new();
    for judgement in report.judgements() {
        for (name, turn) in [("aside", &judgement.aside), ("set", &judgement.set)] {
            for finding in turn.findings.iter().filter(|finding| !limits::is_limit(finding)) {
                if seen.contains(&std::mem::discriminant(finding)) {
                    continue;
                }
                seen.push(std::mem::discriminant(finding));
                let place = format!(
                    "! Latch {name}, {} at {}: {}",
                    report.units.size(judgement.cast.sort.body.0),
                    report.units.turns(judgement.cast.pace.0),
                    super::findings::sentence(finding, report.units)
                );
                text += &wrapped(&place, 2, 4);
            }
        }
    }
    if text.is_empty() { text } else { format!("\n{text}") }
}

/// Where another reading of the metal on the face gives another verdict: each sentence once, with the sizes it holds for.
fn otherwise(report: &Report) -> String {
    let mut said: Vec<(String, Vec<&Size>)> = Vec::new();
    for size in &report.answer.sizes {
        let Some(sentence) = size.told().and_then(limits::otherwise) else { continue };
        match said.iter_mut().find(|(other, _)| *other == sentence) {
            Some((_, sizes)) => sizes.push(size),
            None => said.push((sentence, vec![size])),
        }
    }
    let lines = said
        .into_iter()
        .map(|(sentence, sizes)| wrapped(&format!("{}: {sentence}", report.listed(sizes)), 2, 4));
    let text: String = lines.collect();
    if text.is_empty() { text } else { format!("\n{text}") }
}

/// From which size on the latch aside no longer does, and how that moves with the accepted skin and the heat transfer.
fn sizes_wanting_latch(report: &Report) -> String {
    let units = report.units;
    let place = match report.job.paces {
        Some([pace]) => format!("at {}", units.turns(pace.0)),
        _ => "each at its real pace".to_owned(),
    };
    let transfer = units.system.unit(Dimension::HeatTransfer);
    let skin = |threshold: &Threshold| units.skin(threshold.skin);
    let film = |threshold: &Threshold| rounded(transfer, threshold.film, 2);
    let mut text = format!("\nSize from which the latch aside no longer does, {place}\n");
    text += &thresholds(&report.answer.by_skin, "an accepted skin", skin, units);
    text += &thresholds(&report.answer.by_film, "a heat transfer", film, units);
    if report.job.paces.is_none() && hardly_moves(&report.answer.by_film) {
        text += &wrapped(
            "So it hardly moves with that coefficient: the pace at which a size cools and the time in which it laps move together.",
            2,
            2,
        );
    }
    text
}

/// Whether all sizes are known and lie close together.
fn hardly_moves(all: &[Threshold]) -> bool {
    let sizes: Option<Vec<f64>> = all
        .iter()
        .map(|threshold| match threshold.size {
            Onset::From(body) => Some(body),
            _ => None,
        })
        .collect();
    sizes.is_some_and(|sizes| {
        let (least, most) = sizes
            .iter()
            .fold((f64::INFINITY, 0.0_f64), |(least, most), &body| (least.min(body), most.max(body)));
        most < HARDLY * least
    })
}

/// "from 19.1 pt for an accepted skin of 0.25 mm; from 20.1 pt for 0.5 mm, 1 mm".
fn thresholds(
    all: &[Threshold],
    what: &str,
    name: impl Fn(&Threshold) -> String,
    units: &OwnerUnits,
) -> String {
    let mut told: Vec<(String, Vec<String>)> = Vec::new();
    for threshold in all {
        let said = match &threshold.size {
            Onset::From(body) => format!("from {}", rounded(units.body, *body, 3)),
            other => limits::onset(other, |body| rounded(units.body, body, 3), "every size", "no size"),
        };
        match told.iter_mut().find(|(other, _)| *other == said) {
            Some((_, names)) => names.push(name(threshold)),
            None => told.push((said, vec![name(threshold)])),
        }
    }
    let mut of = format!("{what} of ");
    let said: Vec<String> = told
        .into_iter()
        .map(|(said, names)| format!("{said} for {}{}", std::mem::take(&mut of), names.join(", ")))
        .collect();
    wrapped(&format!("{}.", said.join("; ")), 2, 4)
}

/// The slowest pace of each size with the latch aside.
fn slowest(report: &Report) -> String {
    let units = report.units;
    let told: Vec<String> = report
        .answer
        .sizes
        .iter()
        .map(|size| {
            let slowest = size.slowest.as_ref();
            let pace = slowest.map(|onset| limits::onset(onset, |pace| units.turns(pace), "any", "none"));
            format!("{} {}", units.size(size.sort.body.0), pace.as_deref().unwrap_or("–"))
        })
        .collect();
    format!(
        "\nSlowest pace that does with the latch aside\n{}",
        wrapped(&format!("{}.", told.join("; ")), 2, 4)
    )
}
