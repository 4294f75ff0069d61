//! Keys of the mould's cooling water.

use super::super::quantity::Dimension::{Mass, SpecificHeat, Temperature, ThermalConductance, VolumeFlow};
use super::sets::sets;
use super::{Condition, Demand, Entry, Kind, Need, Range, Rule, Section, Spread, Weight, assumed, within};
use latchstroke_models::cooling_water::CoolingWaterStatement;

const WATER: Range =
    Range { low: "0 degC", high: "100 degC", why: "water is neither ice nor steam at these temperatures" };

/// What the balance of heat cannot do without.
const GO_TOGETHER: &str = "the water is known by flow, inlet_temperature and mould_mass together";

pub(super) static COOLING_WATER: Section = Section {
    name: "cooling_water",
    help: "The water that cools the mould, in place of wall_temperature in [mould]: the mould's \
           temperature then follows from each size and pace. Give all of it or none.",
    most: 1,
    entries: &[
        Entry {
            key: "flow",
            kind: Kind::Quantity(VolumeFlow),
            need: Need::Optional,
            range: Some(within("0.001 l/min", "200 l/min", "from a drip to more than a tap gives")),
            help: "Water through the mould, by bucket and clock at the outlet.",
            example: "1.5 l/min",
            sets: sets!(CoolingWaterStatement.flow: water()),
        },
        Entry {
            key: "inlet_temperature",
            kind: Kind::Quantity(Temperature),
            need: Need::Optional,
            range: Some(WATER),
            help: "Temperature of the water as it comes.",
            example: "15 degC",
            sets: sets!(CoolingWaterStatement.inlet_temperature: water()),
        },
        Entry {
            key: "conductance",
            kind: Kind::Quantity(ThermalConductance),
            need: assumed(
                "5 W/K",
                Spread::Factor(3.6),
                Weight::Decides,
                "worked out for a drilled mould of judged sizes",
            ),
            range: Some(within(
                "0.01 W/K",
                "10 kW/K",
                "a mould without a bore for water hands on less, and none hands on more",
            )),
            help: "Heat flow from the mould's face to the water for each kelvin between them. Cast at one \
                   pace until nothing changes, and take the mould's temperature by a contact thermometer \
                   near the cavity, and the water's at inlet and outlet. In l/min, it is 69.6 W/K × flow × \
                   ln((mould − inlet)/(mould − outlet)).",
            example: "5 W/K",
            sets: sets!(CoolingWaterStatement.conductance: water()),
        },
        Entry {
            key: "mould_mass",
            kind: Kind::Quantity(Mass),
            need: Need::Optional,
            range: Some(within("0.05 kg", "200 kg", "it is the mould with what is bolted to it")),
            help: "Mass of the mould with all that warms up with it. It says how long warming up takes, not \
                   how warm the mould gets.",
            example: "3 kg",
            sets: sets!(CoolingWaterStatement.mould_mass: water()),
        },
        // Plain carbon steel at 300 K: Incropera, table A.1 (from memory); cast iron has much the same.
        Entry {
            key: "mould_specific_heat",
            kind: Kind::Quantity(SpecificHeat),
            need: Need::Default("434 J/kgK"),
            range: Some(within(
                "300 J/kgK",
                "1000 J/kgK",
                "from brass to aluminium, with steel and iron between",
            )),
            help: "Specific heat of the mould; steel and iron have the default.",
            example: "434 J/kgK",
            sets: sets!(CoolingWaterStatement.mould_specific_heat: water()),
        },
        Entry {
            key: "air_loss",
            kind: Kind::Quantity(ThermalConductance),
            need: Need::Default("0 W/K"),
            range: Some(within(
                "0 W/K",
                "100 W/K",
                "still air takes about 10 W from a square metre for each kelvin",
            )),
            help: "Heat flow from the mould to the air about it for each kelvin between them; small beside \
                   the water's.",
            example: "0.5 W/K",
            sets: sets!(CoolingWaterStatement.air_loss: water()),
        },
        Entry {
            key: "room_temperature",
            kind: Kind::Quantity(Temperature),
            need: Need::Default("20 degC"),
            range: Some(within("-20 degC", "60 degC", "people work in it")),
            help: "Temperature of the air in the room, for air_loss.",
            example: "20 degC",
            sets: sets!(CoolingWaterStatement.room_temperature: water()),
        },
    ],
    rules: &[
        Rule {
            when: Condition::Given("flow"),
            demand: Demand::All(&["inlet_temperature", "mould_mass"]),
            why: GO_TOGETHER,
        },
        Rule {
            when: Condition::Given("inlet_temperature"),
            demand: Demand::All(&["flow", "mould_mass"]),
            why: GO_TOGETHER,
        },
        Rule {
            when: Condition::Given("conductance"),
            demand: Demand::All(&["flow", "inlet_temperature", "mould_mass"]),
            why: GO_TOGETHER,
        },
        Rule {
            when: Condition::Given("mould_mass"),
            demand: Demand::All(&["flow", "inlet_temperature"]),
            why: GO_TOGETHER,
        },
        Rule {
            when: Condition::NoneGiven(&["flow", "inlet_temperature", "conductance", "mould_mass"]),
            demand: Demand::None(&["conductance", "mould_specific_heat", "air_loss", "room_temperature"]),
            why: "it goes with flow, inlet_temperature and mould_mass",
        },
    ],
};
