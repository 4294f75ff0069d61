//! Keys of the springs.

use super::super::quantity::Dimension::{Density, Force, Length, Mass, Pressure, Stiffness};
use super::sets::sets;
use super::{Condition, Demand, Entry, Kind, Need, Range, Rule, Section, within};
use latchstroke_models::spring::PreloadStatement;
use latchstroke_models::spring::RateStatement;
use latchstroke_models::spring::SpringStatement;
use latchstroke_models::spring::WireStatement;

const COIL: Range =
    Range { low: "2 mm", high: "300 mm", why: "the spring has to go round the rod and into the machine" };

const COILS: Range =
    Range { low: "1", high: "200", why: "a spring has at least one coil, and no pump spring has hundreds" };

pub(super) static SPRING: Section = Section {
    name: "spring",
    help: "The pump springs: one [[spring]] for each, outermost first, nested on the rod. State \
           the rate, or the wire and coils it follows from.",
    most: 4,
    entries: &[
        Entry {
            key: "rate",
            kind: Kind::Quantity(Stiffness),
            need: Need::Depends { when: "unless active_coils is given", shown: true },
            range: Some(within(
                "0.01 N/mm",
                "1000 N/mm",
                "no spring a pump lever can squeeze is so soft or so stiff",
            )),
            help: "Rate from a measured load and how far it squeezes the spring.",
            example: "9 N/mm",
            sets: sets!(RateStatement::Rate.0: spring.rate),
        },
        Entry {
            key: "wire",
            kind: Kind::Quantity(Length),
            need: Need::Depends { when: "when active_coils is given", shown: false },
            range: Some(within("0.2 mm", "30 mm", "pump springs are wound from wire of such sizes")),
            help: "Diameter of the wire, by micrometer. Beside a measured rate it still serves for \
                   the stress and the mass.",
            example: "5 mm",
            sets: sets!(WireStatement.wire: wire()),
        },
        Entry {
            key: "mean_coil",
            kind: Kind::Quantity(Length),
            need: Need::Depends { when: "with wire, unless outside_coil is given", shown: false },
            range: Some(COIL),
            help: "Coil diameter from wire centre to wire centre.",
            example: "40 mm",
            sets: sets!(WireStatement.mean_coil: wire()),
        },
        Entry {
            key: "outside_coil",
            kind: Kind::Quantity(Length),
            need: Need::Depends { when: "with wire, unless mean_coil is given", shown: false },
            range: Some(COIL),
            help: "Coil diameter over the outside, as calipers measure it.",
            example: "45 mm",
            sets: sets!(WireStatement.outside_coil | WireStatement.mean_coil: wire()),
        },
        Entry {
            key: "active_coils",
            kind: Kind::Number,
            need: Need::Depends { when: "unless rate is given", shown: false },
            range: Some(COILS),
            help: "Coils that give: all but the closed ones at the ends.",
            example: "10.5",
            sets: sets!(WireStatement.active_coils: wire()),
        },
        Entry {
            key: "total_coils",
            kind: Kind::Number,
            need: Need::Optional,
            range: Some(COILS),
            help: "All coils, for the mass and the solid length. Left out, two closed coils are \
                   added to the active ones.",
            example: "12.5",
            sets: sets!(WireStatement.total_coils: wire()),
        },
        Entry {
            key: "shear_modulus",
            kind: Kind::Quantity(Pressure),
            need: Need::Default("79.3 GPa"),
            range: Some(within("20 GPa", "100 GPa", "spring metals lie between phosphor bronze and steel")),
            help: "Shear modulus of the wire; the default is for music wire.",
            example: "79.3 GPa",
            sets: sets!(WireStatement.shear_modulus: wire()),
        },
        Entry {
            key: "mass",
            kind: Kind::Quantity(Mass),
            need: Need::Depends {
                when: "with rate, unless wire, coil diameter and total_coils are given",
                shown: true,
            },
            range: Some(within("1 g", "20 kg", "a pump spring weighs neither less nor more")),
            help: "Mass of the spring, weighed. Left out, it follows from wire, coils and density.",
            example: "0.35 kg",
            sets: sets!(SpringStatement.mass: spring),
        },
        Entry {
            key: "density",
            kind: Kind::Quantity(Density),
            need: Need::Default("7850 kg/m3"),
            range: Some(within("4000 kg/m3", "10000 kg/m3", "spring metals lie between titanium and bronze")),
            help: "Density of the wire; the default is for steel.",
            example: "7850 kg/m3",
            sets: sets!(WireStatement.density: wire()),
        },
        Entry {
            key: "free_length",
            kind: Kind::Quantity(Length),
            need: Need::Depends { when: "when [stack] gives bare_gap", shown: false },
            range: Some(within("5 mm", "1 m", "the spring has to fit the machine")),
            help: "Length of the spring off the rod, standing free.",
            example: "150 mm",
            sets: sets!(SpringStatement.free_length: spring),
        },
        Entry {
            key: "solid_length",
            kind: Kind::Quantity(Length),
            need: Need::Optional,
            range: Some(within("1 mm", "1 m", "it is less than the free length, and some of it is wire")),
            help: "Length with every coil touching, squeezed in a vice. Left out, it is total \
                   coils times wire where both are known.",
            example: "65 mm",
            sets: sets!(SpringStatement.solid_length: spring),
        },
        Entry {
            key: "preload",
            kind: Kind::Quantity(Force),
            need: Need::Depends { when: "unless [stack] gives bare_gap", shown: true },
            range: Some(within(
                "0 N",
                "20 kN",
                "a squeezed spring pushes, and a pump rod bears no more than this",
            )),
            help: "Force of this spring with the machine at rest.",
            example: "350 N",
            sets: sets!(PreloadStatement::Force.0: spring.preload),
        },
        Entry {
            key: "allowable_stress",
            kind: Kind::Quantity(Pressure),
            need: Need::Optional,
            range: Some(within(
                "50 MPa",
                "2500 MPa",
                "spring wire takes no more, and nothing weaker is a spring",
            )),
            help: "Shear stress the wire may bear, from the maker of the wire.",
            example: "800 MPa",
            sets: sets!(SpringStatement.allowable_stress: spring),
        },
        Entry {
            key: "bound_rate",
            kind: Kind::Quantity(Stiffness),
            need: Need::Optional,
            range: Some(within(
                "10 N/mm",
                "1000000 N/mm",
                "coils in contact are stiff, though not stiffer than the rod",
            )),
            help: "Stiffness of the spring once its coils touch.",
            example: "5000 N/mm",
            sets: sets!(SpringStatement.bound_rate: spring),
        },
    ],
    rules: &[
        Rule {
            when: Condition::Always,
            demand: Demand::ExactlyOne(&["rate", "active_coils"]),
            why: "a spring's rate is measured or follows from its wire and coils",
        },
        Rule {
            when: Condition::Given("active_coils"),
            demand: Demand::All(&["wire"]),
            why: "the rate follows from wire and coils together",
        },
        Rule {
            when: Condition::Given("active_coils"),
            demand: Demand::ExactlyOne(&["mean_coil", "outside_coil"]),
            why: "the rate follows from wire and coils together",
        },
        Rule {
            when: Condition::Given("rate"),
            demand: Demand::AtMostOne(&["mean_coil", "outside_coil"]),
            why: "each follows from the other",
        },
        Rule {
            when: Condition::Given("rate"),
            demand: Demand::None(&["shear_modulus"]),
            why: "a measured rate does not need it",
        },
        Rule {
            when: Condition::Given("rate"),
            demand: Demand::AnyGroup(&[
                &["mass"],
                &["wire", "mean_coil", "total_coils"],
                &["wire", "outside_coil", "total_coils"],
            ]),
            why: "a third of the spring moves with the rod",
        },
    ],
};
