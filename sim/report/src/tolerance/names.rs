//! A scenario key in words.

use latchstroke_core::studies::tolerance::Study;

/// "the stack's bare clearance" for `stack.bare_clearance`; springs are numbered where several vary.
pub(super) fn named(path: &str, study: &Study) -> String {
    let Some((section, key)) = path.split_once('.') else { return path.to_owned() };
    let key = key.replace('_', " ");
    let Some(number) = section.strip_prefix("spring[").and_then(|rest| rest.strip_suffix(']')) else {
        return match section {
            "job" => format!("the {key}"),
            section => format!("the {}'s {key}", section.replace('_', " ")),
        };
    };
    let of_another = |path: &str| path.starts_with("spring[") && !path.starts_with(section);
    if study.inputs.iter().any(|input| of_another(&input.path)) {
        format!("spring {number}'s {key}")
    } else {
        format!("the spring's {key}")
    }
}
