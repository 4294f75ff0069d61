//! Sleeve and rod extension in words, and as drawings: the report of `latchstroke parts`.

mod measures;
pub mod sheets;

use super::cautions::CAUTIONS;
use super::limits;
use super::owner::{OwnerUnits, rounded, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::studies::parts::{
    Basis, Extension, Joint, LengthTolerance, MARGIN_SHARE, Parts, STEEL, Sleeve,
};
use latchstroke_core::studies::real_pace::RealPace;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::thread::Form;
use latchstroke_scenario::Scenario;
use measures::{decimal_inches, fraction, millimetres};
use std::fmt::Write as _;

/// What must be said before anyone makes or fits these pieces.
const CAUTIONS_FOR_THE_PIECES: &str = "\
Before you make and fit them
  • Let the springs' force off before you undo nuts; slacken them in turn, a little at a time.
  • No toothed pliers on the rod where springs or bearings slide: use the flats, or soft jaws.
  • Burrs off every edge; a burr in the bore scores the rod.
  • Screw the extension home until the rod's end seats, secure the joint with a removable
    thread-locking compound, and mark rod and extension across the joint, so that a turn shows.
";

/// The whole report, with the judgement of the cast on the machine with these lengths.
pub fn text(
    scenario: &Scenario,
    (machine, judgement): (&Machine, &Judgement),
    real: Option<&RealPace>,
    (parts, joint): (&Parts, &Joint),
    units: &OwnerUnits,
) -> String {
    let name = scenario.machine_name();
    let mut text = format!("{name}: sleeve and rod extension\n");
    text += &wrapped(&format!("{}.", limits::headline(judgement, units)), 0, 2);
    text += &wrapped(&limits::paced(judgement.cast, real, units), 2, 2);
    if let Some(sleeve) = &parts.sleeve {
        text += "\nSleeve\n";
        text += &sizes(&sleeve_rows(sleeve));
        text += &wrapped(&basis_words("sleeve", &sleeve.tolerance), 2, 2);
    }
    if let Some(extension) = &parts.extension {
        text += "\nRod extension\n";
        text += &sizes(&extension_rows(extension));
        text += &wrapped(&extension_basis(parts, extension), 2, 2);
        text += "  Its error moves the nut, not the latch; the nut takes it up.\n";
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
    let _ = writeln!(text, "\nStrength of the joint: {} in {}", parts.thread.name, parts.material);
    text += &strength(parts, joint, units);
    for warning in lengths_fail(judgement).into_iter().chain(warnings(scenario, machine, parts, joint)) {
        text += &wrapped(&format!("! {warning}"), 2, 4);
    }
    text += "\nWhat a found piece would measure\n";
    text += &found(parts).text(2);
    text += &wrapped(
        "The extended rod is taken as one piece. Weights are of steel, 7850 kg/m³; of a rod the plain cylinder alone, without \
         shoulder, eye and nuts.",
        2,
        2,
    );
    text + "\n" + CAUTIONS_FOR_THE_PIECES + "\n" + CAUTIONS
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

fn sizes(rows: &[(&str, f64, String)]) -> String {
    let mut table = Table::new(&["", "mm", "in", "nearest 1/64", ""]);
    for (name, metres, note) in rows {
        table.row([
            (*name).to_owned(),
            millimetres(*metres),
            decimal_inches(*metres),
            fraction(*metres),
            note.clone(),
        ]);
    }
    table.text(2)
}

/// Half-widths are rounded down, so that what is written is never looser than what was found.
fn plus_minus(tolerance: &LengthTolerance) -> String {
    format!("± {} mm", millimetres(measures::floor_to(tolerance.half_width, 1e-5)))
}

fn sleeve_rows(sleeve: &Sleeve) -> Vec<(&'static str, f64, String)> {
    let mut rows = vec![
        ("length, spring end to shoulder", sleeve.length, plus_minus(&sleeve.tolerance)),
        ("bore", sleeve.bore, String::new()),
        ("outside", sleeve.outside, String::new()),
    ];
    if let Some(register) = sleeve.register {
        rows.push(("register, diameter", register.diameter, String::new()));
        rows.push(("register, length", register.length, String::new()));
    }
    rows
}

fn extension_rows(extension: &Extension) -> Vec<(&'static str, f64, String)> {
    vec![
        ("length, seat to far end", extension.length, plus_minus(&extension.tolerance)),
        ("over all", extension.overall(), String::new()),
        ("outside", extension.outside, String::new()),
        ("socket, depth of thread", extension.engagement, extension.thread.name.clone()),
        ("socket, depth to the seat", extension.socket(), String::new()),
        ("thread for the nut, length", extension.thread_length, extension.thread.name.clone()),
        ("spanner flats, across", extension.flats, String::new()),
    ]
}

/// Where the extension's tolerance comes from, as a sentence.
fn extension_basis(parts: &Parts, extension: &Extension) -> String {
    if parts.sleeve.is_some() {
        "The tolerance is that of the sleeve.".to_owned()
    } else {
        basis_words("extension", &extension.tolerance)
    }
}

/// Where a tolerance comes from, as a sentence.
fn basis_words(piece: &str, tolerance: &LengthTolerance) -> String {
    match tolerance.basis {
        Basis::Given => format!(
            "The tolerance of the {piece} is studied: within it the verdict stands with a chance of 95 %."
        ),
        Basis::Margin { margin } => format!(
            "The tolerance is {} % of the {} mm to the nearest length of sleeve with which a limit is missed.",
            significant(100.0 * MARGIN_SHARE, 1),
            millimetres(margin)
        ),
        Basis::Finest => {
            "With this sleeve not all limits are kept with the latch set, or nothing says how the latch hangs on it; the tolerance is the finest a lathe holds."
                .to_owned()
        }
    }
}

fn strength(parts: &Parts, joint: &Joint, units: &OwnerUnits) -> String {
    let force = |newtons: f64| rounded(units.force, newtons, 3);
    let stress = |pascals: f64| rounded(units.pressure, pascals, 3);
    let area = |square_metres: f64| {
        let inches = square_metres / 0.0254_f64.powi(2);
        format!("{} mm² ({} in²)", significant(square_metres * 1e6, 4), significant(inches, 4))
    };
    let cycle = joint.cycle();
    let mut table = Table::new(&["", "", ""]);
    let mut row =
        |name: &str, value: String, note: &str| table.row([name.to_owned(), value, note.to_owned()]);
    let rule = match parts.thread.thread.form() {
        Form::Metric => "ISO 898-1",
        Form::Unified => "ASME B1.1",
        Form::Whitworth => "the core alone",
    };
    row("tensile stress area of the thread", area(joint.stress_area), rule);
    if let Some(wall) = joint.wall_area {
        row("section of the socket's wall", area(wall), "at the groove");
    }
    row("springs, at rest", force(joint.rest), &stress(cycle.least));
    row("springs, greatest in a turn", force(joint.spring), &stress(joint.spring / joint.weakest_area()));
    if joint.strike_speed > 0.0 {
        let words = format!(
            "{}, from {}",
            stress(joint.strike / joint.weakest_area()),
            rounded(units.speed, joint.strike_speed, 3)
        );
        row("strike of the shoulder", force(joint.strike), &words);
    } else {
        row("strike of the shoulder", "none".to_owned(), "the latch throws nothing in this turn");
    }
    row("both at once", force(joint.spring + joint.strike), &stress(cycle.greatest));
    row(
        "safety against yield",
        significant(joint.yield_safety(), 3),
        &format!("{} yields", stress(joint.yield_strength)),
    );
    row(
        "safety against fatigue",
        significant(joint.fatigue_safety(), 3),
        &format!("Goodman, {} breaks", stress(joint.tensile_strength)),
    );
    let needed = format!("{} mm", millimetres(joint.engagement_needed));
    row("thread that must engage", needed, "so that the rod breaks before it strips");
    if let Some(engagement) = joint.engagement {
        row("thread that engages", format!("{} mm", millimetres(engagement)), "");
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
fn warnings(scenario: &Scenario, machine: &Machine, parts: &Parts, joint: &Joint) -> Vec<String> {
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
    if let Some(pitch) = scenario.quantity("stack.thread_pitch") {
        let thread = &parts.thread;
        if (thread.thread.pitch() - pitch.si).abs() > 1e-5 {
            found.push(format!(
                "The nut's thread has a pitch of {} by stack.thread_pitch, but {} has {} mm. One of them is wrong: measure.",
                pitch.text,
                thread.name,
                significant(thread.thread.pitch() * 1e3, 4)
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
            "The extension is {} mm thick and does not go into the spring, {} mm wide inside.",
            millimetres(extension.outside),
            millimetres(inside)
        ));
    }
    match (&parts.sleeve, &parts.extension) {
        (Some(sleeve), Some(extension)) if (sleeve.length - extension.length).abs() > 1e-4 => found.push(format!(
            "Sleeve and extension differ by {} mm, so the springs are not loaded as they were without them.",
            millimetres((sleeve.length - extension.length).abs())
        )),
        (None, _) => found.push("The stack has no sleeve, so none is drawn: state stack.sleeve.".to_owned()),
        (_, None) => found.push("The stack has no extension, so none is drawn: state stack.extension.".to_owned()),
        _ => {}
    }
    found
}

/// What each piece would measure if it were found in a box of parts.
fn found(parts: &Parts) -> Table {
    let mut table =
        Table::new(&["", "length mm", "in", "bore mm", "in", "outside mm", "in", "thread", "weight"]);
    let both = |metres: f64| [millimetres(metres), fraction(metres).replace(" in", "")];
    let none = || ["–".to_owned(), "–".to_owned()];
    let weight = |volume: f64| format!("{} kg", significant(STEEL * volume, 3));
    let mut row = |name: &str, sizes: [[String; 2]; 3], thread: &str, weight: String| {
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
            [sleeve.overall(), sleeve.bore, sleeve.outside].map(both),
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
            let sizes = [both(more).map(|length| format!("+ {length}")), none(), rod];
            row("extended rod", sizes, thread, format!("+ {}", weight(section * more)));
        }
    }
    if let Some(extension) = &parts.extension {
        let sizes = [both(extension.overall()), none(), both(extension.outside)];
        row("extension", sizes, thread, weight(extension.volume()));
    }
    table
}
