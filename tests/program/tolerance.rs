//! `latchstroke tolerance` as its owner runs it.

use super::{latchstroke, measured, run, scenario};
use serde_json::Value;
use std::fs;

/// Standard output of a run that ends with `code`.
fn output(arguments: &[&str], code: i32) -> String {
    let (found, said, complaint) = run(&[&["tolerance"], arguments].concat());
    assert_eq!(found, code, "{complaint}");
    said
}

/// Standard error of a run that ends with 2 and says nothing else.
fn complaint(arguments: &[&str]) -> String {
    let (found, said, complaint) = run(&[&["tolerance"], arguments].concat());
    assert_eq!((found, said.as_str()), (2, ""), "{complaint}");
    complaint
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&output(arguments, 0)).expect("JSON")
}

/// The demo at a size that it casts with the latch, drawn just often enough for a word on the causes.
const FEW: [&str; 6] = ["--body", "24pt", "--pace", "10", "--turns", "120"];

fn few(more: &[&'static str]) -> Vec<&'static str> {
    FEW.iter().chain(more).copied().collect()
}

#[test]
fn program_tolerance_tells_the_spread_the_chances_and_what_to_measure_again() {
    let said = output(&FEW, 0);
    for words in [
        "what the tolerances of 10 values do",
        "120 machines",
        "with equal chance",
        "seed 1",
        "fill time, latch set",
        "the verdict as stated",
        "latch lets go",
        "Taken for exact, since no tolerance is stated with it",
        "what stands there is likely an estimate: cross block (mass, train stiffness)",
        "Nothing needs measuring again: the verdict stands in every machine drawn. Most of the spread comes of the mould's heat transfer",
        "How closely must the sleeve be made?",
        "latchstroke cautions",
    ] {
        assert!(flat(&said).contains(words), "no {words:?} in\n{said}");
    }
    assert!(said.lines().all(|line| line.chars().count() <= 100), "a line is too long:\n{said}");
}

/// Where the verdict hangs on what nobody can measure, that is said, and nowhere is anyone sent to measure it.
#[test]
fn program_tolerance_sends_nobody_to_measure_what_cannot_be_measured() {
    let said = flat(&output(&["--body", "18pt", "--pace", "16", "--turns", "120"], 0));
    for words in [
        "What counts most is the mould's heat transfer, which nobody can measure; casts that you remember tell of it",
        "Of what can be measured, the metal's pot temperature comes first.",
        "Measure the metal's pot temperature again first.",
    ] {
        assert!(said.contains(words), "no {words:?} in\n{said}");
    }
    assert!(!said.contains("Measure the mould's heat transfer"), "{said}");
}

/// Paragraphs are broken anywhere between words.
fn flat(said: &str) -> String {
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn program_tolerance_gives_the_same_answer_on_any_number_of_threads_and_another_for_another_seed() {
    let on = |threads: &str, seed: &'static str| {
        let assert = latchstroke()
            .arg("tolerance")
            .args(few(&["--seed", seed]))
            .env("RAYON_NUM_THREADS", threads)
            .assert()
            .success();
        assert.get_output().stdout.clone()
    };
    assert_eq!(on("1", "5"), on("3", "5"));
    assert_ne!(on("2", "5"), on("2", "6"));
}

#[test]
fn program_tolerance_json_holds_shares_that_add_up() {
    let answer = json(&few(&["--json"]));
    let verdicts = answer["verdicts"].as_object().expect("verdicts");
    let shares: f64 = verdicts.values().map(|share| share["share"].as_f64().expect("a number")).sum();
    assert!((shares - 1.0).abs() < 1e-12, "{verdicts:?}");
    assert_eq!(answer["turns_finished"], 120);
    assert_eq!(answer["inputs"].as_array().map(Vec::len), Some(10));
    let lift = &answer["figures"]["trip_lift_m"];
    // c_0 − S + t = 2 15/16 − 2 11/16 + 1/4 in.
    assert!((lift["as_stated"].as_f64().expect("a number") - 0.5 * 25.4e-3).abs() < 1e-12);
    assert!(lift["effects"]["stack.sleeve"]["total"]["value"].as_f64() > Some(0.1));
}

#[test]
fn program_a_sleeve_far_off_makes_some_machines_trip_never() {
    // c_0 + t − h = 2.0064 in: below that the latch never lets go. With 2 1/64 ± 1/16 in that is some two fifths of the sleeves.
    let answer = json(&few(&[
        "--json",
        "--set",
        "stack.sleeve=2 1/64 in ± 1/16 in",
        "--set",
        "stack.extension=2 1/64 in",
        // So that the matrix stays down all the same.
        "--set",
        "mould.hold_down=9 kN",
    ]));
    let never = answer["in_the_way"]["latch-trips"]["latch_set"]["share"].as_f64().expect("a number");
    assert!((0.25..0.65).contains(&never), "{never}");
}

#[test]
fn program_tolerance_says_how_closely_the_sleeve_must_be_made_and_when_that_does_not_help() {
    // Exact but for the sleeve: the verdict holds from the nominal length to where the latch no longer trips or fills in time.
    let exact = [
        "cam.lift=30 mm",
        "cam.rise=80 deg",
        "spring[1].wire=5 mm",
        "stack.bare_gap=4 3/8 in",
        "stack.bare_clearance=2 15/16 in",
        "rod.friction=20 N",
        "piston.clearance=0.025 mm",
        "mould.heat_transfer=12 kW/m2K",
        "metal.pot_temperature=350 degC",
    ];
    let mut arguments = few(&["--json", "--set", "stack.sleeve=2 11/16 in ± 1/64 in"]);
    for set in exact {
        arguments.extend(["--set", set]);
    }
    let within = |chance: &'static str| {
        let mut arguments = arguments.clone();
        arguments.extend(["--chance", chance]);
        json(&arguments)["sleeve"]["tolerance_m"].as_f64().expect("a tolerance")
    };
    assert!(within("99%") < within("80%"));
    // With a part of the machines hopeless for another reason, no sleeve helps.
    let hopeless = json(&few(&["--json", "--set", "mould.hold_down=900 N ± 500 N"]));
    assert_eq!(hopeless["sleeve"]["answer"], "not even perfect");
    let file = scenario("small_type.toml").display().to_string();
    let without = json(&[
        &file,
        "--turns",
        "30",
        "--json",
        "--set",
        "mould.air_temperature=100 degC",
        "--set",
        "piston.diameter=17.5 mm ± 0.05 mm",
    ]);
    assert_eq!(without["sleeve"]["answer"], "not in play");
}

#[test]
fn program_tolerance_writes_charts_machines_and_scenario_whole_or_not_at_all() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let run = |more: &[&str]| {
        let mut command = latchstroke();
        command.arg("tolerance").args(FEW).args(["--out", &out.display().to_string()]).args(more);
        command.assert()
    };
    run(&[]).success();
    for name in ["fill-time-latch-aside", "fill-time-latch-set", "causes"] {
        assert!(fs::read(out.join(format!("{name}.png"))).expect("a chart").starts_with(b"\x89PNG"));
        assert!(fs::read_to_string(out.join(format!("{name}.svg"))).expect("a chart").starts_with("<svg"));
    }
    let mut machines = csv::Reader::from_path(out.join("machines.csv")).expect("a table");
    let head = machines.headers().expect("a heading").clone();
    assert!(
        head.iter().any(|name| name == "stack.sleeve_m") && head.iter().any(|name| name == "verdict"),
        "{head:?}"
    );
    assert_eq!(machines.records().filter_map(Result::ok).count(), 120);
    let refused = run(&[]).code(2);
    assert!(String::from_utf8_lossy(&refused.get_output().stderr).contains("--force"));
    run(&["--force", "--dark"]).success();
}

#[test]
fn program_a_scenario_without_tolerances_is_told_how_to_write_one() {
    let file = scenario("small_type.toml").display().to_string();
    let said = complaint(&[&file, "--set", "mould.air_temperature=100 degC"]);
    assert!(said.contains("no value in") && said.contains("\"68 mm ± 0.5 mm\""), "{said}");
}

#[test]
fn program_tolerance_refuses_what_it_cannot_use_and_says_what_would_do() {
    for (arguments, words) in [
        (vec!["--turns", "50"], "10 values at play want 96 turns or more"),
        (vec!["--chance", "0.95"], "as in 95%"),
        (vec!["--chance", "100%"], "as in 95%"),
        (vec!["--body", "14pt,18pt"], "one size at a time here"),
        (vec!["--set", "piston.clearance=0.01 mm ± 0.5 mm"], "by its tolerance"),
    ] {
        let said = complaint(&arguments);
        assert!(said.contains(words), "no {words:?} in\n{said}");
    }
}

#[test]
fn program_tolerance_ends_with_1_where_no_setting_casts_as_stated() {
    let said = output(&["--body", "36pt", "--pace", "15", "--turns", "120"], 1);
    assert!(said.contains("there is no verdict to keep"), "{said}");
}

/// Ctrl-C in the middle of a run far too long to finish: what has been drawn by then is still told.
#[cfg(target_os = "linux")]
#[test]
fn program_tolerance_called_off_tells_what_it_has_finished() {
    use std::process::{Command, Stdio};
    let mut run = Command::new(env!("CARGO_BIN_EXE_latchstroke"))
        .args(["tolerance", "--body", "24pt", "--turns", "100000"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    // Work enough for the first 32 rows, and far from enough for all: five seconds of a processor, in hundredths.
    let work = || {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", run.id())).expect("it runs");
        let after_name = stat.rsplit(')').next().expect("fields").split_whitespace().nth(11).expect("a time");
        after_name.parse::<u64>().expect("a number")
    };
    while work() < 500 {
        std::thread::yield_now();
    }
    super::signal(&mut run, "INT");
    let output = run.wait_with_output().expect("it ends");
    let said =
        String::from_utf8(output.stdout).expect("UTF-8").split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(output.status.code(), Some(130), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(said.contains("Called off early: 99") && said.contains(" were asked for."), "{said}");
    assert!(said.contains("The work was called off before this was found."), "{said}");
}

/// What was promised of the sleeve recommended, its tolerances used up, is what the draws show: none of the machines lifts the
/// matrix, and the verdict stands in all; with the hold-down as it is and the sleeve at the window's edge many do.
#[test]
fn program_the_sleeve_recommended_keeps_what_it_promised_within_its_tolerances() {
    let file = measured().display().to_string();
    let (code, out, err) = run(&["sleeve", &file, "--body", "24pt", "--pace", "15", "--json"]);
    assert_eq!(code, 0, "{err}");
    let answer: Value = serde_json::from_str(&out).expect("JSON");
    let best = answer["recommended"]["length"]["sleeve_m"].as_f64().expect("a length") * 1e3;
    let drawn = |sleeve: &str, extension: &str| {
        let sets = [format!("stack.sleeve={sleeve}"), format!("stack.extension={extension}")];
        json(&[&file, "--turns", "300", "--json", "--set", &sets[0], "--set", &sets[1]])
    };
    let at_best = drawn(&format!("{best} mm ± 0.396875 mm"), &format!("{best} mm"));
    assert_eq!(at_best["verdicts"]["set the latch"]["share"], 1.0, "{:#}", at_best["verdicts"]);
    assert_eq!(at_best["in_the_way"]["matrix-held"], Value::Null);
    let at_edge = drawn("2 7/8 in ± 1/64 in", "2 7/8 in");
    let lifts = at_edge["in_the_way"]["matrix-held"]["latch_set"]["share"].as_f64().expect("a share");
    let fails = at_edge["verdicts"]["neither will do"]["share"].as_f64().expect("a share");
    assert!(lifts > 0.2 && (fails - lifts).abs() < 1e-12, "{lifts} lift, {fails} fail");
    assert_eq!(at_edge["sleeve"]["answer"], "not even perfect");
}

#[test]
fn program_a_machine_that_lifts_the_matrix_has_no_verdict_to_keep() {
    let file = measured().display().to_string();
    let said = output(&[&file, "--turns", "50", "--set", "mould.hold_down=100 lbf"], 1);
    assert!(said.contains("there is no verdict to keep") && said.contains("matrix held"), "{said}");
}

/// Values within their tolerances that do not go together: such a machine is solved by nobody, left out everywhere, and told.
#[test]
fn program_tells_how_many_machines_drawn_cannot_be() {
    let wide = ["--set", "channel.bore=8 mm ± 0.1 mm", "--set", "nozzle.bore=7.95 mm ± 0.1 mm"];
    let words = |out: &str| out.split_whitespace().collect::<Vec<_>>().join(" ");
    let (_, out, _) = run(&[&["tolerance", "--pace", "12", "--turns", "112"], &wide[..]].concat());
    let said = "of the machines drawn cannot be, and count nowhere below. The first of them: nozzle.bore: the bore of the nozzle is 7.";
    assert!(
        words(&out).contains(said) && words(&out).contains(" mm, wider than that of the channel"),
        "{out}"
    );
    for command in ["judge", "measure"] {
        let asked = [&[command, "--body", "24pt"], &wide[..]].concat();
        let (_, out, _) = run(&asked);
        let said =
            "more were drawn that cannot be, since their values do not go together; they count nowhere.";
        assert!(words(&out).contains(said), "{command}: {out}");
        let (_, out, _) = run(&[&asked[..], &["--json"]].concat());
        let answer: Value = serde_json::from_str(&out).expect("JSON");
        let of = if command == "judge" { &answer["odds"] } else { &answer };
        let (drawn, left_out) = (of["drawn"].as_u64(), of["impossible"].as_u64());
        assert!(drawn > left_out && left_out > Some(0), "{command}: {drawn:?}, {left_out:?}");
    }
}
