//! What to do on this machine, as a board: which setting, what to change and what to leave, each change by itself.

use super::super::charts::close;
use super::super::judge::words::{beyond, change as name, value};
use super::super::limits;
use super::answer::reason;
use super::sleeve::{fills, long, middle};
use super::{Draft, Note, Told, fault};
use latchstroke_core::limits::Margin;
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::judge::Verdict;
use latchstroke_core::studies::remedy::{Change, Flip, Remedy};
use latchstroke_core::studies::sleeve::{Answer, Refusal};
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
        Verdict::NotKnown => not_known(told),
    };
    let say = rows.iter().map(|row| format!("{}: {}.", row.figure, row.text).replace('\u{a0}', " "));
    let whole = fault(&told.talk.judgement).map(|margin| limits::sentence(margin, &told.units));
    let note = note(told, say.chain(whole).collect());
    let mut board = Board::new(&headline).with_source(&source);
    board.body.rows = rows;
    Draft { stem: "changes", picture: Box::new(board), headline, source, note }
}

fn row(figure: &str, text: impl Into<String>) -> BoardRow {
    BoardRow { figure: close(figure), text: text.into() }
}

/// The limit that decides, and how it stands.
fn deciding(told: &Told<'_>) -> Option<BoardRow> {
    let mut margins = told.talk.judgement.told();
    let margin = margins.next()?;
    let next = margins.next().map_or_else(String::new, |next| format!("; then {}", limits::stands(next)));
    let how = limits::how(margin);
    Some(row(limits::name(margin.limit), format!("is the limit that decides: {how}{next}")))
}

fn leave_aside(told: &Told<'_>) -> (String, Vec<BoardRow>) {
    let talk = told.talk;
    let judgement = &talk.judgement;
    let headline = format!("To do for {}: leave the latch aside; nothing needs changing", told.cast());
    let mut rows = Vec::new();
    match (judgement.set.throw, fault(judgement)) {
        (_, Some(margin)) => rows.push(row(
            "latch",
            format!("aside; set it cannot do its work ({}), and need not", limits::missed(margin.limit)),
        )),
        (Some(throw), None) => rows.push(row(
            &told.force(throw.latch_load),
            "would bear on the latch every turn if it were set, for no better type",
        )),
        (None, None) => {}
    }
    if let Onset::From(pace) = talk.slowest_aside {
        rows.push(row(
            &told.units.turns(pace),
            "is the slowest pace at which this size keeps all limits with the latch aside",
        ));
    }
    if let Onset::From(body) = talk.aside.from {
        let why = talk
            .aside
            .lost
            .map_or_else(String::new, |limit| format!("; beyond it {}", limits::missed(limit)));
        let text =
            format!("is the square size up to which the latch may stand aside, {}{why}", told.at_pace());
        rows.push(row(&told.units.size_up_to(body), text));
    }
    rows.extend(deciding(told));
    (headline, rows)
}

fn set(told: &Told<'_>) -> (String, Vec<BoardRow>) {
    let talk = told.talk;
    let sleeve = talk.sleeve.as_ref().and_then(|answer| sleeve(told, answer));
    let then = match (&sleeve, talk.sleeve.as_ref().map(|answer| &answer.recommendation)) {
        (Some(_), Some(Ok(recommendation))) if recommendation.keep => " and keep the sleeve",
        (Some(row), _) => &format!("; a sleeve of {} would do more", row.figure),
        _ => "; with it all limits are kept as the machine stands",
    };
    let headline = format!("To do for {}: set the latch{then}", told.cast());
    let mut rows = Vec::new();
    if let Some(throw) = talk.judgement.set.throw.filter(|_| sleeve.is_none()) {
        rows.push(row(&told.force(throw.latch_load), "bear on the latch as it lets go, every turn"));
    }
    if let Onset::From(pace) = talk.slowest_aside {
        rows.push(row(
            &told.units.turns(pace),
            "is the pace from which the latch may stand aside for this size",
        ));
    }
    rows.extend(sleeve);
    rows.extend(deciding(told));
    (headline, rows)
}

fn neither(told: &Told<'_>) -> (String, Vec<BoardRow>) {
    let talk = told.talk;
    let judgement = &talk.judgement;
    let nearer = judgement.standing(judgement.advised());
    let in_the_way: Vec<&Margin> = nearer.in_the_way().collect();
    let sleeve = talk.sleeve.as_ref().and_then(|answer| new_sleeve(told, answer));
    let sleeve = sleeve.map(|row| (format!("A sleeve of {}", row.figure), row));
    // Where the sleeve is studied, what that comes to is the only word on it.
    let studied = talk.sleeve.is_some();
    let remedies = talk.remedies.iter().filter(|remedy| !(studied && remedy.change == Change::Sleeve));
    let changes: Vec<(String, BoardRow)> =
        sleeve.into_iter().chain(remedies.filter_map(|it| remedy(told, it))).collect();
    let now = reason(judgement);
    let cast = told.cast();
    let headline = match changes.as_slice() {
        [] => format!("Neither setting will do for {cast}, nor any single change tried: {now}"),
        [(change, _)] => format!("{change} would do for {cast}; now {now}"),
        [(change, _), _] => format!("{change} would do for {cast}, as would another change; now {now}"),
        [(change, _), others @ ..] => {
            format!("{change} would do for {cast}, as would {} other changes; now {now}", others.len())
        }
    };
    let setting = limits::setting(judgement.advised());
    // At most two, so that the changes have room.
    let mut rows: Vec<BoardRow> = in_the_way
        .iter()
        .take(2)
        .map(|margin| {
            // What is to be said of a limit of the machine is long, and stands in the notes.
            let said = if margin.limit.is_of_machine() {
                limits::missed(margin.limit).to_owned()
            } else {
                limits::sentence(margin, &told.units).trim_end_matches('.').to_owned()
            };
            row(limits::name(margin.limit), format!("stands in the way, {setting}: {said}"))
        })
        .collect();
    if changes.is_empty() {
        let machine = talk.remedies.iter().filter(|it| is_of_machine(it.change));
        let tried = machine.filter(|it| way_out(it).is_none()).map(|it| {
            let figure = |si: f64| close(&value(it.change, si, &told.units));
            let (least, most) = it.tried;
            row(name(it.change), format!("nothing from {} to {} is enough", figure(least), figure(most)))
        });
        rows.extend(tried.take(MOST_ROWS.saturating_sub(rows.len())));
    }
    let room = MOST_ROWS.saturating_sub(rows.len());
    rows.extend(changes.into_iter().map(|(_, row)| row).take(room));
    (headline, rows)
}

fn not_known(told: &Told<'_>) -> (String, Vec<BoardRow>) {
    let headline = format!("No verdict for {}: a turn could not be solved", told.cast());
    let text = "a turn of this cast could not be solved so that its figures can be trusted; change nothing on its account";
    (headline, vec![row("not known", text)])
}

/// Whether a change is one to the machine and its running; the others change what is asked of it.
fn is_of_machine(change: Change) -> bool {
    !matches!(change, Change::AcceptedSkin | Change::HoldDown)
}

/// The nearest value with which the cast comes out: above the present one, else below.
fn way_out(remedy: &Remedy) -> Option<Flip> {
    let works = |flip: &Flip| flip.verdict.setting().is_some();
    remedy.above.filter(works).or(remedy.below.filter(works))
}

/// What begins a sentence about a change.
fn subject(change: Change) -> &'static str {
    match change {
        Change::Pace => "A pace of",
        Change::Sleeve => "A sleeve and extension of",
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

/// A change with which the cast comes out, as the judge has it; none where there is none.
fn remedy(told: &Told<'_>, remedy: &Remedy) -> Option<(String, BoardRow)> {
    let change = remedy.change;
    let flip = way_out(remedy).filter(|_| is_of_machine(change))?;
    let figure = beyond(remedy, flip, &told.units).text;
    let setting = flip.verdict.setting().map_or("", limits::setting);
    let now = close(&value(change, remedy.now, &told.units));
    let text = format!("{}, {setting}, instead of {now}", name(change));
    Some((format!("{} {}", subject(change), close(&figure)), row(&figure, text)))
}

/// What the study of the sleeve comes to for a cast that wants the latch: keep it, or make another that serves all.
fn sleeve(told: &Told<'_>, answer: &Answer) -> Option<BoardRow> {
    let recommendation = answer.recommendation.as_ref().ok()?;
    if !recommendation.keep {
        return new_sleeve(told, answer);
    }
    let present = &answer.present;
    let load = close(&told.force(present.latch_load()?));
    Some(row(
        &long(told, present.sleeve),
        format!("is the sleeve now fitted: keep it; the latch lets go under {load}"),
    ))
}

/// The sleeve to make, where the cast comes out with it: the one for all sizes, else the one for its own.
fn new_sleeve(told: &Told<'_>, answer: &Answer) -> Option<BoardRow> {
    let cast = told.talk.judgement.cast;
    let now = long(told, answer.present.sleeve);
    match &answer.recommendation {
        Ok(recommendation) if !recommendation.keep => {
            let step = &recommendation.step;
            let thrown = step.casts.iter().find(|thrown| thrown.cast == cast && thrown.will_do())?;
            let text = format!(
                "sleeve and rod extension, instead of a sleeve of {now}, latch set: {}",
                fills(told, thrown)
            );
            Some(row(&long(told, step.sleeve), text))
        }
        Err(Refusal::NoOneLength(groups, _)) => {
            let group = groups.iter().find(|group| group.casts.contains(&cast))?;
            let (low, high) = group.window;
            let text = format!(
                "sleeve and rod extension for this size, instead of a sleeve of {now}, latch set; {} to {} keep all limits",
                long(told, low),
                long(told, high)
            );
            Some(row(&long(told, middle(group)), text))
        }
        _ => None,
    }
}

fn note(told: &Told<'_>, say: Vec<String>) -> Note {
    Note {
        shows: "What to do on this machine: what to change or leave as it is, with the figures.".to_owned(),
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
