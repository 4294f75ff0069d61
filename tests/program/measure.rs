//! `latchstroke measure`: what it ranks first, whether that settles what it says, the worksheet, files and exit codes.

use super::{run, scenario};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_plots::page::{Paper, layout};
use latchstroke_report::measure::sheet::{PAGES, Sheet, document};
use latchstroke_report::owner::{OwnerUnits, System};
use latchstroke_scenario::catalogue::bench::{Place, all};
use latchstroke_scenario::{Override, read, stated};
use serde_json::Value;
use std::fs;

fn first_evening() -> String {
    scenario("first_evening.toml").display().to_string()
}

fn json(arguments: &[&str]) -> Value {
    let (code, out, err) = run(arguments);
    assert!(code == 0 || code == 1, "{err}");
    serde_json::from_str(&out).expect("JSON")
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

#[test]
fn program_measures_first_what_the_judge_says_settles_most() {
    let file = first_evening();
    let answer = json(&["measure", &file, "--body", "24pt", "--json"]);
    let first = &list(&answer, "measure")[0];
    assert_eq!(first["key"], "metal.pot_temperature", "{answer}");
    assert!(list(&answer, "measure").iter().all(|one| one["key"] != "mould.heat_transfer"));
    assert!(list(&answer, "told_by_casts").iter().any(|one| one["key"] == "mould.heat_transfer"));
    // Ranked by what it tells for each minute.
    let worth = |one: &Value| one["share_of_doubt"].as_f64().unwrap() / one["minutes"].as_f64().unwrap();
    let worths: Vec<f64> = list(&answer, "measure").iter().map(worth).collect();
    assert!(worths.is_sorted_by(|a, b| a >= b), "{worths:?}");
    // Each share is what is told, over the doubt.
    let doubt = answer["sizes"][0]["doubt_nats"].as_f64().expect("a number");
    let told = first["told_nats"][0].as_f64().expect("a number");
    assert!((told / doubt - first["share_of_doubt"].as_f64().unwrap()).abs() < 1e-9);
    // The judge, from fewer machines, names the same value or one that casts tell of.
    let judged = json(&["judge", &file, "--body", "24pt", "--json"]);
    let sizes = list(&judged["odds"], "sizes");
    let shares = sizes[0]["share_of_doubt_settled_by"].as_object().expect("shares");
    let share = |key: &str| shares[key].as_f64().expect("a share");
    let best = shares.keys().max_by(|a, b| share(a).total_cmp(&share(b))).expect("a key");
    let named = [first["key"].as_str().unwrap(), "mould.heat_transfer", "job.accepted_skin"];
    assert!(named.contains(&best.as_str()), "{best}");
}

/// H of the verdict on the one size judged, nats, with the pot at a temperature or as it is assumed.
fn doubt(pot: Option<&str>) -> f64 {
    let (file, pot) = (first_evening(), pot.map(|pot| format!("metal.pot_temperature={pot}")));
    let mut arguments = vec!["measure", &file, "--body", "24pt", "--json"];
    arguments.extend(pot.iter().flat_map(|pot| ["--set", pot.as_str()]));
    json(&arguments)["sizes"][0]["doubt_nats"].as_f64().expect("a number")
}

#[test]
fn property_measuring_what_is_ranked_first_takes_away_what_it_says() {
    let file = first_evening();
    let answer = json(&["measure", &file, "--body", "24pt", "--json"]);
    let share = list(&answer, "measure")[0]["share_of_doubt"].as_f64().expect("a number");
    let before = doubt(None);
    // Assumed anywhere from 330 to 390 degC alike: read at the middles of six equal parts of that.
    let after: f64 = (0..6).map(|n| doubt(Some(&format!("{} degC ± 3 K", 335 + 10 * n)))).sum::<f64>() / 6.0;
    let taken = 1.0 - after / before;
    // Expected is I(V; Y) cut into four parts, which loses a little of it. With 512 machines each entropy is good to
    // √(p(1 − p)/512)·ln((1 − p)/p), 0.025 at p = 0.2, of some 0.5; six readings and the share itself make that 0.05.
    assert!(taken > 0.05 && (taken - share).abs() < 0.1, "says {share}, takes {taken}");
}

/// How the length that the sleeve must have is spread over the machines drawn, with a value read: its standard deviation, m.
fn spread_of_length(set: Option<&str>) -> f64 {
    let file = scenario("wrong_sleeve.toml").display().to_string();
    let mut arguments = vec!["measure", &file, "--for", "sleeve", "--body", "24pt", "--json"];
    arguments.extend(set.iter().flat_map(|set| ["--set", set]));
    let answer = json(&arguments);
    assert_eq!(answer["question"], "sleeve");
    answer["length"]["deviation_m"].as_f64().expect("a number")
}

#[test]
fn property_measuring_what_the_length_hangs_on_narrows_it() {
    let file = scenario("wrong_sleeve.toml").display().to_string();
    let answer = json(&["measure", &file, "--for", "sleeve", "--body", "24pt", "--json"]);
    let ranked = list(&answer, "measure");
    assert_eq!(ranked[0]["key"], "spring[1].rate", "{answer}");
    let share = |key: &str| {
        let one = ranked.iter().find(|one| one["key"] == key).unwrap_or_else(|| panic!("{key}: {answer}"));
        one["share_of_doubt"].as_f64().expect("a number")
    };
    // How the sleeve now fitted was measured says nothing of the one to make; the cam's angles hardly do.
    assert!(share("stack.sleeve") < 0.02 && share("cam.rise") < 0.02);
    let before = spread_of_length(None);
    // As stated and at either end of what it may be: the mean of what is left is what is left on the whole.
    let left = |values: [&str; 3]| values.map(|set| spread_of_length(Some(set))).iter().sum::<f64>() / 3.0;
    let rate = left([
        "spring[1].rate=9.7 N/mm ± 1 %",
        "spring[1].rate=10 N/mm ± 1 %",
        "spring[1].rate=10.3 N/mm ± 1 %",
    ]);
    let rise = left(["cam.rise=79 deg ± 0.2 deg", "cam.rise=80 deg ± 0.2 deg", "cam.rise=81 deg ± 0.2 deg"]);
    // 256 machines tell a deviation to one part in √512, and the mean of three of them better.
    assert!(rate < 0.9 * before, "{before} before, {rate} with the rate known");
    assert!(rise > 0.95 * before && rise > 1.1 * rate, "{before} before, {rise} with the rise known");
}

#[test]
fn program_says_how_and_what_to_type() {
    let (code, out, err) = run(&["measure", &first_evening(), "--body", "24pt", "--units", "metric"]);
    assert_eq!((code, err.as_str()), (0, ""));
    for said in [
        "Measure first: the metal's pot temperature (takes away about",
        "Remember casts: nobody can measure the mould's heat transfer",
        "[metal] pot_temperature = \"... degC ± 3 degC\"",
        "Switch the power off",
    ] {
        assert!(out.contains(said), "no {said} in\n{out}");
    }
    // Nothing says how a trip lift that was read directly hangs on a sleeve.
    let (code, out, err) =
        run(&["measure", &scenario("small_type.toml").display().to_string(), "--for", "sleeve"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("nothing says how it hangs on the sleeve"), "{err}");
}

#[test]
fn program_sets_a_worksheet_for_either_paper_and_never_over_a_file() {
    let folder = tempfile::tempdir().expect("a folder");
    for paper in ["a4", "letter"] {
        let out = folder.path().join(paper).display().to_string();
        let arguments = ["measure", &first_evening(), "--body", "24pt", "--paper", paper, "--out", &out];
        let (code, _, err) = run(&arguments);
        assert_eq!(code, 0, "{err}");
        let pdf = fs::read(folder.path().join(paper).join("worksheet.pdf")).expect("a worksheet");
        assert!(pdf.starts_with(b"%PDF"));
        let (code, said, err) = run(&arguments);
        assert_eq!(code, 2, "{err}");
        assert!(said.is_empty() && err.contains("already there"), "{err}");
        assert_eq!(fs::read(folder.path().join(paper).join("worksheet.pdf")).expect("a worksheet"), pdf);
    }
    let (code, out, err) = run(&["measure", &first_evening(), "--set", "cam.lift=3 parsecs"]);
    assert_eq!(code, 2);
    assert!(out.is_empty() && err.contains("parsecs"), "{err}");
    let (code, ..) = run(&["measure", "--paper", "letter"]);
    assert_eq!(code, 2, "paper without a folder");
}

#[test]
fn program_worksheet_has_every_place_and_nothing_overlaps() {
    for name in ["first_evening.toml", "large_initials.toml", "small_type.toml", "wrong_sleeve.toml"] {
        let text = fs::read_to_string(scenario(name)).expect("a scenario");
        let scenario = read(name, &text, &[] as &[Override]).expect("a good scenario");
        let (machine, cast) = (stated::machine(&scenario), stated::cast(&scenario));
        let prepared =
            Machine::prepare(&machine, cast.sort, cast.pace, LatchSetting::Set).expect("a good machine");
        for (paper, system, example) in [
            (Paper::A4, System::Metric, false),
            (Paper::Letter, System::Inch, false),
            (Paper::A4, System::Inch, true),
            (Paper::Letter, System::Metric, true),
        ] {
            let units = OwnerUnits::asked(&scenario, Some(system));
            let sheet = Sheet { scenario: &scenario, stated: &machine, machine: &prepared, example, units };
            let document = document(&sheet, paper).unwrap_or_else(|error| panic!("{name}: {error}"));
            let pages = layout(&document).expect("a layout");
            assert!(pages.pages.len() <= PAGES);
            let words: Vec<&str> = pages.pages.iter().flatten().map(|placed| placed.text.as_str()).collect();
            for page in &pages.pages {
                for (n, placed) in page.iter().enumerate() {
                    assert!(placed.is_inside(pages.paper, 28.0), "{name}: {placed:?}");
                    let clash = page.iter().skip(n + 1).find(|other| placed.overlaps(other));
                    assert_eq!(clash, None, "{name}: {placed:?}");
                }
            }
            let cell = |said: &str| words.contains(&said);
            assert!(cell("1 lift") && cell("11 diameter") && cell("13 pot temperature"), "{words:?}");
            let blanks = words.iter().filter(|word| word.starts_with('_')).count();
            let numbered =
                |place: Place| words.iter().any(|word| word.starts_with(&format!("{} ", place.number())));
            assert!(all().filter(|of| of.path.starts_with("piston.")).all(|of| numbered(of.place)));
            // An example's values are nobody's: all are blank.
            assert_eq!(cell("1 1/4 in"), name == "first_evening.toml" && !example && system == System::Inch);
            assert!(!example || blanks > 30, "{name}: {blanks} blanks");
        }
    }
}
