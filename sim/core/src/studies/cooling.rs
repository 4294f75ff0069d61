//! How fast the machine may turn for the type to be solid through its middle before the mould opens.
//!
//! The clock starts as the mould is full, all of the metal still at the pot's temperature. The type then cools against the
//! mould's wall through its heat transfer: as half the lesser of body and set, solved by [`Slab`], or as the whole
//! cross-section of body by set, solved by [`Section`], whichever the mould's [`Freezing`] says. The mould stays shut for the
//! angle α of the main shaft, so with the middle solid after t_s the fastest pace is n = α/(2π·t_s) turns/s.
//!
//! A slab is on the slow side: a square sort loses heat through all four sides. Where the interface rules, it is solid in half
//! the slab's time, V/A being halved; with type metal at 12 kW/(m²·K) it takes 0.56 of that time at 6 points and
//! 0.61 at 36, and may be cast so much faster, by 1.8 to 1.6. A sort twice as wide as its body takes 0.83 to 0.93, and one four
//! times as wide all of it. On the fast side, either way: the casting stays against the wall (no gap opens), and the metal is
//! solid in its middle but no colder.

use super::judge::PACES;
use crate::roots::crossing;
use latchstroke_models::fault::Fault;
use latchstroke_models::freezing::interface::Interface;
use latchstroke_models::freezing::section::{Section, SectionResolution};
use latchstroke_models::freezing::slab::{End, Slab, Walls};
use latchstroke_models::freezing::substance::Substance;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::{Freezing, Sort, WallStatement};
use latchstroke_models::units::{Angle, Pace};
use std::f64::consts::TAU;

/// The coarsest section whose time is within 1 % of a fine one's, from 6 to 72 points; see the test of it.
const SECTION: SectionResolution =
    SectionResolution { cells_across_body: 10, cells_across_set: 10, growth: 1.1 };

/// How closely a pace is found where the wall's temperature follows from it, as a share of the pace.
const CLOSENESS: f64 = 1e-4;

/// How a sort cools in the shut mould.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooling {
    /// t_s, s: from mould full until the middle is at its solidus.
    pub time: f64,
    /// The fastest pace at which the mould stays shut that long, turns/s.
    pub pace: f64,
    /// Ejection temperature at that pace, K: the mean of the type as its middle has become solid and the mould opens.
    pub ejection: f64,
}

/// Cooling of the sort a machine is prepared for, at the wall temperature it is prepared with, the mould staying `shut` for an
/// angle of the main shaft from mould full.
///
/// None where the middle is still not solid at the slowest of [`PACES`].
///
/// # Errors
/// The faults of the slab or section; a machine that was prepared has none.
pub fn cooling(machine: &Machine, shut: Angle) -> Result<Option<Cooling>, Vec<Fault>> {
    let share = shut.0 / TAU;
    let solid = solid(machine, machine.mould.wall_temperature, share / PACES.0)?;
    Ok(solid.map(|(time, ejection)| Cooling { time, pace: share / time, ejection }))
}

/// t_s, s, of the sort a machine is prepared for against walls at `wall` (K); none where it takes longer than `give_up` (s).
///
/// # Errors
/// The faults of the slab or section.
pub fn solid_after(machine: &Machine, wall: f64, give_up: f64) -> Result<Option<f64>, Vec<Fault>> {
    Ok(solid(machine, wall, give_up)?.map(|(time, _)| time))
}

/// t_s, s, and the mean temperature of the type by then, K.
fn solid(machine: &Machine, wall: f64, give_up: f64) -> Result<Option<(f64, f64)>, Vec<Fault>> {
    let mould = &machine.mould;
    let metal = Substance::of_metal(&machine.metal);
    let poured = metal.curve().greatest_heat(machine.metal.pot_temperature);
    let walls = Walls { temperature: wall, interface: Interface::Constant(mould.heat_transfer) };
    let (body, set) = (0.5 * mould.body, 0.5 * mould.set);
    let (share, end) = (machine.metal.sealing_fraction, End::MiddleSolid { give_up });
    let course = match mould.freezing {
        Freezing::Slab => Slab::new(metal, walls, body.min(set))?.course(|_| poured, share, end),
        Freezing::Section => {
            Section::with_resolution(metal, walls, body, set, SECTION)?.course(|_, _| poured, share, end)
        }
    };
    Ok(course.middle_solid.and_then(|time| Some((time, course.at(time)?.mean_temperature))))
}

/// Cooling of a sort at the fastest pace that leaves it solid through its middle.
///
/// Where water cools the mould, its temperature rises with the pace ([`latchstroke_models::cooling_water::Balance`]), the
/// time to a solid middle with it, and the time for which the mould stays shut falls: one pace divides those that leave the
/// type solid from those that do not, and it is found as the root of ln(α/(2π·n·t_s(n))). A type still solid at the fastest of
/// [`PACES`] has that for its pace.
///
/// None where the middle is still not solid at the slowest of [`PACES`].
///
/// # Errors
/// The faults of the statement.
pub fn fastest_solid(
    stated: &MachineStatement,
    sort: Sort,
    shut: Angle,
) -> Result<Option<Cooling>, Vec<Fault>> {
    let at = |pace: f64| cooling(&Machine::prepare(stated, sort, Pace(pace), LatchSetting::Aside)?, shut);
    let slowest = at(PACES.0)?;
    if matches!(stated.mould.wall, WallStatement::Temperature(_)) {
        return Ok(slowest);
    }
    // A mould that settles too hot to freeze anything is a fault, and lets nothing become solid.
    let at = |pace: f64| at(pace).ok().flatten();
    let slack = |pace: f64| at(pace).map_or(-1.0, |cooling| (cooling.pace / pace).ln());
    if slowest.is_none_or(|cooling| cooling.pace < PACES.0) {
        return Ok(None);
    }
    // From the fast end to the slow, so that the answer lies where the type is solid.
    let pace =
        crossing(|log| slack(log.exp()), PACES.1.ln(), PACES.0.ln(), CLOSENESS).map_or(PACES.1, f64::exp);
    Ok(at(pace).map(|cooling| Cooling { pace, ..cooling }))
}
