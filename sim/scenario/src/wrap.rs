//! Breaking text into lines between words.

use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};

/// The lines of `text`, none wider than `width` columns unless a single word is.
/// Words are never broken: `3-4-5` and `W/mK` stay whole.
pub(super) fn lines(text: &str, width: usize) -> Vec<String> {
    let options = Options::new(width)
        .break_words(false)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    textwrap::wrap(text, options).into_iter().map(Into::into).collect()
}
