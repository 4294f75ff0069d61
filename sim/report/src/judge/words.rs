//! What may be changed, by name, and the values at which the answer changes, to be read and to be typed.

use crate::owner::{Outward, OwnerUnits, outward, rounded};
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_core::studies::remedy::{Change, Flip, Remedy};
use latchstroke_core::{Machine, MachineStatement};
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::latch::TripStatement;
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::MouldStatement;
use latchstroke_models::mould::WallStatement;
use latchstroke_models::spring::PreloadStatement;
use latchstroke_models::vent::VentStatement;
use latchstroke_scenario::Unit;
use latchstroke_scenario::key;

/// The name of what may be changed.
pub fn change(change: Change) -> &'static str {
    match change {
        Change::Pace => "pace",
        Change::Sleeve => "sleeve",
        Change::TripLift => "trip lift",
        Change::Preload => "preload",
        Change::PotTemperature => "pot",
        Change::WallTemperature => "mould wall",
        Change::AcceptedSkin => "accepted skin",
        Change::VentGap => "vent gap",
        Change::VentArea => "vent area",
        Change::HoldDown => "hold-down",
    }
}

/// The unit in which it is told.
pub fn unit(of: Change, units: &OwnerUnits) -> &'static Unit {
    match of {
        Change::Pace => units.pace,
        Change::Sleeve => units.rod,
        Change::TripLift => units.lift,
        Change::Preload | Change::HoldDown => units.force,
        Change::PotTemperature | Change::WallTemperature => units.temperature,
        Change::AcceptedSkin => units.skin,
        Change::VentGap => units.fine,
        Change::VentArea => units.area,
    }
}

/// A value of what may be changed, in the owner's units.
pub(crate) fn value(of: Change, si: f64, units: &OwnerUnits) -> String {
    rounded(unit(of, units), si, 3)
}

/// Where the answer changes, rounded away from the present value, so that it still changes there when typed in.
pub(crate) fn beyond(remedy: &Remedy, flip: Flip, units: &OwnerUnits) -> Outward {
    outward(unit(remedy.change, units), flip.value, remedy.now, remedy.tried, 3)
}

/// What to change and to what: "pot above 361 °C"; "a sleeve of 2.61 in with an extension to match".
pub(crate) fn proposal(remedy: &Remedy, flip: Flip, stated: &MachineStatement, units: &OwnerUnits) -> String {
    let to = beyond(remedy, flip, units);
    if remedy.change != Change::Sleeve {
        let side = if flip.value < remedy.now { "below" } else { "above" };
        return format!("{} {side} {}", change(remedy.change), to.text);
    }
    let by = rounded(units.rod, (to.si - remedy.now).abs(), 2);
    let way = if to.si < remedy.now { "shorter" } else { "longer" };
    let extension = stated.abutment.extension.0;
    match () {
        () if remedy.now > 0.0 && extension > 0.0 => {
            format!("a sleeve of {}, {way} by {by}, and the extension {way} by as much", to.text)
        }
        () if extension > 0.0 => format!("a sleeve of {}, and the extension longer by as much", to.text),
        () => format!("a sleeve of {} with an extension to match", to.text),
    }
}

/// What to type behind a command for it.
pub(crate) fn typed(
    remedy: &Remedy,
    flip: Flip,
    (stated, machine): (&MachineStatement, &Machine),
    units: &OwnerUnits,
) -> Vec<String> {
    let to = beyond(remedy, flip, units);
    let key = match remedy.change {
        Change::Pace => return vec!["--pace".to_owned(), to.typed],
        Change::Sleeve => {
            return set(sleeve((to.si, &to.typed), stated, units));
        }
        Change::Preload => return set(preload(to.si - remedy.now, stated, machine)),
        Change::TripLift => key!(TripStatement::Lift, 0),
        Change::PotTemperature => key!(MetalStatement, pot_temperature),
        Change::WallTemperature => key!(WallStatement::Temperature, 0),
        Change::AcceptedSkin => key!(Acceptance, skin),
        Change::VentGap => key!(VentStatement::Slit, gap),
        Change::VentArea => key!(VentStatement::Area, 0),
        Change::HoldDown => key!(MouldStatement, hold_down),
    };
    set([format!("{key}={}", to.typed)])
}

fn set(values: impl IntoIterator<Item = String>) -> Vec<String> {
    values.into_iter().flat_map(|value| ["--set".to_owned(), value]).collect()
}

/// A sleeve of another length (m, and as typed), its extension longer by as much, as values to put in place.
pub fn sleeve((to, typed): (f64, &str), stated: &MachineStatement, units: &OwnerUnits) -> [String; 2] {
    let extension = (stated.abutment.extension.0 + to - stated.abutment.sleeve.0).max(0.0);
    [
        format!("{}={typed}", key!(AbutmentStatement, sleeve)),
        format!(
            "{}={} {}",
            key!(AbutmentStatement, extension),
            units.rod.from_si(extension),
            units.rod.typeable()
        ),
    ]
}

/// A preload greater by `more` (N), as values to put in place, as the nut gives it: by its turns, or else by the gap, and of
/// springs stated by force.
pub fn preload(more: f64, stated: &MachineStatement, machine: &Machine) -> Vec<String> {
    let squeeze = more / machine.springs.iter().map(|spring| spring.rate).sum::<f64>();
    let mut all = Vec::new();
    let abutment = &stated.abutment;
    if stated.springs.iter().any(|spring| spring.preload == PreloadStatement::Gap) {
        match (abutment.thread_pitch, abutment.bare_gap) {
            (Some(pitch), _) => {
                all.push(format!(
                    "{}={}",
                    key!(AbutmentStatement, nut_turns),
                    abutment.nut_turns + squeeze / pitch.0
                ));
            }
            (None, Some(gap)) => {
                all.push(format!("{}={} m", key!(AbutmentStatement, bare_gap), gap.0 - squeeze));
            }
            (None, None) => {}
        }
    }
    for (n, (spring, prepared)) in stated.springs.iter().zip(&machine.springs).enumerate() {
        if let PreloadStatement::Force(force) = spring.preload {
            all.push(format!("spring[{}].preload={} N", n + 1, force.0 + prepared.rate * squeeze));
        }
    }
    all
}
