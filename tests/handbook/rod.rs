//! The rod and its lever: what the springs throw, and what brakes it. Guards against slips, with libm's tanh for the friction.

use super::machine_with;
use crate::support::working_set::square;
use approx::assert_relative_eq;
use latchstroke_models::contact::DampingStatement;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::rod::Rod;
use latchstroke_models::units::{Force, Length, Mass, MomentOfInertia, Pace, Speed, Stiffness};

/// A rod of 1.2 kg with a spring of 0.3 kg, a lever of 0.02 kg·m² on an arm of 100 mm and a ratio of 2, and a piston of 0.8 kg, on a cross
/// block of 6.5 kg.
fn rod(damping: DampingStatement) -> Rod {
    machine_with(4e-3, 4e-3, |machine| {
        machine.rod.mass = Mass(1.2);
        machine.springs[0].mass = Some(Mass(0.3));
        machine.lever.ratio = 2.0;
        machine.lever.inertia = MomentOfInertia(0.02);
        machine.lever.arm = Some(Length(0.1));
        machine.piston.mass = Mass(0.8);
        machine.cross_block.mass = Mass(6.5);
        machine.rod.friction = Force(20.0);
        machine.rod.friction_speed = Speed(2e-3);
        machine.rod.stop_stiffness = Stiffness(4e6);
        machine.rod.stop_damping = damping;
    })
    .rod
}

/// One third of the spring, J/r² of the lever and i² of the piston: 1.2 + 0.1 + 2 + 3.2 kg.
#[test]
fn closed_form_rod_carries_a_third_of_the_springs_and_the_geared_piston() {
    let rod = rod(DampingStatement::Ratio(0.1));
    assert_relative_eq!(rod.mass, 6.5, max_relative = 1e-12);
    // As heavy as the block, so that the shoulder carries half of either: 2·0.1·√(4·10⁶ · 3.25).
    assert_relative_eq!(rod.stop.damping, 0.2 * (4e6_f64 * 3.25).sqrt(), max_relative = 1e-12);
}

/// A blow that gives back all of its speed is not damped; one that gives back half has ζ = 0.2553 (the law integrated).
#[test]
fn closed_form_shoulder_is_damped_as_its_blow_gives_back() {
    let damping =
        |share: f64| rod(DampingStatement::Restitution(share)).stop.damping / (2.0 * (4e6_f64 * 3.25).sqrt());
    assert!(damping(1.0).abs() < 1e-9);
    assert_relative_eq!(latchstroke_models::contact::restitution(damping(0.5)), 0.5, max_relative = 1e-9);
}

#[test]
fn reference_dry_friction_is_a_hyperbolic_tangent() {
    let rod = rod(DampingStatement::Ratio(0.1));
    for share in [-40.0, -18.0, -2.0, -0.3, -1e-6, 0.0, 1e-6, 0.5, 1.0, 3.0, 18.9, 25.0] {
        let speed = share * 2e-3;
        let friction = 20.0 * libm::tanh(share);
        assert_relative_eq!(rod.dry_friction(speed), friction, max_relative = 1e-9, epsilon = 1e-14);
        let slope = 20.0 / 2e-3 / libm::cosh(share).powi(2);
        // A share of 10⁻¹⁶ below one is no longer told from it.
        assert_relative_eq!(rod.dry_friction_slope(speed), slope, max_relative = 1e-9, epsilon = 1e-11);
    }
}

/// What damping alone can give back, e⁻² and all, may be stated; less or more may not.
#[test]
fn property_a_blow_gives_back_a_share_of_its_speed() {
    let refused = |share: f64| {
        let mut stated = MachineStatement::demo();
        stated.rod.stop_damping = DampingStatement::Restitution(share);
        Machine::prepare(&stated, square(12.0), Pace(1.0), LatchSetting::Aside).is_err()
    };
    assert_eq!([0.13, 0.1354, 0.5, 1.0, 1.01].map(refused), [true, false, false, false, true]);
}
