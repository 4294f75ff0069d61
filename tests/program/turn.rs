//! `latchstroke turn`.

use super::{latchstroke, run};
use std::fs;

const SETS: [&str; 4] = ["--set", "job.body=24 pt", "--set", "job.pace=20 turns/min"];

#[test]
fn program_reports_a_turn_side_by_side_with_its_events_in_order() {
    let (code, out, err) = run(&[&["turn"], &SETS[..]].concat());
    assert_eq!(code, 0, "{err}");
    for line in [
        "fill time, entry to 98 % full",
        "latch lets go",
        "mould full",
        "entry sealed",
        "Verdict: set the latch",
    ] {
        assert!(out.contains(line), "no \"{line}\" in\n{out}");
    }
    let set = &out[out.find("Events, latch set").expect("events")..];
    let places: Vec<usize> =
        ["latch lets go", "inlet closes", "metal enters the mould", "mould full", "entry sealed"]
            .iter()
            .map(|event| set.find(event).expect("the event"))
            .collect();
    assert!(places.is_sorted(), "{set}");
}

#[test]
fn program_writes_traces_charts_and_a_scenario_that_gives_the_same_turn() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("results");
    let path = out.to_str().expect("a plain path");
    let (code, first, err) = run(&[&["turn", "--json", "--out", path], &SETS[..]].concat());
    assert_eq!(code, 0, "{err}");
    let mut names: Vec<String> = fs::read_dir(&out)
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name().into_string().expect("text"))
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "fill-and-skin.png",
            "fill-and-skin.svg",
            "piston-speed.png",
            "piston-speed.svg",
            "pressure.png",
            "pressure.svg",
            "scenario.toml",
            "trace-latch-aside.csv",
            "trace-latch-set.csv",
            "travel.png",
            "travel.svg"
        ]
    );
    let trace = fs::read_to_string(out.join("trace-latch-set.csv")).expect("the trace");
    assert!(trace.starts_with("time_s,shaft_angle_deg,cam_lift_m,"));
    let angles: Vec<f64> = trace
        .lines()
        .skip(1)
        .map(|line| line.split(',').nth(1).and_then(|cell| cell.parse().ok()).expect("an angle"))
        .collect();
    assert!(angles.len() > 700 && angles.is_sorted());
    assert!((angles[angles.len() - 1] - 360.0).abs() < 1e-6);

    // The resolved scenario stands for the overrides: the same turn comes of it.
    let resolved = out.join("scenario.toml");
    let (code, second, _) = run(&["turn", "--json", resolved.to_str().expect("a plain path")]);
    assert_eq!(code, 0);
    assert_eq!(first, second);
}

#[test]
fn program_never_writes_over_files_unless_asked() {
    let folder = tempfile::tempdir().expect("a folder");
    let theirs = folder.path().join("travel.png");
    fs::write(&theirs, "mine").expect("a file");
    let path = folder.path().to_str().expect("a plain path");
    let (code, out, err) = run(&["turn", "--out", path]);
    assert_eq!(code, 2);
    assert!(out.is_empty() && err.contains("travel.png") && err.contains("--force"), "{err}");
    assert_eq!(fs::read(&theirs).expect("the file"), b"mine");
    assert_eq!(fs::read_dir(folder.path()).expect("the folder").count(), 1, "nothing else was written");
    let (code, ..) = run(&["turn", "--out", path, "--force"]);
    assert_ne!(code, 2);
    assert!(fs::read(&theirs).expect("the file").starts_with(b"\x89PNG"));
}

#[test]
fn program_draws_the_same_pictures_with_no_font_on_the_machine() {
    let pictures = |home: &str| {
        let folder = tempfile::tempdir().expect("a folder");
        let mut command = latchstroke();
        command.env_clear().env("HOME", home).env("FONTCONFIG_FILE", "/nonexistent");
        command.args(["turn", "--out"]).arg(folder.path().join("o"));
        assert_ne!(command.output().expect("the program starts").status.code(), Some(2));
        fs::read(folder.path().join("o/travel.png")).expect("the picture")
    };
    assert_eq!(pictures("/nonexistent"), pictures("/"));
}

#[test]
fn program_counts_a_reader_that_went_away_as_success() {
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_latchstroke"))
        .arg("schema")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("the program ends");
    assert!(output.status.success());
    assert!(output.stderr.is_empty());
}
