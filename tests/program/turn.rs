//! `latchstroke turn`.

use super::{latchstroke, measured, run, scenario};
use latchstroke_core::studies::judge::{Cast, Judgement, judge_traced};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, POINT, Pace};
use latchstroke_plots::{LineChart, Theme, layout};
use latchstroke_report::charts::{fill_and_skin, piston_speed, pressure, travel};
use latchstroke_report::owner::OwnerUnits;
use latchstroke_scenario::{read, stated};
use std::fs;
use std::path::Path;

const CAST: [&str; 4] = ["--body", "24pt", "--pace", "12"];

#[test]
fn program_reports_a_turn_side_by_side_with_its_events_in_order() {
    let (code, out, err) = run(&[&["turn"], &CAST[..]].concat());
    assert_eq!(code, 0, "{err}");
    assert!(out.starts_with("24 pt at 12 turns/min: set the latch; "), "{out}");
    let limit = |name: &str| {
        let mut lines = out.lines().filter(|line| line.trim_start().starts_with(name));
        lines.next().unwrap_or_else(|| panic!("no {name} in\n{out}")).to_owned()
    };
    // Aside the first metal laps, set it does not.
    let lapping = limit("lapping  ");
    let states: Vec<&str> =
        lapping.split_whitespace().filter(|word| !word.starts_with(char::is_numeric)).collect();
    assert_eq!(states, ["lapping", "ms", "ms", "missed", "ms", "kept"], "{lapping}");
    for line in ["fill time, entry to 98 % full", "splashed ahead", "The cast gives the mould"] {
        assert!(out.contains(line), "no \"{line}\" in\n{out}");
    }
    // Metal packed into a full mould is not more than full.
    let filled: Vec<f64> =
        limit("mould filled").split_whitespace().filter_map(|word| word.parse().ok()).collect();
    assert!(filled.len() == 2 && filled.iter().all(|percent| *percent <= 100.0), "{filled:?}");
    let set = &out[out.find("Events, latch set").expect("events")..];
    let places: Vec<usize> =
        ["latch lets go", "inlet closes", "metal enters the mould", "mould full", "entry sealed"]
            .iter()
            .map(|event| set.find(event).expect("the event"))
            .collect();
    assert!(places.is_sorted(), "{set}");
}

/// A cast of a square size judged, with the owner's units.
fn judged(file: &Path, body: f64, pace: f64) -> (Judgement, OwnerUnits) {
    let scenario = read("one", &fs::read_to_string(file).expect("a scenario"), &[]).expect("good");
    let length = Length(body * POINT);
    let cast = Cast { sort: Sort { body: length, set: length }, pace: Pace(pace / 60.0) };
    let judged = judge_traced(&stated::machine(&scenario), cast, &stated::terms(&scenario));
    (judged.expect("a machine"), OwnerUnits::of(&scenario))
}

/// The greatest speed and pressure that a headline states are there to be seen on its chart, small type and large, whether the rod
/// is long under way before the metal comes in or not.
#[test]
fn program_what_a_headline_states_is_on_its_chart() {
    let mut told = 0;
    for (file, body, pace) in [
        (scenario("large_initials.toml"), 24.0, 12.0),
        (scenario("large_initials.toml"), 5.0, 12.0),
        (scenario("small_type.toml"), 10.0, 100.0),
        (measured(), 18.0, 20.0),
        (measured(), 48.0, 4.0),
    ] {
        let (judged, units) = judged(&file, body, pace);
        let greatest = |chart: &LineChart, panel: usize, name: &str| {
            let series = chart.body.panels[panel].series.iter().find(|series| series.label == name);
            series.map(|series| series.points.iter().map(|point| point.1).fold(f64::NEG_INFINITY, f64::max))
        };
        let (speed, press) = (piston_speed(&judged, &units, "."), pressure(&judged, &units, "."));
        for (name, turn) in [("latch aside", &judged.aside), ("latch set", &judged.set)] {
            let peaks = &turn.peaks;
            for (chart, panel, stated) in [
                (&speed, 0, units.speed.from_si(peaks.piston_speed)),
                (&press, 1, units.pressure.from_si(peaks.cavity_pressure)),
            ] {
                let seen = greatest(chart, panel, name);
                // The trace looks at instants, between which a peak may rise a little further.
                let near = seen.is_some_and(|seen| (seen / stated - 1.0).abs() < 0.03);
                // One that comes a second later would squeeze all else, and is told.
                let far = chart.source.contains(&format!("with the {name} is not shown: it comes"));
                assert!(near || far, "{}, {name}: {stated}, {seen:?}: {}", chart.headline, chart.source);
                told += usize::from(far);
            }
        }
    }
    assert!(told <= 2, "{told}");
}

/// One colour means one thing: blue the latch set, orange the latch aside, green what goes with the cam.
#[test]
fn program_the_charts_of_a_turn_keep_the_colours_of_the_settings() {
    let (judged, units) = judged(&scenario("large_initials.toml"), 24.0, 12.0);
    let charts = [piston_speed, pressure, fill_and_skin].map(|chart| chart(&judged, &units, "."));
    let mut curves = 0;
    for series in charts.iter().flat_map(|chart| &chart.body.panels).flat_map(|panel| &panel.series) {
        let style = usize::from(series.label != "latch set");
        assert!(["latch set", "latch aside"].contains(&series.label.as_str()), "{series:?}");
        assert_eq!(series.style, Some(style), "{}", series.label);
        // Each is the turn of its name: with the latch set the piston goes twenty times as fast.
        curves += 1;
    }
    assert_eq!(curves, 10);
    let fastest = |label: &str| {
        let series = charts[0].body.panels[0].series.iter().find(|series| series.label == label);
        series.expect("a curve").points.iter().map(|point| point.1).fold(0.0, f64::max)
    };
    assert!(fastest("latch set") > 10.0 * fastest("latch aside"));
    let both = travel(&judged, &units, ".").body;
    for (panel, piston) in both.left.panels.iter().zip([1, 0]) {
        let styles: Vec<_> =
            panel.series.iter().map(|series| (series.label.as_str(), series.style)).collect();
        assert_eq!(styles, [("cross block", Some(2)), ("piston", Some(piston))]);
    }
}

/// No axis of pressure goes on below a vacuum, though the metal in the well parts there.
#[test]
fn program_no_axis_of_pressure_goes_below_a_vacuum() {
    for (file, body, pace) in
        [(scenario("large_initials.toml"), 24.0, 12.0), (scenario("small_type.toml"), 10.0, 100.0)]
    {
        let (judged, units) = judged(&file, body, pace);
        let chart = pressure(&judged, &units, ".");
        let vacuum = units.pressure.from_si(-101_325.0);
        let lowest = chart.body.panels[0].series.iter().flat_map(|series| &series.points);
        assert!(lowest.map(|point| point.1).fold(0.0, f64::min) < 0.5 * vacuum, "the metal does not part");
        for width in [1920, 2400] {
            let laid = layout(&chart.clone().with_size(width, 1080), &Theme::light()).expect("room");
            // The figures of the y axes stand left of the panels, those of the time in a row below.
            let figures = laid
                .texts
                .iter()
                .filter_map(|text| Some((text, text.text.replace('\u{2212}', "-").parse::<f64>().ok()?)));
            let figures: Vec<_> = figures.collect();
            let row = figures.iter().map(|(text, _)| text.y).fold(0.0, f64::max);
            let upright =
                figures.iter().filter(|(text, _)| row - text.y > 1.0 && text.x < 0.06 * f64::from(width));
            let least = upright.map(|(_, figure)| *figure).fold(f64::INFINITY, f64::min);
            assert!(least >= 1.01 * vacuum && least <= 0.0, "{least} {vacuum}");
        }
    }
}

/// A piston that is further back as the mould becomes full than as the metal came in is told as that, and one that is not is not.
#[test]
fn program_says_why_a_piston_may_have_gone_back_while_the_mould_filled() {
    let small = scenario("small_type.toml");
    let small = ["turn", small.to_str().expect("a plain path"), "--body", "10pt", "--pace", "100"];
    for (arguments, is_back) in [(&small[..], true), (&["turn"], false)] {
        let (_, out, _) = run(arguments);
        let speeds = out.lines().find(|line| line.contains("mean while filling")).expect("a line of it");
        assert_eq!(speeds.contains('−'), is_back, "{speeds}");
        let said = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(
            said.contains("it sprang back while the metal, once on its way, ran on"),
            is_back,
            "{said}"
        );
    }
}

/// No figure has the name of a limit, or of another figure: the air that is caught as the mould becomes full is not the space that it keeps.
#[test]
fn program_calls_no_two_figures_of_a_turn_alike() {
    let (_, out, _) = run(&["turn"]);
    let figures = out.split("\nEvents").next().expect("what comes before the events");
    let mut names: Vec<&str> = figures
        .lines()
        .filter_map(|line| line.strip_prefix("  ")?.split_once("  "))
        .map(|(name, _)| name)
        .filter(|name| !name.is_empty())
        .collect();
    assert!(names.len() > 30 && names.contains(&"trapped air"), "{names:?}");
    names.sort_unstable();
    assert!(names.windows(2).all(|pair| pair[0] != pair[1]), "{names:?}");
}

/// A size and a pace on the command line are those of the scenario's own keys.
#[test]
fn program_turns_the_size_and_pace_asked_for() {
    let keys = ["turn", "--json", "--set", "job.body=24 pt", "--set", "job.pace=12 turns/min"];
    assert_eq!(run(&[&["turn", "--json"], &CAST[..]].concat()).1, run(&keys).1);
    let (code, out, err) = run(&["turn", "--body", "14pt,18pt"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("one size at a time"), "{err}");
}

/// Every name of a number ends in its unit, SI, or is a plain number.
#[test]
fn program_names_the_unit_of_every_number() {
    const UNITS: [&str; 14] =
        ["_s", "_m", "_N", "_Pa", "_K", "_J", "_W", "_rad", "_m3", "_kg", "_m_s", "_N_m", "_per_s", "_W_m2K"];
    const PLAIN: [&str; 9] = [
        "snap_share",
        "filled",
        "trapped_air",
        "reynolds",
        "energy_residual",
        "value",
        "bound",
        "reserve",
        "factor",
    ];
    fn look(value: &serde_json::Value, name: &str) {
        match value {
            serde_json::Value::Object(fields) => fields.iter().for_each(|(name, value)| look(value, name)),
            serde_json::Value::Array(all) => all.iter().for_each(|value| look(value, name)),
            serde_json::Value::Number(_) => {
                assert!(UNITS.iter().any(|unit| name.ends_with(unit)) || PLAIN.contains(&name), "{name}");
            }
            _ => {}
        }
    }
    let (_, out, _) = run(&[&["turn", "--json"], &CAST[..]].concat());
    look(&serde_json::from_str(&out).expect("JSON"), "");
}

#[test]
fn program_writes_traces_charts_and_a_scenario_that_gives_the_same_turn() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("results");
    let path = out.to_str().expect("a plain path");
    let (code, first, err) = run(&[&["turn", "--json", "--out", path], &CAST[..]].concat());
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
