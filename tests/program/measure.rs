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
    let (code, out, _) = run(&["measure", &first_evening(), "--for", "sleeve", "--body", "24pt", "--json"]);
    assert_eq!(code, 0);
    let answer: Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(answer["question"], "sleeve");
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
