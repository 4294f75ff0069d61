//! The one font family of all pictures, and the measuring of text set in it.
//!
//! Source Sans Pro 2.020, the files as published (SIL Open Font License 1.1, see `fonts/OFL.txt`), whose figures are lining and
//! tabular by default, so that tick labels line up.

use std::cell::RefCell;
use std::collections::HashMap;
#[cfg(feature = "files")]
use std::sync::Arc;

use textwrap::core::Fragment;
use textwrap::wrap_algorithms::wrap_first_fit;
#[cfg(feature = "files")]
use usvg::fontdb;

use crate::error::PlotError;

/// The family name, as the font files state it.
pub const FAMILY: &str = "Source Sans Pro";

pub(crate) static REGULAR: &[u8] = include_bytes!("../fonts/SourceSansPro-Regular.ttf");
pub(crate) static BOLD: &[u8] = include_bytes!("../fonts/SourceSansPro-Bold.ttf");

/// The family has no superscript minus: it is set as a minus of this relative size, …
const RAISED_SIZE: f64 = 0.62;
/// … lifted by this part of the type size, level with the family's superscript figures.
const RAISED_BY: f64 = 0.28;

/// Height of the text box above the baseline, in type sizes (`OS/2` typographic ascender of both faces).
pub const ASCENT: f64 = 0.75;
/// Depth of the text box below the baseline, in type sizes (`OS/2` typographic descender of both faces).
pub const DESCENT: f64 = 0.25;

/// Steps in which the measure of wrapped text is narrowed to even out its lines.
const NARROWINGS: u32 = 20;

/// Widths kept, so that the same words are not shaped again for every place that is tried.
const MOST_ADVANCES: usize = 4096;

thread_local! {
    /// Widths of stretches of text that were shaped, font units; of the bold face and the regular one.
    static ADVANCES: RefCell<HashMap<bool, HashMap<String, i64>>> = RefCell::default();
}

/// Weight of type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// The regular face.
    Regular,
    /// The bold face.
    Bold,
}

/// The file of a face, TrueType: for whoever shows live text.
pub fn face(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => REGULAR,
        Weight::Bold => BOLD,
    }
}

/// A stretch of text set at one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The characters.
    pub text: String,
    /// Type size as a part of the size asked for.
    pub scale: f64,
    /// Lift above the baseline as a part of the size asked for.
    pub rise: f64,
}

/// Splits text into runs; only a superscript minus starts a run of its own.
pub fn runs(text: &str) -> Vec<Run> {
    let mut out: Vec<Run> = Vec::new();
    for c in text.chars() {
        match (c, out.last_mut()) {
            ('⁻', _) => out.push(Run { text: "−".into(), scale: RAISED_SIZE, rise: RAISED_BY }),
            (_, Some(run)) if run.rise == 0.0 => run.text.push(c),
            _ => out.push(Run { text: c.into(), scale: 1.0, rise: 0.0 }),
        }
    }
    out
}

/// Text fit for one line of a picture: control characters and line breaks become single spaces.
pub fn clean(text: &str) -> String {
    let plain: String =
        text.chars().map(|c| if c.is_control() || is_noncharacter(c) { ' ' } else { c }).collect();
    plain.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// U+FFFE and U+FFFF are not allowed in XML.
fn is_noncharacter(c: char) -> bool {
    matches!(c, '\u{fffe}' | '\u{ffff}')
}

/// The two faces, ready for measuring.
pub struct Fonts {
    regular: rustybuzz::Face<'static>,
    bold: rustybuzz::Face<'static>,
}

impl Fonts {
    /// Reads the embedded faces.
    ///
    /// # Errors
    /// [`PlotError::Font`] if a face is damaged.
    pub fn load() -> Result<Self, PlotError> {
        let regular = rustybuzz::Face::from_slice(REGULAR, 0).ok_or(PlotError::Font)?;
        let bold = rustybuzz::Face::from_slice(BOLD, 0).ok_or(PlotError::Font)?;
        Ok(Self { regular, bold })
    }

    /// Whether both faces have a glyph for the character.
    #[cfg(test)]
    pub fn has(&self, c: char) -> bool {
        [&self.regular, &self.bold].iter().all(|face| face.glyph_index(c).is_some())
    }

    /// The face of a weight.
    pub fn face(&self, weight: Weight) -> &rustybuzz::Face<'static> {
        match weight {
            Weight::Regular => &self.regular,
            Weight::Bold => &self.bold,
        }
    }

    /// Width of one line of text, shaped and kerned as it will be drawn, px.
    pub fn width(&self, text: &str, size: f64, weight: Weight) -> f64 {
        runs(text).iter().map(|run| self.run_width(&run.text, size * run.scale, weight)).sum()
    }

    /// Width of a stretch of text set at one size, px.
    pub fn run_width(&self, text: &str, size: f64, weight: Weight) -> f64 {
        let advance = ADVANCES.with_borrow_mut(|known| {
            let of = known.entry(weight == Weight::Bold).or_default();
            if let Some(advance) = of.get(text) {
                return *advance;
            }
            let shaped = self.shape(text, weight);
            let advance = shaped.glyph_positions().iter().map(|glyph| i64::from(glyph.x_advance)).sum();
            if of.len() >= MOST_ADVANCES {
                of.clear();
            }
            of.insert(text.to_owned(), advance);
            advance
        });
        advance as f64 * size / f64::from(self.face(weight).units_per_em())
    }

    /// The glyphs of a stretch of text, in font units.
    pub fn shape(&self, text: &str, weight: Weight) -> rustybuzz::GlyphBuffer {
        let mut buffer = rustybuzz::UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        rustybuzz::shape(self.face(weight), &[], buffer)
    }

    /// Breaks text into at most `most` lines of at most `room` px, about equally long, with an ellipsis where
    /// a line had to be cut.
    pub fn wrap(&self, text: &str, size: f64, weight: Weight, room: f64, most: usize) -> Vec<String> {
        let text = clean(text);
        let space = self.width(" ", size, weight);
        let words: Vec<Word> = text
            .split(' ')
            .filter(|word| !word.is_empty())
            .map(|word| Word { text: word, width: self.width(word, size, weight), space })
            .collect();
        if words.is_empty() {
            return Vec::new();
        }
        let fill = |room: f64| wrap_first_fit(&words, &[room]);
        let longest = words.iter().map(|word| word.width).fold(0.0, f64::max);
        let mut lines = fill(room);
        if lines.len() > 1 && lines.len() <= most {
            // A narrower measure, as long as it takes no more lines, leaves no short last line.
            for part in 1..NARROWINGS {
                let narrower = room * (1.0 - f64::from(part) / f64::from(NARROWINGS));
                let found = fill(narrower);
                if found.len() > lines.len() || longest > narrower {
                    break;
                }
                lines = found;
            }
        }
        let joined = |words: &[Word]| words.iter().map(|word| word.text).collect::<Vec<_>>().join(" ");
        let mut lines: Vec<String> = lines.into_iter().map(joined).collect();
        // What is left over stands in the last line, to be cut.
        let left_over = lines.split_off(most.max(1).min(lines.len()));
        if let Some(last) = lines.last_mut().filter(|_| !left_over.is_empty()) {
            *last = format!("{last} {}", left_over.join(" "));
        }
        lines.into_iter().map(|line| self.shorten(line, size, weight, room)).collect()
    }

    /// Cuts one line to `room` px, with an ellipsis if anything was cut.
    fn shorten(&self, line: String, size: f64, weight: Weight, room: f64) -> String {
        // A hair of room, since the width of a line rounds otherwise than the sum of its words'.
        let room = room * (1.0 + 1e-9);
        if self.width(&line, size, weight) <= room {
            return line;
        }
        let letters: Vec<char> = line.chars().collect();
        let cut = |count: usize| -> String {
            let kept: String = letters.iter().take(count).collect();
            format!("{}…", kept.trim_end())
        };
        let (mut fits, mut fails) = (0, letters.len());
        while fails - fits > 1 {
            let middle = usize::midpoint(fits, fails);
            if self.width(&cut(middle), size, weight) <= room { fits = middle } else { fails = middle }
        }
        cut(fits)
    }
}

/// A word as line breaking sees it, px.
#[derive(Debug)]
struct Word<'a> {
    text: &'a str,
    width: f64,
    space: f64,
}

impl Fragment for Word<'_> {
    fn width(&self) -> f64 {
        self.width
    }

    fn whitespace_width(&self) -> f64 {
        self.space
    }

    fn penalty_width(&self) -> f64 {
        0.0
    }
}

/// A font database that holds the embedded family and nothing from the machine.
#[cfg(feature = "files")]
pub fn database() -> Arc<fontdb::Database> {
    let mut database = fontdb::Database::new();
    database.load_font_data(REGULAR.to_vec());
    database.load_font_data(BOLD.to_vec());
    database.set_sans_serif_family(FAMILY);
    Arc::new(database)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_wrapped_lines_fit_and_are_even() {
        let fonts = Fonts::load().unwrap_or_else(|error| panic!("{error}"));
        let text = "one two three four five six seven eight nine ten";
        let whole = fonts.width(text, 40.0, Weight::Bold);
        let lines = fonts.wrap(text, 40.0, Weight::Bold, 0.9 * whole, 2);
        let widths: Vec<f64> = lines.iter().map(|line| fonts.width(line, 40.0, Weight::Bold)).collect();
        assert_eq!(lines.join(" "), text);
        assert!(matches!(widths.as_slice(), [a, b] if a.min(*b) > 0.4 * whole), "{lines:?}");
    }

    /// No letter is kerned against a space, so that words may be measured one by one.
    #[test]
    fn property_a_line_is_as_wide_as_its_words_and_spaces() {
        let fonts = Fonts::load().unwrap_or_else(|error| panic!("{error}"));
        let letters = ('!'..='~').chain("Δ≤≥°–−µ·½…—’“”".chars()).map(|letter| letter.to_string());
        let letters: Vec<String> = letters.collect();
        for weight in [Weight::Regular, Weight::Bold] {
            let space = fonts.width(" ", 1000.0, weight);
            let apart: f64 = letters.iter().map(|letter| fonts.width(letter, 1000.0, weight) + space).sum();
            for line in [letters.join(" "), letters.iter().rev().cloned().collect::<Vec<_>>().join(" ")] {
                assert!((fonts.width(&line, 1000.0, weight) + space - apart).abs() < 1e-6, "{weight:?}");
            }
        }
    }

    #[test]
    fn property_text_too_long_is_cut_with_an_ellipsis() {
        let fonts = Fonts::load().unwrap_or_else(|error| panic!("{error}"));
        let lines = fonts.wrap(&"word ".repeat(40), 30.0, Weight::Regular, 300.0, 3);
        assert_eq!(lines.len(), 3);
        assert!(lines.last().is_some_and(|line| line.ends_with('…')), "{lines:?}");
        assert!(lines.iter().all(|line| fonts.width(line, 30.0, Weight::Regular) <= 300.0), "{lines:?}");
    }
}
