//! Chances as figures, and a grid of them.

use super::super::owner::OwnerUnits;
use super::super::table::Table;
use crate::each_once;
use latchstroke_core::studies::calibrate::Outlook;
use latchstroke_core::studies::judge::Cast;
use latchstroke_models::latch::LatchSetting;

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
    let paces = each_once(outlooks.iter().map(|outlook| outlook.cast.pace));
    let sorts = each_once(outlooks.iter().map(|outlook| outlook.cast.sort));
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
