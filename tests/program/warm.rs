//! `latchstroke warm`, and the mould's temperature in the other commands.

use super::{run, scenario};
use serde_json::Value;

fn small_type() -> String {
    scenario("small_type.toml").display().to_string()
}

fn answer(arguments: &[&str]) -> Value {
    let (_, out, err) = run(arguments);
    serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {err}"))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn program_says_how_warm_the_mould_gets_and_what_that_does() {
    let (code, out, err) = run(&["warm", &small_type()]);
    assert_eq!(code, 0, "{err}");
    for said in
        ["How warm does the mould get?", "10 pt at 100 turns/min: from 59.0 °F the mould comes within 1.8 °F"]
    {
        assert!(out.contains(said), "{out}");
    }
    assert!(out.contains("With half the water") && out.contains("at twice the pace"), "{out}");
    assert!(out.contains("Start the water before") && out.contains("latchstroke cautions"), "{out}");
}

#[test]
fn program_settles_where_casts_and_water_balance() {
    let file = small_type();
    let found = answer(&["warm", &file, "--body", "8pt,10pt", "--pace", "60,100", "--json"]);
    let casts = found["casts"].as_array().expect("a list");
    assert_eq!(casts.len(), 4);
    for cast in casts {
        let given = number(&cast["heat_J"]) * number(&cast["pace_turns_per_s"]);
        // Each is written with all its digits.
        assert!((given / number(&cast["to_water_W"]) - 1.0).abs() < 1e-9, "{cast}");
        let course = cast["mould_after_each_cast_K"].as_array().expect("a list");
        let settled = number(&cast["settled"]["mould_K"]);
        let warm = usize::try_from(cast["casts_until_warm"].as_u64().expect("a count")).expect("small");
        assert!((number(&course[warm]) - settled).abs() <= 1.0);
        assert!((number(&course[warm - 1]) - settled).abs() > 1.0);
        assert!(number(&cast["solid_after_warm_s"]) > number(&cast["solid_after_cold_s"]));
    }
    // A larger type, a faster pace and less water each make it warmer.
    let settled = |n: usize, what: &str| number(&casts[n][what]["mould_K"]);
    assert!(settled(1, "settled") > settled(0, "settled") && settled(2, "settled") > settled(0, "settled"));
    assert!(settled(0, "half_the_water") > settled(0, "settled"));
    // Twice the pace of 60 is a pace that can be asked for.
    let twice = answer(&["warm", &file, "--body", "8pt", "--pace", "120", "--json"]);
    let there = number(&twice["casts"][0]["settled"]["mould_K"]);
    assert!((there - settled(0, "twice_the_pace")).abs() < 1e-9);
}

#[test]
fn program_judges_with_the_wall_that_belongs_to_each_cast() {
    // The same cast with the settled temperature stated gives the same turn.
    let file = small_type();
    let settled = number(&answer(&["warm", &file, "--json"])["casts"][0]["settled"]["mould_K"]);
    let stated = format!("mould.wall_temperature={settled} K");
    let cast = ["judge", file.as_str(), "--body", "10pt", "--pace", "100", "--json"];
    let cooled = answer(&cast);
    let fixed = answer(&[&cast[..], &["--set", &stated]].concat());
    // The cooling limit is that of another pace, with another wall.
    for of in ["verdict", "allowed_s", "latch_aside", "latch_set"] {
        assert_eq!(cooled["casts"][0][of], fixed["casts"][0][of], "{of}");
    }
    // The tolerance study varies the water as it does everything else.
    let inexact = ["--set", "cooling_water.flow=0.6 l/min ± 20 %", "--turns", "200"];
    let (code, out, err) = run(&[&["tolerance", file.as_str()][..], &inexact].concat());
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("cooling_water.flow"), "{out}");
}

#[test]
fn program_says_what_is_wrong_with_a_mould_that_gets_too_hot() {
    let file = small_type();
    // Half a litre an hour cannot carry off what ten points at full pace give.
    let (code, out, _) = run(&["warm", &file, "--set", "cooling_water.flow=0.5 l/h"]);
    assert_eq!(code, 1);
    assert!(out.contains("The water would boil on its way"), "{out}");
    let (code, out, _) = run(&["warm", &file, "--set", "cooling_water.conductance=0.1 W/K"]);
    assert_eq!(code, 1);
    assert!(out.contains("as hot as the metal's solidus") && out.contains("never"), "{out}");
    let (code, _, err) = run(&[
        "judge",
        &file,
        "--body",
        "10pt",
        "--pace",
        "100",
        "--set",
        "cooling_water.conductance=0.1 W/K",
    ]);
    assert_eq!(code, 2);
    assert!(err.contains("the mould settles at") && err.contains("more or colder water"), "{err}");
    let (code, out, _) = run(&["warm", &file, "--body", "12pt", "--pace", "200"]);
    assert_eq!(code, 1);
    assert!(out.contains("before the type is solid through its middle"), "{out}");
}

#[test]
fn program_asks_for_what_to_measure_where_no_water_is_stated() {
    let (code, out, err) = run(&["warm"]);
    assert_eq!((code, out.as_str()), (2, ""));
    for key in ["[cooling_water]", "flow", "inlet_temperature", "conductance", "mould_mass"] {
        assert!(err.contains(key), "{err}");
    }
    let file = small_type();
    let (code, _, err) = run(&["warm", &file, "--body", "6 kg"]);
    assert_eq!(code, 2, "{err}");
    let (code, _, err) = run(&["warm", &file, "--pace", "60..120:1"]);
    assert_eq!(code, 2);
    assert!(err.contains("ask for fewer"), "{err}");
}

#[test]
fn program_writes_the_chart_and_table_of_warming_up_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("warm");
    let (file, place) = (small_type(), out.display().to_string());
    let asked = ["warm", &file, "--body", "6pt,10pt", "--casts", "30", "--out", &place];
    let (code, _, err) = run(&asked);
    assert_eq!(code, 0, "{err}");
    assert!(!err.contains("no room"), "{err}");
    assert!(std::fs::read(out.join("warm.png")).expect("a chart").starts_with(b"\x89PNG"));
    let table = std::fs::read_to_string(out.join("warm.csv")).expect("a table");
    // A heading, and for each size the cold mould and thirty casts.
    assert_eq!(table.lines().count(), 1 + 2 * 31, "{table}");
    let (code, said, err) = run(&asked);
    assert_eq!((code, said.as_str()), (2, ""));
    assert!(err.contains("already there"), "{err}");
    // The resolved scenario reads back to the same answer.
    let again = out.join("scenario.toml").display().to_string();
    assert_eq!(run(&["warm", &again]).1, run(&["warm", &file]).1);
}

#[test]
fn program_tells_one_heat_of_a_cast_whichever_command_is_asked() {
    let file = small_type();
    // At the fastest pace there is, and at one that the cooling sets.
    for points in [6.0, 8.0, 12.0] {
        let body = format!("{points}pt");
        let pace = answer(&["pace", &file, "--body", &body, "--json"]);
        let size = &pace["sizes"][0];
        // Sets stay in proportion: six points to a body of ten.
        let sets = [
            format!("job.pace={} turns/min", 60.0 * number(&size["cooling_limit_turns_per_s"])),
            format!("job.body={points} pt"),
            format!("job.set={} pt", 0.6 * points),
        ];
        let sets = ["--set", &sets[0], "--set", &sets[1], "--set", &sets[2]];
        let warm = answer(&[&["warm", file.as_str(), "--json"][..], &sets].concat());
        let turn = [&["turn", file.as_str()][..], &sets].concat();
        let asked = answer(&[&turn[..], &["--json"]].concat());
        let heats =
            [&size["heat_of_cast_J"], &warm["casts"][0]["heat_J"], &asked["heat_of_cast_J"]].map(number);
        // 1 %: it is one number, found along three ways.
        assert!(heats.iter().all(|heat| (heat / heats[0] - 1.0).abs() < 0.01), "{body}: {heats:?}");
        // In words, to three digits.
        let (_, words, err) = run(&turn);
        let said = words.split("gives the mould ").nth(1).and_then(|rest| rest.split(" J").next());
        let said: f64 = said.and_then(|digits| digits.parse().ok()).unwrap_or_else(|| panic!("{words}{err}"));
        assert!((said / heats[0] - 1.0).abs() < 0.015, "{said} for {heats:?}");
    }
}
