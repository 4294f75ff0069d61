//! The sleeve command as an owner runs it.

use super::{run, scenario};
use serde_json::Value;

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

const SIZES: &str = "14pt,18pt,24pt,30pt,36pt";

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// By hand from the demo's values: 36 pt needs 0.15 cm³ + (36 × 0.3514598 mm)² × 0.92 in = 3.8909 cm³, which a piston of
/// 17.5 mm drives in 16.177 mm; so S = 2 15/16 in + 1/4 in − 16.177 mm.
#[test]
fn program_recommends_the_length_whose_snap_fills_the_largest_size() {
    let answer = json(&["sleeve", "--body", SIZES, "--set", "mould.hold_down=3 kN"], 0);
    let best = &answer["recommended"];
    assert_eq!(best["because"], "springs-fill");
    let body = 36.0 * 0.3514598e-3;
    let needed = 0.15e-6 + body * body * 0.92 * 0.0254;
    let piston = std::f64::consts::PI / 4.0 * 0.0175 * 0.0175;
    let length = (2.9375 + 0.25) * 0.0254 - needed / piston;
    assert!((number(&best["length"]["sleeve_m"]) - length).abs() < 1e-9, "{best:#}");
    assert_eq!(best["length"]["sleeve_m"], best["length"]["extension_m"]);
    assert!((number(&best["length"]["casts"][4]["snap_share"]) - 1.0).abs() < 1e-9);
    // 1/64 in of clearance, 1/64 in of sleeve and 0.2 mm of lift.
    assert!((number(&answer["reserve_m"]) - (0.0254 / 32.0 + 0.2e-3)).abs() < 1e-12);
}

/// Common practice, no source: a millimetre, where the clearance has no tolerance.
#[test]
fn program_keeps_a_millimetre_where_the_clearance_has_no_tolerance() {
    let answer = json(&["sleeve", "--body", "24pt", "--set", "stack.bare_clearance=2 15/16 in"], 0);
    assert_eq!(answer["reserve_from_tolerances"], false);
    assert!((number(&answer["reserve_m"]) - 1e-3).abs() < 1e-12);
}

#[test]
fn program_inches_stand_beside_their_nearest_sixty_fourth() {
    let text = stdout(&["sleeve", "--body", SIZES, "--set", "mould.hold_down=3 kN"], 0);
    assert!(text.contains("A sleeve of 2.551 in (2 35/64 in), and the rod lengthened by the same"), "{text}");
    assert!(text.contains("2.938 in (2 15/16 in)") && text.contains("Cautions"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
}

#[test]
fn program_a_sleeve_that_is_too_short_is_told_and_a_right_one_named() {
    let file = scenario("wrong_sleeve.toml");
    let file = file.to_str().expect("a plain path");
    let answer = json(&["sleeve", file], 0);
    assert_eq!(answer["present"]["stands"], "never trips");
    let best = number(&answer["recommended"]["length"]["sleeve_m"]);
    let (shortest, longest) =
        (number(&answer["window"]["shortest_m"]), number(&answer["window"]["longest_m"]));
    assert!(shortest < best && best < longest);
    let fitted = format!("stack.sleeve={} mm", best * 1e3);
    let (_, turn, _) =
        run(&["turn", file, "--set", &fitted, "--set", &fitted.replace("sleeve", "extension")]);
    assert!(turn.contains("latch lets go") && !turn.contains("never"), "{turn}");
}

#[test]
fn program_the_range_shown_may_go_beyond_the_window() {
    let answer = json(&["sleeve", "--body", "24pt", "--from", "1 1/2 in", "--to", "80 mm"], 0);
    let stands: Vec<&str> = answer["lengths"]
        .as_array()
        .expect("lengths")
        .iter()
        .filter_map(|step| step["stands"].as_str())
        .collect();
    assert_eq!(stands.first(), Some(&"never trips"));
    assert_eq!(stands.last(), Some(&"never holds"));
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
    assert_eq!(run(&arguments).0, 2);
    assert_eq!(run(&[&arguments[..], &["--force"]].concat()).0, 0);
}
