//! The JSON Schema takes what the reader takes and refuses what it refuses, by
//! the judgement of an independent validator, the `jsonschema` crate.

use jsonschema::Validator;
use proptest::prelude::*;

use super::super::quantity::{Dimension, Quantity};
use super::super::schema::json_schema;
use super::super::schema::pattern::quantity;
use super::{KNOWN_CASTS, LARGE_INITIALS, SMALL_TYPE, WRONG_SLEEVE, attempt, example, small_type_with};

fn validator() -> Validator {
    jsonschema::validator_for(&json_schema()).unwrap_or_else(|error| panic!("{error}"))
}

fn as_json(text: &str) -> serde_json::Value {
    let table: toml::Table = text.parse().unwrap_or_else(|error| panic!("{error}"));
    serde_json::to_value(table).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn reference_schema_is_valid_draft_2020_12() {
    assert!(jsonschema::meta::is_valid(&json_schema()));
}

#[test]
fn reference_scenario_files_are_valid() {
    let validator = validator();
    let template = example();
    for text in [KNOWN_CASTS, LARGE_INITIALS, SMALL_TYPE, WRONG_SLEEVE, &template] {
        let instance = as_json(text);
        let errors: Vec<String> =
            validator.iter_errors(&instance).map(|e| format!("{} {e:.200}", e.instance_path)).collect();
        assert!(errors.is_empty(), "{errors:#?}");
    }
}

/// Edits of a good file: passage, replacement, whether the result is good.
const EDITS: [(&str, &str, bool); 61] = [
    ("lift = \"30 mm\"", "lift = \"1 3/16 in ± 1/64\"", true),
    ("lift = \"30 mm\"", "lift = \"30 ± 0.2 mm\"", true),
    ("lift = \"30 mm\"", "lift = '1¼\"'", true),
    ("lift = \"30 mm\"", "lift = 30", false),
    ("lift = \"30 mm\"", "lift = \"30\"", false),
    ("lift = \"30 mm\"", "lift = \"30 mmm\"", false),
    ("lift = \"30 mm\"", "lift = \"30 N\"", false),
    ("lift = \"30 mm\"", "lift = \"0,03 m\"", false),
    ("lift = \"30 mm\"", "lift = [\"30 mm\"]", false),
    ("lift = \"30 mm\"", "", false),
    ("lift = \"30 mm\"", "lfit = \"30 mm\"", false),
    ("law = \"modified-sine\"", "law = \"3-4-5\"", true),
    ("law = \"modified-sine\"", "law = \"sine\"", false),
    ("law = \"modified-sine\"", "law = \"measured\"", false),
    ("closure = \"two-way\"", "", true),
    ("closure = \"two-way\"", "return_force = \"600 N\"", false),
    ("closure = \"two-way\"", "closure = \"one-way\"", false),
    ("closure = \"two-way\"", "closure = \"one-way\"\nreturn_force = \"600 N\"", true),
    ("rate = \"34 lbf/in\"", "", false),
    ("rate = \"34 lbf/in\"", "rate = \"34 lbf/in\"\nactive_coils = 10", false),
    ("rate = \"34 lbf/in\"", "active_coils = 10", false),
    ("rate = \"34 lbf/in\"", "active_coils = 10\nwire = \"5 mm\"", false),
    ("rate = \"34 lbf/in\"", "active_coils = \"10 1/2\"\nwire = \"5 mm\"\nmean_coil = \"40 mm\"", true),
    (
        "rate = \"34 lbf/in\"",
        "rate = \"34 lbf/in\"\nwire = \"5 mm\"\nmean_coil = \"40 mm\"\noutside_coil = \"45 mm\"",
        false,
    ),
    ("rate = \"34 lbf/in\"", "rate = \"34 lbf/in\"\nshear_modulus = \"80 GPa\"", false),
    ("mass = \"9 oz\"", "", false),
    ("mass = \"9 oz\"", "wire = \"5 mm\"\nmean_coil = \"40 mm\"\ntotal_coils = 18.5", true),
    ("preload = \"55 lbf\"", "", false),
    ("[latch]", "[stack]\nbare_gap = \"110 mm\"\n[latch]", false),
    ("[latch]", "[stack]\nbare_clearance = \"76 mm\"\n[latch]", false),
    ("trip_lift = \"14 mm\"", "prong_travel = \"6 mm\"", false),
    ("trip_lift = \"14 mm\"", "prong_travel = \"6 mm\"\n[stack]\nbare_clearance = \"8 mm\"", true),
    ("trip_lift = \"14 mm\"", "trip_lift = \"14 mm\"\nprong_travel = \"6 mm\"", false),
    ("vent_area = \"0.35 mm2\"", "vent_gap = \"0.025 mm\"", true),
    (
        "vent_area = \"0.35 mm2\"",
        "vent_gap = \"0.025 mm\"\nvent_width = \"14 mm\"\nvent_length = \"5 mm\"",
        true,
    ),
    ("vent_area = \"0.35 mm2\"", "vent_area = \"0.35 mm²\"\nvent_width = \"14 mm\"", false),
    ("loss = 1", "loss = -1", false),
    ("loss = 1", "loss = \"one\"", false),
    ("sealing_fraction = \"35 %\"", "sealing_fraction = 1.35", false),
    ("pot_temperature = \"660 degF\"", "pot_temperature = \"350 °C ± 5 %\"", false),
    ("sizes = [\"6 pt\", \"8 pt\", \"10 pt\", \"12 pt\"]", "sizes = []", false),
    ("sizes = [\"6 pt\", \"8 pt\", \"10 pt\", \"12 pt\"]", "sizes = [6]", false),
    ("[well]", "[wells]", false),
    (
        "[well]",
        "[experience]\nbody = \"8 pt\"\npace = \"40 rpm\"\nlatch = \"set\"\nresult = \"sound\"\n[well]",
        false,
    ),
    (
        "[well]",
        "[[experience]]\nbody = \"8 pt\"\npace = \"40 rpm\"\nlatch = \"set\"\nresult = \"sound\"\n[well]",
        true,
    ),
    ("[well]", "[[experience]]\nbody = \"8 pt\"\npace = \"40 rpm\"\nlatch = \"set\"\n[well]", false),
    (
        "[well]",
        "[[experience]]\nbody = \"8 pt\"\npace = \"40 rpm\"\nlatch = \"set\"\nresult = \"sound\"\nfault = \"cold laps\"\n[well]",
        false,
    ),
    (
        "[well]",
        "[[experience]]\nbody = \"8 pt\"\npace = \"40 rpm\"\nlatch = \"set\"\nresult = \"failed\"\nfault = \"cold laps\"\nsure = \"80 %\"\n[well]",
        true,
    ),
    ("name = \"Teasel caster\"", "", true),
    ("depth = \"0.92 in\"", "depth = \"0.92 in\"\nwall_temperature = \"60 degC\"", false),
    ("flow = \"0.6 l/min\"", "flow = \"0.3 US gal/min\"\nair_loss = \"0.5 W/K\"", true),
    ("flow = \"0.6 l/min\"", "flow = \"1.5 l\"", false),
    ("flow = \"0.6 l/min\"", "", false),
    ("mould_mass = \"1.5 kg\"", "", false),
    ("hold_down = \"900 N\"", "freezing = \"section\"", true),
    ("tin = \"7 %\"", "tin = 0.07\nlatent_heat = \"50 kJ/kg\"", true),
    ("tin = \"7 %\"", "", false),
    ("tin = \"7 %\"\nantimony = \"16 %\"", "density = \"10200 kg/m3\"", true),
    ("tin = \"7 %\"", "tin = \"7 %\"\nfreezing_path = \"eutectic\"", true),
    ("tin = \"7 %\"", "tin = \"7 %\"\nfreezing_path = \"eutectic\"\nlatent_heat = \"50 kJ/kg\"", false),
    (
        "[cooling_water]\nflow = \"0.6 l/min\"\ninlet_temperature = \"15 degC\"\nconductance = \"15 W/K\"\nmould_mass = \"1.5 kg\"",
        "",
        true,
    ),
];

#[test]
fn reference_schema_and_reader_agree_on_edited_files() {
    let validator = validator();
    for (old, new, is_good) in EDITS {
        let text = small_type_with(old, new);
        let read = attempt(&text, &[]);
        assert_eq!(read.is_ok(), is_good, "reader on `{new}`: {:?}", read.err().map(|m| m.to_string()));
        assert_eq!(validator.is_valid(&as_json(&text)), is_good, "schema on `{new}`");
    }
}

#[test]
fn reference_schema_and_reader_agree_on_measured_cams() {
    let validator = validator();
    let stated = "law = \"modified-sine\"\nlift = \"30 mm\"\nrise = \"80 deg\"\ndwell = \"100 deg\"\nreturn = \"90 deg\"";
    let pairs = |count: usize| {
        let pairs: Vec<String> = (0..count).map(|i| format!("[\"{} deg\", \"{i} mm\"]", 40 * i)).collect();
        format!("law = \"measured\"\nreadings = [{}]", pairs.join(", "))
    };
    for (new, is_good) in [
        (pairs(6), true),
        (pairs(5), false),
        (pairs(6) + "\nlift = \"30 mm\"", false),
        (pairs(6).replace("[\"40 deg\", \"1 mm\"]", "[\"40 deg\"]"), false),
        (pairs(6).replace("\"1 mm\"", "\"1 N\""), false),
    ] {
        let text = small_type_with(stated, &new);
        assert_eq!(attempt(&text, &[]).is_ok(), is_good, "reader on {new}");
        assert_eq!(validator.is_valid(&as_json(&text)), is_good, "schema on {new}");
    }
}

#[test]
fn reference_every_spelling_of_every_unit_fits_its_pattern() {
    for &dimension in Dimension::ALL {
        let validator = pattern_of(dimension);
        for unit in dimension.units().iter() {
            let mut names: Vec<String> = unit.names().map(str::to_owned).collect();
            names.push(unit.typeable());
            for name in names {
                for text in [format!("2 {name}"), format!("2 1/2{name} ± 5{name}"), format!("1e3 ± 2 {name}")]
                {
                    let read = Quantity::parse(&text, dimension).is_ok();
                    assert_eq!(validator.is_valid(&text.clone().into()), read, "{dimension:?} {text}");
                }
            }
        }
    }
}

/// A validator for the texts of one dimension.
fn pattern_of(dimension: Dimension) -> Validator {
    let pattern = quantity(dimension);
    let schema = serde_json::json!({ "type": "string", "pattern": pattern });
    jsonschema::validator_for(&schema).unwrap_or_else(|error| panic!("{error}"))
}

proptest! {
    /// Numbers of all kinds with units of all kinds. Only finite, non-zero
    /// numbers and proper fractions are drawn: those a pattern cannot tell.
    #[test]
    fn property_pattern_and_parser_agree_on_lengths(
        text in r"[-−+]?( )?([1-9][0-9]{0,3}|[1-9][-  ]1/[2-9]|[1-9]?[½⅝]|\.[0-9]{1,2}|[1-9]\.[0-9]{0,2}|1e-?[0-9]|1,5|)[ ]?(mm|in|in\.|″|pt|N|µm|um|mmm|)( ?(±|\+/-|\+-|\+) ?([1-9]|1/8|)( ?(mm|%|K|))?)?"
    ) {
        let validator = pattern_of(Dimension::Length);
        let read = Quantity::parse(&text, Dimension::Length).is_ok();
        prop_assert_eq!(validator.is_valid(&text.clone().into()), read, "{}", text);
    }
}
