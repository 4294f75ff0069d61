//! Keys of the metal and of the type to cast.

use super::super::quantity::Dimension::{
    self, Conductivity, Density, LatentHeat, Length, SpecificHeat, Temperature, Viscosity,
};
use super::sets::{Sets, sets};
use super::{
    Assumed, Condition, Demand, Entry, Kind, Need, Range, Rule, Section, Spread, Weight, assumed, within,
};
use crate::stated::Compared;
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::judge::Terms;
use latchstroke_models::alloy::Composition;
use latchstroke_models::alloy::FreezingPath;
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Pace;
use strum::VariantNames;

pub(super) const MOLTEN: Range = Range {
    low: "150 degC",
    high: "600 degC",
    why: "type metals melt and are cast between these temperatures",
};

const CONDUCTS: Range = Range {
    low: "2 W/mK",
    high: "200 W/mK",
    why: "metals that melt this low conduct neither worse nor better",
};

/// Keys that an alloy stated by its composition gives.
const ALLOY_GIVES: Need = Need::Depends { when: "to take it in place of the alloy's", shown: true };

/// A share of the alloy, in % by weight; the reader holds both against the table of melting ranges.
const fn share(key: &'static str, help: &'static str, example: &'static str, sets: Sets) -> Entry {
    let source = "common practice, no source";
    let assumed = Assumed { value: example, spread: Spread::Chosen, weight: Weight::Decides, source };
    let why = "it is a share of the alloy, and 12 % is written \"12 %\" or 0.12";
    let range = Some(Range { low: "0", high: "0.3", why });
    Entry { key, kind: Kind::Number, need: Need::Assumed(assumed), range, help, example, sets }
}

pub(crate) static METAL: Section = Section {
    name: "metal",
    help: "The type metal in the pot. State it by its alloy, tin and antimony, the rest lead; or value \
           by value; a value stated beside them is taken in place of the alloy's.",
    most: 1,
    entries: &[
        share(
            "tin",
            "Tin in the alloy, by weight, as \"7 %\". With antimony it stands for the values below, as \
             far as they are known of alloys from 3 to 13 % tin and 12 to 24 % antimony.",
            "0.07",
            sets!(Composition.tin => tin),
        ),
        share(
            "antimony",
            "Antimony in the alloy, by weight, as \"16 %\".",
            "0.16",
            sets!(Composition.antimony => antimony),
        ),
        Entry {
            key: "density",
            kind: Kind::Quantity(Density),
            need: ALLOY_GIVES,
            range: Some(within("5000 kg/m3", "12000 kg/m3", "type metal is lead with lighter metals in it")),
            help: "Density of the molten metal.",
            example: "10200 kg/m3",
            sets: sets!(MetalStatement.density: machine.metal),
        },
        Entry {
            key: "viscosity",
            kind: Kind::Quantity(Viscosity),
            need: ALLOY_GIVES,
            range: Some(within("0.2 mPa s", "50 mPa s", "clean molten metal runs about as easily as water")),
            help: "Viscosity of the molten metal.",
            example: "2.2 mPa s",
            sets: sets!(MetalStatement.viscosity: machine.metal),
        },
        Entry {
            key: "liquidus",
            kind: Kind::Quantity(Temperature),
            need: ALLOY_GIVES,
            range: Some(MOLTEN),
            help: "Temperature at which freezing begins.",
            example: "270 degC",
            sets: sets!(MetalStatement.liquidus: machine.metal),
        },
        Entry {
            key: "solidus",
            kind: Kind::Quantity(Temperature),
            need: ALLOY_GIVES,
            range: Some(MOLTEN),
            help: "Temperature at which the last of it is solid.",
            example: "240 degC",
            sets: sets!(MetalStatement.solidus: machine.metal),
        },
        Entry {
            key: "latent_heat",
            kind: Kind::Quantity(LatentHeat),
            need: ALLOY_GIVES,
            range: Some(within(
                "10 kJ/kg",
                "200 kJ/kg",
                "lead gives off some 23 kJ/kg as it freezes and antimony some 163",
            )),
            help: "Heat given off in freezing.",
            example: "50 kJ/kg",
            sets: sets!(MetalStatement.latent_heat: machine.metal),
        },
        Entry {
            key: "specific_heat",
            kind: Kind::Quantity(SpecificHeat),
            need: ALLOY_GIVES,
            range: Some(within("80 J/kgK", "500 J/kgK", "lead, tin and antimony all lie between")),
            help: "Specific heat of the metal.",
            example: "150 J/kgK",
            sets: sets!(MetalStatement.specific_heat: machine.metal),
        },
        Entry {
            key: "conductivity_liquid",
            kind: Kind::Quantity(Conductivity),
            need: ALLOY_GIVES,
            range: Some(CONDUCTS),
            help: "Thermal conductivity of the molten metal.",
            example: "20 W/mK",
            sets: sets!(MetalStatement.conductivity_liquid: machine.metal),
        },
        Entry {
            key: "conductivity_solid",
            kind: Kind::Quantity(Conductivity),
            need: ALLOY_GIVES,
            range: Some(CONDUCTS),
            help: "Thermal conductivity of the solid metal.",
            example: "24 W/mK",
            sets: sets!(MetalStatement.conductivity_solid: machine.metal),
        },
        Entry {
            key: "sealing_fraction",
            kind: Kind::Number,
            need: assumed(
                "0.4",
                Spread::Between("0.2", "0.6"),
                Weight::Decides,
                "figures for aluminium, from memory; none was found for type metal",
            ),
            range: Some(within("0.01", "1", "it is the solid share of the metal")),
            help: "Share of solid at which the metal no longer flows and the entry is sealed.",
            example: "0.35",
            sets: sets!(MetalStatement.sealing_fraction: machine.metal),
        },
        Entry {
            key: "pot_temperature",
            kind: Kind::Quantity(Temperature),
            need: assumed(
                "350 degC",
                Spread::Between("330 degC", "390 degC"),
                Weight::Decides,
                "published pot temperatures of other casters; the spread is common practice",
            ),
            range: Some(MOLTEN),
            help: "Temperature of the metal in the pot while casting.",
            example: "350 degC",
            sets: sets!(MetalStatement.pot_temperature: machine.metal),
        },
        Entry {
            key: "freezing_path",
            kind: Kind::Choice(FreezingPath::VARIANTS),
            need: Need::Default("straight"),
            range: None,
            help: "How the heat comes out in freezing, for the time until the type is solid: evenly from \
                   liquidus to solidus, or crystals first and most of it at the eutectic.",
            example: "straight",
            sets: sets!(MetalStatement.eutectic => freezing_path),
        },
    ],
    rules: &[
        Rule {
            when: Condition::Given("tin"),
            demand: Demand::All(&["antimony"]),
            why: "an alloy is known by both",
        },
        Rule {
            when: Condition::Given("antimony"),
            demand: Demand::All(&["tin"]),
            why: "an alloy is known by both",
        },
        Rule {
            when: Condition::AllGiven(&[
                "density",
                "viscosity",
                "liquidus",
                "solidus",
                "latent_heat",
                "specific_heat",
                "conductivity_liquid",
                "conductivity_solid",
            ]),
            demand: Demand::NotAssumed(&["tin", "antimony"]),
            why: "the metal is stated value by value",
        },
        Rule {
            when: Condition::Is("freezing_path", "eutectic"),
            demand: Demand::All(&["tin", "antimony"]),
            why: "the eutectic path follows from the alloy",
        },
        Rule {
            when: Condition::Is("freezing_path", "eutectic"),
            demand: Demand::None(&["liquidus", "solidus", "latent_heat", "specific_heat"]),
            why: "on the eutectic path it follows from the alloy",
        },
    ],
};

pub(super) const TYPE_SIZE: Range = Range {
    low: "1 mm",
    high: "60 mm",
    why: "type this small cannot be read, and type this large is not cast in such a mould",
};

pub(super) const CASTING_PACE: Range = Range {
    low: "0.5 turns/min",
    high: "400 turns/min",
    why: "a turn lasts between a fraction of a second and two minutes",
};

pub(super) const SET_WIDTH: Range =
    Range { low: "0.2 mm", high: "100 mm", why: "from the thinnest space to the widest mould" };

pub(super) static JOB: Section = Section {
    name: "job",
    help: "The type to cast.",
    most: 1,
    entries: &[
        Entry {
            key: "body",
            kind: Kind::Quantity(Length),
            need: Need::Required,
            range: Some(TYPE_SIZE),
            help: "Body size. A point (pt) is the printer's point of 0.013837 in, not that of a \
                   computer.",
            example: "24 pt",
            sets: sets!(Sort.body: cast.sort),
        },
        Entry {
            key: "set",
            kind: Kind::Quantity(Length),
            need: Need::SameAs("body"),
            range: Some(SET_WIDTH),
            help: "Set width. Left out, the type is square, as wide as its body.",
            example: "24 pt",
            sets: sets!(Sort.set: cast.sort),
        },
        Entry {
            key: "pace",
            kind: Kind::Quantity(Dimension::Pace),
            need: Need::Required,
            range: Some(CASTING_PACE),
            help: "Turns of the main shaft in a minute; one turn casts one type.",
            example: "40 turns/min",
            sets: sets!(Cast.pace | Pace.0: cast),
        },
        Entry {
            key: "accepted_skin",
            kind: Kind::Quantity(Length),
            need: assumed(
                "0.3 mm",
                Spread::Factor(2.7),
                Weight::Decides,
                "the hairlines of type, an estimate",
            ),
            range: Some(within(
                "0.001 mm",
                "5 mm",
                "some metal freezes on first contact, and millimetres of it spoil any face",
            )),
            help: "Thickness frozen on the face, when the mould is full, that you still accept; \
                   thicker shows as rounded edges. It counts to where the metal hangs together \
                   (metal.sealing_fraction), of metal that lies still on the face.",
            example: "0.4 mm",
            sets: sets!(Acceptance.skin: terms.acceptance),
        },
        Entry {
            key: "accepted_solid",
            kind: Kind::Number,
            need: Need::Default("0"),
            range: Some(within("0", "0.5", "streams that are half solid knit nowhere")),
            help: "Share of solid that you accept in the metal that came in first, when the mould is \
                   full; with more, streams do not knit and the type shows laps. 0 asks for metal all \
                   liquid; die casters of zinc allow 0.05 to 0.2.",
            example: "0",
            sets: sets!(Acceptance.solid: terms.acceptance),
        },
        Entry {
            key: "margin",
            kind: Kind::Number,
            need: Need::Default("1.2"),
            range: Some(within("1", "10", "below 1 there is no margin, and above 10 nothing would pass")),
            help: "How many times faster than its limit the mould has to fill.",
            example: "1.2",
            sets: sets!(Acceptance.margin: terms.acceptance),
        },
        Entry {
            key: "accepted_air",
            kind: Kind::Number,
            need: Need::Optional,
            range: Some(within("0.001", "1", "some of the air always stays, and no more than all of it can")),
            help: "Share of the mould's air that may still be in it when it is full. Left out, the air \
                   is reported and not judged.",
            example: "0.1",
            sets: sets!(Terms.accepted_air: terms),
        },
        Entry {
            key: "sizes",
            kind: Kind::QuantityList(Length),
            need: Need::Optional,
            range: Some(TYPE_SIZE),
            help: "Body sizes to compare.",
            example: r#"["14 pt", "18 pt", "24 pt", "30 pt", "36 pt"]"#,
            sets: sets!(Compared.sizes: compared),
        },
        Entry {
            key: "paces",
            kind: Kind::QuantityList(Dimension::Pace),
            need: Need::Optional,
            range: Some(CASTING_PACE),
            help: "Paces to compare.",
            example: r#"["15 turns/min", "25 turns/min", "40 turns/min"]"#,
            sets: sets!(Compared.paces: compared),
        },
    ],
    rules: &[],
};
