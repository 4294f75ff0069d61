//! Whether rod, thread and socket hold what the springs and the strike pull on them.

use super::Parts;
use crate::turn::Turn;
use latchstroke_models::machine::Machine;
use latchstroke_models::thread::{Cycle, cut_thread_endurance, goodman_safety};

/// The forces on the joint in a turn, and its safety. Forces in N, stresses in Pa, areas in m², lengths in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Springs' force at rest.
    pub rest: f64,
    /// Greatest force of the springs in the turns.
    pub spring: f64,
    /// Speed with which the shoulder strikes, m/s; zero where the latch throws nothing.
    pub strike_speed: f64,
    /// Force of the strike, v·√(k·m): the energy ½·m·v² of all that moves with the rod, taken up by the stiffness of the stop
    /// alone. The joint feels only the part that moves beyond it, so this is on the safe side.
    pub strike: f64,
    /// Tensile stress area of the thread.
    pub stress_area: f64,
    /// Section of the socket's wall at its groove, where there is an extension.
    pub wall_area: Option<f64>,
    /// Section at the undercut of the nut's thread, where there is an extension.
    pub undercut_area: Option<f64>,
    /// Thread needed so that the rod breaks before its thread strips.
    pub engagement_needed: f64,
    /// Thread that engages, where there is an extension.
    pub engagement: Option<f64>,
    /// Yield strength.
    pub yield_strength: f64,
    /// Tensile strength.
    pub tensile_strength: f64,
}

impl Joint {
    /// The smallest of thread, wall and undercut, m².
    pub fn weakest_area(&self) -> f64 {
        [self.wall_area, self.undercut_area].into_iter().flatten().fold(self.stress_area, f64::min)
    }

    /// The stress at rest and the greatest, springs and strike at one instant, Pa.
    pub fn cycle(&self) -> Cycle {
        let area = self.weakest_area();
        Cycle { least: self.rest / area, greatest: (self.spring + self.strike) / area }
    }

    /// Yield strength over the greatest stress.
    pub fn yield_safety(&self) -> f64 {
        self.yield_strength / self.cycle().greatest
    }

    /// Safety against fatigue by the Goodman line, a turn going from rest to the greatest stress and back.
    pub fn fatigue_safety(&self) -> f64 {
        goodman_safety(self.cycle(), cut_thread_endurance(self.tensile_strength), self.tensile_strength)
    }

    /// Whether enough thread engages.
    pub fn engages_enough(&self) -> bool {
        // A tenth of a millimetre is nothing on a thread.
        self.engagement.is_none_or(|engagement| engagement >= self.engagement_needed - 1e-4)
    }

    /// Whether the joint holds: neither yields, nor tires, nor strips.
    pub fn holds(&self) -> bool {
        self.yield_safety() > 1.0 && self.fatigue_safety() > 1.0 && self.engages_enough()
    }
}

/// The joint of `parts` under the greatest forces of `turns` of a machine.
pub fn joint<'a>(parts: &Parts, machine: &Machine, turns: impl IntoIterator<Item = &'a Turn>) -> Joint {
    let (mut spring, mut strike_speed) = (machine.preload(), 0.0_f64);
    for turn in turns {
        spring = spring.max(turn.peaks.spring_force);
        strike_speed = strike_speed.max(turn.throw.map_or(0.0, |throw| throw.strike_speed));
    }
    Joint {
        rest: machine.preload(),
        spring,
        strike_speed,
        strike: strike_speed * (machine.rod.stop.stiffness * machine.rod.mass).sqrt(),
        stress_area: parts.thread.thread.stress_area(),
        wall_area: parts.extension.as_ref().map(super::Extension::wall_area),
        undercut_area: parts.extension.as_ref().map(super::Extension::undercut_area),
        engagement_needed: parts.thread.thread.engagement(),
        engagement: parts.extension.as_ref().map(|extension| extension.engagement),
        yield_strength: parts.yield_strength,
        tensile_strength: parts.tensile_strength,
    }
}
