//! Breaking text into lines between words.

/// The lines of `text`, none wider than `width` columns unless a single word is.
/// Words are never broken: `3-4-5` and `W/mK` stay whole.
pub(super) fn lines(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
