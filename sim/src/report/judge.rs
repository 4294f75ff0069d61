//! The report of a judgement: verdicts, the figures behind them, and what would do instead.

use super::calibrate::sureness_lines;
use super::cautions::CAUTIONS;
use super::findings::sentence;
use super::owner::{OwnerUnits, milliseconds, percent, rounded, significant};
use super::table::Table;
use super::turn::{clock, verdict, wrapped};
use crate::studies::calibrate::Chances;
use crate::studies::judge::{Acceptance, Cast, Judgement, Onset, Verdict};
use crate::studies::remedy::{Change, Remedy};
use crate::turn::{Finding, Turn};
use latchstroke_models::mould::Sort;

/// Everything a judgement says.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The machine's name.
    pub machine: String,
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// The casts, in the order asked: size by size, pace by pace.
    pub judgements: Vec<Judgement>,
    /// For each size, the slowest pace that does with the latch aside.
    pub slowest: Vec<(Sort, Onset)>,
    /// For half, once and twice the accepted skin (m): the size from which the latch is wanted at the pace given.
    pub thresholds: Option<Thresholds>,
    /// For each size that fails somewhere: the cast nearest to working, and what would do for it.
    pub remedies: Vec<(Cast, Vec<Remedy>)>,
    /// For each cast the chances that it is sound, where the scenario lists casts to calibrate by.
    pub sureness: Option<Vec<Chances>>,
}

/// How the size from which the latch is wanted moves with the accepted skin.
#[derive(Debug, Clone)]
pub struct Thresholds {
    /// The pace, turns/s.
    pub pace: f64,
    /// Accepted skin (m) and size.
    pub sizes: Vec<(f64, Onset)>,
}

impl Answer {
    /// Whether some size asked for cannot be cast at any pace asked for.
    pub fn some_size_fails(&self) -> bool {
        self.slowest.iter().any(|(sort, _)| {
            self.judgements.iter().filter(|j| j.cast.sort == *sort).all(|j| j.verdict == Verdict::Neither)
        })
    }
}

/// The report.
pub fn text(answer: &Answer, units: &OwnerUnits) -> String {
    let mut text = format!("{}\n\n", answer.machine);
    if let [only] = answer.judgements.as_slice() {
        text += &format!(
            "{} × {} at {}: {}.\n\n",
            units.size(only.cast.sort.body.0),
            units.size(only.cast.sort.set.0),
            units.turns(only.cast.pace.0),
            verdict(only.verdict)
        );
    } else {
        text += &grid(answer, units);
    }
    text += &figures(answer, units).text(2);
    text += &wrapped(
        &format!(
            "Fill times run from the mould's entry to 98 % full. They must fit into the time allowed: the lesser of skin and bulk limit over a margin of {}. A skin of {} on the face is taken as acceptable; that is the caster's judgement.",
            significant(answer.acceptance.margin, 3),
            rounded(units.fine, answer.acceptance.skin, 3)
        ),
        2,
        2,
    );
    text += &setting_findings(answer, units);
    text += "\nSlowest pace that still does with the latch aside\n";
    for (sort, onset) in &answer.slowest {
        let said = match onset {
            Onset::Always => "any pace".to_owned(),
            Onset::From(pace) => units.turns(*pace),
            Onset::Never => "none".to_owned(),
        };
        text += &format!("  {:>8}  {said}\n", units.size(sort.body.0));
    }
    if let Some(thresholds) = &answer.thresholds {
        text += &threshold_lines(thresholds, units);
    }
    for (cast, remedies) in &answer.remedies {
        text += &remedy_lines(*cast, remedies, units);
    }
    if let Some(chances) = &answer.sureness {
        text += &sureness_lines(&answer.judgements, chances, units);
    }
    text += "\n";
    text += CAUTIONS;
    text
}

/// Verdicts at a glance: sizes down, paces across.
fn grid(answer: &Answer, units: &OwnerUnits) -> String {
    let mut paces: Vec<f64> = Vec::new();
    for judgement in &answer.judgements {
        if !paces.contains(&judgement.cast.pace.0) {
            paces.push(judgement.cast.pace.0);
        }
    }
    let heading: Vec<String> = std::iter::once(units.pace.symbol.to_owned())
        .chain(paces.iter().map(|&p| units.turns_figure(p)))
        .collect();
    let mut table = Table::new(&heading.iter().map(String::as_str).collect::<Vec<_>>());
    for (sort, _) in &answer.slowest {
        let row = answer.judgements.iter().filter(|j| j.cast.sort == *sort).map(|j| {
            match j.verdict {
                Verdict::LeaveAside => "aside",
                Verdict::Set => "SET",
                Verdict::Neither => "neither",
            }
            .to_owned()
        });
        table.row(std::iter::once(units.size(sort.body.0)).chain(row));
    }
    format!("Is the latch needed?\n{}\n", table.text(2))
}

fn figures(answer: &Answer, units: &OwnerUnits) -> Table {
    let pace = format!("pace, {}", units.pace.symbol);
    let mut table = Table::new(&["size", &pace, "fill, aside", "fill, set", "allowed", "limit", "verdict"]);
    let fill = |turn: &Turn| match (turn.fill, turn.findings.iter().any(Finding::spoils_cast)) {
        (Some(fill), false) => milliseconds(fill.time()),
        _ => format!("{} full", percent(turn.filled.min(1.0))),
    };
    let mut last = None;
    for judgement in &answer.judgements {
        if last.is_some_and(|sort| sort != judgement.cast.sort) {
            table.rule();
        }
        last = Some(judgement.cast.sort);
        table.row([
            units.size(judgement.cast.sort.body.0),
            units.turns_figure(judgement.cast.pace.0),
            fill(&judgement.aside),
            fill(&judgement.set),
            milliseconds(judgement.limits.allowed),
            clock(judgement.limits.deciding()).to_owned(),
            verdict(judgement.verdict).to_owned(),
        ]);
    }
    table
}

/// What is wrong with the setting or stands out in a turn, each thing once.
fn setting_findings(answer: &Answer, units: &OwnerUnits) -> String {
    let mut seen: Vec<std::mem::Discriminant<Finding>> = Vec::new();
    let mut text = String::new();
    for judgement in &answer.judgements {
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
    let mut text = format!(
        "\nSize from which the latch is wanted at {}, by the accepted skin\n",
        units.turns(thresholds.pace)
    );
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

fn remedy_lines(cast: Cast, remedies: &[Remedy], units: &OwnerUnits) -> String {
    let mut text = format!(
        "\nWhat would do for {} at {}, one thing at a time\n",
        units.size(cast.sort.body.0),
        units.turns(cast.pace.0)
    );
    for remedy in remedies {
        let value = |si: f64| match remedy.change {
            Change::Pace => units.turns(si),
            Change::Preload => rounded(units.force, si, 3),
            Change::TripLift => rounded(units.lift, si, 3),
            Change::PotTemperature => rounded(units.temperature, si, 3),
        };
        let name = match remedy.change {
            Change::Pace => "pace, latch aside",
            Change::Preload => "preload, latch set",
            Change::TripLift => "trip lift, latch set",
            Change::PotTemperature => "pot temperature, latch set",
        };
        let said = match remedy.needed {
            Some(needed) => format!("{} instead of {}", value(needed), value(remedy.now)),
            None => format!("not even {}", value(remedy.tried)),
        };
        let more = match (remedy.change, remedy.needed) {
            (Change::TripLift, Some(needed)) => {
                let longer = if needed < remedy.now { "longer" } else { "shorter" };
                format!(" (a sleeve {longer} by {})", rounded(units.lift, (needed - remedy.now).abs(), 3))
            }
            _ => String::new(),
        };
        text += &format!("  {name:<27} {said}{more}\n");
    }
    text
}
