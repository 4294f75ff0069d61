//! The report of what errors in the measurements do: how far the figures spread, what can go wrong, what to measure again.

pub mod charts;
pub mod data;
mod names;
mod sleeve;

use super::cautions::CAUTIONS;
use super::owner::{OwnerUnits, milliseconds, percent, rounded};
use super::table::Table;
use super::turn::{verdict, wrapped};
use latchstroke_core::studies::judge::{Cast, Verdict};
use latchstroke_core::studies::sensitivity::{Effect, Effects};
use latchstroke_core::studies::spread::Share;
use latchstroke_core::studies::tolerance::{Input, Measure, Outcome, Sleeve, Study, Trouble};
use latchstroke_models::latch::LatchSetting::{self, Aside, Set};
use latchstroke_scenario::Quantity;
use names::named;

/// An effect below this share is not worth a line.
const SLIGHT: f64 = 0.01;

/// Everything the report says.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The machine's name.
    pub machine: String,
    /// What is cast.
    pub cast: Cast,
    /// The machines drawn.
    pub study: Study,
    /// The inputs of the study as their owner wrote them.
    pub written: Vec<Quantity>,
    /// The chance asked for, 0 to 1.
    pub chance: f64,
    /// How closely the sleeve must be made.
    pub sleeve: Sleeve,
    /// How many machines were drawn for each tolerance of the sleeve that was tried.
    pub sleeve_turns: usize,
    /// Whether readings of the cam carry tolerances, which are left out.
    pub readings_left_out: bool,
}

impl Answer {
    /// An input as its owner wrote it.
    fn written(&self, path: &str) -> Option<&Quantity> {
        let place = self.study.inputs.iter().position(|input| input.path == path)?;
        self.written.get(place)
    }
}

/// The report.
pub fn text(answer: &Answer, units: &OwnerUnits) -> String {
    let study = &answer.study;
    let mut text = format!(
        "{}, {} × {} at {}: what the tolerances of {} do\n\n",
        answer.machine,
        units.size(answer.cast.sort.body.0),
        units.size(answer.cast.sort.set.0),
        units.turns(answer.cast.pace.0),
        values(study.inputs.len()),
    );
    text += &how(answer);
    text += "\nHow far the figures spread\n";
    text += &spreads(study, units).text(2);
    text += "\nWhat the verdict would be\n";
    text += &verdicts(study).body(2);
    text += "\nWhat goes wrong\n";
    text += &troubles(study).body(2);
    text += &causes(answer);
    text += "\nHow closely must the sleeve be made?\n";
    text += &wrapped(&sleeve::words(answer), 2, 2);
    text += "\n";
    text += CAUTIONS;
    text
}

fn values(count: usize) -> String {
    if count == 1 { "one value".to_owned() } else { format!("{count} values") }
}

/// How the machines were drawn.
fn how(answer: &Answer) -> String {
    let study = &answer.study;
    let asked = study.design.evaluations();
    let mut said = format!(
        "{} machines, each turned once with the latch aside and once with it set. In each of them every value that carries a tolerance lies anywhere within it with equal chance (a rectangular distribution of that half-width, as the GUM takes limits of which nothing more is known), independently of the others. Scrambled Sobol sequence, seed {}.",
        study.finished(),
        study.design.seed,
    );
    if study.finished() < asked {
        said += &format!(" Called off early: {asked} were asked for.");
    }
    let mut text = wrapped(&said, 2, 2);
    if answer.readings_left_out {
        text += &wrapped(
            "The tolerances of cam.readings are left out; the readings are taken as they are.",
            2,
            2,
        );
    }
    let (count, fault) = study.impossible();
    if let Some(fault) = fault {
        let said = format!(
            "! {count} of the machines drawn cannot be, and count nowhere below. The first of them: {} {}.",
            fault.key, fault.what
        );
        text += &wrapped(&said, 2, 4);
    }
    text
}

/// A figure in the owner's units.
fn figure(measure: Measure, si: f64, units: &OwnerUnits) -> String {
    match measure {
        Measure::FillTime(_) | Measure::Allowed => milliseconds(si),
        Measure::TimeTaken(_) => percent(si),
        Measure::TripLift => rounded(units.lift, si, 4),
        Measure::Preload => rounded(units.force, si, 4),
        Measure::PistonSpeed(_) => rounded(units.speed, si, 3),
    }
}

fn spreads(study: &Study, units: &OwnerUnits) -> Table {
    let mut table = Table::new(&["", "as stated", "5 % below", "half below", "95 % below"]);
    for (name, measure) in [
        ("fill time, latch aside", Measure::FillTime(Aside)),
        ("fill time, latch set", Measure::FillTime(Set)),
        ("time allowed", Measure::Allowed),
        ("trip lift", Measure::TripLift),
        ("preload", Measure::Preload),
        ("piston speed, greatest, latch aside", Measure::PistonSpeed(Aside)),
        ("piston speed, greatest, latch set", Measure::PistonSpeed(Set)),
    ] {
        let cell = |si: Option<f64>| si.map_or_else(|| "–".to_owned(), |si| figure(measure, si, units));
        let spread = study.spread(measure);
        table.row([
            name.to_owned(),
            cell(measure.of(&study.stated)),
            cell(spread.map(|s| s.p05)),
            cell(spread.map(|s| s.p50)),
            cell(spread.map(|s| s.p95)),
        ]);
    }
    table
}

/// Cells of a share: how many, the share, and its interval.
fn share_cells(share: Share) -> [String; 3] {
    let end = |share: f64| format!("{:.1}", 100.0 * share);
    [
        format!("{} of {}", share.count, share.of),
        percent(share.value()),
        format!("({} to {} %)", end(share.low), end(share.high)),
    ]
}

fn verdicts(study: &Study) -> Table {
    let mut table = Table::new(&["", "", "", "", ""]);
    for kind in [Verdict::LeaveAside, Verdict::Set, Verdict::Neither] {
        let note = if study.stated.verdict == kind { "the verdict as stated" } else { "" };
        let [count, share, interval] = share_cells(study.verdict(kind));
        table.row([verdict(kind).to_owned(), count, share, interval, note.to_owned()]);
    }
    table
}

/// A thing that goes wrong, in words, and whether a machine has it.
type Wrong = (&'static str, fn(&Outcome) -> bool);

/// What is always told, and what is told where it happens.
const ALWAYS: [Wrong; 5] = [
    ("the latch never lets go", |o| o.set.has(Trouble::NeverTrips)),
    ("the latch never holds", |o| o.set.has(Trouble::NeverHolds)),
    ("a spring binds", |o| o.set.has(Trouble::CoilBound) || o.aside.has(Trouble::CoilBound)),
    ("the mould is not filled, latch aside", |o| o.aside.has(Trouble::NotFilled)),
    ("the mould is not filled, latch set", |o| o.set.has(Trouble::NotFilled)),
];
const SOMETIMES: [Wrong; 3] = [
    ("the pressure lifts the matrix, latch set", |o| o.set.has(Trouble::MatrixLifts)),
    ("the follower leaves the cam", |o| {
        o.set.has(Trouble::FollowerFloats) || o.aside.has(Trouble::FollowerFloats)
    }),
    ("do not trust: a turn could not be solved", |o| {
        o.set.has(Trouble::Unreliable) || o.aside.has(Trouble::Unreliable)
    }),
];

fn troubles(study: &Study) -> Table {
    let mut table = Table::new(&["", "", "", ""]);
    for (wrong, always) in
        ALWAYS.into_iter().map(|w| (w, true)).chain(SOMETIMES.into_iter().map(|w| (w, false)))
    {
        let share = study.share(wrong.1);
        if always || share.count > 0 {
            let [count, value, interval] = share_cells(share);
            table.row([wrong.0.to_owned(), count, value, interval]);
        }
    }
    table
}

/// A setting of the latch in words.
fn setting_words(setting: LatchSetting) -> &'static str {
    match setting {
        Aside => "latch aside",
        Set => "latch set",
    }
}

/// A share of the spread in whole per cent; an estimate below zero stands for none.
fn whole(share: f64) -> String {
    format!("{:.0} %", 100.0 * share.max(0.0))
}

/// The inputs with their effects, the greatest total first.
fn ranked<'a>(study: &'a Study, effects: &Effects) -> Vec<(&'a Input, Effect)> {
    let mut ranked: Vec<(&Input, Effect)> = study.inputs.iter().zip(effects.of.iter().copied()).collect();
    ranked.sort_by(|a, b| b.1.total.value.total_cmp(&a.1.total.value));
    ranked
}

fn causes(answer: &Answer) -> String {
    let study = &answer.study;
    let deciding = study.deciding();
    let measure = Measure::FillTime(deciding);
    let mut text = format!("\nWhat causes the spread of the fill time, {}\n", setting_words(deciding));
    let Some(effects) = study.effects(measure) else {
        text += &wrapped(
            "Too few of the machines drawn have such a fill time, or it hardly varies: no cause can be told.",
            2,
            2,
        );
        return text + &overview(study);
    };
    let ranked = ranked(study, &effects);
    let mut table = Table::new(&["", "alone", "", "in all", ""]);
    for (input, effect) in ranked.iter().filter(|(_, effect)| effect.total.value >= SLIGHT) {
        let interval =
            |low: f64, high: f64| format!("({:.0} to {:.0} %)", 100.0 * low.max(0.0), 100.0 * high.max(0.0));
        table.row([
            format!(
                "{} = {}",
                input.path,
                answer.written(&input.path).map_or("", |quantity| quantity.text.as_str())
            ),
            whole(effect.first.value),
            interval(effect.first.low, effect.first.high),
            whole(effect.total.value),
            interval(effect.total.low, effect.total.high),
        ]);
    }
    text += &table.text(2);
    let slight: Vec<&str> = ranked
        .iter()
        .filter(|(_, effect)| effect.total.value < SLIGHT)
        .map(|(input, _)| input.path.as_str())
        .collect();
    if !slight.is_empty() {
        text += &wrapped(&format!("Less than 1 % each: {}.", slight.join(", ")), 2, 4);
    }
    text += &wrapped(
        "Alone: by so much the variance would shrink if that value were known exactly. In all: with what it does together with the others. In brackets, 95 % confidence.",
        2,
        2,
    );
    for sentence in advice(study, &ranked, deciding) {
        text += "\n";
        text += &wrapped(&sentence, 2, 2);
    }
    text + &overview(study)
}

/// What to measure again, in words.
fn advice(study: &Study, ranked: &[(&Input, Effect)], deciding: LatchSetting) -> Vec<String> {
    let Some((first, effect)) = ranked.first() else { return Vec::new() };
    let setting = setting_words(deciding);
    let mut said = format!(
        "Measure {} again first: it alone makes {} of the spread of the fill time with the {setting}",
        named(&first.path, study),
        whole(effect.first.value),
    );
    if effect.total.value > effect.first.value.max(0.0) + 0.1 {
        said += &format!(", and {} together with the others", whole(effect.total.value));
    }
    said.push('.');
    if let Some((second, other)) = ranked.get(1)
        && other.total.high >= effect.total.low
    {
        said += &format!(" Between it and {} these turns cannot decide.", named(&second.path, study));
    }
    let mut all = vec![said];
    if let Some(effects) = study.effects(Measure::TimeTaken(deciding))
        && let ranked = self::ranked(study, &effects)
        && let Some((most, effect)) = ranked.first()
        && most.path != first.path
    {
        all.push(format!(
            "The verdict turns on the time allowed, too. For it {} matters most: it alone makes {} of the spread of the fill time as a share of the time allowed.",
            named(&most.path, study),
            whole(effect.first.value)
        ));
    }
    all
}

/// Every input's total effect on every figure.
fn overview(study: &Study) -> String {
    let deciding = study.deciding();
    let measures = [
        Measure::FillTime(Aside),
        Measure::FillTime(Set),
        Measure::TimeTaken(deciding),
        Measure::TripLift,
        Measure::Preload,
    ];
    let effects: Vec<Option<Effects>> = measures.iter().map(|&measure| study.effects(measure)).collect();
    let mut table = Table::new(&["", "fill, aside", "fill, set", "fill/allowed", "trip lift", "preload"]);
    for (n, input) in study.inputs.iter().enumerate() {
        let cells = effects.iter().map(|effects| {
            let total =
                effects.as_ref().and_then(|effects| effects.of.get(n)).map(|effect| effect.total.value);
            total.map_or_else(
                || "–".to_owned(),
                |total| if total < SLIGHT { "·".to_owned() } else { whole(total) },
            )
        });
        table.row(std::iter::once(input.path.clone()).chain(cells));
    }
    let mut text = "\nWhat each value does in all to the spread of each figure\n".to_owned();
    text += &table.text(2);
    let said = format!(
        "· less than 1 %; – the figure hardly varies, or too few machines have it. Fill/allowed: the fill time with the {} over the time allowed.",
        setting_words(deciding)
    );
    text + &wrapped(&said, 2, 2)
}
