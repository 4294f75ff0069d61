//! What we would change, as a board of figures: each change by itself, or that nothing needs changing.

use super::super::charts::close;
use super::super::judge::words::{change as name, value};
use super::super::owner::{milliseconds, rounded};
use super::sleeve::{SAME, long};
use super::{Draft, Note, Told, fault, fill, latch_fails};
use latchstroke_core::studies::judge::{Onset, Verdict};
use latchstroke_core::studies::remedy::{Change, Flip, Remedy, Then};
use latchstroke_core::studies::sleeve::{Cast, Step};
use latchstroke_plots::board::MOST_ROWS;
use latchstroke_plots::{Board, BoardRow};

/// Said at the foot of the board, which tells people to do something at the machine.
const CARE: &str =
    "Before any of it: power off, the springs’ force off. A model’s prediction, not a clearance.";

/// The picture.
pub(super) fn draft(told: &Told<'_>) -> Draft<'static> {
    let source = format!("{}. {CARE}", told.source(&told.cast()));
    let (headline, rows) = match told.talk.judgement.verdict {
        Verdict::LeaveAside => leave_aside(told),
        Verdict::Set => set(told),
        Verdict::Neither => neither(told),
    };
    let say = rows.iter().map(|row| format!("{}: {}.", row.figure, row.text).replace('\u{a0}', " "));
    let note = note(told, say.collect());
    let mut board = Board::new(&headline).with_source(&source);
    board.body.rows = rows;
    Draft { stem: "changes", picture: Box::new(board), headline, source, note }
}

fn row(figure: &str, text: impl Into<String>) -> BoardRow {
    BoardRow { figure: close(figure), text: text.into() }
}

fn allowed(told: &Told<'_>) -> String {
    close(&milliseconds(told.talk.judgement.limits.allowed))
}

/// Whether a pace (turns/s) is too fast for the type to be solid, and the fastest that is not.
fn too_fast(told: &Told<'_>, pace: f64) -> Option<f64> {
    told.talk.cooling.map(|cooling| cooling.pace).filter(|&limit| pace > limit)
}

/// A word on a cast that is too fast for its type to be solid.
fn cooling(told: &Told<'_>) -> Option<BoardRow> {
    let limit = too_fast(told, told.talk.judgement.cast.pace.0)?;
    let text = format!(
        "is the fastest pace at which {} is solid by the model as the mould opens; {} is faster: begin below it",
        close(&told.size()),
        close(&told.pace())
    );
    Some(row(&told.units.turns(limit), text))
}

fn leave_aside(told: &Told<'_>) -> (String, Vec<BoardRow>) {
    let talk = told.talk;
    let judgement = &talk.judgement;
    let (aside, allowed) = (close(&fill(&judgement.aside)), allowed(told));
    let headline =
        format!("Leave the latch aside for {}: full in {aside}, of {allowed} allowed", told.cast());
    let mut rows = Vec::new();
    match (judgement.set.throw, fault(judgement)) {
        (_, Some(_)) => rows.push(row(
            &fill(&judgement.aside),
            "with the latch aside; as it is set up the latch cannot do its work, and need not",
        )),
        (Some(throw), None) => rows.push(row(
            &fill(&judgement.set),
            format!(
                "with the latch set: no better type for it, and {} on the latch every turn",
                close(&told.force(throw.latch_load))
            ),
        )),
        (None, None) => {}
    }
    if let Onset::From(pace) = talk.slowest_aside {
        rows.push(row(
            &told.units.turns(pace),
            "is the slowest pace at which this size still fills in time with the latch aside",
        ));
    }
    if let Onset::From(body) = talk.wants_latch {
        let text = format!("is the square size from which the latch is wanted at {}", close(&told.pace()));
        rows.push(row(&rounded(told.units.body, body, 3), text));
    }
    rows.extend(cooling(told));
    (headline, rows)
}

fn set(told: &Told<'_>) -> (String, Vec<BoardRow>) {
    let talk = told.talk;
    let judgement = &talk.judgement;
    let (aside, set) = (close(&fill(&judgement.aside)), close(&fill(&judgement.set)));
    let headline = format!("Set the latch for {}: full in {set}, instead of {aside}", told.cast());
    let mut rows = vec![row(
        &set,
        format!("to fill with the latch set, and {aside} with it aside; {} are allowed", allowed(told)),
    )];
    if let Onset::From(pace) = talk.slowest_aside {
        let solid = too_fast(told, pace).map_or(String::new(), |limit| {
            format!(", but by the model the type is solid only up to {}", close(&told.units.turns(limit)))
        });
        rows.push(row(
            &told.units.turns(pace),
            format!("is the pace from which the latch may stand aside for this size{solid}"),
        ));
    }
    rows.extend(better_sleeve(told).or_else(|| kept_sleeve(told)));
    rows.extend(cooling(told));
    (headline, rows)
}

fn neither(told: &Told<'_>) -> (String, Vec<BoardRow>) {
    let talk = told.talk;
    let sleeve = sleeve_for_the_cast(told).map(|row| (format!("A sleeve of {}", row.figure), row));
    let by_sleeve = sleeve.is_some();
    let remedies = talk.remedies.iter().filter(|remedy| !(by_sleeve && remedy.change == Change::TripLift));
    let changes: Vec<(String, BoardRow)> =
        sleeve.into_iter().chain(remedies.filter_map(|it| remedy(told, it))).collect();
    let (aside, set) = (close(&fill(&talk.judgement.aside)), close(&fill(&talk.judgement.set)));
    let now = match latch_fails(&talk.judgement) {
        Some(fails) => format!("now {fails}"),
        None => format!("now {set} with the latch set, of {} allowed", allowed(told)),
    };
    let cast = told.cast();
    let headline = match changes.as_slice() {
        [] => format!("No single change tried makes {cast} come out; {now}"),
        [(change, _)] => format!("{change} would do for {cast}; {now}"),
        [(change, _), _] => format!("{change} would do for {cast}, as would another change; {now}"),
        [(change, _), others @ ..] => {
            format!("{change} would do for {cast}, as would {} other changes; {now}", others.len())
        }
    };
    let text = format!("now, with the latch set; {aside} with it aside, and {} are allowed", allowed(told));
    let mut rows = vec![row(&set, text)];
    if changes.is_empty() {
        let machine = talk.remedies.iter().filter(|it| is_of_machine(it.change));
        let tried = machine.filter(|it| way_out(it).is_none()).map(|it| {
            let (least, most) =
                (value(it.change, it.tried.0, &told.units), value(it.change, it.tried.1, &told.units));
            row(&most, format!("{}: nothing from {} up to this is enough", name(it.change), close(&least)))
        });
        // The last row is kept for a word on cooling.
        rows.extend(tried.take(MOST_ROWS - 2));
    }
    rows.extend(changes.into_iter().map(|(_, row)| row).take(MOST_ROWS - 2));
    rows.extend(cooling(told));
    (headline, rows)
}

/// Whether a change is one to the machine and its running; the others change what is asked of it.
fn is_of_machine(change: Change) -> bool {
    !matches!(change, Change::AcceptedSkin | Change::HoldDown)
}

/// The nearest value with which the cast comes out: above the present one, else below.
fn way_out(remedy: &Remedy) -> Option<Flip> {
    let works = |flip: &Flip| matches!(flip.then, Then::LeaveAside | Then::Set);
    remedy.above.filter(works).or(remedy.below.filter(works))
}

/// What begins a sentence about a change.
fn subject(change: Change) -> &'static str {
    match change {
        Change::Pace => "A pace of",
        Change::TripLift => "A trip lift of",
        Change::Preload => "A preload of",
        Change::PotTemperature => "A pot at",
        Change::WallTemperature => "A mould wall at",
        Change::AcceptedSkin => "An accepted skin of",
        Change::VentGap => "A vent gap of",
        Change::VentArea => "A vent area of",
        Change::HoldDown => "A hold-down of",
    }
}

/// A change with which the cast comes out; none where there is none, or where something else forbids it.
fn remedy(told: &Told<'_>, remedy: &Remedy) -> Option<(String, BoardRow)> {
    let change = remedy.change;
    let flip = way_out(remedy).filter(|_| is_of_machine(change))?;
    let forbidden = match change {
        // The study of the nut looks at coils, matrix and wire as well.
        Change::Preload => {
            let reach = told.talk.preload.reaches.last().and_then(Option::as_ref);
            reach.is_none_or(|reach| !(reach.low.preload..=reach.high.preload).contains(&flip.value))
        }
        // Where the stack is known, only a sleeve within the window gives that lift.
        Change::TripLift => told.talk.sleeve.as_ref().is_some_and(|answer| {
            let window = answer.window;
            let sleeve = window.longest + window.prong_travel - flip.value;
            !(window.shortest..=window.longest).contains(&sleeve)
        }),
        _ => false,
    };
    let figure = value(change, flip.value, &told.units);
    let setting = if flip.then == Then::Set { "latch set" } else { "latch aside" };
    let now = close(&value(change, remedy.now, &told.units));
    let text = format!("{}, {setting}, instead of {now}", name(change));
    (!forbidden).then(|| (format!("{} {}", subject(change), close(&figure)), row(&figure, text)))
}

/// The recommended step where it is another sleeve than the one fitted, and the step as fitted.
fn recommended<'a>(told: &Told<'a>) -> Option<(&'a Step, &'a Step)> {
    let answer = told.talk.sleeve.as_ref()?;
    let step = &answer.recommendation.as_ref().ok()?.step;
    let moved =
        (step.sleeve - answer.present.sleeve).abs().max((step.extension - answer.present.extension).abs());
    (moved >= SAME).then_some((step, &answer.present))
}

fn sleeve_row(told: &Told<'_>, (step, present): (&Step, &Step), cast: &Cast) -> Option<BoardRow> {
    let time = close(&milliseconds(cast.turn.sound_fill_time()?));
    let size = close(&told.units.size(cast.sort.body.0));
    let now = long(told, present.sleeve);
    let text = format!(
        "sleeve and rod extension, instead of a sleeve of {now}: {size} fills in {time} with the latch set"
    );
    Some(row(&long(told, step.sleeve), text))
}

/// The recommended sleeve, where the cast comes out with it.
fn sleeve_for_the_cast(told: &Told<'_>) -> Option<BoardRow> {
    let steps = recommended(told)?;
    let sort = told.talk.judgement.cast.sort;
    let cast = steps.0.casts.iter().find(|cast| cast.sort == sort && cast.will_do)?;
    sleeve_row(told, steps, cast)
}

/// The recommended sleeve, where a size comes out with it that does not with the one fitted.
fn better_sleeve(told: &Told<'_>) -> Option<BoardRow> {
    let steps = recommended(told)?;
    let pairs = steps.0.casts.iter().zip(&steps.1.casts);
    // The sizes rise: the largest of those gained.
    let (gained, _) = pairs.rev().find(|(new, now)| new.will_do && !now.will_do)?;
    sleeve_row(told, steps, gained)
}

/// The sleeve as fitted, with what the latch bears.
fn kept_sleeve(told: &Told<'_>) -> Option<BoardRow> {
    let present = &told.talk.sleeve.as_ref()?.present;
    let load = close(&told.force(present.latch_load()?));
    Some(row(
        &long(told, present.sleeve),
        format!("is the sleeve now fitted: keep it; the latch lets go under {load}"),
    ))
}

fn note(told: &Told<'_>, say: Vec<String>) -> Note {
    Note {
        shows: "What we would change at this machine, or leave as it is, with the figures.".to_owned(),
        computed: "Each change by itself, by root finding on whole turns: the least that does.".to_owned(),
        say,
        questions: vec![
            (
                "Which of them first?".to_owned(),
                "The cheapest to undo. Change one thing, turn the machine by hand through two whole turns, cast a few, break them across, and only then the next.".to_owned(),
            ),
            (
                "How sure is it?".to_owned(),
                format!(
                    "As sure as the measurements: \u{201c}latchstroke tolerance\u{201d} shows what their errors do to the verdict for {}.",
                    told.size()
                ),
            ),
        ],
    }
}
