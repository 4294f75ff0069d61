//! The report on the sleeve: the window, what each length does, and the length to make.

mod chart;
mod json;
mod lengths;
mod recommendation;

pub use chart::chart;
pub use json::json;
pub use lengths::lengths;

use super::cautions::CAUTIONS;
use super::owner::{OwnerUnits, milliseconds, percent, rounded, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_core::studies::margins::HOLD_DOWN_RESERVE;
use latchstroke_core::studies::sleeve::{Answer, Cast, Step};
use latchstroke_core::turn::Finding;
use latchstroke_scenario::Unit;

/// Lengths closer than this are one, m.
const SAME: f64 = 1e-7;

/// The cautions of this task, before the general ones.
const CARE: &str = "\
With a new sleeve
  • Before you cast, turn the machine by hand through two whole turns with the latch set: see that
    the prongs clear the abutment at rest, that the latch trips, and that it catches again.
  • Ends square and burrs off; sleeve and extension equally long, or the springs' force changes.

";

/// Everything the report says.
#[derive(Debug, Clone)]
pub struct Told<'a> {
    /// The machine's name.
    pub machine: &'a str,
    /// The solved answer.
    pub answer: &'a Answer,
    /// The pace, turns/s.
    pub pace: f64,
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// Whether the reserve of lift is the sum of stated tolerances, or the customary millimetre for want of the clearance's.
    pub reserve_stated: bool,
    /// The unit in which the owner measures the stack.
    pub length: &'static Unit,
    /// The owner's other units.
    pub units: OwnerUnits,
}

/// A row of the tables: a length, and what stands out about it.
struct Row<'a> {
    step: &'a Step,
    mark: &'static str,
}

impl Told<'_> {
    /// A length along the rod in the owner's unit.
    fn long(&self, si: f64) -> String {
        rounded(self.length, si, 4)
    }

    /// As [`Self::long`], with the nearest sixty-fourth beside inches.
    fn made(&self, si: f64) -> String {
        lengths::beside(self.length, si)
            .map_or_else(|| self.long(si), |near| format!("{} ({near})", self.long(si)))
    }

    /// Lengths solved, the present one and the one to make, the shortest first.
    fn rows(&self) -> Vec<Row<'_>> {
        let answer = self.answer;
        let mut rows: Vec<Row<'_>> = answer.steps.iter().map(|step| Row { step, mark: "" }).collect();
        let mut place = |step, mark| {
            let alike = |row: &Row<'_>, step: &Step| {
                (row.step.sleeve - step.sleeve).abs() < SAME
                    && (row.step.extension - step.extension).abs() < SAME
            };
            match rows.iter_mut().find(|row| alike(row, step)) {
                Some(row) if row.mark.is_empty() => row.mark = mark,
                Some(row) => row.mark = "now, and best",
                None => rows.push(Row { step, mark }),
            }
        };
        place(&answer.present, "now");
        if let Ok(recommendation) = &answer.recommendation {
            place(&recommendation.step, "best");
        }
        rows.sort_by(|a, b| a.step.sleeve.total_cmp(&b.step.sleeve));
        rows
    }

    fn label(&self, row: &Row<'_>) -> String {
        // One "in" is enough in a narrow column.
        let length = self.made(row.step.sleeve).replace(" in)", ")");
        if row.mark.is_empty() { length } else { format!("{length} {}", row.mark) }
    }
}

/// The report.
pub fn text(told: &Told<'_>) -> String {
    let units = &told.units;
    let mut text = format!("{}: how long must the sleeve be?\n\n", told.machine);
    text += &window(told).body(2);
    if !told.answer.window.is_empty() {
        text += "\nWhat each length does\n";
        text += &throws(told).text(2);
        text += &wrapped(
            "Snap is the piston travel, and volume the metal, that the springs alone can drive. Coils is the closing left until a spring is coil-bound: as the latch trips, and the least in the turn.",
            2,
            2,
        );
        text += "\nShare of the metal each size needs that the springs alone can drive (snap volume)\n";
        text += &shares(told).text(2);
        text += &format!("\nFill time at {}, latch set, and how the length stands\n", units.turns(told.pace));
        text += &fills(told).text(2);
        text += &wrapped(
            &format!(
                "In all but the row marked \u{201c}now\u{201d} the rod is lengthened by as much as the sleeve, so that the springs stay as they are without either: {} at rest. A * marks a fill that is too slow: it may take {} for an accepted skin of {} and a margin of {}.",
                rounded(units.force, told.answer.steps.first().unwrap_or(&told.answer.present).preload, 3),
                allowed(told),
                rounded(units.fine, told.acceptance.skin, 3),
                significant(told.acceptance.margin, 3),
            ),
            2,
            2,
        );
    }
    text += &recommendation::paragraphs(told);
    text += "\n";
    text += CARE;
    text += CAUTIONS;
    text
}

/// The times the fills may take, least to greatest.
fn allowed(told: &Told<'_>) -> String {
    let mut times: Vec<f64> = told.answer.aside.iter().map(|(_, _, limits)| limits.allowed).collect();
    times.sort_by(f64::total_cmp);
    match (times.first(), times.last()) {
        (Some(&least), Some(&most)) if most - least > 0.005 * most => {
            format!("{} to {}", milliseconds(least), milliseconds(most))
        }
        (Some(&least), _) => milliseconds(least),
        _ => "–".to_owned(),
    }
}

fn window(told: &Told<'_>) -> Table {
    let window = told.answer.window;
    let lift = |si: f64| rounded(told.units.lift, si, 4);
    let mut table = Table::new(&["", ""]);
    let mut row = |name: &str, value: String| table.row([name.to_owned(), value]);
    row("plain abutment to prongs", told.made(window.longest));
    row("prong travel", told.made(window.prong_travel));
    row("cam lift", lift(window.cam_lift));
    row("cross block lifts, rod held", lift(window.block_lift));
    row("shortest sleeve that still trips", told.made(window.shortest));
    row("longest sleeve that still holds", told.made(window.longest));
    row("reserve of lift kept at both ends", lift(told.answer.reserve));
    if let Some(room) = told.answer.present.room_over_lift {
        row("room to coil binding, rod held over the whole lift", lift(room));
    }
    table
}

fn throws(told: &Told<'_>) -> Table {
    let units = &told.units;
    let lift = |si: f64| rounded(units.lift, si, 3);
    let mut table = Table::new(&[
        "sleeve",
        "trip lift",
        "snap",
        "volume",
        "on latch",
        "stored",
        "coils, trip",
        "coils, turn",
    ]);
    let none = || "–".to_owned();
    for row in told.rows() {
        let step = row.step;
        table.row([
            told.label(&row),
            lift(step.trip_lift),
            lift(step.snap_travel),
            rounded(units.volume, step.snap_volume, 3),
            step.latch_load().map_or_else(none, |load| rounded(units.force, load, 3)),
            step.stored_energy().map_or_else(none, |energy| format!("{} J", significant(energy, 3))),
            step.room_at_trip.map_or_else(none, lift),
            step.room_in_turn().map_or_else(none, lift),
        ]);
    }
    table
}

fn heading(told: &Told<'_>, last: &[&'static str]) -> Vec<String> {
    let sizes = told.answer.aside.iter().map(|(sort, ..)| told.units.size(sort.body.0));
    std::iter::once("sleeve".to_owned())
        .chain(sizes)
        .chain(last.iter().map(|&name| name.to_owned()))
        .collect()
}

fn table_of(heading: &[String]) -> Table {
    Table::new(&heading.iter().map(String::as_str).collect::<Vec<_>>())
}

fn shares(told: &Told<'_>) -> Table {
    let mut table = table_of(&heading(told, &[]));
    for row in told.rows() {
        let shares = row.step.casts.iter().map(|cast| percent(cast.turn.snap_share));
        table.row(std::iter::once(told.label(&row)).chain(shares));
    }
    table
}

fn fills(told: &Told<'_>) -> Table {
    let mut table = table_of(&heading(told, &["stands"]));
    for row in told.rows() {
        let fills = row.step.casts.iter().map(fill);
        let stands = stands(told, row.step);
        table.row(std::iter::once(told.label(&row)).chain(fills).chain(std::iter::once(stands)));
    }
    table.rule();
    let aside = told.answer.aside.iter().map(|(_, turn, limits)| match turn.sound_fill_time() {
        Some(time) => late(time, limits.allowed),
        None => percent(turn.filled.min(1.0)) + " full",
    });
    table.row(
        std::iter::once("latch aside, any sleeve".to_owned())
            .chain(aside)
            .chain(std::iter::once(String::new())),
    );
    table
}

/// A fill time, starred where it is too slow.
fn late(time: f64, allowed: f64) -> String {
    format!("{}{}", milliseconds(time), if time > allowed { "*" } else { "" })
}

fn fill(cast: &Cast) -> String {
    match cast.turn.sound_fill_time() {
        Some(time) => late(time, cast.allowed),
        None if cast.turn.findings.iter().any(|f| matches!(f, Finding::NeverTrips { .. })) => "–".to_owned(),
        None => percent(cast.turn.filled.min(1.0)) + " full",
    }
}

/// How a length stands, in a word or two.
pub(super) fn stands(told: &Told<'_>, step: &Step) -> String {
    match step.fault() {
        Some(Finding::NeverTrips { .. }) => return "never trips".to_owned(),
        Some(Finding::NeverHolds { .. }) => return "never holds".to_owned(),
        Some(Finding::CoilBound { .. }) => return "coil-bound".to_owned(),
        Some(Finding::FollowerFloats { .. }) => return "follower floats".to_owned(),
        _ => {}
    }
    let window = told.answer.window;
    let mut said = Vec::new();
    if window.lift_left(step.sleeve) < told.answer.reserve {
        said.push("trips just");
    }
    if window.clearance(step.sleeve) < told.answer.reserve {
        said.push("holds just");
    }
    if step.casts.iter().any(|cast| cast.coil_margin.is_some_and(|margin| margin < 0.0)) {
        said.push("coils too close");
    }
    match step.casts.iter().filter_map(Cast::hold_down_share).reduce(f64::min) {
        Some(share) if share < 0.0 => said.push("lifts the matrix"),
        Some(share) if share < HOLD_DOWN_RESERVE => said.push("near lifting"),
        _ => {}
    }
    if step.casts.iter().any(|cast| !cast.will_do) {
        said.push(if step.casts.iter().any(|cast| cast.will_do) { "some late" } else { "all late" });
    }
    if said.is_empty() { "works".to_owned() } else { said.join(", ") }
}
