//! The sleeve command as an owner runs it: what it recommends is typed in and judged by the library.

use super::{measured, run, scenario};
use latchstroke_core::limits::{Does, Limit};
use latchstroke_core::studies::judge::{Cast, Judgement, judge};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};
use latchstroke_scenario::{Override, read, stated};
use serde_json::Value;
use std::path::Path;

/// The answer; the exit code is the judge's, of the machine as it stands.
fn json(arguments: &[&str], code: i32) -> Value {
    let (ended, out, err) = run(&[arguments, &["--json"]].concat());
    assert_eq!(ended, code, "{err}");
    serde_json::from_str(&out).expect("JSON")
}

fn stdout(arguments: &[&str], code: i32) -> String {
    let (ended, out, err) = run(arguments);
    assert_eq!(ended, code, "{err}");
    out
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn cast(of: &Value) -> Cast {
    let length = |key: &str| Length(number(&of[key]));
    let sort = Sort { body: length("body_m"), set: length("set_m") };
    Cast { sort, pace: Pace(number(&of["pace_turns_per_s"])) }
}

/// The judgement of a cast with a sleeve and an extension of `length` (m) typed into a scenario.
fn judged(file: &Path, sets: &[&str], cast: Cast, length: f64) -> Judgement {
    let text = std::fs::read_to_string(file).expect("a scenario");
    let mut sets: Vec<Override> = sets.iter().map(|set| Override::parse(set)).collect();
    sets.extend(
        ["sleeve", "extension"].map(|key| Override::parse(&format!("stack.{key}={} mm", length * 1e3))),
    );
    let scenario = read("typed.toml", &text, &sets).expect("no mistakes");
    judge(&stated::machine(&scenario), cast, &stated::terms(&scenario)).expect("no faults")
}

fn array(value: &Value) -> &Vec<Value> {
    value.as_array().expect("a list")
}

/// The answer for a scenario with overrides, which may say that no length serves. It ends as the judge does of the machine as it
/// stands.
fn asked(file: &Path, body: &str, sets: &[&str]) -> Value {
    let mut arguments = vec!["judge", file.to_str().expect("a plain path"), "--body", body];
    for set in sets {
        arguments.extend(["--set", set]);
    }
    let (code, ..) = run(&arguments);
    arguments[0] = "sleeve";
    json(&arguments, code)
}

/// Typed in, the length recommended casts every size, the latch set where the answer says that it is wanted; and the ends of
/// the window are where the judge first says no.
#[test]
fn program_the_sleeve_recommended_is_judged_to_do_for_every_size() {
    let (measured, demo) = (measured(), scenario("large_initials.toml"));
    for (file, body, sets) in [
        (&measured, "24pt", &[][..]),
        (&measured, "18pt,24pt", &[]),
        (&measured, "36pt", &[]),
        (&measured, "24pt", &["mould.hold_down=100 lbf"]),
        (&demo, "14pt,18pt,24pt,30pt", &["stack.sleeve=2 1/8 in", "stack.extension=2 1/8 in"]),
        (&demo, "14pt,18pt,24pt,30pt", &[]),
    ] {
        let answer = asked(file, body, sets);
        let best = &answer["recommended"];
        let length = number(&best["length"]["sleeve_m"]);
        let (from, to) = (number(&best["from_m"]), number(&best["to_m"]));
        let tolerance = number(&answer["tolerance_m"]);
        assert!(from + tolerance <= length && length <= to - tolerance, "{body} {sets:?}: {best:#}");
        let casts: Vec<(Cast, bool)> =
            array(&answer["casts"]).iter().map(|of| (cast(of), of["wants_latch"] == true)).collect();
        let missed = |length: f64| -> Vec<Limit> {
            let wanting = casts.iter().filter(|(_, wants)| *wants);
            let judged = wanting.map(|(cast, _)| judged(file, sets, *cast, length));
            judged
                .flat_map(|j| j.standing(LatchSetting::Set).in_the_way().map(|m| m.limit).collect::<Vec<_>>())
                .collect()
        };
        for &(cast, wants) in &casts {
            let judgement = judged(file, sets, cast, length);
            assert!(judgement.can_be_cast(), "{body} {sets:?}, {cast:?}: {:?}", judgement.verdict);
            let aside = judgement.standing(LatchSetting::Aside).does() == Does::Yes;
            assert_eq!(aside, !wants, "{body} {sets:?}, {cast:?}");
        }
        // The ends are found to 5 µm.
        for (inside, outside, end) in [(from + 5e-6, from - 2e-5, 0), (to - 5e-6, to + 2e-5, 1)] {
            assert!(missed(inside).is_empty(), "{body} {sets:?}: {:?} at {inside}", missed(inside));
            let beyond = missed(outside);
            let told = best["ended_by"][end].as_str().expect("a limit");
            assert!(
                beyond.iter().any(|&limit| latchstroke_report::limits::key(limit) == told),
                "{body} {sets:?}: {beyond:?} at {outside}, not {told}"
            );
        }
    }
}

/// The sleeve now fitted stands in the window by more than the tolerances take: there is nothing to make.
#[test]
fn program_a_sleeve_inside_the_window_is_to_be_kept() {
    let arguments = ["sleeve", "--body", "24pt,30pt"];
    let best = &json(&arguments, 0)["recommended"];
    assert_eq!((&best["keep"], &best["serves_all"]), (&Value::from(true), &Value::from(true)));
    // 2 11/16 in.
    assert!((number(&best["length"]["sleeve_m"]) - 2.6875 * 0.0254).abs() < 1e-12);
    assert!(stdout(&arguments, 0).contains("Keep the sleeve you have, 2 11/16 in"));
    // Beside it in the window, but with an extension that changes the springs' force, it is not.
    let other = json(&[&arguments[..], &["--set", "stack.extension=2 1/2 in"]].concat(), 0);
    assert_eq!(other["recommended"]["keep"], false);
}

/// A length that is "recommended" never stands beside a row that says it fails, and what the table says of each length is what
/// the judge says of it.
#[test]
fn program_the_table_says_of_each_length_what_the_judge_says() {
    let file = measured();
    let answer = asked(&file, "24pt", &[]);
    let cast = cast(&answer["casts"][0]);
    for step in array(&answer["lengths"]) {
        let length = number(&step["sleeve_m"]);
        // The ends of the window are rows too, where the last digit of a length decides.
        let ends =
            array(&answer["casts"][0]["lengths_m"]).iter().flat_map(|pair| array(pair).iter().map(number));
        if ends.into_iter().any(|end| (end - length).abs() < 1e-5) {
            continue;
        }
        let judgement = judged(&file, &[], cast, length);
        let set = judgement.standing(LatchSetting::Set);
        assert_eq!(step["serves_all"], set.does() == Does::Yes, "{step:#}");
        let deciding = set.deciding().map(|margin| latchstroke_report::limits::key(margin.limit));
        assert_eq!(step["deciding"].as_str(), deciding, "{step:#}");
    }
}

/// One sleeve for some sizes, another for others; each length named serves the sizes it is named for.
#[test]
fn program_sizes_that_no_one_sleeve_serves_are_told_apart() {
    let file = measured();
    let answer = asked(&file, "18pt,24pt,36pt", &[]);
    assert_eq!(answer["refused"]["because"], "no-one-length");
    let sleeves = array(&answer["refused"]["sleeves"]);
    assert_eq!(sleeves.len(), 2, "{:#}", answer["refused"]);
    for sleeve in sleeves {
        let middle = f64::midpoint(number(&sleeve["from_m"]), number(&sleeve["to_m"]));
        for of in array(&sleeve["casts"]) {
            assert!(judged(&file, &[], cast(of), middle).can_be_cast(), "{sleeve:#}");
        }
    }
    // With next to no hold-down no length keeps the matrix on its mould.
    let hopeless = asked(&file, "36pt", &["mould.hold_down=2 lbf"]);
    assert_eq!(array(&hopeless["refused"]["served_by_none"]).len(), 1);
    assert_eq!(hopeless["casts"][0]["hindered_by"], "matrix-held");
    let text = stdout(
        &["sleeve", file.to_str().expect("a path"), "--body", "36pt", "--set", "mould.hold_down=2 lbf"],
        1,
    );
    assert!(text.contains("None serves 36 pt") && text.contains("lifts the matrix"), "{text}");
}

/// Each size stands at its own pace unless one is asked for.
#[test]
fn program_each_size_is_cast_at_its_real_pace() {
    let file = measured();
    let paces = |more: &[&str]| -> Vec<f64> {
        let head = ["sleeve", file.to_str().expect("a path"), "--body", "18pt,24pt,36pt"];
        let (_, out, _) = run(&[&head, more, &["--json"]].concat());
        let answer: Value = serde_json::from_str(&out).expect("JSON");
        array(&answer["casts"]).iter().map(|of| number(&of["pace_turns_per_s"])).collect()
    };
    let real = paces(&[]);
    assert!(real.windows(2).all(|pair| pair[1] < pair[0]), "a larger size cools more slowly: {real:?}");
    assert_eq!(paces(&["--pace", "15"]), [0.25; 3]);
}

/// 1/64 in of clearance, 1/64 in of sleeve and 0.2 mm of lift; common practice, no source: a millimetre, where the clearance has
/// no tolerance.
#[test]
fn program_the_tolerances_are_used_up_at_both_ends() {
    let answer = json(&["sleeve", "--body", "24pt"], 0);
    assert!((number(&answer["tolerance_m"]) - (0.0254 / 32.0 + 0.2e-3)).abs() < 1e-12);
    let answer = json(&["sleeve", "--body", "24pt", "--set", "stack.bare_clearance=2 15/16 in"], 0);
    assert_eq!(answer["tolerance_stated"], false);
    assert!((number(&answer["tolerance_m"]) - 1e-3).abs() < 1e-12);
    // So wide a tolerance that the window has no room for it.
    let wide = ["sleeve", "--body", "30pt", "--set", "stack.bare_clearance=2 15/16 in ± 3/8 in"];
    assert_eq!(json(&wide, 0)["refused"]["because"], "too-narrow");
}

#[test]
fn program_inches_stand_beside_their_nearest_sixty_fourth() {
    let file = measured();
    let file = file.to_str().expect("a path");
    let text = stdout(&["sleeve", file, "--body", "24pt"], 0);
    let length = number(&json(&["sleeve", file, "--body", "24pt"], 0)["recommended"]["length"]["sleeve_m"]);
    let words = format!("A sleeve of {:.2} in (near 2 15/16 in), and the rod lengthened", length / 0.0254);
    assert!(text.contains(&words) && text.contains("Cautions"), "{words} in {text}");
    // A hundredth of a millimetre and less is nothing on a sleeve: to 0.05 mm.
    assert!(((length / 0.05e-3).round() * 0.05e-3 - length).abs() < 1e-12, "{length}");
    for text in [text, stdout(&["sleeve", file], 1), stdout(&["sleeve"], 0)] {
        assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
    }
}

/// Springs that lie loose press with no force; nothing is divided by it.
#[test]
fn program_slack_springs_are_called_slack() {
    let file = measured();
    let file = file.to_str().expect("a path");
    for command in ["sleeve", "preload"] {
        let (_, said, err) = run(&[command, file, "--body", "24pt", "--set", "stack.sleeve=0 in"]);
        assert!(said.contains("slack"), "{command}: {said}{err}");
        assert!(!said.contains("inf") && !said.contains("NaN"), "{command}: {said}");
    }
}

#[test]
fn program_a_sleeve_that_is_too_short_is_told_and_a_right_one_named() {
    let file = scenario("wrong_sleeve.toml");
    let file = file.to_str().expect("a plain path");
    let answer = json(&["sleeve", file], 1);
    let limits = array(&answer["present"]["casts"][0]["limits_latch_set"]);
    let trips = limits.iter().find(|limit| limit["limit"] == "latch-trips").expect("it is told");
    assert_eq!(trips["state"], "missed", "{trips:#}");
    let best = number(&answer["recommended"]["length"]["sleeve_m"]);
    let (shortest, longest) =
        (number(&answer["window"]["shortest_m"]), number(&answer["window"]["longest_m"]));
    assert!(shortest < best && best < longest);
    let judgement = judged(&scenario("wrong_sleeve.toml"), &[], cast(&answer["casts"][0]), best);
    assert!(judgement.can_be_cast() && judgement.set.throw.is_some());
}

#[test]
fn program_the_range_shown_may_go_beyond_the_window() {
    let answer = json(&["sleeve", "--body", "24pt", "--from", "1 1/2 in", "--to", "80 mm"], 0);
    let missed: Vec<bool> = array(&answer["lengths"])
        .iter()
        .map(|step| {
            let limits = array(&step["casts"][0]["limits_latch_set"]);
            let state = |key: &str| {
                limits.iter().find(|limit| limit["limit"] == key).map(|limit| limit["state"].clone())
            };
            [state("latch-trips"), state("latch-holds")].contains(&Some("missed".into()))
        })
        .collect();
    assert_eq!((missed.first(), missed.last()), (Some(&true), Some(&true)));
    assert!(missed.iter().any(|missed| !missed));
}

#[test]
fn program_without_a_stack_it_says_what_to_measure() {
    // This one gives latch.trip_lift, as read from the machine turned by hand.
    let file = scenario("small_type.toml");
    let (code, out, said) = run(&["sleeve", file.to_str().expect("a plain path")]);
    assert_eq!(code, 2);
    assert!(
        said.contains("trip_lift") && said.contains("bare_clearance") && said.contains("prong_travel"),
        "{said}"
    );
    assert!(out.is_empty());
}

#[test]
fn program_prongs_beyond_the_lift_leave_no_sleeve() {
    let text = stdout(&["sleeve", "--body", "24pt", "--set", "latch.prong_travel=31 mm"], 1);
    assert!(text.contains("No sleeve works"), "{text}");
}

#[test]
fn program_bad_ranges_are_refused() {
    for arguments in
        [&["--from", "70 mm", "--to", "60 mm"][..], &["--from", "12 N"], &["--to", "2 m"], &["--force"]]
    {
        let (code, out, err) = run(&[&["sleeve"], arguments].concat());
        assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}");
        assert!(!err.is_empty());
    }
}

#[test]
fn program_charts_are_written_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("sleeve");
    let arguments = ["sleeve", "--body", "24pt", "--out", out.to_str().expect("a plain path")];
    assert_eq!(run(&arguments).0, 0);
    for name in ["sleeve.png", "sleeve.svg", "scenario.toml"] {
        assert!(out.join(name).is_file(), "{name}");
    }
    // The table has what the JSON has: every length, the one to make among them.
    let (_, said, _) = run(&["sleeve", "--body", "24pt", "--json"]);
    let answer: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    let mut table = csv::Reader::from_path(out.join("sleeves.csv")).expect("a table");
    let names: Vec<String> = table.headers().expect("a heading").iter().map(str::to_owned).collect();
    let rows: Vec<csv::StringRecord> = table.records().collect::<Result<_, _>>().expect("rows");
    let cell = |row: &csv::StringRecord, name: &str| {
        row[names.iter().position(|column| column == name).expect("a column")].to_owned()
    };
    let figure = |row: &csv::StringRecord, name: &str| cell(row, name).parse::<f64>().expect("a figure");
    let close = |a: f64, b: f64| (a - b).abs() <= 1e-8 * b.abs();
    for step in answer["lengths"].as_array().expect("lengths") {
        let wanted = step["sleeve_m"].as_f64().expect("a length");
        let row = rows.iter().find(|row| close(figure(row, "sleeve_m"), wanted)).expect("a row");
        assert_eq!(cell(row, "will_do"), step["casts"][0]["will_do"].to_string(), "{row:?}");
        if let Some(time) = step["casts"][0]["sound_fill_time_s"].as_f64() {
            assert!(close(figure(row, "sound_fill_time_s"), time), "{row:?}");
        }
    }
    assert_eq!(rows.iter().filter(|row| cell(row, "mark").contains("recommended")).count(), 1);
    assert_eq!(run(&arguments).0, 2);
    assert_eq!(run(&[&arguments[..], &["--force"]].concat()).0, 0);
}
