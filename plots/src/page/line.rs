//! One line of type.

use super::faces::{Face, Faces, Kind, Run};
use super::spelling::{self, Piece};

/// Colour of type and rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Nearly black.
    Black,
    /// Grey, for small print and headings of tables.
    Grey,
    /// The red of rubrics, for headings.
    Red,
}

/// A word between two places where a line may be broken.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    /// The space before it, set in the face of what precedes it.
    pub space: Run,
    /// Its runs.
    pub runs: Vec<Run>,
}

/// Sets text as words of one face and size.
pub fn words(faces: &Faces, text: &str, face: Face, size: f64) -> Vec<Word> {
    let space = faces.shape(" ", face, size, Kind::Plain);
    let run = |piece: Piece| match piece {
        Piece::Plain(text) => faces.shape(&text, face, size, Kind::Plain),
        Piece::Fraction(text) => faces.shape(&text, face, size, Kind::Fraction),
        Piece::Space => space.clone(),
        Piece::Thin => faces.shape(" ", face, size, Kind::Thin),
    };
    spelling::words(text)
        .into_iter()
        .map(|pieces| Word { space: space.clone(), runs: pieces.into_iter().map(run).collect() })
        .collect()
}

/// Runs set one after the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The runs.
    pub runs: Vec<Run>,
}

impl Line {
    /// A line of words.
    pub fn of(words: &[Word]) -> Self {
        let mut runs = Vec::new();
        for (n, word) in words.iter().enumerate() {
            if n > 0 {
                runs.push(word.space.clone());
            }
            runs.extend(word.runs.iter().cloned());
        }
        Self { runs }
    }

    /// A line of text in one face and size, never broken.
    pub fn set(faces: &Faces, text: &str, face: Face, size: f64) -> Self {
        Self::of(&words(faces, text, face, size))
    }

    /// Width, pt.
    pub fn width(&self) -> f64 {
        self.runs.iter().map(Run::width).sum()
    }

    /// The greatest type size in it, pt.
    pub fn size(&self) -> f64 {
        self.runs.iter().map(|run| run.size).fold(0.0, f64::max)
    }

    /// The words.
    pub fn text(&self) -> String {
        self.runs.iter().map(|run| run.text.as_str()).collect()
    }
}
