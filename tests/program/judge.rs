//! `latchstroke judge`.

use super::{run, scenario};
use serde_json::Value;

#[test]
fn program_judges_the_demo_without_a_scenario() {
    let (code, out, err) = run(&["judge"]);
    assert_eq!(code, 0, "{err}");
    assert!(err.is_empty(), "{err}");
    assert!(out.contains("Is the latch needed?"));
    assert!(out.contains("What else the latch does"));
    assert!(out.contains("What would change the verdict"));
    assert!(out.contains("Slowest pace that still does with the latch aside"));
    assert!(out.contains("Cautions") && out.contains("power off"));
    // A still larger initial cannot be cast at any pace that leaves it solid.
    let (code, out, err) = run(&["judge", "--body", "30pt,36pt"]);
    assert_eq!(code, 1, "{err}");
    assert!(out.contains("What would do for 36 pt"), "{out}");
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

/// The answer of `judge` and its exit code.
fn judged(arguments: &[&str]) -> (i32, Value) {
    let (code, out, err) = run(&[&["judge"], arguments, &["--json"]].concat());
    (code, serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {err}")))
}

fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap_or_else(|| panic!("{key}: a list"))
}

fn figure(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key}: a number in {value}"))
}

#[test]
fn program_judges_each_size_at_the_pace_that_the_pace_command_lets_it_cool_at() {
    let (_, answer) = judged(&[]);
    let (_, out, _) = run(&["pace", "--json"]);
    let paces: Value = serde_json::from_str(&out).expect("JSON");
    let casts = list(&answer, "casts");
    assert_eq!(casts.len(), 4);
    // 30 turns/min is the fastest of the demo's paces.
    let fastest = 0.5_f64;
    for (cast, cooled) in casts.iter().zip(list(&paces, "sizes")) {
        let solid = figure(cooled, "cooling_limit_turns_per_s");
        let expected = fastest.min(solid / figure(&answer, "pace_reserve"));
        assert!((figure(cast, "pace_turns_per_s") / expected - 1.0).abs() < 1e-9, "{cast}");
        assert_eq!(cast["solid_in_time"], true);
    }
}

/// A size and a pace can be cast for `judge` just where `pace` has a window for it.
#[test]
fn program_judge_and_pace_do_not_contradict_each_other() {
    let bodies = "14,24,30,36 pt";
    let (_, answer) = judged(&["--body", bodies, "--pace", "3,8,12,20,29,33"]);
    let (_, out, _) = run(&["pace", "--body", bodies, "--json"]);
    let paces: Value = serde_json::from_str(&out).expect("JSON");
    for (casts, size) in list(&answer, "casts").chunks(6).zip(list(&paces, "sizes")) {
        for cast in casts {
            let pace = figure(cast, "pace_turns_per_s");
            let within = |key: &str| {
                list(size, key).iter().any(|window| {
                    let end = |n: usize| window[n].as_f64().expect("a pace");
                    (end(0)..=end(1)).contains(&pace)
                })
            };
            let expected = within("latch_aside_turns_per_s") || within("latch_set_turns_per_s");
            assert_eq!(cast["can_be_cast"], expected, "{pace} turns/s: {size}");
        }
    }
}

#[test]
fn program_stars_what_is_too_fast_to_be_solid_and_fails_only_where_no_pace_does() {
    let (code, out, _) = run(&["judge", "--body", "24pt", "--pace", "12,20"]);
    assert_eq!(code, 0, "{out}");
    assert!(out.contains("SET*") && out.contains("* The pace is too fast"), "{out}");
    let (code, out, _) = run(&["judge", "--body", "24pt", "--pace", "20"]);
    assert_eq!(code, 1, "{out}");
    assert!(out.contains("But at this pace the type is not solid"), "{out}");
}

/// Each value at which the answer is said to change is put into the scenario, a little to either side.
#[test]
fn program_answer_changes_where_it_says_so() {
    let size = ["--body", "18pt", "--pace", "16"];
    let (_, answer) = judged(&size);
    let cast = &list(&answer, "casts")[0];
    assert_eq!(cast["verdict"], "set the latch");
    let lost = |answer: &Value, then: &str| {
        let cast = &list(answer, "casts")[0];
        match then {
            "leave the latch aside" | "neither will do" => cast["verdict"] == then,
            "not solid in time" => cast["solid_in_time"] == false,
            "lifts the matrix" => {
                let limits = list(&cast["limits"], "latch_set");
                limits.iter().any(|l| l["limit"] == "matrix lift" && figure(l, "kept_times") < 1.0)
            }
            other => panic!("not looked for: {other}"),
        }
    };
    let mut tried = 0;
    for change in list(&list(&answer, "changes")[0], "changes") {
        let (key, unit) = match change["change"].as_str().expect("a name") {
            "pot_temperature_K" => ("metal.pot_temperature", "K"),
            "wall_temperature_K" => ("mould.wall_temperature", "K"),
            "accepted_skin_m" => ("job.accepted_skin", "m"),
            "vent_gap_m" => ("mould.vent_gap", "m"),
            "hold_down_N" => ("mould.hold_down", "N"),
            _ => continue,
        };
        for (side, sign) in [("below", -1.0), ("above", 1.0)] {
            let flip = &change[side];
            if flip.is_null() {
                continue;
            }
            let then = flip["then"].as_str().expect("words");
            let (value, now) = (figure(flip, "value"), figure(change, "now"));
            // Closer than this lies only the closeness of the search.
            let step = sign * 0.01 * (value - now).abs().max(0.15 * now);
            let at = |value: f64| {
                let set = format!("{key}={value} {unit}");
                judged(&[&size[..], &["--set", &set]].concat()).1
            };
            assert!(lost(&at(value + step), then), "{key} {side} {value}: not {then}");
            assert!(!lost(&at(value - step), then), "{key} {side} {value}: {then} already");
            tried += 1;
        }
    }
    assert!(tried >= 3, "{answer}");
}

#[test]
fn program_judges_the_air_only_where_a_limit_is_stated() {
    let named = |answer: &Value| {
        let limits = list(&list(answer, "casts")[0]["limits"], "latch_set");
        limits.iter().find(|limit| limit["limit"] == "trapped air").cloned()
    };
    let size = ["--body", "24pt", "--pace", "12"];
    assert!(named(&judged(&size).1).is_none());
    let (_, answer) = judged(&[&size[..], &["--set", "job.accepted_air=0.02"]].concat());
    // Never less than the 2 % of the mould that is not metal as it counts as full.
    let kept = named(&answer).expect("the limit");
    assert!(figure(&kept, "kept_times") < 1.0, "{kept}");
}

#[test]
fn program_says_that_a_short_sleeve_never_lets_go_and_exits_with_one() {
    let path = scenario("wrong_sleeve.toml");
    let (code, out, _) = run(&["judge", path.to_str().expect("a plain path")]);
    assert_eq!(code, 1);
    assert!(out.contains("The latch never lets go"), "{out}");
    let remedies = out.split("What would do").nth(1).expect("remedies");
    let trip = remedies.lines().find(|line| line.contains("trip lift")).expect("a trip lift");
    assert!(trip.contains("a sleeve longer by"), "{trip}");
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

/// The prongs travel further than the cam lifts, so that no sleeve makes the latch both hold and let go.
#[test]
fn program_judge_offers_no_trip_lift_that_no_sleeve_gives() {
    let (code, out, err) =
        run(&["judge", "--body", "24pt", "--pace", "12", "--set", "latch.prong_travel=31 mm"]);
    assert_eq!(code, 1, "{err}");
    let told = out.lines().find(|line| line.trim_start().starts_with("trip lift")).expect("a line on it");
    assert!(told.contains("nothing"), "{told}");
}
