//! A spring resolved along its length: a row of equal masses with equal pieces of spring between them.
//!
//! A spring of rate k and mass m in N pieces has pieces of rate N·k and masses m/N, half of one at each end. Surge waves run
//! along it in √(m/k), which the usual rule (one third of the mass moves with the end) leaves out. With N → ∞ it is the wave
//! equation.

use super::Spring;

/// A spring in N pieces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coil {
    /// N.
    pub pieces: usize,
    /// N·k, N/m.
    pub piece_rate: f64,
    /// m/N, kg.
    pub node_mass: f64,
    /// k·s: force at rest, N.
    pub rest_force: f64,
}

impl Coil {
    /// A spring in `pieces` pieces, two at least.
    pub fn of(spring: &Spring, pieces: usize) -> Self {
        let pieces = pieces.max(2);
        let n = pieces as f64;
        Self {
            pieces,
            piece_rate: n * spring.rate,
            node_mass: spring.mass / n,
            rest_force: spring.rate * spring.rest_squeeze,
        }
    }

    /// How many nodes move between the ends.
    pub fn nodes(&self) -> usize {
        self.pieces - 1
    }

    /// Mass that moves with each end, kg.
    pub fn end_mass(&self) -> f64 {
        0.5 * self.node_mass
    }

    /// Forces (N) on abutment and nut, and the accelerations (m/s²) of the nodes between, which are written to
    /// `accelerations`.
    ///
    /// `abutment` and `nut` are the ends' displacements from rest and `nodes` those between, m, from the abutment to the nut, in
    /// the direction of the lift. A piece pushes with N·k times its closing on top of the force at rest. Left out: coils that
    /// touch, and a spring so heavy that its own waves lift it off its seats.
    pub fn forces(&self, abutment: f64, nut: f64, nodes: &[f64], accelerations: &mut [f64]) -> (f64, f64) {
        let push = |upper: f64, lower: f64| self.rest_force + self.piece_rate * (upper - lower);
        let mut above = push(abutment, nodes.first().copied().unwrap_or(nut));
        let at_abutment = above;
        for (i, acceleration) in accelerations.iter_mut().enumerate() {
            let below = push(nodes[i], nodes.get(i + 1).copied().unwrap_or(nut));
            *acceleration = (above - below) / self.node_mass;
            above = below;
        }
        (at_abutment, above)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::{Machine, MachineStatement};
    use crate::mould::Sort;
    use crate::units::{Length, Pace};

    #[test]
    fn the_pieces_weigh_and_press_as_the_whole() {
        let body = Length(4e-3);
        let setting = crate::latch::LatchSetting::Set;
        let machine =
            Machine::prepare(&MachineStatement::demo(), Sort { body, set: body }, Pace(1.0), setting);
        for spring in machine.expect("the demo").springs {
            for pieces in [2, 5, 64] {
                let coil = Coil::of(&spring, pieces);
                let mass = coil.nodes() as f64 * coil.node_mass + 2.0 * coil.end_mass();
                assert!((mass / spring.mass - 1.0).abs() < 1e-12, "{mass}");
                // Squeezed evenly by 5 mm it presses alike at both ends, and nothing in it moves.
                let nodes: Vec<f64> = (1..pieces).map(|n| 5e-3 * (1.0 - n as f64 / pieces as f64)).collect();
                let mut accelerations = vec![1.0; nodes.len()];
                let (up, down) = coil.forces(5e-3, 0.0, &nodes, &mut accelerations);
                let whole = spring.force(5e-3);
                assert!((up / whole - 1.0).abs() < 1e-9 && (down / whole - 1.0).abs() < 1e-9);
                assert!(accelerations.iter().all(|rate| (rate * spring.mass / whole).abs() < 1e-6));
            }
        }
    }
}
