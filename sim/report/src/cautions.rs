//! What must be said wherever a report tells someone to do something at the machine.

use super::turn::wrapped;

/// Their heading.
pub const HEADING: &str = "Cautions";
/// The cautions, one by one.
pub const CAUTIONS: [&str; 5] = [
    "Switch the power off and turn the machine by hand while you fit, set or measure anything.",
    "Let the springs' force off before you undo a nut; a squeezed spring throws what it holds.",
    "Wear face and hand protection near hot metal. Keep all water away from the pot: a drop of it under the metal throws metal out.",
    "Lead: no food or drink, air the room, take the dross off without raising dust, wash your hands.",
    "Keep fingers clear of levers and cross block; they nip even when turned by hand.",
];
/// What ends them.
pub const CLOSING: &str = "These figures are a model's prediction, not a clearance. The machine's own instructions, local codes and licensed practice come first.";

/// In short, where a report sends nobody to the machine: what hurts, …
const HURTS: &str = "Hot metal, squeezed springs and nipping levers hurt people";
/// … and what a prediction is not.
const NO_CLEARANCE: &str = "This is a model's prediction, not a clearance: the machine's own instructions, local codes and licensed practice come first.";

/// The cautions in short, for a terminal.
pub fn short() -> String {
    wrapped(&format!("{HURTS} (latchstroke cautions). {NO_CLEARANCE}"), 0, 2)
}

/// The cautions in short where there is no command to ask for all of them.
pub fn plain() -> String {
    format!("{HURTS}. {NO_CLEARANCE}")
}

/// The cautions for a terminal.
pub fn text() -> String {
    listed(HEADING, &CAUTIONS) + &wrapped(CLOSING, 2, 2)
}

/// A heading and points below it, for a terminal.
pub(super) fn listed(heading: &str, points: &[&str]) -> String {
    let points = points.iter().map(|point| wrapped(&format!("• {point}"), 2, 4));
    format!("{heading}\n{}", points.collect::<String>())
}
