//! The program run as a user runs it.
//!
//! | file | what it proves |
//! |---|---|
//! | `agreement` | every command says what the judge says: verdict, deciding limit, exit code |
//! | `calibrate` | what remembered casts say, the one that does not fit, how sure the judge is, JSON, exit codes |
//! | `film` | the machine drawn and moving: frames decoded and held against the trace, files, exit codes |
//! | `handout` | two pages well set, the judge's numbers on them, the PDF's faces, exit codes |
//! | `judge` | verdicts, lists of sizes and paces, JSON, exit codes |
//! | `measure` | what is ranked first against the judge and against measuring it, the worksheet on both papers, exit codes |
//! | `pace` | windows of pace against the judge, JSON, files, exit codes |
//! | `parts` | sleeve and rod extension in words, and their drawings parsed back |
//! | `turn` | the report, the files it writes, and that it never writes over others |
//! | `talk` | the folder for a projector, its files decoded, its headlines against the solved numbers |
//! | `tolerance` | spreads, causes, the sleeve, charts, threads, Ctrl-C, exit codes |
//! | `sleeve` | the window, the length to make, both in inches and millimetres, and what to measure |
//! | `preload` | turns of the nut, forces, and the limits of the range |
//! | `units` | measures: one system leaves nothing of the other, stated values come back, keys of JSON |
//! | `warm` | where the mould settles, the judge with its wall, what to measure, files, exit codes |
//! | `wrong` | causes applied and solved again, half of each, what is not known, the list, JSON, exit codes |
//! | `scenarios` | good and bad scenario files, `check`, `new`, `schema` |

mod agreement;
mod calibrate;
mod ends;
mod film;
mod handout;
mod judge;
mod measure;
mod pace;
mod parts;
mod preload;
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

/// What a run said: exit code, standard output, standard error.
pub fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = latchstroke().args(arguments).output().expect("the program starts");
    (
        output.status.code().expect("the program ends by itself"),
        String::from_utf8(output.stdout).expect("text"),
        String::from_utf8(output.stderr).expect("text"),
    )
}
