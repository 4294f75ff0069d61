//! Keys of the stack on the rod that loads the springs, and of the latch.

use super::super::quantity::Dimension::{Length, ThreadPitch, Time, Turns};
use super::sets::sets;
use super::{Condition, Demand, Entry, Kind, Need, Range, Rule, Section, within};
use latchstroke_core::studies::parts::PartsStatement;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::latch::LatchStatement;
use latchstroke_models::latch::TripStatement;

const STACK_LENGTH: Range = Range { low: "0 mm", high: "500 mm", why: "it is a length along the pump rod" };

pub(super) static STACK: Section = Section {
    name: "stack",
    help: "The stack on the pump rod. A sleeve under the springs and an equal extension of the rod \
           leave the springs as they were and set the latch nearer.",
    most: 1,
    entries: &[
        Entry {
            key: "bare_gap",
            kind: Kind::Quantity(Length),
            need: Need::Depends { when: "unless every spring gives its preload", shown: false },
            range: Some(within("1 mm", "1 m", "the springs stand in this gap")),
            help: "Gap for the springs from abutment face to the adjusting nut's face, with no sleeve, no \
                   extension and that nut at its reference place. Each spring's preload follows \
                   from it and the free length.",
            example: "110 mm",
            sets: sets!(AbutmentStatement.bare_gap: machine.abutment),
        },
        Entry {
            key: "sleeve",
            kind: Kind::Quantity(Length),
            need: Need::Default("0 mm"),
            range: Some(STACK_LENGTH),
            help: "Length of the sleeve between cross block and springs; nought without one.",
            example: "68 mm",
            sets: sets!(AbutmentStatement.sleeve | PartsStatement.sleeve: machine.abutment),
        },
        Entry {
            key: "extension",
            kind: Kind::Quantity(Length),
            need: Need::Default("0 mm"),
            range: Some(STACK_LENGTH),
            help: "Length by which the rod has been extended; nought if it has not.",
            example: "68 mm",
            sets: sets!(AbutmentStatement.extension | PartsStatement.extension: machine.abutment),
        },
        Entry {
            key: "rod_end",
            kind: Kind::Quantity(Length),
            need: Need::Optional,
            range: Some(within("1 mm", "1500 mm", "it is a length along the pump rod")),
            help: "Distance from the plain abutment face, without a sleeve, up to the end of the plain rod at rest. An \
                   extension's socket reaches down from there, and the abutment must not strike it. Left out: bare_gap \
                   and the height of a nut on [parts] thread.",
            example: "124 mm",
            sets: sets!(AbutmentStatement.rod_end: machine.abutment),
        },
        Entry {
            key: "nut_turns",
            kind: Kind::Quantity(Turns),
            need: Need::Default("0"),
            range: Some(within("-100 turns", "100 turns", "a pump rod has no longer thread")),
            help: "Turns of the adjusting nut down from its reference place; up is negative.",
            example: "1 1/2 turns",
            sets: sets!(AbutmentStatement.nut_turns: machine.abutment),
        },
        Entry {
            key: "thread_pitch",
            kind: Kind::Quantity(ThreadPitch),
            need: Need::Depends { when: "when nut_turns is not nought", shown: false },
            range: Some(within("0.2 mm", "6 mm", "threads of pump rods are neither finer nor coarser")),
            help: "Pitch of the adjusting nut's thread; threads per inch will do.",
            example: "16 tpi",
            sets: sets!(AbutmentStatement.thread_pitch: machine.abutment),
        },
        Entry {
            key: "bare_clearance",
            kind: Kind::Quantity(Length),
            need: Need::Depends { when: "unless [latch] gives trip_lift", shown: true },
            range: Some(STACK_LENGTH),
            help: "Distance from the plain abutment face, without a sleeve, up to the latch prongs \
                   set over it, at rest.",
            example: "76 mm",
            sets: sets!(AbutmentStatement.bare_clearance: machine.abutment),
        },
    ],
    rules: &[Rule {
        when: Condition::NonZero("nut_turns"),
        demand: Demand::All(&["bare_gap", "thread_pitch"]),
        why: "turns of the adjusting nut change the gap by the pitch",
    }],
};

pub(super) static LATCH: Section = Section {
    name: "latch",
    help: "The pump latch. With the [stack] it says how far the cross block lifts before the rod is \
           let go.",
    most: 1,
    entries: &[
        Entry {
            key: "prong_travel",
            kind: Kind::Quantity(Length),
            need: Need::Depends { when: "unless trip_lift is given", shown: true },
            range: Some(within("0 mm", "100 mm", "the prongs travel up from where they are touched")),
            help: "How far the prongs are pushed up before the latch lets go.",
            example: "6 mm",
            sets: sets!(TripStatement::Prongs.0: machine.latch.trip),
        },
        Entry {
            key: "trip_lift",
            kind: Kind::Quantity(Length),
            need: Need::Depends {
                when: "unless prong_travel and [stack] bare_clearance are given",
                shown: false,
            },
            range: Some(within("0 mm", "150 mm", "no cam lifts further")),
            help: "Lift of the cross block at which the latch lets go, read directly while the \
                   machine is turned by hand.",
            example: "14 mm",
            sets: sets!(TripStatement::Lift.0: machine.latch.trip),
        },
        Entry {
            key: "release_delay",
            kind: Kind::Quantity(Time),
            need: Need::Default("0 ms"),
            range: Some(within(
                "0 ms",
                "1 s",
                "the latch cannot let go before it is tripped, nor after the stroke",
            )),
            help: "Time the latch takes to get out of the way once tripped.",
            example: "0 ms",
            sets: sets!(LatchStatement.release_delay: machine.latch),
        },
    ],
    rules: &[Rule {
        when: Condition::Always,
        demand: Demand::ExactlyOne(&["prong_travel", "trip_lift"]),
        why: "the trip lift is read directly or follows from the prongs' travel",
    }],
};
