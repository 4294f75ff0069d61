//! `latchstroke pace`.

use super::{run, scenario};
use serde_json::Value;

fn answer(arguments: &[&str]) -> Value {
    let (_, out, err) = run(arguments);
    serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {err}"))
}

/// The only window under a key, in turns/s.
fn window(size: &Value, key: &str) -> (f64, f64) {
    let windows = size[key].as_array().expect("a list of windows");
    assert_eq!(windows.len(), 1, "{key}: {windows:?}");
    (windows[0][0].as_f64().expect("a pace"), windows[0][1].as_f64().expect("a pace"))
}

/// The judge's verdict for a body at a pace, turns/s.
fn verdict(body: &str, pace: f64) -> String {
    let pace = format!("{} turns/min", 60.0 * pace);
    let judged = answer(&["judge", "--body", body, "--pace", &pace, "--json"]);
    judged["casts"][0]["verdict"].as_str().expect("a word").to_owned()
}

#[test]
fn program_finds_windows_that_the_judge_confirms_inside_and_outside() {
    // Half a per cent either side of an edge, ten times as much as it is found to.
    let (outside, inside) = (0.995, 1.005);
    let sizes = answer(&["pace", "--body", "14pt,30pt", "--json"]);

    let small = &sizes["sizes"][0];
    let (from, to) = window(small, "latch_aside_turns_per_s");
    assert_eq!(verdict("14pt", inside * from), "leave the latch aside");
    assert_eq!(verdict("14pt", to), "leave the latch aside");
    assert_eq!(verdict("14pt", outside * from), "set the latch");
    assert_eq!(small["cooling_limit_turns_per_s"], to);
    // Below, the latch must be set; the two windows meet.
    let (_, set_to) = window(small, "latch_set_turns_per_s");
    assert!((set_to / from - 1.0).abs() < 1e-12);

    let large = &sizes["sizes"][1];
    let (from, to) = window(large, "latch_set_turns_per_s");
    assert_eq!(verdict("30pt", inside * from), "set the latch");
    assert_eq!(verdict("30pt", to), "set the latch");
    assert_eq!(verdict("30pt", outside * from), "neither will do");
    let (_, gap_to) = window(large, "neither_turns_per_s");
    assert!((gap_to / from - 1.0).abs() < 1e-12);
    assert_eq!(large["latch_aside_turns_per_s"], Value::Array(vec![]));
}

#[test]
fn program_finds_the_judges_slowest_pace_aside() {
    let paces = answer(&["pace", "--body", "14pt", "--json"]);
    let (from, _) = window(&paces["sizes"][0], "fills_latch_aside_turns_per_s");
    let judged = answer(&["judge", "--body", "14pt", "--json"]);
    let slowest = judged["sizes"][0]["slowest_pace_aside_turns_per_s"]["from"].as_f64().expect("a pace");
    // Each is found to 5 parts in 10⁴.
    assert!((from / slowest - 1.0).abs() < 1e-3, "{from} {slowest}");
}

#[test]
fn program_turns_faster_the_longer_the_mould_stays_shut() {
    let limit = |angle: &str| {
        let change = format!("mould.shut_angle={angle}");
        let sizes = answer(&["pace", "--body", "14pt", "--set", &change, "--json"]);
        sizes["sizes"][0]["cooling_limit_turns_per_s"].as_f64().expect("a pace")
    };
    assert!((limit("240 deg") / limit("120 deg") - 2.0).abs() < 1e-9);
    let (code, out, err) = run(&["pace", "--set", "mould.shut_angle=400 deg"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("shut_angle"), "{err}");
}

#[test]
fn program_says_in_words_which_paces_do_and_exits_with_one_where_none_does() {
    let (code, out, err) = run(&["pace", "--body", "14pt"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("14 pt: the latch may stand aside from"), "{out}");
    assert!(out.contains("latchstroke cautions") && out.contains("not a clearance"));
    let (code, out, _) = run(&["pace", "--body", "14pt,40pt"]);
    assert_eq!(code, 1);
    assert!(out.contains("40 pt: no pace does"), "{out}");
    let path = scenario("wrong_sleeve.toml");
    let (code, out, _) = run(&["pace", path.to_str().expect("a plain path")]);
    assert_eq!(code, 1);
    // Why the latch does nothing is said, not only that it does.
    assert!(out.contains("since the latch never lets go"), "{out}");
}

/// A follower that leaves its cam does not do at any pace, in the windows as in the judge's slowest pace.
#[test]
fn program_counts_every_limit_as_the_judge_does() {
    let one_way = ["--set", "cross_block.closure=one-way", "--set", "cross_block.return_force=100 N"];
    let asked = [&["--body", "14pt,18pt", "--json"], &one_way[..]].concat();
    let paces = answer(&[&["pace"], &asked[..]].concat());
    let judged = answer(&[&["judge"], &asked[..]].concat());
    for n in 0..2 {
        let windows = paces["sizes"][n]["latch_aside_turns_per_s"].as_array().expect("a list");
        let verdict = judged["casts"][n]["verdict"].as_str().expect("a word");
        let slowest = &judged["sizes"][n]["slowest_pace_aside_turns_per_s"];
        assert_eq!(windows.is_empty(), slowest.to_string().contains("never"), "{windows:?} {slowest}");
        let pace = judged["casts"][n]["pace_turns_per_s"].as_f64().expect("a pace");
        let inside = windows.iter().any(|window| {
            let end = |n: usize| window[n].as_f64().expect("a pace");
            (end(0)..=end(1)).contains(&pace)
        });
        assert_eq!(inside, verdict == "leave the latch aside", "{verdict} at {pace}: {windows:?}");
    }
}

/// Water that cannot cool the mould at fast paces: what is known of slow ones stands, and where it ends is said with the reason.
#[test]
fn program_says_beyond_which_pace_nothing_is_known_and_why() {
    let path = scenario("small_type.toml");
    let path = path.to_str().expect("a plain path");
    let asked = [
        "pace",
        path,
        "--body",
        "12pt",
        "--set",
        "cooling_water.flow=0.008 l/min",
        "--set",
        "cooling_water.conductance=0.4 W/K",
    ];
    let (_, out, err) = run(&asked);
    assert!(out.contains("Paces are not known beyond") && out.contains(", because "), "{out}{err}");
    assert!(
        out.contains("12 pt: the latch may stand aside") || out.contains("12 pt: leave the latch aside"),
        "{out}"
    );
    let told = answer(&[&asked[..], &["--json"]].concat());
    assert!(told["sizes"][0]["not_known_beyond_turns_per_s"].is_number(), "{told:#}");
}

#[test]
fn program_writes_the_charts_and_the_table_of_paces_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("paces");
    let asked = ["pace", "--body", "14pt,40pt", "--out", out.to_str().expect("a plain path")];
    let (_, _, err) = run(&asked);
    assert!(!err.contains("no room"), "{err}");
    for name in ["size-pace-map", "fill-and-limits"] {
        assert_eq!(png_size(&out.join(format!("{name}.png"))), (1920, 1080), "{name}");
        let svg = std::fs::read_to_string(out.join(format!("{name}.svg"))).expect("a chart");
        assert!(roxmltree::Document::parse(&svg).is_ok_and(|svg| svg.root_element().has_tag_name("svg")));
    }
    let table = std::fs::read_to_string(out.join("paces.csv")).expect("a table");
    assert!(table.starts_with("body_m,set_m,solid_after_s,cooling_limit_turns_per_s,latch,"), "{table}");
    assert!(table.contains(",aside,") && table.contains(",set,") && table.contains(",neither,"), "{table}");
    let (code, said, err) = run(&asked);
    assert_eq!((code, said.as_str()), (2, ""));
    assert!(err.contains("already there"), "{err}");
}

/// Width and height that a PNG states, in its first chunk (ISO/IEC 15948, 11.2.2).
fn png_size(path: &std::path::Path) -> (u32, u32) {
    let bytes = std::fs::read(path).expect("a chart");
    assert!(bytes.starts_with(b"\x89PNG"));
    let number = |at: usize| bytes[at..at + 4].iter().fold(0, |sum, byte| 256 * sum + u32::from(*byte));
    (number(16), number(20))
}

#[test]
fn program_draws_for_a_page_on_a_higher_canvas_with_more_dots() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().to_str().expect("a plain path");
    let (code, _, err) = run(&["pace", "--body", "14pt", "--out", path, "--size", "print", "--dark"]);
    assert_eq!(code, 0, "{err}");
    assert!(!err.contains("no room"), "{err}");
    assert_eq!(png_size(&folder.path().join("size-pace-map.png")), (2400, 1700));
    let (code, out, err) = run(&["pace", "--size", "print"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("--out"), "{err}");
}
