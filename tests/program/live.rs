//! `latchstroke live`: the page it writes, and the solver in that page held against the program.
//!
//! What a browser shows of the page is held against the program by `tests/browser/page.py`, which needs a browser.

use super::run;
use serde_json::{Value, json};
use std::io::Write as _;
use std::process::{Command, Stdio};

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../");

/// The committed solver's answers to requests; none where there is no Node to run it in.
fn solved(requests: &[Value]) -> Option<Vec<Value>> {
    let node = Command::new("node")
        .arg(format!("{FOLDER}tests/browser/solver.mjs"))
        .arg(format!("{FOLDER}sim/page/latchstroke.wasm.gz"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn();
    let Ok(mut node) = node else {
        eprintln!("SKIPPED: there is no Node here, so the committed solver was not held against the program");
        return None;
    };
    let text = Value::from(requests.to_vec()).to_string();
    node.stdin.take().expect("a pipe").write_all(text.as_bytes()).expect("Node reads");
    let out = node.wait_with_output().expect("Node ends");
    assert!(out.status.success(), "Node failed");
    Some(serde_json::from_slice(&out.stdout).expect("JSON"))
}

fn text(name: &str) -> String {
    std::fs::read_to_string(format!("{FOLDER}scenarios/{name}")).expect("a scenario")
}

/// A setting of a scenario as the page asks for it, and the same as the arguments of a command.
struct Case {
    name: &'static str,
    moves: &'static [(&'static str, &'static str)],
    options: &'static [&'static str],
    units: Option<&'static str>,
}

const CASES: [Case; 7] = [
    Case { name: "large_initials.toml", moves: &[], options: &[], units: None },
    Case {
        name: "large_initials.toml",
        moves: &[("pace", "22 turns/min"), ("body", "18 pt")],
        options: &["--pace", "22 turns/min", "--body", "18 pt"],
        units: Some("inch"),
    },
    Case {
        name: "large_initials.toml",
        moves: &[("pot", "372 degC"), ("nozzle", "3.1 mm"), ("nut", "2 turns"), ("skin", "0.3 mm")],
        options: &[
            "--set",
            "metal.pot_temperature=372 degC",
            "--set",
            "nozzle.bore=3.1 mm",
            "--set",
            "stack.nut_turns=2 turns",
            "--set",
            "job.accepted_skin=0.3 mm",
        ],
        units: Some("metric"),
    },
    Case {
        name: "first_evening.toml",
        moves: &[("pace", "15"), ("sleeve", "2 5/8 in")],
        options: &["--pace", "15", "--set", "stack.sleeve=2 5/8 in", "--set", "stack.extension=2 5/8 in"],
        units: None,
    },
    Case {
        name: "first_evening.toml",
        moves: &[("body", "30 pt")],
        options: &["--body", "30 pt"],
        units: None,
    },
    Case {
        name: "first_evening.toml",
        moves: &[("sleeve", "2 3/4 in"), ("pace", "18")],
        options: &["--pace", "18", "--set", "stack.sleeve=2 3/4 in", "--set", "stack.extension=2 3/4 in"],
        units: Some("metric"),
    },
    Case { name: "wrong_sleeve.toml", moves: &[("pace", "9.5")], options: &["--pace", "9.5"], units: None },
];

#[test]
fn program_the_committed_solver_prints_what_turn_prints() {
    let asked = |case: &Case, ask: &str| {
        let moves: Vec<Value> = case.moves.iter().map(|(dial, text)| json!([dial, text])).collect();
        json!({ "ask": ask, "setting": {
            "name": case.name, "text": text(case.name), "sets": [], "units": case.units, "moves": moves, "real": false,
        } })
    };
    let requests: Vec<Value> = CASES.iter().map(|case| asked(case, "report")).collect();
    let Some(answers) = solved(&requests) else { return };
    for (case, answer) in CASES.iter().zip(&answers) {
        let file = format!("{FOLDER}scenarios/{}", case.name);
        let mut arguments = vec!["turn", file.as_str()];
        arguments.extend(case.options);
        if let Some(units) = case.units {
            arguments.extend(["--units", units]);
        }
        let (_, said, err) = run(&arguments);
        assert!(!said.is_empty(), "{arguments:?}: {err}");
        assert_eq!(answer["report"].as_str(), Some(said.as_str()), "{arguments:?}");
    }
}

#[test]
fn program_the_committed_solver_is_as_sure_as_judge_is() {
    let name = "large_initials.toml";
    let request = json!({ "ask": "sure", "draws": 128, "setting": {
        "name": name, "text": text(name), "sets": [], "units": null, "moves": [["body", "24 pt"]], "real": true,
    } });
    let Some(answers) = solved(&[request]) else { return };
    let sure = answers[0]["sure"].as_str().expect("words");
    let said = sure.split([';', '.']).next().expect("how sure");
    let (_, judged, _) = run(&["judge", &format!("{FOLDER}scenarios/{name}"), "--body", "24 pt"]);
    let judged = judged.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(judged.contains(&format!("; {}", said.to_lowercase())), "{said}: {judged}");
}

#[test]
fn program_the_page_stands_alone_and_is_the_same_each_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).to_str().expect("a plain path").to_owned();
    let (one, two) = (path("one.html"), path("two.html"));
    let (code, said, err) = run(&["live", "--out", &one]);
    assert_eq!(code, 0, "{err}");
    assert!(said.contains("24 pt at 12 turns/min: set the latch") && err.contains("one.html"), "{said}{err}");
    assert_eq!(run(&["live", "--out", &two]).0, 0);
    let page = std::fs::read_to_string(&one).expect("a page");
    assert_eq!(page, std::fs::read_to_string(&two).expect("a page"));
    assert!(page.len() < 3_000_000, "{} bytes", page.len());
    for outside in ["http://", "https://", "//cdn", "src=", "href=", "@import", "url("] {
        assert!(!page.replace("http://www.w3.org/2000/svg", "").contains(outside), "{outside}");
    }
    assert!(
        page.contains("default-src 'none'")
            && !page.contains("unsafe-inline")
            && !page.contains("'unsafe-eval'")
    );
    // Not over a file that is there, and nothing at all of a scenario that is wrong.
    assert_eq!(run(&["live", "--out", &one]).0, 2);
    assert_eq!(run(&["live", "--out", &one, "--force"]).0, 0);
    let three = path("three.html");
    assert_eq!(run(&["live", "--out", &three, "--set", "cam.lift=no"]).0, 2);
    assert!(!std::path::Path::new(&three).exists());
}

#[test]
fn program_the_committed_solver_is_small() {
    let bytes = std::fs::metadata(format!("{FOLDER}sim/page/latchstroke.wasm.gz")).expect("the solver").len();
    assert!(bytes < 1_000_000, "{bytes} bytes");
}
