//! The cautions, as the last picture.

use super::super::cautions::{CAUTIONS, CLOSING, HEADING};
use super::{Draft, Note, Told};
use latchstroke_plots::{Board, BoardRow};

/// What each caution is about.
const ABOUT: [&str; CAUTIONS.len()] = ["power", "springs", "hot metal", "lead", "fingers"];

/// The picture.
pub(super) fn draft(told: &Told<'_>) -> Draft<'static> {
    let headline = format!("{HEADING}: molten metal, squeezed springs and levers hurt");
    let rows = ABOUT.iter().zip(CAUTIONS);
    let rows =
        rows.map(|(about, caution)| BoardRow { figure: (*about).to_owned(), text: caution.to_owned() });
    let mut board = Board::new(&headline).with_source(CLOSING);
    board.body.rows = rows.collect();
    let note = Note {
        shows: "What to mind at the machine, whatever is changed.".to_owned(),
        computed: "Nothing: it is what every report of this program says.".to_owned(),
        say: CAUTIONS.iter().chain([&CLOSING]).map(|said| (*said).to_owned()).collect(),
        questions: vec![(
            "Does the model say that it is safe?".to_owned(),
            format!("No. It computes a turn of {}; it clears nothing.", told.machine),
        )],
    };
    Draft { stem: "cautions", picture: Box::new(board), headline, source: CLOSING.to_owned(), note }
}
