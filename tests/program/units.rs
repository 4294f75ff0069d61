//! Measures: nothing that the program says or draws is in the system not asked for, and what was stated comes back as stated.

use super::{measured, run, scenario};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_plots::page::{Paper, layout};
use latchstroke_report::measure::sheet::{Sheet, document};
use latchstroke_report::owner::{OwnerUnits, System};
use latchstroke_scenario::{Override, read, stated};
use serde_json::Value;
use std::fs;
use std::path::Path;

/// What every command is asked, the slow ones last.
const COMMANDS: [&[&str]; 14] = [
    &["check"],
    &["judge", "--more"],
    &["judge", "--more", "--body", "14pt", "--pace", "20"],
    &["turn", "--out"],
    &["preload", "--for", "90 lbf", "--out"],
    &["parts", "--out"],
    &["calibrate", "--body", "24pt", "--pace", "15", "--out"],
    &["wrong", "--saw", "latch does not let go"],
    &["wrong", "--saw", "type hollow"],
    &["sleeve", "--body", "24pt", "--out"],
    &["tolerance", "--turns", "300", "--out"],
    &["pace", "--body", "24pt", "--out"],
    &["film", "--frames", "12", "--stills", "--out"],
    &["talk", "--body", "24pt", "--out"],
];
/// How many of them are quick.
const QUICK: usize = 10;

/// Casts remembered, so that a scenario can be calibrated by.
const CASTS: &str = "
[[experience]]
body = \"24 pt\"
pace = \"15 turns/min\"
latch = \"set\"
result = \"sound\"

[[experience]]
body = \"24 pt\"
pace = \"14 turns/min\"
latch = \"aside\"
result = \"failed\"
pot_temperature = \"690 degF\"
";

/// Words that are units of the metric system.
const METRIC: &str = "\
    mm cm m µm mm² cm² m² cm³ mm³ m³ ml l l/min N kN kgf g kg Pa kPa MPa GPa bar J kJ W kW K °C degC m/s mm/s \
    N/mm N/m W/K kg/m³";
/// Words that are units of the inch system, or begin one.
const INCH: &str = "\
    in thou ft in² in³ in/s ft/min lbf ozf lb oz psi °F degF tpi Btu Btu/h Btu/lb lbf/in lb/in³ inches";

/// Every figure in a text that has one of these units after it, and every unit that stands alone behind a comma or in brackets, as on
/// an axis.
fn with_units(text: &str, units: &str) -> Vec<String> {
    let units: Vec<&str> = units.split(' ').collect();
    let plain = text.replace(['\u{a0}', '\u{202f}'], " ");
    let words: Vec<&str> = plain.split_whitespace().collect();
    let bare = |word: &str| word.trim_matches(|c: char| "()[],;:.!?\"'“”*".contains(c)).to_owned();
    let mut found = Vec::new();
    for (n, pair) in words.windows(2).enumerate() {
        // "46 in 100" tells a chance, not a length.
        if words.get(n + 2).is_some_and(|next| pair[1] == "in" && bare(next).starts_with("100")) {
            continue;
        }
        let before = pair[0].trim_end_matches(['"', '\'']);
        let is_figure = before.ends_with(|c: char| c.is_ascii_digit());
        let is_axis = before.ends_with([',', '(']) || pair[1].starts_with('(');
        let unit = bare(pair[1]);
        let long = unit.chars().count() > 1 && unit != "in";
        if units.contains(&unit.as_str()) && (is_figure || is_axis && long) {
            found.push(pair.join(" "));
        }
    }
    // Units written close to their figures.
    for word in &words {
        let word = bare(word);
        let unit = word.trim_start_matches(|c: char| c.is_ascii_digit() || ".,−-".contains(c));
        if unit.len() < word.len() && units.contains(&unit) {
            found.push(word);
        }
    }
    found
}

/// The words of a file that carries some: the labels of a drawing, the text of a page, notes.
fn words_of(path: &Path) -> Option<String> {
    let text = || fs::read_to_string(path).expect("text");
    match path.extension()?.to_str()? {
        "svg" => Some(labels(&text(), '\'')),
        "md" => Some(text()),
        "html" => {
            let text = text();
            let body = text.split("</style>").nth(1).unwrap_or_default();
            Some(body.replace('<', " <").replace('>', "> ") + &labels(&text, '\''))
        }
        _ => None,
    }
}

/// Every label of an SVG, one a line.
fn labels(svg: &str, quote: char) -> String {
    let start = format!("aria-label={quote}");
    svg.split(&start).skip(1).filter_map(|rest| rest.split(quote).next()).collect::<Vec<_>>().join(" |\n")
}

/// All that a command says of a scenario in a system.
fn said(command: &[&str], scenario: &str, units: &str) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let mut arguments = command.to_vec();
    if arguments.last() == Some(&"--out") {
        arguments.push(out.to_str().expect("a plain path"));
    }
    arguments.insert(1, scenario);
    arguments.extend(["--units", units]);
    let (code, mut said, err) = run(&arguments);
    assert_ne!(code, 2, "{arguments:?}: {err}");
    let files = fs::read_dir(&out).into_iter().flatten().map(|entry| entry.expect("a file").path());
    for words in files.filter_map(|path| words_of(&path)) {
        said += "\n";
        said += &words;
    }
    said
}

/// Checks all that commands say of a scenario.
fn leaves_nothing_over(scenario: &str, commands: &[&[&str]]) {
    let mut over = Vec::new();
    for (units, others, own) in [("inch", METRIC, INCH), ("metric", INCH, METRIC)] {
        for command in commands {
            let said = said(command, scenario, units);
            over.extend(with_units(&said, others).into_iter().map(|figure| (units, command[0], figure)));
            assert!(!with_units(&said, own).is_empty(), "{command:?} --units {units}: no figure at all");
        }
    }
    assert_eq!(over, []);
}

#[test]
fn program_a_system_that_there_is_not_is_refused() {
    let (code, _, err) = run(&["judge", "--units", "cubits"]);
    assert_eq!(code, 2);
    assert!(err.contains("metric") && err.contains("inch"), "{err}");
}

#[test]
fn program_one_system_leaves_nothing_of_the_other_in_a_scenario_of_inches() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("rowan.toml");
    let text = fs::read_to_string(measured()).expect("a scenario") + CASTS;
    fs::write(&path, text).expect("written");
    let path = path.to_str().expect("a plain path");
    leaves_nothing_over(path, &COMMANDS);
    leaves_nothing_over(path, &[&["warm", "--out"]]);
}

#[test]
fn program_one_system_leaves_nothing_of_the_other_in_a_metric_scenario() {
    leaves_nothing_over(scenario("known_casts.toml").to_str().expect("a plain path"), &COMMANDS[..QUICK]);
    leaves_nothing_over(scenario("small_type.toml").to_str().expect("a plain path"), &[&["warm", "--out"]]);
}

#[test]
fn program_one_system_leaves_nothing_of_the_other_in_what_to_measure_and_what_is_wrong() {
    let path = |name: &str| scenario(name).display().to_string();
    leaves_nothing_over(&path("first_evening.toml"), &[&["measure"]]);
    leaves_nothing_over(&path("large_initials.toml"), &[&["wrong", "--saw", "metal squirts"]]);
    for name in ["first_evening.toml", "large_initials.toml"] {
        let text = fs::read_to_string(scenario(name)).expect("a scenario");
        let scenario = read(name, &text, &[] as &[Override]).expect("a good scenario");
        let (stated, cast) = (stated::machine(&scenario), stated::cast(&scenario));
        let machine =
            Machine::prepare(&stated, cast.sort, cast.pace, LatchSetting::Set).expect("a good machine");
        for (system, others, own) in [(System::Inch, METRIC, INCH), (System::Metric, INCH, METRIC)] {
            let units = OwnerUnits::asked(&scenario, Some(system));
            let sheet =
                Sheet { scenario: &scenario, stated: &stated, machine: &machine, example: false, units };
            let pages = layout(&document(&sheet, Paper::A4).expect("a worksheet")).expect("a layout");
            let said: Vec<&str> = pages.pages.iter().flatten().map(|placed| placed.text.as_str()).collect();
            let said = said.join("\n");
            assert_eq!(with_units(&said, others), Vec::<String>::new(), "{name} {system:?}");
            assert!(with_units(&said, own).len() > 10, "{name} {system:?}: {said}");
        }
    }
}

#[test]
fn program_one_system_leaves_nothing_of_the_other_in_bench_readings() {
    let folder = tempfile::tempdir().expect("a folder");
    let tables = [super::reading::spring(folder.path()), super::reading::cam(folder.path())];
    let [spring, cam] = tables.map(|path| path.display().to_string());
    let file = scenario("large_initials.toml").display().to_string();
    let asked: [&[&str]; 5] = [
        &["spring", &spring, "--at", "111 mm", "--scenario", &file],
        &["cam", &cam],
        &["cam", &cam, "--unsmoothed", "--scenario", &file],
        &["slip", "--distance", "5 mm", "--load", "15 kgf", "8", "9 s", "--scenario", &file],
        &["casts", "--count", "20", "--jets", "30 g", "--types", "11 oz", "--scenario", &file],
    ];
    for (units, others, own) in [("inch", METRIC, INCH), ("metric", INCH, METRIC)] {
        for arguments in asked {
            let (code, said, err) = run(&[&["reading"], arguments, &["--units", units]].concat());
            assert_eq!(code, 0, "{arguments:?}: {err}");
            assert_eq!(with_units(&said, others), Vec::<String>::new(), "{arguments:?} {units}: {said}");
            assert!(!with_units(&said, own).is_empty(), "{arguments:?} {units}: no figure at all");
            let (_, json, _) = run(&[&["reading"], arguments, &["--json"]].concat());
            let mut names = Vec::new();
            numbers(&serde_json::from_str(&json).expect("JSON"), "", &mut names);
            let unnamed: Vec<&String> = names
                .iter()
                .filter(|name| {
                    !ENDINGS.split(' ').any(|ending| name.ends_with(ending)) && !name.ends_with("_SI")
                })
                .filter(|name| !OF_READINGS.split(' ').any(|plain| plain == *name))
                .collect();
            assert!(unnamed.is_empty(), "{arguments:?}: {unnamed:?}");
        }
    }
}

/// Names of numbers in bench readings that are shares and counts.
const OF_READINGS: &str = "\
    readings on_the_line left_out_lines runs left_out_times share count share_full share_full_half_interval \
    rate_half_interval_N_m bears_nothing_half_interval_m mean_time_half_interval_s";

#[test]
fn program_one_system_leaves_nothing_of_the_other_on_the_handout() {
    for name in ["large_initials.toml", "../tests/program/scenarios/measured_in_inches.toml"] {
        for (system, others) in [(System::Inch, METRIC), (System::Metric, INCH)] {
            let pages = super::handout::pages(name, &[], None, (Paper::A4, Some(system)));
            let said: Vec<&str> = pages.pages.iter().flatten().map(|placed| placed.text.as_str()).collect();
            let said = said.join("\n");
            // The paper's own lines break figures from units; both stand in one line by a hard space.
            assert_eq!(with_units(&said, others), Vec::<String>::new(), "{name} {system:?}");
        }
    }
}

#[test]
fn program_a_value_stated_comes_back_as_stated() {
    let scenario = measured();
    let scenario = scenario.to_str().expect("a plain path");
    let (_, judged, _) = run(&["judge", scenario, "--more", "--body", "14pt"]);
    assert!(judged.contains("a skin of 0.5 mm"), "{judged}");
    let (_, drawn, _) = run(&["tolerance", scenario, "--turns", "300"]);
    assert!(drawn.contains("known to ± 1/64 in"), "{drawn}");
    assert!(drawn.contains("stack.sleeve = 2 7/8 in ± 1/64 in"), "{drawn}");
    let (_, sleeve, _) = run(&["sleeve", scenario, "--body", "24pt"]);
    assert!(sleeve.contains("2 7/8 in"), "{sleeve}");
    // In the other system it is converted, tolerance and all.
    let (_, listed, _) = run(&["check", scenario, "--units", "metric"]);
    assert!(listed.contains("73.02 ± 0.4 mm"), "{listed}");
}

/// Endings of keys that carry a unit: its SI symbol.
const ENDINGS: &str = "\
    _s _m _m2 _m3 _kg _N _N_m _Pa _J _W _K _rad _m_s _turns_per_s _W_m2K";
/// Names of numbers that are shares, ratios or counts, and of those whose unit stands beside them or in the name above.
const PLAIN: &str = "\
    drawn share_of_doubt_settled_by accepted_solid air_left air_packed as_stated bound casts_until_warm chance_asked chance_sound count \
    deviation energy_residual factor failed fatigue_safety filled filled_by_springs foreseen from greatest \
    greatest_tried high information_bits lapping_over_skin least least_tried line log_correlation log_deviation \
    log_evidence_lapping log_evidence_least log_evidence_skin log_time_less low margin mean median nine_in_ten \
    now number of p05 p50 p95 pace_reserve pieces reserve reynolds seed set_over_body share snap_share sound \
    sound_latch_aside sound_latch_set stated sure trapped_air turns turns_asked turns_each turns_finished \
    turns_from_now turns_impossible impossible value verdict_holds";

/// The name of every number of an answer; one under a key of a scenario has the name above.
fn numbers(value: &Value, name: &str, found: &mut Vec<String>) {
    match value {
        Value::Number(_) => found.push(name.to_owned()),
        Value::Array(all) => {
            for value in all {
                numbers(value, name, found);
            }
        }
        Value::Object(all) => {
            for (key, value) in all {
                numbers(value, if key.contains('.') { name } else { key }, found);
            }
        }
        _ => {}
    }
}

#[test]
fn program_every_number_of_every_answer_has_its_unit_in_its_name() {
    let [casts, cooled] =
        ["known_casts.toml", "small_type.toml"].map(|name| scenario(name).display().to_string());
    let mut found = Vec::new();
    for command in [
        &["judge"][..],
        &["turn", "--surge"],
        &["sleeve"],
        &["preload", "--for", "400 N"],
        &["pace"],
        &["warm"],
        &["tolerance", "--turns", "300"],
        &["calibrate"],
    ] {
        let mut arguments = command.to_vec();
        arguments.insert(1, if command[0] == "warm" { &cooled } else { &casts });
        arguments.push("--json");
        let (_, out, err) = run(&arguments);
        let answer: Value =
            serde_json::from_str(&out).unwrap_or_else(|error| panic!("{command:?}: {error} {err}"));
        numbers(&answer, "", &mut found);
    }
    found.sort();
    found.dedup();
    let unnamed: Vec<&String> = found
        .iter()
        // Speeds are in metres by seconds, not per second; only turns are.
        .filter(|key| !ENDINGS.split(' ').any(|ending| key.ends_with(ending)) || key.ends_with("_m_per_s"))
        .filter(|key| !PLAIN.split(' ').any(|name| name == *key))
        .collect();
    assert!(unnamed.is_empty(), "{unnamed:?}");
}
