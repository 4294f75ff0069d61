//! The map of sizes and paces: where the type is solid, and where each setting of the latch fills in time.

use super::body_words;
use crate::owner::OwnerUnits;
use latchstroke_core::studies::judge::{Cast, PACES};
use latchstroke_core::studies::pace::{Reach, SizeMap, Window};
use latchstroke_plots::{Axis, RegionMap, Stretch};

/// How far the map goes on past the fastest pace that cools any of its sizes, as a ratio: room for the name of what lies there.
const PAST: f64 = 2.5;

/// The map, with the scenario's own cast marked.
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
        .with_category("neither fills in time", 3)
        .with_category("not solid in time", 4)
        .with_source(source);
    for row in rows {
        let too_fast: Vec<Window> = row.too_fast().into_iter().collect();
        let regions = [&row.aside, &row.set, &row.gaps, &too_fast];
        let stretches = regions.into_iter().enumerate().flat_map(|(category, windows)| {
            windows.iter().map(move |window| Stretch {
                from: pace(window.from),
                to: pace(window.to),
                category,
            })
        });
        drawn = drawn.with_row(body(row.sort.body.0), stretches.collect::<Vec<_>>());
    }
    let now = format!("the scenario: {} at {}", units.size(cast.sort.body.0), units.turns(cast.pace.0));
    drawn.with_point(
        (pace(cast.pace.0), body(cast.sort.body.0)),
        now.replace(' ', "\u{a0}").replace(":\u{a0}", ": "),
    )
}

/// How far each setting reaches.
pub fn headline(map: &SizeMap, units: &OwnerUnits) -> String {
    let close = |figure: String| figure.replace(' ', "\u{a0}");
    match (map.largest_aside, map.largest_set) {
        (Reach::UpTo(aside), Reach::UpTo(set)) if set > aside => format!(
            "The latch may stand aside up to {}; set, it casts up to {}",
            close(body_words(aside, units)),
            close(body_words(set, units))
        ),
        (Reach::UpTo(aside), Reach::EverySize) => {
            format!("Above {} the latch must be set", close(body_words(aside, units)))
        }
        (Reach::UpTo(aside), _) => {
            format!(
                "The latch may stand aside up to {}; setting it goes no further",
                close(body_words(aside, units))
            )
        }
        (Reach::EverySize, _) => "The latch may stand aside for every size".to_owned(),
        (Reach::NoSize, Reach::UpTo(set)) => {
            format!("The latch must be set, and casts up to {}", close(body_words(set, units)))
        }
        (Reach::NoSize, Reach::EverySize) => "The latch must be set for every size".to_owned(),
        (Reach::NoSize, Reach::NoSize) => "No size fills in time at a pace that cools it".to_owned(),
    }
}
