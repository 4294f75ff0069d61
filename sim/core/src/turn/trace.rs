//! A turn written down instant by instant, for tables and charts.

use super::events::EventKind;
use super::leg::{Equations, Look};
use super::report::Turn;
use super::step::Step;
use latchstroke_models::freezing::skin::SkinGrowth;
use latchstroke_models::machine::Machine;
use latchstroke_models::mode::MouldMode;
use latchstroke_models::state::State;

/// One instant of a turn, SI; angles in rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instant {
    /// Time from the start of the turn, s.
    pub time: f64,
    /// Shaft angle, rad.
    pub angle: f64,
    /// Lift of the cam, m.
    pub cam_lift: f64,
    /// The state.
    pub state: State,
    /// Piston travel from rest, m.
    pub piston_travel: f64,
    /// Piston speed, m/s.
    pub piston_speed: f64,
    /// Pressure in the well, Pa gauge.
    pub well_pressure: f64,
    /// Force of the springs, N.
    pub spring_force: f64,
    /// Force of the cam, N.
    pub cam_force: f64,
    /// Force of the shoulder, N.
    pub stop_force: f64,
    /// Pressure in the mould, Pa gauge; zero once the entry has sealed.
    pub cavity_pressure: f64,
    /// Share of the mould that is filled.
    pub fill: f64,
    /// Enthalpy H of the metal in the mould, J, zero for solid at the solidus.
    pub heat: f64,
    /// Share of solid in the metal in the mould; zero before there is any.
    pub solid_fraction: f64,
    /// Skin on the wall where the metal came in first, m; once it has been written down ([`add_skin`]).
    pub skin: f64,
}

/// The finest angle between instants of a trace, rad.
const ANGLE_STEP: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// Writes down a step up to `end` (s), but for the skin; its start too where it is the first of its leg.
pub(super) fn write(
    trace: &mut Vec<Instant>,
    equations: &Equations<'_>,
    step: &Step,
    end: f64,
    is_first: bool,
) {
    let length = end - step.start;
    if length <= 0.0 {
        return;
    }
    let coarse = (length * equations.machine.shaft_speed / ANGLE_STEP).floor();
    let parts = (2..=100_u32).find(|&n| f64::from(n) > coarse).unwrap_or(100);
    for part in u32::from(!is_first)..=parts {
        let time = step.start + length * f64::from(part) / f64::from(parts);
        trace.push(instant(equations, &equations.look_in(step, time)));
    }
}

/// Writes down the skin, where the metal came in first, in turns with one mould that were written down: the latch has no say in how it
/// grows, so that it is solved once for both.
pub fn add_skin(machine: &Machine, turns: &mut [Turn]) {
    let entry = |turn: &Turn| turn.first(EventKind::EntryReached).map(|entry| entry.time);
    let lasts = |turn: &Turn| Some(turn.trace.last()?.time - entry(turn)?);
    let Some(longest) = turns.iter().filter_map(lasts).reduce(f64::max) else { return };
    let growth = SkinGrowth::solve(&machine.metal, &machine.mould, 0.0, longest);
    for turn in turns {
        let Some(entry) = entry(turn) else { continue };
        for instant in turn.trace.iter_mut().filter(|instant| instant.time > entry) {
            instant.skin = growth.depth(instant.time - entry);
        }
        if let Some(fill) = &mut turn.fill {
            fill.skin = Some(growth.depth(fill.time()));
        }
    }
}

fn instant(equations: &Equations<'_>, look: &Look) -> Instant {
    let machine = equations.machine;
    let Look { time, state, loads, .. } = look;
    let [well_pressure, cavity_pressure] = machine.metal_pressures(loads, state, equations.mode);
    let inside = machine.mould.metal_inside(state.past_nozzle).max(0.0);
    let heat = machine.metal.density * inside * machine.metal_heat(state);
    let in_mould = !matches!(equations.mode.mould, MouldMode::Empty | MouldMode::Emptied);
    Instant {
        time: *time,
        angle: equations.angle(*time),
        cam_lift: loads.cam_lift,
        state: *state,
        piston_travel: machine.piston_travel(state),
        piston_speed: machine.rod.ratio * state.rod_speed,
        well_pressure,
        spring_force: loads.spring,
        cam_force: loads.cam,
        stop_force: loads.stop,
        cavity_pressure: if equations.mode.mould == MouldMode::Sealed { 0.0 } else { cavity_pressure },
        fill: inside / machine.mould.volume,
        heat: if in_mould { heat } else { 0.0 },
        solid_fraction: if in_mould { machine.metal.solid_fraction(machine.metal_heat(state)) } else { 0.0 },
        skin: 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::demo;
    use crate::turn::{Accuracy, solve_traced};
    use latchstroke_models::latch::LatchSetting;

    #[test]
    fn a_turn_is_written_down_every_half_degree_and_tells_of_the_metal_in_the_mould() {
        let machine = demo(24.0, 0.4, LatchSetting::Aside);
        let mut turns = [solve_traced(&machine, Accuracy::default())];
        add_skin(&machine, &mut turns);
        let [turn] = turns;
        let widest = turn.trace.windows(2).map(|pair| pair[1].angle - pair[0].angle).fold(0.0, f64::max);
        assert!(widest <= ANGLE_STEP * (1.0 + 1e-9), "{}", widest.to_degrees());
        // No finer than it need be: half a degree, a step's own middle, and a leg's two ends.
        assert!(turn.trace.len() < 720 + 2 * turn.steps + turn.events.len(), "{}", turn.trace.len());
        let at = |kind| turn.first(kind).expect("an event of the turn").time;
        let (entry, sealed, fill) =
            (at(EventKind::EntryReached), at(EventKind::Sealed), turn.fill.expect("a fill"));
        // Nothing is in the mould before the metal is. Until it is full, the metal has the heat of the pot's but for what the walls could
        // take of a full mould at the pot's temperature. From then on it freezes: the entry seals at the share of solid that seals it, and
        // all of it is solid where none of its heat above the solidus is left.
        let (metal, mould) = (&machine.metal, &machine.mould);
        let most = mould.heat_transfer * mould.wetted_area * (metal.pot_temperature - mould.wall_temperature);
        let (mut filled, mut solid) = (0.0, 0.0);
        for instant in &turn.trace {
            if instant.time < entry - 1e-9 {
                assert!(instant.fill == 0.0 && instant.heat == 0.0 && instant.solid_fraction == 0.0);
                assert_eq!(instant.skin.to_bits(), 0.0_f64.to_bits());
            } else if instant.time > entry + 1e-9 && instant.time < fill.full {
                let lost = metal.density * mould.volume * instant.fill * metal.pot_heat - instant.heat;
                assert!((-1e-9..=most * (instant.time - entry)).contains(&lost), "{lost} J");
                assert!((filled..=0.98 + 1e-9).contains(&instant.fill), "{}", instant.fill);
            } else if instant.time > fill.full {
                assert!(instant.solid_fraction >= solid, "{}", instant.time);
                assert_eq!(
                    instant.solid_fraction >= metal.sealing_fraction,
                    instant.time >= sealed,
                    "{}",
                    instant.time
                );
                assert_eq!(instant.solid_fraction >= 1.0, instant.heat <= 0.0, "{}", instant.time);
            }
            (filled, solid) = (instant.fill, instant.solid_fraction);
        }
        assert!((0.98..0.99).contains(&filled) && solid >= 1.0, "{filled} {solid}");
        let after = turn.trace.iter().position(|instant| instant.time >= fill.full).expect("an instant");
        let (before, after) = (turn.trace[after - 1].skin, turn.trace[after].skin);
        let skin = fill.skin.expect("a skin");
        assert!(before <= skin && skin <= after && after > 0.0, "{before} {skin} {after}");
        // It grows without a jump while the mould fills.
        let filling = turn.trace.windows(2).filter(|pair| pair[1].time <= fill.full);
        let grows = filling.map(|pair| pair[1].skin - pair[0].skin);
        assert!(grows.clone().all(|by| (0.0..0.1 * skin).contains(&by)), "{}", grows.fold(0.0, f64::max));
    }
}
