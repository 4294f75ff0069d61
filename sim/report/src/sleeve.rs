//! The report on the sleeve: the window, what each length does, and the length to make.

mod chart;
mod csv;
mod json;
mod lengths;
mod recommendation;

pub use chart::chart;
pub use csv::csv;
pub use json::json;
pub use lengths::lengths;
pub use recommendation::refused;

use super::cautions;
use super::limits::{self, name, state};
use super::owner::{OwnerUnits, milliseconds, on_the_rule, rounded, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::limits::Limit;
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_core::studies::sleeve::{Answer, Served, Step, Thrown};
use latchstroke_scenario::quantity::nearest_64th;

/// Lengths closer than this are one, m.
const SAME: f64 = 1e-7;

/// The cautions of this task, before the general ones.
const CARE: [&str; 2] = [
    "Before you cast, turn the machine by hand through two whole turns with the latch set: see that the prongs clear the abutment at rest, that the latch trips, and that it catches again.",
    "Ends square and burrs off; sleeve and extension equally long, or the springs' force changes.",
];

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
    /// The owner's units.
    pub units: OwnerUnits,
}

/// A row of the tables: a length, and what stands out about it.
struct Row<'a> {
    step: &'a Step,
    mark: &'static str,
}

impl Told<'_> {
    /// A length along the rod.
    fn long(&self, si: f64) -> String {
        self.units.along(si)
    }

    /// As [`Self::long`], with the nearest sixty-fourth beside inches that are none.
    fn made(&self, si: f64) -> String {
        let is_on_it = on_the_rule(self.units.rod, si).is_some();
        let near = (self.units.rod.symbol == "in" && !is_on_it).then(|| nearest_64th(si));
        near.map_or_else(|| self.long(si), |near| format!("{} (near {near})", self.long(si)))
    }

    /// A small length along the rod, such as a tolerance.
    fn little(&self, si: f64) -> String {
        rounded(self.units.rod, si, 2)
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
                told.units.force(told.answer.steps.first().unwrap_or(&told.answer.present).preload),
                told.units.skin(told.acceptance.skin),
                significant(told.acceptance.margin, 3),
            ),
            2,
            2,
        );
        text += "\nWhat springs and latch bear\n";
        text += &loads(told).text(2);
    }
    text += "\n";
    text += &cautions::listed("With a new sleeve", &CARE);
    text += "\n";
    text += &cautions::text();
    text
}

fn window(told: &Told<'_>) -> Table {
    let window = told.answer.window;
    let mut table = Table::new(&["", ""]);
    let mut row = |name: &str, value: String| table.row([name.to_owned(), value]);
    row("plain abutment to prongs", told.made(window.longest));
    row("prong travel", told.made(window.prong_travel));
    row("cam lift", told.units.lift(window.cam_lift));
    row("cross block lifts, rod held", told.units.lift(window.block_lift));
    row("shortest sleeve that still trips", told.made(window.shortest));
    row("longest sleeve that still holds", told.made(window.longest));
    if let Ok(recommendation) = &told.answer.recommendation {
        row("all sizes keep all limits, from", told.made(recommendation.window.0));
        row("to", told.made(recommendation.window.1));
    }
    row("kept in hand at both ends, for the tolerances", told.little(told.answer.tolerance));
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
        let first = [told.made(row.step.sleeve), row.mark.to_owned()];
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
    let mut row = |name: &str, value: &dyn Fn(&Step) -> Option<String>| {
        let cells = steps.iter().map(|(_, step)| value(step).unwrap_or_else(|| "–".to_owned()));
        table.row(std::iter::once(name.to_owned()).chain(cells));
    };
    let trips = |step: &Step| (answer.window.lift_left(step.sleeve) > 0.0).then_some(());
    row("sleeve", &|step| Some(told.long(step.sleeve)));
    row("rod lengthened by", &|step| Some(told.long(step.extension)));
    row("springs at rest", &|step| Some(slack_or(step.preload, &|si| units.force(si))));
    row("trip lift", &|step| trips(step).map(|()| units.lift(step.trip_lift)));
    row("lift left past the trip", &|step| {
        trips(step).map(|()| units.lift(answer.window.lift_left(step.sleeve)))
    });
    row("clear of the prongs at rest", &|step| Some(units.lift(answer.window.clearance(step.sleeve))));
    row("snap: piston travel the springs alone can drive", &|step| {
        trips(step).map(|()| units.lift(step.snap_travel))
    });
    row("and the metal", &|step| trips(step).map(|()| units.volume(step.snap_volume)));
    row("load on the latch as it lets go", &|step| Some(units.force(step.latch_load()?)));
    row("energy in the springs then", &|step| Some(units.energy(step.stored_energy()?)));
    row("closing left to coil binding, least in the turn", &|step| {
        step.room_in_turn().map(|si| units.lift(si))
    });
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
