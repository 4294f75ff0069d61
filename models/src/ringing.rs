//! The ringing of a full or sealed mould, and the damping that takes it out.
//!
//! A thrown rod stops within milliseconds as the mould becomes full. Then the rod swings on the metal of the well, and the column
//! in the nozzle on that of the mould, for a tenth of a second and longer: next to nothing in the machine damps them. The first
//! swings make the peak pressures. The later ones only make a solver take short steps, so they are damped out:
//!
//! p = S_w·σ + R_w·dσ/dt, p_cav = … + R_m·Q, with S_w = β/V_well, R_w = 2·√(m_r/(i·A_p)²·S_w), S_m = β/V, R_m = 2·√(I·S_m).
//!
//! Each is what just keeps its mass from swinging on its spring (critical damping). Both act on a *relative* motion, metal being
//! squeezed, which is nothing in the steady creep of a rod that feeds the slip past the piston: the pressure that lasts is
//! therefore the one the machine has without them. A drag on the rod itself would carry a share of the springs' force for ever.
//!
//! So that they change nothing else either, the swings are followed for as long as they are more than small: while the cam still
//! drives the rod, after every blow (metal parts or meets, the shoulder parts or strikes), and while the rod turns back in its
//! swing. A rod that turns its dry friction to and fro shakes it off, which is worth up to F_c of its load; once it only creeps
//! faster and slower, the friction is the same all the while and the machine is linear. And while the cam squeezes the springs
//! further, a swing may yet come to stand higher than the first of them did ([`Swing`]).

use crate::machine::{Loads, Machine};
use crate::mode::{Mode, Ringing};
use crate::rod::Rod;
use crate::state::State;
use std::f64::consts::TAU;

/// For how many of the machine's own periods the ringing is followed before it is damped.
pub const FOLLOWED_PERIODS: f64 = 1.0;

impl Machine {
    /// m_r/(i·A_p)², kg/m⁴: the rod's mass as the metal in the well feels it.
    fn rod_inertance(&self) -> f64 {
        let area = self.rod.ratio * self.piston.area;
        self.rod.mass / (area * area)
    }

    /// R_w, Pa·s/m³: what keeps the rod from swinging on the metal of the well.
    pub fn well_resistance(&self) -> f64 {
        2.0 * (self.rod_inertance() * self.well.stiffness()).sqrt()
    }

    /// R_m, Pa·s/m³: what keeps the column in the nozzle from swinging on the metal of the mould.
    pub fn mould_resistance(&self) -> f64 {
        2.0 * (self.nozzle.inertance * self.mould.packing_stiffness()).sqrt()
    }

    /// Time, s, of one swing of rod and column on the metal of well and mould in line: the slowest swing there is.
    pub fn ringing_period(&self) -> f64 {
        let (well, mould) = (self.well.stiffness(), self.mould.packing_stiffness());
        TAU * ((self.rod_inertance() + self.nozzle.inertance) * (well + mould) / (well * mould)).sqrt()
    }

    /// By how much, Pa, the springs can still raise the pressure in a full mould while the cam goes up from shaft angle `angle` (rad): the
    /// cross block following it, and the rod standing still meanwhile. Nothing once the cam is up. (Dry friction that turns about may
    /// raise it too; a swing that does that to it is followed for that reason.)
    fn pressure_to_come(&self, angle: f64, state: &State) -> f64 {
        if angle >= self.cam.fall_start() {
            return 0.0;
        }
        let closing = state.block_lift - state.rod_lift;
        let to_climb = self.cam.lift() - self.cam.at(angle).lift;
        let rise = self.spring_force(closing + to_climb) - self.spring_force(closing);
        rise / (self.rod.ratio * self.piston.area)
    }

    /// The pressures of the metal in well and mould, Pa gauge: those of `loads` without what the damping of the ringing adds to them. As
    /// damping begins it pulls at a swing that is going on with up to twice the swing's own pressure, which is nowhere in the machine.
    pub fn metal_pressures(&self, loads: &Loads, state: &State, mode: Mode) -> [f64; 2] {
        match mode.ringing {
            Ringing::Followed => [loads.well_pressure, loads.cavity_pressure],
            Ringing::Damped => {
                let followed = Mode { ringing: Ringing::Followed, ..mode };
                [self.well_pressure(state, followed, 0.0), self.cavity_pressure(state, followed)]
            }
        }
    }
}

/// Between which speeds, m/s, the rod has swung of late, and between which pressures, Pa, the mould.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    slowest: f64,
    fastest: f64,
    lowest: f64,
    highest: f64,
}

/// A swing by less than this share of the greatest pressure to either side makes no peak worth telling.
const SLIGHT: f64 = 2e-3;

impl Default for Swing {
    /// Nothing seen yet.
    fn default() -> Self {
        let (least, most) = (f64::INFINITY, f64::NEG_INFINITY);
        Self { slowest: least, fastest: most, lowest: least, highest: most }
    }
}

impl Swing {
    /// Takes in one more moment: the rod's speed, m/s, and the pressure in the mould, Pa.
    pub fn see(&mut self, speed: f64, pressure: f64) {
        self.slowest = self.slowest.min(speed);
        self.fastest = self.fastest.max(speed);
        self.lowest = self.lowest.min(pressure);
        self.highest = self.highest.max(pressure);
    }

    /// Whether it is still to be followed, were it to be damped now: while it shakes the dry friction, or may yet make the greatest
    /// pressure in the mould, which is `peak` (Pa) so far.
    pub fn goes_on(&self, machine: &Machine, angle: f64, state: &State, peak: f64) -> bool {
        self.shakes_friction(&machine.rod) || self.may_peak(machine.pressure_to_come(angle, state), peak)
    }

    /// Whether swings like these reach above `peak` (Pa) once the pressure that they are about has risen by `rise` (Pa). A pressure that
    /// rises steadily counts as a swing too; it is followed a little longer than it need be.
    fn may_peak(&self, rise: f64, peak: f64) -> bool {
        self.highest + rise > peak && 0.5 * (self.highest - self.lowest) > SLIGHT * peak
    }

    /// Whether dry friction changed within the swing, so that damping it would change the load that lasts.
    ///
    /// Friction F_c·tanh(ẋ/v_s) is within 4 % of F_c above 2·v_s; a swing of less than v_s hardly changes it anywhere.
    fn shakes_friction(&self, rod: &Rod) -> bool {
        rod.friction > 0.0
            && self.slowest < 2.0 * rod.friction_speed
            && self.fastest - self.slowest > rod.friction_speed
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::MachineStatement;
    use crate::mould::Sort;
    use crate::units::{Length, Pace};

    fn machine() -> Machine {
        let sort = Sort { body: Length(8e-3), set: Length(8e-3) };
        Machine::prepare(&MachineStatement::demo(), sort, Pace(0.5), crate::latch::LatchSetting::Set)
            .expect("valid")
    }

    fn swing(moments: &[(f64, f64)]) -> Swing {
        let mut swing = Swing::default();
        for &(speed, pressure) in moments {
            swing.see(speed, pressure);
        }
        swing
    }

    /// In units of v_s: friction changes over a swing that comes below twice it and is wider than it.
    #[test]
    fn a_swing_shakes_friction_where_the_rod_comes_near_to_turning() {
        let machine = machine();
        let v = machine.rod.friction_speed;
        let shakes =
            |slow: f64, fast: f64, rod: &Rod| swing(&[(fast * v, 0.0), (slow * v, 0.0)]).shakes_friction(rod);
        let rod = &machine.rod;
        assert!(rod.friction > 0.0);
        assert!(shakes(-3.0, 3.0, rod) && shakes(1.9, 3.0, rod) && shakes(-0.6, 0.6, rod));
        assert!(!shakes(2.1, 9.0, rod) && !shakes(0.1, 1.0, rod) && !Swing::default().shakes_friction(rod));
        assert!(!shakes(-3.0, 3.0, &Rod { friction: 0.0, ..*rod }));
    }

    /// A swing of 8 to 12 MPa reaches above a peak of 13 once it has risen by more than 1; one of 9.99 to 10.01 is too slight.
    #[test]
    fn a_swing_may_peak_where_the_pressure_still_rises() {
        let wide = swing(&[(0.0, 8e6), (0.0, 12e6), (0.0, 10e6)]);
        assert!(wide.may_peak(1.1e6, 13e6) && !wide.may_peak(0.9e6, 13e6) && wide.may_peak(0.0, 11.9e6));
        assert!(!swing(&[(0.0, 9.99e6), (0.0, 10.01e6)]).may_peak(1e6, 10e6));
        // Two thousandths of the peak to either side make the difference.
        let about = |half: f64| swing(&[(0.0, 10e6 - half), (0.0, 10e6 + half)]);
        assert!(about(22e3).may_peak(1e6, 10e6) && !about(18e3).may_peak(1e6, 10e6));
        assert!(!Swing::default().may_peak(1e6, 0.0));
    }

    /// With the cam at rest the springs have all its lift to come, less on the way up, and nothing at the top or after it.
    #[test]
    fn the_pressure_to_come_is_what_the_cam_still_squeezes() {
        let machine = machine();
        let rate: f64 = machine.springs.iter().map(|spring| spring.rate).sum();
        let whole = rate * machine.cam.lift() / (machine.rod.ratio * machine.piston.area);
        let rise = machine.cam.rise();
        let to_come = |angle: f64| {
            let lift = machine.cam.at(angle).lift;
            let state = State { block_lift: lift, rod_lift: lift, ..machine.rest_state() };
            machine.pressure_to_come(angle, &state) / whole
        };
        assert!((to_come(rise.from) - 1.0).abs() < 1e-9, "{}", to_come(rise.from));
        assert!((to_come(0.5 * (rise.from + rise.to)) - 0.5).abs() < 1e-3);
        assert!(to_come(rise.to + 1e-6).abs() < 1e-9 && to_come(machine.cam.fall_start() + 0.1).abs() < 1e-9);
    }

    /// It goes on for one reason or the other.
    #[test]
    fn a_swing_goes_on_while_it_shakes_friction_or_may_peak() {
        let machine = machine();
        let v = machine.rod.friction_speed;
        let (angle, state) = (machine.cam.fall_start() + 0.1, machine.rest_state());
        for (fast, half, peak, goes_on) in [
            (3.0, 1e6, 12e6, true),
            (0.1, 1e6, 10.5e6, true),
            (0.1, 1e6, 12e6, false),
            (3.0, 1e6, 10.5e6, true),
        ] {
            let swing = swing(&[(-fast * v, 10e6 - half), (fast * v, 10e6 + half)]);
            assert_eq!(swing.goes_on(&machine, angle, &state, peak), goes_on, "{fast} {peak}");
        }
    }
}
