//! The tables: the machine's numbers, the verdicts at the pace of each size, and those at others.

use super::super::charts::close;
use super::Answer;
use crate::owner::{percent, rounded, significant};
use latchstroke_core::studies::judge::{Appraisal, Onset, Verdict};
use latchstroke_core::turn::{Finding, Turn};
use latchstroke_plots::page::{Align, Block, Column, Table};
use latchstroke_scenario::quantity::format_in;
use latchstroke_scenario::{Dimension, Quantity};

/// More columns of paces than this do not go beside the other table.
const MOST_PACES: usize = 5;

/// A value as its owner wrote it, fractions and all, without its tolerance.
fn as_written(quantity: &Quantity) -> String {
    let stated = quantity.text.split('±').next().unwrap_or_default().trim();
    if stated.contains('/') && quantity.dimension == Dimension::Length {
        return close(&stated.replace('-', " "));
    }
    close(&format_in(quantity.unit, quantity.si))
}

/// The machine's numbers, in the owner's units.
pub fn machine(answer: &Answer) -> Table {
    let units = &answer.units;
    let machine = answer.machine;
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut row = |name: &str, value: String| rows.push(vec![name.to_owned(), value]);
    let stated =
        |path: &str| answer.scenario.quantity(path).filter(|quantity| quantity.si != 0.0).map(as_written);
    row(
        "cam, lift",
        stated("cam.lift").unwrap_or_else(|| close(&rounded(units.lift, machine.cam.lift(), 3))),
    );
    if let Some(rise) = stated("cam.rise") {
        row("cam, rise", rise);
    }
    let rate: f64 = machine.springs.iter().map(|spring| spring.rate).sum();
    let rate_symbol = if units.force.symbol == "lbf" { "lbf/in" } else { "N/mm" };
    if let Some(unit) = Dimension::Stiffness.find(rate_symbol) {
        let name = if machine.springs.len() == 1 { "spring, rate" } else { "springs, rate together" };
        row(name, close(&rounded(unit, rate, 3)));
    }
    row("preload at rest", close(&rounded(units.force, machine.preload(), 3)));
    for (name, path) in [
        ("sleeve", "stack.sleeve"),
        ("rod extension", "stack.extension"),
        ("prongs, travel", "latch.prong_travel"),
    ] {
        if let Some(value) = stated(path) {
            row(name, value);
        }
    }
    row("trip lift", close(&rounded(units.lift, machine.latch.trip_lift, 3)));
    for (name, path) in [
        ("piston, diameter", "piston.diameter"),
        ("piston, clearance", "piston.clearance"),
        ("nozzle, bore", "nozzle.bore"),
        ("mould, depth", "mould.depth"),
        ("mould, hold-down", "mould.hold_down"),
        ("pot", "metal.pot_temperature"),
    ] {
        if let Some(value) = stated(path) {
            row(name, value);
        }
    }
    row(
        "mould, wall",
        stated("mould.wall_temperature")
            .unwrap_or_else(|| close(&rounded(units.temperature, machine.mould.wall_temperature, 3))),
    );
    for (name, path) in [("metal, tin", "metal.tin"), ("metal, antimony", "metal.antimony")] {
        if let Some(share) = answer.scenario.number(path) {
            row(name, close(&format!("{} %", (1e3 * share).round() / 10.0)));
        }
    }
    row("skin accepted", close(&rounded(units.fine, answer.acceptance.skin, 3)));
    row("margin", significant(answer.acceptance.margin, 3));
    let columns = vec![Column::new("", Align::Left), Column::new("", Align::Decimal)];
    Table { columns, rows, note: String::new() }
}

/// The fill time in milliseconds, or how far the mould was filled.
fn fill(turn: &Turn) -> String {
    match (turn.fill, turn.findings.iter().any(Finding::spoils_cast)) {
        (Some(fill), false) => significant(fill.time() * 1e3, 3),
        _ => format!("{} full", close(&percent(turn.filled.min(1.0)))),
    }
}

/// A verdict in the fewest words, starred where the type is not solid in time.
fn short(appraisal: &Appraisal) -> String {
    let word = match appraisal.judgement.verdict {
        Verdict::LeaveAside => "aside",
        Verdict::Set => "set",
        Verdict::Neither => "neither",
    };
    if appraisal.solid.in_time() { word.to_owned() } else { format!("{word}*") }
}

/// What stands below a table that shows `shown` of `all` sizes: how many it leaves out, and what its stars mean.
fn note<'a>(shown: usize, all: usize, mut appraisals: impl Iterator<Item = &'a Appraisal>) -> String {
    let more = match all.saturating_sub(shown) {
        0 => String::new(),
        1 => "And one size more. ".to_owned(),
        more => format!("And {more} sizes more. "),
    };
    let starred = appraisals.any(|appraisal| !appraisal.solid.in_time());
    let star = if starred { "* Too fast: the type is not solid as the mould opens." } else { "" };
    (more + star).trim_end().to_owned()
}

/// Fill times, time allowed and verdict for each size at its pace; at most `rows` sizes.
pub fn at_their_pace(answer: &Answer, rows: usize) -> Vec<Block> {
    let all = &answer.overview.sizes;
    let cells = |appraisal: &Appraisal| {
        let judgement = &appraisal.judgement;
        vec![
            close(&answer.units.size(judgement.cast.sort.body.0)),
            answer.units.turns_figure(judgement.cast.pace.0),
            fill(&judgement.aside),
            fill(&judgement.set),
            significant(judgement.limits.allowed * 1e3, 3),
            short(appraisal),
        ]
    };
    let columns = vec![
        Column::new("size", Align::Decimal),
        Column::new("pace", Align::Decimal),
        Column::new("aside", Align::Decimal),
        Column::new("set", Align::Decimal),
        Column::new("allowed", Align::Decimal),
        Column::new("latch", Align::Left),
    ];
    let table = Table {
        columns,
        rows: all.iter().take(rows).map(cells).collect(),
        note: note(rows, all.len(), all.iter()),
    };
    let heading = match answer.overview.pace {
        Some(pace) => format!("At {}, times to fill in ms", close(&answer.units.turns(pace.0))),
        None => "Each size at its own pace, times to fill in ms".to_owned(),
    };
    vec![Block::Heading(heading), Block::Table(table)]
}

/// The verdicts at all paces; or, where there is but one pace, the slowest at which the latch may stand aside.
pub fn beside(answer: &Answer, rows: usize) -> Vec<Block> {
    let all = answer.paces();
    if all.len() < 2 {
        return slowest(answer, rows);
    }
    // The paces shown are spread over those asked for, first and last among them.
    let count = all.len().min(MOST_PACES);
    let shown: Vec<_> =
        (0..count).filter_map(|n| all.get(n * (all.len() - 1) / (count - 1))).copied().collect();
    let paces = shown.iter().map(|pace| Column::new(answer.units.turns_figure(pace.0), Align::Left));
    let columns = std::iter::once(Column::new("size", Align::Decimal)).chain(paces).collect();
    let grid = &answer.overview.grid;
    let table_rows = answer
        .overview
        .slowest
        .iter()
        .take(rows)
        .map(|(sort, _)| {
            let verdict = |pace| {
                let found = |a: &&Appraisal| a.judgement.cast.sort == *sort && a.judgement.cast.pace == pace;
                grid.iter().find(found).map_or_else(|| "–".to_owned(), short)
            };
            std::iter::once(close(&answer.units.size(sort.body.0)))
                .chain(shown.iter().map(|&pace| verdict(pace)))
                .collect()
        })
        .collect();
    let note = note(rows, answer.overview.slowest.len(), grid.iter());
    let table = Table { columns, rows: table_rows, note };
    vec![Block::Heading(format!("By pace, {}", answer.units.pace.symbol)), Block::Table(table)]
}

fn slowest(answer: &Answer, rows: usize) -> Vec<Block> {
    let said = |onset: &Onset| match onset {
        Onset::Always => "any".to_owned(),
        Onset::From(pace) => answer.units.turns_figure(*pace),
        Onset::Never => "none".to_owned(),
    };
    let columns = vec![
        Column::new("size", Align::Decimal),
        Column::new(format!("slowest pace, {}", answer.units.pace.symbol), Align::Decimal),
    ];
    let table_rows = answer
        .overview
        .slowest
        .iter()
        .take(rows)
        .map(|(sort, onset)| vec![close(&answer.units.size(sort.body.0)), said(onset)])
        .collect();
    let table =
        Table { columns, rows: table_rows, note: note(rows, answer.overview.slowest.len(), [].iter()) };
    vec![Block::Heading("With the latch aside".to_owned()), Block::Table(table)]
}
