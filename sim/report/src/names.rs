//! A scenario key in words.

/// "the stack's bare clearance" for `stack.bare_clearance`; springs are numbered where several of `paths` are of springs.
pub fn named<'a>(path: &str, paths: impl IntoIterator<Item = &'a str>) -> String {
    let Some((section, key)) = path.split_once('.') else { return path.to_owned() };
    let key = key.replace('_', " ");
    let Some(number) = section.strip_prefix("spring[").and_then(|rest| rest.strip_suffix(']')) else {
        return match section {
            "job" => format!("the {key}"),
            section => format!("the {}'s {key}", section.replace('_', " ")),
        };
    };
    let of_another = |path: &str| path.starts_with("spring[") && !path.starts_with(section);
    if paths.into_iter().any(of_another) {
        format!("spring {number}'s {key}")
    } else {
        format!("the spring's {key}")
    }
}
