//! The report of the paces at which each size can be cast.

pub mod data;
pub mod fill;
pub mod map;

use super::cautions;
use super::limits;
use super::owner::{OwnerUnits, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::limits::Limit;
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::judge::{BODIES, Judgement, PACES, Why};
use latchstroke_core::studies::pace::{End, Reach, SizePaces, Window};
use latchstroke_core::studies::real_pace::CastAt;
use latchstroke_models::units::Angle;

/// Everything the report says.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The machine's name.
    pub machine: String,
    /// Angle of the main shaft for which the mould stays shut after it is full.
    pub shut: Angle,
    /// Set width over body.
    pub proportion: f64,
    /// The sizes asked for.
    pub sizes: Vec<SizePaces>,
    /// At which pace each size is cast.
    pub at: CastAt,
    /// Each size judged at that pace.
    pub judged: Vec<Judgement>,
    /// How far over the sizes the latch may stand aside, each at that pace.
    pub largest_aside: Reach,
    /// How far the set latch casts, at the same pace.
    pub largest_set: Reach,
}

/// The report.
pub fn text(answer: &Answer, units: &OwnerUnits) -> String {
    let mut text = format!("{}\n\n", answer.machine);
    for judgement in &answer.judged {
        text += &wrapped(&format!("{}.", limits::headline(judgement, units)), 0, 2);
    }
    text += "\nAt which pace?\n";
    text += &table(answer, units).text(2);
    text += &wrapped(&terms(answer, units), 2, 2);
    text.push('\n');
    for paces in &answer.sizes {
        let sentence = format!("{}: {}", units.size(paces.sort.body.0), advice(paces, units));
        text += &wrapped(&sentence, 2, 4);
    }
    text.push('\n');
    text += &wrapped(&reaches(answer, units), 2, 2);
    text += "\n";
    text += &wrapped(
        "! A mould that opens on metal still liquid inside lets it out hot. Begin well below the cooling limit, break a few types across, and go faster only while their middles are sound.",
        2,
        4,
    );
    text += "\n";
    text += &cautions::short();
    text
}

fn table(answer: &Answer, units: &OwnerUnits) -> Table {
    let limit = format!("solid up to, {}", units.pace.symbol);
    let mut table = Table::new(&[
        "size",
        "solid after",
        &limit,
        "leaves at",
        "latch aside",
        "latch must be set",
        "neither",
    ]);
    for paces in &answer.sizes {
        let [time, limit, ejection] =
            paces.cooling.map_or(["–", "–", "–"].map(str::to_owned), |cooling| {
                [
                    format!("{} s", significant(cooling.time, 3)),
                    units.turns_figure(cooling.pace),
                    units.temperature(cooling.ejection),
                ]
            });
        let cell = |windows: &[Window]| figures(windows, units);
        table.row([
            units.size(paces.sort.body.0),
            time,
            limit,
            ejection,
            cell(&paces.aside),
            cell(&paces.set),
            cell(&paces.gaps),
        ]);
    }
    table
}

/// "12.4–29.3, from 50"; a dash for no window.
fn figures(windows: &[Window], units: &OwnerUnits) -> String {
    if windows.is_empty() {
        return "–".to_owned();
    }
    let all: Vec<String> = windows
        .iter()
        .map(|window| {
            let (from, to) = (units.turns_figure(window.from), units.turns_figure(window.to));
            match (at_low_end(window.from), at_high_end(window.to)) {
                (true, true) => "any".to_owned(),
                (true, false) => format!("up to {to}"),
                (false, true) => format!("from {from}"),
                (false, false) => format!("{from}–{to}"),
            }
        })
        .collect();
    all.join(", ")
}

/// "at 12.4 to 29.3 turns/min".
fn spoken(windows: &[Window], units: &OwnerUnits) -> String {
    let all: Vec<String> = windows
        .iter()
        .map(|window| match (at_low_end(window.from), at_high_end(window.to)) {
            (true, true) => "at any pace".to_owned(),
            (true, false) => format!("up to {}", units.turns(window.to)),
            (false, true) => format!("from {}", units.turns(window.from)),
            (false, false) => {
                format!("from {} to {}", units.turns_figure(window.from), units.turns(window.to))
            }
        })
        .collect();
    all.join(" and ")
}

fn at_low_end(pace: f64) -> bool {
    pace <= PACES.0
}

fn at_high_end(pace: f64) -> bool {
    pace >= PACES.1
}

fn terms(answer: &Answer, units: &OwnerUnits) -> String {
    format!(
        "Paces from {} to {}. \"Solid after\" is the time from the mould being full until the metal is solid through its middle, cooled across the lesser of body and set or, with mould.freezing = \"section\", from all four sides, as a square sort is, and sooner solid. \"Leaves at\" is the mean temperature of the type as the mould opens at the pace up to which it is solid. The mould is taken to stay shut for {}° of the turn (mould.shut_angle).",
        units.turns_figure(PACES.0),
        units.turns(PACES.1),
        significant(answer.shut.0.to_degrees(), 3),
    )
}

/// What to do for one size.
fn advice(paces: &SizePaces, units: &OwnerUnits) -> String {
    let Some(cooling) = paces.cooling else {
        return format!("no pace does; it is not solid in time even at {}.", units.turns(PACES.0));
    };
    let limit = units.turns(cooling.pace);
    let [aside_lost, set_lost] = paces.hindered_by;
    let keeps = |windows: &[Window], lost: Option<Limit>| match windows {
        [] => format!("at no pace{}", because(lost)),
        windows => format!("only {}", spoken(windows, units)),
    };
    let advice = match (paces.aside.as_slice(), paces.set.as_slice()) {
        ([], []) => format!(
            "no pace does. It is solid only up to {limit}; with the latch set the other limits are kept {}, with it aside {}.",
            keeps(&paces.fills_set, set_lost),
            keeps(&paces.fills_aside, aside_lost),
        ),
        ([], set) => format!(
            "the latch must be set, {}. With it aside the other limits are kept {}.",
            spoken(set, units),
            match paces.fills_aside.as_slice() {
                [] => keeps(&[], aside_lost),
                windows => format!("only {}, too fast to be solid", spoken(windows, units)),
            }
        ),
        (aside, []) => format!(
            "leave the latch aside, {}; setting it gains no other pace{}.",
            spoken(aside, units),
            because(set_lost)
        ),
        (aside, set) => format!(
            "the latch may stand aside {}, and must be set {}.",
            spoken(aside, units),
            spoken(set, units)
        ),
    };
    advice + &ends(paces, cooling.pace, units) + &unknown(paces, units)
}

/// ": the latch never lets go"; nothing where it is not known.
fn because(lost: Option<Limit>) -> String {
    lost.map_or_else(String::new, |limit| format!(", since {}", limits::missed(limit)))
}

/// What ends a setting's paces, but for the cooling and for a cam too slow.
fn ends(paces: &SizePaces, solid: f64, units: &OwnerUnits) -> String {
    let told = |end: &&End| {
        let too_slow = !end.is_fast_end && (end.limit.is_clock() || end.limit == Limit::Filled);
        end.pace <= solid && !too_slow
    };
    let sentence = |(name, end): (&str, &End)| {
        let way = if end.is_fast_end { "beyond" } else { "below" };
        format!(" With the latch {name} {way} {} {}.", units.turns(end.pace), limits::missed(end.limit))
    };
    let all = ["aside", "set"].into_iter().zip(&paces.ends);
    all.flat_map(|(name, ends)| ends.iter().filter(told).map(move |end| (name, end))).map(sentence).collect()
}

/// At which paces nothing is known, and why.
fn unknown(paces: &SizePaces, units: &OwnerUnits) -> String {
    let beyond = paces.unknown_beyond.as_ref().map_or_else(String::new, |(pace, why)| {
        format!(" Paces are not known beyond {}, because {}.", units.turns(*pace), limits::why(why))
    });
    if paces.not_known.is_empty() {
        return beyond;
    }
    format!(
        " Not known {}, because {}.{beyond}",
        spoken(&paces.not_known, units),
        limits::why(&Why::Untrusted)
    )
}

fn reaches(answer: &Answer, units: &OwnerUnits) -> String {
    let shape = if (answer.proportion - 1.0).abs() < 1e-9 {
        "square sorts".to_owned()
    } else {
        format!("sorts {} times as wide as their body", significant(answer.proportion, 3))
    };
    format!(
        "{}, {shape} keep all limits with the latch aside for {}, and with it set for {}.",
        at_pace(&answer.at, units),
        reach_words(&answer.largest_aside, units),
        reach_words(&answer.largest_set, units),
    )
}

/// "At 12 turns/min", or "Each at its real pace".
pub(super) fn at_pace(at: &CastAt, units: &OwnerUnits) -> String {
    at.asked.map_or_else(|| "Each at its real pace".to_owned(), |pace| format!("At {}", units.turns(pace.0)))
}

/// "sizes up to 18.4 pt (beyond it lapping)"; "no size, since the latch never lets go".
pub(super) fn reach_words(reach: &Reach, units: &OwnerUnits) -> String {
    match &reach.from {
        Onset::Always => format!("no size{}", because(reach.lost)),
        Onset::From(body) => format!(
            "sizes up to {}{}",
            units.size_up_to(*body),
            reach.lost.map_or_else(String::new, |limit| format!(" (beyond it {})", limits::missed(limit)))
        ),
        Onset::Never => format!("every size up to {}", units.size(BODIES.1)),
        Onset::UnknownBeyond(body, why) => format!(
            "sizes up to {} at least (not known beyond it, because {})",
            units.size_up_to(*body),
            limits::why(why)
        ),
    }
}
