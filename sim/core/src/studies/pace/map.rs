//! Which paces do for every size: the rows of a map of sizes and paces.

use super::{Reach, SizePaces, Terms, Window, reach, size_paces_watched};
use crate::roots::Onset;
use crate::studies::judge::Cast;
use crate::studies::real_pace::CastAt;
use crate::studies::watch::Watch;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Length;

/// How fine a map is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fineness {
    /// How many sizes, evenly spread, it has rows for; at least two.
    pub sizes: u32,
    /// How often it is given more rows where neighbouring rows differ widely.
    pub rounds: u32,
}

impl Fineness {
    /// Fine enough to be drawn.
    pub const DRAWN: Self = Self { sizes: 24, rounds: 3 };
    /// Fine enough for a small drawing, at a third of the work.
    pub const SMALL: Self = Self { sizes: 10, rounds: 1 };
}

/// How far a map goes on below and above what it must show, as ratios.
const BELOW: f64 = 1.6;
const ABOVE: f64 = 1.2;
/// Neighbouring sizes whose edges of windows lie further apart than this, as a ratio of paces, want a size between them.
const JUMP: f64 = 1.25;
/// About how many rows a map has in the end, for whoever waits.
pub const ROWS: u64 = 40;

/// How far each setting of the latch reaches, and the paces of many sizes between.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeMap {
    /// At which pace each size is cast.
    pub at: CastAt,
    /// How far the latch may stand aside, each size at that pace.
    pub largest_aside: Reach,
    /// How far the set latch casts, at the same pace.
    pub largest_set: Reach,
    /// The sizes with their paces, smallest first.
    pub rows: Vec<SizePaces>,
}

/// The map of the sizes asked for, with a machine's own cast among them; sizes are in the proportion of that cast. None where
/// the work was called off; `watch` sees one turn for each row.
///
/// The rows are evenly spread, with the largest sizes that can be cast among them so that the regions end there. More are put
/// between neighbours that differ in how many windows they have or widely in where these begin and end, since an edge would
/// otherwise be drawn straight across the difference.
///
/// # Errors
/// The faults of the statement.
pub fn size_map(
    stated: &MachineStatement,
    sorts: &[Sort],
    (cast, at): (Cast, CastAt),
    terms: Terms,
    fineness: Fineness,
    watch: &dyn Watch,
) -> Result<Option<SizeMap>, Vec<Fault>> {
    let proportion = cast.sort.set.0 / cast.sort.body.0;
    let largest_aside = reach(stated, LatchSetting::Aside, proportion, &at, &terms);
    let largest_set = reach(stated, LatchSetting::Set, proportion, &at, &terms);
    let first = sizes([&largest_aside, &largest_set], sorts, cast, fineness.sizes);
    let Some(mut rows) = size_paces_watched(stated, &first, terms, watch)? else { return Ok(None) };
    for _ in 0..fineness.rounds {
        let Some(more) = size_paces_watched(stated, &between(&rows), terms, watch)? else { return Ok(None) };
        rows.extend(more);
        rows.sort_by(|a, b| a.sort.body.0.total_cmp(&b.sort.body.0));
    }
    Ok(Some(SizeMap { at, largest_aside, largest_set, rows }))
}

/// The first sizes of a map, smallest first.
fn sizes(reaches: [&Reach; 2], asked: &[Sort], cast: Cast, count: u32) -> Vec<Sort> {
    let reaches = reaches.into_iter().filter_map(|reach| match &reach.from {
        Onset::From(body) => Some(*body),
        Onset::Always | Onset::Never | Onset::UnknownBeyond(..) => None,
    });
    let asked = asked.iter().map(|sort| sort.body.0);
    let shown: Vec<f64> = asked.chain(reaches.clone()).chain([cast.sort.body.0]).collect();
    let low = shown.iter().copied().fold(f64::INFINITY, f64::min) / BELOW;
    let high = shown.iter().copied().fold(0.0, f64::max) * ABOVE;
    let steps = f64::from(count.max(2) - 1);
    let even = (0..count.max(2)).map(|n| low + (high - low) * f64::from(n) / steps);
    let mut bodies: Vec<f64> = even.chain(reaches).collect();
    bodies.sort_by(f64::total_cmp);
    let proportion = cast.sort.set.0 / cast.sort.body.0;
    let sort = |body: f64| Sort { body: Length(body), set: Length(body * proportion) };
    bodies.into_iter().map(sort).collect()
}

/// Sizes half-way between neighbours that are not alike, for sizes in order.
fn between(rows: &[SizePaces]) -> Vec<Sort> {
    let close = |a: &Window, b: &Window| {
        libm::log(a.from / b.from).abs() <= libm::log(JUMP) && libm::log(a.to / b.to).abs() <= libm::log(JUMP)
    };
    let alike = |a: &[Window], b: &[Window]| a.len() == b.len() && a.iter().zip(b).all(|(a, b)| close(a, b));
    let wanted = rows.windows(2).filter_map(|pair| {
        let [a, b] = pair else { return None };
        let same = alike(&a.aside, &b.aside)
            && alike(&a.set, &b.set)
            && alike(&a.gaps, &b.gaps)
            && alike(&a.not_known, &b.not_known);
        let half = |a: Length, b: Length| Length(f64::midpoint(a.0, b.0));
        (!same).then(|| Sort { body: half(a.sort.body, b.sort.body), set: half(a.sort.set, b.sort.set) })
    });
    wanted.collect()
}
