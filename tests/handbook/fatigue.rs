//! Goodman's line for spring wire, and the nut's advance, against published and closed-form values.

use super::spring::{spring, wire};
use crate::support::working_set::{square, statement};
use approx::assert_relative_eq;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::preload::Nut;
use latchstroke_models::spring::fatigue::{ENDURED_AMPLITUDE, ENDURED_MEAN, endurance, goodman};
use latchstroke_models::spring::{PreloadStatement, RateStatement};
use latchstroke_models::units::{Length, Pace, Stiffness};

/// One kpsi, Pa (NIST SP 811, from memory).
const KPSI: f64 = 6.894757293168e6;

/// Budynas and Nisbett, solutions to chapter 10, problem 10-24 (read: the course copy of the manual's page 277): S_su 163.723
/// and 160.544 kpsi give S_se 52.706 and 53.239 kpsi, from 35 and 55 kpsi.
#[test]
fn handbook_endurance_intercept_of_goodmans_line() {
    for (strength, printed) in [(163.723, 52.706), (160.544, 53.239)] {
        let found = endurance(strength * KPSI).expect("strong enough") / KPSI;
        // The book's 35 and 55 kpsi are rounded to 241 and 379 MPa here: 1.3e-3 and 6e-4 of themselves, and the second is
        // weighed by S_sm/(S_su − S_sm), about one half.
        assert_relative_eq!(found, printed, max_relative = 2e-3);
    }
}

/// The same book, example 10-4 (from memory, not re-read): music wire of 0.092 in, coil 9/16 in outside, 5 to 35 lbf:
/// τ_a 29.7 and τ_m 39.6 kpsi, S_ut 284.1, safety 1.23 after Goodman.
#[test]
fn handbook_goodman_safety_of_a_valve_spring() {
    let strength = 0.67 * 284.1 * KPSI;
    let endurance = endurance(strength).expect("strong enough");
    let safety = goodman(29.7 * KPSI, 39.6 * KPSI, endurance, strength);
    // Printed to two decimals.
    assert!((safety - 1.23).abs() < 0.01, "{safety}");
}

/// The same example by its wire, coil and forces, as a machine's spring is judged.
#[test]
fn handbook_fatigue_safety_of_a_valve_spring_by_its_wire() {
    const INCH: f64 = 25.4;
    const LBF: f64 = 4.448_221_615_260_5;
    let wire = wire(&spring(0.092 * INCH, (9.0 / 16.0 - 0.092) * INCH, (21.0, 23.0), 81.0, 0.0));
    // The book takes 0.67 of the tensile strength; the yield strength is 0.45 of it.
    let safety = wire.fatigue_safety(5.0 * LBF, 35.0 * LBF, 0.45 * 284.1 * KPSI).expect("strong enough");
    assert!((safety - 1.23).abs() < 0.01, "{safety}");
}

/// Closed form: the line goes through the point it is drawn through, whatever the wire; and a steady stress is held against
/// the strength alone.
#[test]
fn closed_form_goodmans_line_passes_through_its_two_points() {
    for strength in [500e6, 900e6, 1500e6] {
        let foot = endurance(strength).expect("strong enough");
        assert_relative_eq!(
            goodman(ENDURED_AMPLITUDE, ENDURED_MEAN, foot, strength),
            1.0,
            max_relative = 1e-12
        );
        assert_relative_eq!(goodman(0.0, 0.5 * strength, foot, strength), 2.0, max_relative = 1e-12);
    }
    assert_eq!(endurance(ENDURED_MEAN), None);
}

/// A half turn of a 1/2-13 nut on a spring of 35.37326389 N/mm adds 34.5569578 N. Plain arithmetic of k·pitch·turns: it guards
/// against slips in the way from turns to squeeze.
#[test]
fn closed_form_half_a_turn_of_the_nut() {
    let mut stated = statement();
    stated.abutment.bare_gap = Some(Length(0.110));
    stated.abutment.thread_pitch = Some(Length(0.0254 / 13.0));
    for spring in &mut stated.springs {
        spring.rate = RateStatement::Rate(Stiffness(35_373.263_89));
        spring.free_length = Some(Length(0.150));
        spring.preload = PreloadStatement::Gap;
    }
    let cast = Cast { sort: square(24.0), pace: Pace(0.5) };
    let nut = |turns: f64| {
        let mut stated = stated.clone();
        stated.abutment.nut_turns = turns;
        Nut::of(&stated, cast).expect("a valid machine")
    };
    let (before, after) = (nut(0.0), nut(0.5));
    let added = after.preload(0.0) - before.preload(0.0);
    assert_relative_eq!(added, 34.556_957_8, max_relative = 1e-8);
    // And back: the force tells the turns.
    let advance = before.advance_for(before.preload(0.0) + 34.556_957_8).expect("long before solid");
    assert_relative_eq!(before.turns_at(advance).expect("a pitch"), 0.5, max_relative = 1e-6);
    assert_relative_eq!(before.preload(advance), after.preload(0.0), max_relative = 1e-8);
}
