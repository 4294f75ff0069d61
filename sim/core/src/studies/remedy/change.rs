//! The things that may be changed, one at a time.

use crate::studies::judge::{Cast, PACES, Terms};
use latchstroke_models::latch::TripStatement;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::WallStatement;
use latchstroke_models::spring::PreloadStatement;
use latchstroke_models::units::{Area, Force, Length, Pace, Temperature};
use latchstroke_models::vent::VentStatement;
use strum::VariantArray;

/// What may be changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum Change {
    /// The pace.
    Pace,
    /// The sleeve, and the rod's extension with it by as much.
    Sleeve,
    /// The lift at which the latch lets go, where it was read directly and no sleeve is known.
    TripLift,
    /// The springs' force at rest.
    Preload,
    /// The temperature of the pot.
    PotTemperature,
    /// The temperature of the mould's wall.
    WallTemperature,
    /// The skin that the caster accepts.
    AcceptedSkin,
    /// The thickness of a vent stated as a slit.
    VentGap,
    /// The area of a vent stated as one.
    VentArea,
    /// The force that holds the matrix down.
    HoldDown,
}

/// The least and greatest preload tried, as multiples of the present one.
const PRELOADS: (f64, f64) = (0.1, 4.0);
/// The least and greatest trip lift tried, as shares of the cam's lift.
const TRIPS: (f64, f64) = (0.05, 0.97);
/// The hottest pot tried, K: 430 °C. Common practice, no source: hotter metal drosses and fumes.
const HOTTEST_POT: f64 = 430.0 + 273.15;
/// The coldest wall tried, K: 10 °C, as cold as tap water comes.
const COLDEST_WALL: f64 = 10.0 + 273.15;
/// The hottest wall tried, K: 230 °C; and how far below the solidus it must stay.
const HOTTEST_WALL: (f64, f64) = (230.0 + 273.15, 5.0);
/// The least and greatest hold-down tried, as multiples of the present one.
const HOLD_DOWNS: (f64, f64) = (0.1, 10.0);
/// The thinnest and thickest skin tried, as multiples of the one accepted.
const SKINS: (f64, f64) = (0.05, 10.0);
/// The least and greatest vent tried, as multiples of the present one.
const VENTS: (f64, f64) = (0.1, 10.0);

/// Rate of all springs together, N/m.
fn nest_rate(machine: &Machine) -> f64 {
    machine.springs.iter().map(|spring| spring.rate).sum()
}

impl Change {
    /// Every change, in the order an owner would try them.
    pub const ALL: &'static [Self] = Self::VARIANTS;

    /// Whether it changes how the metal cools in the mould, and so the pace at which a size is cast.
    pub(super) fn changes_cooling(self) -> bool {
        matches!(self, Self::PotTemperature | Self::WallTemperature)
    }

    /// Whether it leaves the turn as it is: only what is asked of it changes.
    pub(super) fn touches_no_turn(self) -> bool {
        matches!(self, Self::AcceptedSkin | Self::HoldDown)
    }

    /// Whether it does nothing where the latch stands aside.
    pub(super) fn is_of_latch(self) -> bool {
        matches!(self, Self::Sleeve | Self::TripLift)
    }

    /// Whether it is searched by ratio rather than by difference.
    pub(super) fn by_ratio(self) -> bool {
        !matches!(self, Self::PotTemperature | Self::WallTemperature | Self::TripLift | Self::Sleeve)
    }

    /// How closely a value is found, as a share of the way to the end of its range. The accepted skin needs no turns, and the
    /// pace is told elsewhere too.
    pub(super) fn closeness(self) -> f64 {
        match self {
            Self::AcceptedSkin => 1e-6,
            Self::Pace => 5e-4,
            _ => 2e-3,
        }
    }

    /// The value now, SI; none where the machine has no such thing, or nothing of it.
    pub(super) fn now(
        self,
        stated: &MachineStatement,
        machine: &Machine,
        cast: Cast,
        terms: &Terms,
    ) -> Option<f64> {
        let value = match (self, &stated.mould.vent) {
            (Self::Pace, _) => cast.pace.0,
            (Self::Sleeve, _) => {
                // A sleeve that is missing is one of no length.
                return machine.latch.clearance.map(|_| machine.abutment.sleeve);
            }
            (Self::TripLift, _) => {
                return machine.latch.clearance.is_none().then_some(machine.latch.trip_lift);
            }
            (Self::Preload, _) => machine.preload(),
            (Self::PotTemperature, _) => machine.metal.pot_temperature,
            // Where the water sets the wall's temperature, it is not the owner's to change by itself.
            (Self::WallTemperature, _) if matches!(stated.mould.wall, WallStatement::Cooled(_)) => {
                return None;
            }
            (Self::WallTemperature, _) => machine.mould.wall_temperature,
            (Self::AcceptedSkin, _) => terms.acceptance.skin,
            (Self::VentGap, VentStatement::Slit { gap, .. }) => gap.0,
            (Self::VentArea, VentStatement::Area(area)) => area.0,
            (Self::VentGap | Self::VentArea, _) => return None,
            (Self::HoldDown, _) => machine.mould.hold_down?,
        };
        (value > 0.0).then_some(value)
    }

    /// The values tried, least and greatest, SI.
    pub(super) fn range(self, machine: &Machine, now: f64) -> (f64, f64) {
        let times = |(least, most): (f64, f64)| (least * now, most * now);
        let (least, most) = match self {
            Self::Pace => PACES,
            Self::Sleeve => {
                // From the sleeve that trips at the end of the lift to the one that no longer holds.
                let longest = now + machine.latch.clearance.unwrap_or(0.0);
                let travel = machine.latch.trip_lift - machine.latch.clearance.unwrap_or(0.0);
                ((longest + travel - TRIPS.1 * machine.cam.lift()).max(0.0), longest)
            }
            Self::TripLift => (TRIPS.0 * machine.cam.lift(), TRIPS.1 * machine.cam.lift()),
            Self::Preload => {
                let (least, most) = times(PRELOADS);
                let rate = nest_rate(machine);
                // Tightened further than this the coils touch at rest; eased further, the first of them lies loose.
                let squeeze = machine.springs.iter().map(|spring| spring.rest_squeeze).reduce(f64::min);
                let eased = squeeze.map_or(0.0, |squeeze| rate * squeeze.max(0.0));
                let most = machine.coil_room().map_or(most, |room| most.min(now + rate * room.max(0.0)));
                (least.max(now - eased), most)
            }
            Self::PotTemperature => (machine.metal.liquidus, HOTTEST_POT),
            Self::WallTemperature => {
                (COLDEST_WALL, HOTTEST_WALL.0.min(machine.metal.solidus - HOTTEST_WALL.1))
            }
            Self::AcceptedSkin => times(SKINS),
            Self::VentGap | Self::VentArea => times(VENTS),
            Self::HoldDown => times(HOLD_DOWNS),
        };
        // A metal that melts above the hottest pot tried leaves no range.
        (least, most.max(least))
    }

    /// The machine, pace and terms with `value` in place.
    pub(super) fn apply(
        self,
        stated: &MachineStatement,
        machine: &Machine,
        cast: Cast,
        terms: &Terms,
        value: f64,
    ) -> (MachineStatement, Cast, Terms) {
        let (mut stated, mut cast, mut terms) = (stated.clone(), cast, *terms);
        match self {
            Self::Pace => cast.pace = Pace(value),
            Self::Sleeve => {
                let longer = value - machine.abutment.sleeve;
                stated.abutment.sleeve = Length(value);
                stated.abutment.extension = Length((stated.abutment.extension.0 + longer).max(0.0));
            }
            Self::TripLift => stated.latch.trip = TripStatement::Lift(Length(value)),
            Self::Preload => {
                // As the nut does it: every spring is squeezed by as much more.
                let more = (value - machine.preload()) / nest_rate(machine);
                if let Some(gap) = &mut stated.abutment.bare_gap {
                    gap.0 -= more;
                }
                for (spring, prepared) in stated.springs.iter_mut().zip(&machine.springs) {
                    if let PreloadStatement::Force(force) = &mut spring.preload {
                        *force = Force(force.0 + prepared.rate * more);
                    }
                }
            }
            Self::PotTemperature => stated.metal = stated.metal.at_pot(value),
            Self::WallTemperature => {
                stated.mould.wall = WallStatement::Temperature(Temperature(value));
            }
            Self::AcceptedSkin => terms.acceptance.skin = value,
            Self::VentGap => {
                if let VentStatement::Slit { gap, .. } = &mut stated.mould.vent {
                    *gap = Length(value);
                }
            }
            Self::VentArea => stated.mould.vent = VentStatement::Area(Area(value)),
            Self::HoldDown => stated.mould.hold_down = Some(Force(value)),
        }
        (stated, cast, terms)
    }
}
