//! The preload command as an owner runs it.

use super::{measured, run, scenario};
use serde_json::Value;

fn json(arguments: &[&str], code: i32) -> Value {
    let (ended, out, err) = run(&[arguments, &["--json"]].concat());
    assert_eq!(ended, code, "{err}");
    serde_json::from_str(&out).expect("JSON")
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// Closed form: k = G·d⁴/(8·D³·n) of the demo's spring, squeezed from 5 3/4 in to 4 3/8 in, on a thread of 16 to the inch.
#[test]
fn program_turns_for_a_force_follow_the_springs_rate() {
    let answer = json(&["preload", "--body", "24pt", "--for", "400 N"], 0);
    let coil: f64 = 1.75 * 0.0254 - 0.005;
    let rate = 79.3e9 * 0.005_f64.powi(4) / (8.0 * coil.powi(3) * 10.0);
    let pitch = 0.0254 / 16.0;
    let preload = rate * (5.75 - 4.375) * 0.0254;
    assert!((number(&answer["preload_N"]) - preload).abs() < 1e-6 * preload);
    assert!((number(&answer["force_per_turn_N"]) - rate * pitch).abs() < 1e-6 * rate * pitch);
    let turns = (400.0 - preload) / (rate * pitch);
    // The nut's way is found to a nanometre, 1e-6 of a turn.
    assert!((number(&answer["asked"]["turns_from_now"]) - turns).abs() < 2e-6);
    assert!((number(&answer["asked"]["setting"]["preload_N"]) - 400.0).abs() < 1e-3);
}

#[test]
fn program_settings_rise_from_loose_and_hold_the_present_one() {
    let answer = json(&["preload", "--body", "24pt", "--pace", "10"], 0);
    let settings = answer["settings"].as_array().expect("settings");
    let forces: Vec<f64> = settings.iter().map(|setting| number(&setting["preload_N"])).collect();
    assert!(forces.is_sorted() && forces[0].abs() < 1e-6, "{forces:?}");
    assert!(settings.iter().any(|setting| number(&setting["advance_m"]) == 0.0));
    let low = &answer["will_do"]["latch_set"]["low"];
    assert_eq!(low["ended_by"], "springs-tight", "{low:#}");
    // Too slow a fill ends the range where the metal has less time.
    let hot = json(&["preload", "--body", "30pt", "--pace", "8", "--set", "job.accepted_skin=0.2 mm"], 0);
    assert_eq!(hot["will_do"]["latch_set"]["low"]["ended_by"], "skin", "{:#}", hot["will_do"]);
}

/// What ends the range on the side of more force: a hold-down that gives way, a wire that bears no more.
#[test]
fn program_the_limit_that_ends_the_range_is_named() {
    for (set, ended_by, code) in [
        ("spring[1].allowable_stress=500 MPa", "wire-stress", 0),
        ("spring[1].solid_length=90 mm", "coils-apart", 0),
        // The preload as it is lies beyond that end.
        ("mould.hold_down=600 N", "matrix-held", 1),
    ] {
        let answer = json(&["preload", "--body", "24pt", "--pace", "10", "--set", set], code);
        let high = &answer["will_do"]["latch_set"]["high"];
        assert_eq!(high["ended_by"], ended_by, "{set}: {high:#}");
        assert!(number(&high["preload_N"]) > number(&answer["will_do"]["latch_set"]["low"]["preload_N"]));
    }
}

#[test]
fn program_without_a_stack_turns_count_from_now_if_the_pitch_is_known() {
    // This one gives each spring's preload as a force.
    let file = scenario("small_type.toml");
    let told = |more: &[&str]| {
        let (_, out, err) =
            run(&[&["preload", file.to_str().expect("a plain path"), "--for", "360 N"], more].concat());
        out + &err
    };
    let without = told(&[]);
    assert!(without.contains("forces only") && without.contains("cannot be told"), "{without}");
    let with = told(&["--set", "stack.thread_pitch=1 mm"]);
    assert!(
        with.contains("from where the adjusting nut stands now")
            && with.contains("Turn the adjusting nut down by"),
        "{with}"
    );
}

#[test]
fn program_bad_questions_are_refused() {
    assert_eq!(run(&["preload", "--for", "12 mm"]).0, 2);
    assert_eq!(run(&["preload", "--body", "12pt,14pt"]).0, 2);
    assert_eq!(run(&["preload", "--body", "24pt", "--for", "5000 N"]).0, 1);
}

#[test]
fn program_charts_are_drawn_over_the_preload() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("preload");
    let (code, _, err) = run(&["preload", "--body", "24pt", "--out", out.to_str().expect("a plain path")]);
    assert_eq!(code, 0, "{err}");
    for name in ["preload-fill.png", "preload-fill.svg", "preload-loads.png", "preload-loads.svg"] {
        assert!(out.join(name).is_file(), "{name}");
    }
    // The table has what the JSON has: a row for each setting of the nut and of the latch.
    let answer = json(&["preload", "--body", "24pt"], 0);
    let mut table = csv::Reader::from_path(out.join("preloads.csv")).expect("a table");
    let names: Vec<String> = table.headers().expect("a heading").iter().map(str::to_owned).collect();
    let rows: Vec<csv::StringRecord> = table.records().collect::<Result<_, _>>().expect("rows");
    let settings = answer["settings"].as_array().expect("settings");
    assert_eq!(rows.len(), 2 * settings.len());
    let cell = |row: &csv::StringRecord, name: &str| {
        row[names.iter().position(|column| column == name).expect("a column")].to_owned()
    };
    for (rows, setting) in rows.chunks(2).zip(settings) {
        for (row, latch) in rows.iter().zip(["latch_aside", "latch_set"]) {
            assert_eq!(cell(row, "will_do"), setting[latch]["will_do"].to_string(), "{row:?}");
            let force = cell(row, "preload_N").parse::<f64>().expect("a force");
            assert!((force - number(&setting["preload_N"])).abs() < 1e-6, "{row:?}");
        }
    }
}

/// A hold-down that gives way is told in the table, in the range, in the chart and by the exit code.
#[test]
fn program_a_preload_that_lifts_the_matrix_will_not_do() {
    let file = measured();
    let arguments = ["preload", file.to_str().expect("a path"), "--set", "mould.hold_down=100 lbf"];
    let answer = json(&arguments, 1);
    let settings = answer["settings"].as_array().expect("settings");
    let now = settings.iter().find(|setting| setting["advance_m"] == 0.0).expect("the present one");
    assert_eq!(now["judged"]["verdict"], "neither will do", "{now:#}");
    assert_eq!(now["judged"]["deciding"], "matrix-held");
    let high = &answer["will_do"]["latch_set"]["high"];
    assert_eq!(high["ended_by"], "matrix-held", "{high:#}");
    assert!(number(&high["preload_N"]) < number(&answer["preload_N"]));
    // Every setting is held to the list, and the range holds those that do.
    for setting in settings {
        let inside = number(&setting["preload_N"]) <= number(&high["preload_N"]);
        assert_eq!(setting["latch_set"]["will_do"], inside, "{setting:#}");
    }
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("preload");
    assert_eq!(run(&[&arguments[..], &["--out", out.to_str().expect("a path")]].concat()).0, 1);
    let chart = std::fs::read_to_string(out.join("preload-fill.svg")).expect("a chart");
    assert!(chart.contains("force that lifts the matrix"), "the limit that ends the range is drawn");
}
