//! The report on the rod nut: what each setting does, and the range that will do.

mod chart;
mod csv;
mod json;
mod turns;

pub use chart::{charts, filling};
pub use csv::csv;
pub use json::json;
pub use turns::advances;

use super::cautions;
use super::limits::{self, missed, name, short};
use super::owner::{OwnerUnits, milliseconds, percent, rounded, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_core::studies::preload::{Answer, Bound, End, Reach, Setting, Stress};
use latchstroke_core::studies::real_pace::RealPace;
use latchstroke_core::turn::Turn;
use latchstroke_models::latch::LatchSetting;
use latchstroke_scenario::Dimension;

/// Settings closer than this are one, m of the nut's way.
const SAME: f64 = 1e-7;
/// Springs that press with no more than this are slack, N: what is left of a force that is found by the nut's way.
const SLACK: f64 = 1e-3;

/// The cautions of this task, before the general ones.
const CARE: [&str; 2] = [
    "Mark adjusting nut and rod before you turn, count the turns, and lock the nut again before a turn under power.",
    "Keep the wire out of nicks: no toothed pliers on spring or rod.",
];

/// Wire thinner than this is what fatigue is told of, m.
const THIN: f64 = 10e-3;

/// Everything the report says.
#[derive(Debug, Clone)]
pub struct Told<'a> {
    /// The machine's name.
    pub machine: &'a str,
    /// The solved answer.
    pub answer: &'a Answer,
    /// The real pace of the size, where no other was asked for.
    pub real: Option<RealPace>,
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// Whether turns count from the stack's reference; else from the present setting.
    pub from_reference: bool,
    /// The owner's units.
    pub units: OwnerUnits,
}

impl Told<'_> {
    fn force(&self, si: f64) -> String {
        self.units.force(si)
    }

    /// A force of the springs at an end of a range: none where they just become slack.
    fn least(&self, si: f64) -> String {
        self.force(if si > SLACK { si } else { 0.0 })
    }

    /// A force of the springs at rest; slack ones press with none.
    fn at_rest(&self, si: f64) -> String {
        if si > SLACK { self.force(si) } else { "slack".to_owned() }
    }

    /// What turning the nut once adds to the preload, N: at the present setting, or with every spring tight if all lie loose.
    fn force_per_turn(&self) -> Option<f64> {
        let nut = &self.answer.nut;
        let rate: f64 = nut.machine.springs.iter().map(|spring| spring.rate).sum();
        let pitch = nut.pitch?;
        Some(if nut.preload(0.0) > 0.0 { nut.preload(pitch) - nut.preload(0.0) } else { rate * pitch })
    }

    /// Settings solved, with the one asked for among them, the least preload first; each with what stands out about it.
    fn rows(&self) -> Vec<(&Setting, &'static str)> {
        let asked = self.answer.asked.as_ref().and_then(|(_, setting)| setting.as_ref());
        let mut rows: Vec<(&Setting, &'static str)> = self.answer.settings.iter().map(|s| (s, "")).collect();
        for (setting, mark) in &mut rows {
            if setting.advance.abs() < SAME {
                *mark = "now";
            }
        }
        if let Some(asked) = asked {
            match rows.iter_mut().find(|(setting, _)| (setting.advance - asked.advance).abs() < SAME) {
                Some((_, mark)) => *mark = if mark.is_empty() { "asked" } else { "now, asked" },
                None => rows.push((asked, "asked")),
            }
        }
        rows.sort_by(|(a, _), (b, _)| a.advance.total_cmp(&b.advance));
        rows
    }

    /// First cells of a row: preload, and turns where the pitch is known.
    fn label(&self, setting: &Setting, mark: &str) -> Vec<String> {
        let force = self.at_rest(setting.preload);
        let marked = if mark.is_empty() { force } else { format!("{force} {mark}") };
        let mut cells = vec![marked];
        cells.extend(setting.turns.map(turns::figure));
        cells
    }

    fn heading<'b>(&self, rest: &[&'b str]) -> Vec<&'b str> {
        let mut heading = vec!["preload"];
        if self.answer.nut.pitch.is_some() {
            heading.push("turns");
        }
        heading.extend(rest);
        heading
    }
}

/// The report.
pub fn text(told: &Told<'_>) -> String {
    let units = &told.units;
    let Some(first) = told.answer.settings.first() else { return String::new() };
    let cast = first.judgement.cast;
    let mut text = format!(
        "{}: what the adjusting nut does\n{} × {} at {}\n\n",
        told.machine,
        units.size(cast.sort.body.0),
        units.size(cast.sort.set.0),
        units.turns(cast.pace.0)
    );
    text += &wrapped(&limits::paced(cast, told.real.as_ref(), units), 2, 2);
    text += &wrapped(&nut_words(told), 2, 2);
    text += "\nPump and latch\n";
    text += &pump(told).text(2);
    text += "\nLoads\n";
    text += &loads(told).text(2);
    if told.answer.settings.iter().any(|setting| worst(setting).is_some()) {
        text += "\nStress in the wire at the greatest force\n";
        text += &stresses(told).text(2);
    }
    text += &wrapped(&stress_words(told), 2, 2);
    text += "\nWhere the setting will do\n";
    for (name, reach) in ["latch aside", "latch set"].into_iter().zip(&told.answer.reaches) {
        text += &wrapped(&reach_words(told, name, reach.as_ref()), 2, 4);
    }
    text += &asked_words(told);
    text += "\n";
    text += &cautions::listed("With the adjusting nut", &CARE);
    text += "\n";
    text += &cautions::text();
    text
}

fn nut_words(told: &Told<'_>) -> String {
    let nut = &told.answer.nut;
    let now = if nut.preload(0.0) > SLACK {
        format!("The springs press with {} at rest.", told.force(nut.preload(0.0)))
    } else {
        "The springs are slack at rest.".to_owned()
    };
    match (nut.pitch, told.force_per_turn()) {
        (Some(pitch), Some(force)) => {
            let counted = if told.from_reference {
                format!(
                    "Turns count down from the adjusting nut's reference place; it stands at {} now.",
                    turns::figure(nut.turns)
                )
            } else {
                "Turns count down from where the adjusting nut stands now; up is negative.".to_owned()
            };
            format!(
                "{now} One turn of the adjusting nut moves it {} and adds {}{}. {counted}",
                rounded(told.units.rod, pitch, 3),
                told.force(force),
                if nut.preload(0.0) > 0.0 { "" } else { " once the springs are tight" }
            )
        }
        _ => format!(
            "{now} The pitch of the adjusting nut's thread is not stated (thread_pitch in [stack]), so settings are told as forces only."
        ),
    }
}

fn pump(told: &Told<'_>) -> Table {
    let units = &told.units;
    let mut table =
        Table::new(&told.heading(&["fill, aside", "fill, set", "piston, set", "strike", "latch", "decides"]));
    for (setting, mark) in told.rows() {
        let (aside, set) = (&setting.judgement.aside, &setting.judgement.set);
        let speed = |turn: &Turn| units.speed(turn.peaks.piston_speed);
        let strike = set.throw.map(|throw| units.blow(throw.strike_energy));
        let rest = [
            fill(setting, aside),
            fill(setting, set),
            speed(set),
            strike.unwrap_or_else(|| "–".to_owned()),
            short(setting.judgement.verdict).to_owned(),
            limits::telling(&setting.judgement, |margin| name(margin.limit).to_owned()),
        ];
        table.row(told.label(setting, mark).into_iter().chain(rest));
    }
    table
}

fn fill(setting: &Setting, turn: &Turn) -> String {
    match turn.sound_fill_time() {
        Some(time) if time > setting.judgement.clocks.allowed => milliseconds(time) + "*",
        Some(time) => milliseconds(time),
        None => percent(turn.filled.min(1.0)) + " full",
    }
}

fn loads(told: &Told<'_>) -> Table {
    let mut table = Table::new(&told.heading(&[
        "on the latch",
        "on the cam",
        "of the springs",
        "room left",
        "hold-down left",
    ]));
    for (setting, mark) in told.rows() {
        let (aside, set) = (&setting.judgement.aside, &setting.judgement.set);
        let cell = |value: Option<String>| value.unwrap_or_else(|| "–".to_owned());
        let hold = [LatchSetting::Aside, LatchSetting::Set]
            .into_iter()
            .filter_map(|latch| setting.hold_down_left(latch))
            .reduce(f64::min);
        let rest = [
            cell(set.throw.map(|throw| told.force(throw.latch_load))),
            told.force(aside.peaks.cam_force.max(set.peaks.cam_force)),
            told.force(setting.springs.iter().map(|spring| spring.greatest).sum()),
            cell(setting.room.map(|room| told.units.lift(room))),
            cell(hold.map(|force| told.force(force))),
        ];
        table.row(told.label(setting, mark).into_iter().chain(rest));
    }
    table
}

fn stresses(told: &Told<'_>) -> Table {
    let mut table = Table::new(&told.heading(&["stress", "of allowable", "fatigue safety"]));
    for (setting, mark) in told.rows() {
        let stress = worst(setting);
        let cell = |value: Option<String>| value.unwrap_or_else(|| "–".to_owned());
        let rest = [
            cell(stress.map(|s| told.units.pressure(s.wahl))),
            cell(stress.and_then(|s| s.share()).map(percent)),
            cell(stress.and_then(|s| s.fatigue).map(|safety| significant(safety, 3))),
        ];
        table.row(told.label(setting, mark).into_iter().chain(rest));
    }
    table
}

/// The stress of the spring nearest to what it may bear, or of the most stressed one where that is not stated.
fn worst(setting: &Setting) -> Option<Stress> {
    let all = || setting.springs.iter().filter_map(|spring| spring.stress);
    let by_share = all()
        .filter(|s| s.share().is_some())
        .max_by(|a, b| a.share().unwrap_or(0.0).total_cmp(&b.share().unwrap_or(0.0)));
    by_share.or_else(|| all().max_by(|a, b| a.wahl.total_cmp(&b.wahl)))
}

fn stress_words(told: &Told<'_>) -> String {
    let clocks = told.answer.settings.first().map(|setting| setting.judgement.clocks);
    let mut text = format!(
        "A * marks a fill that is too slow: it may take {}. The latch and the limit that decides go by the whole list of limits, as the judge has it. Forces and stresses are the greatest of the turns with the latch aside and set; room is what is left until coils touch, hold-down what is left until the matrix lifts.",
        clocks.map_or("–".to_owned(), |clocks| milliseconds(clocks.allowed))
    );
    let any = |f: &dyn Fn(Stress) -> bool| told.answer.settings.iter().filter_map(worst).any(f);
    if !any(&|_| true) {
        text += " Stresses need the springs' wire and coil diameters, which are not stated.";
    } else if !any(&|s| s.allowable.is_some()) {
        text += " State allowable_stress of the springs to see how the stress stands.";
    } else {
        text += &format!(
            " The stress is that at the inside of the coil, where it is greatest. Fatigue safety is that between the force at rest and the greatest, for steel wire under {}, not shot-peened and free of rust and nicks; the allowable stress is taken for its torsional yield strength.",
            rounded(told.units.system.unit(Dimension::Length), THIN, 2)
        );
    }
    text
}

/// What ends a range, in words.
fn bound(bound: Bound) -> &'static str {
    match bound {
        Bound::Limit(limit) => missed(limit),
        Bound::Unknown => "not known beyond: the turn could not be solved",
    }
}

/// The range over which a setting of the latch will do, and what ends it, in a sentence.
pub(super) fn reach_words(told: &Told<'_>, name: &str, reach: Option<&Reach>) -> String {
    let Some(reach) = reach else {
        return format!("{name}: no setting tried keeps all limits.");
    };
    let place = |end: &End| {
        let force = told.least(end.preload);
        told.answer
            .nut
            .turns_at(end.advance)
            .map_or(force.clone(), |turns| format!("{force} ({})", turns::counted(turns)))
    };
    let why = |end: &End, beyond: &str, tried: &str| {
        end.bound.map_or(tried.to_owned(), |why| format!("{beyond}, {}", bound(why)))
    };
    format!(
        "{name}: from {} ({}) up to {} ({}).",
        place(&reach.low),
        why(&reach.low, "below it", "the least tried"),
        place(&reach.high),
        why(&reach.high, "above it", "the most tried")
    )
}

fn asked_words(told: &Told<'_>) -> String {
    let Some((preload, setting)) = &told.answer.asked else { return String::new() };
    let heading = format!("\nFor {}\n", told.force(*preload));
    let Some(setting) = setting else {
        return heading + "  Not to be had: the springs would be solid first.\n";
    };
    let way = match told.answer.nut.pitch.map(|pitch| setting.advance / pitch) {
        None => {
            "The pitch of the adjusting nut's thread is not stated, so how far to turn it cannot be told."
                .to_owned()
        }
        Some(further) => {
            let turn = if further.abs() < 5e-4 {
                "Leave the adjusting nut where it is.".to_owned()
            } else {
                let way = if further > 0.0 { "down" } else { "up" };
                let (further, flats) = (further.abs(), turns::flats(further.abs()));
                format!(
                    "Turn the adjusting nut {way} by {} from where it stands ({flats}, to the nearest flat of a hexagon nut).",
                    turns::counted(further)
                )
            };
            match setting.turns.filter(|_| told.from_reference) {
                Some(turns) => {
                    format!("{turn} It then stands at {} from the reference.", turns::counted(turns))
                }
                None => turn,
            }
        }
    };
    let stands = match (setting.will_do(LatchSetting::Aside), setting.will_do(LatchSetting::Set)) {
        (true, true) => "There all limits are kept with the latch aside and set.",
        (true, false) => "There all limits are kept with the latch aside only.",
        (false, true) => "There all limits are kept with the latch set only.",
        (false, false) => "There a limit is missed with the latch aside and set.",
    };
    let decides = format!(" It is decided by: {}.", limits::telling(&setting.judgement, limits::stands));
    heading + &wrapped(&format!("{way} {stands}{decides}"), 2, 2)
}
