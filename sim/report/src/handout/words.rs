//! Figures and sentences as the page wants them: no line breaks between a number and its unit.

use latchstroke_plots::page::Span;
use latchstroke_scenario::Dimension;

/// A sentence in which each figure is kept on one line with the unit after it.
pub fn bound(sentence: &str) -> String {
    let words: Vec<&str> = sentence.split(' ').collect();
    let mut out = String::new();
    for (n, word) in words.iter().enumerate() {
        out.push_str(word);
        if let Some(next) = words.get(n + 1) {
            let is_figure = word.ends_with(|c: char| c.is_ascii_digit());
            out.push(if is_figure && is_unit(next) { '\u{a0}' } else { ' ' });
        }
    }
    out
}

/// Whether a word is the symbol of a unit, or the first word of one such as "N m".
fn is_unit(word: &str) -> bool {
    let symbol = word.trim_end_matches([',', '.', ';', ':', ')']);
    symbol == "%"
        || !symbol.is_empty()
            && Dimension::ALL
                .iter()
                .flat_map(|dimension| dimension.units().iter())
                .any(|unit| unit.symbol.split(' ').next() == Some(symbol))
}

/// A sentence in roman.
pub fn roman(sentence: &str) -> Vec<Span> {
    vec![Span::roman(bound(sentence))]
}

/// "14 pt", "14 and 18 pt", "14, 18 and 24 pt": figures that may share a unit.
pub fn listed(all: &[String]) -> String {
    let unit = |text: &str| text.split_once(' ').map(|(_, unit)| unit.to_owned());
    let shared = all.first().and_then(|first| unit(first));
    let same = shared.is_some() && all.iter().all(|text| unit(text) == shared);
    let short = |text: &String| match text.split_once(' ') {
        Some((figure, _)) if same => figure.to_owned(),
        _ => text.clone(),
    };
    match all {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(short).collect();
            format!("{} and {last}", first.join(", "))
        }
    }
}
