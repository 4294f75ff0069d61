//! The report on the sleeve: the window, what each length does, and the length to make.

mod chart;
mod json;
mod lengths;
mod recommendation;

pub use chart::chart;
pub use json::json;
pub use lengths::lengths;

use super::cautions::CAUTIONS;
use super::limits::{self, name, state};
use super::owner::{OwnerUnits, milliseconds, rounded, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::limits::Limit;
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_core::studies::sleeve::{Answer, Served, Step, Thrown};
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
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// Whether what is kept in hand at the window's ends is the sum of stated tolerances, or the customary millimetre for want of the clearance's.
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
    /// A length along the rod in the owner's unit, to what it is worth: a hundredth of a millimetre, a thousandth of an inch.
    fn long(&self, si: f64) -> String {
        let decimals = if self.length.symbol == "mm" { 2 } else { 3 };
        format!("{:.decimals$} {}", self.length.from_si(si), self.length.symbol).replacen('-', "\u{2212}", 1)
    }

    /// As [`Self::long`], with the nearest sixty-fourth beside inches.
    fn made(&self, si: f64) -> String {
        lengths::beside(self.length, si)
            .map_or_else(|| self.long(si), |near| format!("{} ({near})", self.long(si)))
    }

    /// From the shortest to the longest.
    fn span(&self, (low, high): (f64, f64)) -> String {
        format!("{} to {}", self.long(low), self.long(high))
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
                Some(row) => row.mark = "now, recommended",
                None => rows.push(Row { step, mark }),
            }
        };
        place(&answer.present, "now");
        if let Ok(recommendation) = &answer.recommendation {
            place(&recommendation.step, "recommended");
        }
        rows.sort_by(|a, b| a.step.sleeve.total_cmp(&b.step.sleeve));
        rows
    }
}

/// The report.
pub fn text(told: &Told<'_>) -> String {
    let mut text = format!("{}: how long must the sleeve be?\n\n", told.machine);
    text += &recommendation::paragraphs(told);
    text += "\nThe window\n";
    text += &window(told).body(2);
    if !told.answer.window.is_empty() {
        text += "\nWith which lengths each size keeps all limits, latch set\n";
        text += &sizes(told).text(2);
        text += "\nFill time in ms, latch set, and the limit that decides\n";
        text += &fills(told).text(2);
        text += &wrapped(
            &format!(
                "In all but the row marked \u{201c}now\u{201d} the rod is lengthened by as much as the sleeve, so that the springs stay as they are without either: {} at rest. A * marks a fill that is too slow for an accepted skin of {} and a margin of {}. The limit that decides is the one kept the fewest times over by the sizes that want the latch.",
                rounded(
                    told.units.force,
                    told.answer.steps.first().unwrap_or(&told.answer.present).preload,
                    3
                ),
                rounded(told.units.fine, told.acceptance.skin, 3),
                significant(told.acceptance.margin, 3),
            ),
            2,
            2,
        );
        text += "\nWhat springs and latch bear\n";
        text += &loads(told).text(2);
    }
    text += "\n";
    text += CARE;
    text += CAUTIONS;
    text
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
    if let Ok(recommendation) = &told.answer.recommendation {
        row("all sizes keep all limits, from", told.made(recommendation.window.0));
        row("to", told.made(recommendation.window.1));
    }
    row("kept in hand at both ends, for the tolerances", told.long(told.answer.tolerance));
    table
}

/// What each size asks of the sleeve.
fn sizes(told: &Told<'_>) -> Table {
    let units = &told.units;
    let mut table = Table::new(&["size", "pace", "wants the latch", "lengths", "hindered by"]);
    for served in &told.answer.served {
        table.row([
            units.size(served.cast.sort.body.0),
            units.turns(served.cast.pace.0),
            if served.wants_latch { "yes" } else { "no" }.to_owned(),
            stretches(told, served),
            served.hindered_by.map_or_else(String::new, |limit| name(limit).to_owned()),
        ]);
    }
    table
}

/// The lengths with which a size keeps all limits.
fn stretches(told: &Told<'_>, served: &Served) -> String {
    let all: Vec<String> = served.lengths.iter().map(|&span| told.span(span)).collect();
    if all.is_empty() { "none".to_owned() } else { all.join(", ") }
}

fn fills(told: &Told<'_>) -> Table {
    let sizes = || told.answer.served.iter().map(|served| told.units.size(served.cast.sort.body.0));
    let heading: Vec<String> = ["sleeve", ""].map(str::to_owned).into_iter().chain(sizes()).collect();
    let ends = ["decides", ""].map(str::to_owned);
    let heading: Vec<String> = heading.into_iter().chain(ends).collect();
    let mut table = Table::new(&heading.iter().map(String::as_str).collect::<Vec<_>>());
    for row in told.rows() {
        let first = [told.made(row.step.sleeve).replace(" in)", ")"), row.mark.to_owned()];
        let decides = told.answer.deciding(row.step).map(|(_, margin)| margin);
        let last = [
            decides.map_or("–", |margin| name(margin.limit)).to_owned(),
            decides.map_or("", state).to_owned(),
        ];
        table.row(first.into_iter().chain(row.step.casts.iter().map(fill)).chain(last));
    }
    table.rule();
    let allowed = told.answer.judged.iter().map(|judged| figure(judged.clocks.allowed));
    table.row(["may take".to_owned(), String::new()].into_iter().chain(allowed));
    table.rule();
    let aside = told.answer.judged.iter().map(|judged| match judged.aside.sound_fill_time() {
        Some(time) => late(time, judged.clocks.allowed),
        None => "–".to_owned(),
    });
    table.row(["latch aside".to_owned(), String::new()].into_iter().chain(aside));
    table
}

/// Milliseconds without their unit.
fn figure(seconds: f64) -> String {
    milliseconds(seconds).trim_end_matches(" ms").to_owned()
}

/// A fill time, starred where it is too slow.
fn late(time: f64, allowed: f64) -> String {
    format!("{}{}", figure(time), if time > allowed { "*" } else { "" })
}

fn fill(thrown: &Thrown) -> String {
    thrown.turn.sound_fill_time().map_or_else(|| "–".to_owned(), |time| late(time, thrown.allowed))
}

/// What springs and latch bear with the sleeve now fitted and with the one recommended.
fn loads(told: &Told<'_>) -> Table {
    let (units, answer) = (&told.units, told.answer);
    let steps: Vec<(&str, &Step)> =
        told.rows().into_iter().filter(|row| !row.mark.is_empty()).map(|row| (row.mark, row.step)).collect();
    let marks: Vec<&str> = std::iter::once("").chain(steps.iter().map(|(mark, _)| *mark)).collect();
    let mut table = Table::new(&marks);
    let lift = |si: f64| rounded(units.lift, si, 3);
    let mut row = |name: &str, value: &dyn Fn(&Step) -> Option<String>| {
        let cells = steps.iter().map(|(_, step)| value(step).unwrap_or_else(|| "–".to_owned()));
        table.row(std::iter::once(name.to_owned()).chain(cells));
    };
    let trips = |step: &Step| (answer.window.lift_left(step.sleeve) > 0.0).then_some(());
    row("sleeve", &|step| Some(told.long(step.sleeve)));
    row("rod lengthened by", &|step| Some(told.long(step.extension)));
    row("springs at rest", &|step| Some(slack_or(step.preload, &|si| rounded(units.force, si, 3))));
    row("trip lift", &|step| trips(step).map(|()| lift(step.trip_lift)));
    row("lift left past the trip", &|step| trips(step).map(|()| lift(answer.window.lift_left(step.sleeve))));
    row("clear of the prongs at rest", &|step| Some(lift(answer.window.clearance(step.sleeve))));
    row("snap: piston travel the springs alone can drive", &|step| {
        trips(step).map(|()| lift(step.snap_travel))
    });
    row("and the metal", &|step| trips(step).map(|()| rounded(units.volume, step.snap_volume, 3)));
    row("load on the latch as it lets go", &|step| Some(rounded(units.force, step.latch_load()?, 3)));
    row("energy in the springs then", &|step| Some(format!("{} J", significant(step.stored_energy()?, 3))));
    row("closing left to coil binding, least in the turn", &|step| step.room_in_turn().map(lift));
    table
}

/// A force of springs at rest; slack springs press with none.
fn slack_or(force: f64, say: &dyn Fn(f64) -> String) -> String {
    if force > 0.0 { say(force) } else { "slack".to_owned() }
}

/// How a length stands: the limit that decides, and how.
pub(super) fn stands(told: &Told<'_>, step: &Step) -> String {
    told.answer.deciding(step).map_or_else(
        || "nothing is known of it".to_owned(),
        |(thrown, margin)| {
            format!("{} ({})", limits::stands(margin), told.units.size(thrown.cast.sort.body.0))
        },
    )
}

/// What misses first beyond an end of the window.
fn beyond(limit: Option<Limit>) -> &'static str {
    limit.map_or("nothing is known", limits::missed)
}
