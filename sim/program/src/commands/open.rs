//! Opening the scenario a command was given.

use super::args::{AtPaceOptions, CastOptions, CastsOptions, Measures, ScenarioOptions};
use super::{Failure, both, lists};
use latchstroke_core::studies::judge::{Cast, Terms};
use latchstroke_core::studies::real_pace::{CastAt, RealPace};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Length, Pace};
use latchstroke_report::each_once;
use latchstroke_report::owner::{OwnerUnits, System};
use latchstroke_scenario::key;
use latchstroke_scenario::stated::Compared;
use latchstroke_scenario::{Mistakes, Origin, Override, Scenario, Unread, open as read_file, read, stated};
use std::io::Write as _;

impl From<Measures> for System {
    fn from(measures: Measures) -> Self {
        match measures {
            Measures::Metric => Self::Metric,
            Measures::Inch => Self::Inch,
        }
    }
}

/// The demo machine, so that the program answers without a file.
const DEMO: (&str, &str) = (
    "the built-in demo (scenarios/large_initials.toml)",
    include_str!("../../../../scenarios/large_initials.toml"),
);

/// Reads the scenario named, or the demo, with the overrides put in. What it has to remark is counted on standard error.
///
/// # Errors
/// When the file cannot be read, or has mistakes.
fn scenario(options: &ScenarioOptions) -> Result<Scenario, Failure> {
    let scenario = without_remarks(options)?;
    let counted = match scenario.remarks().len() {
        0 => return Ok(scenario),
        1 => "1 remark".to_owned(),
        n => format!("{n} remarks"),
    };
    let file = options.scenario.as_ref().map(|path| format!(" {}", path.display())).unwrap_or_default();
    // With standard error gone there is nobody left to tell.
    let _ = writeln!(
        std::io::stderr(),
        "latchstroke: {counted} on {}; see “latchstroke check{file}”",
        scenario.file_name()
    );
    Ok(scenario)
}

/// The same without a word of the remarks.
fn without_remarks(options: &ScenarioOptions) -> Result<Scenario, Failure> {
    let overrides: Vec<Override> = options.set.iter().map(|text| Override::parse(text)).collect();
    match &options.scenario {
        None => Ok(read(DEMO.0, DEMO.1, &overrides)?),
        Some(path) => read_file(path, &overrides).map_err(|unread| match unread {
            Unread::Mistakes(mistakes) => Failure::Mistakes(mistakes),
            Unread::Unusable(message) => Failure::Plain(message),
        }),
    }
}

/// A scenario ready to be asked about.
pub struct Opened {
    /// The scenario.
    pub scenario: Scenario,
    /// The units to answer in: the owner's own, or those of the system asked for.
    pub units: OwnerUnits,
    /// The machine it states.
    pub machine: MachineStatement,
    /// What it wants of a cast.
    pub terms: Terms,
    /// Its own cast.
    pub cast: Cast,
    /// The fastest pace at which the machine is run, whatever pace is asked for.
    pub fastest: Pace,
}

impl Opened {
    /// Opens the scenario named, or the demo.
    ///
    /// # Errors
    /// As [`scenario`].
    pub fn new(options: &ScenarioOptions) -> Result<Self, Failure> {
        Ok(Self::of(scenario(options)?, options))
    }

    /// The same for a command that tells the scenario's remarks itself.
    ///
    /// # Errors
    /// As [`scenario`].
    pub fn without_remarks(options: &ScenarioOptions) -> Result<Self, Failure> {
        Ok(Self::of(without_remarks(options)?, options))
    }

    fn of(scenario: Scenario, options: &ScenarioOptions) -> Self {
        let system = options.units.map(System::from);
        Self {
            units: OwnerUnits::asked(&scenario, system),
            machine: stated::machine(&scenario),
            terms: stated::terms(&scenario),
            cast: stated::cast(&scenario),
            fastest: stated::fastest_pace(&scenario),
            scenario,
        }
    }

    /// Opens a scenario with the one size and the one pace asked for in place of its own.
    ///
    /// # Errors
    /// As [`scenario`], and when `--body` is not one size or `--pace` not one pace.
    pub fn with_cast(options: &CastOptions) -> Result<Self, Failure> {
        let opened = Self::new(&options.scenario)?;
        let units = &opened.units;
        let body = options.body.as_deref().map(|text| lists::one_size(text, units.body)).transpose();
        let pace = options.pace.as_deref().map(|text| lists::one_pace(text, units.pace)).transpose();
        let (body, pace) = both(body, pace)?;
        Ok(opened.casting(body, pace, &options.scenario))
    }

    /// As [`Self::with_cast`], but where no pace is asked for at the one at which the size is really cast, which is then answered too.
    ///
    /// # Errors
    /// As [`Self::with_cast`], and the faults of the machine.
    pub fn judged(options: &CastOptions) -> Result<(Self, Option<RealPace>), Failure> {
        let opened = Self::with_cast(options)?;
        let real = opened.real_pace(options.pace.as_deref())?;
        Ok((opened.casting(None, real.map(|real| real.pace), &options.scenario), real))
    }

    /// The pace at which the scenario's own size is really cast; none where another is asked for.
    ///
    /// # Errors
    /// The faults of the machine.
    pub fn real_pace(&self, asked: Option<&str>) -> Result<Option<RealPace>, Failure> {
        if asked.is_some() {
            return Ok(None);
        }
        let real = self.cast_at(None).real(&self.machine, self.cast.sort);
        real.map(Some).map_err(|faults| self.faulty(faults))
    }

    /// At which pace a machine with other values casts: the one asked for, or its own real one, which `real` is of this machine.
    pub fn pacing(&self, real: Option<RealPace>) -> Pacing {
        real.map_or(Pacing::Fixed, |_| Pacing::Real { fastest: self.fastest })
    }

    /// At which pace each size is cast: the one asked for, or its real pace.
    pub fn cast_at(&self, asked: Option<Pace>) -> CastAt {
        CastAt { asked, fastest: self.fastest, shut: self.terms.shut }
    }

    /// The same with another body (m) and pace, each exact, where they are asked for; the set width keeps its proportion to the
    /// body.
    pub fn casting(self, body: Option<f64>, pace: Option<Pace>, options: &ScenarioOptions) -> Self {
        let mut values: Vec<(&str, f64)> = Vec::new();
        if let Some(body) = body {
            values.push((key!(Sort, body), body));
            let follows = self
                .scenario
                .item(key!(Sort, set))
                .is_some_and(|item| matches!(item.origin, Origin::SameAs(_)));
            if !follows {
                values.push((key!(Sort, set), body * self.proportion()));
            }
        }
        values.extend(pace.map(|pace| (key!(Cast, pace), pace.0)));
        self.having(&values, options)
    }

    /// The same with other SI values for some full keys, each exact.
    pub fn having(self, values: &[(&str, f64)], options: &ScenarioOptions) -> Self {
        match self.scenario.with_values(values) {
            Some(scenario) if !values.is_empty() => {
                Self { fastest: self.fastest, ..Self::of(scenario, options) }
            }
            _ => self,
        }
    }

    /// Set width over body.
    pub fn proportion(&self) -> f64 {
        self.cast.sort.set.0 / self.cast.sort.body.0
    }

    /// The sizes asked for, each once, or those of the scenario.
    ///
    /// # Errors
    /// When they cannot be read.
    pub fn sorts(&self, asked: Option<&str>) -> Result<Vec<Sort>, Failure> {
        let bodies = match asked {
            Some(text) => lists::sizes(text, self.units.body)?,
            None => match self.scenario.list(key!(Compared, sizes)) {
                [] => vec![self.cast.sort.body.0],
                sizes => sizes.iter().map(|size| size.si).collect(),
            },
        };
        let sorts =
            bodies.into_iter().map(|body| Sort { body: Length(body), set: Length(body * self.proportion()) });
        Ok(each_once(sorts))
    }

    /// The paces asked for, each once; none where none are.
    ///
    /// # Errors
    /// When they cannot be read.
    fn paces(&self, asked: Option<&str>) -> Result<Option<Vec<Pace>>, Failure> {
        let read = |text| lists::paces(text, self.units.pace);
        Ok(asked.map(read).transpose()?.map(|paces| each_once(paces.into_iter().map(Pace))))
    }

    /// The one pace asked for.
    ///
    /// # Errors
    /// When it is not one pace.
    pub fn pace(&self, asked: Option<&str>) -> Result<Option<Pace>, Failure> {
        asked.map(|text| lists::one_pace(text, self.units.pace)).transpose()
    }

    /// The sizes and the paces asked for.
    ///
    /// # Errors
    /// As [`Self::sorts`] and [`Self::paces`], what is wrong with both at once.
    pub fn sorts_and_paces(&self, asked: &CastsOptions) -> Result<(Vec<Sort>, Option<Vec<Pace>>), Failure> {
        both(self.sorts(asked.sizes.body.as_deref()), self.paces(asked.pace.as_deref()))
    }

    /// The sizes and the one pace asked for.
    ///
    /// # Errors
    /// As [`Self::sorts`] and [`Self::pace`], what is wrong with both at once.
    pub fn sorts_and_pace(&self, asked: &AtPaceOptions) -> Result<(Vec<Sort>, Option<Pace>), Failure> {
        both(self.sorts(asked.sizes.body.as_deref()), self.pace(asked.pace.as_deref()))
    }

    /// Faults that only the assembled machine shows, as mistakes at the keys they name.
    pub fn faulty(&self, faults: Vec<Fault>) -> Failure {
        let list = faults.into_iter().map(|fault| self.scenario.mistake_of(&fault)).collect();
        Failure::Mistakes(Mistakes::new(self.scenario.file_name(), self.scenario.source(), list))
    }

    /// The machine ready for its own cast with the latch in a setting.
    ///
    /// # Errors
    /// When it cannot be as stated.
    pub fn prepared(&self, setting: LatchSetting) -> Result<Machine, Failure> {
        Machine::prepare(&self.machine, self.cast.sort, self.cast.pace, setting)
            .map_err(|faults| self.faulty(faults))
    }
}
