//! Sleeve and rod extension in words, and as drawings: the report of `latchstroke parts`.

mod found;
mod joint;
mod measures;
pub mod sheets;

use super::cautions;
use super::limits;
use super::owner::{OwnerUnits, System, significant};
use super::table::Table;
use super::turn::wrapped;
use found::found;
pub use joint::forbidding;
use joint::strength;
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::studies::parts::{
    Basis, Clearance, Extension, Joint, LengthTolerance, MARGIN_SHARE, Parts, STEEL, Sleeve,
};
use latchstroke_core::studies::real_pace::RealPace;
use latchstroke_models::latch::LatchSetting;
use latchstroke_scenario::{Dimension, Scenario};
use measures::{Measures, decimal_inches, fraction, millimetres};
use std::fmt::Write as _;

/// The pieces, and what is known of them.
#[derive(Debug, Clone, Copy)]
pub struct Made<'a> {
    /// The pieces.
    pub parts: &'a Parts,
    /// What their joint bears.
    pub joint: &'a Joint,
    /// The room that the abutment has below the extension.
    pub clearance: &'a Clearance,
    /// The judgement of the cast on the machine with them.
    pub judgement: &'a Judgement,
    /// Whether they are not those that the machine has, but those recommended to it.
    pub recommended: bool,
    /// Why nothing must be made from the drawings, as sentences of [`forbidding`].
    pub forbidding: &'a [String],
}

/// What must be said before anyone makes or fits these pieces.
const CARE: [&str; 4] = [
    "Let the springs' force off before you undo nuts; slacken them in turn, a little at a time.",
    "No toothed pliers on the rod where springs or bearings slide: use the flats, or soft jaws.",
    "Burrs off every edge; a burr in the bore scores the rod.",
    "Screw the extension home until the rod's end seats, secure the joint with a removable thread-locking compound, and mark rod and extension across the joint, so that a turn shows.",
];

/// The whole report.
pub fn text(scenario: &Scenario, made: Made<'_>, real: Option<&RealPace>, units: &OwnerUnits) -> String {
    let Made { parts, joint, judgement, .. } = made;
    let name = scenario.machine_name();
    let measures = Measures::of(units);
    let mut text = format!("{name}: sleeve and rod extension\n");
    text += &wrapped(&format!("{}.", limits::headline(judgement, units)), 0, 2);
    text += &wrapped(&limits::paced(judgement.cast, real, units), 2, 2);
    if made.recommended {
        text += &wrapped(
            "The machine has neither piece yet: these are of the length that \u{201c}latchstroke sleeve\u{201d} recommends.",
            2,
            2,
        );
    }
    if let Some(sleeve) = &parts.sleeve {
        text += "\nSleeve\n";
        text += &sizes(measures, &sleeve_rows(sleeve, measures));
        text += &wrapped(&basis_words("sleeve", &sleeve.tolerance, measures), 2, 2);
    }
    if let Some(extension) = &parts.extension {
        text += "\nRod extension\n";
        text += &sizes(measures, &extension_rows(extension, measures));
        text += &wrapped(&extension_basis(parts, extension, measures), 2, 2);
        text += "  Its error moves the adjusting nut, not the latch; the nut takes it up.\n";
    }
    if !parts.assumed.is_empty() {
        let keys: Vec<String> = parts.assumed.iter().map(|key| key.replace('_', " ")).collect();
        let words = format!(
            "Not stated in [parts], so assumed by rule of thumb: {}. Measure the machine before you cut metal, and state them.",
            keys.join(", ")
        );
        text.push('\n');
        text += &wrapped(&words, 0, 0);
    }
    if parts.extension.is_some() {
        text += "\nIn their places\n";
        text += &wrapped(&places(made.clearance, measures), 2, 2);
    }
    // Writing to a String cannot fail.
    let _ = writeln!(text, "\nStrength of the joint: {}, {}", parts.thread.name, parts.material);
    text += &strength(parts, joint, units);
    if !made.forbidding.is_empty() {
        text += "\nNot for making: the drawings say so across them\n";
    }
    for warning in made.forbidding.iter().cloned().chain(misses(judgement)).chain(remarks(parts, measures)) {
        text += &wrapped(&format!("! {warning}"), 2, 4);
    }
    text += "\nWhat a found piece would measure\n";
    text += &found(parts, units).text(2);
    text += &wrapped(
        &format!(
            "The extended rod is taken as one piece. Weights are of steel, {}; of a rod the plain cylinder alone, without shoulder, eye and nuts.",
            units.figure(Dimension::Density, STEEL)
        ),
        2,
        2,
    );
    text + "\n" + &cautions::listed("Before you make and fit them", &CARE) + "\n" + &cautions::text()
}

/// Where the extension's socket stands above the abutment, as sentences.
fn places(clearance: &Clearance, measures: Measures) -> String {
    let lift = measures.length(clearance.lift);
    match clearance.room {
        Some(room) if room >= clearance.lift => format!(
            "The extension\u{2019}s socket stands {} above the abutment at rest. If the rod were held over the whole lift of {lift}, {} would be left.",
            measures.length(room),
            measures.length(room - clearance.lift)
        ),
        Some(room) => format!(
            "The extension\u{2019}s socket stands {} above the abutment at rest, less than the whole lift of {lift}: a rod held over all of it, as by a frozen nozzle, would strike.",
            measures.length(room)
        ),
        None => format!(
            "Nothing says how far the plain rod reaches above the plain abutment face: measure it and state it as rod_end in [stack]. It must be at least {}, or the abutment strikes the extension\u{2019}s socket at full lift.",
            measures.length(clearance.rod_end_needed)
        ),
    }
}

/// The limits of the cast that are missed with these lengths and the latch set, as a sentence.
fn misses(judgement: &Judgement) -> Option<String> {
    let missed =
        judgement.standing(LatchSetting::Set).in_the_way().filter(|margin| !margin.limit.is_of_machine());
    let missed: Vec<&str> = missed.map(|margin| limits::missed(margin.limit)).collect();
    (!missed.is_empty()).then(|| {
        format!(
            "With these lengths, latch set: {}. \u{201c}latchstroke sleeve\u{201d} tells which lengths keep all limits.",
            missed.join("; ")
        )
    })
}

/// What is to be known of the two pieces together, as sentences.
fn remarks(parts: &Parts, measures: Measures) -> Option<String> {
    match (&parts.sleeve, &parts.extension) {
        (Some(sleeve), Some(extension)) if (sleeve.length - extension.length).abs() > 1e-4 => Some(format!(
            "Sleeve and extension differ by {}, so the springs are not loaded as they were without them.",
            measures.length((sleeve.length - extension.length).abs())
        )),
        (None, _) => Some("The stack has no sleeve, so none is drawn: state stack.sleeve.".to_owned()),
        (_, None) => Some("The stack has no extension, so none is drawn: state stack.extension.".to_owned()),
        _ => None,
    }
}

fn sizes(measures: Measures, rows: &[(&str, f64, String)]) -> String {
    let heading = |system| if system == System::Inch { &["in", "nearest 1/64"][..] } else { &["mm"] };
    let headings = measures.systems().flat_map(heading).copied();
    let mut table = Table::new(&[""].into_iter().chain(headings).chain([""]).collect::<Vec<_>>());
    for (name, metres, note) in rows {
        let cells = measures.systems().flat_map(|system| match system {
            System::Inch => vec![decimal_inches(*metres), fraction(*metres)],
            System::Metric => vec![millimetres(*metres)],
        });
        table.row([(*name).to_owned()].into_iter().chain(cells).chain([note.clone()]));
    }
    table.text(2)
}

fn sleeve_rows(sleeve: &Sleeve, measures: Measures) -> Vec<(&'static str, f64, String)> {
    let mut rows = vec![
        ("length, spring end to shoulder", sleeve.length, measures.half_width(sleeve.tolerance.half_width)),
        ("bore", sleeve.bore, String::new()),
        ("outside", sleeve.outside, String::new()),
    ];
    if let Some(register) = sleeve.register {
        rows.push(("register, diameter", register.diameter, String::new()));
        rows.push(("register, length", register.length, String::new()));
    }
    rows
}

fn extension_rows(extension: &Extension, measures: Measures) -> Vec<(&'static str, f64, String)> {
    vec![
        ("length, seat to far end", extension.length, measures.half_width(extension.tolerance.half_width)),
        ("over all", extension.overall(), String::new()),
        ("outside", extension.outside, String::new()),
        ("socket, depth of thread", extension.engagement, extension.thread.name.clone()),
        ("socket, depth to the seat", extension.socket(), String::new()),
        (
            "thread for the adjusting nut, undercut with it",
            extension.thread_length,
            extension.thread.name.clone(),
        ),
        ("spanner flats, across", extension.flats, String::new()),
    ]
}

/// Where the extension's tolerance comes from, as a sentence.
fn extension_basis(parts: &Parts, extension: &Extension, measures: Measures) -> String {
    if parts.sleeve.is_some() {
        "The tolerance is that of the sleeve.".to_owned()
    } else {
        basis_words("extension", &extension.tolerance, measures)
    }
}

/// Where a tolerance comes from, as a sentence.
fn basis_words(piece: &str, tolerance: &LengthTolerance, measures: Measures) -> String {
    match tolerance.basis {
        Basis::Given => format!(
            "The tolerance of the {piece} is studied: within it the verdict stands with a chance of 95 %."
        ),
        Basis::Margin { margin } => format!(
            "The tolerance is {} % of the {} to the nearest length of sleeve with which a limit is missed.",
            significant(100.0 * MARGIN_SHARE, 1),
            measures.length(margin)
        ),
        Basis::Lathe { margin } => format!(
            "The tolerance is what any lathe holds; the nearest length of sleeve with which a limit is missed is {} away.",
            measures.length(margin)
        ),
        Basis::Finest => {
            "With this sleeve not all limits are kept with the latch set, or nothing says how the latch hangs on it; the tolerance is the finest a lathe holds."
                .to_owned()
        }
    }
}
