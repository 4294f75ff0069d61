//! Keys of the rod, the pump lever, the piston, the well and the way to the mould.

use super::super::quantity::Dimension::{
    Damping, Force, Length, Mass, MomentOfInertia, Pressure, Speed, Stiffness, Volume,
};
use super::sets::sets;
use super::{Condition, Demand, Entry, Kind, Need, Range, Rule, Section, Spread, Weight, assumed, within};
use latchstroke_models::contact::DampingStatement;
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::piston::PistonStatement;
use latchstroke_models::rod::LeverStatement;
use latchstroke_models::rod::RodStatement;
use latchstroke_models::well::Suction;
use latchstroke_models::well::WellStatement;
use strum::VariantNames;

pub(super) static ROD: Section = Section {
    name: "rod",
    help: "The spring rod, its friction, and the shoulder that stops it on the cross block.",
    most: 1,
    entries: &[
        Entry {
            key: "mass",
            kind: Kind::Quantity(Mass),
            need: Need::Required,
            range: Some(within(
                "10 g",
                "50 kg",
                "a rod that can be lifted onto a bench weighs neither less nor more",
            )),
            help: "Rod with nut, extension and all that moves as one with it, without the springs.",
            example: "1.2 kg",
            sets: sets!(RodStatement.mass: machine.rod),
        },
        Entry {
            key: "friction",
            kind: Kind::Quantity(Force),
            need: assumed("25 N", Spread::Factor(3.0), Weight::Quiet, "oiled iron under judged side loads"),
            range: Some(within(
                "0 N",
                "5 kN",
                "friction holds back, and with more than this the springs would not move the rod",
            )),
            help: "Dry friction of rod, lever and piston together: the pull at which the unloaded \
                   rod just keeps moving.",
            example: "20 N",
            sets: sets!(RodStatement.friction: machine.rod),
        },
        Entry {
            key: "drag",
            kind: Kind::Quantity(Damping),
            need: assumed("7 N s/m", Spread::Factor(3.4), Weight::Quiet, "oil films of judged thickness"),
            range: Some(within(
                "0 N s/m",
                "100000 N s/m",
                "drag holds back, and oil films do no more than this",
            )),
            help: "Friction that grows with speed, from oil and from the metal round the piston. \
                   Seldom measured; leave it out.",
            example: "30 N s/m",
            sets: sets!(RodStatement.drag: machine.rod),
        },
        Entry {
            key: "friction_speed",
            kind: Kind::Quantity(Speed),
            need: Need::Default("2 mm/s"),
            range: Some(within(
                "0.1 mm/s",
                "100 mm/s",
                "below this the sums do not settle, and above it friction would be no friction",
            )),
            help: "Speed over which dry friction changes its direction; an aid to the sums, best \
                   left alone.",
            example: "2 mm/s",
            sets: sets!(RodStatement.friction_speed: machine.rod),
        },
        Entry {
            key: "stop_stiffness",
            kind: Kind::Quantity(Stiffness),
            need: assumed(
                "40000 N/mm",
                Spread::Factor(3.5),
                Weight::Quiet,
                "worked out for an iron shoulder of judged sizes",
            ),
            range: Some(within(
                "100 N/mm",
                "10000000 N/mm",
                "an iron shoulder is neither so soft nor so stiff",
            )),
            help: "Stiffness of the shoulder where the rod comes to rest on the cross block. \
                   Seldom measured; leave it out.",
            example: "20000 N/mm",
            sets: sets!(RodStatement.stop_stiffness: machine.rod),
        },
        Entry {
            key: "stop_damping",
            kind: Kind::Quantity(Damping),
            need: Need::Optional,
            range: Some(within(
                "0 N s/m",
                "1000000 N s/m",
                "damping takes energy away, and more than this would let nothing move",
            )),
            help: "Damping of that shoulder, where it is known; else stop_restitution.",
            example: "3000 N s/m",
            sets: sets!(DampingStatement::Coefficient.0 | RodStatement.stop_damping: machine.rod.stop_damping),
        },
        Entry {
            key: "stop_restitution",
            kind: Kind::Number,
            need: assumed(
                "0.5",
                Spread::Peaked("0.25", "0.8"),
                Weight::Quiet,
                "figures for hard steel and for iron parts that rattle, from memory",
            ),
            range: Some(within(
                "0.14",
                "1",
                "a blow gives back no more than it had, and damping takes no more than this",
            )),
            help: "Share of its speed with which the shoulder springs back from a blow on the cross \
                   block.",
            example: "0.5",
            sets: sets!(DampingStatement::Restitution.0 | RodStatement.stop_damping: machine.rod.stop_damping),
        },
    ],
    rules: &[
        Rule {
            when: Condition::Always,
            demand: Demand::AtMostOne(&["stop_damping", "stop_restitution"]),
            why: "each follows from the other",
        },
        Rule {
            when: Condition::Given("stop_damping"),
            demand: Demand::NotAssumed(&["stop_restitution"]),
            why: "each follows from the other",
        },
    ],
};

pub(super) static LEVER: Section = Section {
    name: "lever",
    help: "The pump lever between rod and piston.",
    most: 1,
    entries: &[
        Entry {
            key: "ratio",
            kind: Kind::Number,
            need: Need::Default("1"),
            range: Some(within("0.05", "20", "no pump lever multiplies or divides the stroke by more")),
            help: "Travel of the piston for one of the rod.",
            example: "1",
            sets: sets!(LeverStatement.ratio: machine.lever),
        },
        Entry {
            key: "inertia",
            kind: Kind::Quantity(MomentOfInertia),
            need: Need::Default("0 kg m2"),
            range: Some(within(
                "0 kg m2",
                "100 kg m2",
                "a moment of inertia is not negative, and no pump lever has more",
            )),
            help: "Moment of inertia of the lever about its pivot. A bar of mass m and length L \
                   swinging about one end has m L²/3.",
            example: "0.02 kg m2",
            sets: sets!(LeverStatement.inertia: machine.lever),
        },
        Entry {
            key: "arm",
            kind: Kind::Quantity(Length),
            need: Need::Depends { when: "when inertia is not nought", shown: false },
            range: Some(within("5 mm", "2 m", "the lever has to fit the machine")),
            help: "Length from the pivot to where the rod takes hold.",
            example: "200 mm",
            sets: sets!(LeverStatement.arm: machine.lever),
        },
    ],
    rules: &[Rule {
        when: Condition::NonZero("inertia"),
        demand: Demand::All(&["arm"]),
        why: "the lever's inertia acts on the rod through its arm",
    }],
};

pub(super) static PISTON: Section = Section {
    name: "piston",
    help: "The pump piston.",
    most: 1,
    entries: &[
        Entry {
            key: "diameter",
            kind: Kind::Quantity(Length),
            need: Need::Required,
            range: Some(within("3 mm", "100 mm", "pistons of type-casting pumps are of such sizes")),
            help: "Diameter, by micrometer.",
            example: "17.5 mm",
            sets: sets!(PistonStatement.diameter: machine.piston),
        },
        Entry {
            key: "clearance",
            kind: Kind::Quantity(Length),
            need: assumed(
                "0.02 mm",
                Spread::Factor(2.5),
                Weight::Decides,
                "tables of fits, and published clearances of engine pistons",
            ),
            range: Some(within(
                "0 mm",
                "1 mm",
                "a piston cannot be larger than its bore, nor pump with a millimetre all round",
            )),
            help: "Radial clearance in the well: half the difference of the two diameters.",
            example: "0.025 mm",
            sets: sets!(PistonStatement.clearance: machine.piston),
        },
        Entry {
            key: "length",
            kind: Kind::Quantity(Length),
            need: Need::Required,
            range: Some(within("2 mm", "300 mm", "the piston has to seal and has to fit the pot")),
            help: "Length over which it seals in the well.",
            example: "40 mm",
            sets: sets!(PistonStatement.length: machine.piston),
        },
        Entry {
            key: "mass",
            kind: Kind::Quantity(Mass),
            need: Need::Required,
            range: Some(within("1 g", "20 kg", "a piston of this kind weighs neither less nor more")),
            help: "Piston with its link.",
            example: "0.8 kg",
            sets: sets!(PistonStatement.mass: machine.piston),
        },
        Entry {
            key: "port_travel",
            kind: Kind::Quantity(Length),
            need: Need::Required,
            range: Some(within("0 mm", "100 mm", "the inlet port lies within the stroke")),
            help: "Travel of the piston from rest until it has closed the inlet port of the well.",
            example: "3 mm",
            sets: sets!(PistonStatement.port_travel: machine.piston),
        },
    ],
    rules: &[],
};

pub(super) static WELL: Section = Section {
    name: "well",
    help: "The well under the piston.",
    most: 1,
    entries: &[
        Entry {
            key: "volume",
            kind: Kind::Quantity(Volume),
            need: assumed("12 cm3", Spread::Factor(2.0), Weight::Quiet, "an estimate, no source"),
            range: Some(within(
                "0.1 cm3",
                "2000 cm3",
                "the well holds more than a type and less than the pot",
            )),
            help: "Metal under pressure from piston to nozzle: fill the passages with oil from a \
                   measuring syringe, or work it out from the drawings.",
            example: "12 cm3",
            sets: sets!(WellStatement.volume: machine.well),
        },
        Entry {
            key: "bulk_modulus",
            kind: Kind::Quantity(Pressure),
            need: assumed(
                "0.6 GPa",
                Spread::Factor(6.5),
                Weight::Quiet,
                "lead with 0.04 to 1 % of air in it, by a published mixing rule; the air is judged",
            ),
            range: Some(within(
                "1 MPa",
                "50 GPa",
                "molten lead alone has some 34 GPa, and air in it can only soften it",
            )),
            help: "How hard metal, trapped air and well together are to squeeze. It is the air that \
                   decides: with 0.2 % of it, about 0.5 GPa at 10 bar and 1 GPa at 20 bar. It matters \
                   to peaks of pressure and hardly to the time of filling.",
            example: "0.4 GPa",
            sets: sets!(WellStatement.bulk_modulus: machine.well),
        },
        Entry {
            key: "suction",
            kind: Kind::Choice(Suction::VARIANTS),
            need: Need::Default("parts"),
            range: None,
            help: "What the metal in the well does when the piston draws it: \"parts\" at absolute zero \
                   pressure, as liquid metal does, or \"holds\" any pull, a simpler law kept for comparison.",
            example: "parts",
            sets: sets!(WellStatement.suction: machine.well),
        },
    ],
    rules: &[],
};

const PASSAGE: Range =
    Range { low: "0.5 mm", high: "50 mm", why: "metal has to get through, and the pot has room for no more" };

const PASSAGE_LENGTH: Range = Range { low: "1 mm", high: "1 m", why: "the passage lies within the pot" };

pub(super) static CHANNEL: Section = Section {
    name: "channel",
    help: "The passage from the well to the nozzle.",
    most: 1,
    entries: &[
        Entry {
            key: "bore",
            kind: Kind::Quantity(Length),
            need: Need::Required,
            range: Some(PASSAGE),
            help: "Diameter of the passage, by the shank of the drill that fits.",
            example: "8 mm",
            sets: sets!(NozzleStatement.channel_bore: machine.nozzle),
        },
        Entry {
            key: "length",
            kind: Kind::Quantity(Length),
            need: Need::Required,
            range: Some(PASSAGE_LENGTH),
            help: "Length of the passage.",
            example: "120 mm",
            sets: sets!(NozzleStatement.channel_length: machine.nozzle),
        },
    ],
    rules: &[],
};

pub(super) static NOZZLE: Section = Section {
    name: "nozzle",
    help: "The nozzle that meets the mould.",
    most: 1,
    entries: &[
        Entry {
            key: "bore",
            kind: Kind::Quantity(Length),
            need: Need::Required,
            range: Some(PASSAGE),
            help: "Diameter of its narrowest bore, by drill shank.",
            example: "2.6 mm",
            sets: sets!(NozzleStatement.bore: machine.nozzle),
        },
        Entry {
            key: "length",
            kind: Kind::Quantity(Length),
            need: Need::Required,
            range: Some(PASSAGE_LENGTH),
            help: "Length of that bore.",
            example: "20 mm",
            sets: sets!(NozzleStatement.length: machine.nozzle),
        },
        Entry {
            key: "loss",
            kind: Kind::Number,
            need: assumed(
                "0.5",
                Spread::Factor(2.5),
                Weight::Quiet,
                "published losses of entries from coned to sharp, and of bends",
            ),
            range: Some(within(
                "0",
                "50",
                "a loss takes away, and a nozzle that lost more would pass no metal",
            )),
            help: "Losses at the entry, in velocity heads of the bore, besides its wall friction: 0.5 \
                   for a sharp entry, 0.1 for a coned or rounded one. A bend counts where it is in the \
                   narrow bore itself, 1.2 more for a sharp one; in the wide channel before it, a \
                   hundredth.",
            example: "0.5",
            sets: sets!(NozzleStatement.loss: machine.nozzle),
        },
    ],
    rules: &[],
};
