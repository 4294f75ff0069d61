//! `latchstroke fit`: a trace of a machine with other values than the scenario's, fitted, and the scenario that comes of it judged.

use super::{run, scenario};
use crate::support::recordings::{draws, normal};
use serde_json::Value;
use std::fmt::Write as _;

/// Frames a second.
const FRAMES: f64 = 240.0;
const SCATTER_MM: f64 = 0.1;

/// The piston's travel (mm) of the demo with other values, as the program solves and writes it, frame by frame over 1.7 turns.
fn filmed(set: &[&str], pace: f64) -> Vec<f64> {
    let folder = tempfile::tempdir().expect("a folder");
    let file = scenario("large_initials.toml").display().to_string();
    let (out, pace_text) = (folder.path().join("out"), format!("{pace}"));
    let out_path = out.display().to_string();
    let (code, _, err) = run(&[&["turn", &file, "--pace", &pace_text, "--out", &out_path][..], set].concat());
    assert_ne!(code, 2, "{err}");
    let mut reader = csv::Reader::from_path(out.join("trace-latch-set.csv")).expect("a trace");
    let heading = reader.headers().expect("a heading").clone();
    let column =
        |name: &str| heading.iter().position(|column| column == name).unwrap_or_else(|| panic!("{name}"));
    let (time, travel) = (column("time_s"), column("piston_travel_m"));
    let rows: Vec<(f64, f64)> = reader
        .records()
        .map(|row| {
            let row = row.expect("a row");
            (row[time].parse().expect("a time"), row[travel].parse().expect("a travel"))
        })
        .collect();
    let period = 60.0 / pace;
    let at = |t: f64| {
        let t = t.rem_euclid(period);
        let after = rows.partition_point(|row| row.0 <= t).clamp(1, rows.len() - 1);
        let (a, b) = (rows[after - 1], rows[after]);
        if b.0 > a.0 { a.1 + (b.1 - a.1) * (t - a.0) / (b.0 - a.0) } else { b.1 }
    };
    let mut draws = draws(17);
    (0..100_000)
        .map(|n| f64::from(n) / FRAMES)
        .take_while(|t| *t < 1.7 * period)
        .map(|t| 1e3 * at(t + 0.8) + SCATTER_MM * normal(&mut draws))
        .collect()
}

const ASKED: &str = "latch.prong_travel,piston.clearance,nozzle.loss";
const CHANGED: [&str; 4] = ["--set", "latch.prong_travel=7.4 mm", "--set", "piston.clearance=0.03 mm"];

#[test]
fn program_fits_a_filmed_stroke_and_writes_the_scenario() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = scenario("large_initials.toml").display().to_string();
    // Upside down, from another nought, with a gap and a slip of the finger.
    let mut table = "frame, piston (mm)\n".to_owned();
    for (n, travel) in filmed(&CHANGED, 14.0).into_iter().enumerate() {
        let slip = if n == 333 { 4.0 } else { 0.0 };
        let cell =
            if (200..230).contains(&n) { String::new() } else { format!("{:.2}", 9.0 + slip - travel) };
        writeln!(table, "{n}, {cell}").expect("a string");
    }
    let trace = folder.path().join("trace.csv");
    std::fs::write(&trace, table).expect("written");
    let (trace, out) = (trace.display().to_string(), folder.path().join("out"));
    let out_path = out.display().to_string();
    let asked = [
        "fit", &file, &trace, "--fps", "240", "--latch", "set", "--values", ASKED, "--out", &out_path,
        "--json",
    ];
    let (code, said, err) = run(&asked);
    assert_eq!(code, 0, "{err}");
    let answer: Value = serde_json::from_str(&said).expect("JSON");
    let of = |key: &str| {
        let all = answer["fitted"].as_array().expect("a list");
        let one = all.iter().find(|one| one["key"] == key).unwrap_or_else(|| panic!("{key}: {said}"));
        (one["fitted_SI"].as_f64().expect("a number"), one["standard_error_SI"].as_f64().expect("a number"))
    };
    for (key, truth) in [("latch.prong_travel", 7.4e-3), ("piston.clearance", 0.03e-3)] {
        let (value, error) = of(key);
        assert!((value - truth).abs() < 3.0 * error && error < 0.03 * truth, "{key}: {value} {error}");
    }
    let scatter = answer["scatter_of_readings"].as_f64().expect("a number");
    assert!((1e3 * scatter / SCATTER_MM - 1.0).abs() < 0.15 && answer["outliers"] == 1, "{said}");
    // The scenario reads back, says where its values come from, and the fitted ones carry tolerances.
    let fitted = out.join("fitted.toml");
    let text = std::fs::read_to_string(&fitted).expect("a scenario");
    assert_eq!(
        text.matches("# fitted").count(),
        answer["fitted"].as_array().expect("a list").len(),
        "{text}"
    );
    let (code, _, err) = run(&["check", &fitted.display().to_string()]);
    assert_eq!(code, 0, "{err}");
    assert!(out.join("fit.png").exists() && out.join("scenario.toml").exists());
}

#[test]
fn program_refuses_what_tells_nothing_and_says_what_is_wrong_with_a_table() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = scenario("large_initials.toml").display().to_string();
    let trace = folder.path().join("trace.csv");
    let trace_path = trace.display().to_string();
    let said = |table: &str, more: &[&str]| {
        std::fs::write(&trace, table).expect("written");
        run(&[&["fit", &file, &trace_path][..], more].concat())
    };
    let few = "time (ms), piston (mm)\n0, 0\n10, 1\n20, 2\n";
    let (code, out, err) = said(few, &["--latch", "set"]);
    assert_eq!((code, out.as_str()), (3, ""), "{err}");
    assert!(err.contains("too few readings (3)"), "{err}");
    for (table, more, word) in [
        ("frame, piston (mm)\n0, 0\n", &[][..], "--fps"),
        ("time (ms), piston\n0, 0\n", &[], "into the heading"),
        ("time (ms), piston (mm)\n0, zero\n", &[], "`zero` is no number"),
        ("frame, x, y\n0, 1, 1\n", &["--marks", "--fps", "30"], "--of piston"),
        (few, &["--values", "rod.fricton"], "Did you mean rod.friction?"),
        (few, &["--fps", "0"], "frames a second"),
    ] {
        let (code, out, err) = said(table, more);
        let plain = err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!((code, out.as_str()), (2, ""), "{word}: {err}");
        assert!(plain.contains(word) || plain.replace(" │ ", " ").contains(word), "{word}: {plain}");
    }
}
