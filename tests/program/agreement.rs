//! One judgement: for the same machine and cast every command says the same verdict, the same limit that decides, and ends with the
//! same exit code.

use super::{measured, run, scenario};
use latchstroke_core::Limit;
use latchstroke_report::limits;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use serde_json::Value;

/// How many machines and casts are compared.
const CASTS: usize = 20;

/// A machine with other values than its file has, and a cast.
#[derive(Debug)]
struct Asked {
    /// The options that every command is given.
    options: Vec<String>,
    /// Whether the trip lift hangs on a sleeve; else `sleeve` has no answer.
    has_sleeve: bool,
}

/// The same machines every time: the scenarios in turn, each with values drawn for several keys.
fn asked(count: usize) -> Vec<Asked> {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[29; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let files = [
        scenario("large_initials.toml"),
        scenario("first_evening.toml"),
        measured(),
        scenario("known_casts.toml"),
        scenario("wrong_sleeve.toml"),
        scenario("small_type.toml"),
    ];
    let drawn =
        (2.2..2.85_f64, 315.0..375.0_f64, 500.0..1200.0_f64, 0.2..0.8_f64, 0.0..1.0_f64, 0.0..1.0_f64);
    (0..count)
        .map(|n| {
            let (sleeve, pot, hold_down, skin, size, pace) =
                drawn.new_tree(&mut runner).expect("values").current();
            let file = &files[n % files.len()];
            let has_sleeve = !file.ends_with("small_type.toml");
            // From small to large as such a machine casts them, about as fast as they cool and twice as fast.
            let (body, pace) = if has_sleeve {
                let body = 12.0 + 24.0 * size;
                (body, (1.0 + pace) * 5000.0 / body.powf(2.0))
            } else {
                (6.0 + 6.0 * size, 60.0 + 60.0 * pace)
            };
            let mut options = vec![file.to_str().expect("a plain path").to_owned()];
            options.extend(["--body".to_owned(), format!("{body:.2} pt"), "--pace".to_owned()]);
            options.push(format!("{pace:.2} turns/min"));
            let mut set = vec![
                format!("metal.pot_temperature={pot:.1} degC"),
                format!("mould.hold_down={hold_down:.0} N ± 20 N"),
                format!("job.accepted_skin={skin:.3} mm"),
            ];
            // A machine whose sleeve is wrong keeps it.
            if has_sleeve && !file.ends_with("wrong_sleeve.toml") {
                set.extend([
                    format!("stack.sleeve={sleeve:.3} in"),
                    format!("stack.extension={sleeve:.3} in"),
                ]);
            }
            options.extend(set.into_iter().flat_map(|value| ["--set".to_owned(), value]));
            Asked { options, has_sleeve }
        })
        .collect()
}

/// Runs a command, `more` behind the options that all are given.
fn ran(command: &str, asked: &Asked, more: &[&str]) -> (i32, String) {
    let options = asked.options.iter().map(String::as_str);
    let all: Vec<&str> = std::iter::once(command).chain(options).chain(more.iter().copied()).collect();
    let (code, out, err) = run(&all);
    assert_ne!(code, 2, "{all:?}: {err}");
    (code, out)
}

/// What a command says to a program: exit code, verdict, and the limit that decides.
fn said(command: &str, asked: &Asked, more: &[&str], find: impl Fn(&Value) -> &Value) -> (i32, Value, Value) {
    let (code, out) = ran(command, asked, more);
    let answer: Value = serde_json::from_str(&out).unwrap_or_else(|error| panic!("{command}: {error}"));
    let found = find(&answer);
    (code, found["verdict"].clone(), found["deciding"].clone())
}

#[test]
fn program_every_command_gives_the_judges_verdict_limit_and_exit_code() {
    let mut verdicts: Vec<String> = Vec::new();
    let mut deciding: Vec<String> = Vec::new();
    for asked in asked(CASTS) {
        let judged = said("judge", &asked, &["--json"], |answer| &answer["casts"][0]);
        let mut others = vec![
            ("turn", said("turn", &asked, &["--json"], |answer| answer)),
            ("preload", said("preload", &asked, &["--json"], |answer| &answer["judged"])),
            ("pace", said("pace", &asked, &["--json"], |answer| &answer["sizes"][0])),
            ("tolerance", said("tolerance", &asked, &["--json", "--turns", "300"], |answer| answer)),
        ];
        if asked.has_sleeve {
            others.push(("sleeve", said("sleeve", &asked, &["--json"], |answer| &answer["casts"][0]["now"])));
        }
        for (command, other) in others {
            assert_eq!(other, judged, "{command}: {:?}", asked.options);
        }
        let (_, out) = ran("pace", &asked, &["--json"]);
        windows_agree(&serde_json::from_str(&out).expect("JSON"), &asked);
        verdicts.push(judged.1.as_str().expect("a verdict").to_owned());
        deciding.push(judged.2.as_str().expect("a limit").to_owned());
    }
    // The test says something only where each answer comes up, and for more than one reason.
    for verdict in ["leave the latch aside", "set the latch", "neither will do"] {
        assert!(verdicts.iter().filter(|other| *other == verdict).count() >= 2, "{verdict}: {verdicts:?}");
    }
    deciding.sort();
    deciding.dedup();
    assert!(deciding.len() >= 4, "{deciding:?}");
}

/// The window of paces in which the cast's own pace lies is that of its verdict.
fn windows_agree(answer: &Value, asked: &Asked) {
    let size = &answer["sizes"][0];
    let pace = size["pace_turns_per_s"].as_f64().expect("a pace");
    // Twice the closeness to which an end is found.
    let close = 1.001;
    let inside = |key: &str| {
        let end = |window: &Value, n: usize| window[n].as_f64().expect("a pace");
        let windows = size[key].as_array().expect("windows");
        windows.iter().any(|window| end(window, 0) / close <= pace && pace <= end(window, 1) * close)
    };
    let soft = size["cooling_limit_turns_per_s"].as_f64().is_none_or(|limit| pace * close > limit);
    let agrees = match size["verdict"].as_str().expect("a verdict") {
        "leave the latch aside" => inside("latch_aside_turns_per_s"),
        "set the latch" => inside("latch_set_turns_per_s"),
        "neither will do" => soft || inside("neither_turns_per_s"),
        _ => inside("not_known_turns_per_s"),
    };
    assert!(agrees, "{:?}: {size:#}", asked.options);
}

/// The commands that make files say in their headline what the judge says, and end as it does.
#[test]
fn program_pictures_and_pages_say_what_the_judge_says() {
    for asked in asked(3) {
        let (code, verdict, deciding) = said("judge", &asked, &["--json"], |answer| &answer["casts"][0]);
        let limit =
            Limit::ALL.iter().copied().find(|&limit| limits::key(limit) == deciding).expect("a limit");
        let headline =
            format!(": {}; {} decides,", verdict.as_str().expect("a verdict"), limits::name(limit));
        let folder = tempfile::tempdir().expect("a folder");
        for (command, more) in [("film", &["--frames", "12"][..]), ("talk", &[]), ("parts", &[])] {
            let out = folder.path().join(command);
            let more = [more, &["--out", out.to_str().expect("a plain path")]].concat();
            let (ended, out) = ran(command, &asked, &more);
            let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(words.contains(&headline), "{command}, {headline}: {out}");
            // Pieces for a latch that cannot do its work, or a joint that does not hold, are no use whatever is cast.
            let may_differ = command == "parts" && ended == 1 && out.contains("! ");
            assert!(ended == code || may_differ, "{command} ended with {ended}, not {code}: {out}");
        }
        let out = folder.path().join("handout");
        assert_eq!(ran("handout", &asked, &["--out", out.to_str().expect("a plain path")]).0, code);
    }
}

/// Values so wild that the turn cannot be solved so that it can be trusted: a hole for a nozzle, and a stop as soft as a spring. Should
/// the solver learn to turn this machine too, a search about it finds others.
pub(super) const NOT_KNOWN: [&str; 12] = [
    "--set",
    "channel.bore=50 mm",
    "--set",
    "nozzle.bore=49.9 mm",
    "--set",
    "rod.stop_stiffness=325 N/mm",
    "--set",
    "rod.stop_damping=6.329 N s/m",
    "--set",
    "rod.mass=1.0856 kg",
    "--set",
    "spring[1].active_coils=1",
];

/// What is not known is no “neither will do”: every command says so and ends with the exit code that does.
#[test]
fn program_every_command_says_what_it_does_not_know() {
    let cast = [&["--body", "24pt", "--pace", "12"][..], &NOT_KNOWN].concat();
    for (command, options) in [
        ("judge", &cast[..]),
        ("turn", &cast),
        ("pace", &cast),
        ("parts", &cast),
        ("preload", &cast),
        ("sleeve", &cast),
        ("tolerance", &cast),
        ("check", &NOT_KNOWN),
    ] {
        let (code, out, err) = run(&[&[command], options].concat());
        assert_eq!(code, 3, "{command}: {out}{err}");
        assert!(!out.contains("neither will do") && !out.contains("NaN"), "{command}: {out}");
        if ["judge", "turn", "pace", "parts", "tolerance"].contains(&command) {
            assert!(out.contains("no verdict: a turn could not be solved"), "{command}: {out}");
        }
    }
}

/// Where no pace is asked for, each command but those that show the scenario's own cast goes by the pace at which the size is really
/// cast, and says so; those that show it say that the judge goes by another.
#[test]
fn program_without_a_pace_every_command_goes_by_the_real_one() {
    let file = scenario("large_initials.toml");
    let asked = |body: &str| Asked {
        options: vec![file.to_str().expect("a plain path").to_owned(), "--body".to_owned(), body.to_owned()],
        has_sleeve: true,
    };
    let asked = asked("30pt");
    let pace = |command: &str, more: &[&str], find: &dyn Fn(&Value) -> Value| -> f64 {
        let answer: Value = serde_json::from_str(&ran(command, &asked, more).1).expect("JSON");
        find(&answer)["pace_turns_per_s"].as_f64().expect("a pace")
    };
    let real = pace("judge", &["--json"], &|answer| answer["casts"][0].clone());
    let is_real =
        |pace: f64| assert!((pace / real - 1.0).abs() < 1e-12, "{pace} turns/s, {real} by the judge");
    // 30 pt is not solid at the scenario's own 12 turns/min.
    assert!(real < 0.95 * 12.0 / 60.0, "{real}");
    is_real(pace("sleeve", &["--json"], &|answer| answer["casts"][0].clone()));
    is_real(pace("pace", &["--json"], &|answer| answer["sizes"][0].clone()));
    is_real(pace("preload", &["--json"], &Value::clone));
    is_real(pace("tolerance", &["--json", "--turns", "200"], &Value::clone));
    for (command, more) in [("preload", &[][..]), ("tolerance", &["--turns", "200"]), ("parts", &[])] {
        let words = ran(command, &asked, more).1.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("at which it is really cast"), "{command}: {words}");
    }
    let words = ran("turn", &asked, &[]).1.split_whitespace().collect::<Vec<_>>().join(" ");
    let soft = "This is the scenario's own pace, at which the type is not solid as the mould opens;";
    assert!(words.contains(soft), "{words}");
}

/// The size from which the latch is wanted, and the largest that is cast, are the judge's in `pace` and on its map.
#[test]
fn program_the_sizes_that_pace_names_are_those_the_judge_names() {
    let read = |arguments: &[&str]| -> Value { serde_json::from_str(&run(arguments).1).expect("JSON") };
    let paces = read(&["pace", "--json"]);
    let judged = read(&["judge", "--json"]);
    let wanted = judged["latch_wanted_from"]["by_accepted_skin"][1]["body_m"]["from"].as_f64();
    assert_eq!(paces["too_large_latch_aside_body_m"]["from"].as_f64(), wanted);
    let points = |key: &str| paces[key]["from"].as_f64().expect("a size") / (0.013837 * 0.0254);
    for (key, within, beyond) in [
        ("too_large_latch_aside_body_m", "leave the latch aside", "set the latch"),
        ("too_large_latch_set_body_m", "set the latch", "neither will do"),
    ] {
        // Half a per cent in size either side: ten times as much as it is found to.
        let list = format!("{:.4}pt,{:.4}pt", 0.995 * points(key), 1.005 * points(key));
        let around = read(&["judge", "--body", &list, "--json"]);
        let verdicts = [0, 1].map(|n| around["casts"][n]["verdict"].as_str().expect("a verdict").to_owned());
        assert_eq!(verdicts, [within, beyond], "{key}: {list}");
    }
}
