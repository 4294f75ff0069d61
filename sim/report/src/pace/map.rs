//! The map of sizes and paces: where the type is solid, and where each setting of the latch keeps all limits.

use super::super::charts::close;
use super::at_pace;
use crate::limits;
use crate::owner::OwnerUnits;
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::judge::{Cast, PACES};
use latchstroke_core::studies::pace::{Reach, SizeMap, Window};
use latchstroke_plots::{Axis, RegionMap, Stretch};

/// How far the map goes on past the fastest pace that cools any of its sizes, as a ratio: room for the name of what lies there.
const PAST: f64 = 2.5;

/// The map, with a cast marked.
pub fn map(map: &SizeMap, cast: Cast, units: &OwnerUnits, source: &str) -> RegionMap {
    let SizeMap { rows, .. } = map;
    let pace = |si: f64| units.pace.from_si(si);
    let body = |si: f64| units.body.from_si(si);
    let cools = rows.iter().filter_map(|row| row.cooling).map(|cooling| cooling.pace);
    let fastest = (PAST * cools.fold(cast.pace.0, f64::max)).min(PACES.1);
    let x = Axis::new("pace", units.pace.symbol).log().range(pace(PACES.0), pace(fastest));
    // The numbers of the styles are those the two settings have on every chart.
    let mut drawn = RegionMap::new(headline(map, units), x, Axis::new("body size", units.body.symbol))
        .with_category("the latch may stand aside", 1)
        .with_category("the latch must be set", 0)
        .with_category("neither will do", 3)
        .with_category("not solid in time", 4)
        .with_source(source);
    if rows.iter().any(|row| !row.not_known.is_empty()) {
        drawn = drawn.with_category("not known", 2);
    }
    for row in rows {
        let too_fast: Vec<Window> = row.too_fast().into_iter().collect();
        let regions = [&row.aside, &row.set, &row.gaps, &too_fast, &row.not_known];
        let stretches = regions.into_iter().enumerate().flat_map(|(category, windows)| {
            windows.iter().map(move |window| Stretch {
                from: pace(window.from),
                to: pace(window.to),
                category,
            })
        });
        drawn = drawn.with_row(body(row.sort.body.0), stretches.collect::<Vec<_>>());
    }
    let now = format!("the cast: {} at {}", units.size(cast.sort.body.0), units.turns(cast.pace.0));
    drawn.with_point(
        (pace(cast.pace.0), body(cast.sort.body.0)),
        now.replace(' ', "\u{a0}").replace(":\u{a0}", ": "),
    )
}

/// How far each setting reaches, each size at its pace; and why the latch does nothing for it where it does not.
pub fn headline(map: &SizeMap, units: &OwnerUnits) -> String {
    let body = |body: f64| close(&units.size_up_to(body));
    let (aside, set) = (&map.largest_aside, &map.largest_set);
    let why =
        |reach: &Reach| reach.lost.map_or_else(String::new, |limit| format!(": {}", limits::missed(limit)));
    let at = close(&at_pace(&map.at, units));
    let of_aside = match &aside.from {
        Onset::Never => return format!("{at}, the latch may stand aside for all sizes"),
        Onset::Always => format!("{at}, no size does with the latch aside"),
        Onset::From(from) => format!("{at}, the latch may stand aside up to {}", body(*from)),
        Onset::UnknownBeyond(from, _) => {
            format!("{at}, the latch may stand aside up to {}, not known beyond", body(*from))
        }
    };
    let of_set = match (&set.from, &aside.from) {
        (Onset::From(set), Onset::From(aside)) if set <= aside => "set, it goes no further".to_owned(),
        (Onset::From(set), _) => return format!("{of_aside}; set, it casts up to {}", body(*set)),
        (Onset::Never, _) => return format!("{of_aside}; set, it casts all"),
        (Onset::Always, _) => "set, none does".to_owned(),
        (Onset::UnknownBeyond(from, _), _) => {
            return format!("{of_aside}; set, not known beyond {}", body(*from));
        }
    };
    format!("{of_aside}; {of_set}{}", why(set))
}
