//! `latchstroke calibrate`, and how sure `judge` is by it.

use super::{run, scenario};
use latchstroke_core::studies::calibrate::{calibrate, outlooks};
use latchstroke_core::studies::watch::Unwatched;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, POINT, Pace};
use latchstroke_plots::Marks;
use latchstroke_report::calibrate::Answer;
use latchstroke_report::calibrate::chart::chances;
use latchstroke_report::owner::OwnerUnits;
use latchstroke_scenario::read;
use latchstroke_scenario::stated;
use latchstroke_scenario::stated::experience::{experiences, priors};
use serde_json::Value;
use std::fs;

/// One size at two paces beside the casts that are remembered.
const FEW: [&str; 4] = ["--body", "18pt", "--pace", "12,20"];

fn known_casts() -> String {
    scenario("known_casts.toml").to_str().expect("a plain path").to_owned()
}

fn json(arguments: &[&str]) -> Value {
    let (code, out, err) = run(arguments);
    assert_eq!(code, 0, "{err}");
    serde_json::from_str(&out).expect("JSON")
}

#[test]
fn program_reads_skin_and_heat_from_casts_and_names_the_one_that_does_not_fit() {
    let path = known_casts();
    let (code, out, err) = run(&[&["calibrate", &path], &FEW[..]].concat());
    assert_eq!(code, 0, "{err}");
    let text = fs::read_to_string(&path).expect("the file");
    let lines: Vec<&str> = text.lines().collect();
    let remark = lines.iter().position(|line| line.starts_with("# This does not fit")).expect("the odd one");
    // Lines count from one, and the body stands two lines below the remark.
    assert!(lines[remark + 2].starts_with("body"));
    let odd = remark + 3;
    assert!(out.contains(&format!("! Line {odd}: 18 pt at 12 turns/min")), "{out}");
    assert!(out.contains("latchstroke cautions"), "{out}");
    // The line to carry over is one that a scenario takes.
    let carried =
        out.split("accepted_skin = \"").nth(1).and_then(|rest| rest.split('"').next()).expect("the line");
    assert!(carried.contains('±'), "{carried}");
    let (code, _, err) = run(&["check", &path, "--set", &format!("job.accepted_skin={carried}")]);
    assert_eq!(code, 0, "{err}");
    // Neighbouring sizes with one odd entry do not tell the clocks apart, and that is said.
    assert!(out.contains("Your casts do not tell lapping and skin apart"), "{out}");
}

#[test]
fn program_answers_a_program_the_same_whatever_the_number_of_threads() {
    let path = known_casts();
    let with = |threads: &str| {
        let mut command = super::latchstroke();
        command.env("RAYON_NUM_THREADS", threads).args(["calibrate", &path, "--json"]).args(FEW);
        command.output().expect("the program starts").stdout
    };
    let one = with("1");
    assert_eq!(one, with("2"));
    let answer: Value = serde_json::from_slice(&one).expect("JSON");
    let number = |value: &Value| value.as_f64().expect("a number");
    for name in ["accepted_skin_m", "heat_transfer_W_m2K"] {
        let deviation = |when: &str| number(&answer[when][name]["log_deviation"]);
        assert!(deviation("after") < deviation("before"), "{name}");
        let after = &answer["after"][name];
        assert!(
            number(&after["p05"]) < number(&after["median"])
                && number(&after["median"]) < number(&after["p95"])
        );
    }
    // Each contradiction pairs the odd entry, the sixth, with a failed one.
    let pairs = answer["contradictions"].as_array().expect("a list");
    assert!(!pairs.is_empty() && pairs.iter().all(|pair| pair["sound"] == 6), "{pairs:?}");
    assert_eq!(answer["expected"].as_array().map(Vec::len), Some(4));
    assert_eq!(answer["clock"]["speaks_for"], "neither");
    let ratio = number(&answer["clock"]["lapping_over_skin"]);
    let logs = ["log_evidence_lapping", "log_evidence_skin"].map(|key| number(&answer["clock"][key]));
    assert!((ratio.ln() - (logs[0] - logs[1])).abs() < 1e-9, "{ratio} {logs:?}");
}

#[test]
fn program_casts_that_are_remembered_take_doubt_from_the_verdict() {
    let folder = tempfile::tempdir().expect("a folder");
    let least = fs::read_to_string(scenario("first_evening.toml")).expect("the file");
    let told = |name: &str, text: &str| -> f64 {
        let path = folder.path().join(name);
        fs::write(&path, text).expect("writes");
        let answer = json(&["judge", path.to_str().expect("a plain path"), "--body", "18pt", "--json"]);
        answer["odds"]["sizes"][0]["share"].as_f64().expect("a share")
    };
    let cast = |pace: u32| {
        format!(
            "\n[[experience]]\nbody = \"18 pt\"\npace = \"{pace} turns/min\"\nlatch = \"aside\"\nresult = \"sound\"\n"
        )
    };
    let without = told("without.toml", &least);
    let with = told("with.toml", &format!("{least}{}{}", cast(20), cast(17)));
    // It is told to leave the latch aside, and casts came out sound so at about that pace.
    assert!(with > without + 0.05, "{with} with casts, {without} without");
}

#[test]
fn program_without_casts_says_what_to_write_and_exits_with_two() {
    let (code, out, err) = run(&["calibrate"]);
    assert_eq!(code, 2);
    assert!(out.is_empty());
    for wanted in ["[[experience]]", "body = ", "pace = ", "latch = ", "result = "] {
        assert!(err.contains(wanted), "{err}");
    }
    // The example works as it stands.
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("mine.toml");
    let example: Vec<&str> = err.lines().skip_while(|line| !line.starts_with("[[")).take(6).collect();
    let demo = fs::read_to_string(scenario("large_initials.toml")).expect("the demo");
    fs::write(&path, format!("{demo}\n{}\n", example.join("\n"))).expect("a file");
    let (code, out, err) = run(&[&["calibrate", path.to_str().expect("a plain path")], &FEW[..]].concat());
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("what your one cast says"), "{out}");
}

#[test]
fn program_refuses_entries_that_cannot_be() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("bad.toml");
    let good = fs::read_to_string(scenario("known_casts.toml")).expect("the file");
    for (old, new, wanted) in [
        ("fault = \"not solid\"", "fault = \"blistered\"", "is not among the choices"),
        (
            "result = \"failed\"\nfault = \"not solid\"",
            "result = \"sound\"\nfault = \"not solid\"",
            "a sound type has no fault",
        ),
        ("pot_temperature = \"365 degC\"", "pot_temperature = \"260 degC\"", "must be molten"),
        ("sure = \"80 %\"", "sure = \"30 %\"", "is out of range"),
    ] {
        assert!(good.contains(old), "{old}");
        fs::write(&path, good.replacen(old, new, 1)).expect("a file");
        let (code, out, err) = run(&["calibrate", path.to_str().expect("a plain path")]);
        assert_eq!(code, 2, "{new}");
        assert!(out.is_empty());
        assert!(err.contains(wanted) && err.contains("1 mistake in"), "{new}: {err}");
    }
}

/// In the picture the cast that does not fit is hollow and named with its line, and no other is; where its size is not drawn, the
/// source line names it.
#[test]
fn program_marks_the_cast_that_does_not_fit_in_the_picture() {
    let scenario = read("casts", &fs::read_to_string(known_casts()).expect("the file"), &[]).expect("good");
    let (machine, terms) = (stated::machine(&scenario), stated::terms(&scenario));
    let calibration = calibrate(&machine, priors(&scenario), &terms, &experiences(&scenario), &Unwatched)
        .expect("a good machine")
        .expect("not called off");
    let against = calibration.casts.iter().filter(|cast| cast.foreseen.is_some_and(|chance| chance < 0.2));
    let lines: Vec<usize> = against.filter_map(|cast| cast.experience.line).collect();
    assert_eq!(lines.len(), 1, "{lines:?}");
    let answer = Answer {
        machine: "casts".to_owned(),
        further: Vec::new(),
        calibration,
        priors: priors(&scenario),
        stated: latchstroke_report::calibrate::stated(&scenario).expect("both"),
        outlooks: Vec::new(),
    };
    let drawn = |body: f64| {
        let length = Length(body * POINT);
        let sort = Sort { body: length, set: length };
        let curves = outlooks(&machine, &[sort], &[Pace(0.2)], &terms, &answer.calibration, &Unwatched)
            .expect("a good machine")
            .expect("not called off");
        chances(&answer, &curves, 1, &OwnerUnits::of(&scenario), "source.")
    };
    let chart = drawn(18.0);
    let series: Vec<_> = chart.body.panels.iter().flat_map(|panel| &panel.series).collect();
    let hollow: Vec<_> = series.iter().filter(|series| series.markers == Marks::Hollow).collect();
    assert_eq!(hollow.len(), 1, "{series:?}");
    assert_eq!(hollow[0].label.replace('\u{a0}', " "), format!("line {}: does not fit", lines[0]));
    // Two more of this size fit.
    let marks =
        series.iter().filter(|series| series.markers == Marks::Solid).flat_map(|series| &series.points);
    assert_eq!(marks.count(), 2, "{series:?}");
    let laid = latchstroke_plots::layout(&chart, &latchstroke_plots::Theme::light()).expect("room");
    assert!(laid.omitted.is_empty(), "{:?}", laid.omitted);
    let other = drawn(24.0);
    assert!(
        other
            .body
            .panels
            .iter()
            .flat_map(|panel| &panel.series)
            .all(|series| series.markers != Marks::Hollow)
    );
    assert!(other.source.contains(&format!("unlikely: line {}", lines[0])), "{}", other.source);
}

#[test]
fn program_draws_the_chances_and_does_not_write_over_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("results");
    let out = out.to_str().expect("a plain path");
    let path = known_casts();
    let asked = [&["calibrate", &path, "--out", out], &FEW[..]].concat();
    let (code, _, err) = run(&asked);
    assert_eq!(code, 0, "{err}");
    assert!(!err.contains("no room"), "{err}");
    let svg = fs::read_to_string(folder.path().join("results/chances.svg")).expect("the chart");
    assert!(roxmltree::Document::parse(&svg).is_ok());
    assert_eq!(run(&asked).0, 2);
}
