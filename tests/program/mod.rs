//! The program run as a user runs it.
//!
//! | file | what it proves |
//! |---|---|
//! | `agreement` | every command says what the judge says: verdict, deciding limit, exit code |
//! | `calibrate` | what remembered casts say, the one that does not fit, how sure the judge is, JSON, exit codes |
//! | `corpus` | what the fuzz targets have kept, through their checks |
//! | `arguments` | what may not be asked, in the program's own words, within bounds of time and room |
//! | `files` | sets whole or not at all, at every kill, race and obstacle; links, modes, signals |
//! | `hand_on` | the reference, manual pages and completions follow the one command line |
//! | `film` | the machine drawn and moving: frames decoded and held against the trace, files, exit codes |
//! | `fit` | a filmed stroke fitted, the scenario that comes of it, what tells nothing, mistakes of a table |
//! | `handout` | two pages well set, the judge's numbers on them, the PDF's faces, exit codes |
//! | `judge` | verdicts, lists of sizes and paces, JSON, exit codes |
//! | `listen` | recordings in every form, a strike that comes sooner, what is no machine, broken files |
//! | `live` | the page stands alone, and the committed solver in it, run in Node, prints what the program prints |
//! | `measure` | what is ranked first against the judge and against measuring it, the worksheet on both papers, exit codes |
//! | `pace` | windows of pace against the judge, JSON, files, exit codes |
//! | `parts` | sleeve and rod extension in words, and their drawings parsed back |
//! | `reading` | bench measurements made into scenario: files that read back, what cannot be told, broken tables, JSON |
//! | `turn` | the report, the files it writes, and that it never writes over others |
//! | `talk` | the folder for a projector, its files decoded, its headlines against the solved numbers, in fifty talks |
//! | `tolerance` | spreads, causes, the sleeve, charts, threads, Ctrl-C, exit codes |
//! | `sleeve` | the window, the length to make, both in inches and millimetres, and what to measure |
//! | `preload` | turns of the nut, forces, and the limits of the range |
//! | `units` | measures: one system leaves nothing of the other, stated values come back, keys of JSON |
//! | `warm` | where the mould settles, the judge with its wall, what to measure, files, exit codes |
//! | `wrong` | causes applied and solved again, half of each, what is not known, the list, JSON, exit codes |
//! | `scenarios` | good and bad scenario files, `check`, `new`, `schema` |

mod agreement;
mod arguments;
mod calibrate;
mod corpus;
mod ends;
mod files;
mod film;
mod fit;
mod hand_on;
mod handout;
mod judge;
mod listen;
mod live;
mod measure;
mod pace;
mod parts;
mod preload;
mod reading;
mod scenarios;
mod sleeve;
mod talk;
mod tolerance;
mod turn;
mod units;
mod warm;
mod wrong;

use assert_cmd::Command;
use std::path::PathBuf;

/// The program, away from any terminal.
pub fn latchstroke() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_latchstroke"));
    command.env("NO_COLOR", "1");
    command
}

/// A scenario that ships with the project.
pub fn scenario(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../scenarios").join(name)
}

/// A machine measured at the bench in inches, with two springs and a measured cam: the new owner's.
pub fn measured() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/program/scenarios/measured_in_inches.toml")
}

/// Sends a signal to a run once it listens.
#[cfg(target_os = "linux")]
pub fn signal(run: &mut std::process::Child, signal: &str) {
    let number = if signal == "INT" { 2 } else { 15 };
    let status = format!("/proc/{}/status", run.id());
    while run.try_wait().expect("it runs").is_none() {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let caught = text.lines().find_map(|line| line.strip_prefix("SigCgt:"));
        let caught = caught.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or(0);
        if caught >> (number - 1) & 1 == 1 {
            break;
        }
    }
    let sent = std::process::Command::new("kill").args([format!("-{signal}"), run.id().to_string()]).status();
    assert!(sent.expect("kill is there").success());
}

/// What a run said: exit code, standard output, standard error.
pub fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = latchstroke().args(arguments).output().expect("the program starts");
    (
        output.status.code().expect("the program ends by itself"),
        String::from_utf8(output.stdout).expect("text"),
        String::from_utf8(output.stderr).expect("text"),
    )
}
