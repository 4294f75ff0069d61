//! `latchstroke reading`: bench measurements made into lines of scenario and into scenarios that read back.

use super::{measured, run, scenario};
use serde_json::Value;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

/// Twelve readings of a spring of 9.6 N/mm and 146.2 mm, on scales in kilograms; the first while its ends seat, the last with coils touching.
pub(super) fn spring(folder: &Path) -> PathBuf {
    let mut table = "load (kg),length (mm)\n".to_owned();
    for n in 0..12 {
        let length = 142.0 - 6.0 * f64::from(n);
        let more = [12.0, 0.0, 80.0][usize::from(n > 0) + usize::from(n == 11)];
        // A tenth of a kilogram up and down, as scales show it.
        let load = (9.6 * (146.2 - length) + more) / 9.80665 + 0.08 * f64::from(n % 3 - 1);
        writeln!(table, "{load:.1},{length}").expect("a string");
    }
    let path = folder.join("spring.csv");
    fs::write(&path, table).expect("written");
    path
}

/// Two runs round a cam of 1 1/4 in, each from a nought of its own, read on to 360°, the second a thousandth off there.
pub(super) fn cam(folder: &Path) -> PathBuf {
    let lift = |degrees: f64| {
        let rise = |u: f64| 0.5 * (1.0 - (std::f64::consts::PI * u.clamp(0.0, 1.0)).cos());
        1.25 * (rise((degrees - 20.0) / 100.0) - rise((degrees - 200.0) / 100.0))
    };
    let mut table = "angle (deg), run 1 (in), run 2\n".to_owned();
    for n in 0..=36 {
        let degrees = f64::from(10 * n);
        let shake = 0.0005 * f64::from(n % 3 - 1);
        writeln!(
            table,
            "{degrees}, {:.4}, {:.4}",
            lift(degrees) + shake,
            0.1 + lift(degrees) + 0.001 * f64::from(n) / 36.0
        )
        .expect("a string");
    }
    let path = folder.join("dial.csv");
    fs::write(&path, table).expect("written");
    path
}

fn text(path: &Path) -> String {
    path.display().to_string()
}

#[test]
fn program_a_spring_on_scales_becomes_lines_and_a_scenario() {
    let folder = tempfile::tempdir().expect("a folder");
    let (table, file) = (text(&spring(folder.path())), text(&scenario("large_initials.toml")));
    let out = folder.path().join("mine.toml");
    let (code, said, err) =
        run(&["reading", "spring", &table, "--scenario", &file, "--at", "111 mm", "--out", &text(&out)]);
    assert_eq!(code, 0, "{err}");
    let plain = said.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "[[spring]]",
        "rate = \"9.",
        "free_length = \"146.",
        "preload = \"3",
        "line 2",
        "line 13",
        "ends still seat",
        "coils touch",
    ] {
        assert!(plain.contains(words), "{words}: {said}");
    }
    // Held against the wire that the demo states: 10.1 N/mm.
    assert!(
        plain.contains("By wire and coils the scenario makes it 10.1 N/mm") && plain.contains("% less"),
        "{said}"
    );
    let (_, json, _) = run(&["reading", "spring", &table, "--json"]);
    let answer: Value = serde_json::from_str(&json).expect("JSON");
    let of = |key: &str| answer[key].as_f64().unwrap_or_else(|| panic!("{key}: {json}"));
    assert!(
        (of("rate_N_m") - 9600.0).abs() < of("rate_half_interval_N_m")
            && of("rate_half_interval_N_m") < 200.0
    );
    assert!((of("bears_nothing_at_m") - 0.1462).abs() < of("bears_nothing_half_interval_m"), "{json}");
    assert_eq!(answer["left_out_lines"], serde_json::json!([2, 13]));
    // The file has them in place of the coils, says where they come from, and reads back; it goes by its gap, so that no preload is in it.
    let written = fs::read_to_string(&out).expect("a scenario");
    assert!(written.contains("# measured: 10 readings") && !written.contains("active_coils ="), "{written}");
    assert!(!written.contains("\npreload ="), "{written}");
    let (code, listed, err) = run(&["check", &text(&out)]);
    assert_eq!(code, 0, "{err}");
    let typed = answer["measured"][0]["typed"].as_str().expect("a text");
    assert!(typed.contains(" N/mm ± ") && listed.contains(typed), "{typed}: {listed}");
    // Neither the scenario nor the table is ever written over.
    for read in [&file, &table] {
        let before = fs::read_to_string(read).expect("a file");
        let (code, _, err) =
            run(&["reading", "spring", &table, "--scenario", &file, "--out", read, "--force"]);
        assert_eq!(code, 2, "{err}");
        assert!(
            err.contains("never written over") && fs::read_to_string(read).expect("a file") == before,
            "{err}"
        );
    }
}

#[test]
fn program_a_dial_becomes_a_table_and_a_scenario() {
    let folder = tempfile::tempdir().expect("a folder");
    let (table, file) = (text(&cam(folder.path())), text(&scenario("large_initials.toml")));
    let (csv, toml) = (folder.path().join("cam.csv"), folder.path().join("mine.toml"));
    let (code, said, err) = run(&["reading", "cam", &table, "--out", &text(&csv)]);
    assert_eq!(code, 0, "{err}");
    let plain = said.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "74 readings of 2 runs at 36 angles",
        "lift_unit = \"in\"",
        "Run 1 ends",
        "Run 2 ends 1.0 thou higher",
        "root mean square",
    ] {
        assert!(plain.contains(words), "{words}: {said}");
    }
    let named = format!("cam.readings_file={}", text(&csv));
    let (code, listed, err) = run(&["check", &file, "--set", "cam.law=measured", "--set", &named]);
    assert_eq!(code, 0, "{err}");
    assert!(listed.contains("36 readings from 0 deg to 350 deg"), "{listed}");
    assert_eq!(run(&["reading", "cam", &table, "--scenario", &file, "--out", &text(&toml)]).0, 0);
    let written = fs::read_to_string(&toml).expect("a scenario");
    assert!(
        written.contains("law = \"measured\"  # measured: dial indicator, 2 runs")
            && !written.contains("\nrise ="),
        "{written}"
    );
    assert_eq!(run(&["check", &text(&toml)]).0, 0);
    // The lines that are told are what a scenario takes.
    let lines: Vec<&str> =
        said.lines().skip_while(|line| *line != "  [cam]").take_while(|line| !line.is_empty()).collect();
    let typed = fs::read_to_string(&file).expect("the demo");
    let (before, rest) = typed.split_once("[cam]").expect("a cam");
    let (_, after) = rest.split_once("[cross_block]").expect("a cross block");
    let own = folder.path().join("typed.toml");
    fs::write(&own, format!("{before}{}\n[cross_block]{after}", lines.join("\n"))).expect("written");
    let (code, _, err) = run(&["check", &text(&own)]);
    assert_eq!(code, 0, "{err}");
}

#[test]
fn program_pace_slip_and_casts_become_lines() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = text(&scenario("large_initials.toml"));
    let out = folder.path().join("mine.toml");
    let (code, said, err) = run(&[
        "reading",
        "pace",
        "--turns",
        "20",
        "1:40.1",
        "99.8 s",
        "100.2",
        "--scenario",
        &file,
        "--out",
        &text(&out),
    ]);
    assert_eq!(code, 0, "{err}");
    assert!(said.contains("pace = \"11.99") && said.contains("is within it"), "{said}");
    assert!(fs::read_to_string(&out).expect("a scenario").contains("# measured: 20 turns timed 3 times"));
    let (_, said, _) = run(&["reading", "pace", "--turns", "20", "60", "61", "62.1", "63", "64.2"]);
    assert!(said.contains("! It drifts"), "{said}");
    // The demo's piston: λ = π·17.5 mm·(25 µm)³/(12·2.2 mPa s·40 mm), under 150 N less its friction of 20 N, over 5 mm.
    let (d, leaks) =
        (0.0175_f64, std::f64::consts::PI * 0.0175 * 25e-6_f64.powi(3) / (12.0 * 2.2e-3 * 0.040));
    let area = std::f64::consts::PI / 4.0 * d * d;
    let time = format!("{:.3}", 5e-3 * area * area / (leaks * 130.0));
    let slip = ["reading", "slip", "--distance", "5 mm", "--load", "150 N", &time, "--scenario", &file];
    let (code, json, err) = run(&[&slip[..], &["--json"]].concat());
    assert_eq!(code, 0, "{err}");
    let answer: Value = serde_json::from_str(&json).expect("JSON");
    assert!((answer["clearance_m"].as_f64().expect("a number") / 25e-6 - 1.0).abs() < 1e-3, "{json}");
    let (_, said, _) = run(&slip);
    assert!(
        said.contains("Cautions")
            && said.contains("is within it")
            && said.contains("clearance = \"0.0250 mm"),
        "{said}"
    );
    // A jet of 0.15 cm³ of 10.2 g/cm³ weighs 1.53 g; a full 24 pt sort of the demo's depth 16.9 g.
    let casts =
        ["reading", "casts", "--count", "20", "--jets", "30.6 g", "--types", "300 g", "--scenario", &file];
    let (code, said, err) = run(&casts);
    assert_eq!(code, 0, "{err}");
    assert!(said.contains("priming_volume = \"0.1500 cm3") && said.contains("hollow"), "{said}");
}

#[test]
fn program_what_tells_nothing_is_not_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let table = folder.path().join("table.csv");
    let file = text(&scenario("large_initials.toml"));
    let said = |kind: &str, rows: &str| {
        fs::write(&table, rows).expect("written");
        run(&["reading", kind, &text(&table)])
    };
    let mut loose = "angle (deg), lift (mm)\n".to_owned();
    for n in 0..=12 {
        writeln!(loose, "{}, {}", 30 * n, f64::from(n)).expect("a string");
    }
    for (kind, rows, words) in [
        ("spring", "load (N), length (mm)\n10, 90\n20, 80\n30, 70\n", "3 readings at 3 lengths are too few"),
        ("spring", "load (N), length (mm)\n50, 90\n40, 80\n30, 70\n20, 60\n10, 50\n", "the load falls"),
        ("cam", "angle (deg), lift (mm)\n0, 0\n90, 9\n180, 9\n", "too few"),
        ("cam", &loose, "has moved"),
    ] {
        let (code, out, err) = said(kind, rows);
        assert_eq!((code, out.as_str()), (3, ""), "{words}: {err}");
        assert!(err.contains("cannot tell") && err.contains(words), "{words}: {err}");
    }
    let (code, _, err) =
        run(&["reading", "slip", "--distance", "5 mm", "--load", "15 N", "8", "--scenario", &file]);
    assert_eq!(code, 3, "{err}");
    assert!(err.contains("friction"), "{err}");
}

#[test]
fn program_bad_input_is_told_once_and_nothing_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let table = folder.path().join("table.csv");
    let out = folder.path().join("out.toml");
    let file = text(&scenario("large_initials.toml"));
    let (table_path, out_path) = (text(&table), text(&out));
    for (rows, words) in [
        ("", "no column has the load"),
        ("load, length (mm)\n2, 100\n", "nothing says in what `load` is measured"),
        ("load (kg), length (mm)\n2, 100\n3, x\n", "`x` does not start with a number"),
        ("load (kg), length (mm)\n-2, 100\n", "does not bear less than nothing"),
    ] {
        fs::write(&table, rows).expect("written");
        let (code, said, err) =
            run(&["reading", "spring", &table_path, "--scenario", &file, "--out", &out_path]);
        assert_eq!((code, said.as_str()), (2, ""), "{words}: {err}");
        assert!(err.contains(words) && err.contains("1 mistake"), "{words}: {err}");
        assert!(!out.exists(), "{words}");
    }
    spring(folder.path());
    let good = text(&folder.path().join("spring.csv"));
    let inches = text(&measured());
    for (arguments, words) in [
        (&["spring", "none.csv"][..], "cannot read none.csv"),
        (&["spring", &good, "--out", &out_path], "give the one to put it in by --scenario"),
        (&["spring", &good, "--scenario", &inches], "say which by --spring 1"),
        (&["spring", &good, "--scenario", &file, "--spring", "2"], "springs 1 to 1"),
        (&["spring", &good, "--at", "3 kg"], "wants a length"),
        (&["pace", "--turns", "20", "1:75"], "as in 1:01.3"),
        (&["pace", "--turns", "20", "-5 s"], "unexpected argument"),
        (&["pace", "--turns", "20", "0 s"], "above zero"),
        (&["pace", "--turns", "20", "1e308"], "longer than a day"),
        (&["pace", "--turns", "1", "0.001 s"], "which cannot be"),
        (&["slip", "--distance", "5", "--load", "9 kgf", "8"], "has no unit"),
        (&["slip", "--distance", "5 mm", "--load", "9 kgf", "8"], "--scenario"),
        (
            &["casts", "--count", "2", "--jets", "3 g", "--types", "90 g", "--scenario", &file],
            "times what 2 full ones",
        ),
    ] {
        let (code, said, err) = run(&[&["reading"], arguments].concat());
        assert_eq!((code, said.as_str()), (2, ""), "{words}: {err}");
        assert!(err.contains(words), "{words}: {err}");
        assert!(!out.exists(), "{words}");
    }
}
