//! Keys of the machine, its cam and its cross block.

use super::super::quantity::Dimension::{Angle, Damping, Force, Length, Mass, Stiffness};
use super::sets::{NO_FIELD, sets};
use super::{Condition, Demand, Entry, Kind, Need, Range, Rule, Section, Spread, Weight, assumed, within};
use crate::stated::Title;
use latchstroke_models::cam::CamStatement;
use latchstroke_models::contact::DampingStatement;
use latchstroke_models::cross_block::Closure;
use latchstroke_models::cross_block::CrossBlockStatement;
use latchstroke_models::machine::MachineStatement;
use strum::VariantNames;

pub(super) static MACHINE: Section = Section {
    name: "machine",
    help: "Which machine this is.",
    most: 1,
    entries: &[
        Entry {
            key: "name",
            kind: Kind::Text,
            need: Need::Optional,
            range: None,
            help: "Name of the machine, as it stands over every report.",
            example: "Alder caster",
            sets: sets!(Title.name: title),
        },
        Entry {
            key: "place",
            kind: Kind::Text,
            need: Need::Optional,
            range: None,
            help: "Where it stands.",
            example: "Lower Quoin",
            sets: sets!(Title.place: title),
        },
        Entry {
            key: "date",
            kind: Kind::Text,
            need: Need::Optional,
            range: None,
            help: "Date for its workshop drawings, as it is to stand there. No clock is asked.",
            example: "2 November 2026",
            sets: sets!(Title.date: title),
        },
        Entry {
            key: "note",
            kind: Kind::Text,
            need: Need::Optional,
            range: None,
            help: "Anything worth remembering, such as who measured it and when.",
            example: "Springs measured on the kitchen scales.",
            sets: NO_FIELD,
        },
    ],
    rules: &[],
};

const WITHIN_A_TURN: Range =
    Range { low: "0 deg", high: "360 deg", why: "the cam turns once in a cast, through 360 degrees" };

const PART_OF_A_TURN: Range = Range {
    low: "1 deg",
    high: "359 deg",
    why: "each part of the cam takes some of the turn and leaves some for the others",
};

pub(super) static CAM: Section = Section {
    name: "cam",
    help: "The pump cam. Angles are of the main shaft, one turn to a type.",
    most: 1,
    entries: &[
        Entry {
            key: "law",
            kind: Kind::Choice(&CamStatement::SHAPES),
            need: Need::Required,
            range: None,
            help: "Shape of the rise and the return. Take \"measured\" for a table of readings; \
                   if the shape is unknown, \"cycloidal\" starts and stops gently.",
            example: "cycloidal",
            sets: sets!(MachineStatement.cam => machine.cam),
        },
        Entry {
            key: "lift",
            kind: Kind::Quantity(Length),
            need: Need::Depends { when: "unless the law is \"measured\"", shown: true },
            range: Some(within(
                "1 mm",
                "150 mm",
                "a pump cam lifts between a millimetre and the height of a hand",
            )),
            help: "Greatest lift of the cross block: turn the machine by hand and measure from \
                   its lowest to its highest place.",
            example: "30 mm",
            sets: sets!(CamStatement::Law.lift: machine.cam),
        },
        Entry {
            key: "rise_start",
            kind: Kind::Quantity(Angle),
            need: Need::Default("0 deg"),
            range: Some(WITHIN_A_TURN),
            help: "Shaft angle at which the rise begins, from the start of the turn.",
            example: "0 deg",
            sets: sets!(CamStatement::Law.rise_start: machine.cam),
        },
        Entry {
            key: "rise",
            kind: Kind::Quantity(Angle),
            need: Need::Depends { when: "unless the law is \"measured\"", shown: true },
            range: Some(PART_OF_A_TURN),
            help: "Shaft angle over which the cross block goes up, read on a protractor on the \
                   main shaft.",
            example: "80 deg",
            sets: sets!(CamStatement::Law.rise: machine.cam),
        },
        Entry {
            key: "dwell",
            kind: Kind::Quantity(Angle),
            need: Need::Depends { when: "unless the law is \"measured\"", shown: true },
            range: Some(WITHIN_A_TURN),
            help: "Shaft angle over which it stays up.",
            example: "100 deg",
            sets: sets!(CamStatement::Law.dwell: machine.cam),
        },
        Entry {
            key: "return",
            kind: Kind::Quantity(Angle),
            need: Need::Depends { when: "unless the law is \"measured\"", shown: true },
            range: Some(PART_OF_A_TURN),
            help: "Shaft angle over which it goes down again.",
            example: "90 deg",
            sets: sets!(CamStatement::Law.fall: machine.cam),
        },
        Entry {
            key: "readings",
            kind: Kind::Readings,
            need: Need::Depends { when: "only when the law is \"measured\"", shown: false },
            range: None,
            help: "Lift against shaft angle, six readings or more round the turn, taken with a \
                   dial indicator on the cross block while the machine is turned by hand. Plain \
                   numbers will do where angle_unit and lift_unit say their units.",
            example: r#"[["0 deg", "0 mm"], ["20 deg", "2.9 mm"], ["40 deg", "15 mm"], ["80 deg", "30 mm"], ["180 deg", "30 mm"], ["225 deg", "15 mm"], ["270 deg", "0 mm"]]"#,
            sets: sets!(CamStatement::Measured.0: machine.cam),
        },
        Entry {
            key: "angles",
            kind: Kind::Column(Angle),
            need: Need::Depends { when: "with lifts, in place of readings", shown: false },
            range: None,
            help: "The shaft angles of the readings in a list of their own.",
            example: "[0, 20, 40, 80, 180, 225, 270]",
            sets: NO_FIELD,
        },
        Entry {
            key: "lifts",
            kind: Kind::Column(Length),
            need: Need::Depends { when: "with angles, one for each", shown: false },
            range: None,
            help: "The lifts at those angles.",
            example: "[0, 2.9, 15, 30, 30, 15, 0]",
            sets: NO_FIELD,
        },
        Entry {
            key: "readings_file",
            kind: Kind::Text,
            need: Need::Depends { when: "in place of readings", shown: false },
            range: None,
            help: "A CSV file with the readings, beside the scenario: angle and lift in two columns, \
                   with a heading such as \"angle (deg), lift (in)\" or without one.",
            example: "cam.csv",
            sets: NO_FIELD,
        },
        Entry {
            key: "angle_unit",
            kind: Kind::Choice(&["deg", "turn", "rad"]),
            need: Need::Optional,
            range: None,
            help: "Unit of readings whose angles are plain numbers.",
            example: "deg",
            sets: NO_FIELD,
        },
        Entry {
            key: "lift_unit",
            kind: Kind::Choice(&["mm", "cm", "in", "thou"]),
            need: Need::Optional,
            range: None,
            help: "Unit of readings whose lifts are plain numbers.",
            example: "in",
            sets: NO_FIELD,
        },
    ],
    rules: &[
        Rule {
            when: Condition::IsNot("law", "measured"),
            demand: Demand::All(&["lift", "rise", "dwell", "return"]),
            why: "the law shapes the lift and does not give its size",
        },
        Rule {
            when: Condition::IsNot("law", "measured"),
            demand: Demand::None(&[
                "readings",
                "angles",
                "lifts",
                "readings_file",
                "angle_unit",
                "lift_unit",
            ]),
            why: "readings are used only when the law is \"measured\"",
        },
        Rule {
            when: Condition::Is("law", "measured"),
            demand: Demand::ExactlyOne(&["readings", "angles", "readings_file"]),
            why: "a measured cam is known by its readings",
        },
        Rule {
            when: Condition::Given("angles"),
            demand: Demand::All(&["lifts"]),
            why: "each angle has its lift",
        },
        Rule {
            when: Condition::Given("readings"),
            demand: Demand::None(&["lifts"]),
            why: "the readings have their lifts",
        },
        Rule {
            when: Condition::Given("readings_file"),
            demand: Demand::None(&["lifts"]),
            why: "the file has the lifts",
        },
        Rule {
            when: Condition::Is("law", "measured"),
            demand: Demand::None(&["lift", "rise_start", "rise", "dwell", "return"]),
            why: "the readings of a measured cam say this already",
        },
    ],
};

pub(super) static CROSS_BLOCK: Section = Section {
    name: "cross_block",
    help: "The cross block and the lever train from the cam to it.",
    most: 1,
    entries: &[
        Entry {
            key: "mass",
            kind: Kind::Quantity(Mass),
            need: assumed("2.5 kg", Spread::Factor(1.5), Weight::Quiet, "an estimate, no source"),
            range: Some(within(
                "10 g",
                "100 kg",
                "a block that carries the pump springs weighs neither less nor more",
            )),
            help: "Cross block with everything that moves as one with it, and the share of the \
                   levers that swings with it. Weigh what can be taken off.",
            example: "2.5 kg",
            sets: sets!(CrossBlockStatement.mass: machine.cross_block),
        },
        Entry {
            key: "train_stiffness",
            kind: Kind::Quantity(Stiffness),
            need: assumed(
                "2000 N/mm",
                Spread::Factor(3.1),
                Weight::Quiet,
                "worked out for iron levers, pins and shafts of judged sizes",
            ),
            range: Some(within(
                "10 N/mm",
                "1000000 N/mm",
                "iron levers of this size are neither so soft nor so stiff",
            )),
            help: "Stiffness of the lever train at the cross block: hang a known load on the block \
                   with the cam held, and read how far it gives.",
            example: "4000 N/mm",
            sets: sets!(CrossBlockStatement.train_stiffness: machine.cross_block),
        },
        Entry {
            key: "train_damping",
            kind: Kind::Quantity(Damping),
            need: Need::Optional,
            range: Some(within(
                "0 N s/m",
                "1000000 N s/m",
                "damping takes energy away, and more than this would stop the cam",
            )),
            help: "Damping of the lever train, where it is known; else train_damping_ratio.",
            example: "1500 N s/m",
            sets: sets!(DampingStatement::Coefficient.0 | CrossBlockStatement.train_damping: machine.cross_block.train_damping),
        },
        Entry {
            key: "train_damping_ratio",
            kind: Kind::Number,
            need: assumed(
                "0.06",
                Spread::Factor(2.0),
                Weight::Quiet,
                "two handbooks of cams: 0.04 to 0.08, and below 0.1",
            ),
            range: Some(within("0", "2", "with more the block would lag behind its cam")),
            help: "Damping of the lever train as a share of the damping with which nothing rings. It \
                   cannot be measured at the bench; handbooks of cams give 0.04 to 0.08.",
            example: "0.06",
            sets: sets!(DampingStatement::Ratio.0 | CrossBlockStatement.train_damping: machine.cross_block.train_damping),
        },
        Entry {
            key: "closure",
            kind: Kind::Choice(Closure::VARIANTS),
            need: Need::Default("two-way"),
            range: None,
            help: "How the follower is kept on its cam: \"two-way\" by a groove or a second cam, \
                   \"one-way\" by a return spring alone.",
            example: "two-way",
            sets: sets!(CrossBlockStatement.closure: machine.cross_block),
        },
        Entry {
            key: "return_force",
            kind: Kind::Quantity(Force),
            need: Need::Depends { when: "only when the closure is \"one-way\"", shown: false },
            range: Some(within(
                "0 N",
                "20 kN",
                "the return spring pushes the block down, with less than would stall the machine",
            )),
            help: "Force of the return spring on the cross block at rest.",
            example: "600 N",
            sets: sets!(Closure::OneWay.return_force: machine.cross_block.closure),
        },
        Entry {
            key: "return_rate",
            kind: Kind::Quantity(Stiffness),
            need: Need::Default("0 N/mm"),
            range: Some(within(
                "0 N/mm",
                "1000 N/mm",
                "a return spring stiffer than this would stall the machine",
            )),
            help: "How much that force grows with the lift.",
            example: "2 N/mm",
            sets: sets!(Closure::OneWay.return_rate: machine.cross_block.closure),
        },
    ],
    rules: &[
        Rule {
            when: Condition::Always,
            demand: Demand::AtMostOne(&["train_damping", "train_damping_ratio"]),
            why: "each follows from the other",
        },
        Rule {
            when: Condition::Given("train_damping"),
            demand: Demand::NotAssumed(&["train_damping_ratio"]),
            why: "each follows from the other",
        },
        Rule {
            when: Condition::Is("closure", "one-way"),
            demand: Demand::All(&["return_force"]),
            why: "a one-way cam needs a return spring",
        },
        Rule {
            when: Condition::IsNot("closure", "one-way"),
            demand: Demand::None(&["return_force", "return_rate"]),
            why: "a two-way cam has no return spring",
        },
    ],
};
