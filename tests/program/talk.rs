//! `latchstroke talk` as a user runs it: the folder it makes, and its headlines against the solved numbers.

mod figures;
mod findings;
mod pictures;
mod told;

use super::{latchstroke, run, scenario};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::LazyLock;

/// The demo's 24 pt at 12 turns/min, which wants the latch.
const ASKED: [&str; 4] = ["--body", "24pt", "--pace", "12"];

/// Its talk, made once for the tests that only read it.
static TALK: LazyLock<BTreeMap<String, Vec<u8>>> = LazyLock::new(|| talk(&ASKED, 0));

fn path_of(name: &str) -> String {
    scenario(name).display().to_string()
}

/// Runs a talk into a new folder and reads every file of it.
fn talk(arguments: &[&str], code: i32) -> BTreeMap<String, Vec<u8>> {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("talk");
    let (ended, said, err) =
        run(&[&["talk"], arguments, &["--out", out.to_str().expect("a plain path")]].concat());
    assert_eq!(ended, code, "{err}");
    assert!(!err.contains("no room"), "{err}");
    assert!(said.contains("Cautions") && said.trim_end().ends_with("come first."), "{said}");
    files(&out)
}

fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("a folder");
    entries
        .map(|entry| {
            let entry = entry.expect("a file");
            (entry.file_name().into_string().expect("a plain name"), fs::read(entry.path()).expect("a file"))
        })
        .collect()
}

fn text<'a>(files: &'a BTreeMap<String, Vec<u8>>, name: &str) -> &'a str {
    let bytes = files.get(name).unwrap_or_else(|| panic!("{name} in {:?}", files.keys()));
    std::str::from_utf8(bytes).expect("UTF-8")
}

/// Headlines by the name of the picture, without its number, as the table of contents states them.
fn headlines(files: &BTreeMap<String, Vec<u8>>) -> BTreeMap<String, String> {
    text(files, "contents.md")
        .lines()
        .filter_map(|line| {
            let (name, rest) = line.strip_prefix("| `")?.split_once("` | ")?;
            let (_, stem) = name.split_once('-')?;
            Some((stem.to_owned(), rest.split_once(" | ")?.0.to_owned()))
        })
        .collect()
}

/// Every number with its unit's first word that a headline states, in their order.
fn numbers(headline: &str) -> Vec<f64> {
    headline
        .split(|c: char| !(c.is_ascii_digit() || c == '.'))
        .filter_map(|word| word.trim_matches('.').parse().ok())
        .collect()
}

fn json(arguments: &[&str]) -> Value {
    let (_, out, err) = run(&[arguments, &["--json"]].concat());
    serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {err}"))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// Figures are printed to three digits: half a unit of the third, of a number that may begin with 1.
fn assert_printed(figure: f64, solved: f64, what: &str) {
    assert!((figure / solved - 1.0).abs() <= 5.001e-3, "{what}: {figure} printed, {solved} solved");
}

#[test]
fn program_talk_makes_every_file_of_the_talk() {
    let files = &*TALK;
    let names: Vec<&str> = files.keys().map(String::as_str).collect();
    let pictures: Vec<&str> = names.iter().filter_map(|name| name.strip_suffix(".png")).collect();
    assert_eq!(pictures.len(), headlines(files).len());
    for name in ["contents.md", "film.html", "notes.md", "scenario.toml", "talk.html", "talk.pdf"] {
        assert!(names.contains(&name), "{name} in {names:?}");
    }
    let mut numbers: Vec<usize> =
        pictures.iter().filter_map(|name| name.split_once('-')?.0.parse().ok()).collect();
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=pictures.len()).collect::<Vec<_>>());
    for name in &pictures {
        let coded = std::io::Cursor::new(&files[&format!("{name}.png")]);
        let mut decoder = png::Decoder::new(coded).read_info().expect("a readable PNG");
        let mut pixels = vec![0; decoder.output_buffer_size().expect("a picture that fits")];
        let frame = decoder.next_frame(&mut pixels).expect("a whole PNG");
        assert_eq!((frame.width, frame.height), (1920, 1080), "{name}");
        let svg = text(files, &format!("{name}.svg"));
        let document = roxmltree::Document::parse(svg).expect("a readable SVG");
        for node in document.descendants() {
            assert_ne!(node.tag_name().name(), "text", "{name}");
            assert_ne!(node.tag_name().name(), "image", "{name}");
            assert!(!node.attributes().any(|a| a.name() == "href" || a.value().contains("url(")), "{name}");
        }
    }
}

/// Outside its compressed streams a PDF is plain text (ISO 32000-1, section 7).
#[test]
fn program_talk_pdf_has_a_page_for_each_picture_and_its_fonts_inside() {
    let plain = String::from_utf8_lossy(&TALK["talk.pdf"]).into_owned();
    let pictures = headlines(&TALK).len();
    assert_eq!(plain.matches("/Type/Page/").count(), pictures);
    // 16 : 9.
    assert_eq!(plain.matches("/MediaBox[0 0 960 540]").count(), pictures);
    assert!(plain.contains("/FontFile"), "no font inside");
    assert!(!plain.contains("/CreationDate") && !plain.contains("/ModDate"));
}

#[test]
fn program_talk_page_holds_all_pictures_and_loads_nothing() {
    let page = text(&TALK, "talk.html");
    assert!(!page.contains("http:") && !page.contains("https:"));
    for loads in ["<img", "<link", "src=", "@import", "url(", "fetch(", "xlink"] {
        assert!(!page.contains(loads), "{loads}");
    }
    let headlines = headlines(&TALK);
    let (outside, film) = page.split_once("data-film=\"").expect("the film");
    let (film, rest) = film.split_once("\"></iframe>").expect("its end");
    assert_eq!(outside.matches("<svg ").count() + rest.matches("<svg ").count(), headlines.len());
    // The film is the one of the folder.
    let film = film.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&#39;", "'");
    assert_eq!(film.replace("&amp;", "&"), text(&TALK, "film.html"));
    for headline in headlines.values() {
        assert!(page.contains(&format!("aria-label=\"{headline}\"")), "{headline}");
    }
    assert!(page.contains("ArrowRight") && page.contains("aria-label=\"Next\"") && page.contains("Cautions"));
    // An id that stood twice would mix up the pictures.
    let mut ids: Vec<&str> =
        page.split(" id=\"").skip(1).filter_map(|rest| rest.split_once('"')).map(|(id, _)| id).collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all);
}

#[test]
fn program_talk_headlines_state_the_solved_numbers() {
    let headlines = headlines(&TALK);
    let change = ["--set", "job.body=24 pt", "--set", "job.set=24 pt", "--set", "job.pace=12 turns/min"];
    let turn = json(&[&["turn"], &change[..]].concat());
    let time = |side: &str| 1e3 * number(&turn[side]["fill_time_s"]);
    let (aside, set) = (time("latch_aside"), time("latch_set"));
    let allowed = 1e3 * number(&turn["allowed_s"]);

    // "24 pt at 12 turns/min has 113 ms to fill: it takes 161 ms with the latch aside, 26.0 ms with it set"
    let told = numbers(&headlines["fill-times"]);
    assert_eq!(told.len(), 5, "{headlines:?}");
    assert_printed(told[2], allowed, "allowed");
    assert_printed(told[3], aside, "aside");
    assert_printed(told[4], set, "set");

    // "Set the latch for 24 pt at 12 turns/min: the mould is full in 26.0 ms instead of 161 ms, and has 113 ms"
    let told = numbers(&headlines["answer"]);
    assert_printed(told[2], set, "answer, set");
    assert_printed(told[3], aside, "answer, aside");
    assert_printed(told[4], allowed, "answer, allowed");

    // From half the cast's pace, since the demo's own paces begin above it.
    let speed = |pace: &str, side: &str| {
        let own = [&change[..4], &["--set", pace]].concat();
        number(&json(&[&["turn"], &own[..]].concat())[side]["peaks"]["piston_speed_m_s"])
    };
    let told = numbers(&headlines["piston-speed"]);
    assert_printed(told[0], speed("job.pace=6 turns/min", "latch_aside"), "carried, slow");
    assert_printed(told[1], 6.0, "the slow pace");
    assert_printed(told[2], speed("job.pace=12 turns/min", "latch_aside"), "carried");
    assert_printed(told[4], speed("job.pace=12 turns/min", "latch_set"), "thrown");

    // By hand from the demo's stack: 2 15/16 in − 2 11/16 in + 1/4 in = 1/2 in.
    assert_printed(numbers(&headlines["latch"])[0], 12.7, "trip lift");
}

/// Sizes that the judge passes and one that it does not: each is told of as the judge has it, and the exit code is the judge's.
#[test]
fn program_talk_names_the_sizes_the_judge_passes() {
    let asked = ["--body", "14pt,18pt,24pt", "--pace", "14"];
    let (code, _, _) = run(&[&["judge"], &asked[..]].concat());
    let headline = headlines(&talk(&asked, code))["fill-times"].replace('\u{a0}', " ");
    let judged = json(&[&["judge"], &asked[..]].concat());
    let of = |verdict: &str| -> Vec<String> {
        let casts = judged["casts"].as_array().expect("casts").iter();
        let body = |cast: &Value| format!("{:.0}", number(&cast["body_m"]) / (0.013_837 * 0.0254));
        casts.filter(|cast| cast["verdict"] == verdict).map(body).collect()
    };
    let (aside, set) = (of("leave the latch aside"), of("set the latch"));
    let neither = of("neither will do");
    assert!([&aside, &set, &neither].iter().all(|of| of.len() == 1), "all three must occur: {judged}");
    let expected = format!(
        "{} pt comes out sound with the latch aside, {} pt only with it set, {} pt with neither setting",
        aside[0], set[0], neither[0]
    );
    assert_eq!(headline, expected);
}

#[test]
fn program_talk_headlines_follow_the_finding() {
    let wrong = headlines(&talk(&[&path_of("wrong_sleeve.toml")], 1));
    assert!(wrong["latch"].starts_with("The latch never lets go"), "{wrong:?}");
    assert!(wrong["piston-speed"].contains("throws it at no pace"), "{wrong:?}");
    assert!(wrong["fill-times"].ends_with("set, the latch never lets go"), "{wrong:?}");
    assert!(wrong["sleeve"].contains("too short to trip"), "{wrong:?}");
    assert!(wrong["size-pace-map"].ends_with("the latch never lets go"), "{wrong:?}");
    let small = headlines(&talk(&[&path_of("small_type.toml"), "--dark"], 0));
    assert!(small["latch"].starts_with("The latch holds the rod"), "{small:?}");
    assert!(small["fill-times"].starts_with("All 4 sizes come out sound"), "{small:?}");
    assert!(small["answer"].starts_with("Leave the latch aside"), "{small:?}");
    let long = headlines(&talk(&["--body", "14pt", "--pace", "20", "--set", "stack.sleeve=3 in"], 0));
    // By hand: 3 in of sleeve against 2 15/16 in of room is 1/16 in too much.
    assert_printed(numbers(&long["latch"])[0], 25.4 / 16.0, "too long by");
    assert!(long["sleeve"].contains("too long to hold"), "{long:?}");
}

/// The verdict, the limit that decides and the exit code are the judge's, also where the type is not solid in time or the latch
/// cannot work; and no sleeve is offered where none would do.
#[test]
fn program_talk_never_says_otherwise_than_the_judge() {
    let wrong = path_of("wrong_sleeve.toml");
    for asked in [
        &["--body", "5pt", "--pace", "140"][..],
        &["--body", "24pt", "--pace", "20"],
        &["--body", "24pt", "--pace", "12"],
        &[&wrong, "--body", "24pt", "--pace", "30"],
    ] {
        let (code, said, _) = run(&[&["judge"], asked].concat());
        let files = talk(asked, code);
        let judged = json(&[&["judge"], asked].concat());
        let verdict = judged["casts"][0]["verdict"].as_str().expect("a word");
        let answer = text(&files, "contents.md").lines().nth(2).expect("the answer").to_owned();
        assert!(answer.contains(verdict), "{answer} {said}");
        let headlines = headlines(&files);
        let (said, changes) = (&headlines["answer"], &headlines["changes"]);
        assert_eq!(said.starts_with("Set the latch"), verdict == "set the latch", "{said}");
        assert_eq!(said.starts_with("Leave the latch"), verdict == "leave the latch aside", "{said}");
        if verdict == "neither will do" {
            assert!(!changes.contains("sleeve"), "{changes}");
        }
    }
}

/// What the closing slide proposes does when it is typed in: the pace of a cast too fast to be solid, and the pot of one that laps.
#[test]
fn program_talk_proposes_only_what_the_judge_then_passes() {
    let proposed = |files: &BTreeMap<String, Vec<u8>>| headlines(files)["changes"].replace('\u{a0}', " ");
    let fast = proposed(&talk(&["--body", "24pt", "--pace", "20"], 1));
    let pace = fast.strip_prefix("A pace of ").and_then(|rest| rest.split(' ').next()).expect("a pace");
    assert_eq!(run(&["judge", "--body", "24pt", "--pace", pace]).0, 0, "{fast}");
    // No sleeve gives these prongs their travel, and none is offered.
    let travel = ["--set", "latch.prong_travel=31 mm"];
    let told = talk(&[&["--body", "24pt", "--pace", "12"], &travel[..]].concat(), 1);
    assert!(!headlines(&told).contains_key("sleeve"));
    assert!(text(&told, "contents.md").contains("o sleeve works"), "{told:?}");
    let cold = proposed(&told);
    let pot = cold.strip_prefix("A pot at ").and_then(|rest| rest.split(' ').next()).expect("a pot");
    assert!(!cold.contains("sleeve") && !cold.contains("trip lift"), "{cold}");
    let hotter = format!("metal.pot_temperature={pot} degC");
    let judged = [&["judge", "--body", "24pt", "--pace", "12"], &travel[..], &["--set", &hotter]].concat();
    assert_eq!(run(&judged).0, 0, "{cold}");
}

/// The sleeve that one slide says to keep is not another one on the next, and the preload stated is the lesser of the two settings'.
#[test]
fn program_talk_slides_agree_with_each_other() {
    let told = headlines(&TALK);
    assert!(told["sleeve"].starts_with("Keep the sleeve of 2\u{a0}11/16\u{a0}in"), "{told:?}");
    let notes = text(&TALK, "notes.md").replace('\u{a0}', " ");
    assert!(notes.contains("2 11/16 in: is the sleeve now fitted: keep it"), "{notes}");
    assert!(!notes.contains("The one recommended is"), "{notes}");

    let small = talk(&[&path_of("small_type.toml")], 0);
    let headline = &headlines(&small)["preload"];
    let notes = text(&small, "notes.md").replace('\u{a0}', " ");
    let most = |setting: &str| {
        let line =
            notes.lines().find(|line| line.starts_with(&format!("- {setting}: from"))).expect("a range");
        numbers(line.rsplit_once("up to ").expect("an end").1)[0]
    };
    let lesser = most("latch aside").min(most("latch set"));
    assert!(headline.starts_with("Latch aside or set"), "{headline}");
    // Both are printed by one formatter.
    assert!((numbers(headline)[1] - lesser).abs() < 1e-9, "{headline}");
}

#[test]
fn program_talk_says_why_a_picture_is_left_out() {
    let files = talk(&[&path_of("small_type.toml")], 0);
    assert!(!headlines(&files).contains_key("sleeve"));
    let contents = text(&files, "contents.md");
    assert!(contents.contains("Not drawn") && contents.contains("bare_clearance"), "{contents}");
    assert!(contents.trim_end().ends_with("come first."), "{contents}");
    let notes = text(&files, "notes.md");
    assert!(notes.contains("## Cautions") && notes.contains("Likely to be asked"), "{notes}");
}

#[test]
fn program_talk_is_the_same_byte_for_byte_and_never_overwrites() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("talk");
    let asked = ["talk", "--body", "24pt", "--out", out.to_str().expect("a plain path")];
    assert_eq!(run(&asked).0, 0);
    let first = files(&out);
    let (code, said, err) = run(&asked);
    assert_eq!((code, said.as_str()), (2, ""));
    assert!(err.contains("already there"), "{err}");
    let single =
        latchstroke().args(asked).arg("--force").env("RAYON_NUM_THREADS", "1").output().expect("a run");
    assert_eq!(single.status.code(), Some(0));
    assert!(first == files(&out));
}

#[test]
fn program_talk_bad_input_writes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("talk");
    let out_text = out.to_str().expect("a plain path");
    for wrong in [&["--body", "0pt"][..], &["--pace", "10..20"], &["--units", "cubits"], &["nowhere.toml"]] {
        let (code, said, _) = run(&[&["talk", "--out", out_text], wrong].concat());
        assert_eq!((code, said.as_str()), (2, ""), "{wrong:?}");
        assert!(!out.exists(), "{wrong:?}");
    }
    assert_eq!(run(&["talk"]).0, 2);
}

/// Ctrl-C in the middle of a run of many sizes: nothing is written.
#[cfg(target_os = "linux")]
#[test]
fn program_talk_called_off_writes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("talk");
    let sizes: Vec<String> = (0..150).map(|n| format!("{}pt", 8.0 + 0.2 * f64::from(n))).collect();
    let arguments = ["talk", "--body", &sizes.join(","), "--out", out.to_str().expect("a plain path")];
    let mut run = std::process::Command::new(env!("CARGO_BIN_EXE_latchstroke"))
        .args(arguments)
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("the program starts");
    super::signal(&mut run, "INT");
    let output = run.wait_with_output().expect("it ends");
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!((output.status.code(), output.stdout.as_slice()), (Some(130), &[][..]), "{said}");
    assert!(said.contains("called off") && !out.exists(), "{said}");
}

#[test]
fn program_talk_for_a_page_has_finer_pictures() {
    let files = talk(&[&ASKED[..], &["--size", "print"]].concat(), 0);
    let pictures: Vec<&str> = files.keys().filter_map(|name| name.strip_suffix(".png")).collect();
    assert_eq!(pictures.len(), headlines(&TALK).len());
    for name in pictures {
        let coded = std::io::Cursor::new(&files[&format!("{name}.png")]);
        let decoder = png::Decoder::new(coded).read_info().expect("a readable PNG");
        assert_eq!(decoder.info().width, 2400, "{name}");
    }
}
