//! A scenario's text with values put in their place.

use crate::Problem;
use crate::dial::Dial;
use latchstroke_core::limits::Freezings;
use latchstroke_core::studies::judge::{Cast, Terms};
use latchstroke_core::studies::real_pace::{CastAt, RealPace};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::Pace;
use latchstroke_report::owner::{OwnerUnits, System};
use latchstroke_scenario::{Location, Mistakes, Override, Scenario, key, read, stated};
use serde::Deserialize;

/// What the page has set.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Setting {
    /// What the scenario is called.
    pub name: String,
    /// The scenario's text.
    pub text: String,
    /// Values put in place of the text's when the page was written, as "cam.lift=32 mm".
    pub sets: Vec<String>,
    /// The system to answer in; as the scenario is written if none.
    pub units: Option<Measures>,
    /// The dials that were moved, each with what was typed or set.
    pub moves: Vec<(Dial, String)>,
    /// Whether the size is cast at the pace at which it really would be, whatever the pace's dial says.
    pub real: bool,
}

/// A system of measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measures {
    /// Millimetres.
    Metric,
    /// Inches.
    Inch,
}

/// The scenario as written, before anything is moved.
#[derive(Debug)]
pub struct Base {
    name: String,
    text: String,
    sets: Vec<String>,
    measures: Option<Measures>,
    /// The scenario.
    pub scenario: Scenario,
    /// The units to answer in, whatever is typed into a dial.
    pub units: OwnerUnits,
    /// The machine it states.
    pub stated: MachineStatement,
    /// The machine ready for its own cast.
    pub machine: Machine,
    /// Its own cast.
    pub cast: Cast,
    /// What it wants of a cast.
    pub terms: Terms,
    /// The fastest pace at which the machine is run.
    pub fastest: Pace,
}

/// A setting ready to be asked about.
#[derive(Debug)]
pub struct Opened {
    /// The scenario with all values in place.
    pub scenario: Scenario,
    /// The machine it states.
    pub stated: MachineStatement,
    /// What it wants of a cast.
    pub terms: Terms,
    /// What is cast, and at which pace.
    pub cast: Cast,
    /// At which pace a machine with other values casts.
    pub pacing: Pacing,
}

impl Base {
    /// Reads the scenario of a setting as written.
    pub fn read(setting: &Setting) -> Result<Self, Problem> {
        let sets: Vec<Override> = setting.sets.iter().map(|set| Override::parse(set)).collect();
        let scenario =
            read(&setting.name, &setting.text, &sets).map_err(|mistakes| Problem::of(&mistakes))?;
        let system = setting.units.map(|measures| match measures {
            Measures::Metric => System::Metric,
            Measures::Inch => System::Inch,
        });
        let (stated, cast) = (stated::machine(&scenario), stated::cast(&scenario));
        let machine = Machine::prepare(&stated, cast.sort, cast.pace, LatchSetting::Set)
            .map_err(|faults| faulty(&scenario, faults))?;
        Ok(Self {
            name: setting.name.clone(),
            text: setting.text.clone(),
            sets: setting.sets.clone(),
            measures: setting.units,
            units: OwnerUnits::asked(&scenario, system),
            terms: stated::terms(&scenario),
            fastest: stated::fastest_pace(&scenario),
            scenario,
            stated,
            machine,
            cast,
        })
    }

    /// Whether a setting is of this scenario.
    pub fn is_of(&self, setting: &Setting) -> bool {
        self.measures == setting.units
            && self.name == setting.name
            && self.sets == setting.sets
            && self.text == setting.text
    }

    /// The scenario with what a setting moves put in its place.
    pub fn with(&self, setting: &Setting) -> Result<Opened, Problem> {
        let mut values: Vec<(Option<Dial>, Override)> =
            self.sets.iter().map(|set| (None, Override::parse(set))).collect();
        for (dial, text) in &setting.moves {
            let moved = dial.overrides(text, self, setting).into_iter();
            values.extend(moved.map(|value| (Some(*dial), Override::parse(&value))));
        }
        let overrides: Vec<Override> = values.iter().map(|(_, value)| value.clone()).collect();
        let scenario =
            read(&self.name, &self.text, &overrides).map_err(|mistakes| on_dials(&mistakes, &values))?;
        let stated = stated::machine(&scenario);
        let (terms, mut cast) = (stated::terms(&scenario), stated::cast(&scenario));
        if !setting.real {
            return Ok(Opened { scenario, stated, terms, cast, pacing: Pacing::Fixed });
        }
        let pacing = Pacing::Real { fastest: self.fastest };
        cast =
            pacing.cast(&stated, cast, &Freezings::on(&terms)).map_err(|faults| faulty(&scenario, faults))?;
        let scenario = scenario.with_values(&[(key!(Cast, pace), cast.pace.0)]).unwrap_or(scenario);
        Ok(Opened { scenario, stated, terms, cast, pacing })
    }

    /// The pace at which the size of a setting is really cast.
    pub fn real(&self, opened: &Opened) -> Result<RealPace, Problem> {
        let at = CastAt { asked: None, fastest: self.fastest, shut: opened.terms.shut };
        at.real(&opened.stated, opened.cast.sort).map_err(|faults| faulty(&opened.scenario, faults))
    }
}

/// Faults that only the assembled machine shows, as mistakes at the keys they name.
pub fn faulty(scenario: &Scenario, faults: Vec<Fault>) -> Problem {
    let list = faults.into_iter().map(|fault| scenario.mistake_of(&fault)).collect();
    Problem::of(&Mistakes::new(scenario.file_name(), scenario.source(), list))
}

/// Mistakes, each with the dial whose value it stands in.
fn on_dials(mistakes: &Mistakes, values: &[(Option<Dial>, Override)]) -> Problem {
    let dial = |location: &Location| match location {
        Location::Override { text, .. } => {
            values.iter().find(|(_, value)| value.text() == text).and_then(|(dial, _)| *dial)
        }
        _ => None,
    };
    Problem::Mistakes(mistakes.list().iter().map(|m| (m.clone(), dial(&m.location))).collect())
}
