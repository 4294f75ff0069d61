//! How sure a verdict is, and what it rests on that nobody has measured.

use super::limits::{first_upper, short, verdict};
use super::names::named;
use super::owner::{OwnerUnits, rounded, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::studies::distribution::Distribution;
use latchstroke_core::studies::job::Size;
use latchstroke_core::studies::judge::{Judgement, Verdict};
use latchstroke_core::studies::odds::{Odds, impossible};
use latchstroke_core::studies::spread::Share;
use latchstroke_core::studies::tolerance::Input;
use latchstroke_scenario::catalogue::{Assumed, Weight};
use latchstroke_scenario::{Item, Scenario};
use serde_json::{Value, json};

/// Chances and the words for them, the highest first: each holds from its chance up.
const WORDS: [(f64, &str); 5] = [
    (0.95, "surely"),
    (0.75, "fairly sure"),
    (0.4, "as likely as not"),
    (0.1, "rather not"),
    (0.0, "hardly"),
];

/// The words, once.
pub const SCALE: &str =
    "From 95 in 100 surely, from 75 fairly sure, from 40 as likely as not, from 10 rather not, below hardly.";

/// A value that takes away less of the doubt than this is not worth a word.
const SLIGHT: f64 = 0.1;

/// A chance in words.
pub fn sureness(chance: f64) -> &'static str {
    WORDS.iter().find(|(from, _)| chance >= *from).map_or("hardly", |(_, words)| words)
}

/// A scenario's doubts: what is not known exactly, and the machines drawn of it.
#[derive(Debug)]
pub struct Doubts<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The values at play.
    pub inputs: Vec<Input>,
    /// The machines drawn, judged for every size; none where every value counts as exact.
    pub odds: Option<Odds>,
}

impl Doubts<'_> {
    /// How many machines were drawn that can be.
    pub fn drawn(&self) -> usize {
        self.odds.as_ref().map_or(0, |odds| odds.draws.len() - impossible(&odds.draws))
    }

    /// What to say of those that cannot be, after a sentence; nothing where there are none.
    pub fn left_out(&self) -> String {
        left_out(self.odds.as_ref().map_or(0, |odds| impossible(&odds.draws)))
    }

    /// How many machines drawn have the verdict told of the size at a place; none where every value counts as exact.
    pub fn share(&self, place: usize, told: &Judgement) -> Option<Share> {
        self.odds.as_ref().map(|odds| odds.share(place, told.verdict)).filter(|share| share.of > 0)
    }

    /// "fairly sure" and "84 in 100", of the size at a place; none where there is no verdict to be sure of.
    pub fn sure(&self, place: usize, told: &Judgement) -> Option<(&'static str, String)> {
        if told.verdict == Verdict::NotKnown {
            return None;
        }
        let share = self.share(place, told)?;
        Some((sureness(share.value()), format!("{} in 100", hundredths(share))))
    }

    /// "fairly sure, 84 in 100", of the size at a place.
    pub fn said(&self, place: usize, told: &Judgement) -> Option<String> {
        self.sure(place, told).map(|(words, share)| format!("{words}, {share}"))
    }

    /// The sizes by how sure each is, those alike together: "fairly sure, 84 in 100", and of which. Empty where every value counts as
    /// exact.
    pub fn alike<'j>(&self, told: &[&'j Judgement]) -> Vec<(String, Vec<&'j Judgement>)> {
        let mut all: Vec<(String, Vec<&Judgement>)> = Vec::new();
        for (place, judgement) in told.iter().enumerate() {
            let Some(said) = self.said(place, judgement) else { continue };
            match all.iter_mut().find(|(other, _)| *other == said) {
                Some((_, of)) => of.push(judgement),
                None => all.push((said, vec![judgement])),
            }
        }
        all
    }

    /// What, once measured, would take away most of the doubt about the size at a place, and the share of it that it takes.
    pub fn settling(&self, place: usize) -> Option<(String, f64)> {
        self.settles(place).map(|(input, share)| (self.name(input), share))
    }

    /// The input that would take away most of the doubt about the size at a place, and the share of it that it takes.
    fn settles(&self, place: usize) -> Option<(&Input, f64)> {
        let odds = self.odds.as_ref()?;
        let doubt = odds.doubt(place);
        let share = |n: usize| odds.settled(place, n) / doubt;
        let best = (0..self.inputs.len()).max_by(|&a, &b| share(a).total_cmp(&share(b)))?;
        (doubt > 0.0 && share(best) >= SLIGHT)
            .then(|| self.inputs.get(best).map(|input| (input, share(best))))?
    }

    fn name(&self, input: &Input) -> String {
        named(&input.path, self.inputs.iter().map(|input| input.path.as_str()))
    }

    /// "Fairly sure, 84 in 100; otherwise neither 12, aside 4. Most of the doubt hangs on the mould's heat transfer, 41 %.", of the
    /// size at a place; none where every value counts as exact.
    pub fn sentence(&self, place: usize, told: &Judgement) -> Option<String> {
        let odds = self.odds.as_ref()?;
        let said = first_upper(&self.said(place, told)?);
        let others = others(odds, place, told.verdict);
        let otherwise =
            if others.is_empty() { String::new() } else { format!("; otherwise {}", others.join(", ")) };
        let settled = self.settles(place).map_or_else(String::new, |(input, share)| {
            format!(" Most of the doubt hangs on {}, {:.0} %.", self.name(input), 100.0 * share)
        });
        Some(format!("{said}{otherwise}.{settled}{}", self.left_out()))
    }

    /// The table of how sure each verdict is; nothing where every value counts as exact.
    pub fn text(&self, sizes: &[Size], units: &OwnerUnits) -> String {
        let Some(odds) = &self.odds else { return String::new() };
        let mut table =
            Table::new(&["size", "told", "", "in 100", "otherwise", "what would settle most of it"]);
        for (place, size) in sizes.iter().enumerate() {
            let Some(told) = size.told() else { continue };
            let Some(share) = self.share(place, told) else { continue };
            let others = others(odds, place, told.verdict);
            let settled = self.settles(place).map_or_else(
                || if others.is_empty() { "–".to_owned() } else { "no one value".to_owned() },
                |(input, share)| format!("{}, {:.0} %", self.name(input), 100.0 * share),
            );
            table.row([
                units.size(size.sort.body.0),
                short(told.verdict).to_owned(),
                sureness(share.value()).to_owned(),
                hundredths(share),
                if others.is_empty() { "–".to_owned() } else { others.join(", ") },
                settled,
            ]);
        }
        let how = format!(
            "{} machines drawn, each value that is assumed or carries a tolerance anywhere within its spread, independently of the others, and judged like the one as stated.{} {SCALE}",
            self.drawn(),
            self.left_out()
        );
        format!("\nHow sure\n{}{}", table.text(2), wrapped(&how, 2, 2))
    }

    /// The assumed values with what is assumed.
    fn assumed(&self) -> Vec<(String, &Item, Assumed)> {
        let all = self.scenario.assumptions().into_iter();
        all.filter_map(|(path, item)| Some((path, item, item.assumed()?))).collect()
    }

    /// What is assumed: what can turn a verdict one by one, and how many more there are; nothing where none of it can.
    pub fn assumptions(&self, units: &OwnerUnits) -> String {
        let all = self.assumed();
        let (aloud, quiet): (Vec<_>, Vec<_>) =
            all.iter().partition(|(_, _, assumed)| assumed.weight == Weight::Decides);
        if aloud.is_empty() {
            return String::new();
        }
        let told = aloud.iter().map(|(path, item, assumed)| {
            let name = named(path, std::iter::empty());
            format!("{} {}", name.strip_prefix("the ").unwrap_or(&name), value(item, *assumed, units))
        });
        let mut said = told.collect::<Vec<_>>().join("; ");
        match quiet.len() {
            0 => {}
            1 => said += "; and one value more that hardly ever turns a verdict",
            more => said += &format!("; and {more} values more that hardly ever turn a verdict"),
        }
        let said =
            format!("{said}. In brackets, where nine in ten lie; “latchstroke check” has the sources.");
        format!("\nAssumed, since nothing is stated\n{}", wrapped(&said, 2, 2))
    }

    /// For a program: the machines drawn, and for each size the share of every verdict and what would settle it.
    pub fn json(&self, sizes: &[Size]) -> Value {
        let Some(odds) = &self.odds else { return Value::Null };
        let of = |(place, size): (usize, &Size)| {
            let shares: serde_json::Map<String, Value> = Verdict::ALL
                .iter()
                .copied()
                .map(|kind| {
                    let Share { count, of, low, high } = odds.share(place, kind);
                    (verdict(kind).to_owned(), json!({ "count": count, "of": of, "low": low, "high": high }))
                })
                .collect();
            let doubt = odds.doubt(place);
            let settles = self.inputs.iter().enumerate().map(|(n, input)| {
                let share = if doubt > 0.0 { odds.settled(place, n) / doubt } else { 0.0 };
                (input.path.clone(), json!(share))
            });
            json!({
                "body_m": size.sort.body.0,
                "told": size.told().map(|told| verdict(told.verdict)),
                "share": size.told().map(|told| odds.share(place, told.verdict).value()),
                "verdicts": shares,
                "share_of_doubt_settled_by": settles.collect::<serde_json::Map<String, Value>>(),
            })
        };
        json!({
            "drawn": self.drawn(),
            "impossible": impossible(&odds.draws),
            "sizes": sizes.iter().enumerate().map(of).collect::<Vec<_>>(),
        })
    }

    /// For a program: every assumed value.
    pub fn assumed_json(&self) -> Value {
        let of = |(path, item, assumed): &(String, &Item, Assumed)| {
            let quantity = item.single()?;
            Some(json!({
                "key": path,
                "value": quantity.si,
                "unit": quantity.dimension.units().si.symbol,
                "nine_in_ten": assumed.distribution(quantity.dimension).map(Distribution::nine_in_ten),
                "can_turn_a_verdict": assumed.weight == Weight::Decides,
                "source": assumed.source,
            }))
        };
        self.assumed().iter().filter_map(of).collect()
    }
}

/// The verdicts of the machines drawn but for the one told, of the cast at a place: "neither 12".
fn others(odds: &Odds, place: usize, told: Verdict) -> Vec<String> {
    let others = Verdict::ALL.iter().copied().filter(|kind| *kind != told);
    others
        .map(|kind| (kind, odds.share(place, kind)))
        .filter(|(_, share)| share.count > 0)
        .map(|(kind, share)| format!("{} {}", short(kind), hundredths(share)))
        .collect()
}

/// What can turn a verdict and nobody has measured, by name.
pub fn unmeasured_names(scenario: &Scenario) -> Vec<String> {
    let all = scenario.assumptions();
    let decides = |item: &Item| item.assumed().is_some_and(|assumed| assumed.weight == Weight::Decides);
    all.iter().filter(|(_, item)| decides(item)).map(|(path, _)| named(path, std::iter::empty())).collect()
}

/// The same in one sentence; nothing where there is no such value.
pub fn unmeasured(scenario: &Scenario) -> String {
    let names = unmeasured_names(scenario);
    match names.split_last() {
        None => String::new(),
        Some((only, [])) => format!("Assumed, since nobody measured it: {only}."),
        Some((last, others)) => {
            format!("Assumed, since nobody measured them: {} and {last}.", others.join(", "))
        }
    }
}

/// Every assumed value of a scenario, with how it may lie and where that comes from; nothing where nothing is assumed.
pub fn sources(scenario: &Scenario, units: &OwnerUnits) -> String {
    let all = scenario.assumptions();
    let lines = all.iter().filter_map(|(path, item)| {
        let assumed = item.assumed()?;
        let told = format!("{path} = {}: {}.", value(item, assumed, units), assumed.source);
        Some(wrapped(&told, 2, 4))
    });
    let lines: String = lines.collect();
    if lines.is_empty() {
        return lines;
    }
    format!("\nAssumed, with where nine in ten lie, and where that comes from\n{lines}")
}

/// "15 kW/m²K (5.0 to 45)".
pub fn value(item: &Item, assumed: Assumed, units: &OwnerUnits) -> String {
    let Some(quantity) = item.single() else { return String::new() };
    let unit = units.unit_of_assumed(quantity);
    let as_typed = unit.symbol == quantity.unit.symbol;
    let told = if as_typed { quantity.to_string() } else { rounded(unit, quantity.si, 3) };
    match assumed.distribution(quantity.dimension) {
        None => told,
        Some(spread) => {
            let (low, high) = spread.nine_in_ten();
            let figures = |value: f64| if value.abs() < 100.0 { 2 } else { 3 };
            let end = |si: f64| significant(unit.from_si(si), figures(unit.from_si(si)));
            format!("{told} ({} to {})", end(low), end(high))
        }
    }
}

/// What to say of machines drawn that cannot be; nothing where there are none.
pub fn left_out(impossible: usize) -> String {
    match impossible {
        0 => String::new(),
        1 => " One more was drawn that cannot be, since its values do not go together; it counts nowhere."
            .to_owned(),
        n => format!(
            " {n} more were drawn that cannot be, since their values do not go together; they count nowhere."
        ),
    }
}

/// A share in whole ones out of a hundred, rounded down, so that no word claims more than its figure; "under 1" of few.
fn hundredths(share: Share) -> String {
    match (100.0 * share.value()).floor() {
        0.0 if share.count > 0 => "under 1".to_owned(),
        whole => format!("{whole:.0}"),
    }
}
