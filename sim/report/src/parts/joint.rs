//! The joint in words: what it bears, and what forbids the making of the pieces.

use super::measures::Measures;
use crate::limits;
use crate::owner::{OwnerUnits, rounded, significant};
use crate::table::Table;
use crate::turn::wrapped;
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::studies::parts::{Joint, Parts};
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::thread::Form;
use latchstroke_scenario::key;
use latchstroke_scenario::{Dimension, Scenario};

pub(super) fn strength(parts: &Parts, joint: &Joint, units: &OwnerUnits) -> String {
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
    if let Some(undercut) = joint.undercut_area {
        row("section at the undercut of its other thread", area(undercut), "");
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

/// What forbids the making of these pieces, as sentences: a limit of the machine that is missed with them, a joint that does not hold,
/// pieces that do not go together.
pub fn forbidding(
    scenario: &Scenario,
    judgement: &Judgement,
    (parts, joint): (&Parts, &Joint),
    units: &OwnerUnits,
) -> Vec<String> {
    let missed =
        judgement.standing(LatchSetting::Set).in_the_way().filter(|margin| margin.limit.is_of_machine());
    let mut found: Vec<String> = missed.map(|margin| limits::sentence(margin, units)).collect();
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
    found
}
