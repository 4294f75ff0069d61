//! Any text as a scenario: it is read or refused, each mistake at a place in it; what is read reads back from what is written out.
#![no_main]

use latchstroke_scenario::{Look, read};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let lines = text.lines().count().max(1);
    match read("any.toml", text, &[]) {
        Ok(scenario) => {
            let written = scenario.resolved_toml();
            let again = read("again.toml", &written, &[]).unwrap_or_else(|found| panic!("{found}\n{written}"));
            assert_eq!(again.resolved_toml(), written);
        }
        Err(mistakes) => {
            assert!(!mistakes.list().is_empty());
            assert!(mistakes.list().iter().filter_map(|mistake| mistake.location.line()).all(|line| line <= lines + 1));
            assert!(mistakes.render(Look::Plain, 100).len() < 200_000);
        }
    }
});
