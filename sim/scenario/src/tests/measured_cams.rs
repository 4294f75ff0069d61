//! A measured cam in each of the ways to state it, and what is said of its readings.

use std::fs;
use std::path::Path;

use super::super::reader::read_beside;
use super::{SMALL_TYPE, attempt, mistakes};
use crate::{Mistakes, Override, Scenario};

/// The cam of a scenario measured in inches, every twenty degrees.
const ANGLES: [u16; 18] =
    [0, 20, 40, 60, 80, 100, 120, 140, 160, 180, 200, 220, 240, 260, 280, 300, 320, 340];
const LIFTS: [&str; 18] = [
    "0", ".002", ".078", ".367", ".782", "1.109", "1.240", "1.250", "1.250", "1.250", "1.250", "1.222",
    "1.030", ".680", ".305", ".064", ".001", "0",
];

/// The file with other lines for its cam.
fn with_cam(lines: &str) -> String {
    let stated = "law = \"modified-sine\"\nlift = \"30 mm\"\nrise = \"80 deg\"\ndwell = \"100 deg\"\nreturn = \"90 deg\"";
    assert!(SMALL_TYPE.contains(stated));
    SMALL_TYPE.replacen(stated, &format!("law = \"measured\"\n{lines}"), 1)
}

const UNITS: &str = "angle_unit = \"deg\"\nlift_unit = \"in\"\n";

fn joined(pairs: impl Iterator<Item = (String, String)>, row: impl Fn(&str, &str) -> String) -> String {
    pairs.map(|(angle, lift)| row(&angle, &lift)).collect::<Vec<_>>().join(",\n")
}

fn pairs() -> impl DoubleEndedIterator<Item = (String, String)> {
    ANGLES.into_iter().zip(LIFTS).map(|(angle, lift)| (angle.to_string(), lift.to_owned()))
}

fn stated_with_units(pairs: impl Iterator<Item = (String, String)>) -> String {
    let rows = joined(pairs, |angle, lift| format!("[\"{angle} deg\", \"{lift} in\"]"));
    with_cam(&format!("readings = [\n{rows}\n]"))
}

/// Angles in degrees and lifts in inches as understood.
fn understood(scenario: &Scenario) -> Vec<(f64, f64)> {
    let readings = scenario.readings("cam.readings").iter();
    let round = |value: Option<f64>| (value.unwrap_or(f64::NAN) * 1e6).round() * 1e-6;
    readings.map(|(angle, lift)| (round(angle.value_in("deg")), round(lift.value_in("in")))).collect()
}

fn good(text: &str) -> Scenario {
    attempt(text, &[]).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

fn in_folder(text: &str, folder: &Path, overrides: &[Override]) -> Result<Scenario, Mistakes> {
    read_beside("t.toml", text, overrides, Some(folder))
}

/// Every remark on one line.
fn remarks(scenario: &Scenario) -> Vec<String> {
    let line = |remark: &crate::Mistake| {
        format!("{}: {}; {}", remark.location.in_words(), remark.message, remark.right)
    };
    scenario.remarks().iter().map(line).collect()
}

#[test]
fn every_way_to_state_the_readings_is_understood_alike() {
    let expected = understood(&good(&stated_with_units(pairs())));
    assert_eq!(expected.len(), 18);
    assert_eq!(expected[1], (20.0, 0.002));
    let rows = joined(pairs(), |angle, lift| format!("[{angle}, {lift}]"));
    let once = with_cam(&format!("{UNITS}readings = [\n{rows}\n]"));
    let lists = with_cam(&format!("{UNITS}angles = {ANGLES:?}\nlifts = [{}]", LIFTS.join(", ")));
    for text in [&once, &lists] {
        let scenario = good(text);
        assert_eq!(understood(&scenario), expected);
        assert!(remarks(&scenario).is_empty(), "{:?}", remarks(&scenario));
        // What is written out needs no unit said for all, and reads back.
        let written = scenario.resolved_toml();
        assert!(!written.contains("lift_unit"), "{written}");
        assert_eq!(understood(&good(&written)), expected);
    }
}

#[test]
fn readings_come_from_a_table_beside_the_scenario() {
    let folder = tempfile::tempdir().expect("a folder");
    let expected = understood(&good(&stated_with_units(pairs())));
    let rows: Vec<String> = pairs().map(|(angle, lift)| format!("{angle}, {lift}")).collect();
    let body = rows.join("\n");
    for (table, lines) in [
        (format!("angle (deg), lift (in)\n{body}\n"), ""),
        (format!("Angle [deg],Lift [in]\r\n{}\r\n", rows.join("\r\n")), ""),
        (format!("\u{feff}angle_deg;lift_in\n{}\n", body.replace(", ", ";")), ""),
        (format!("# read on a Sunday\n{body}"), UNITS),
        (body.replace(", ", "\t"), UNITS),
    ] {
        fs::write(folder.path().join("cam.csv"), &table).expect("a file");
        let text = with_cam(&format!("{lines}readings_file = \"cam.csv\""));
        let scenario = in_folder(&text, folder.path(), &[]).unwrap_or_else(|found| panic!("{table}{found}"));
        assert_eq!(understood(&scenario), expected, "{table}");
        // The readings stand in what is written out, so that it can be carried elsewhere.
        assert_eq!(understood(&good(&scenario.resolved_toml())), expected);
    }
    // Named on the command line, a file is looked for where the command is given.
    let path = folder.path().join("cam.csv").display().to_string();
    let given = [Override::parse(&format!("cam.readings_file={path}"))];
    let scenario = in_folder(&with_cam(&format!("{UNITS}readings = [[0, 1]]")), Path::new("/"), &given);
    assert_eq!(understood(&scenario.unwrap_or_else(|found| panic!("{found}"))), expected);
}

#[test]
fn mistakes_in_a_table_are_told_at_its_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let rows: Vec<String> = pairs().map(|(angle, lift)| format!("{angle}, {lift}")).collect();
    let body = rows.join("\n");
    let name = |line: usize| format!("{}:{line}: ", folder.path().join("cam.csv").display());
    for (table, place, expected) in [
        (
            body.clone(),
            name(1),
            "the angles and lifts of these readings have no units; say once for all what they are, by angle_unit = \"deg\" and lift_unit = ",
        ),
        (
            format!("angle (deg), lift (in)\n{}", body.replace("1.109", "1,109")),
            name(7),
            "two columns are wanted, angle and lift, and this row has 3",
        ),
        (
            format!("angle (deg), lift (in)\n{}", body.replace("1.109", "l.109")),
            name(7),
            "`l.109` does not start with a number",
        ),
        (format!("lift (in), angle (deg)\n{body}"), name(1), "the columns stand the other way round"),
        (
            format!("angle (deg), lift (in)\n{}", body.replace("60, ", "60 mm, ")),
            name(5),
            "this wants an angle, and `mm` is a length",
        ),
        ("angle (deg), lift (in)\n".to_owned(), name(1), "there are 0 readings; give at least 6"),
        ("0,0\n".repeat(1001), name(1), "there are more than 1000 readings"),
    ] {
        fs::write(folder.path().join("cam.csv"), &table).expect("a file");
        let found = in_folder(&with_cam("readings_file = \"cam.csv\""), folder.path(), &[]).err();
        let found = found.map(|found| found.to_string()).unwrap_or_default();
        assert!(found.starts_with(&format!("{place}{expected}")), "{found}\nwanted {place}{expected}");
        assert!(found.ends_with("1 mistake in t.toml"), "{found}");
    }
    let missing = in_folder(&with_cam("readings_file = \"none.csv\""), folder.path(), &[]).err();
    let missing = missing.map(|found| found.to_string()).unwrap_or_default();
    assert!(missing.starts_with("t.toml:14:17: cannot read "), "{missing}");
    let found = mistakes(&with_cam("readings_file = \"cam.csv\""), &[]);
    assert!(
        found[0].starts_with("t.toml:14:17: a file beside this scenario cannot be read here"),
        "{found:?}"
    );
}

#[test]
fn readings_without_units_are_one_mistake() {
    let rows = joined(pairs(), |angle, lift| format!("[{angle}, {lift}]"));
    let found = mistakes(&with_cam(&format!("readings = [{}]", rows.replace('\n', " "))), &[]);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(
        found[0].starts_with("t.toml:14:14: the angles and lifts of these readings have no units"),
        "{found:?}"
    );
    assert!(found[0].contains("by angle_unit = \"deg\" and lift_unit = "), "{found:?}");
    let found = mistakes(&with_cam(&format!("angle_unit = \"deg\"\nreadings = [{rows}]")), &[]);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].contains("the lifts of these readings have no units"), "{found:?}");
    // Nor is any other mistake that comes again and again.
    let wrong = joined(pairs(), |angle, lift| format!("[\"{angle} dg\", \"{lift} in\"]"));
    let found = mistakes(&with_cam(&format!("readings = [{wrong}]")), &[]);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].contains("there is no unit `dg` (and in 17 more places, down to line 31)"), "{found:?}");
    let bare = joined(pairs(), |angle, lift| format!("[{angle} deg, {lift} in]"));
    let found = mistakes(&with_cam(&format!("readings = [{bare}]")), &[]);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(
        found[0].contains("the values of this list stand without quotes; write \"0 deg\" and so on"),
        "{found:?}"
    );
}

#[test]
fn readings_go_round_in_either_direction_from_any_angle_and_may_close() {
    let expected = understood(&good(&stated_with_units(pairs())));
    let fallen = good(&stated_with_units(pairs().rev()));
    assert_eq!(understood(&fallen), expected);
    let said = remarks(&fallen);
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(
        said[0].starts_with("line 15: the angles of the readings fall; they are put in growing order"),
        "{said:?}"
    );
    let from_a_hundred: Vec<(String, String)> = pairs().skip(5).chain(pairs().take(5)).collect();
    let begun_late = good(&stated_with_units(from_a_hundred.clone().into_iter()));
    assert_eq!(understood(&begun_late), expected);
    let counted_on = from_a_hundred.into_iter().enumerate().map(|(n, (angle, lift))| {
        if n < 13 { (angle, lift) } else { ((angle.parse::<u16>().unwrap_or(0) + 360).to_string(), lift) }
    });
    assert_eq!(understood(&good(&stated_with_units(counted_on))), expected);
    let closing = |lift: &str| stated_with_units(pairs().chain([("360".to_owned(), lift.to_owned())]));
    assert_eq!(understood(&good(&closing("0.001"))), expected);
    let found = mistakes(&closing(".016"), &[]);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0].starts_with(
            "t.toml:33:13: the lift is .016 in at 360 deg and 0 in at 0 deg, which is the same place"
        ),
        "{found:?}"
    );
}

#[test]
fn readings_out_of_order_are_told_one_by_one() {
    let swapped = |from: &str, to: &str| {
        mistakes(
            &stated_with_units(pairs()).replace(&format!("[\"{from} deg\""), &format!("[\"{to} deg\"")),
            &[],
        )
    };
    for (from, to, expected) in [
        ("100", "10", "t.toml:20:2: `10 deg` comes after `80 deg`; put the angles in order"),
        ("100", "80", "t.toml:20:2: `80 deg` is given twice; give each angle once"),
        ("340", "2000", "t.toml:32:2: the readings go from 0 deg to 2000 deg, more than once round"),
    ] {
        let found = swapped(from, to);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].starts_with(expected), "{found:?}\nwanted {expected}");
    }
    let lists = with_cam(&format!("{UNITS}angles = {ANGLES:?}\nlifts = [0, 1]"));
    let found = mistakes(&lists, &[]);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].contains("there are 18 angles and 2 lifts; give one lift for each angle"), "{found:?}");
}

#[test]
fn a_slip_is_remarked_on_at_its_line_with_what_should_stand_there() {
    let text = stated_with_units(pairs()).replace("\"1.109 in\"", "\".109 in\"");
    let said = remarks(&good(&text));
    assert_eq!(said.len(), 1, "{said:?}");
    let expected = "line 20: the lift of .109 in at 100 deg does not lie on the curve of its neighbours, .782 in at 80 deg and \
                    1.240 in at 120 deg; a slip? They lead one to expect about 1.1";
    assert!(said[0].starts_with(expected), "{said:?}");
    assert!(remarks(&good(&stated_with_units(pairs()))).is_empty());
}
