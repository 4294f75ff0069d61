//! The report of what errors in the measurements do: how far the figures spread, what can go wrong, what to measure again.

pub mod charts;
pub mod data;
mod sleeve;

use super::cautions;
use super::limits::{self, name, setting, verdict};
use super::names;
use super::owner::{OwnerUnits, milliseconds, percent, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::limits::Limit;
use latchstroke_core::studies::judge::{Cast, Verdict};
use latchstroke_core::studies::real_pace::RealPace;
use latchstroke_core::studies::sensitivity::{Effect, Effects, Estimate};
use latchstroke_core::studies::spread::Share;
use latchstroke_core::studies::tolerance::{Input, Measure, Outcome, Sleeve, Study};
use latchstroke_models::cam::CamStatement;
use latchstroke_models::latch::LatchSetting::{self, Aside, Set};
use latchstroke_scenario::catalogue::bench::bench;
use latchstroke_scenario::{Quantity, is_estimate, key};

/// An effect below this share is not worth a line.
const SLIGHT: f64 = 0.01;

/// Everything the report says.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The machine's name.
    pub machine: String,
    /// What is cast.
    pub cast: Cast,
    /// The real pace of the size, where no other was asked for.
    pub real: Option<RealPace>,
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
    /// What is wrong with the first of the machines drawn that cannot be.
    pub at_fault: Option<String>,
    /// The keys that carry no tolerance.
    pub exact: Vec<String>,
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
    text += &wrapped(&limits::paced(answer.cast, answer.real.as_ref(), units), 2, 2);
    if study.stated.verdict == Verdict::NotKnown {
        let none = format!(
            "As stated: {}. No machines are drawn: there is no verdict that they could change. “latchstroke turn” says what came of the turn.",
            verdict(Verdict::NotKnown)
        );
        return text + &wrapped(&none, 2, 2) + "\n" + &cautions::short();
    }
    text += &how(answer);
    text += &wrapped(&exact(answer), 2, 2);
    text += "\nHow far the figures spread\n";
    text += &spreads(study, units).text(2);
    text += "\nWhat the verdict would be\n";
    text += &verdicts(study).body(2);
    text += "\nHow often each limit is missed, or kept without its reserve\n";
    text += &troubles(study).text(2);
    text += &causes(answer, units);
    text += "\nHow closely must the sleeve be made?\n";
    text += &wrapped(&sleeve::words(answer, units), 2, 2);
    text += "\n";
    text += &cautions::short();
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
        "{} machines, each turned once with the latch aside and once with it set. In each of them every value that carries a tolerance lies anywhere within it with equal chance, and every value that is assumed lies as its spread has it, independently of the others. The draws are those of seed {}.",
        study.finished(),
        study.design.seed,
    );
    if answer.real.is_some() {
        said += " Each casts at the pace at which it really would, so that its type is solid in time.";
    }
    if study.finished() < asked {
        said += &format!(" Called off early: {asked} were asked for.");
    }
    let mut text = wrapped(&said, 2, 2);
    if answer.readings_left_out {
        text += &wrapped(
            &format!(
                "The tolerances of {} are left out; the readings are taken as they are.",
                key!(CamStatement::Measured, 0)
            ),
            2,
            2,
        );
    }
    if let Some(fault) = &answer.at_fault {
        let count = study.impossible().0;
        let said = format!(
            "! {count} of the machines drawn cannot be, and count nowhere below. The first of them: {fault}."
        );
        text += &wrapped(&said, 2, 4);
    }
    text
}

/// What is taken for exact, and which of it is an estimate, section by section.
fn exact(answer: &Answer) -> String {
    let listed = |keys: &mut dyn Iterator<Item = &String>| {
        let mut sections: Vec<(&str, Vec<String>)> = Vec::new();
        for (section, key) in keys.filter_map(|path| path.split_once('.')) {
            let key = key.replace('_', " ");
            match sections.last_mut().filter(|(last, _)| *last == section) {
                Some((_, keys)) => keys.push(key),
                None => sections.push((section, vec![key])),
            }
        }
        let words = sections
            .into_iter()
            .map(|(section, keys)| format!("{} ({})", section.replace('_', " "), keys.join(", ")));
        words.collect::<Vec<_>>().join("; ")
    };
    let measured = listed(&mut answer.exact.iter().filter(|path| !is_estimate(path)));
    let estimated = listed(&mut answer.exact.iter().filter(|path| is_estimate(path)));
    let mut said = Vec::new();
    if !measured.is_empty() {
        said.push(format!("Taken for exact, since no tolerance is stated with it: {measured}."));
    }
    if !estimated.is_empty() {
        said.push(format!(
            "Taken for exact too, though few measure it and what stands there is likely an estimate: {estimated}. State each with the ± you would believe."
        ));
    }
    said.join(" ")
}

/// A figure in the owner's units.
fn figure(measure: Measure, si: f64, units: &OwnerUnits) -> String {
    match measure {
        Measure::FillTime(_) | Measure::Allowed => milliseconds(si),
        Measure::Kept(_) => significant(si, 3),
        Measure::TripLift => units.lift(si),
        Measure::Preload => units.force(si),
        Measure::PistonSpeed(_) => units.speed(si),
    }
}

fn spreads(study: &Study, units: &OwnerUnits) -> Table {
    let mut table = Table::new(&["", "as stated", "5 % below", "half below", "95 % below"]);
    for (name, measure) in [
        ("fill time, latch aside", Measure::FillTime(Aside)),
        ("fill time, latch set", Measure::FillTime(Set)),
        ("time allowed", Measure::Allowed),
        ("nearest limit kept, times over, latch aside", Measure::Kept(Aside)),
        ("nearest limit kept, times over, latch set", Measure::Kept(Set)),
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
    for &kind in Verdict::ALL {
        if kind == Verdict::NotKnown && study.verdict(kind).count == 0 {
            continue;
        }
        let note = if study.stated.verdict == kind { "the verdict as stated" } else { "" };
        let [count, share, interval] = share_cells(study.verdict(kind));
        table.row([verdict(kind).to_owned(), count, share, interval, note.to_owned()]);
    }
    table
}

/// How often a limit stands in the way, latch aside and set, for each that ever does; those of the latch always.
fn wrong(study: &Study) -> Vec<(Limit, [Share; 2])> {
    let always = |limit: Limit| matches!(limit, Limit::LatchTrips | Limit::LatchHolds | Limit::Filled);
    let shares = |limit: Limit| {
        [Aside, Set].map(|latch| study.share(|outcome: &Outcome| outcome.played(latch).misses(limit)))
    };
    let all = Limit::ALL.iter().copied().map(|limit| (limit, shares(limit)));
    all.filter(|(limit, shares)| always(*limit) || shares.iter().any(|share| share.count > 0)).collect()
}

fn troubles(study: &Study) -> Table {
    let mut table = Table::new(&["", "latch aside", "", "latch set", ""]);
    for (limit, shares) in wrong(study) {
        let cells = shares.into_iter().flat_map(|share| {
            let [_, value, interval] = share_cells(share);
            [value, interval]
        });
        table.row(std::iter::once(name(limit).to_owned()).chain(cells));
    }
    table
}

/// A share of the spread as it can be: an estimate of few turns may lie below none or above all of it.
fn possible(share: f64) -> f64 {
    share.clamp(0.0, 1.0)
}

/// A share of the spread in whole per cent.
fn whole(share: f64) -> String {
    format!("{:.0} %", 100.0 * possible(share))
}

/// Intervals wider than this tell little, as a share of the spread.
const WIDE: f64 = 0.2;

/// A share in a sentence: how far it is uncertain with it, where that is far.
fn told_share(share: &Estimate) -> String {
    let (low, high) = (possible(share.low), possible(share.high));
    if high - low <= WIDE {
        return whole(share.value);
    }
    format!(
        "{} (so few turns tell no closer than {:.0} to {:.0} %)",
        whole(share.value),
        100.0 * low,
        100.0 * high
    )
}

/// The inputs with their effects, the greatest total first.
fn ranked<'a>(study: &'a Study, effects: &Effects) -> Vec<(&'a Input, Effect)> {
    let mut ranked: Vec<(&Input, Effect)> = study.inputs.iter().zip(effects.of.iter().copied()).collect();
    ranked.sort_by(|a, b| b.1.total.value.total_cmp(&a.1.total.value));
    ranked
}

fn causes(answer: &Answer, units: &OwnerUnits) -> String {
    let study = &answer.study;
    let deciding = study.deciding();
    let measure = Measure::Kept(deciding);
    let mut text =
        format!("\nWhat causes the spread of how far the nearest limit is kept, {}\n", setting(deciding));
    let Some(effects) = study.effects(measure) else {
        text += &wrapped(
            "Too few of the machines drawn have such a figure, or it hardly varies: no cause can be told.",
            2,
            2,
        );
        return text + &overview(study);
    };
    let ranked = ranked(study, &effects);
    let mut table = Table::new(&["", "alone", "", "in all", ""]);
    for (input, effect) in ranked.iter().filter(|(_, effect)| effect.total.value >= SLIGHT) {
        let interval = |low: f64, high: f64| {
            format!("({:.0} to {:.0} %)", 100.0 * possible(low), 100.0 * possible(high))
        };
        table.row([
            format!(
                "{} = {}",
                input.path,
                answer.written(&input.path).map_or_else(String::new, |quantity| units.stated(quantity))
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
        "Alone: by so much the spread would shrink if that value were known exactly. In all: with what it does together with the others. In brackets, 95 % confidence.",
        2,
        2,
    );
    for sentence in advice(study, &ranked, deciding) {
        text += "\n";
        text += &wrapped(&sentence, 2, 2);
    }
    text + &overview(study)
}

/// What there is to do about the value that makes most of the spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Counsel {
    /// Nothing: the verdict stands in every machine drawn.
    Stands,
    /// Measure it again.
    Measure,
    /// Remember casts, since it cannot be measured.
    Remember,
}

impl Counsel {
    fn of(study: &Study, first: &Input) -> Self {
        let stands = study.verdict(study.stated.verdict);
        if stands.count == stands.of {
            Self::Stands
        } else if can_be_measured(first) {
            Self::Measure
        } else {
            Self::Remember
        }
    }
}

fn can_be_measured(input: &Input) -> bool {
    bench(&input.path).is_some()
}

/// What to measure again, in words.
fn advice(study: &Study, ranked: &[(&Input, Effect)], deciding: LatchSetting) -> Vec<String> {
    let Some((first, effect)) = ranked.first() else { return Vec::new() };
    let counsel = Counsel::of(study, first);
    let value = named(first, study);
    let mut said = match counsel {
        Counsel::Stands => format!(
            "Nothing needs measuring again: the verdict stands in every machine drawn. Most of the spread comes of {value}, which alone makes"
        ),
        Counsel::Measure => format!("Measure {value} again first: it alone makes"),
        Counsel::Remember => format!(
            "What counts most is {value}, which nobody can measure; casts that you remember tell of it (latchstroke calibrate). It alone makes"
        ),
    };
    said += &format!(
        " {} of the spread of how far the nearest limit is kept with the {}",
        told_share(&effect.first),
        setting(deciding),
    );
    if effect.total.value > effect.first.value.max(0.0) + 0.1 {
        said += &format!(", and {} together with the others", whole(effect.total.value));
    }
    said.push('.');
    if let Some((second, other)) = ranked.get(1)
        && other.total.high >= effect.total.low
    {
        said += &format!(" Between it and {} these turns cannot decide.", named(second, study));
    }
    if counsel == Counsel::Remember
        && let Some((next, _)) = ranked.iter().find(|(input, _)| can_be_measured(input))
    {
        said += &format!(" Of what can be measured, {} comes first.", named(next, study));
    }
    let mut all = vec![said];
    if let Some(effects) = study.effects(Measure::FillTime(deciding))
        && let ranked = self::ranked(study, &effects)
        && let Some((most, effect)) = ranked.first()
        && most.path != first.path
    {
        all.push(format!(
            "For the fill time {} matters most: it alone makes {} of its spread.",
            named(most, study),
            told_share(&effect.first)
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
        Measure::Kept(deciding),
        Measure::TripLift,
        Measure::Preload,
    ];
    let effects: Vec<Option<Effects>> = measures.iter().map(|&measure| study.effects(measure)).collect();
    let mut table = Table::new(&["", "fill, aside", "fill, set", "kept", "trip lift", "preload"]);
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
        "· less than 1 %; – the figure hardly varies, or too few machines have it. Kept: how many times over the nearest limit is kept with the {}, but for the cooling where the pace is chosen by it.",
        setting(deciding)
    );
    text + &wrapped(&said, 2, 2)
}

/// An input in words.
fn named(input: &Input, study: &Study) -> String {
    names::named(&input.path, study.inputs.iter().map(|input| input.path.as_str()))
}
