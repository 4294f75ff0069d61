//! How sure the answer is, and what the model leaves out.

use super::super::charts::close;
use super::super::odds::{SCALE, unmeasured_names};
use super::super::{LEFT_OUT, limits};
use super::{Draft, Note, Told};
use latchstroke_core::studies::judge::{Judgement, Verdict};
use latchstroke_plots::board::MOST_ROWS;
use latchstroke_plots::{Board, BoardRow};

/// So many assumed values are named at most.
const MOST_NAMED: usize = 3;

/// The picture.
pub(super) fn draft(told: &Told<'_>) -> Draft<'static> {
    let source = told.source(&told.at_pace());
    let headline = headline(told);
    let mut rest: Vec<BoardRow> = Vec::new();
    let assumed = unmeasured_names(told.doubts.scenario);
    if !assumed.is_empty() {
        rest.push(row("assumed", &some_of(&assumed)));
    }
    rest.push(row("left out", LEFT_OUT));
    let mut rows = sizes(told, MOST_ROWS - rest.len());
    rows.extend(rest);
    let mut say: Vec<String> = rows
        .iter()
        .map(|row| format!("{}: {}.", row.figure, row.text.trim_end_matches('.')).replace('\u{a0}', " "))
        .collect();
    if told.doubts.odds.is_some() {
        say.push(SCALE.to_owned());
    }
    let mut board = Board::new(&headline).with_source(&source);
    board.body.rows = rows;
    Draft { stem: "how-sure", picture: Box::new(board), headline, source, note: note(told, say) }
}

fn row(figure: &str, text: &str) -> BoardRow {
    BoardRow { figure: close(figure), text: text.to_owned() }
}

/// What is assumed: all by name, or where they are many the first of them and how many more.
fn some_of(names: &[String]) -> String {
    let because = "since nobody measured it, and it can turn the answer";
    let becauses = "since nobody measured them, and any of them can turn the answer";
    match names {
        [] => String::new(),
        [only] => format!("{only}, {because}"),
        [first @ .., last] if names.len() <= MOST_NAMED => {
            format!("{} and {last}, {becauses}", first.join(", "))
        }
        names => {
            let (first, rest) = names.split_at(MOST_NAMED - 1);
            format!("{} and {} more values, {becauses}", first.join(", "), rest.len())
        }
    }
}

fn headline(told: &Told<'_>) -> String {
    let size = close(&told.size());
    match told.sureness_of_cast() {
        Some((said, share)) => format!(
            "{}: with all that is not known left to vary, {} still say \u{201c}{}\u{201d} for {size}",
            limits::first_upper(said),
            close(&share),
            limits::short_advice(told.talk.judgement.verdict)
        ),
        None if told.talk.judgement.verdict == Verdict::NotKnown => {
            format!("No verdict for {size}, and so none to be sure of")
        }
        None => format!("Every value counts as exact, so nothing tells how sure the answer for {size} is"),
    }
}

/// How sure a size is: the share, the word for it, and what would settle most of the doubt.
fn doubt(told: &Told<'_>, place: usize) -> Option<(String, String)> {
    let (said, share) = told.doubts.sure(place, told.talk.sizes.get(place)?)?;
    let settles = told.doubts.settling(place).map_or_else(String::new, |(name, part)| {
        format!("; {name}, once known, would settle {:.0}\u{a0}% of the doubt", 100.0 * part)
    });
    Some((share, format!("{said}{settles}")))
}

/// How sure each size is, those alike together; the least sure where there is no room for all.
fn sizes(told: &Told<'_>, most: usize) -> Vec<BoardRow> {
    let mut all: Vec<(f64, (String, String), Vec<&Judgement>)> = Vec::new();
    for (place, judgement) in told.talk.sizes.iter().enumerate() {
        let share = told.doubts.share(place, judgement);
        let (Some(share), Some(doubt)) = (share, doubt(told, place)) else { continue };
        match all.iter_mut().find(|(_, other, _)| *other == doubt) {
            Some((_, _, of)) => of.push(judgement),
            None => all.push((share.value(), doubt, vec![judgement])),
        }
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.truncate(most);
    let rows =
        all.into_iter().map(|(_, (share, said), of)| row(&share, &format!("{}: {said}", told.sizes(&of))));
    rows.collect()
}

fn note(told: &Told<'_>, say: Vec<String>) -> Note {
    let (drawn, left_out) = (told.doubts.drawn(), told.doubts.left_out());
    Note {
        shows: "How often the answer stays what it is when all that is not known exactly is let vary; what is assumed; and what the model leaves out.".to_owned(),
        computed: if drawn > 0 {
            format!("{drawn} draws of the machine, each value that is assumed or carries a tolerance anywhere within its spread, judged like the one as stated.{left_out}")
        } else {
            "Nothing is drawn: every value is stated without a tolerance, and none is assumed.".to_owned()
        },
        say,
        questions: vec![(
            "Is the model right?".to_owned(),
            "It is tested against other solutions of the same equations and against handbooks, not against your machine. Believe your castings before any figure of it.".to_owned(),
        )],
    }
}
