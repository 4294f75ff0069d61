//! What to measure next: what of the doubt each measurement would take away, and how it is done.

pub mod data;
mod read;
pub mod sheet;

use super::cautions;
use super::names::named;
use super::odds::left_out;
use super::owner::OwnerUnits;
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::measure::{Asked, Doubted, Gain, Reading};
use latchstroke_core::studies::tolerance::Input;
use latchstroke_scenario::Scenario;
use latchstroke_scenario::catalogue::bench::{Measured, TOLD_BY_CASTS, bench};
use read::{entry, entry_of, step, unit, within};

/// A value that takes away less of the doubt than this share is not worth a line.
const SLIGHT: f64 = 0.02;
/// For so many it is told how.
const TOLD: usize = 3;

/// Everything that is said.
#[derive(Debug, Clone, Copy)]
pub struct Report<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The values at play.
    pub inputs: &'a [Input],
    /// The machines drawn and what is asked of them; none where every value counts as exact.
    pub doubted: Option<&'a Doubted>,
    /// The sizes asked about.
    pub casts: &'a [Cast],
    /// The owner's units.
    pub units: &'a OwnerUnits,
}

/// A measurement that would tell something.
#[derive(Debug, Clone)]
pub struct Proposal<'a> {
    /// The value.
    pub input: &'a Input,
    /// How it is measured.
    pub measured: &'static Measured,
    /// To within what, SI.
    pub within: f64,
    /// What it is expected to do.
    pub gain: Gain,
}

impl Proposal<'_> {
    /// Share of the doubt for each minute of trouble.
    fn worth(&self) -> f64 {
        self.gain.share / f64::from(self.measured.minutes)
    }
}

impl<'a> Report<'a> {
    /// What can be measured more closely than it is known, what is worth most for its trouble first.
    pub fn proposals(&self) -> Vec<Proposal<'a>> {
        let Some(doubted) = self.doubted else { return Vec::new() };
        let of = |(place, input): (usize, &'a Input)| {
            let measured = bench(&input.path)?;
            let reading = measured.reading(entry(&input.path)?.kind)?;
            let within = reading.half_width(input.stated);
            let finer = within < input.half_width();
            finer.then(|| Proposal { input, measured, within, gain: doubted.gain(place, reading) })
        };
        let mut all: Vec<Proposal> = self.inputs.iter().enumerate().filter_map(of).collect();
        all.sort_by(|a, b| b.worth().total_cmp(&a.worth()));
        all
    }

    /// The values that cannot be measured, with what knowing them would do, the weightiest first: those that casts tell of, and the
    /// rest.
    fn beyond(&self) -> [Vec<(&'a Input, Gain)>; 2] {
        let Some(doubted) = self.doubted else { return Default::default() };
        let inputs = self.inputs.iter().enumerate().filter(|(_, input)| bench(&input.path).is_none());
        let mut all: Vec<(&Input, Gain)> =
            inputs.map(|(n, input)| (input, doubted.gain(n, Reading::Within(0.0)))).collect();
        all.sort_by(|a, b| b.1.share.total_cmp(&a.1.share));
        let (casts, rest) = all.into_iter().partition(|(input, _)| TOLD_BY_CASTS.contains(&&*input.path));
        [casts, rest]
    }

    fn name(&self, input: &Input) -> String {
        named(&input.path, self.inputs.iter().map(|input| input.path.as_str()))
    }

    /// The size of which a measurement takes away most, and how much of the doubt about it.
    fn mostly(&self, gain: &Gain) -> Option<(Cast, f64)> {
        let Asked::Verdict(_) = self.doubted?.asked else { return None };
        let doubt = self.doubted?.doubt();
        let most = (0..gain.told.len()).max_by(|&a, &b| gain.told[a].total_cmp(&gain.told[b]))?;
        let share = gain.told.get(most)? / doubt.get(most).filter(|doubt| **doubt > 0.0)?;
        Some((*self.casts.get(most)?, share))
    }

    /// "takes away about 40 % of the doubt about 24 pt".
    fn takes(&self, gain: &Gain) -> String {
        let about = match self.mostly(gain) {
            Some((cast, share)) => {
                let size = self.units.size(cast.sort.body.0);
                let all = if self.casts.len() > 1 {
                    format!(", and {} of that about all sizes", percent(gain.share))
                } else {
                    String::new()
                };
                format!("{} of the doubt about {size}{all}", percent(share))
            }
            None => format!("{} of the doubt", percent(gain.share)),
        };
        format!("takes away about {about}")
    }

    fn question(&self) -> &'static str {
        match self.doubted.map(|doubted| doubted.asked) {
            Some(Asked::Sleeve(..) | Asked::NoSleeve) => "how long the sleeve must be",
            _ => "what to do with the latch",
        }
    }

    /// How long the machines drawn want the sleeve to be.
    fn lengths(&self) -> String {
        let of = match self.doubted.map(|doubted| doubted.asked) {
            None | Some(Asked::Verdict(_)) => return String::new(),
            Some(Asked::NoSleeve) => "No one length does for hardly any machine drawn.".to_owned(),
            Some(Asked::Sleeve(spread, share)) => {
                let [low, middle, high] =
                    [spread.p05, spread.p50, spread.p95].map(|length| self.units.along(length));
                let none = match share.of - share.count {
                    0 => String::new(),
                    without => {
                        format!(" No one length does for {without} of the {} machines drawn.", share.of)
                    }
                };
                format!(
                    "Half the machines drawn want a sleeve of {middle} or more; nine in ten want {low} to {high}.{none}"
                )
            }
        };
        wrapped(&of, 0, 2)
    }

    /// The report.
    pub fn text(&self) -> String {
        let head = format!("{}\n\n", self.scenario.machine_name());
        let Some(doubted) = self.doubted else {
            let how = "Every value counts as exact, so there is nothing to settle. Write each with how far it may be off, as in \"68 mm ± 0.5 mm\" or \"2 11/16 in ± 1/64 in\".";
            return head + &wrapped(how, 0, 2);
        };
        if doubted.doubt().iter().sum::<f64>() <= 0.0 {
            let none = format!(
                "Nothing to settle: all {} machines drawn give the same answer about {}.{}",
                doubted.drawn(),
                self.question(),
                left_out(doubted.impossible)
            );
            return head + &wrapped(&none, 0, 2) + &self.lengths();
        }
        let all = self.proposals();
        let told: Vec<&Proposal> = all.iter().filter(|proposal| proposal.gain.share >= SLIGHT).collect();
        let mut text = head + &self.lengths();
        text += &match told.first() {
            Some(first) => wrapped(
                &format!(
                    "Measure first: {} ({}; {} min).",
                    self.name(first.input),
                    self.takes(&first.gain),
                    first.measured.minutes
                ),
                0,
                2,
            ),
            None => wrapped(
                &format!("No one measurement takes away more than {} of the doubt.", percent(SLIGHT)),
                0,
                2,
            ),
        };
        text += &self.beyond_text();
        text += &self.table(&told, all.len() - told.len());
        for (n, proposal) in told.iter().take(TOLD).enumerate() {
            text += &self.how(n + 1, proposal);
        }
        text + "\n" + &cautions::text()
    }

    /// The measurements worth a line.
    fn table(&self, told: &[&Proposal], slight: usize) -> String {
        if told.is_empty() {
            return String::new();
        }
        let by_size =
            self.casts.len() > 1 && told.iter().any(|proposal| self.mostly(&proposal.gain).is_some());
        let cells = |about: &str, [value, of, within, minutes]: [&str; 4]| -> Vec<String> {
            let about = by_size.then_some(about);
            [Some(value), Some(of), about, Some(within), Some(minutes)]
                .into_iter()
                .flatten()
                .map(str::to_owned)
                .collect()
        };
        let heading = cells("most of all about", ["value", "of the doubt", "read to within", "minutes"]);
        let mut table = Table::new(&heading.iter().map(String::as_str).collect::<Vec<_>>());
        for proposal in told {
            let most = self.mostly(&proposal.gain).map(|(cast, _)| self.units.size(cast.sort.body.0));
            table.row(cells(
                &most.unwrap_or_default(),
                [
                    &self.name(proposal.input),
                    &percent(proposal.gain.share),
                    &self.within(proposal.input, proposal.measured),
                    &proposal.measured.minutes.to_string(),
                ],
            ));
        }
        let (drawn, impossible) = self.doubted.map_or((0, 0), |of| (of.drawn(), of.impossible));
        let rest = match slight {
            0 => String::new(),
            1 => format!(" One more value that can be measured takes away less than {}.", percent(SLIGHT)),
            n => format!(" {n} more that can be measured take away less than {} each.", percent(SLIGHT)),
        };
        let note = format!(
            "Of the doubt about {}, over the sizes asked; what takes away most for each minute first. {drawn} machines drawn; the shares do not add up, since one value may tell what another has told.{}{rest}",
            self.question(),
            left_out(impossible)
        );
        format!("\n{}{}", table.text(2), wrapped(&note, 2, 2))
    }

    /// How one of them is done.
    fn how(&self, number: usize, proposal: &Proposal) -> String {
        let Proposal { input, measured, .. } = proposal;
        let mut text = format!("\n{number}  {}\n", capital(&self.name(input)));
        text += &wrapped(
            &format!(
                "{} With: {}. Where: {}. To within {}.",
                measured.how,
                measured.tool,
                measured.place.name(),
                self.within(input, measured)
            ),
            3,
            3,
        );
        if !measured.caution.is_empty() {
            text += &wrapped(&format!("Caution: {}", measured.caution), 3, 3);
        }
        text + &format!("   {}\n", self.line(input, measured))
    }

    /// What nobody can measure, and what to do about it.
    fn beyond_text(&self) -> String {
        let [casts, rest] = self.beyond().map(|all| {
            let worth = all.into_iter().filter(|(_, gain)| gain.share >= SLIGHT);
            worth.map(|(input, gain)| (self.name(input), gain.share)).collect::<Vec<_>>()
        });
        let listed = |all: &[(String, f64)]| {
            let all = all.iter().map(|(name, share)| format!("{name} ({})", percent(*share)));
            all.collect::<Vec<_>>().join(", ")
        };
        let mut text = String::new();
        if !casts.is_empty() {
            text += &wrapped(
                &format!(
                    "Remember casts: nobody can measure {}, but casts tell of it. List those that you remember as [[experience]] with size, pace, latch and result; “latchstroke calibrate” says what they tell. In brackets, what knowing it exactly would take away.",
                    listed(&casts)
                ),
                0,
                2,
            );
        }
        if !rest.is_empty() {
            text += &wrapped(&format!("Not to be had at the bench: {}.", listed(&rest)), 0, 2);
        }
        text
    }

    /// "± 5 °C", or a share of what is read.
    fn within(&self, input: &Input, measured: &Measured) -> String {
        let Some(entry) = entry(&input.path) else { return String::new() };
        within(self.scenario, &input.path, entry, measured, self.units)
    }

    /// The line to type: `[mould] wall_temperature = "... degC ± 5 degC"`.
    pub fn line(&self, input: &Input, measured: &Measured) -> String {
        let Some((section, entry)) = entry_of(&input.path) else { return String::new() };
        let unit = unit(self.scenario, &input.path, entry, self.units);
        let after = match unit.typeable() {
            symbol if symbol.is_empty() => symbol,
            symbol => format!(" {symbol}"),
        };
        let tolerance = match measured.reading(entry.kind) {
            Some(Reading::Within(half)) => step(unit, half),
            _ => "...".to_owned(),
        };
        format!("{} {} = \"...{after} ± {tolerance}{after}\"", section.header(), entry.key)
    }
}

/// A share to the whole per cent.
fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
