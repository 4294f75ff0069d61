//! Scenario files, good and bad, and the commands about them.

use super::{run, scenario};
use std::fs;

#[test]
fn program_lists_every_mistake_at_once_with_its_place() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("bad.toml");
    let good = fs::read_to_string(scenario("large_initials.toml")).expect("the demo");
    let bad = good
        .replace("lift = \"30 mm ± 0.2 mm\"", "lift = \"30 kg\"")
        .replace("mass = \"2.5 kg\"", "mas = \"2.5 kg\"")
        .replace("solidus = \"240 degC\"", "solidus = \"290 degC\"");
    assert_ne!(good, bad);
    fs::write(&path, &bad).expect("a file");
    let out = folder.path().join("results");
    let (code, said, err) =
        run(&["turn", path.to_str().expect("a plain path"), "--out", out.to_str().expect("a plain path")]);
    assert_eq!(code, 2);
    assert!(said.is_empty());
    assert!(!out.exists(), "nothing may be written");
    let line = |text: &str| 1 + bad.lines().position(|line| line.contains(text)).expect("the line");
    assert!(err.contains(&format!("bad.toml:{}:12", line("lift = \"30 kg\""))), "{err}");
    assert!(err.contains(&format!("bad.toml:{}:1", line("mas = "))), "{err}");
    assert!(err.contains("did you mean `mass`?"), "{err}");
    assert!(err.contains("solidus"), "{err}");
}

#[test]
fn program_checks_every_scenario_that_ships() {
    for (name, expected) in [
        ("known_casts.toml", 0),
        ("large_initials.toml", 0),
        ("small_type.toml", 0),
        ("wrong_sleeve.toml", 1),
    ] {
        let path = scenario(name);
        let (code, out, err) = run(&["check", path.to_str().expect("a plain path")]);
        assert_eq!(code, expected, "{name}: {err}");
        for figure in
            ["preload at rest", "trip lift", "lapping limit", "bulk limit", "mass that the springs throw"]
        {
            assert!(out.contains(figure), "{name}: no {figure}");
        }
    }
}

/// What follows from the trip is not told of a latch that never lets go; springs that lie loose are.
#[test]
fn program_checks_without_impossible_figures() {
    let inches = super::measured().display().to_string();
    let check = |sets: &[&str]| {
        let sets: Vec<&str> = sets.iter().flat_map(|set| ["--set", set]).collect();
        let (code, out, err) = run(&[&["check", inches.as_str()], &sets[..]].concat());
        assert!(err.is_empty(), "{err}");
        (code, out.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    let (code, out) = check(&[]);
    assert_eq!(code, 0, "{out}");
    assert!(out.contains("stress at the trip") && out.contains("to prime and fill"), "{out}");
    let (code, out) = check(&["stack.sleeve=0 in", "stack.extension=0 in"]);
    assert_eq!(code, 1, "{out}");
    assert!(out.contains("snap volume – the latch never lets go as it is"), "{out}");
    for impossible in ["stress at the trip", "fastest release", "to prime and fill", "coil binding"] {
        assert!(!out.contains(impossible), "{impossible}: {out}");
    }
    let (code, out) = check(&["stack.sleeve=0 in"]);
    assert_eq!(code, 1, "{out}");
    assert!(out.contains("A spring lies loose at rest: it is 5.75 in long in a gap of 7.50 in"), "{out}");
}

#[test]
fn program_writes_a_scenario_that_it_understands_and_does_not_write_over_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("mine.toml");
    let path = path.to_str().expect("a plain path");
    assert_eq!(run(&["new", path, "--example"]).0, 0);
    assert_eq!(run(&["check", path]).0, 0);
    assert_eq!(run(&["judge", path, "--body", "14pt"]).0, 0);
    let (code, _, err) = run(&["new", path]);
    assert_eq!(code, 2);
    assert!(err.contains("already there"), "{err}");
}

#[test]
fn program_prints_a_schema_that_accepts_the_scenarios_that_ship() {
    let (code, out, _) = run(&["schema"]);
    assert_eq!(code, 0);
    let schema: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    for name in ["known_casts.toml", "large_initials.toml", "small_type.toml", "wrong_sleeve.toml"] {
        let text = fs::read_to_string(scenario(name)).expect("the file");
        let value: toml::Value = toml::from_str(&text).expect("TOML");
        let json = serde_json::to_value(&value).expect("JSON");
        assert!(validator.is_valid(&json), "{name}");
    }
}

#[test]
fn program_survives_files_that_are_no_scenarios() {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, bytes) in [
        ("empty", &b""[..]),
        ("binary", &b"\xff\xfe\x00\x01"[..]),
        ("brackets", b"[[[["),
        ("long", &[b'a'; 10_000]),
    ] {
        let path = folder.path().join(name);
        fs::write(&path, bytes).expect("a file");
        let (code, out, err) = run(&["judge", path.to_str().expect("a plain path")]);
        assert_eq!(code, 2, "{name}");
        assert!(out.is_empty() && !err.is_empty(), "{name}");
        assert!(!err.contains("panicked"), "{name}: {err}");
    }
    let (code, _, err) = run(&["judge", folder.path().to_str().expect("a plain path")]);
    assert_eq!(code, 2, "a folder is no file: {err}");
}

/// What is likely a mistake is told by `check` at its line, and counted by the others beside their answer.
#[test]
fn program_remarks_on_what_is_likely_a_slip_and_answers_all_the_same() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("mine.toml");
    let measured = fs::read_to_string(super::measured()).expect("the scenario");
    let cam = "law = \"measured\"\nangle_unit = \"deg\"\nlift_unit = \"in\"\nreadings_file = \"cam.csv\"\n";
    let stated = measured.split("[cam]\n").nth(1).and_then(|rest| rest.split("\n[").next()).expect("a cam");
    fs::write(&path, measured.replace(stated, cam)).expect("a file");
    let lifts = [
        "0", "0", ".002", ".020", ".078", ".195", ".367", ".572", ".782", ".968", ".109", "1.199", "1.240",
        "1.250", "1.250", "1.250", "1.250", "1.250", "1.250", "1.250", "1.250", "1.248", "1.222", "1.150",
        "1.030", ".868", ".680", ".485", ".305", ".160", ".064", ".016", ".001", "0", "0", "0",
    ];
    let rows: Vec<String> =
        lifts.iter().enumerate().map(|(n, lift)| format!("{},{lift}\n", 10 * n)).collect();
    fs::write(folder.path().join("cam.csv"), rows.concat()).expect("a table");
    let file = path.to_str().expect("a plain path");
    let (code, out, err) = run(&["check", file]);
    assert!(code != 2 && err.is_empty(), "{err}");
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(out.contains("36 readings from 0 deg to 350 deg"), "{out}");
    assert!(out.contains("cam rises from 10° to 130° steepest at"), "{out}");
    assert!(out.contains("cam falls from 200° to 320° steepest at"), "{out}");
    assert!(
        out.contains("cam.csv, line 11: The lift of .109 in at 100 deg does not lie on the curve"),
        "{out}"
    );
    let (code, out, err) = run(&["turn", file, "--json"]);
    assert!(code != 2, "{err}");
    assert!(serde_json::from_str::<serde_json::Value>(&out).is_ok(), "{out}");
    assert_eq!(err, format!("latchstroke: 1 remark on {file}; see “latchstroke check {file}”\n"));
    // What is written out stands by itself.
    let results = folder.path().join("results");
    let results = results.to_str().expect("a plain path");
    assert!(run(&["turn", file, "--out", results]).0 != 2);
    let written = format!("{results}/scenario.toml");
    let (code, out, err) = run(&["check", &written]);
    assert!(code != 2 && out.contains("36 readings"), "{err}");
}

#[test]
fn program_says_what_an_inch_owner_would_write() {
    let file = super::measured().display().to_string();
    let without = ["--set", "stack.sleeve=0 in", "--set", "stack.extension=0 in"];
    // A rod without either gets the recommended pieces, one size at a time where no one length serves all.
    let (code, out, err) = run(&[&["parts", file.as_str()], &without[..]].concat());
    assert_eq!(code, 1, "{out}{err}");
    let told = out + &err;
    assert!(told.contains("neither sleeve nor extension") && told.contains("in serves 30 pt"), "{told}");
    assert!(!told.contains("mm"), "{told}");
    let (code, inch, err) = run(&["turn", &file, "--units", "imperial"]);
    assert!(code != 2 && inch.contains(" lbf"), "{err}");
    let (_, out, err) = run(&["turn", &file, "--set", "mould.priming_volume=1 in3"]);
    assert!(out.contains("never reaches the mould") && !out.contains(": −"), "{out}{err}");
}
