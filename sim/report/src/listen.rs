//! What a recording of the machine tells, in words and as data.

pub mod chart;

use super::cautions;
use super::limits::first_upper;
use super::names::named;
use super::owner::{OwnerUnits, outward, percent, significant};
use super::table::Table;
use super::turn::wrapped;
use super::wrong::astray;
use latchstroke_core::studies::heard::Change;
use latchstroke_core::studies::wrong::Suspect;
use latchstroke_core::turn::EventKind;
use latchstroke_scenario::{Scenario, look};
use latchstroke_sound::envelope::LONGEST;
use latchstroke_sound::turns::{Gap, LEAST_TURNS};
use latchstroke_sound::{Refused, Turns};
use serde_json::{Value, json};

/// No more changes than this are told.
const TOLD: usize = 5;
/// A change less likely than this is not worth a look.
const UNLIKELY: f64 = 0.01;
/// Standard errors to either side within which the truth lies 95 times in 100.
const TWO_SIDED: f64 = 1.96;

/// Which click is which event of the machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// The event and the click, by its place in the list of beats.
    pub clicks: Vec<(EventKind, usize)>,
}

impl Named {
    /// The click that is an event.
    pub fn of(&self, kind: EventKind) -> Option<usize> {
        self.clicks.iter().find(|click| click.0 == kind).map(|click| click.1)
    }
}

/// What the model says of what was heard.
#[derive(Debug)]
pub struct Model<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Which click is which; none where none is like the machine's with its latch set.
    pub named: Option<Named>,
    /// The time from the latch letting go to the strike, s: of the machine as stated, and of machines drawn in growing order.
    pub gap: Option<f64>,
    /// The same of machines drawn of all that is not known, in growing order.
    pub spread: Vec<f64>,
    /// The values that may have changed.
    pub suspects: Vec<Suspect>,
    /// The single changes that would make the model's time the one heard.
    pub changes: Vec<Change>,
}

/// A click of a recording and the same in another, which is known to be good.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// Which click.
    pub beat: usize,
    /// By how much later after the first click it comes than in the good recording at the same pace, s, and the standard error of that.
    pub by: (f64, f64),
}

/// Everything that is told.
#[derive(Debug)]
pub struct Report<'a> {
    /// What the recording is called.
    pub name: String,
    /// How long it is, s.
    pub length: f64,
    /// Its turns.
    pub turns: &'a Turns,
    /// What the model says of it.
    pub model: Option<Model<'a>>,
    /// Against a recording known to be good: its pace, turns/s, and the clicks of both.
    pub baseline: Option<(f64, Vec<Moved>)>,
    /// The units to tell it in.
    pub units: OwnerUnits,
}

/// Why nothing is told.
pub fn refused(why: Refused) -> String {
    let what = match why {
        Refused::TooShort(seconds) => format!("{} s are too short; record at least {LEAST_TURNS} turns, better twenty", significant(seconds, 2)),
        Refused::Silent => "there is nothing to hear; hold the recorder nearer to the latch".to_owned(),
        Refused::Cut(share) => format!("{} of the samples are cut off; record again from further away or with less gain", percent(share)),
        Refused::FewClicks(count) => format!("hardly anything in it begins suddenly (clicks: {count}); hold the recorder nearer to the latch"),
        Refused::NoTurn => "nothing comes again turn after turn at a steady pace; record the machine alone, running steadily, and give --pace if it is known".to_owned(),
        Refused::Wanders(share) => format!("the pace wanders by {} from turn to turn; let the machine run steadily first", percent(share)),
        Refused::OneClick => "one click comes again and no other with it, as with a clock or a drip; hold the recorder nearer to the latch".to_owned(),
        Refused::Even => "the clicks that come again are evenly apart, as with music or a clock; give --pace if it is the machine".to_owned(),
    };
    format!("cannot tell: {what}")
}

/// "247.0 ms ± 0.1 ms": a time and half the width of its interval.
fn with_error(gap: &Gap) -> String {
    let half = (TWO_SIDED * gap.error).max(5e-5);
    let places = usize::from(half < 9.5e-4);
    format!("{:.places$} ms ± {:.places$} ms", 1e3 * gap.mean, 1e3 * half)
}

/// A time to the millisecond, or to a tenth below a tenth of a second.
fn told(seconds: f64) -> String {
    let places = usize::from(seconds.abs() < 0.1);
    format!("{:.places$} ms", 1e3 * seconds)
}

/// A time to two figures.
fn about(seconds: f64) -> String {
    format!("{} ms", significant(1e3 * seconds, 2))
}

impl Report<'_> {
    fn pace(&self) -> f64 {
        1.0 / self.turns.period
    }

    /// The time from the latch letting go to the strike as heard.
    pub fn gap(&self) -> Option<Gap> {
        let named = self.model.as_ref()?.named.as_ref()?;
        self.turns.gap(named.of(EventKind::LatchLetsGo)?, named.of(EventKind::ShoulderStrikes)?)
    }

    fn name(&self, beat: usize) -> String {
        let named = self.model.as_ref().and_then(|model| model.named.as_ref());
        let kind = named.and_then(|named| named.clicks.iter().find(|click| click.1 == beat));
        kind.map_or(String::new(), |click| click.0.words().to_owned())
    }

    fn opening(&self) -> String {
        format!(
            "{}: {}{} s, {} turns at {}; a turn differs from the next by {}.",
            self.name,
            if self.length >= LONGEST { "the first " } else { "" },
            significant(self.length, 3),
            self.turns.starts.len() - 1,
            self.units.turns(self.pace()),
            percent(self.turns.wander)
        )
    }

    fn table(&self) -> Table {
        let mut table = Table::new(&[
            "click",
            "place in the turn",
            "after the one before",
            "heard in",
            "above before",
            "is",
        ]);
        let count = self.turns.beats.len();
        for (n, beat) in self.turns.beats.iter().enumerate() {
            let gap = self.turns.gap((n + count - 1) % count, n);
            table.row([
                format!("{}", n + 1),
                format!("{}°", significant(360.0 * beat.place, 3)),
                gap.map_or_else(String::new, |gap| with_error(&gap)),
                format!("{} of {}", beat.turns, self.turns.starts.len() - 1),
                format!("{} dB", significant(10.0 * beat.rise.log10(), 2)),
                self.name(n),
            ]);
        }
        table
    }
}

/// The report.
pub fn text(report: &Report) -> String {
    let mut text = wrapped(&report.opening(), 0, 2);
    text += "\nClicks that come again in each turn\n";
    text += &report.table().text(2);
    text.push('\n');
    if let Some((pace, moved)) = &report.baseline {
        text += &against_baseline(report, *pace, moved);
    }
    match &report.model {
        Some(model) => text += &against_model(report, model),
        None if report.baseline.is_none() => {
            text += &wrapped(
                "Which of them is the latch cannot be told from the sound alone: name the machine's scenario beside the recording, or a recording of it in good order by --baseline.",
                2,
                2,
            );
        }
        None => {}
    }
    text + "\n" + &cautions::short()
}

fn against_baseline(report: &Report, pace: f64, moved: &[Moved]) -> String {
    let mut text = wrapped(
        &format!(
            "Against the recording in good order, which runs at {}, each click after the first one of its turn:",
            report.units.turns(pace)
        ),
        2,
        2,
    );
    if moved.is_empty() {
        text += &wrapped("no click of the one is found again in the other.", 4, 4);
    }
    for moved in moved {
        let (by, error) = moved.by;
        let click = moved.beat + 1;
        let half = about(TWO_SIDED * error);
        let said = if by.abs() <= TWO_SIDED * error.max(2.5e-4) {
            format!("click {click} comes when it did, within {half}.")
        } else {
            format!("click {click} comes {} {} than it did (± {half}).", told(by.abs()), later(by))
        };
        text += &wrapped(&said, 4, 6);
    }
    text + "\n"
}

fn later(by: f64) -> &'static str {
    if by > 0.0 { "later" } else { "sooner" }
}

/// The least, the middle and the greatest of nine in ten.
fn nine_in_ten(sorted: &[f64]) -> Option<(f64, f64, f64)> {
    let at = |share: f64| latchstroke_core::studies::spread::percentile(sorted, share);
    Some((at(0.05)?, at(0.5)?, at(0.95)?))
}

fn against_model(report: &Report, model: &Model) -> String {
    let name = model.scenario.machine_name();
    let (Some(gap), Some(expected)) = (report.gap(), model.gap) else {
        return wrapped(
            &format!(
                "None of these clicks are apart as the latch letting go and the shoulder striking are by the model of {name}: the latch stands aside, in which case neither is to be heard, or does not let go; or the scenario is another machine's."
            ),
            2,
            2,
        );
    };
    let by = gap.mean - expected;
    let mut text = wrapped(
        &format!(
            "From the latch letting go to the shoulder's strike: {}, over {} turns.",
            with_error(&gap),
            gap.turns
        ),
        2,
        4,
    );
    let spread = nine_in_ten(&model.spread);
    let open = spread.map_or_else(String::new, |(low, _, high)| {
        format!(
            "; with what is not known of it, nine such machines in ten take {} to {}",
            told(low),
            told(high)
        )
    });
    text += &wrapped(
        &format!(
            "The model of {name} takes {} with the latch set{open}. With it aside neither is to be heard.",
            told(expected)
        ),
        2,
        4,
    );
    let is_within = spread.is_some_and(|(low, _, high)| (low..=high).contains(&gap.mean));
    let is_same = by.abs() <= TWO_SIDED * gap.error.max(1e-3);
    if is_same {
        text += &wrapped("The strike comes when the model has it.", 2, 4);
        return text;
    }
    let within = if is_within {
        "which is within what is not known of the machine"
    } else {
        "which is more than what is not known of the machine explains"
    };
    text += &wrapped(
        &format!("The strike comes {} {} than the model's, {within}.", told(by.abs()), later(by)),
        2,
        4,
    );
    text + &changes(report, model)
}

/// Which single changes do it, in the terms of `wrong`.
fn changes(report: &Report, model: &Model) -> String {
    let likely: Vec<&Change> =
        model.changes.iter().filter(|change| change.chance >= UNLIKELY).take(TOLD).collect();
    if likely.is_empty() {
        return wrapped(
            "No single change that is at all likely makes the model's strike come so: two things may have changed, or the clicks are others than they are taken for.",
            2,
            4,
        );
    }
    let mut text = wrapped("Any one of these would make it come so, the likeliest first:", 2, 4);
    for (place, change) in likely.iter().enumerate() {
        let Some(suspect) = model.suspects.get(change.suspect) else { continue };
        let (Some(item), Some(quantity)) =
            (model.scenario.item(&suspect.path), model.scenario.single(&suspect.path))
        else {
            continue;
        };
        let unit = match item.assumed() {
            Some(_) => report.units.unit_of_assumed(quantity),
            None => report.units.unit_of(quantity),
        };
        let value = outward(unit, change.value, suspect.now, suspect.range, 3);
        let name = named(&suspect.path, model.suspects.iter().map(|suspect| suspect.path.as_str()));
        let now = report.units.told(item).unwrap_or_default();
        text += &wrapped(
            &format!(
                "{}. {}: {} instead of {now} ({}).",
                place + 1,
                first_upper(&name),
                value.text,
                astray(change.chance)
            ),
            4,
            7,
        );
        if let Some(look) = look(&suspect.path) {
            text += &wrapped(&format!("Look: {look}"), 7, 7);
        }
    }
    text
}

/// The answer as data, SI.
pub fn json(report: &Report) -> Value {
    let gap = |gap: Option<Gap>| {
        gap.map(|gap| json!({ "mean_s": gap.mean, "standard_error_s": gap.error, "deviation_s": gap.deviation, "turns": gap.turns }))
    };
    let count = report.turns.beats.len();
    let beats: Vec<Value> = report
        .turns
        .beats
        .iter()
        .enumerate()
        .map(|(n, beat)| {
            json!({
                "place_in_turn": beat.place,
                "heard_in_turns": beat.turns,
                "rise": beat.rise,
                "after_the_one_before": gap(report.turns.gap((n + count - 1) % count, n)),
                "is": Some(report.name(n)).filter(|name| !name.is_empty()),
            })
        })
        .collect();
    let model = report.model.as_ref().map(|model| {
        let spread = nine_in_ten(&model.spread);
        let change = |change: &Change| {
            let suspect = model.suspects.get(change.suspect);
            json!({ "key": suspect.map(|suspect| &suspect.path), "value_si": change.value, "chance": change.chance })
        };
        json!({
            "heard": gap(report.gap()),
            "of_the_model_s": model.gap,
            "of_nine_in_ten_s": spread.map(|(low, _, high)| [low, high]),
            "changes": model.changes.iter().map(change).collect::<Vec<_>>(),
        })
    });
    let baseline = report.baseline.as_ref().map(|(pace, moved)| {
        json!({
            "pace_turns_per_s": pace,
            "moved": moved.iter().map(|m| json!({ "click": m.beat + 1, "by_s": m.by.0, "standard_error_s": m.by.1 })).collect::<Vec<_>>(),
        })
    });
    json!({
        "length_s": report.length,
        "turns": report.turns.starts.len() - 1,
        "pace_turns_per_s": report.pace(),
        "turns_differ_by": report.turns.wander,
        "clicks": beats,
        "let_go_to_strike": model,
        "baseline": baseline,
    })
}
