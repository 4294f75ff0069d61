//! From a scenario to what it states: each value put where the catalogue says.

pub mod designation;
pub mod doubts;
pub mod experience;
mod faults;
pub mod parts;
mod slot;
pub mod tolerance;

pub(crate) use slot::Slot;

use crate::catalogue::{self, Entry};
use crate::{Scenario, Section};
use latchstroke_core::studies::calibrate::Experience;
use latchstroke_core::studies::judge::{Cast, Terms};
use latchstroke_core::studies::parts::{PartsStatement, nut_height, socket};
use latchstroke_models::alloy::{Alloy, FreezingPath};
use latchstroke_models::cooling_water::CoolingWaterStatement;
use latchstroke_models::fault::Fault;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::WallStatement;
use latchstroke_models::spring::{SpringStatement, WireStatement};
use latchstroke_models::units::{Length, Pace};

/// What a machine is called.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Title {
    /// Its name.
    pub name: String,
    /// Where it stands.
    pub place: Option<String>,
    /// The date for its drawings.
    pub date: Option<String>,
}

/// What an owner wants compared.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Compared {
    /// Body sizes.
    pub sizes: Vec<Length>,
    /// Paces.
    pub paces: Vec<Pace>,
}

/// All that a scenario states, as it is put together.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Stated {
    pub title: Title,
    pub machine: MachineStatement,
    /// The spring that is being read.
    pub spring: SpringStatement,
    /// The mould's cooling, where it is stated in place of a wall's temperature.
    pub cooling: Option<CoolingWaterStatement>,
    /// Shares of the alloy, 0 to 1.
    pub tin: Option<f64>,
    pub antimony: Option<f64>,
    pub freezing_path: FreezingPath,
    pub cast: Cast,
    pub compared: Compared,
    pub terms: Terms,
    pub parts: PartsStatement,
    /// A thread's designation, as written.
    pub thread: Option<String>,
    /// The remembered cast that is being read.
    pub experience: Experience,
}

impl Stated {
    pub fn of(scenario: &Scenario) -> Self {
        let mut stated = Self::default();
        stated.take_single(scenario);
        for section in scenario.springs() {
            stated.spring = SpringStatement::default();
            stated.take(section);
            stated.machine.springs.push(stated.spring);
        }
        if let Some(metal) = stated.of_alloy() {
            // What is stated lies on top of what the alloy gives.
            stated.machine.metal = metal;
            stated.take_single(scenario);
        }
        stated.follow();
        stated
    }

    /// Every section of which there is one.
    fn take_single(&mut self, scenario: &Scenario) {
        for section in scenario.sections().iter().filter(|section| !section.spec.is_list()) {
            self.take(section);
        }
    }

    /// Puts each value of a section in its place.
    fn take(&mut self, section: &Section) {
        for item in &section.items {
            if let Some(slot) = (item.entry.sets.place)(self) {
                slot.put(&item.value);
            }
        }
    }

    /// The alloy, where it is stated; the faults of one outside the table.
    fn alloy(&self) -> Option<Result<Alloy, Vec<Fault>>> {
        Some(Alloy::new(100.0 * self.tin?, 100.0 * self.antimony?))
    }

    /// What the alloy gives, where there is one.
    fn of_alloy(&self) -> Option<MetalStatement> {
        let alloy = self.alloy()?.ok()?;
        let metal = &self.machine.metal;
        Some(MetalStatement::of_alloy(&alloy, metal.pot_temperature.0, metal.sealing_fraction))
    }

    /// What is stated once and belongs in two places.
    fn follow(&mut self) {
        let Self { machine, parts, terms, .. } = self;
        machine.metal.eutectic = machine.metal.alloy.filter(|_| self.freezing_path == FreezingPath::Eutectic);
        if let Some(water) = self.cooling {
            machine.mould.wall = WallStatement::Cooled(CoolingWaterStatement { shut: terms.shut, ..water });
        }
        machine.abutment.extension_outside = parts.extension_outside.map(Length);
        let there = |length: Length| Some(length.0).filter(|length| *length > 0.0);
        parts.sleeve = there(machine.abutment.sleeve);
        parts.extension = there(machine.abutment.extension);
        parts.thread_pitch = machine.abutment.thread_pitch.map(|pitch| pitch.0);
        parts.thread = self.thread.as_deref().and_then(|text| designation::parse(text).ok());
        machine.abutment.socket = socket(parts).map(Length);
        if let (None, Some(thread), Some(gap)) =
            (machine.abutment.rod_end, &parts.thread, machine.abutment.bare_gap)
        {
            // The nut at its reference place is all on its thread: the rod ends no lower.
            machine.abutment.rod_end = Some(Length(gap.0 + nut_height(thread)));
        }
    }

    /// The wire of the spring that is being read.
    pub fn wire(&mut self) -> &mut WireStatement {
        self.spring.wire.get_or_insert_default()
    }

    /// The mould's cooling water.
    pub fn water(&mut self) -> &mut CoolingWaterStatement {
        self.cooling.get_or_insert_default()
    }
}

/// The machine of a scenario as its owner states it.
pub fn machine(scenario: &Scenario) -> MachineStatement {
    Stated::of(scenario).machine
}

/// What is asked of every cast of a scenario.
pub fn terms(scenario: &Scenario) -> Terms {
    Stated::of(scenario).terms
}

/// The cast of a scenario: its own size and pace.
pub fn cast(scenario: &Scenario) -> Cast {
    Stated::of(scenario).cast
}

/// The fastest pace that a scenario speaks of: its own, or one of those to compare.
pub fn fastest_pace(scenario: &Scenario) -> Pace {
    let Stated { cast, compared, .. } = Stated::of(scenario);
    Pace(compared.paces.iter().map(|pace| pace.0).fold(cast.pace.0, f64::max))
}

/// The paces that a scenario compares; its own where it compares none.
pub fn paces(scenario: &Scenario) -> Vec<Pace> {
    let Stated { cast, compared, .. } = Stated::of(scenario);
    if compared.paces.is_empty() { vec![cast.pace] } else { compared.paces }
}

/// The keys of the metal that are left to its alloy, in catalogue order, with their SI values; none where the metal is stated value by
/// value.
pub fn from_alloy(scenario: &Scenario) -> Vec<(&'static Entry, f64)> {
    let mut stated = Stated::of(scenario);
    if stated.machine.metal.alloy.is_none() {
        return Vec::new();
    }
    let mut given = |entry: &Entry| (entry.sets.place)(&mut stated)?.si();
    let metal = &catalogue::METAL;
    let is_left = |entry: &&Entry| scenario.item(&format!("{}.{}", metal.name, entry.key)).is_none();
    metal.entries.iter().filter(is_left).filter_map(|entry| Some((entry, given(entry)?))).collect()
}
