//! Sleeve and rod extension in words, and as drawings: the report of `latchstroke parts`.

mod measures;
pub mod sheets;

use super::cautions;
use super::limits;
use super::owner::{OwnerUnits, System, rounded, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::studies::parts::{
    Basis, Extension, Joint, LengthTolerance, MARGIN_SHARE, Parts, STEEL, Sleeve,
};
use latchstroke_core::studies::real_pace::RealPace;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::thread::Form;
use latchstroke_scenario::key;
use latchstroke_scenario::{Dimension, Scenario};
use measures::{Measures, decimal_inches, fraction, millimetres};
use std::fmt::Write as _;

/// What must be said before anyone makes or fits these pieces.
const CARE: [&str; 4] = [
    "Let the springs' force off before you undo nuts; slacken them in turn, a little at a time.",
    "No toothed pliers on the rod where springs or bearings slide: use the flats, or soft jaws.",
    "Burrs off every edge; a burr in the bore scores the rod.",
    "Screw the extension home until the rod's end seats, secure the joint with a removable thread-locking compound, and mark rod and extension across the joint, so that a turn shows.",
];

/// The whole report, with the judgement of the cast on the machine with these lengths.
pub fn text(
    scenario: &Scenario,
    (machine, judgement): (&Machine, &Judgement),
    real: Option<&RealPace>,
    (parts, joint): (&Parts, &Joint),
    units: &OwnerUnits,
) -> String {
    let name = scenario.machine_name();
    let measures = Measures::of(units);
    let mut text = format!("{name}: sleeve and rod extension\n");
    text += &wrapped(&format!("{}.", limits::headline(judgement, units)), 0, 2);
    text += &wrapped(&limits::paced(judgement.cast, real, units), 2, 2);
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
    // Writing to a String cannot fail.
    let _ = writeln!(text, "\nStrength of the joint: {}, {}", parts.thread.name, parts.material);
    text += &strength(parts, joint, units);
    for warning in
        lengths_fail(judgement).into_iter().chain(warnings(scenario, machine, (parts, joint), units))
    {
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

/// The limits that these lengths miss with the latch set, as a sentence.
fn lengths_fail(judgement: &Judgement) -> Option<String> {
    let missed: Vec<&str> = judgement
        .standing(LatchSetting::Set)
        .in_the_way()
        .map(|margin| limits::missed(margin.limit))
        .collect();
    (!missed.is_empty()).then(|| {
        format!(
            "With these lengths, latch set: {}. \u{201c}latchstroke sleeve\u{201d} tells which lengths keep all limits.",
            missed.join("; ")
        )
    })
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
        ("thread for the adjusting nut, length", extension.thread_length, extension.thread.name.clone()),
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
        Basis::Finest => {
            "With this sleeve not all limits are kept with the latch set, or nothing says how the latch hangs on it; the tolerance is the finest a lathe holds."
                .to_owned()
        }
    }
}

fn strength(parts: &Parts, joint: &Joint, units: &OwnerUnits) -> String {
    let measures = Measures::of(units);
    let area = |si: f64| units.figure(Dimension::Area, si);
    let cycle = joint.cycle();
    let mut table = Table::new(&["", "", ""]);
    let mut row =
        |name: &str, value: String, note: &str| table.row([name.to_owned(), value, note.to_owned()]);
    let rule = if parts.thread.thread.form() == Form::Whitworth { "the core alone" } else { "" };
    row("section of the thread that bears the pull", area(joint.stress_area), rule);
    if let Some(wall) = joint.wall_area {
        row("section of the socket's wall", area(wall), "at the groove");
    }
    row("springs, at rest", units.force(joint.rest), &units.pressure(cycle.least));
    row(
        "springs, greatest in a turn",
        units.force(joint.spring),
        &units.pressure(joint.spring / joint.weakest_area()),
    );
    if joint.strike_speed > 0.0 {
        let words = format!(
            "{}, from {}",
            units.pressure(joint.strike / joint.weakest_area()),
            units.speed(joint.strike_speed)
        );
        row("strike of the shoulder", units.force(joint.strike), &words);
    } else {
        row("strike of the shoulder", "none".to_owned(), "the latch throws nothing in this turn");
    }
    row("both at once", units.force(joint.spring + joint.strike), &units.pressure(cycle.greatest));
    row(
        "safety against yield",
        significant(joint.yield_safety(), 3),
        &format!("{} yields", units.pressure(joint.yield_strength)),
    );
    row(
        "safety against fatigue",
        significant(joint.fatigue_safety(), 3),
        &format!("{} breaks", units.pressure(joint.tensile_strength)),
    );
    row(
        "thread that must engage",
        measures.length(joint.engagement_needed),
        "so that the rod breaks before it strips",
    );
    if let Some(engagement) = joint.engagement {
        row("thread that engages", measures.length(engagement), "");
    }
    table.body(2)
        + &wrapped(
            "The strike is v·√(k·m): the energy ½·m·v² of all that moves with the rod, taken up by the stiffness k of the stop \
             alone. The joint feels only the part beyond it, and not at the springs' greatest force, so both together are on the \
             safe side. The thread is taken as cut, in equally strong parts; a turn goes from rest to the greatest stress and back.",
            2,
            2,
        )
}

/// What is wrong or does not fit, as sentences.
fn warnings(
    scenario: &Scenario,
    machine: &Machine,
    (parts, joint): (&Parts, &Joint),
    units: &OwnerUnits,
) -> Vec<String> {
    let measures = Measures::of(units);
    let mut found = Vec::new();
    if joint.yield_safety() <= 1.0 {
        found.push("The joint yields under the springs and the strike: it takes a thicker thread or a stronger steel.".to_owned());
    }
    if joint.fatigue_safety() <= 1.0 {
        found.push("The joint tires: turn by turn it cracks. It takes a thicker thread, a stronger steel, or a softer strike.".to_owned());
    }
    if !joint.engages_enough() {
        found.push(
            "Too little thread engages: it strips before the rod breaks. Make the socket deeper.".to_owned(),
        );
    }
    if let Some(pitch) = scenario.quantity(key!(AbutmentStatement, thread_pitch)) {
        let thread = &parts.thread;
        if (thread.thread.pitch() - pitch.si).abs() > 1e-5 {
            found.push(format!(
                "The adjusting nut's thread has a pitch of {} by stack.thread_pitch, but {} has {}. One of them is wrong: measure.",
                units.stated(pitch),
                thread.name,
                rounded(units.system.unit(Dimension::ThreadPitch), thread.thread.pitch(), 4)
            ));
        }
    }
    let inside = machine
        .springs
        .iter()
        .filter_map(|spring| spring.wire.map(|w| w.mean_coil - w.diameter))
        .reduce(f64::min);
    if let (Some(inside), Some(extension)) = (inside, &parts.extension)
        && extension.outside >= inside
    {
        found.push(format!(
            "The extension is {} thick and does not go into the spring, {} wide inside.",
            measures.length(extension.outside),
            measures.length(inside)
        ));
    }
    match (&parts.sleeve, &parts.extension) {
        (Some(sleeve), Some(extension)) if (sleeve.length - extension.length).abs() > 1e-4 => {
            found.push(format!(
                "Sleeve and extension differ by {}, so the springs are not loaded as they were without them.",
                measures.length((sleeve.length - extension.length).abs())
            ));
        }
        (None, _) => found.push("The stack has no sleeve, so none is drawn: state stack.sleeve.".to_owned()),
        (_, None) => {
            found.push("The stack has no extension, so none is drawn: state stack.extension.".to_owned());
        }
        _ => {}
    }
    found
}

/// What each piece would measure if it were found in a box of parts.
fn found(parts: &Parts, units: &OwnerUnits) -> Table {
    let systems: Vec<System> = Measures::of(units).systems().collect();
    let symbol = |system: &System| if *system == System::Inch { "in" } else { "mm" };
    let headings = ["length", "bore", "outside"].into_iter().flat_map(|what| {
        let first = systems.first().map(|system| format!("{what} {}", symbol(system)));
        first.into_iter().chain(systems.iter().skip(1).map(|system| symbol(system).to_owned()))
    });
    let ends = ["thread", "weight"].map(str::to_owned);
    let heading: Vec<String> = [String::new()].into_iter().chain(headings).chain(ends).collect();
    let mut table = Table::new(&heading.iter().map(String::as_str).collect::<Vec<_>>());
    let both = |metres: f64| -> Vec<String> {
        let cell = |system: &System| match system {
            System::Inch => fraction(metres).replace(" in", ""),
            System::Metric => millimetres(metres),
        };
        systems.iter().map(cell).collect()
    };
    let none = || vec!["–".to_owned(); systems.len()];
    let weight = |volume: f64| units.figure(Dimension::Mass, STEEL * volume);
    let mut row = |name: &str, sizes: [Vec<String>; 3], thread: &str, weight: String| {
        table.row(
            [name.to_owned()]
                .into_iter()
                .chain(sizes.into_iter().flatten())
                .chain([thread.to_owned(), weight]),
        );
    };
    if let Some(sleeve) = &parts.sleeve {
        row(
            "sleeve",
            [sleeve.overall(), sleeve.bore, sleeve.outside].map(&both),
            "–",
            weight(sleeve.volume()),
        );
    }
    let (rod, thread) = (both(parts.rod_diameter), parts.thread.name.as_str());
    let section = 0.25 * std::f64::consts::PI * parts.rod_diameter.powi(2);
    let longer = parts.extension.as_ref().map(|extension| extension.length);
    if let Some(length) = parts.rod_length {
        row("plain rod", [both(length), none(), rod.clone()], thread, weight(section * length));
        if let Some(total) = longer.map(|more| length + more) {
            row("extended rod", [both(total), none(), rod], thread, weight(section * total));
        }
    } else {
        row("plain rod", [none(), none(), rod.clone()], thread, "–".to_owned());
        if let Some(more) = longer {
            let more_of = both(more).into_iter().map(|length| format!("+ {length}"));
            let sizes = [more_of.collect(), none(), rod];
            row("extended rod", sizes, thread, format!("+ {}", weight(section * more)));
        }
    }
    if let Some(extension) = &parts.extension {
        let sizes = [both(extension.overall()), none(), both(extension.outside)];
        row("extension", sizes, thread, weight(extension.volume()));
    }
    table
}
