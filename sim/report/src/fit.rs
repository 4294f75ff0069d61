//! What a measured trace tells of a machine, in words and as data.

pub mod chart;

use super::cautions;
use super::names::named;
use super::owner::{OwnerUnits, significant, with_symbol};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::fit::curve::Part;
use latchstroke_core::fit::trace::{Answer, Candidate, LEAST_READINGS, Measured, Refused, Told};
use latchstroke_models::latch::LatchSetting;
use latchstroke_scenario::{Scenario, Unit};
use serde_json::{Value, json};

/// Standard errors to either side within which the truth lies 95 times in 100.
pub const TWO_SIDED: f64 = 1.96;
/// Errors this much alike go by one another.
const TOGETHER: f64 = 0.5;

/// Everything that is told of a fit.
#[derive(Debug)]
pub struct Report<'a> {
    /// The scenario as it stood.
    pub scenario: &'a Scenario,
    /// The values that could be fitted.
    pub candidates: &'a [Candidate],
    /// What was measured.
    pub measured: &'a Measured,
    /// Whether readings are in m.
    pub in_metres: bool,
    /// Whether the latch's setting was asked for, or follows from the trace.
    pub setting_is_given: bool,
    /// What came of it.
    pub answer: &'a Answer,
    /// The units to tell it in.
    pub units: &'a OwnerUnits,
}

/// The part in words.
pub fn part(part: Part) -> &'static str {
    match part {
        Part::Piston => "piston",
        Part::Rod => "rod",
        Part::Block => "cross block",
    }
}

/// Why nothing is told.
pub fn refused(why: Refused, units: &OwnerUnits, in_metres: bool) -> String {
    let length = |si: f64| if in_metres { units.lift(si) } else { significant(si, 3) };
    match why {
        Refused::TooFew(count) => format!(
            "cannot tell: too few readings ({count}); {LEAST_READINGS} are the least, and some hundreds over a turn or more tell most"
        ),
        Refused::Still(travel, scatter) => format!(
            "cannot tell: the part hardly moves; its readings go over {}, and scatter by {}",
            length(travel),
            length(scatter)
        ),
        Refused::Unlike(share) => format!(
            "cannot tell: this machine does not move like that, whatever its values: readings stay {} % of their travel from the nearest curve. See which part was measured, in which unit, with which latch, and whether cam and pace are right",
            significant(100.0 * share, 2)
        ),
        Refused::Silent => "cannot tell: the readings tell of no value more than was known of it before. More frames a second, a steadier gauge or the piston in place of the cross block would".to_owned(),
        Refused::Unsolved => "cannot tell: the turns of this machine could not be solved near these readings".to_owned(),
    }
}

impl Report<'_> {
    fn path(&self, candidate: usize) -> &str {
        self.candidates.get(candidate).map_or("", |candidate| &candidate.path)
    }

    fn name(&self, candidate: usize) -> String {
        named(self.path(candidate), self.candidates.iter().map(|candidate| candidate.path.as_str()))
    }

    fn unit(&self, told: &Told) -> Option<&'static Unit> {
        let quantity = self.scenario.single(self.path(told.candidate))?;
        let assumed = self.scenario.item(self.path(told.candidate))?.assumed();
        Some(if assumed.is_some() {
            self.units.unit_of_assumed(quantity)
        } else {
            self.units.unit_of(quantity)
        })
    }

    /// A value and half the width of its interval, to two figures of the latter.
    fn with_error(&self, told: &Told) -> Option<(String, String)> {
        let unit = self.unit(told)?;
        let half = unit.from_si(told.value + TWO_SIDED * told.error) - unit.from_si(told.value);
        let half_figure = significant(half, 2);
        let places = half_figure.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let value = format!("{:.places$}", unit.from_si(told.value)).replacen('-', "\u{2212}", 1);
        Some((with_symbol(value, unit), with_symbol(half_figure, unit)))
    }

    /// A length in the unit of the readings.
    fn reading(&self, size: f64) -> String {
        if self.in_metres {
            self.units.lift(size)
        } else {
            format!("{} of the picture's units", significant(size, 2))
        }
    }

    fn setting(&self) -> &'static str {
        match self.answer.setting {
            LatchSetting::Set => "latch set",
            LatchSetting::Aside => "latch aside",
        }
    }

    /// What was measured, and how well the curve goes through it.
    fn about(&self) -> String {
        let answer = self.answer;
        let readings = &self.measured.readings;
        let span = readings.last().map_or(0.0, |(t, _)| *t) - readings.first().map_or(0.0, |(t, _)| *t);
        let mut text = format!(
            "{}: the {} in {} readings over {} turns, {}{}, at {} (± {}). The curve goes through them to {}{}.",
            self.scenario.machine_name(),
            part(self.measured.part),
            readings.len(),
            significant(span * answer.pace.0, 2),
            self.setting(),
            if self.setting_is_given { "" } else { " (it fits better so)" },
            self.units.turns(answer.pace.0),
            significant(self.units.pace.from_si(TWO_SIDED * answer.pace.1), 2),
            self.reading(answer.scatter),
            match answer.outliers {
                0 => String::new(),
                1 => ", but for one far out, which counts little".to_owned(),
                n => format!(", but for {n} far out, which count little"),
            }
        );
        if answer.widened > 1.1 {
            text += &format!(
                " What is left over hangs together from one reading to the next, so that the errors are widened {} times.",
                significant(answer.widened, 2)
            );
        }
        text
    }

    /// What is told: a sentence for each.
    fn findings(&self) -> Vec<String> {
        self.answer.told.iter().filter_map(|told| self.finding(told)).collect()
    }

    fn finding(&self, told: &Told) -> Option<String> {
        let (value, half) = self.with_error(told)?;
        let candidate = self.candidates.get(told.candidate)?;
        let was = self.units.told(self.scenario.item(&candidate.path)?)?;
        let surprise = candidate.prior.deviations(told.value).abs();
        let moved = (told.value - candidate.now).abs() > TWO_SIDED * told.error;
        let verdict = match (moved, surprise > 2.0) {
            (false, _) => format!("as it stood ({was}), but for what the error leaves open"),
            (true, false) => format!("where {was} stood, within what was known of it"),
            (true, true) => {
                format!("where {was} stood: further off than was thought possible, so look at it")
            }
        };
        Some(format!("{} is {value} ± {half}, {verdict}.", capital(&self.name(told.candidate))))
    }

    /// What goes together, and what is not told.
    fn limits(&self) -> Vec<String> {
        let answer = self.answer;
        let mut said = Vec::new();
        for i in 0..answer.told.len() {
            for j in 0..i {
                let shared = answer.correlations[(i, j)];
                if shared.abs() >= TOGETHER {
                    said.push(format!(
                        "The errors of {} and {} go together (correlation {}): if the one is higher than told, the other is {}.",
                        self.name(answer.told[j].candidate),
                        self.name(answer.told[i].candidate),
                        significant(shared, 2),
                        if shared > 0.0 { "too" } else { "lower" }
                    ));
                }
            }
        }
        for (candidate, with) in answer.held.iter().filter(|(_, with)| !with.is_empty()) {
            let with: Vec<String> = with.iter().map(|other| self.name(*other)).collect();
            said.push(format!(
                "{} is not fitted: these readings cannot tell it from {}.",
                capital(&self.name(*candidate)),
                join(&with)
            ));
        }
        let silent: Vec<String> =
            answer.held.iter().filter(|(_, with)| with.is_empty()).map(|(n, _)| self.name(*n)).collect();
        if !silent.is_empty() {
            said.push(format!(
                "They say nothing, or too little, of {}; these stay as they stood.",
                join(&silent)
            ));
        }
        said
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

fn join(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// The report.
pub fn text(report: &Report) -> String {
    let mut text = wrapped(&report.about(), 0, 2) + "\n";
    let mut table = Table::new(&["value", "stood", "fitted", "± (95 in 100)", "left of what was open"]);
    for told in &report.answer.told {
        let Some((value, half)) = report.with_error(told) else { continue };
        let path = report.path(told.candidate);
        let was = report.scenario.item(path).and_then(|item| report.units.told(item)).unwrap_or_default();
        table.row([path.to_owned(), was, value, half, format!("{} %", significant(100.0 * told.left, 2))]);
    }
    text += &table.text(2);
    text.push('\n');
    for sentence in report.findings().iter().chain(&report.limits()) {
        text += &wrapped(sentence, 2, 4);
    }
    text.push('\n');
    text += &wrapped(
        "With --out, fitted.toml is the scenario with these values and their errors as tolerances; judge it, and compare with your castings.",
        2,
        2,
    );
    text + "\n" + &cautions::short()
}

/// The answer as data, SI.
pub fn json(report: &Report) -> Value {
    let answer = report.answer;
    let told = |told: &Told| {
        json!({
            "key": report.path(told.candidate),
            "stood_SI": report.candidates.get(told.candidate).map(|candidate| candidate.now),
            "fitted_SI": told.value,
            "standard_error_SI": told.error,
            "left_of_what_was_open": told.left,
        })
    };
    let rows = |i: usize| (0..answer.told.len()).map(|j| answer.correlations[(i, j)]).collect::<Vec<f64>>();
    let held = |(n, with): &(usize, Vec<usize>)| {
        json!({
            "key": report.path(*n),
            "not_told_from": with.iter().map(|other| report.path(*other)).collect::<Vec<_>>(),
        })
    };
    json!({
        "part": part(report.measured.part),
        "latch": match answer.setting { LatchSetting::Set => "set", LatchSetting::Aside => "aside" },
        "readings": report.measured.readings.len(),
        "outliers": answer.outliers,
        "pace_turns_per_s": answer.pace.0,
        "pace_standard_error_turns_per_s": answer.pace.1,
        "turn_starts_at_s": answer.start,
        "scatter_of_readings": answer.scatter,
        "errors_widened": answer.widened,
        "fitted": answer.told.iter().map(told).collect::<Vec<_>>(),
        "correlations": (0..answer.told.len()).map(rows).collect::<Vec<_>>(),
        "not_fitted": answer.held.iter().map(held).collect::<Vec<_>>(),
    })
}
