//! `latchstroke wrong`: each cause told, applied by its own line and solved again, brings the observation about, and half of it does not;
//! bad words, the list in the help, JSON, exit codes.

use super::agreement::NOT_KNOWN;
use super::{run, scenario};
use latchstroke_core::studies::wrong::{HARD, SLOW, Sight};
use latchstroke_report::wrong::words;
use serde_json::Value;

/// So many of the causes told are solved again, the likeliest first: each costs two turns.
const AGAIN: usize = 4;

fn file(name: &str) -> String {
    scenario(name).display().to_string()
}

fn answer(arguments: &[&str]) -> (i32, Value) {
    let (code, out, err) = run(&[&["wrong"], arguments, &["--json"]].concat());
    (code, serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {out}{err}")))
}

fn causes(answer: &Value) -> &[Value] {
    answer["causes"].as_array().map_or(&[], Vec::as_slice)
}

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("{key} of {of}"))
}

/// A machine asked about, as `wrong` says it was cast.
struct Asked<'a> {
    file: &'a str,
    sight: Sight,
    pace: f64,
    latch: String,
}

impl Asked<'_> {
    /// The turn with one value set.
    fn turn(&self, set: Option<&str>) -> Value {
        let pace = set.and_then(|set| set.strip_prefix("job.pace=")).map(str::to_owned);
        let pace = pace.unwrap_or_else(|| format!("{} turns/min", 60.0 * self.pace));
        let mut arguments = vec!["turn", self.file, "--json", "--pace", &pace];
        arguments.extend(set.iter().flat_map(|set| ["--set", set]));
        let (_, out, err) = run(&arguments);
        serde_json::from_str(&out).unwrap_or_else(|error| panic!("{set:?}: {error}: {out}{err}"))
    }

    /// How many times over a limit is kept without its reserve; without end where nothing is known of it.
    fn kept(&self, turn: &Value, limit: &str) -> f64 {
        let all = turn[format!("limits_latch_{}", self.latch)].as_array().expect("limits");
        let of = all.iter().find(|margin| margin["limit"] == limit);
        of.and_then(|of| Some(of["factor"].as_f64()? * of["reserve"].as_f64()?)).unwrap_or(f64::INFINITY)
    }

    /// Whether it is seen, by what the turn reports.
    fn is_seen(&self, turn: &Value) -> bool {
        let solved = |turn: &Value| turn[format!("latch_{}", self.latch)].clone();
        let missed = |limits: &[&str]| limits.iter().any(|limit| self.kept(turn, limit) < 1.0);
        match self.sight {
            Sight::SlowStroke => {
                let speed = |turn: &Value| number(&solved(turn)["peaks"], "piston_speed_m_s");
                speed(&self.turn(None)) >= SLOW * speed(turn)
            }
            Sight::NoCatch => {
                let solved = solved(turn);
                let events = solved["events"].as_array().expect("events");
                let has = |kind: &str| events.iter().any(|event| event["event"] == kind);
                missed(&["latch-holds"]) || has("latch-lets-go") && !has("latch-catches")
            }
            Sight::NoRelease => missed(&["latch-trips"]),
            Sight::TwoBlows => number(&solved(turn)["throw"], "strike_speed_m_s") >= HARD,
            Sight::Squirts => number(&solved(turn), "hold_lifting_force_N") > number(turn, "hold_down_N"),
            Sight::Hollow => missed(&["filled", "bulk", "trapped-air"]),
            Sight::Lapped => missed(&["lapping"]),
            Sight::Rounded => missed(&["skin"]),
            Sight::Flashed => missed(&["matrix-held"]),
            Sight::Soft | Sight::LaterBad => missed(&["solid"]),
        }
    }
}

/// The line that goes half the way of a cause.
fn half_way(cause: &Value) -> String {
    let (now, from) = (number(cause, "now_si"), number(cause, "from_si"));
    let (key, value) = cause["set"].as_str().and_then(|set| set.split_once('=')).expect("a line to type");
    let (typed, unit) = value.split_once(' ').unwrap_or((value, ""));
    let typed: f64 = typed.parse().expect("a number");
    let stands = if unit == "degC" { now - 273.15 } else { typed * now / from };
    format!("{key}={} {unit}", 0.5 * (stands + typed)).trim_end().to_owned()
}

/// Every cause told does it, and half of it does not; how many there were.
fn does_what_it_says(name: &str, sight: Sight) -> usize {
    let file = file(name);
    let (code, told) = answer(&[&file, "--saw", words(sight)]);
    assert_eq!((code, &told["as_stated"]), (0, &Value::Bool(false)), "{told}");
    let latch = told["latch"].as_str().expect("a setting").trim_start_matches("latch ").to_owned();
    let asked = Asked { file: &file, sight, pace: number(&told, "pace_turns_per_s"), latch };
    assert!(!asked.is_seen(&asked.turn(None)), "{name} as stated: {}", words(sight));
    let chances: Vec<f64> = causes(&told).iter().map(|of| of["chance"].as_f64().unwrap_or(2.0)).collect();
    assert!(chances.is_sorted_by(|a, b| a >= b), "{chances:?}");
    for cause in causes(&told).iter().take(AGAIN) {
        let set = cause["set"].as_str().expect("a line to type");
        assert!(asked.is_seen(&asked.turn(Some(set))), "{name}, {}: {set} does not", words(sight));
        // A piece is in its place or not: there is no half way.
        if cause["another_piece"] == false {
            let half = half_way(cause);
            assert!(!asked.is_seen(&asked.turn(Some(&half))), "{name}, {}: {half} does", words(sight));
        }
    }
    causes(&told).len()
}

#[test]
fn program_causes_told_of_the_latch_do_what_they_say() {
    assert!(does_what_it_says("large_initials.toml", Sight::NoRelease) > 0);
    assert!(does_what_it_says("large_initials.toml", Sight::NoCatch) > 0);
    assert!(does_what_it_says("first_evening.toml", Sight::NoCatch) > 0);
}

#[test]
fn program_causes_told_of_the_stroke_do_what_they_say() {
    assert!(does_what_it_says("large_initials.toml", Sight::SlowStroke) > 0);
    assert!(does_what_it_says("first_evening.toml", Sight::NoRelease) > 0);
    assert!(does_what_it_says("large_initials.toml", Sight::TwoBlows) > 0);
}

#[test]
fn program_causes_told_of_the_type_do_what_they_say() {
    assert!(does_what_it_says("large_initials.toml", Sight::Flashed) > 0);
    assert!(does_what_it_says("large_initials.toml", Sight::Soft) > 0);
    assert!(does_what_it_says("first_evening.toml", Sight::Rounded) > 0);
}

#[test]
fn program_a_machine_that_shows_it_already_says_so() {
    // The demo's sleeve is then longer than the room to the prongs.
    let arguments = ["--saw", "latch does not catch", "--set", "stack.sleeve=3 in"];
    let (code, told) = answer(&arguments);
    assert_eq!(
        (code, &told["as_stated"], &told["missed_as_stated"]),
        (0, &true.into(), &"latch-holds".into())
    );
    assert!(causes(&told).is_empty());
    let (_, out, _) = run(&[&["wrong"], &arguments[..]].concat());
    assert!(out.contains("The machine as stated does this, with nothing changed."), "{out}");
}

#[test]
fn program_what_is_not_stated_is_not_blamed_on_the_turn() {
    let file = file("first_evening.toml");
    let (code, told) = answer(&[&file, "--saw", "metal squirts"]);
    assert_eq!((code, &told["known"], &told["because"]), (3, &false.into(), &"not stated".into()));
    let (code, out, _) = run(&["wrong", &file, "--saw", "type flashed"]);
    assert_eq!(code, 3);
    assert!(out.contains("`hold_down` in [mould] is not stated") && !out.contains("trusted"), "{out}");
}

/// A change with which the turn cannot be solved is told as such: it is neither a cause nor none.
#[test]
fn program_tells_the_changes_of_which_nothing_is_known() {
    // A machine that can be turned, until its nozzle has worn as far as is looked at: 1.3 times.
    let asked =
        NOT_KNOWN.map(|word| match word.strip_prefix("nozzle.bore=").and_then(|b| b.strip_suffix(" mm")) {
            Some(worn) => format!("nozzle.bore={:.5} mm", worn.parse::<f64>().expect("a bore") / 1.3),
            None => word.to_owned(),
        });
    let cast = ["--body", "24pt", "--pace", "12"];
    let asked: Vec<&str> = cast.into_iter().chain(asked.iter().map(String::as_str)).collect();
    let saw = [&asked[..], &["--saw", "latch does not let go"]].concat();
    let (code, told) = answer(&saw);
    assert_eq!((code, &told["known"], causes(&told).is_empty()), (0, &true.into(), false), "{told}");
    let unknown = told["not_known"].as_array().expect("what is not known");
    let lines: Vec<&str> = unknown.iter().filter_map(|of| of["set"].as_str()).collect();
    assert!(lines.len() == 1 && lines[0].starts_with("nozzle.bore=49.9"), "{lines:?}");
    let (code, ..) = run(&[&["turn"], &asked[..], &["--set", lines[0]]].concat());
    assert_eq!(code, 3, "{lines:?}");
    let (_, out, _) = run(&[&["wrong"], &saw[..]].concat());
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    let wanted = "the turn could not be solved so that it can be trusted: The nozzle's bore 49.9";
    assert!(out.contains(wanted), "{out}");
}

/// Springs that do not go into their gap are no turn that could not be solved.
#[test]
fn program_a_machine_that_has_no_room_for_its_springs_is_told_as_such() {
    let (code, out, err) =
        run(&["wrong", "--body", "24pt", "--set", "stack.extension=0 in", "--saw", "latch does not let go"]);
    assert_eq!(code, 3, "{out}{err}");
    assert!(out.contains("Not known: the springs do not go into their gap."), "{out}");
}

#[test]
fn program_says_so_when_no_cause_is_likely() {
    let file = file("large_initials.toml");
    let (_, told) = answer(&[&file, "--saw", "type hollow"]);
    assert!(causes(&told).iter().all(|cause| number(cause, "chance") < 0.01), "{told}");
    let (_, out, _) = run(&["wrong", &file, "--saw", "hollow"]);
    assert!(out.contains("None is likely"), "{out}");
    assert!((1..=3).contains(&out.matches("Look: ").count()), "{out}");
}

#[test]
fn program_takes_what_is_on_its_list_and_nothing_else() {
    let (code, help, _) = run(&["wrong", "--help"]);
    assert_eq!(code, 0);
    let listed: Vec<&str> = help
        .lines()
        .skip_while(|line| !line.starts_with("What --saw takes:"))
        .skip(1)
        .filter_map(|line| line.strip_prefix("  ")?.split("  ").next())
        .filter(|word| !word.is_empty())
        .collect();
    let known: Vec<&str> = Sight::ALL.iter().map(|sight| words(*sight)).collect();
    assert!(known.iter().all(|word| listed.contains(word)), "{listed:?}");
    let (code, out, _) = run(&["wrong"]);
    assert_eq!(code, 0);
    assert!(known.iter().all(|word| out.contains(word)), "{out}");
    let (code, out, err) = run(&["wrong", "--saw", "type holow"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("Did you mean \"type hollow\"?"), "{err}");
    assert!(known.iter().all(|word| err.contains(word)), "{err}");
}
