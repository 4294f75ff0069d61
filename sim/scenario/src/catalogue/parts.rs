//! Keys of the sleeve and the rod extension as pieces to be turned.

use super::super::quantity::Dimension::{Length, Pressure};
use super::sets::{Sets, sets};
use super::{Entry, Kind, Need, Range, Section};
use latchstroke_core::studies::parts::PartsStatement;
use latchstroke_models::abutment::AbutmentStatement;

const DIAMETER: Range = Range { low: "3 mm", high: "150 mm", why: "it has to go with a pump rod" };

const STRENGTH: Range = Range { low: "50 MPa", high: "3 GPa", why: "metals for rods lie between" };

/// A length that may be left out; its help says what is then taken.
const fn length(
    key: &'static str,
    range: Range,
    help: &'static str,
    example: &'static str,
    sets: Sets,
) -> Entry {
    Entry { key, kind: Kind::Quantity(Length), need: Need::Optional, range: Some(range), help, example, sets }
}

pub(super) static PARTS: Section = Section {
    name: "parts",
    help: "Sleeve and rod extension as pieces to be turned, for `latchstroke parts`; no other \
           command needs them. Their working lengths are in [stack].",
    most: 1,
    entries: &[
        length(
            "rod_diameter",
            DIAMETER,
            "Diameter of the plain rod where abutment and sleeve slide. Left out: the major \
             diameter of the thread.",
            "12 mm",
            sets!(PartsStatement.rod_diameter: parts),
        ),
        length(
            "rod_length",
            Range { low: "20 mm", high: "3 m", why: "it is the rod of a pump" },
            "Length of the plain rod from end to end, without an extension, for telling a found \
             rod. Left out: only the difference is told.",
            "400 mm",
            sets!(PartsStatement.rod_length: parts),
        ),
        length(
            "sleeve_bore",
            DIAMETER,
            "Bore of the sleeve. Left out: 0.2 mm over the rod, or 1/128 in where lengths are in inches.",
            "12.2 mm",
            sets!(PartsStatement.sleeve_bore: parts),
        ),
        length(
            "sleeve_outside",
            DIAMETER,
            "Outside diameter of the sleeve. Left out: the bore and 0.6 rod diameters, up to the \
             next whole mm, or sixteenth of an inch.",
            "20 mm",
            sets!(PartsStatement.sleeve_outside: parts),
        ),
        length(
            "register_diameter",
            DIAMETER,
            "Diameter of the register, the short spigot that centres the sleeve in the cross \
             block. Left out: midway between bore and outside, down to a whole mm or sixteenth of an inch.",
            "16 mm",
            sets!(PartsStatement.register_diameter: parts),
        ),
        length(
            "register_length",
            Range { low: "0 mm", high: "100 mm", why: "a register is a short spigot" },
            "Length of the register; it does not count in the sleeve's length. Nought where the \
             cross block is plain. Left out: 3 mm, or 1/8 in.",
            "3 mm",
            sets!(PartsStatement.register_length: parts),
        ),
        Entry {
            key: "thread",
            kind: Kind::Text,
            need: Need::Optional,
            range: None,
            help: "Thread of rod and nut, as \"M12 x 1.75\", \"1/2-13 UNC\", \"1/2-20\", \
                   \"3/8 Whitworth\" or \"1/2 BSF\". Left out: the standard thread of \
                   the nut's pitch nearest to half an inch or to rod_diameter; without that pitch M12 x 1.75, or \
                   1/2-13 UNC where lengths are in inches.",
            example: "M12 x 1.75",
            sets: sets!(PartsStatement.thread => thread),
        },
        length(
            "thread_length",
            Range { low: "2 mm", high: "300 mm", why: "it is the thread for the nut on the extension" },
            "Length of the thread for the nut on the extension, from its far end to the shoulder, the undercut \
             with it. Left out: three thread diameters, or what the extension has room for.",
            "36 mm",
            sets!(PartsStatement.thread_length: parts),
        ),
        length(
            "engagement",
            Range {
                low: "2 mm",
                high: "150 mm",
                why: "it is the thread by which the extension holds on the rod",
            },
            "Length of thread by which the extension holds on the rod. Left out: one thread \
             diameter, or more where the thread would strip before the rod breaks.",
            "12 mm",
            sets!(PartsStatement.engagement: parts),
        ),
        length(
            "extension_outside",
            DIAMETER,
            "Outside diameter of the extension over the joint. Left out: 1.6 thread diameters, up \
             to the next whole mm, or sixteenth of an inch.",
            "20 mm",
            sets!(PartsStatement.extension_outside | AbutmentStatement.extension_outside: parts),
        ),
        length(
            "spanner_flats",
            DIAMETER,
            "Two flats on the extension for a spanner, measured across. Left out: 0.85 of its \
             outside diameter, down to a whole mm, or sixteenth of an inch.",
            "17 mm",
            sets!(PartsStatement.spanner_flats: parts),
        ),
        Entry {
            key: "material",
            kind: Kind::Text,
            need: Need::Optional,
            range: None,
            help: "What both pieces are made of. Left out: mild steel.",
            example: "bright mild steel",
            sets: sets!(PartsStatement.material: parts),
        },
        Entry {
            key: "yield_strength",
            kind: Kind::Quantity(Pressure),
            need: Need::Optional,
            range: Some(STRENGTH),
            help: "Yield strength of the material. Left out: 235 MPa, a plain structural steel.",
            example: "235 MPa",
            sets: sets!(PartsStatement.yield_strength: parts),
        },
        Entry {
            key: "tensile_strength",
            kind: Kind::Quantity(Pressure),
            need: Need::Optional,
            range: Some(STRENGTH),
            help: "Tensile strength of the material. Left out: 360 MPa, a plain structural steel.",
            example: "360 MPa",
            sets: sets!(PartsStatement.tensile_strength: parts),
        },
    ],
    rules: &[],
};
