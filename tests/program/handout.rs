//! `latchstroke handout`: two pages, nothing overlapping or cut off, and the judge's own numbers on them.

use super::{run, scenario};
use latchstroke_core::studies::job::Size;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::odds;
use latchstroke_core::studies::overview::{Question, overview};
use latchstroke_core::studies::pace::{Fineness, size_map};
use latchstroke_core::studies::real_pace::CastAt;
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::watch::Unwatched;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};
use latchstroke_plots::page::{PageLayout, Paper, layout};
use latchstroke_report::film::Film;
use latchstroke_report::handout::{Answer, PAGES, document};
use latchstroke_report::odds::Doubts;
use latchstroke_report::owner::{OwnerUnits, System, significant};
use latchstroke_scenario::stated::{self, tolerance};
use latchstroke_scenario::{Override, read};
use serde_json::Value;
use std::fs;
use std::path::Path;

const SCENARIOS: [&str; 3] = ["large_initials.toml", "small_type.toml", "wrong_sleeve.toml"];

/// The pages of a scenario for these bodies (m), or for its job's, at a pace (turns/s) or each at its own, in a system or as written.
pub(super) fn pages(
    name: &str,
    bodies: &[f64],
    pace: Option<f64>,
    look: (Paper, Option<System>),
) -> PageLayout {
    pages_of(name, bodies, pace, look, 8)
}

/// The same with so many machines drawn to tell how sure the verdicts are.
fn pages_of(
    name: &str,
    bodies: &[f64],
    pace: Option<f64>,
    (paper, system): (Paper, Option<System>),
    draws: usize,
) -> PageLayout {
    let text = fs::read_to_string(scenario(name)).expect("a scenario");
    let scenario = read(name, &text, &[] as &[Override]).expect("a good scenario");
    let statement = stated::machine(&scenario);
    let own = stated::cast(&scenario).sort;
    let bodies = match bodies {
        [] => scenario.list("job.sizes").iter().map(|value| value.si).chain([own.body.0]).collect(),
        given => given.to_vec(),
    };
    let proportion = own.set.0 / own.body.0;
    let sorts: Vec<Sort> =
        bodies.iter().map(|&body| Sort { body: Length(body), set: Length(body * proportion) }).collect();
    let terms = stated::terms(&scenario);
    let question = Question {
        stated: &statement,
        terms: &terms,
        fastest: stated::fastest_pace(&scenario),
        sorts: &sorts,
        own: *sorts.last().expect("a size"),
        pace: pace.map(Pace),
        paces: &stated::paces(&scenario),
    };
    let overview = overview(&question).expect("a good machine");
    let cast = overview.own.cast;
    let machine =
        Machine::prepare(&statement, cast.sort, cast.pace, LatchSetting::Set).expect("a good machine");
    let (units, acceptance) = (OwnerUnits::asked(&scenario, system), terms.acceptance);
    let at = CastAt { asked: question.pace, fastest: question.fastest, shut: terms.shut };
    let coarse = Fineness { sizes: 3, rounds: 0 };
    let map = size_map(&statement, &sorts, (cast, at), terms, coarse, &Unwatched);
    let map = map.expect("a good machine").expect("nobody calls it off");
    let casts: Vec<Cast> =
        overview.answer.sizes.iter().filter_map(Size::told).map(|told| told.cast).collect();
    let inputs = tolerance::inputs(&scenario);
    let vary = |values: &[(&str, f64)]| tolerance::varied(&scenario, values, Pacing::Fixed);
    let pacing = question.pace.map_or(Pacing::Real { fastest: at.fastest }, |_| Pacing::Fixed);
    let drawn = odds::Question { vary: &vary, inputs: &inputs, believed: None, casts: &casts, pacing };
    let odds = drawn.draw(draws, 1, &Unwatched);
    let doubts = Doubts { scenario: &scenario, inputs: inputs.clone(), odds };
    let film = Film::new(&statement, &overview.own, 12, &units).expect("a good machine");
    let schematic = film.schematic(&scenario, &units, "a solved turn");
    let answer = Answer {
        scenario: &scenario,
        machine: &machine,
        acceptance,
        overview: &overview,
        map: &map,
        doubts: &doubts,
        schematic: &schematic,
        units,
    };
    let document = document(&answer, paper).expect("two pages");
    layout(&document).expect("a layout")
}

/// Nothing overlaps, nothing leaves the page, and no line of a paragraph stands alone.
fn is_well_set(pages: &PageLayout) {
    assert_eq!(pages.pages.len(), PAGES);
    for page in &pages.pages {
        for (n, placed) in page.iter().enumerate() {
            // Half an inch is the least that a common printer leaves white. Common practice, no source.
            assert!(placed.is_inside(pages.paper, 28.0), "{placed:?}");
            let clash = page.iter().skip(n + 1).find(|other| placed.overlaps(other));
            assert_eq!(clash, None, "{placed:?}");
        }
        let lines: Vec<_> = page.iter().filter(|placed| placed.line.is_some_and(|of| of.of > 1)).collect();
        for line in &lines {
            // Neighbours of one paragraph in one column start within its indent of each other.
            let beside = lines.iter().any(|other| {
                let (one, other_of) = (line.line.expect("a line"), other.line.expect("a line"));
                one.paragraph == other_of.paragraph
                    && one.line.abs_diff(other_of.line) == 1
                    && (line.x - other.x).abs() < 20.0
            });
            assert!(beside, "{line:?} stands alone");
        }
    }
}

#[test]
fn program_sets_two_sound_pages_for_every_scenario_and_paper() {
    for name in SCENARIOS {
        for paper in [Paper::A4, Paper::Letter] {
            is_well_set(&pages(name, &[], None, (paper, None)));
            is_well_set(&pages(name, &[], Some(0.5), (paper, None)));
        }
    }
}

#[test]
fn program_shortens_long_tables_until_all_goes_on_two_pages() {
    let bodies: Vec<f64> = (0..25).map(|n| (8.0 + 2.0 * f64::from(n)) * 0.013837 * 0.0254).collect();
    for paper in [Paper::A4, Paper::Letter] {
        let pages = pages("large_initials.toml", &bodies, None, (paper, None));
        is_well_set(&pages);
        assert!(pages.pages[0].iter().any(|placed| placed.text.contains("sizes more.")));
    }
}

#[test]
fn program_prints_the_judges_own_numbers() {
    let pt = 0.013837 * 0.0254;
    let bodies = [14.0 * pt, 24.0 * pt, 36.0 * pt];
    for (pace, asked) in [(None, &[][..]), (Some(0.25), &["--pace", "15"][..])] {
        agrees(&pages("large_initials.toml", &bodies, pace, (Paper::A4, None)), asked);
    }
}

/// Checks the rows for 14, 24 and 36 points against the judge's.
fn agrees(pages: &PageLayout, asked: &[&str]) {
    let (_, out, _) = run(&[&["judge", "--body", "14pt,24pt,36pt", "--json"], asked].concat());
    let judged: Value = serde_json::from_str(&out).expect("JSON");
    for (n, size) in ["14 pt", "24 pt", "36 pt"].iter().enumerate() {
        let cast = &judged["casts"][n];
        // The cells of the row that begins with the size, in the left of the two tables.
        let first = &pages.pages[0].iter().find(|placed| placed.text == *size).expect("a row");
        let row: Vec<&str> = pages.pages[0]
            .iter()
            .filter(|placed| (placed.y - first.y).abs() < 0.1 && placed.x < pages.paper.0 / 2.0)
            .map(|placed| placed.text.as_str())
            .collect();
        let fill = |setting: &str| {
            significant(1e3 * cast[setting]["sound_fill_time_s"].as_f64().expect("a time"), 3)
        };
        let allowed = significant(1e3 * cast["allowed_s"].as_f64().expect("a time"), 3);
        let verdict = match cast["verdict"].as_str().expect("a verdict") {
            "leave the latch aside" => "aside",
            "set the latch" => "set",
            _ => "neither",
        };
        let decides = match cast["deciding"].as_str().expect("a limit") {
            "solid" => "solid in time",
            other => other,
        };
        let pace = 60.0 * cast["pace_turns_per_s"].as_f64().expect("a pace");
        let printed: f64 = row[1].parse().expect("a pace");
        assert!((printed / pace - 1.0).abs() < 5e-3, "three figures of {pace}: {printed}");
        assert_eq!(
            [&row[..1], &row[2..]].concat(),
            [*size, &fill("latch_aside"), &fill("latch_set"), &allowed, verdict, decides]
        );
    }
}

/// The one size up to which the handout lets the latch stand aside is one that the judge passes, and a little more is not.
#[test]
fn program_states_one_threshold_that_the_judge_confirms() {
    let pages = pages("large_initials.toml", &[], None, (Paper::A4, None));
    let words: Vec<&str> =
        pages.pages.iter().flatten().flat_map(|placed| placed.text.split([' ', '\u{a0}'])).collect();
    let all = words.join(" ");
    let stated: Vec<&str> =
        all.match_indices("may stand aside up to ").map(|(at, found)| &all[at + found.len()..]).collect();
    let sizes: Vec<&str> = stated.iter().filter_map(|rest| rest.split(' ').next()).collect();
    assert!(sizes.iter().all(|size| *size == sizes[0]), "{all}");
    let body: f64 = sizes[0].parse().expect("a size");
    let verdict = |body: f64| {
        let (_, out, _) = run(&["judge", "--body", &format!("{body}pt"), "--json"]);
        let judged: Value = serde_json::from_str(&out).expect("JSON");
        judged["casts"][0]["verdict"].as_str().expect("a word").to_owned()
    };
    assert_eq!(verdict(body), "leave the latch aside");
    // Rounded down to three figures.
    assert_eq!(verdict(1.01 * body), "set the latch");
}

/// How sure the handout is of each size is what the judge says of it.
#[test]
fn program_is_as_sure_as_the_judge() {
    let path = scenario("first_evening.toml");
    let (_, judged, _) = run(&["judge", path.to_str().expect("a plain path")]);
    let sure: Vec<&str> =
        judged.lines().filter_map(|line| line.split_once("; ")?.1.strip_suffix('.')).collect();
    assert!(!sure.is_empty() && sure.iter().all(|said| said.ends_with("in 100")), "{judged}");
    // As many as the program draws.
    let pages = pages_of("first_evening.toml", &[], None, (Paper::A4, None), 128);
    let words: Vec<&str> =
        pages.pages.iter().flatten().flat_map(|placed| placed.text.split([' ', '\u{a0}'])).collect();
    let words = words.join(" ");
    for said in sure {
        assert!(words.contains(said), "{said}: {words}");
    }
}

/// How often a text occurs in the bytes of a file.
fn count(bytes: &[u8], text: &str) -> usize {
    bytes.windows(text.len()).filter(|part| *part == text.as_bytes()).count()
}

fn handout(folder: &Path, more: &[&str]) -> (i32, String, String) {
    let folder = folder.to_str().expect("a plain path");
    run(&[&["handout", "--body", "24pt", "--pace", "10", "--out", folder], more].concat())
}

#[test]
fn program_writes_a_pdf_of_two_pages_with_its_faces_embedded() {
    let folder = tempfile::tempdir().expect("a folder");
    let (code, out, err) = handout(folder.path(), &[]);
    assert_eq!((code, out.as_str()), (0, ""), "{err}");
    let pdf = fs::read(folder.path().join("handout.pdf")).expect("a handout");
    assert!(pdf.starts_with(b"%PDF-") && pdf.trim_ascii_end().ends_with(b"%%EOF"));
    assert_eq!(count(&pdf, "/Type/Page/"), 2);
    // Every font is a composite one with its file inside and its characters told (PDF 1.7, ISO 32000-1, 9.7 to 9.10).
    let fonts = count(&pdf, "/Subtype/Type0");
    assert_eq!(fonts, 4);
    assert_eq!(count(&pdf, "/FontFile2 "), fonts);
    assert_eq!(count(&pdf, "/ToUnicode "), fonts);
    let simple = ["/Subtype/Type1", "/Subtype/TrueType", "/Subtype/Type3"];
    assert_eq!(simple.map(|kind| count(&pdf, kind)), [0; 3]);
    assert_eq!(count(&pdf, "/Subtype/Image"), 0, "charts are drawn, not painted");
    let resolved = fs::read_to_string(folder.path().join("scenario.toml")).expect("the scenario");
    assert!(resolved.contains("Alder caster"));
}

#[test]
fn program_writes_the_same_handout_twice_and_over_none_unasked() {
    let folder = tempfile::tempdir().expect("a folder");
    let pdf = || fs::read(folder.path().join("handout.pdf")).expect("a handout");
    assert_eq!(handout(folder.path(), &["--paper", "letter"]).0, 0);
    let first = pdf();
    let (code, _, err) = handout(folder.path(), &["--paper", "letter"]);
    assert!(code == 2 && err.contains("--force"), "{err}");
    assert_eq!(handout(folder.path(), &["--paper", "letter", "--force"]).0, 0);
    assert!(first == pdf());
}

#[test]
fn program_tells_by_its_exit_code_when_a_size_cannot_be_cast() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().to_str().expect("a plain path");
    let wrong = scenario("wrong_sleeve.toml");
    let wrong = wrong.to_str().expect("a plain path");
    assert_eq!(run(&["handout", wrong, "--out", path]).0, 1);
    let (code, _, err) = run(&["handout", "--out", path, "--pace", "slow"]);
    assert!(code == 2 && err.contains("--pace"), "{err}");
    let (code, _, err) = run(&["handout", "--out", path, "--force", "--paper", "A3"]);
    assert!(code == 2 && err.contains("letter"), "{err}");
}
