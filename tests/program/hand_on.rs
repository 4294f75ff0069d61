//! What is made of the command line for those who hand the program on.

use super::run;
use std::fs;

/// The committed reference is what the program prints.
#[test]
fn program_the_reference_is_that_of_the_command_line() {
    let (code, out, err) = run(&["reference"]);
    assert_eq!(code, 0, "{err}");
    let committed = include_str!("../../sim/program/REFERENCE.md");
    assert!(out == committed, "make it anew: latchstroke reference > sim/program/REFERENCE.md");
    for command in ["judge", "turn", "handout", "reading", "reading spring", "completions"] {
        assert!(out.contains(&format!("## latchstroke {command}\n")), "{command}");
    }
}

/// The commands that the help of a command lists, each with that command before it.
fn listed(command: &[&str]) -> Vec<String> {
    let help = run(&[command, &["--help"]].concat()).1;
    let lines =
        help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    let name = |line: &str| line.strip_prefix("  ").expect("a command").split(' ').next().map(str::to_owned);
    let names = lines.filter_map(name).filter(|name| !name.is_empty() && name != "help");
    names.map(|name| [command, &[&name]].concat().join("-")).collect()
}

/// A manual page for the program and for each command that its help lists.
#[test]
fn program_there_is_a_manual_page_for_every_command() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("man");
    assert_eq!(run(&["man", "--out", out.to_str().expect("a plain path")]).0, 0);
    let mut pages = 1;
    for name in listed(&[]).iter().chain(&listed(&["reading"])) {
        let page = fs::read_to_string(out.join(format!("latchstroke-{name}.1"))).expect("its page");
        assert!(page.contains(".SH SYNOPSIS") && page.contains(".SH OPTIONS"), "{name}");
        // The third of a heading is taken for the date.
        let heading =
            format!(".TH latchstroke-{name} 1 \" \" \"latchstroke {}\" ", env!("CARGO_PKG_VERSION"));
        assert!(page.contains(&heading), "{page}");
        pages += 1;
    }
    let page = fs::read_to_string(out.join("latchstroke.1")).expect("its page");
    assert!(page.contains("Exit codes") && page.contains("130, 143"), "{page}");
    assert_eq!(fs::read_dir(&out).expect("a folder").count(), pages);
}

#[test]
fn program_completes_commands_and_options_in_the_usual_shells() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let (code, out, err) = run(&["completions", shell]);
        assert_eq!(code, 0, "{err}");
        for word in ["tolerance", "handout", "chance"] {
            assert!(out.contains(word), "{shell}: no {word}");
        }
    }
}
