//! What an owner is likely to write, and the one message each such slip has.

use super::super::mistakes::Look;
use super::super::stated::designation;
use super::{SMALL_TYPE, attempt, mistakes, small_type_with};

/// Edits of a good file, and how the one line of the listing then starts.
const SLIPS: [(&str, &str, &str); 18] = [
    (
        "bore = \"8 mm\"",
        "bore = 8",
        "t.toml:64:8: `8` has no unit: a length is wanted; write \"8 mm\", if its unit is that of its neighbours",
    ),
    (
        "hold_down = \"900 N\"",
        "hold_down = 200",
        "t.toml:78:13: `200` has no unit: a force is wanted; write \"200 lbf\", if its unit is that of its neighbours",
    ),
    (
        "lift = \"30 mm\"",
        "lift = 1-3/16\"",
        "t.toml:14:8: `1-3/16\"` stands without quotes; write \"1-3/16 in\"",
    ),
    (
        "lift = \"30 mm\"",
        "lift = \"1-3/16\"\"",
        "t.toml:14:8: an inch mark ends this text before its closing quote; write \"1-3/16 in\", or '1-3/16\"' in single quotes",
    ),
    (
        "lift = \"30 mm\"",
        "lift = 1-3/16",
        "t.toml:14:8: `1-3/16` stands without quotes and without a unit; write it in quotes with its unit, as \"1-3/16 in\" if it is inches",
    ),
    (
        "lift = \"30 mm\"",
        "lift = “30 mm”",
        "t.toml:14:8: curly quotes do not hold a value; use straight ones, as in \"30 mm\"",
    ),
    (
        "lift = \"30 mm\"",
        "lift = ‘30 mm’",
        "t.toml:14:8: curly quotes do not hold a value; use straight ones, as in \"30 mm\"",
    ),
    (
        "lift = \"30 mm\"",
        "lift = \"30 mm”",
        "t.toml:14:8: curly quotes do not hold a value; use straight ones, as in \"30 mm\"",
    ),
    (
        "sizes = [\"6 pt\", \"8 pt\", ",
        "sizes = [“6 pt”, “8 pt”, ",
        "t.toml:98:10: curly quotes do not hold a value; use straight ones",
    ),
    (
        "sizes = [\"6 pt\", \"8 pt\", ",
        "sizes = [6 pt, 8 pt, ",
        "t.toml:98:10: the values of this list stand without quotes; write \"6 pt\" and so on",
    ),
    (
        "sizes = [\"6 pt\", \"8 pt\", ",
        "sizes = [6, 8, 9, ",
        "t.toml:98:10: `6` has no unit: a length is wanted; write \"6 pt\", if its unit is that of its neighbours, and the 2 more that have none likewise",
    ),
    (
        "sizes = [\"6 pt\", \"8 pt\", ",
        "sizes = [\"6 pt\", \"8 pt\" ",
        "t.toml:98:1: a comma is missing after this; write one between any two values of a list",
    ),
    (
        "flow = \"0.6 l/min\"",
        "flow = \"0.3 gal/min\"",
        "t.toml:82:13: `gal/min` may be British or American, and the British measure is 1.20 times the American; write UK gal/min or US gal/min",
    ),
    (
        "flow = \"0.6 l/min\"",
        "flow = \"20 gallons/h\"",
        "t.toml:82:12: `gallons/h` may be British or American, and the British measure is 1.20 times the American; write UK gal/h or US gal/h",
    ),
    ("flow = \"0.6 l/min\"", "flow = \"0.3 gpm\"", "t.toml:82:13: `gpm` may be British or American"),
    (
        "flow = \"0.6 l/min\"",
        "flow = \"1 pint/min\"",
        "t.toml:82:11: `pint/min` may be British or American, and the British measure is 1.20 times the American; write UK pint/min or US pint/min",
    ),
    (
        "bore = \"8 mm\"",
        "bore = \"2 ft\"",
        "t.toml:64:9: `2 ft` is out of range for `bore`; from 0.0017 ft to 0.16 ft: metal has to get through",
    ),
    (
        "pot_temperature = \"660 degF\"",
        "pot_temperature = \"1500 degF\"",
        "t.toml:91:20: `1500 degF` is out of range for `pot_temperature`; from 302 °F to 1112 °F: type metals",
    ),
];

#[test]
fn each_slip_of_an_owner_is_one_message_that_says_what_to_write() {
    let mut wrong = Vec::new();
    for (old, new, expected) in SLIPS {
        let found = mistakes(&small_type_with(old, new), &[]);
        if found.len() != 1 || !found[0].starts_with(expected) {
            wrong.push(format!("`{new}` gives {found:#?}, not {expected}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn numbers_as_owners_write_them_are_numbers() {
    let text = small_type_with("sealing_fraction = \"35 %\"", "sealing_fraction = .35");
    let scenario = attempt(&text, &[]).unwrap_or_else(|found| panic!("{found}"));
    assert_eq!(scenario.number("metal.sealing_fraction"), Some(0.35));
    let litres = |flow: &str| {
        let text = small_type_with("flow = \"0.6 l/min\"", &format!("flow = \"{flow}\""));
        let scenario = attempt(&text, &[]).unwrap_or_else(|found| panic!("{found}"));
        scenario.quantity("cooling_water.flow").and_then(|flow| flow.value_in("l/min")).unwrap_or(f64::NAN)
    };
    // 4.54609 l and 231 in³, by definition; eight pints to either.
    for (flow, expected) in [
        ("1 UK gal/min", 4.54609),
        ("1 imp gal/min", 4.54609),
        ("1 US gal/min", 3.785_411_784),
        ("60 UK gal/h", 4.54609),
        ("60 gal (US)/h", 3.785_411_784),
        ("8 UK pint/min", 4.54609),
        ("8 US pints/min", 3.785_411_784),
    ] {
        assert!((litres(flow) - expected).abs() < 1e-9, "{flow}: {}", litres(flow));
    }
    assert_eq!(designation::parse("1/2 Whitworth"), designation::parse("1/2 BSW"));
}

#[test]
fn an_example_is_in_the_files_own_units_and_only_what_is_wanted_is_named() {
    let inches = "[cam]\nlaw = \"cycloidal\"\nlift = \"1 1/4 in\"\nrise = \"80 deg\"\ndwell = \"9 deg\"\nreturn = \"90 deg\"\n";
    let found = mistakes(inches, &[]);
    let help = |section: &str| {
        let line = found.iter().find(|line| line.contains(&format!("the section {section} is missing")));
        line.and_then(|line| line.split_once("; ")).map(|(_, help)| help).unwrap_or_default()
    };
    assert_eq!(
        help("[[spring]]"),
        "add [[spring]] with rate = \"51 lbf/in\", mass = \"0.77 lb\", preload = \"79 lbf\""
    );
    assert_eq!(help("[latch]"), "add [latch] with prong_travel = \"0.24 in\"");
    assert_eq!(help("[mould]"), "add [mould] with depth = \"0.92 in\"");
    assert_eq!(help("[channel]"), "add [channel] with bore = \"0.31 in\", length = \"4.7 in\"");
    assert!(help("[job]").contains("body = \"24 pt\", pace = \"40 turns/min\""), "{found:#?}");
    assert_eq!(help("[metal]"), "", "an alloy is assumed");
}

#[test]
fn mistakes_of_the_command_line_are_counted_as_such() {
    let count = |text: &str, given: &[&str]| {
        let listing = attempt(text, given).err().map(|found| found.to_string()).unwrap_or_default();
        listing.lines().last().unwrap_or_default().to_owned()
    };
    assert_eq!(count(SMALL_TYPE, &["cam.lfit=3 mm"]), "1 mistake in --set");
    let wrong = small_type_with("lift = \"30 mm\"", "lift = \"30 mmm\"");
    assert_eq!(count(&wrong, &["cam.lfit=3 mm"]), "1 mistake in t.toml and 1 in --set");
    let found = mistakes(SMALL_TYPE, &["spring.2.rate=9 N/mm"]);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].ends_with("write spring[2].rate"), "{found:?}");
}

#[test]
fn a_long_listing_and_a_long_line_are_cut() {
    let strays: Vec<String> = (0..86).map(|n| format!("zz{n} = 1\n")).collect();
    let text = format!("{SMALL_TYPE}\n[job2]\n{}", strays.concat()).replace("[job2]", "");
    let listing = attempt(&text, &[]).err().map(|found| found.render(Look::Plain, 100)).unwrap_or_default();
    assert_eq!(listing.matches("has no key").count(), 20, "{listing}");
    assert!(listing.ends_with("and 66 more\n\n86 mistakes in t.toml\n"), "{listing}");
    let long = format!("name = \"{}\" # {}", "a".repeat(300), "b".repeat(300));
    let text = small_type_with("name = \"Teasel caster\"", &long.replacen("\" #", "\" x #", 1));
    let listing = attempt(&text, &[]).err().map(|found| found.render(Look::Plain, 100)).unwrap_or_default();
    assert!(listing.contains('…') && listing.lines().all(|line| line.chars().count() < 120), "{listing}");
    // The place is the one in the file, not the one in what is shown.
    let text = small_type_with(
        "sizes = [\"6 pt\", \"8 pt\", ",
        &format!("sizes = [{}\"8 ptt\", ", "\"6 pt\", ".repeat(60)),
    );
    let listing = attempt(&text, &[]).err().map(|found| found.render(Look::Plain, 100)).unwrap_or_default();
    assert!(listing.contains("[t.toml:98:493]"), "{listing}");
    let lines: Vec<&str> = listing.lines().collect();
    let mark = lines.iter().position(|line| line.contains("^^^")).unwrap_or_default();
    let column = lines[mark].find("^^^").unwrap_or_default();
    let shown: String = lines[mark - 1].chars().skip(column).take(3).collect();
    assert_eq!(shown, "ptt", "{listing}");
}
