//! What may not be asked on the command line or of a file: said in the program's own words, at once and in little room.

use super::{measured, run, scenario};
use std::fmt::Write as _;
use std::fs;

/// Each with what is said of it.
#[test]
fn program_says_of_every_odd_argument_what_would_be_right() {
    let long = vec!["14pt"; 10_000].join(",");
    let evening = scenario("first_evening.toml");
    let evening = evening.to_str().expect("a plain path");
    for (arguments, said) in [
        (&["judge", "--body", "-3pt"][..], "it must be above zero; write \"14pt,18pt,24pt\""),
        (&["judge", "--body=-3pt"], "it must be above zero"),
        (&["judge", "--pace", "-3"], "it must be above zero"),
        (&["judge", "--pace=-3..20"], "it must be above zero"),
        (&["judge", "--pace", "1..60:-1"], "it must be above zero"),
        (&["judge", "--pace", "1..60:0.0001"], "more than 200 values at once"),
        (&["judge", "--body", &long], "more than 200 values at once"),
        (&["judge", "--set", &format!("job.sizes={long}")], "this list has 10000 values"),
        (&["judge", "--body", "1e-9pt"], "it must be from 2.9 pt to 170 pt"),
        (&["film", "--body=1e9pt", "--out", "never"], "it must be from 2.9 pt to 170 pt"),
        (&["handout", "--body", "1e300pt", "--out", "never"], "it must be from 2.9 pt to 170 pt"),
        (&["talk", "--pace=1e-9", "--out", "never"], "it must be from 0.5 turns/min to 400 turns/min"),
        (&["sleeve", "--pace", "5e8"], "it must be from 0.5 turns/min to 400 turns/min"),
        (&["pace", "--pace", "NaN"], "--pace, at \"NaN\""),
        (&["sleeve", "--from", "-3in"], "a sleeve is 0 to 500 mm long"),
        (&["preload", "--for", "-400 N"], "it must be above zero; write \"400 N\""),
        (&["fit", evening, "no.csv", "--pace", "-3"], "it must be above zero; write \"15 turns/min\""),
        (&["fit", evening, "no.csv", "--body", "-3pt"], "it must be above zero; write \"14pt,18pt,24pt\""),
        (&["fit", evening, "no.csv", "--set", "-3"], "there is no = between key and value"),
        (&["listen", "no.wav", evening, "--pace", "-3"], "it must be above zero; write \"15 turns/min\""),
        (&["listen", "no.wav", evening, "--set", "-3"], "there is no = between key and value"),
        (&["tolerance", "--turns", "-1"], "write a whole number from 1 to 100000"),
        (&["judge", "--set", "-3"], "there is no = between key and value"),
        (&["tolerance", "--chance", "-5%"], "write a chance from 1% to 99.9%"),
        (&["tolerance", "--turns", "1e12"], "write a whole number from 1 to 100000"),
        (&["tolerance", "--turns", "1000000000000"], "write a whole number from 1 to 100000"),
        (&["tolerance", "--turns=-1"], "write a whole number from 1 to 100000"),
        (&["film", "--frames", "0", "--out", "never"], "write a whole number from 12 to 600"),
        (&["warm", "--casts", "99999999999"], "write a whole number from 1 to 100000"),
        (&["judge", "--pace", "\u{1b}[31mred"], "does not start with a number"),
        (&["turn", "\u{1b}[31mred.toml"], "red.toml"),
        (&["judge", "--set", "machine.name=\u{1b}[31mred"], "a character that cannot be printed"),
    ] {
        let (code, out, err) = run(arguments);
        // A terminal obeys no word of what is said.
        assert!(!err.contains(|c: char| c.is_control() && c != '\n'), "{err:?}");
        let err = err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}: {err}");
        assert!(err.contains(said), "{arguments:?}: {err}");
        assert!(err.len() < 500, "{arguments:?}: {} bytes", err.len());
    }
    assert!(!std::path::Path::new("never").exists());
}

/// All that is wrong with sizes and paces at once, a line each.
#[test]
fn program_says_all_that_is_wrong_with_sizes_and_paces_at_once() {
    let (casts, cooled) = (scenario("known_casts.toml"), scenario("small_type.toml"));
    for arguments in [
        &["judge", "--body", "xx,14pt,1e9pt", "--pace", "5e8"][..],
        &["calibrate", casts.to_str().expect("a plain path"), "--body", "xx,14pt,1e9pt", "--pace", "5e8"],
        &["warm", cooled.to_str().expect("a plain path"), "--body", "xx,14pt,1e9pt", "--pace", "5e8"],
        &["sleeve", "--body", "xx,14pt,1e9pt", "--pace", "5e8"],
        &["pace", "--body", "xx,14pt,1e9pt", "--pace", "5e8"],
        &["talk", "--body", "xx,14pt,1e9pt", "--pace", "5e8", "--out", "never"],
        &["handout", "--body", "xx,14pt,1e9pt", "--pace", "5e8", "--out", "never"],
    ] {
        let (code, out, err) = run(arguments);
        assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}: {err}");
        let lines: Vec<&str> = err.lines().collect();
        assert_eq!(lines.len(), 3, "{arguments:?}: {err}");
        for (line, said) in
            lines.iter().zip(["--body, at \"xx\"", "--body, at \"1e9pt\"", "--pace, at \"5e8\""])
        {
            assert!(line.starts_with(&format!("latchstroke: {said}: ")), "{arguments:?}: {err}");
        }
    }
    let (_, _, err) = run(&["turn", "--body", "xx", "--pace", "yy"]);
    assert!(err.contains("--body, at \"xx\"") && err.contains("--pace, at \"yy\""), "{err}");
    // Of many wrong values some are told, and how many more there are.
    let (_, _, err) = run(&["judge", "--body", &vec!["xx"; 200].join(",")]);
    assert!(err.lines().count() == 11 && err.ends_with("--body: 190 more values are wrong\n"), "{err}");
    let (_, _, err) = run(&["judge", "--pace", "xx..yy"]);
    assert!(err.contains("at \"xx\"") && err.contains("at \"yy\""), "{err}");
}

/// Files that only grow: what is said of them does not, and the first mistake is still told at its line.
#[test]
fn program_says_little_of_files_however_large() {
    let folder = tempfile::tempdir().expect("a folder");
    let good = fs::read_to_string(measured()).expect("a scenario");
    let lines = good.lines().count();
    let many = |line: &dyn Fn(usize) -> String, count: usize| {
        let mut text = good.clone() + "\n[cellar]\n";
        for n in 0..count {
            let _ = writeln!(text, "{}", line(n));
        }
        text
    };
    let long = "x".repeat(900_000);
    for (name, text, said, line) in [
        ("stray", many(&|n| format!("[s{n}]"), 60_000), "1000 mistakes or more", Some(lines + 2)),
        ("twice", many(&|_| "a = 0".to_owned(), 150_000), "is given twice", Some(lines + 4)),
        (
            "unquoted",
            many(&|n| format!("x{n} = some words {n}"), 40_000),
            "stands without quotes",
            Some(lines + 3),
        ),
        ("brackets", many(&|_| "[".to_owned(), 400_000), "mistakes in", None),
        ("equals", many(&|_| "=".to_owned(), 400_000), "mistakes in", None),
        ("quotes", many(&|_| "a=\"".to_owned(), 200_000), "no quote at its end", None),
        ("commas", format!("a = [1{}", "\n1".repeat(200_000)), "this list is not closed", Some(1)),
        ("springs", many(&|_| "[[spring]]".to_owned(), 50_000), "more than 4 sections [[spring]]", None),
        (
            "long line",
            many(&|_| format!("q = \"{long}\""), 1),
            "there is no section `cellar`",
            Some(lines + 2),
        ),
    ] {
        let path = folder.path().join("large.toml");
        fs::write(&path, text).expect("a file");
        let (code, out, err) = run(&["check", path.to_str().expect("a plain path")]);
        let joined = err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!((code, out.as_str()), (2, ""), "{name}");
        assert!(joined.contains(said), "{name}: {err}");
        assert!(err.len() < 20_000, "{name}: {} bytes", err.len());
        if let Some(line) = line {
            assert!(err.contains(&format!("large.toml:{line}:")), "{name}, line {line}: {err}");
        }
    }
}
