//! The answer: what to do with the latch, size by size, and how sure that is.

use super::super::charts::close;
use super::super::limits;
use super::super::owner::milliseconds;
use super::{Draft, Note, Told};
use latchstroke_core::studies::judge::{Judgement, Verdict};
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::{Board, BoardRow};
use latchstroke_scenario::quantity::trimmed;

/// A fill that is in time by less than this ratio is just in time.
const JUST: f64 = 1.05;

/// The picture.
pub(super) fn draft(told: &Told<'_>) -> Draft<'static> {
    let source = told.source(&told.at_pace());
    let headline = headline(told);
    let mut rows: Vec<BoardRow> = Verdict::ALL.iter().filter_map(|&verdict| row(told, verdict)).collect();
    rows.extend(sure(told));
    let say = rows.iter().map(|row| format!("{}: {}.", row.figure, row.text).replace('\u{a0}', " "));
    let note = note(told, say.collect());
    let mut board = Board::new(&headline).with_source(&source);
    board.body.rows = rows;
    Draft { stem: "answer", picture: Box::new(board), headline, source, note }
}

fn headline(told: &Told<'_>) -> String {
    let judgement = &told.talk.judgement;
    let cast = told.cast();
    let time = |setting| judgement.turn(setting).sound_fill_time().map(|time| close(&milliseconds(time)));
    let allowed = close(&milliseconds(judgement.clocks.allowed));
    let known = |time: Option<String>| time.unwrap_or_else(|| "no time that is known".to_owned());
    match judgement.verdict {
        Verdict::LeaveAside => format!(
            "Leave the latch aside for {cast}: the mould is full in {}, and has {allowed}",
            known(time(LatchSetting::Aside))
        ),
        Verdict::Set => {
            let instead = match time(LatchSetting::Aside) {
                Some(aside) => format!(" instead of {aside}"),
                None => String::new(),
            };
            format!(
                "Set the latch for {cast}: the mould is full in {}{instead}, and has {allowed}",
                known(time(LatchSetting::Set))
            )
        }
        Verdict::Neither => format!("Neither setting of the latch will do for {cast}: {}", reason(judgement)),
        Verdict::NotKnown => format!("No verdict for {cast}: a turn could not be solved"),
    }
}

/// What stands in the way of a cast before all else, with the setting nearer to doing.
pub(super) fn reason(judgement: &Judgement) -> &'static str {
    let cause = judgement.standing(judgement.advised()).cause();
    cause.map_or("a limit is missed", |margin| limits::missed(margin.limit))
}

/// The sizes with a verdict, and what it comes to for them; none where there are none.
fn row(told: &Told<'_>, verdict: Verdict) -> Option<BoardRow> {
    let of = told.of_verdict(verdict);
    let first = of.first()?;
    let text = match verdict {
        Verdict::LeaveAside => format!("leave the latch aside: {}", in_time(&of, LatchSetting::Aside)),
        Verdict::Set => {
            format!(
                "set the latch: {}; with it aside {}",
                in_time(&of, LatchSetting::Set),
                reasons(&of, LatchSetting::Aside)
            )
        }
        Verdict::Neither => format!("neither setting will do: {}", reasons(&of, first.advised())),
        Verdict::NotKnown => "not known: a turn could not be solved so that it can be trusted".to_owned(),
    };
    Some(BoardRow { figure: told.sizes(&of), text })
}

/// "the mould is full at least 2.3 times as fast as it must".
fn in_time(of: &[&Judgement], setting: LatchSetting) -> String {
    let ratio = |judgement: &&Judgement| {
        judgement.turn(setting).sound_fill_time().map(|time| judgement.clocks.allowed / time)
    };
    let least = of.iter().filter_map(ratio).fold(f64::INFINITY, f64::min);
    let many = if of.len() > 1 { "at least " } else { "" };
    match least {
        least if !least.is_finite() => "the mould is full in time".to_owned(),
        least if least < JUST => "the mould is full just in time".to_owned(),
        least => format!("the mould is full {many}{} as fast as it must", times(least)),
    }
}

/// A ratio to two figures, rounded down so that it claims no more than is so.
pub(super) fn times(ratio: f64) -> String {
    let unit = 10_f64.powf(ratio.log10().floor() - 1.0);
    // A hair, so that a ratio that is on a figure but for rounding is not taken below it.
    let down = (ratio / unit * (1.0 + 1e-9)).floor() * unit;
    format!("{}\u{a0}times", trimmed(super::super::owner::significant(down, 2)))
}

/// What stands in the way of casts with a setting, each reason once.
fn reasons(of: &[&Judgement], setting: LatchSetting) -> String {
    let all = of.iter().filter_map(|judgement| judgement.standing(setting).cause());
    let all = super::super::each_once(all.map(|margin| limits::missed(margin.limit)));
    match all.as_slice() {
        [] => "not all limits are kept".to_owned(),
        [only] => (*only).to_owned(),
        [first, rest @ ..] => format!("{first}; for some {}", rest.join(", or ")),
    }
}

/// How sure the verdict on the cast is; none where every value counts as exact.
fn sure(told: &Told<'_>) -> Option<BoardRow> {
    let (said, share) = told.sureness_of_cast()?;
    let of = close(&told.size());
    Some(BoardRow { figure: close(&share), text: format!("is how sure this is for {of}: {said}") })
}

fn note(told: &Told<'_>, mut say: Vec<String>) -> Note {
    say.extend(limits::otherwise(&told.talk.judgement));
    Note {
        shows: format!("The answer for every size asked, {}.", told.at_pace()),
        computed: "For each size a turn with the latch aside and one with it set, each held against every limit of the machine and the cast.".to_owned(),
        say,
        questions: vec![(
            "At which pace?".to_owned(),
            match told.talk.map.at.asked {
                Some(pace) => format!("Every size at the one asked for, {}.", told.units.turns(pace.0)),
                None => "Each as fast as its metal cools, with a tenth in hand, and no faster than the machine is run.".to_owned(),
            },
        )],
    }
}
