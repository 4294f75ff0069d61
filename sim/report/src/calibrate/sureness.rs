//! Chances in words, and the chances of a judgement's casts.

use super::super::owner::OwnerUnits;
use super::super::table::Table;
use super::super::turn::wrapped;
use latchstroke_core::studies::calibrate::{Chances, Outlook};
use latchstroke_core::studies::judge::{Cast, Judgement};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Pace;

/// Chances and the words for them, the highest first: each holds from its chance up.
const WORDS: [(f64, &str); 7] = [
    (0.97, "almost sure"),
    (0.8, "fairly sure"),
    (0.6, "likelier than not"),
    (0.4, "a coin's toss"),
    (0.2, "rather not"),
    (0.03, "hardly"),
    (0.0, "as good as never"),
];

/// The words, once.
pub const SCALE: &str = "From 97 % almost sure, from 80 % fairly sure, from 60 % likelier than not, from 40 % a coin's toss, from 20 % rather not, from 3 % hardly, below as good as never.";

/// A chance in words.
pub fn sureness(chance: f64) -> &'static str {
    WORDS.iter().find(|(from, _)| chance >= *from).map_or("as good as never", |(_, words)| words)
}

/// A chance as a percentage without false precision; never quite certain.
pub(super) fn chance(chance: f64) -> String {
    match 100.0 * chance {
        percent if percent < 1.0 => "< 1 %".to_owned(),
        percent if percent > 99.0 => "> 99 %".to_owned(),
        percent => format!("{percent:.0} %"),
    }
}

/// Chances at a glance: sizes down, paces across, aside and set in each cell.
pub(super) fn grid(outlooks: &[Outlook], units: &OwnerUnits) -> Table {
    let mut paces: Vec<Pace> = Vec::new();
    let mut sorts: Vec<Sort> = Vec::new();
    for Outlook { cast, .. } in outlooks {
        if !paces.contains(&cast.pace) {
            paces.push(cast.pace);
        }
        if !sorts.contains(&cast.sort) {
            sorts.push(cast.sort);
        }
    }
    let heading: Vec<String> = std::iter::once(units.pace.symbol.to_owned())
        .chain(paces.iter().map(|&pace| units.turns_figure(pace.0)))
        .collect();
    let mut table = Table::new(&heading.iter().map(String::as_str).collect::<Vec<_>>());
    let figure = |cast: Cast, setting: LatchSetting| {
        outlooks
            .iter()
            .find(|outlook| outlook.cast == cast && outlook.setting == setting)
            .map_or_else(|| "–".to_owned(), |outlook| chance(outlook.chance))
    };
    for sort in sorts {
        let cells = paces.iter().map(|&pace| {
            let cast = Cast { sort, pace };
            format!("{} | {:>6}", figure(cast, LatchSetting::Aside), figure(cast, LatchSetting::Set))
        });
        table.row(std::iter::once(units.size(sort.body.0)).chain(cells));
    }
    table
}

/// What a judgement adds where the scenario lists casts: for each cast the chance that it is sound with either setting, and how
/// sure that makes the verdict.
pub fn lines<'a>(
    judgements: impl Iterator<Item = &'a Judgement>,
    chances: &[Chances],
    units: &OwnerUnits,
) -> String {
    let pace = format!("pace, {}", units.pace.symbol);
    let mut table = Table::new(&["size", &pace, "sound, aside", "sound, set", "verdict holds", ""]);
    for (judgement, chances) in judgements.zip(chances) {
        let sure = chances.of(judgement.verdict);
        table.row([
            units.size(judgement.cast.sort.body.0),
            units.turns_figure(judgement.cast.pace.0),
            chance(chances.aside),
            chance(chances.set),
            chance(sure),
            sureness(sure).to_owned(),
        ]);
    }
    let said = format!(
        "The verdict holds when the cast is sound with the setting it names, or would fail with both. Chances without the margin, by what the casts under [[experience]] say of the accepted skin and the heat transfer (see calibrate). {SCALE}"
    );
    format!("\nHow sure, by your own casts\n{}{}", table.text(2), wrapped(&said, 2, 2))
}
