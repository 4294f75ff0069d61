//! The assembly: a whole machine stated by its owner, prepared for one sort, pace and latch setting, and its equations.

mod demo;

use crate::abutment::{Abutment, AbutmentStatement};
use crate::air::ATMOSPHERE;
use crate::cam::{Cam, CamStatement, Motion};
use crate::contact::Touch;
use crate::cross_block::{CrossBlock, CrossBlockStatement};
use crate::fault::{Fault, Faults};
use crate::field;
use crate::latch::{Latch, LatchSetting, LatchStatement};
use crate::metal::{Metal, MetalStatement};
use crate::mode::{Mode, MouldMode, Ringing, RodMode, WellMode};
use crate::mould::{FULL, Mould, MouldStatement, Sort};
use crate::nozzle::{Nozzle, NozzleStatement};
use crate::piston::{Piston, PistonStatement};
use crate::rod::{LeverStatement, Rod, RodStatement};
use crate::spring::{Spring, SpringStatement, nest};
use crate::state::{STATE_SIZE, Scales, State, place};
use crate::units::Pace;
use crate::well::{Well, WellStatement};
use std::f64::consts::TAU;

/// A machine as its owner states it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct MachineStatement {
    /// The cam.
    pub cam: CamStatement,
    /// The cross block and its train.
    pub cross_block: CrossBlockStatement,
    /// The nested springs, side by side.
    pub springs: Vec<SpringStatement>,
    /// Sleeve, extension, nut and prong clearance.
    pub abutment: AbutmentStatement,
    /// The latch.
    pub latch: LatchStatement,
    /// The spring rod.
    pub rod: RodStatement,
    /// The pump lever.
    pub lever: LeverStatement,
    /// The piston.
    pub piston: PistonStatement,
    /// The well.
    pub well: WellStatement,
    /// Channel and nozzle.
    pub nozzle: NozzleStatement,
    /// The mould.
    pub mould: MouldStatement,
    /// The metal.
    pub metal: MetalStatement,
}

/// A machine prepared for one cast: plain SI numbers, fixed for the turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// The cam.
    pub cam: Cam,
    /// The cross block and its train.
    pub cross_block: CrossBlock,
    /// The nested springs.
    pub springs: Vec<Spring>,
    /// Sleeve, extension, nut and prong clearance.
    pub abutment: Abutment,
    /// The latch.
    pub latch: Latch,
    /// Rod and lever.
    pub rod: Rod,
    /// The piston.
    pub piston: Piston,
    /// The well.
    pub well: Well,
    /// Channel and nozzle.
    pub nozzle: Nozzle,
    /// The mould cavity for the sort.
    pub mould: Mould,
    /// The metal.
    pub metal: Metal,
    /// ω, rad/s.
    pub shaft_speed: f64,
    /// Whether the latch is set.
    pub setting: LatchSetting,
    /// x at rest, m: the shoulder gives a little under the preload.
    pub rod_rest: f64,
}

/// Forces, flows and pressures at one instant, all SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loads {
    /// y_c, m.
    pub cam_lift: f64,
    /// dy_c/dθ, m/rad.
    pub cam_slope: f64,
    /// ẏ_c, m/s.
    pub cam_speed: f64,
    /// F_cam, N.
    pub cam: f64,
    /// F_r, N.
    pub return_spring: f64,
    /// F_s, N.
    pub spring: f64,
    /// F_stop, N.
    pub stop: f64,
    /// F_c·tanh(ẋ/v_s), N.
    pub dry_friction: f64,
    /// c_v·ẋ, N.
    pub drag: f64,
    /// p, Pa gauge.
    pub well_pressure: f64,
    /// i·A_p·p, N.
    pub piston: f64,
    /// Q_leak, m³/s.
    pub leak: f64,
    /// p_cav, Pa gauge.
    pub cavity_pressure: f64,
    /// Pressure lost in the nozzle, Pa.
    pub nozzle_loss: f64,
    /// Air through the vents, kg/s outwards.
    pub vent: f64,
    /// h_eff·A_w/V·(T − T_w), W/m³: heat that each cubic metre of metal in the mould gives its walls.
    pub cooling: f64,
    /// Heat to the mould's walls, W.
    pub wall_heat: f64,
    /// i·A_p·ẋ, m³/s: what the piston sweeps.
    pub swept: f64,
    /// Q, m³/s; nothing while the inlet is open or the entry sealed.
    pub flow: f64,
}

impl Machine {
    /// Checks a statement and works out every constant for a sort at a pace.
    ///
    /// # Errors
    /// Every fault of the statement at once.
    pub fn prepare(
        stated: &MachineStatement,
        sort: Sort,
        pace: Pace,
        setting: LatchSetting,
    ) -> Result<Self, Vec<Fault>> {
        let mut faults = Faults::default();
        let cam = Cam::prepare(&stated.cam, &mut faults);
        let cross_block = CrossBlock::prepare(&stated.cross_block, &mut faults);
        let abutment = Abutment::prepare(&stated.abutment, &mut faults);
        if stated.springs.is_empty() {
            faults.add(
                field!(MachineStatement, springs),
                "the machine has no spring",
                "give one spring or more",
            );
        }
        let springs = nest(&stated.springs, abutment.gap, &mut faults);
        let latch = Latch::prepare(&stated.latch, &abutment, &mut faults);
        let metal = Metal::prepare(&stated.metal, &mut faults);
        let piston = Piston::prepare(&stated.piston, metal.viscosity, &mut faults);
        let spring_mass: f64 = springs.iter().map(|s| s.mass).sum();
        let rod =
            Rod::prepare(&stated.rod, &stated.lever, spring_mass, piston.mass, cross_block.mass, &mut faults);
        let well = Well::prepare(&stated.well, &mut faults);
        let nozzle = Nozzle::prepare(&stated.nozzle, metal.density, metal.viscosity, &mut faults);
        let mould = Mould::prepare(&stated.mould, sort, pace, &metal, well.bulk_modulus, &mut faults);
        let shaft_speed = TAU * faults.positive(field!(Pace, 0), pace.0);
        let mut machine = Self {
            cam,
            cross_block,
            springs,
            abutment,
            latch,
            rod,
            piston,
            well,
            nozzle,
            mould,
            metal,
            shaft_speed,
            setting,
            rod_rest: 0.0,
        };
        // The shoulder gives by δ until k_st·δ is the springs' force, which falls a little with δ too.
        let rate: f64 = machine.springs.iter().map(|s| s.rate).sum();
        let give = machine.preload() / (machine.rod.stop.stiffness + rate);
        machine.rod_rest = machine.cross_block.rest_lift() + give;
        faults.settle(machine)
    }

    /// The springs' force at rest, N.
    pub fn preload(&self) -> f64 {
        self.spring_force(0.0)
    }

    /// F_s, N, with the abutment `closing` = y − x (m) nearer to the nut than with the shoulder just touching.
    pub fn spring_force(&self, closing: f64) -> f64 {
        self.springs.iter().map(|s| s.force(closing)).sum()
    }

    /// Energy held in the springs, J, at the same `closing` (m).
    pub fn spring_energy(&self, closing: f64) -> f64 {
        self.springs.iter().map(|s| s.energy(closing)).sum()
    }

    /// How much further the springs can close from rest before the coils of the first of them touch, m, where known.
    pub fn coil_room(&self) -> Option<f64> {
        self.springs.iter().filter_map(Spring::room).reduce(f64::min)
    }

    /// z = i·x: travel of the piston, m.
    pub fn piston_travel(&self, state: &State) -> f64 {
        self.rod.ratio * state.rod_lift
    }

    /// p, Pa gauge: pressure in the well. `feeding` is i·A_p·ẋ − Q, m³/s: what presses the metal while none slips by.
    pub(crate) fn well_pressure(&self, state: &State, mode: Mode, feeding: f64) -> f64 {
        match (mode.well, mode.ringing) {
            (WellMode::PortOpen, _) => 0.0,
            (WellMode::Closed, Ringing::Followed) => self.well.stiffness() * state.pressed,
            (WellMode::Closed, Ringing::Damped) => {
                // p = S·σ + R·dσ/dt with dσ/dt = feeding − λ·p; damping pulls no harder on metal than it bears.
                let resistance = self.well_resistance();
                let damped = (self.well.stiffness() * state.pressed + resistance * feeding)
                    / (1.0 + self.piston.leakage * resistance);
                if self.well.parting_volume().is_some() { damped.max(-ATMOSPHERE) } else { damped }
            }
            (WellMode::Parted, _) => -ATMOSPHERE,
        }
    }

    /// p_cav, Pa gauge: that of the air, of the metal once it packs, and of the damping of its ringing, which pulls no harder than
    /// metal bears.
    pub(crate) fn cavity_pressure(&self, state: &State, mode: Mode) -> f64 {
        let inside = self.mould.metal_inside(state.past_nozzle).max(0.0);
        self.cavity_pressure_over(inside, self.mould.air_pressure(state.air_mass, inside), state, mode)
    }

    /// The same with `inside` (m³) of metal and the air's absolute pressure (Pa) over it known.
    fn cavity_pressure_over(&self, inside: f64, air_pressure: f64, state: &State, mode: Mode) -> f64 {
        let air = air_pressure - ATMOSPHERE;
        match mode.mould {
            MouldMode::Empty => 0.0,
            MouldMode::Filling | MouldMode::Emptied => air,
            MouldMode::Packed | MouldMode::Sealed => {
                let packed = air + self.mould.packing_pressure(inside);
                (packed + self.mould_damping(mode) * state.flow).max(-ATMOSPHERE)
            }
        }
    }

    /// Whether metal can flow between well and mould.
    pub fn flows(mode: Mode) -> bool {
        mode.well != WellMode::PortOpen && mode.mould != MouldMode::Sealed
    }

    /// Snap volume i·A_p·y_trip, m³: what the springs alone drive before the rod has caught up with the cross block.
    pub fn snap_volume(&self) -> f64 {
        self.rod.ratio * self.piston.area * self.latch.trip_lift
    }

    /// The state at the start of a turn: everything at rest, the mould full of air.
    pub fn rest_state(&self) -> State {
        State {
            block_lift: self.cross_block.rest_lift(),
            rod_lift: self.rod_rest,
            air_mass: self.mould.air_mass,
            ..State::default()
        }
    }

    /// The equations that hold at the start of a turn.
    pub fn rest_mode(&self) -> Mode {
        let held = self.setting == LatchSetting::Set && self.latch.can_hold();
        Mode {
            rod: if held { RodMode::Held } else { RodMode::Free },
            follower: Touch::Closed,
            shoulder: if self.preload() > 0.0 { Touch::Closed } else { Touch::Open },
            well: if self.piston.port_travel > 0.0 { WellMode::PortOpen } else { WellMode::Closed },
            mould: MouldMode::Empty,
            ringing: Ringing::Followed,
        }
    }

    /// The size of each kind of number in this machine's state.
    pub fn scales(&self) -> Scales {
        let lift = 0.1 * self.cam.lift();
        // A preload of one newton stands for none, so that loose springs leave a scale.
        let force = self.preload().max(1.0) + self.springs.iter().map(|s| s.rate).sum::<f64>() * lift;
        let pressure = force / (self.rod.ratio * self.piston.area);
        let speed = 0.1 * lift * (self.springs.iter().map(|s| s.rate).sum::<f64>() / self.rod.mass).sqrt();
        let mut sizes = [0.0; STATE_SIZE];
        sizes[place::SQUEEZE] = force / self.cross_block.train.stiffness;
        sizes[place::VY] = speed;
        sizes[place::DEPTH] = force / self.rod.stop.stiffness;
        sizes[place::VX] = speed;
        sizes[place::PRESSED] = pressure / self.well.stiffness();
        sizes[place::FLOW] = self.nozzle.area * (2.0 * pressure / self.metal.density).sqrt();
        sizes[place::PAST] = self.mould.volume;
        sizes[place::AIR] = self.mould.air_mass;
        sizes[place::HEAT] = self.metal.pot_heat;
        Scales::new(lift, sizes)
    }

    /// e = e_in − w: heat held by each kilogram of metal in the mould, J/kg.
    pub fn metal_heat(&self, state: &State) -> f64 {
        self.metal.pot_heat - state.heat_given
    }

    /// Every force, flow and pressure at shaft angle `theta` (rad).
    pub fn loads(&self, theta: f64, state: &State, mode: Mode) -> Loads {
        self.loads_on(self.cam.at(theta), state, mode)
    }

    /// The same with the cam where it is known to be.
    #[expect(clippy::inline_always, reason = "what a caller does not use is then not worked out")]
    #[inline(always)]
    pub fn loads_on(&self, cam: Motion, state: &State, mode: Mode) -> Loads {
        let cam_speed = cam.slope * self.shaft_speed;
        let depth = state.rod_lift - state.block_lift;
        let rod_speed = if mode.rod == RodMode::Held { 0.0 } else { state.rod_speed };
        let flow = if Self::flows(mode) { state.flow } else { 0.0 };
        let swept = self.rod.ratio * self.piston.area * rod_speed;
        let p = self.well_pressure(state, mode, swept - flow);
        let inside = self.mould.metal_inside(state.past_nozzle).max(0.0);
        let air_pressure = self.mould.air_pressure(state.air_mass, inside);
        let vent = match mode.mould {
            MouldMode::Filling | MouldMode::Emptied => self.mould.vent.flow(air_pressure),
            MouldMode::Empty | MouldMode::Packed | MouldMode::Sealed => 0.0,
        };
        let cooling = self.cooling(state, mode);
        Loads {
            cam_lift: cam.lift,
            cam_slope: cam.slope,
            cam_speed,
            cam: self.cross_block.cam_force(
                mode.follower,
                cam.lift - state.block_lift,
                cam_speed - state.block_speed,
            ),
            return_spring: self.cross_block.return_force(state.block_lift),
            spring: self.spring_force(-depth),
            stop: self.rod.stop.force(mode.shoulder, depth, state.rod_speed - state.block_speed),
            dry_friction: self.rod.dry_friction(state.rod_speed),
            drag: self.rod.drag * state.rod_speed,
            well_pressure: p,
            piston: self.rod.ratio * self.piston.area * p,
            leak: self.piston.leakage * p,
            cavity_pressure: self.cavity_pressure_over(inside, air_pressure, state, mode),
            nozzle_loss: self.nozzle.pressure_loss(state.flow),
            swept,
            flow,
            vent,
            cooling,
            wall_heat: cooling * inside,
        }
    }

    /// R_m, Pa·s/m³, while it acts; else nothing.
    pub(crate) fn mould_damping(&self, mode: Mode) -> f64 {
        match (mode.mould, mode.ringing) {
            (MouldMode::Packed, Ringing::Damped) => self.mould_resistance(),
            _ => 0.0,
        }
    }

    /// How fast fresh metal comes into the mould, as a share of the metal in it, 1/s.
    ///
    /// Metal that runs back out takes its own heat with it. And the little that goes to and fro at the entry of a full mould as it
    /// rings is one and the same: were it mixed in afresh at each swing, the ringing alone would keep a 12 point type liquid for a
    /// quarter longer. (What a full mould takes in for good as it packs is a hundredth of it.)
    pub(crate) fn freshening(&self, state: &State, mode: Mode) -> f64 {
        let fresh = mode.mould == MouldMode::Filling && Self::flows(mode) && state.flow > 0.0;
        let inside = self.mould.metal_inside(state.past_nozzle);
        if fresh && inside > LEAST_INSIDE * self.mould.volume { state.flow / inside } else { 0.0 }
    }

    /// Whether the interface coefficient is that of a full and packed mould.
    pub(crate) fn is_packed(&self, inside: f64, mode: Mode) -> bool {
        match mode.mould {
            MouldMode::Packed => true,
            MouldMode::Sealed => inside >= FULL * self.mould.volume,
            MouldMode::Empty | MouldMode::Emptied | MouldMode::Filling => false,
        }
    }

    /// h_eff·A_w/V·(T − T_w), W/m³: heat that each cubic metre of metal in the mould gives its walls, of which it wets its share.
    fn cooling(&self, state: &State, mode: Mode) -> f64 {
        if matches!(mode.mould, MouldMode::Empty | MouldMode::Emptied) {
            return 0.0;
        }
        let packed = self.is_packed(self.mould.metal_inside(state.past_nozzle), mode);
        let above = self.metal.temperature(self.metal_heat(state)) - self.mould.wall_temperature;
        self.mould.conductance(packed) / self.mould.volume * above
    }

    /// w' = q/(ρ·V_f) − w·(freshening), J/(kg·s), q the heat flow to the walls. From H' = ρ·Q·e_in − q for metal that comes in and
    /// H' = ρ·Q·e − q for metal that leaves; every term stays finite at V_f = 0, where w = 0 and fresh metal takes half of w'.
    #[inline]
    fn heat_rate(&self, loads: &Loads, state: &State, mode: Mode) -> f64 {
        let inside = self.mould.metal_inside(state.past_nozzle);
        let cooling = loads.cooling / self.metal.density;
        if mode.mould == MouldMode::Filling && inside <= LEAST_INSIDE * self.mould.volume {
            return 0.5 * cooling;
        }
        cooling - state.heat_given * self.freshening(state, mode)
    }

    /// The rate of change of the state at shaft angle `theta` (rad) under the equations of `mode`.
    pub fn rates(&self, theta: f64, state: &State, mode: Mode) -> State {
        self.rates_on(self.cam.at(theta), state, mode)
    }

    /// The same with the cam where it is known to be.
    pub fn rates_on(&self, cam: Motion, state: &State, mode: Mode) -> State {
        self.rates_under(&self.loads_on(cam, state, mode), state, mode)
    }

    /// The same with the loads known.
    #[expect(clippy::inline_always, reason = "what a caller does not use is then not worked out")]
    #[inline(always)]
    pub fn rates_under(&self, loads: &Loads, state: &State, mode: Mode) -> State {
        let block_acceleration =
            (loads.cam - loads.return_spring - loads.spring + loads.stop) / self.cross_block.mass;
        let (rod_velocity, rod_acceleration) = match mode.rod {
            RodMode::Held => (0.0, 0.0),
            RodMode::Free => {
                let push = loads.spring - loads.stop - loads.dry_friction - loads.drag - loads.piston;
                (state.rod_speed, push / self.rod.mass)
            }
        };
        State {
            block_lift: state.block_speed,
            block_speed: block_acceleration,
            rod_lift: rod_velocity,
            rod_speed: rod_acceleration,
            pressed: match mode.well {
                WellMode::Closed | WellMode::Parted => loads.swept - loads.flow - loads.leak,
                WellMode::PortOpen => 0.0,
            },
            flow: if Self::flows(mode) {
                (loads.well_pressure - loads.cavity_pressure - loads.nozzle_loss) / self.nozzle.inertance
            } else {
                0.0
            },
            past_nozzle: loads.flow,
            air_mass: -loads.vent,
            heat_given: self.heat_rate(loads, state, mode),
        }
    }
}

/// Share of the cavity that stands for "no metal yet".
const LEAST_INSIDE: f64 = 1e-9;

#[cfg(test)]
mod tests;
