//! The faces of printed pages, and shaping with OpenType features.
//!
//! Running text is Vollkorn (regular and italic), cut down by fontTools to the letters of Latin text, its features kept; its licence,
//! `fonts/OFL-Vollkorn.txt`, reserves no name. Tables and headings are in the family of the pictures, so that figures in a table
//! and along an axis are the same.

use crate::error::PlotError;
use crate::font;
use rustybuzz::ttf_parser::Tag;
use rustybuzz::{Feature, UnicodeBuffer};
use std::ops::Range;
use strum::VariantArray;

static ROMAN: &[u8] = include_bytes!("../../fonts/Vollkorn-Regular.ttf");
static ITALIC: &[u8] = include_bytes!("../../fonts/Vollkorn-Italic.ttf");

/// A thin space, em.
const THIN: f64 = 0.15;

/// A face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum Face {
    /// Running text.
    Roman,
    /// Words set apart in running text.
    Italic,
    /// Tables and small print.
    Sans,
    /// Headings.
    Bold,
}

impl Face {
    /// All faces, in the order of their data.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// The font file.
    pub fn data(self) -> &'static [u8] {
        match self {
            Self::Roman => ROMAN,
            Self::Italic => ITALIC,
            Self::Sans => font::REGULAR,
            Self::Bold => font::BOLD,
        }
    }

    /// Lining figures everywhere, since the old-style 1 of these faces is a small capital I; of one width in tables.
    fn figures(self) -> Vec<Feature> {
        match self {
            Self::Roman | Self::Italic => vec![on(*b"lnum"), on(*b"pnum")],
            Self::Sans | Self::Bold => vec![on(*b"lnum"), on(*b"tnum")],
        }
    }
}

fn on(tag: [u8; 4]) -> Feature {
    Feature::new(Tag::from_bytes(&tag), 1, ..)
}

/// What a run of text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Words, or the space between them.
    Plain,
    /// A fraction.
    Fraction,
    /// A thin space, whatever the text.
    Thin,
}

/// One glyph; lengths in em.
#[derive(Debug, Clone, PartialEq)]
pub struct Glyph {
    /// Its number in the face.
    pub id: u32,
    /// The bytes of the run's text it stands for.
    pub range: Range<usize>,
    /// How far it moves on.
    pub advance: f64,
    /// How far it stands to the right of where it would.
    pub right: f64,
    /// How far it stands above where it would.
    pub up: f64,
}

/// Shaped text of one face and size.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The face.
    pub face: Face,
    /// Type size, pt.
    pub size: f64,
    /// The text, as it is found when searched for.
    pub text: String,
    /// Its glyphs.
    pub glyphs: Vec<Glyph>,
}

impl Run {
    /// Width, pt.
    pub fn width(&self) -> f64 {
        self.size * self.glyphs.iter().map(|glyph| glyph.advance).sum::<f64>()
    }
}

/// The faces, ready for shaping.
pub struct Faces {
    faces: Vec<(Face, rustybuzz::Face<'static>)>,
}

impl Faces {
    /// Reads the embedded faces.
    ///
    /// # Errors
    /// [`PlotError::Font`] if one is damaged.
    pub fn load() -> Result<Self, PlotError> {
        let read = |face: Face| {
            rustybuzz::Face::from_slice(face.data(), 0).map(|read| (face, read)).ok_or(PlotError::Font)
        };
        Ok(Self { faces: Face::ALL.iter().copied().map(read).collect::<Result<_, _>>()? })
    }

    /// Whether the face has a glyph for every character.
    #[cfg(test)]
    pub fn has(&self, face: Face, text: &str) -> bool {
        self.of(face).is_some_and(|face| text.chars().all(|c| face.glyph_index(c).is_some()))
    }

    fn of(&self, face: Face) -> Option<&rustybuzz::Face<'static>> {
        self.faces.iter().find(|(name, _)| *name == face).map(|(_, read)| read)
    }

    /// Shapes text.
    pub fn shape(&self, text: &str, face: Face, size: f64, kind: Kind) -> Run {
        let mut run = Run { face, size, text: text.to_owned(), glyphs: Vec::new() };
        let Some(read) = self.of(face) else { return run };
        let mut features = face.figures();
        if kind == Kind::Fraction {
            features = vec![on(*b"frac"), on(*b"lnum"), on(*b"pnum")];
        }
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        let shaped = rustybuzz::shape(read, &features, buffer);
        let em = f64::from(read.units_per_em());
        let starts: Vec<usize> = shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        for (info, position) in shaped.glyph_infos().iter().zip(shaped.glyph_positions()) {
            let start = info.cluster as usize;
            let end = starts.iter().copied().filter(|other| *other > start).min().unwrap_or(text.len());
            let advance = f64::from(position.x_advance) / em;
            run.glyphs.push(Glyph {
                id: info.glyph_id,
                range: start..end,
                advance: if kind == Kind::Thin { THIN } else { advance },
                right: f64::from(position.x_offset) / em,
                up: f64::from(position.y_offset) / em,
            });
        }
        run
    }
}
