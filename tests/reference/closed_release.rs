//! A rod thrown by its springs, solved by the program, against closed forms.
//!
//! m·v·dv/dx = F − k·x − c·v² is linear in v²; with a = 2c/m,
//! v²(x) = (F/c + k·m/(2c²))·(1 − exp(−a·x)) − (k/c)·x. Times are its quadrature; both by mpmath 1.3.0, checked there with
//! SciPy's DOP853 and with SUNDIALS' CVODE.

use super::closed_machines::{Column, Throw, at_travel, bore_for_drag, flight, pumping, solved, thrown};
use crate::support::working_set::square;
use approx::assert_relative_eq;
use latchstroke_core::turn::Method;
use latchstroke_models::machine::MachineStatement;

/// Distance (m), speed (m/s), time (s): 1.5 kg, 2000 N, 40 kN/m, 1200 N·s²/m².
const CASE_A: [(f64, f64, f64); 6] = [
    (0.001, 1.1460655707902, 0.0013956598909774),
    (0.002, 1.2458118293385, 0.0022218059490769),
    (0.005, 1.2329911760223, 0.0046264355932748),
    (0.01, 1.1636865887186, 0.0087985746144592),
    (0.02, 1.0103629710818, 0.017997996606957),
    (0.03, 0.82915619758885, 0.028870403016537),
];

/// 0.8 kg, 1500 N, 25 kN/m, 300 N·s²/m².
const CASE_B: [(f64, f64, f64); 6] = [
    (0.0005, 1.2476508225735, 0.00075387537571113),
    (0.001, 1.6166198815881, 0.0011001189359861),
    (0.005, 2.1387479122822, 0.0030910792653397),
    (0.01, 2.0675954396613, 0.0054604181387979),
    (0.02, 1.8559210330571, 0.010557219600694),
    (0.04, 1.3333333333332, 0.023099334674997),
];

/// Share of the moving mass that the column of metal has in these machines.
const COLUMN: f64 = 0.1;

/// A machine with a moving mass `mass` in all, `force`, `rate` and `drag` (N·s²/m²).
fn orifice(mass: f64, force: f64, rate: f64, drag: f64, lift: f64) -> MachineStatement {
    let (bore, loss, density) = (0.0175, 0.5, 10200.0);
    pumping(
        Throw { rod_mass: (1.0 - COLUMN) * mass, force, rate, lift },
        Column { mass: COLUMN * mass, bore, nozzle: bore_for_drag(drag, bore, loss, density), loss, density },
    )
}

/// Rod and column swing against each other on the metal between them, whose stiffness κ·A_p² is 4.8e11 N/m here, from the
/// moment of release: their speeds differ by F/(m·ω) at first, 1e-4 m/s, and by less and less as the orifice damps it. At the
/// first point of the constant force a hundred-thousandth of the speed is left; the integrators' part is smaller.
const COMPLIANCE: f64 = 1.5e-5;

fn compare(stated: &MachineStatement, method: Option<Method>, points: &[(f64, f64, f64)]) {
    let turn = solved(stated, square(12.0), 1e-7, method);
    let flight = flight(&turn);
    for &(distance, speed, time) in points {
        let (t, v) = at_travel(&flight, distance);
        assert_relative_eq!(v, speed, max_relative = COMPLIANCE);
        assert_relative_eq!(t, time, max_relative = COMPLIANCE);
    }
}

#[test]
fn closed_form_thrown_rod_against_an_orifice() {
    let heavy = orifice(1.5, 2000.0, 40e3, 1200.0, 0.045);
    let light = orifice(0.8, 1500.0, 25e3, 300.0, 0.050);
    for method in [Some(Method::Stiff), None] {
        compare(&heavy, method, &CASE_A);
        compare(&light, method, &CASE_B);
    }
}

#[test]
fn closed_form_thrown_rod_peaks_where_the_closed_form_peaks() {
    // x* = ln(A·a·c/k)/a: distance (m) and speed (m/s) of cases A and B.
    let cases = [
        (orifice(1.5, 2000.0, 40e3, 1200.0, 0.045), 0.002746530721670, 1.255036112074466),
        (orifice(0.8, 1500.0, 25e3, 300.0, 0.050), 0.005104855195319, 2.138830381397763),
    ];
    for (stated, distance, speed) in cases {
        let turn = solved(&stated, square(12.0), 1e-7, Some(Method::Stiff));
        assert_relative_eq!(turn.peaks.piston_speed, speed, max_relative = COMPLIANCE);
        assert_relative_eq!(at_travel(&flight(&turn), distance).1, speed, max_relative = COMPLIANCE);
    }
}

#[test]
fn closed_form_thrown_rod_under_constant_force() {
    // x = (m/c)·ln cosh(t·√(c·F)/m), v = √(F/c)·tanh(t·√(c·F)/m); 2 kg, 1000 N, 250 N·s²/m²; time, distance, speed.
    let points = [
        (0.001, 0.00024743842896129, 0.48983732480742),
        (0.002, 0.00096091605566622, 0.92423431452002),
        (0.005, 0.0050859404298608, 1.696567279915),
        (0.01, 0.014508545343433, 1.9732285963029),
        (0.02, 0.034455185746714, 1.9998184085252),
    ];
    // A spring of 0.01 N/m loses next to nothing of its force on the way.
    let stated = orifice(2.0, 1000.0, 0.01, 250.0, 0.045);
    for method in [Some(Method::Stiff), None] {
        let flight = flight(&solved(&stated, square(12.0), 1e-7, method));
        for (time, distance, speed) in points {
            let (t, v) = at_travel(&flight, distance);
            assert_relative_eq!(t, time, max_relative = COMPLIANCE);
            assert_relative_eq!(v, speed, max_relative = COMPLIANCE);
        }
    }
}

#[test]
fn closed_form_thrown_rod_without_mass_follows_its_force() {
    // t = (2·√c/k)·(√F − √(F − k·x)) at 30 mm; case A with a thousandth of its mass, which adds 1.4e-5.
    let stated = orifice(1.5e-3, 2000.0, 40e3, 1200.0, 0.045);
    let (time, _) = at_travel(&flight(&solved(&stated, square(12.0), 1e-7, Some(Method::Stiff))), 0.03);
    assert_relative_eq!(time, 0.02846987206848478, max_relative = 2e-5);
}

#[test]
fn closed_form_thrown_rod_without_metal_swings() {
    // v = √((2·F·x − k·x²)/m), t = arccos(1 − k·x/F)/ω; 1.5 kg, 2000 N, 40 kN/m.
    let points = [
        (0.005, 3.5590260840104, 0.0027619638730379),
        (0.01, 4.8989794855664, 0.0039406234136469),
        (0.02, 6.5319726474218, 0.0056785003125671),
    ];
    let stated = thrown(Throw { rod_mass: 1.5, force: 2000.0, rate: 40e3, lift: 0.05 });
    for method in [Some(Method::Stiff), None] {
        let turn = solved(&stated, square(12.0), 1e-8, method);
        let flight = flight(&turn);
        for (distance, speed, time) in points {
            let (t, v) = at_travel(&flight, distance);
            // The train gives by 20 nm under the springs. The speed between two instants of a step of 0.1 ms is that of a cubic.
            assert_relative_eq!(t, time, max_relative = 1e-6);
            assert_relative_eq!(v, speed, max_relative = 1e-5);
        }
        // The spring is slack where the rod reaches the block: v = √(F²/(k·m)) after a quarter of a swing.
        let throw = turn.throw.expect("thrown");
        assert_relative_eq!(throw.strike_speed, 8.1649658092773, max_relative = 1e-6);
        // All that was stored.
        assert_relative_eq!(throw.strike_energy, 50.0, max_relative = 1e-5);
        assert_relative_eq!(
            throw.caught_up.unwrap_or(0.0) - throw.time,
            0.009619123726214,
            max_relative = 1e-6
        );
        assert_relative_eq!(throw.latch_load, 2000.0, max_relative = 1e-6);
        assert_relative_eq!(throw.stored_energy, 50.0, max_relative = 1e-6);
    }
}
