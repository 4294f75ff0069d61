//! From plain text to words as a compositor spells them.
//!
//! Straight quotation marks become curly, double ones single as in British books; a hyphen before a figure becomes a minus sign;
//! "11/16" becomes a fraction; no break comes after a word of one letter, before a dash, or inside a mixed number.

/// The no-break space. After a figure it is set thin.
pub const FIXED: char = '\u{a0}';

/// A piece of a word, set with one choice of features.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Piece {
    /// Letters and figures.
    Plain(String),
    /// Numerator, stroke and denominator.
    Fraction(String),
    /// A space of the usual width at which no line is broken.
    Space,
    /// A thin space at which no line is broken.
    Thin,
}

/// The words of a text: between them a line may be broken.
pub fn words(text: &str) -> Vec<Vec<Piece>> {
    bound(&quoted(text)).split(' ').filter(|word| !word.is_empty()).map(pieces).collect()
}

/// With typographic quotation marks and minus signs, control characters as spaces.
fn quoted(text: &str) -> String {
    let letters: Vec<char> = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let mut out = String::new();
    for (n, &letter) in letters.iter().enumerate() {
        let before = n.checked_sub(1).and_then(|n| letters.get(n)).copied().unwrap_or(' ');
        let opens = before.is_whitespace() || matches!(before, '(' | '–' | '[');
        let figure_next = letters.get(n + 1).is_some_and(char::is_ascii_digit);
        out.push(match letter {
            '"' | '\'' if opens => '‘',
            '"' | '\'' => '’',
            '-' if opens && figure_next => '−',
            other => other,
        });
    }
    out
}

/// With no-break spaces where a line must not end.
fn bound(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').filter(|word| !word.is_empty()).collect();
    let mut out = String::new();
    for (n, word) in words.iter().enumerate() {
        out.push_str(word);
        let Some(next) = words.get(n + 1) else { break };
        let core = word.trim_matches(|c: char| !c.is_alphanumeric());
        let one_letter = core.chars().count() == 1 && core.chars().all(char::is_alphabetic);
        let before_dash = matches!(*next, "–" | "×" | "=" | "≤" | "≥");
        let mixed = ends_in_figure(word) && is_fraction(next);
        out.push(if one_letter || before_dash || *word == "×" || mixed { FIXED } else { ' ' });
    }
    out
}

fn ends_in_figure(text: &str) -> bool {
    text.ends_with(|c: char| c.is_ascii_digit())
}

/// Whether a text begins with a fraction such as "11/16".
fn is_fraction(text: &str) -> bool {
    fraction_at(text).is_some()
}

/// Length of the fraction a text begins with: figures, a stroke and figures, and no more of either.
fn fraction_at(text: &str) -> Option<usize> {
    let figures = |part: &str| part.len() - part.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let over = figures(text);
    let rest = text.get(over..)?.strip_prefix('/')?;
    let under = figures(rest);
    let after = rest.get(under..)?;
    (over > 0 && under > 0 && !after.starts_with(['/', '.']) && !after.starts_with(char::is_alphanumeric))
        .then_some(over + 1 + under)
}

/// One word in pieces.
fn pieces(word: &str) -> Vec<Piece> {
    let mut out: Vec<Piece> = Vec::new();
    let mut rest = word;
    let mut before: Option<char> = None;
    while let Some(letter) = rest.chars().next() {
        let whole = before.is_none_or(|c| !c.is_alphanumeric() && !matches!(c, '/' | '.'));
        if let Some(length) = fraction_at(rest).filter(|_| whole) {
            out.push(Piece::Fraction(rest.chars().take(length).collect()));
            rest = rest.get(length..).unwrap_or_default();
            before = Some('0');
            continue;
        }
        if letter == FIXED {
            let after_figure = before.is_some_and(|c| c.is_ascii_digit());
            let times = rest.chars().nth(1) == Some('×');
            out.push(if after_figure && !times { Piece::Thin } else { Piece::Space });
        } else if let Some(Piece::Plain(plain)) = out.last_mut() {
            plain.push(letter);
        } else {
            out.push(Piece::Plain(letter.into()));
        }
        before = Some(letter);
        rest = rest.get(letter.len_utf8()..).unwrap_or_default();
    }
    out
}
