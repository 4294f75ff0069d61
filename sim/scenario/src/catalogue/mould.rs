//! Keys of the mould.

use super::super::quantity::Dimension::{Angle, Area, Force, HeatTransfer, Length, Temperature, Volume};
use super::sets::sets;
use super::{Condition, Demand, Entry, Kind, Need, Rule, Section, Spread, Weight, assumed, within};
use latchstroke_core::studies::judge::Terms;
use latchstroke_models::cooling_water::CoolingWaterStatement;
use latchstroke_models::mould::Freezing;
use latchstroke_models::mould::MouldStatement;
use latchstroke_models::mould::WallStatement;
use latchstroke_models::units;
use latchstroke_models::vent::VentStatement;
use strum::VariantNames;

/// A slit of no size.
const NO_SLIT: VentStatement =
    VentStatement::Slit { gap: units::Length(0.0), width: units::Length(0.0), length: units::Length(0.0) };

pub(super) static MOULD: Section = Section {
    name: "mould",
    help: "The mould and how air leaves it. State the vent as an area, or as a slit.",
    most: 1,
    entries: &[
        Entry {
            key: "depth",
            kind: Kind::Quantity(Length),
            need: Need::Required,
            range: Some(within("5 mm", "60 mm", "type is cast about its own height deep")),
            help: "Depth of the cavity from matrix to foot: about the height of the type.",
            example: "0.92 in",
            sets: sets!(MouldStatement.depth: machine.mould),
        },
        Entry {
            key: "priming_volume",
            kind: Kind::Quantity(Volume),
            need: assumed("0.15 cm3", Spread::Factor(2.5), Weight::Quiet, "an estimate, no source"),
            range: Some(within(
                "0 cm3",
                "20 cm3",
                "it is what the jet and nozzle hold, no more than a few types' worth",
            )),
            help: "Volume from the nozzle's bore to the mould entry, filled before metal enters \
                   the mould.",
            example: "0.15 cm3",
            sets: sets!(MouldStatement.priming_volume: machine.mould),
        },
        Entry {
            key: "wall_temperature",
            kind: Kind::Quantity(Temperature),
            need: assumed(
                "60 degC",
                Spread::Between("30 degC", "110 degC"),
                Weight::Decides,
                "common practice, no source",
            ),
            range: Some(within(
                "0 degC",
                "230 degC",
                "a cooled mould is neither ice nor hot enough to keep type metal molten",
            )),
            help: "Temperature of the mould while casting, whatever the size and the pace.",
            example: "60 degC",
            sets: sets!(WallStatement::Temperature.0: machine.mould.wall),
        },
        Entry {
            key: "heat_transfer",
            kind: Kind::Quantity(HeatTransfer),
            need: assumed(
                "15 kW/m2K",
                Spread::Factor(3.0),
                Weight::Decides,
                "published figures for other metals and a published contact model; none was found for type metal",
            ),
            range: Some(within(
                "0.1 kW/m2K",
                "200 kW/m2K",
                "metal in contact with a mould loses heat at such rates",
            )),
            help: "Heat transfer from metal to mould while it fills, at a few bar. Seldom measured; a bright, \
                   lightly oiled steel mould is near the example.",
            example: "12 kW/m2K",
            sets: sets!(MouldStatement.heat_transfer: machine.mould),
        },
        // A published contact model with its constants, for a lead alloy on steel of roughness 0.1 to 1.5 um, gives 15 to 3 at
        // 2 bar and 119 to 24 at 10 bar; five to fifty is what films of oil or air of 20 to 1 um would let through.
        Entry {
            key: "packed_heat_transfer",
            kind: Kind::Quantity(HeatTransfer),
            need: Need::Optional,
            range: Some(within(
                "0.1 kW/m2K",
                "200 kW/m2K",
                "metal in contact with a mould loses heat at such rates",
            )),
            help: "Heat transfer from metal to mould once it is full and packed. Pressure presses the metal into the \
                   wall's roughness: a contact model for lead on steel gives 24 to 119 kW/m2K at 10 bar where it gives \
                   3 to 15 at 2 bar. Left out, the same as while filling.",
            example: "30 kW/m2K",
            sets: sets!(MouldStatement.packed_heat_transfer: machine.mould),
        },
        Entry {
            key: "freezing",
            kind: Kind::Choice(Freezing::VARIANTS),
            need: Need::Default("slab"),
            range: None,
            help: "How the type is taken to cool until it is solid through its middle: a slab, across the \
                   lesser of body and set alone, or a section, from all four sides. A slab is on the safe \
                   side; a square sort is really solid in about six tenths of its time.",
            example: "slab",
            sets: sets!(MouldStatement.freezing: machine.mould),
        },
        Entry {
            key: "air_temperature",
            kind: Kind::Quantity(Temperature),
            need: assumed(
                "100 degC",
                Spread::Between("50 degC", "200 degC"),
                Weight::Quiet,
                "between mould and metal, an estimate",
            ),
            range: Some(within("0 degC", "500 degC", "the air lies between a cold mould and the metal")),
            help: "Temperature of the air in the cavity as it is driven out.",
            example: "100 degC",
            sets: sets!(MouldStatement.air_temperature: machine.mould),
        },
        Entry {
            key: "vent_area",
            kind: Kind::Quantity(Area),
            need: Need::Optional,
            range: Some(within("0 mm2", "100 mm2", "metal would follow the air through a larger vent")),
            help: "Open area of the vents; nought for none.",
            example: "0.35 mm2",
            sets: sets!(VentStatement::Area.0: machine.mould.vent),
        },
        Entry {
            key: "vent_coefficient",
            kind: Kind::Number,
            need: assumed(
                "0.65",
                Spread::Between("0.55", "0.8"),
                Weight::Quiet,
                "published, from thin plates to short tubes",
            ),
            range: Some(within("0.1", "1", "a jet of air is never wider than its hole")),
            help: "Discharge coefficient of the vent, 0.6 for a sharp edge.",
            example: "0.6",
            sets: sets!(MouldStatement.vent_coefficient: machine.mould),
        },
        Entry {
            key: "vent_gap",
            kind: Kind::Quantity(Length),
            need: assumed(
                "0.025 mm",
                Spread::Factor(2.0),
                Weight::Decides,
                "published vents of other moulds; for this one an estimate",
            ),
            range: Some(within("0.001 mm", "1 mm", "metal would follow the air through a wider slit")),
            help: "Thickness of the slit through which air leaves, by feeler gauge.",
            example: "0.025 mm",
            sets: sets!(VentStatement::Slit.gap or NO_SLIT: machine.mould.vent),
        },
        Entry {
            key: "vent_width",
            kind: Kind::Quantity(Length),
            need: assumed("14 mm", Spread::Factor(2.0), Weight::Quiet, "an estimate, no source"),
            range: Some(within("0.1 mm", "200 mm", "the slit lies round the cavity")),
            help: "Width of the slit across the flow of air, all slits together.",
            example: "14 mm",
            sets: sets!(VentStatement::Slit.width or NO_SLIT: machine.mould.vent),
        },
        Entry {
            key: "vent_length",
            kind: Kind::Quantity(Length),
            need: assumed("5 mm", Spread::Factor(2.0), Weight::Quiet, "an estimate, no source"),
            range: Some(within("0.1 mm", "100 mm", "the slit lies within the mould")),
            help: "Length of the slit along the flow of air.",
            example: "5 mm",
            sets: sets!(VentStatement::Slit.length or NO_SLIT: machine.mould.vent),
        },
        Entry {
            key: "hold_down",
            kind: Kind::Quantity(Force),
            need: Need::Optional,
            range: Some(within(
                "0 N",
                "100 kN",
                "the matrix is pressed on, by no more than a machine of this size can",
            )),
            help: "Force that holds the matrix on the mould.",
            example: "900 N",
            sets: sets!(MouldStatement.hold_down: machine.mould),
        },
        // Default: common practice, no source.
        Entry {
            key: "shut_angle",
            kind: Kind::Quantity(Angle),
            need: Need::Default("200 deg"),
            range: Some(within(
                "30 deg",
                "350 deg",
                "the type cools for part of the turn, and the mould has to open and shut in the rest",
            )),
            help: "Turn of the main shaft from the mould being full to its opening: the time the type \
                   has to become solid. Read it off a dial on the shaft, turned by hand.",
            example: "200 deg",
            sets: sets!(Terms.shut | CoolingWaterStatement.shut: terms),
        },
    ],
    rules: &[
        Rule {
            when: Condition::Always,
            demand: Demand::AtMostOne(&["vent_area", "vent_gap"]),
            why: "the vent is stated as an area or as a slit",
        },
        Rule {
            when: Condition::Given("vent_area"),
            demand: Demand::None(&["vent_width", "vent_length"]),
            why: "they belong to a vent stated as a slit",
        },
        Rule {
            when: Condition::Given("vent_area"),
            demand: Demand::NotAssumed(&["vent_gap"]),
            why: "the vent is stated as an area",
        },
    ],
};
