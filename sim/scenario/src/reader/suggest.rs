//! The known word nearest to a misspelt one.

/// The candidate spelt most like `typed`, if it is close enough to be meant.
pub fn nearest<'a>(typed: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    // Below this the words have little in common: "lift" and "life" are 0.75,
    // "rate" and "drag" 0.25.
    const CLOSE: f64 = 0.6;
    let level = |word: &str| word.to_lowercase().replace(['-', ' '], "_");
    let wanted = level(typed);
    candidates
        .map(|word| (word, strsim::normalized_damerau_levenshtein(&wanted, &level(word))))
        .filter(|(_, closeness)| *closeness >= CLOSE)
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(word, _)| word)
}
