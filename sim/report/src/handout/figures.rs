//! The tables: the machine's numbers, the verdicts at the pace of each size, and those at others.

use super::super::charts::close;
use super::Answer;
use crate::limits;
use crate::owner::{percent, significant};
use latchstroke_core::limits::Limit;
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::job::Size;
use latchstroke_core::studies::judge::{Judgement, Verdict};
use latchstroke_core::turn::Turn;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::alloy::Composition;
use latchstroke_models::cam::CamStatement;
use latchstroke_models::latch::TripStatement;
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::MouldStatement;
use latchstroke_models::mould::WallStatement;
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::piston::PistonStatement;
use latchstroke_plots::page::{Align, Block, Column, Table};
use latchstroke_scenario::Dimension;
use latchstroke_scenario::key;

/// More columns of paces than this do not go beside the other table.
const MOST_PACES: usize = 5;

/// The machine's numbers, in the owner's units.
pub fn machine(answer: &Answer) -> Table {
    let units = &answer.units;
    let machine = answer.machine;
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut row = |name: &str, value: String| rows.push(vec![name.to_owned(), value]);
    let stated = |path: &str| {
        let item = answer.scenario.item(path)?;
        item.single().filter(|quantity| quantity.si != 0.0)?;
        units.told(item).map(|value| close(&value))
    };
    row(
        "cam, lift",
        stated(key!(CamStatement::Law, lift)).unwrap_or_else(|| close(&units.lift(machine.cam.lift()))),
    );
    if let Some(rise) = stated(key!(CamStatement::Law, rise)) {
        row("cam, rise", rise);
    }
    let rate: f64 = machine.springs.iter().map(|spring| spring.rate).sum();
    let name = if machine.springs.len() == 1 { "spring, rate" } else { "springs, rate together" };
    row(name, close(&units.figure(Dimension::Stiffness, rate)));
    row("preload at rest", close(&units.force(machine.preload())));
    for (name, path) in [
        ("sleeve", key!(AbutmentStatement, sleeve)),
        ("rod extension", key!(AbutmentStatement, extension)),
        ("prongs, travel", key!(TripStatement::Prongs, 0)),
    ] {
        if let Some(value) = stated(path) {
            row(name, value);
        }
    }
    row("trip lift", close(&units.lift(machine.latch.trip_lift)));
    for (name, path) in [
        ("piston, diameter", key!(PistonStatement, diameter)),
        ("piston, clearance", key!(PistonStatement, clearance)),
        ("nozzle, bore", key!(NozzleStatement, bore)),
        ("mould, depth", key!(MouldStatement, depth)),
        ("mould, hold-down", key!(MouldStatement, hold_down)),
        ("pot", key!(MetalStatement, pot_temperature)),
    ] {
        if let Some(value) = stated(path) {
            row(name, value);
        }
    }
    row(
        "mould, wall",
        stated(key!(WallStatement::Temperature, 0))
            .unwrap_or_else(|| close(&units.temperature(machine.mould.wall_temperature))),
    );
    for (name, path) in
        [("metal, tin", key!(Composition, tin)), ("metal, antimony", key!(Composition, antimony))]
    {
        if let Some(share) = answer.scenario.number(path) {
            row(name, close(&format!("{} %", (1e3 * share).round() / 10.0)));
        }
    }
    row("skin accepted", close(&units.skin(answer.acceptance.skin)));
    row("margin", significant(answer.acceptance.margin, 3));
    // Lengths, forces and temperatures have no common point to be aligned on.
    let columns = vec![Column::new("", Align::Left), Column::new("", Align::Left)];
    Table { columns, rows, note: String::new() }
}

/// The fill time in milliseconds, or how far the mould was filled.
fn fill(turn: &Turn) -> String {
    match turn.sound_fill_time() {
        Some(time) => significant(time * 1e3, 3),
        None => format!("{} full", close(&percent(turn.filled.min(1.0)))),
    }
}

/// What a judgement says in the fewest words: the verdict.
fn short(judgement: &Judgement) -> String {
    match judgement.verdict {
        Verdict::LeaveAside => "aside",
        Verdict::Set => "set",
        Verdict::Neither => "neither",
        Verdict::NotKnown => "?",
    }
    .to_owned()
}

/// Which limit decides; a narrow column has no room for the one that comes next, which the running text tells.
fn deciding(judgement: &Judgement) -> String {
    judgement.deciding().map_or("–", |margin| limits::name(margin.limit)).to_owned()
}

/// What stands below a table that shows `shown` of `all` sizes: how many it leaves out, and where a type is not solid in time.
fn note<'a>(shown: usize, all: usize, mut judged: impl Iterator<Item = &'a Judgement>) -> String {
    let more = match all.saturating_sub(shown) {
        0 => String::new(),
        1 => "And one size more. ".to_owned(),
        more => format!("And {more} sizes more. "),
    };
    let unknown = judged.any(Judgement::is_untrusted);
    let star = if unknown { "? A turn could not be solved." } else { "" };
    (more + star).trim_end().to_owned()
}

/// Fill times, time allowed, verdict and the limit that decides for each size at its pace; at most `rows` sizes.
pub fn at_their_pace(answer: &Answer, rows: usize) -> Vec<Block> {
    let all: Vec<&Judgement> = answer.told().collect();
    let cells = |judgement: &&Judgement| {
        vec![
            close(&answer.units.size(judgement.cast.sort.body.0)),
            answer.units.turns_figure(judgement.cast.pace.0),
            fill(&judgement.aside),
            fill(&judgement.set),
            significant(judgement.clocks.allowed * 1e3, 3),
            short(judgement),
            deciding(judgement),
        ]
    };
    let columns = vec![
        Column::new("size", Align::Decimal),
        Column::new("pace", Align::Decimal),
        Column::new("aside", Align::Decimal),
        Column::new("set", Align::Decimal),
        Column::new("allowed", Align::Decimal),
        Column::new("latch", Align::Left),
        Column::new("decides", Align::Left),
    ];
    let table = Table {
        columns,
        rows: all.iter().take(rows).map(cells).collect(),
        note: note(rows, all.len(), all.iter().copied()),
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
    let sizes = &answer.overview.answer.sizes;
    let table_rows = sizes
        .iter()
        .take(rows)
        .map(|size| {
            let verdict = |pace| {
                let found = |judged: &&Judgement| judged.cast.sort == size.sort && judged.cast.pace == pace;
                grid.iter().find(found).map_or_else(|| "–".to_owned(), in_grid)
            };
            std::iter::once(close(&answer.units.size(size.sort.body.0)))
                .chain(shown.iter().map(|&pace| verdict(pace)))
                .collect()
        })
        .collect();
    let note = note(rows, sizes.len(), grid.iter());
    let table = Table { columns, rows: table_rows, note };
    vec![Block::Heading(format!("By pace, {}", answer.units.pace.symbol)), Block::Table(table)]
}

/// A verdict in the grid; what is not solid in time is said at once.
fn in_grid(judgement: &Judgement) -> String {
    let too_fast = judgement.deciding().is_some_and(|margin| margin.limit == Limit::Solid);
    if judgement.verdict == Verdict::Neither && too_fast { "too fast".to_owned() } else { short(judgement) }
}

fn slowest(answer: &Answer, rows: usize) -> Vec<Block> {
    let sizes = &answer.overview.answer.sizes;
    let columns = vec![
        Column::new("size", Align::Decimal),
        Column::new(format!("slowest pace, {}", answer.units.pace.symbol), Align::Decimal),
        Column::new("solid up to", Align::Decimal),
    ];
    let row = |size: &Size| {
        let slowest = match &size.slowest {
            Some(Onset::Always) => "any".to_owned(),
            Some(Onset::From(pace)) => answer.units.turns_figure(*pace),
            Some(Onset::Never) => "none".to_owned(),
            // The running text says why.
            Some(Onset::UnknownBeyond(..)) | None => "not known".to_owned(),
        };
        let solid =
            size.cooling.map_or_else(|| "–".to_owned(), |cooling| answer.units.turns_figure(cooling.pace));
        vec![close(&answer.units.size(size.sort.body.0)), slowest, solid]
    };
    let table_rows = sizes.iter().take(rows).map(row).collect();
    let table = Table { columns, rows: table_rows, note: note(rows, sizes.len(), [].iter()) };
    vec![Block::Heading("With the latch aside".to_owned()), Block::Table(table)]
}
