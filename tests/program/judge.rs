//! `latchstroke judge`.

use super::{run, scenario};
use serde_json::Value;

#[test]
fn program_judges_the_demo_without_a_scenario() {
    let (code, out, err) = run(&["judge"]);
    assert_eq!(code, 0, "{err}");
    assert!(err.is_empty(), "{err}");
    assert!(out.contains("Is the latch needed?"));
    assert!(out.contains("Slowest pace that still does with the latch aside"));
    assert!(out.contains("Cautions") && out.contains("power off"));
}

#[test]
fn program_takes_sizes_and_paces_and_answers_a_program() {
    let (code, out, _) = run(&["judge", "--body", "12,24 pt", "--pace", "20..40:10", "--json"]);
    assert!(code == 0 || code == 1);
    let answer: Value = serde_json::from_str(&out).expect("JSON");
    let casts = answer["casts"].as_array().expect("a list of casts");
    assert_eq!(casts.len(), 6);
    let paces: Vec<f64> =
        casts[..3].iter().map(|cast| 60.0 * cast["pace_turns_per_s"].as_f64().expect("a number")).collect();
    for (pace, asked) in paces.iter().zip([20.0, 30.0, 40.0]) {
        assert!((pace - asked).abs() < 1e-9);
    }
    // The verdict is what the figures beside it say.
    for cast in casts {
        let allowed = cast["allowed_s"].as_f64().expect("a number");
        let in_time = |turn: &str| cast[turn]["sound_fill_time_s"].as_f64().is_some_and(|t| t <= allowed);
        let expected = if in_time("latch_aside") {
            "leave the latch aside"
        } else if in_time("latch_set") {
            "set the latch"
        } else {
            "neither will do"
        };
        assert_eq!(cast["verdict"], expected);
    }
}

#[test]
fn program_says_that_a_short_sleeve_never_lets_go_and_exits_with_one() {
    let path = scenario("wrong_sleeve.toml");
    let (code, out, _) = run(&["judge", path.to_str().expect("a plain path")]);
    assert_eq!(code, 1);
    assert!(out.contains("The latch never lets go"), "{out}");
    assert!(out.contains("What would do"), "{out}");
}

#[test]
fn program_finds_a_slowest_pace_that_does_and_a_slower_one_that_does_not() {
    let (_, out, _) = run(&["judge", "--body", "24pt", "--pace", "20", "--json"]);
    let answer: Value = serde_json::from_str(&out).expect("JSON");
    let pace = 60.0 * answer["slowest_pace_aside"][0]["pace_turns_per_s"].as_f64().expect("a pace");
    let verdict = |pace: f64| {
        let (_, out, _) = run(&["judge", "--body", "24pt", "--pace", &format!("{pace}"), "--json"]);
        let answer: Value = serde_json::from_str(&out).expect("JSON");
        answer["casts"][0]["verdict"].as_str().expect("a word").to_owned()
    };
    assert_eq!(verdict(1.002 * pace), "leave the latch aside");
    assert_ne!(verdict(0.995 * pace), "leave the latch aside");
}

#[test]
fn program_refuses_bad_lists_with_one_message_and_exit_two() {
    for (option, value, wanted) in [
        ("--body", "14xx", "no unit"),
        ("--body", "-3 pt", "above zero"),
        ("--pace", "60..15", "below the last"),
        ("--pace", "1..1000:1", "more than"),
        ("--pace", "", "write"),
    ] {
        let (code, out, err) = run(&["judge", &format!("{option}={value}")]);
        assert_eq!(code, 2, "{option} {value}");
        assert!(out.is_empty());
        assert!(err.contains(wanted) && err.lines().count() == 1, "{option} {value}: {err}");
    }
}

#[test]
fn program_gives_the_same_bytes_whatever_the_number_of_threads() {
    let with = |threads: &str| {
        let output = super::latchstroke()
            .env("RAYON_NUM_THREADS", threads)
            .args(["judge", "--json"])
            .output()
            .expect("the program starts");
        output.stdout
    };
    assert_eq!(with("1"), with("2"));
}
