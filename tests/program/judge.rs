//! `latchstroke judge`.

use super::{run, scenario};
use latchstroke_core::studies::cooling::fastest_solid;
use latchstroke_core::studies::judge::{Cast, Verdict, judge};
use latchstroke_core::studies::real_pace::real_pace;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};
use latchstroke_scenario::{Dimension, Override, Quantity, read, stated};
use serde_json::Value;

#[test]
fn program_judges_the_demo_without_a_scenario() {
    let (code, out, err) = run(&["judge"]);
    assert_eq!(code, 0, "{err}");
    assert!(err.is_empty(), "{err}");
    // A line for each size, before anything else.
    let lines: Vec<&str> = out.lines().skip(2).collect();
    assert!(lines[0].starts_with("14 pt at 26.8 turns/min: leave the latch aside; "), "{out}");
    assert!(out.contains("\n24 pt at 12.2 turns/min: set the latch; "), "{out}");
    assert!(out.contains("With --more") && out.contains("not a clearance"), "{out}");
    assert!(out.lines().count() < 30, "{out}");
    let (_, out, _) = run(&["judge", "--more"]);
    for said in [
        "How sure",
        "What else the latch does",
        "What would change the verdict",
        "Slowest pace that does with the latch aside",
        "it hardly moves with that coefficient",
    ] {
        assert!(out.contains(said), "no \"{said}\" in\n{out}");
    }
    // A still larger initial cannot be cast at any pace that leaves it solid.
    let (code, out, err) = run(&["judge", "--body", "30pt,36pt"]);
    assert_eq!(code, 1, "{err}");
    assert!(out.contains("What stands in the way\n  36 pt at"), "{out}");
    assert!(out.contains("What would make every size possible"), "{out}");
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
    // The verdict is what the lists beside it say, and each limit's state what its own figures say.
    for cast in casts {
        let does = |setting: &str| {
            list(cast, &format!("limits_{setting}")).iter().all(|limit| {
                let factor = limit["factor"].as_f64();
                let missed = limit["state"] == "missed" || limit["state"] == "near";
                assert_eq!(missed, factor.is_some_and(|factor| factor < 1.0), "{limit}");
                !missed
            })
        };
        let expected = match (does("latch_aside"), does("latch_set")) {
            (true, _) => "leave the latch aside",
            (false, true) => "set the latch",
            (false, false) => "neither will do",
        };
        assert_eq!(cast["verdict"], expected);
    }
}

/// The answer of `judge` and its exit code.
fn judged(arguments: &[&str]) -> (i32, Value) {
    let (code, out, err) = run(&[&["judge"], arguments, &["--json"]].concat());
    (code, serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {err}")))
}

/// A machine in inches with two springs, measured cam, sleeve and extension.
fn measured_in_inches() -> String {
    super::measured().display().to_string()
}

fn small_type() -> String {
    scenario("small_type.toml").display().to_string()
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
        let solid = list(cast, "limits_latch_aside").iter().find(|limit| limit["limit"] == "solid");
        assert_eq!(solid.expect("the limit")["state"], "kept", "{cast}");
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

/// What stays too fast for the type to be solid is no answer, whatever fills the mould, for any command.
#[test]
fn program_fails_what_is_too_fast_to_be_solid() {
    let (code, out, _) = run(&["judge", "--body", "24pt", "--pace", "12,30"]);
    assert_eq!(code, 0, "{out}");
    let fast = out.lines().find(|line| line.trim_start().starts_with("24 pt         30")).expect("a row");
    assert!(fast.contains("neither") && fast.contains("solid in time 0.4"), "{fast}");
    for command in ["judge", "turn"] {
        let (code, out, _) = run(&[command, "--body", "24pt", "--pace", "30"]);
        assert_eq!(code, 1, "{out}");
        assert!(out.contains("24 pt at 30 turns/min: neither will do; solid in time decides"), "{out}");
    }
}

/// What is asked of `judge`: a scenario, values in place of its own, sizes, and a pace.
struct Asked<'a> {
    file: &'a str,
    sets: &'a [&'a str],
    bodies: &'a str,
    pace: Option<&'a str>,
}

impl Asked<'_> {
    fn arguments(&self) -> Vec<&str> {
        let mut all = vec![self.file, "--body", self.bodies];
        all.extend(self.sets.iter().flat_map(|set| ["--set", set]));
        all.extend(self.pace.iter().flat_map(|pace| ["--pace", pace]));
        all
    }

    /// The verdict on a body (m) with what is `typed` besides, by the library: one judgement, at the pace asked for or else at the
    /// one at which the machine so changed casts the size.
    fn verdict(&self, body: f64, typed: &[&str]) -> &'static str {
        let text = std::fs::read_to_string(self.file).expect("a scenario");
        let typed = |option: &'static str| {
            let pairs = typed.chunks(2).filter(move |pair| pair[0] == option);
            pairs.map(|pair| pair[1])
        };
        let overrides: Vec<Override> =
            self.sets.iter().copied().chain(typed("--set")).map(Override::parse).collect();
        let scenario = read(self.file, &text, &overrides).unwrap_or_else(|error| panic!("{error:?}"));
        let (machine, terms) = (stated::machine(&scenario), stated::terms(&scenario));
        let own = stated::cast(&scenario).sort;
        let sort = Sort { body: Length(body), set: Length(body * own.set.0 / own.body.0) };
        let asked = typed("--pace").next().or(self.pace);
        let pace = if let Some(pace) = asked {
            let pace = if pace.contains("turns") { pace.to_owned() } else { format!("{pace} turns/min") };
            Pace(Quantity::parse(&pace, Dimension::Pace).expect("a pace").si)
        } else {
            let cooling = fastest_solid(&machine, sort, terms.shut).expect("a valid machine");
            real_pace(cooling, stated::fastest_pace(&scenario)).pace
        };
        match judge(&machine, Cast { sort, pace }, &terms).expect("a valid machine").verdict {
            Verdict::LeaveAside => "leave the latch aside",
            Verdict::Set => "set the latch",
            Verdict::Neither => "neither will do",
            Verdict::NotKnown => "no verdict: a turn could not be solved",
        }
    }
}

/// Every value at which the answer is said to change, typed in as told, changes it as told; one change that serves all sizes serves
/// them all.
#[test]
fn program_answer_changes_where_it_says_so() {
    let (demo, inches, small) =
        (scenario("large_initials.toml").display().to_string(), measured_in_inches(), small_type());
    let asked = |file, sets, bodies, pace| Asked { file, sets, bodies, pace };
    let none = ["stack.sleeve=0 in", "stack.extension=0 in"];
    let mut tried = std::collections::BTreeMap::new();
    for asked in [
        asked(&demo, &[][..], "14pt,18pt,24pt,30pt,36pt", None),
        asked(&demo, &[], "18pt,24pt", Some("16")),
        asked(&demo, &[], "36pt,30pt", None),
        asked(&inches, &[], "18pt,24pt,30pt", None),
        asked(&inches, &none, "18pt,24pt", None),
        asked(&small, &[], "8pt,12pt", None),
    ] {
        let (_, answer) = judged(&asked.arguments());
        let sizes = list(&answer, "sizes");
        for size in sizes {
            let body = figure(size, "body_m");
            assert_eq!(asked.verdict(body, &[]), size["told_verdict"], "{body} m");
            for (change, flip) in flips(&size["changes"]) {
                let then = asked.verdict(body, &typed(flip));
                assert_eq!(then, flip["then"], "{body} m, {change}: {flip}");
                assert_ne!(then, size["told_verdict"], "{body} m, {change}");
                *tried.entry(change).or_insert(0) += 1;
            }
        }
        for (change, flip) in flips(&answer["changes_for_all"]) {
            for size in sizes {
                let then = asked.verdict(figure(size, "body_m"), &typed(flip));
                assert!(["leave the latch aside", "set the latch"].contains(&then), "{change}: {flip}");
            }
            *tried.entry("for all".to_owned()).or_insert(0) += 1;
        }
    }
    for change in ["sleeve_m", "preload_N", "pot_temperature_K", "hold_down_N", "pace_turns_per_s", "for all"]
    {
        assert!(tried.contains_key(change), "no {change} among {tried:?}");
    }
}

/// Every place at which something changes, with the name of what is changed.
fn flips(changes: &Value) -> Vec<(String, &Value)> {
    let changes = changes.as_array().expect("a list");
    let name = |change: &Value| change["change"].as_str().expect("a name").to_owned();
    changes
        .iter()
        .flat_map(|change| ["below", "above"].map(|side| (name(change), &change[side])))
        .filter(|(_, flip)| !flip.is_null())
        .collect()
}

/// What is to be typed for a change.
fn typed(flip: &Value) -> Vec<&str> {
    list(flip, "typed").iter().map(|text| text.as_str().expect("text")).collect()
}

/// A sleeve of which there is none is "a sleeve of", with its extension; one that is there is made longer or shorter with it.
#[test]
fn program_names_sleeve_and_extension_together() {
    let inches = measured_in_inches();
    let none =
        ["judge", &inches, "--body", "24pt", "--set", "stack.sleeve=0 in", "--set", "stack.extension=0 in"];
    let (_, out, _) = run(&none);
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(out.contains("a sleeve of 2.8") && out.contains("in with an extension to match"), "{out}");
    assert!(!out.contains("longer by"), "{out}");
    let (_, out, _) = run(&["judge", "--more", "--body", "30pt"]);
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(out.contains("and the extension shorter by as much"), "{out}");
}

/// Springs that do not go into their gap, with a sleeve and no extension for it: no command gives a verdict past that.
#[test]
fn program_sees_springs_that_are_solid_at_rest() {
    let inches = measured_in_inches();
    for command in ["judge", "turn", "check"] {
        let (code, out, err) = run(&[command, &inches, "--set", "stack.extension=0 in"]);
        assert_eq!(code, 1, "{command}: {err}");
        let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(out.contains("The springs do not go into their gap"), "{command}: {out}");
        assert!(out.contains("squeezed by 4.25 in, and it is solid after 3.84 in"), "{command}: {out}");
        assert!(!out.contains("set the latch;"), "{command}: {out}");
    }
}

/// A matrix that is lifted is a limit missed: never "set it" beside it.
#[test]
fn program_never_sets_a_latch_that_lifts_the_matrix() {
    let inches = measured_in_inches();
    for command in ["judge", "turn"] {
        let asked = [command, &inches, "--body", "24pt", "--set", "mould.hold_down=100 lbf"];
        let (code, out, _) = run(&asked);
        assert_eq!(code, 1, "{out}");
        assert!(out.contains("neither will do; matrix held decides, missed"), "{out}");
        let (_, out, _) = run(&[&asked[..], &["--json"]].concat());
        let answer: Value = serde_json::from_str(&out).expect("JSON");
        let cast = if command == "turn" { &answer } else { &answer["casts"][0] };
        assert_eq!(cast["verdict"], "neither will do");
        let held = list(cast, "limits_latch_set").iter().find(|limit| limit["limit"] == "matrix-held");
        assert_eq!(held.expect("the limit")["state"], "missed");
    }
}

/// A follower that leaves its cam is missed at every pace, so that no threshold or slowest pace says otherwise.
#[test]
fn program_thresholds_see_a_setting_that_cannot_work() {
    let one_way = [
        "--set",
        "cross_block.closure=one-way",
        "--set",
        "cross_block.return_force=100 N",
        "--body",
        "14pt,18pt",
    ];
    let (code, answer) = judged(&one_way);
    assert_eq!(code, 1);
    for size in list(&answer, "sizes") {
        assert_eq!(size["told_verdict"], "neither will do");
        assert_eq!(size["slowest_pace_aside_turns_per_s"]["from"], "never", "{size}");
    }
    for threshold in list(&answer["latch_wanted_from"], "by_accepted_skin") {
        assert_eq!(threshold["body_m"]["from"], "always", "{threshold}");
    }
}

/// A mould that water can no longer cool is no reason to call a search empty: it finds what there is below, or says why it cannot.
#[test]
fn program_a_search_that_meets_a_fault_says_so() {
    let drip = [&small_type(), "--body", "12pt", "--set", "cooling_water.flow=0.008 l/min"];
    let (code, answer) = judged(&drip);
    assert_eq!(code, 0);
    let size = &list(&answer, "sizes")[0];
    assert_eq!(size["told_verdict"], "leave the latch aside");
    assert!(size["slowest_pace_aside_turns_per_s"]["from"].is_number(), "{size}");
    for threshold in list(&answer["latch_wanted_from"], "by_accepted_skin") {
        let at = &threshold["body_m"];
        assert!(at["from"].is_number() || at["because"].is_string(), "{threshold}");
    }
}

/// One cast, one answer: the same lists, word for word, from either command, and the same exit code.
#[test]
fn program_judge_and_turn_say_the_same_of_a_cast() {
    for cast in [["18pt", "18"], ["24pt", "12"], ["24pt", "20"], ["36pt", "6"]] {
        let [body, pace] = cast;
        let (code, answer) = judged(&["--body", body, "--pace", pace]);
        let (other, out, _) = run(&["turn", "--body", body, "--pace", pace, "--json"]);
        let turn: Value = serde_json::from_str(&out).expect("JSON");
        let cast = &list(&answer, "casts")[0];
        for key in
            ["verdict", "deciding", "limits_latch_aside", "limits_latch_set", "lapping_limit_s", "allowed_s"]
        {
            assert!(!cast[key].is_null(), "{key}");
            assert_eq!(cast[key], turn[key], "{body} at {pace}: {key}");
        }
        assert_eq!(code, other, "{body} at {pace}");
    }
}

#[test]
fn program_judges_the_air_only_where_a_limit_is_stated() {
    let air = |answer: &Value| {
        let limits = list(&list(answer, "casts")[0], "limits_latch_set");
        limits.iter().find(|limit| limit["limit"] == "trapped-air").expect("the limit").clone()
    };
    let size = ["--body", "24pt", "--pace", "12"];
    assert_eq!(air(&judged(&size).1)["state"], "not-known");
    let (code, answer) = judged(&[&size[..], &["--set", "job.accepted_air=0.02"]].concat());
    // Never less than the 2 % of the mould that is not metal as it counts as full.
    assert_eq!((code, &air(&answer)["state"]), (1, &Value::from("missed")));
}

#[test]
fn program_says_that_a_short_sleeve_never_lets_go_and_exits_with_one() {
    let path = scenario("wrong_sleeve.toml");
    let (code, out, _) = run(&["judge", path.to_str().expect("a plain path")]);
    assert_eq!(code, 1);
    assert!(out.contains("The latch never lets go"), "{out}");
}

#[test]
fn program_finds_a_slowest_pace_that_does_and_a_slower_one_that_does_not() {
    let (_, answer) = judged(&["--body", "18pt", "--pace", "18"]);
    let slowest = &list(&answer, "sizes")[0]["slowest_pace_aside_turns_per_s"];
    let pace = 60.0 * figure(slowest, "from");
    let verdict = |pace: f64| {
        let (_, answer) = judged(&["--body", "18pt", "--pace", &pace.to_string()]);
        list(&answer, "casts")[0]["verdict"].as_str().expect("a word").to_owned()
    };
    assert_eq!(verdict(1.002 * pace), "leave the latch aside");
    assert_ne!(verdict(0.995 * pace), "leave the latch aside");
}

#[test]
fn program_refuses_bad_lists_with_one_message_and_exit_two() {
    for (option, value, wanted) in [
        ("--body", "14xx", "no unit"),
        ("--body", "-3 pt", "above zero"),
        ("--body", "0.001pt", "from 2.9 pt to 170 pt"),
        ("--body", "1e200 pt", "from 2.9 pt to 170 pt"),
        ("--pace", "60..15", "below the last"),
        ("--pace", "1..300:1", "more than"),
        ("--pace", "1e-9", "from 0.5 turns/min to 400 turns/min"),
        ("--pace", "15..1000", "from 0.5 turns/min to 400 turns/min"),
        ("--pace", "", "write"),
    ] {
        for command in ["judge", "turn"] {
            let (code, out, err) = run(&[command, &format!("{option}={value}")]);
            assert_eq!(code, 2, "{command} {option} {value}");
            assert!(out.is_empty() && err.lines().count() == 1, "{command} {option} {value}: {err}");
            assert!(command == "turn" || err.contains(wanted), "{option} {value}: {err}");
        }
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
fn program_judge_offers_no_sleeve_that_cannot_work() {
    let (code, answer) = judged(&["--body", "24pt", "--pace", "12", "--set", "latch.prong_travel=31 mm"]);
    assert_eq!(code, 1);
    let changes = &list(&answer, "sizes")[0]["changes"];
    assert!(flips(changes).iter().all(|(change, _)| change != "sleeve_m"), "{changes}");
}
