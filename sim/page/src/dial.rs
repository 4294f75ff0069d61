//! What can be moved: each dial with its value, its range and its words, in the owner's units.

use crate::setting::{Base, Opened, Setting};
use latchstroke_core::studies::judge::{Acceptance, Cast, Terms};
use latchstroke_core::studies::remedy::Change;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::cooling_water::CoolingWaterStatement;
use latchstroke_models::latch::TripStatement;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::{Sort, WallStatement};
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::spring::PreloadStatement;
use latchstroke_models::units::POINT;
use latchstroke_report::judge::words;
use latchstroke_report::owner::{OwnerUnits, rounded, stated_in};
use latchstroke_scenario::quantity::decimals;
use latchstroke_scenario::{Dimension, Origin, Quantity, Unit, key};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use strum::VariantArray;

/// A dial.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, VariantArray)]
#[serde(rename_all = "kebab-case")]
pub enum Dial {
    /// The pace.
    Pace,
    /// The body.
    Body,
    /// The set width.
    Set,
    /// Turns of the adjusting nut.
    Nut,
    /// The springs' force at rest, where no thread of the nut is stated.
    Preload,
    /// The sleeve, and the rod's extension with it.
    Sleeve,
    /// The lift at which the latch lets go, where it was read directly.
    Trip,
    /// The temperature of the pot.
    Pot,
    /// The temperature of the mould's wall.
    Wall,
    /// The temperature of the cooling water as it comes.
    Water,
    /// The flow of the cooling water.
    Flow,
    /// The nozzle's bore.
    Nozzle,
    /// The accepted skin.
    Skin,
}

/// Sizes of type within which the body and the set width move, m.
const SIZES: (f64, f64) = (6.0 * POINT, 72.0 * POINT);
/// Paces as multiples of the slowest and the fastest that matter.
const PACES: (f64, f64) = (0.4, 1.8);
/// Turns of the nut either way, where the springs do not say how far it may go.
const TURNS: f64 = 10.0;
/// Past the ends of what works, as a share of it, so that the ends are seen.
const PAST: f64 = 0.15;
/// The springs' force at rest as multiples of the present one.
const PRELOADS: (f64, f64) = (0.2, 3.0);
/// The hottest pot, K: 430 °C. Common practice, no source: hotter metal drosses and fumes.
const HOTTEST_POT: f64 = 430.0 + 273.15;
/// The coldest and hottest wall, K, and how far below the solidus it stays.
const WALLS: (f64, f64, f64) = (10.0 + 273.15, 230.0 + 273.15, 5.0);
/// Coldest and hottest water as it comes, K.
const WATERS: (f64, f64) = (5.0 + 273.15, 80.0 + 273.15);
/// What is moved by ratio: the least and greatest multiple of the present value.
const RATIOS: (f64, f64) = (0.4, 2.5);
/// The same of the accepted skin.
const SKINS: (f64, f64) = (0.1, 3.0);
/// About how many places a dial has.
const PLACES: f64 = 200.0;

/// What the values of a setting are asked of.
#[derive(Clone, Copy)]
pub struct Of<'a> {
    stated: &'a MachineStatement,
    machine: &'a Machine,
    cast: Cast,
    terms: &'a Terms,
}

impl<'a> Of<'a> {
    /// The scenario as written.
    pub fn base(base: &'a Base) -> Self {
        Self { stated: &base.stated, machine: &base.machine, cast: base.cast, terms: &base.terms }
    }

    /// A setting, with its machine ready.
    pub fn opened(opened: &'a Opened, machine: &'a Machine) -> Self {
        Self { stated: &opened.stated, machine, cast: opened.cast, terms: &opened.terms }
    }
}

/// The places of a dial: values evenly from the lowest, in the unit they are told in.
#[derive(Debug, Clone, Copy)]
pub struct Scale {
    /// The unit.
    pub unit: &'static Unit,
    /// The lowest value.
    pub low: f64,
    /// From place to place.
    pub step: f64,
    /// The last place, counted from 0.
    pub last: u32,
}

impl Scale {
    /// The value at a place or between two.
    pub fn at(&self, place: f64) -> f64 {
        self.low + self.step * place
    }
}

impl Dial {
    /// The name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Pace => words::change(Change::Pace),
            Self::Body => "body",
            Self::Set => "set width",
            Self::Nut => "turns of the adjusting nut",
            Self::Preload => "spring force at rest",
            Self::Sleeve => "sleeve, its extension with it",
            Self::Trip => "lift at which the latch lets go",
            Self::Pot => words::change(Change::PotTemperature),
            Self::Wall => words::change(Change::WallTemperature),
            Self::Water => "cooling water as it comes",
            Self::Flow => "flow of the cooling water",
            Self::Nozzle => "nozzle bore",
            Self::Skin => words::change(Change::AcceptedSkin),
        }
    }

    /// The key whose value it is; none of a force that several springs share.
    fn key(self) -> Option<&'static str> {
        Some(match self {
            Self::Pace => key!(Cast, pace),
            Self::Body => key!(Sort, body),
            Self::Set => key!(Sort, set),
            Self::Nut => key!(AbutmentStatement, nut_turns),
            Self::Preload => return None,
            Self::Sleeve => key!(AbutmentStatement, sleeve),
            Self::Trip => key!(TripStatement::Lift, 0),
            Self::Pot => key!(MetalStatement, pot_temperature),
            Self::Wall => key!(WallStatement::Temperature, 0),
            Self::Water => key!(CoolingWaterStatement, inlet_temperature),
            Self::Flow => key!(CoolingWaterStatement, flow),
            Self::Nozzle => key!(NozzleStatement, bore),
            Self::Skin => key!(Acceptance, skin),
        })
    }

    /// The value, SI; none where the machine has no such thing to move.
    pub fn value(self, of: Of) -> Option<f64> {
        let abutment = &of.stated.abutment;
        let by_gap = of.stated.springs.iter().any(|spring| spring.preload == PreloadStatement::Gap);
        let has_thread = by_gap && abutment.thread_pitch.is_some();
        let water = match &of.stated.mould.wall {
            WallStatement::Cooled(water) => Some(water),
            WallStatement::Temperature(_) => None,
        };
        Some(match self {
            Self::Pace => of.cast.pace.0,
            Self::Body => of.cast.sort.body.0,
            Self::Set => of.cast.sort.set.0,
            Self::Nut => has_thread.then_some(abutment.nut_turns)?,
            Self::Preload => (!has_thread).then(|| of.machine.preload())?,
            Self::Sleeve => of.machine.latch.clearance.map(|_| abutment.sleeve.0)?,
            Self::Trip => of.machine.latch.clearance.is_none().then_some(of.machine.latch.trip_lift)?,
            Self::Pot => of.stated.metal.pot_temperature.0,
            Self::Wall => water.is_none().then_some(of.machine.mould.wall_temperature)?,
            Self::Water => water?.inlet_temperature.0,
            Self::Flow => water?.flow.0,
            Self::Nozzle => of.stated.nozzle.bore.0,
            Self::Skin => of.terms.acceptance.skin,
        })
    }

    /// The unit it is told in.
    fn unit(self, base: &Base) -> &'static Unit {
        let units = &base.units;
        match self {
            Self::Pace => units.pace,
            Self::Body | Self::Set => units.body,
            Self::Nut => units.system.unit(Dimension::Turns),
            Self::Preload => units.force,
            Self::Sleeve => units.rod,
            Self::Trip => units.lift,
            Self::Pot | Self::Wall | Self::Water => units.temperature,
            Self::Skin => units.skin,
            Self::Flow | Self::Nozzle => {
                let written = self.key().and_then(|key| base.scenario.quantity(key));
                written.map_or(units.lift, |quantity| units.unit_of(quantity))
            }
        }
    }

    /// A value (SI) as the reports tell it.
    pub fn told(self, si: f64, units: &OwnerUnits, unit: &Unit) -> String {
        match self {
            Self::Pace => units.turns(si),
            Self::Body | Self::Set => units.size(si),
            Self::Nut | Self::Nozzle | Self::Flow => stated_in(unit, si),
            Self::Preload => units.force(si),
            Self::Sleeve => units.along(si),
            Self::Trip => units.lift(si),
            Self::Pot | Self::Wall | Self::Water => rounded(unit, si, 3),
            Self::Skin => units.skin(si),
        }
    }

    /// The values it moves between, SI, about the one the scenario states.
    fn range(self, base: &Base, now: f64) -> (f64, f64) {
        let machine = &base.machine;
        let times = |(least, most): (f64, f64)| (least * now, most * now);
        match self {
            Self::Pace => (PACES.0 * now.min(base.fastest.0), PACES.1 * base.fastest.0),
            Self::Body | Self::Set => (SIZES.0.min(now), SIZES.1.max(now)),
            Self::Nut => {
                let pitch = base.stated.abutment.thread_pitch.map_or(f64::INFINITY, |pitch| pitch.0);
                let squeeze = machine.springs.iter().map(|spring| spring.rest_squeeze).reduce(f64::min);
                let eased = squeeze.map_or(TURNS, |squeeze| (1.0 + PAST) * squeeze / pitch);
                let tighter = machine.coil_room().map_or(TURNS, |room| (1.0 + PAST) * room / pitch);
                (now - eased.clamp(1.0, 4.0 * TURNS), now + tighter.clamp(1.0, 4.0 * TURNS))
            }
            Self::Preload => times(PRELOADS),
            Self::Sleeve => {
                // From the sleeve that lets go at the end of the lift to the one that no longer holds, and a little beyond.
                let (clearance, lift) = (machine.latch.clearance.unwrap_or(0.0), machine.cam.lift());
                let longest = now + clearance;
                let travel = machine.latch.trip_lift - clearance;
                ((longest + travel - (1.0 + PAST) * lift).max(0.0), longest + PAST * lift)
            }
            Self::Trip => (0.05 * machine.cam.lift(), (1.0 + PAST) * machine.cam.lift()),
            Self::Pot => (machine.metal.liquidus, HOTTEST_POT),
            Self::Wall => (WALLS.0, WALLS.1.min(machine.metal.solidus - WALLS.2)),
            Self::Water => WATERS,
            Self::Flow | Self::Nozzle => times(RATIOS),
            Self::Skin => times(SKINS),
        }
    }

    /// Its places; none where there is nothing to move.
    pub fn scale(self, base: &Base) -> Option<Scale> {
        let now = self.value(Of::base(base))?;
        let (low, high) = self.range(base, now);
        let unit = self.unit(base);
        let (low, high) = (unit.from_si(low.min(now)), unit.from_si(high.max(now)));
        let step = step((high - low) / PLACES, unit);
        let low = (low / step).floor() * step;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some hundreds")]
        let last = ((high - low) / step).ceil().clamp(1.0, 10.0 * PLACES) as u32;
        Some(Scale { unit, low, step, last })
    }

    /// What it puts in place of the scenario's values, as "job.pace=15 turns/min".
    pub fn overrides(self, text: &str, base: &Base, setting: &Setting) -> Vec<String> {
        let unit = self.unit(base);
        let text = text.trim();
        let is_bare = text.replace('\u{2212}', "-").parse::<f64>().is_ok();
        let text = if is_bare { format!("{text} {}", unit.typeable()) } else { text.to_owned() };
        let si = |dimension| Quantity::parse(&text, dimension).ok().map(|quantity| quantity.si);
        let plain = |key: &str| vec![format!("{key}={text}")];
        match self {
            Self::Body => {
                let mut all = plain(key!(Sort, body));
                // As with --body: the set width keeps its proportion, unless it is moved itself.
                let follows = base
                    .scenario
                    .item(key!(Sort, set))
                    .is_some_and(|item| matches!(item.origin, Origin::SameAs(_)));
                let is_moved = setting.moves.iter().any(|(dial, _)| *dial == Self::Set);
                if let (Some(body), false, false) = (si(Dimension::Length), follows, is_moved) {
                    let set = body * base.cast.sort.set.0 / base.cast.sort.body.0;
                    all.push(format!("{}={} {}", key!(Sort, set), unit.from_si(set), unit.typeable()));
                }
                all
            }
            Self::Sleeve => match si(Dimension::Length) {
                Some(length) => words::sleeve((length, &text), &base.stated, &base.units).to_vec(),
                None => plain(key!(AbutmentStatement, sleeve)),
            },
            Self::Preload => match si(Dimension::Force) {
                Some(force) => words::preload(force - base.machine.preload(), &base.stated, &base.machine),
                None => plain("spring[1].preload"),
            },
            _ => self.key().map_or_else(Vec::new, plain),
        }
    }

    /// What the page needs of it; none where there is nothing to move.
    fn json(self, base: &Base, of: Of, setting: &Setting) -> Option<Value> {
        let scale = self.scale(base)?;
        let si = self.value(of)?;
        let value = scale.unit.from_si(si);
        let moved = setting.moves.iter().find(|(dial, _)| *dial == self).map(|(_, text)| text);
        Some(json!({
            "id": self,
            "name": self.name(),
            "help": self.key().and_then(latchstroke_scenario::catalogue::entry).map(|(_, entry)| entry.help),
            "told": self.told(si, &base.units, scale.unit),
            "typed": moved,
            "place": ((value - scale.low) / scale.step).round().clamp(0.0, f64::from(scale.last)),
            "last": scale.last,
            "low": scale.low,
            "step": scale.step,
            "decimals": decimals(scale.step, 6).max(0),
            "unit": scale.unit.typeable(),
            "least": self.told(scale.unit.to_si(scale.at(0.0)), &base.units, scale.unit),
            "most": self.told(scale.unit.to_si(scale.at(f64::from(scale.last))), &base.units, scale.unit),
        }))
    }
}

/// Every dial of a setting whose machine is ready.
pub fn all(base: &Base, (opened, machine): (&Opened, &Machine), setting: &Setting) -> Vec<Value> {
    let of = Of::opened(opened, machine);
    Dial::VARIANTS.iter().filter_map(|dial| dial.json(base, of, setting)).collect()
}

/// A round step near `about`: 1, 2 or 5 times a power of ten; of inches along a rule a sixty-fourth.
fn step(about: f64, unit: &Unit) -> f64 {
    if unit.symbol == "in" && about > 1.0 / 256.0 {
        return 1.0 / 64.0;
    }
    let power = 10.0_f64.powf(about.log10().floor());
    let of = [1.0, 2.0, 5.0, 10.0].map(|of| of * power);
    of.into_iter().find(|step| *step >= about * (1.0 - 1e-9)).unwrap_or(power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_steps_are_round() {
        let mm = Dimension::Length.find("mm").expect("a unit");
        let inch = Dimension::Length.find("in").expect("a unit");
        assert!((step(0.13, mm) - 0.2).abs() < 1e-12);
        assert!((step(0.05, mm) - 0.05).abs() < 1e-12);
        assert!((step(7.0, mm) - 10.0).abs() < 1e-12);
        assert!((step(0.012, inch) - 0.015625).abs() < 1e-12);
    }
}
