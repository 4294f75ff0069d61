//! Cam laws against VDI 2143 and R. L. Norton, *Cam Design and Manufacturing Handbook*. The laws are published there (not
//! re-read); the values are exact ones of the same laws by SymPy 1.14.0. Peak factors of the modified sine, 1.76, 5.53 and
//! 69.47, were read on mechdesigner.support.

use super::machine_with;
use crate::support::working_set::degrees;
use approx::assert_relative_eq;
use latchstroke_models::cam::{Cam, CamStatement, Law, Phase};
use latchstroke_models::fault::Faults;
use latchstroke_models::units::{Angle, Length};
use std::f64::consts::{FRAC_PI_2, PI, TAU};
use std::ops::RangeInclusive;

const LAWS: [Law; 6] = [
    Law::SimpleHarmonic,
    Law::Cycloidal,
    Law::Polynomial345,
    Law::Polynomial4567,
    Law::ModifiedSine,
    Law::ModifiedTrapezoid,
];

/// Peak velocity, acceleration and jerk, in the order of [`LAWS`].
const PEAKS: [[f64; 3]; 6] = [
    [FRAC_PI_2, 4.934802200545, 15.50313834015],
    [2.0, TAU, 39.47841760436],
    [1.875, 5.773502691896, 60.0],
    [2.1875, 7.513188404399, 52.5],
    [1.759603385954, 5.527957070544, 69.46635728872],
    [2.0, 4.888123762813, 61.42597481237],
];

/// Lift at 0.1, 0.25, 0.4 and 0.75; slope at 0.1, 0.25 and 0.4; curvature at the same.
const SAMPLES: [([f64; 4], [f64; 3], [f64; 3]); 6] = [
    (
        [0.02447174185242, 0.1464466094067, 0.3454915028125, 0.8535533905933],
        [0.4854027596814, 1.11072073454, 1.493916082371],
        [4.693275789456, 3.489432099819, 1.524937743847],
    ),
    (
        [0.006451071621136, 0.0908450569081, 0.3064510716211, 0.9091549430919],
        [0.1909830056251, 1.0, 1.809016994375],
        [3.693163660981, TAU, 3.693163660981],
    ),
    ([0.00856, 0.103515625, 0.31744, 0.896484375], [0.243, 1.0546875, 1.728], [4.32, 5.625, 2.88]),
    (
        [0.002728, 0.070556640625, 0.289792, 0.929443359375],
        [0.10206, 0.9228515625, 1.93536],
        [2.7216, 7.3828125, 4.8384],
    ),
    (
        [0.01069721279143, 0.1171784846146, 0.3278651875137, 0.8828215153854],
        [0.3039640090836, 1.099752116221, 1.645509106856],
        [5.257399593741, 4.787351254121, 2.24842270194],
    ),
    (
        [0.009459064058276, 0.1044801939692, 0.3094590640583, 0.8955198060308],
        [0.2687816994381, 1.0, 1.731218300562],
        [4.648881957081, 4.888123762813, 4.648881957081],
    ),
];

/// Shares of the travel, dense enough for a peak to be missed by 1e-9 of itself at most.
fn scan() -> impl Iterator<Item = f64> {
    (0..=100_000).map(|i| f64::from(i) / 100_000.0)
}

#[test]
fn handbook_cam_laws_have_their_published_peak_velocity_and_acceleration() {
    for (law, [velocity, acceleration, _]) in LAWS.into_iter().zip(PEAKS) {
        let fastest = scan().map(|u| law.at(u).slope).fold(0.0, f64::max);
        let sharpest = scan().map(|u| law.at(u).curvature.abs()).fold(0.0, f64::max);
        // The scan's own error, see `scan`.
        assert_relative_eq!(fastest, velocity, max_relative = 1e-9);
        assert_relative_eq!(sharpest, acceleration, max_relative = 1e-9);
    }
}

#[test]
fn handbook_cam_laws_have_their_published_peak_jerk() {
    const STEP: f64 = 1e-5;
    for (law, [_, _, jerk]) in LAWS.into_iter().zip(PEAKS) {
        let sharpest = scan()
            .filter(|u| (STEP..=1.0 - STEP).contains(u))
            .map(|u| ((law.at(u + STEP).curvature - law.at(u - STEP).curvature) / (2.0 * STEP)).abs())
            .fold(0.0, f64::max);
        // Where the jerk peaks at an end of the rise, the difference sees it one step inside: 6·STEP off for the 3-4-5 law.
        assert_relative_eq!(sharpest, jerk, max_relative = 6.1 * STEP);
    }
}

#[test]
fn handbook_cam_laws_pass_through_their_published_points() {
    for (law, (lifts, slopes, curvatures)) in LAWS.into_iter().zip(SAMPLES) {
        // Values are given to 13 digits.
        for (u, lift) in [0.1, 0.25, 0.4, 0.75].into_iter().zip(lifts) {
            assert_relative_eq!(law.at(u).lift, lift, max_relative = 1e-11);
        }
        for ((u, slope), curvature) in [0.1, 0.25, 0.4].into_iter().zip(slopes).zip(curvatures) {
            assert_relative_eq!(law.at(u).slope, slope, max_relative = 1e-11);
            assert_relative_eq!(law.at(u).curvature, curvature, max_relative = 1e-11);
        }
    }
}

fn cam(stated: CamStatement) -> Cam {
    machine_with(4e-3, 4e-3, |machine| machine.cam = stated).cam
}

fn law_cam(law: Law, lift: f64, rise: f64) -> Cam {
    cam(CamStatement::Law {
        law,
        lift: Length(lift),
        rise_start: degrees(10.0),
        rise: degrees(rise),
        dwell: degrees(100.0),
        fall: degrees(rise),
    })
}

#[test]
fn closed_form_cam_scales_its_law_with_lift_angle_and_pace() {
    // 20 mm in 60° at 120 turns a minute: T = 1/12 s, v = C_v·h/T, a = C_a·h/T². Guards against slips.
    let omega = 2.0 * TAU;
    let peak = |law: Law| {
        let cam = law_cam(law, 0.020, 60.0);
        let rise = || scan().map(|u| cam.at((10.0 + 60.0 * u).to_radians()));
        (
            rise().map(|m| m.slope * omega).fold(0.0, f64::max),
            rise().map(|m| m.curvature * omega * omega).fold(0.0, f64::max),
        )
    };
    let (speed, acceleration) = peak(Law::Cycloidal);
    assert_relative_eq!(speed, 0.48, max_relative = 1e-9);
    assert_relative_eq!(acceleration, 18.0955736847, max_relative = 1e-9);
    assert_relative_eq!(peak(Law::Polynomial345).1, 16.6276877527, max_relative = 1e-9);
}

#[test]
fn property_cam_returns_as_the_mirror_of_its_rise() {
    for law in LAWS {
        let cam = law_cam(law, 0.030, 80.0);
        // Rise from 10° to 90°, dwell to 190°, return to 270°: mirrored about 140°.
        for tenth in 0..=900 {
            let angle = f64::from(tenth) / 10.0;
            let (rise, fall) = (cam.at((140.0 - angle).to_radians()), cam.at((140.0 + angle).to_radians()));
            // A hundred roundings of the full lift, of the steepest slope and of the sharpest curvature.
            assert_relative_eq!(rise.lift, fall.lift, epsilon = 1e-14 * 0.030);
            assert_relative_eq!(rise.slope, -fall.slope, epsilon = 1e-12);
            if tenth % 800 != 500 && tenth != 900 && tenth % 100 != 0 {
                assert_relative_eq!(rise.curvature, fall.curvature, epsilon = 1e-10);
            }
        }
    }
}

fn measured(readings: &[(f64, f64)]) -> Cam {
    cam(CamStatement::Measured(readings.iter().map(|&(a, l)| (Angle(a), Length(l))).collect()))
}

/// Readings in degrees and millimetres with a kink, a flat top and unequal spacing.
const READINGS: [(f64, f64); 10] = [
    (0.0, 0.0),
    (40.0, 0.0),
    (70.0, 4.0),
    (90.0, 15.0),
    (105.0, 22.0),
    (130.0, 30.0),
    (180.0, 30.0),
    (220.0, 21.0),
    (260.0, 3.0),
    (300.0, 0.0),
];

fn uneven() -> Cam {
    measured(&READINGS.map(|(a, l)| (f64::to_radians(a), l * 1e-3)))
}

#[test]
fn reference_measured_cam_is_the_curve_of_scipy() {
    // scipy 1.17.1, PchipInterpolator through three turns of READINGS: angle (deg), lift (mm), slope (mm/deg).
    let scipy = [
        (20.0, 0.0, 0.0),
        (55.0, 1.1610169491525424, 0.14406779661016952),
        (80.0, 8.801934786619922, 0.6433290718823312),
        (97.5, 18.719941439762948, 0.4778480758460498),
        (120.0, 28.109566714490676, 0.3373911047345768),
        (150.0, 30.0, 0.0),
        (200.0, 27.0, -0.2625),
        (240.0, 11.142857142857144, -0.5678571428571428),
        (285.0, 0.4972098214285713, -0.06328125),
        (340.0, 0.0, 0.0),
    ];
    let cam = uneven();
    for (angle, lift, slope) in scipy {
        let motion = cam.at(f64::to_radians(angle));
        // The same curve, rounded differently.
        assert_relative_eq!(motion.lift * 1e3, lift, max_relative = 1e-12, epsilon = 1e-12);
        assert_relative_eq!(motion.slope * 1e3 * PI / 180.0, slope, max_relative = 1e-11, epsilon = 1e-12);
    }
}

#[test]
fn property_measured_cam_passes_its_readings_and_overshoots_none() {
    let cam = uneven();
    for (angle, lift) in READINGS {
        assert_relative_eq!(cam.at(f64::to_radians(angle)).lift, lift * 1e-3, epsilon = 1e-15);
    }
    let closed = READINGS.iter().copied().chain([(360.0, READINGS[0].1)]).collect::<Vec<_>>();
    for pair in closed.windows(2) {
        let (low, high) = (pair[0].1.min(pair[1].1) * 1e-3, pair[0].1.max(pair[1].1) * 1e-3);
        for part in 0..=200 {
            let angle = pair[0].0 + (pair[1].0 - pair[0].0) * f64::from(part) / 200.0 * (1.0 - 1e-12);
            let lift = cam.at(angle.to_radians()).lift;
            assert!(
                lift >= low - 1e-15 && lift <= high + 1e-15,
                "{lift} at {angle} deg, not {low} to {high}"
            );
        }
    }
}

/// Closed form: slope and curvature are the derivatives of what stands above them, by central differences, whether a law or readings
/// make the cam; and one read from another place of the shaft on is the same cam, turned.
#[test]
fn closed_form_a_cam_is_its_own_derivative_and_turns_as_one() {
    let near = |angle: f64, cam: &Cam| cam.breaks().iter().any(|stop| (stop - angle).abs() < 2e-4);
    let within = |angles: &mut dyn Iterator<Item = f64>, cam: &Cam| -> Vec<f64> {
        angles.filter(|angle| !near(*angle, cam) && *angle > 1e-3 && *angle < TAU - 1e-3).collect()
    };
    for cam in [uneven(), by_law(Law::ModifiedSine, 10.0, 190.0), by_law(Law::Polynomial345, 10.0, 190.0)] {
        let (h, mut looks) = (1e-5, (0..997).map(|n| TAU * f64::from(n) / 997.0));
        for angle in within(&mut looks, &cam) {
            let [before, here, after] = [angle - h, angle, angle + h].map(|angle| cam.at(angle));
            let slope = (after.lift - before.lift) / (2.0 * h);
            let curvature = (after.slope - before.slope) / (2.0 * h);
            assert!((here.slope - slope).abs() < 1e-7, "{angle}: {} {slope}", here.slope);
            assert!((here.curvature - curvature).abs() < 1e-6, "{angle}: {} {curvature}", here.curvature);
        }
    }
    let by = 85.0_f64;
    let mut turned: Vec<(f64, f64)> =
        READINGS.iter().map(|(a, l)| (((a + by) % 360.0).to_radians(), l * 1e-3)).collect();
    turned.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (plain, turned) = (uneven(), measured(&turned));
    // Lift counts from the start of the turn.
    let raised = turned.at(by.to_radians()).lift;
    for degrees in 0..360 {
        let angle = f64::from(degrees).to_radians();
        let (was, is) = (plain.at(angle), turned.at((angle + by.to_radians()) % TAU));
        assert!((was.lift + raised - is.lift).abs() < 1e-12, "{degrees}: {} {}", was.lift, is.lift);
        assert!((was.slope - is.slope).abs() < 1e-12, "{degrees}: {} {}", was.slope, is.slope);
    }
}

/// Greatest distance (m) between a cycloidal cam and the curve through its readings every `step` degrees.
fn misfit(step: u32) -> f64 {
    let truth = law_cam(Law::Cycloidal, 0.030, 80.0);
    let readings: Vec<(f64, f64)> = (0..360 / step)
        .map(|i| {
            let angle = f64::from(i * step).to_radians();
            (angle, truth.at(angle).lift)
        })
        .collect();
    let curve = measured(&readings);
    (0..3600)
        .map(|tenth| f64::from(tenth).to_radians() / 10.0)
        .map(|angle| (curve.at(angle).lift - truth.at(angle).lift).abs())
        .fold(0.0, f64::max)
}

#[test]
fn closed_form_measured_cam_converges_to_the_cam_it_was_read_from() {
    // Fritsch and Butland's slopes are of second order: half the spacing, a quarter of the misfit. A third to spare, since
    // the worst place need not fall alike among the readings.
    let (coarse, middle, fine) = (misfit(10), misfit(5), misfit(1));
    assert!(coarse / middle > 3.0, "{coarse} {middle}");
    assert!(middle / fine > 25.0 * 0.67, "{middle} {fine}");
    // Readings every 5° give the cam to a dial indicator's 0.01 mm ten times over in the mean, 0.05 mm at worst.
    assert!(middle < 0.05e-3, "{middle}");
}

/// A cam by a law with its rise at 10° to 90° and its fall from `fall_start` on for 60°.
fn by_law(law: Law, rise_start: f64, fall_start: f64) -> Cam {
    cam(CamStatement::Law {
        law,
        lift: Length(0.030),
        rise_start: degrees(rise_start),
        rise: degrees(80.0),
        dwell: degrees(fall_start - 80.0 - rise_start),
        fall: degrees(60.0),
    })
}

/// 10° + 80° + 220° + 60° and 220° + 80° + 1° + 60° are more than a turn; 359° and all of it are not.
#[test]
fn closed_form_a_law_that_is_longer_than_a_turn_is_refused() {
    let fits = |rise_start: f64, dwell: f64| {
        let mut faults = Faults::default();
        let (law, lift) = (Law::Cycloidal, Length(0.03));
        let [rise_start, rise, dwell, fall] = [rise_start, 80.0, dwell, 60.0].map(degrees);
        let cam = Cam::prepare(&CamStatement::Law { law, lift, rise_start, rise, dwell, fall }, &mut faults);
        faults.settle(cam).is_ok()
    };
    assert_eq!([fits(10.0, 220.0), fits(220.0, 1.0)], [false, false]);
    assert_eq!([fits(10.0, 209.0), fits(219.0, 1.0)], [true, true]);
}

/// Where a cam rises and falls, where it is steepest, and where the acceleration of its law or the cubic of its readings changes; the
/// turn's own end is none of these, and two that meet are one. Guards against slips.
#[test]
fn closed_form_cam_tells_where_it_rises_falls_and_changes() {
    let degrees =
        |angles: &[f64]| angles.iter().map(|a| (a.to_degrees() * 1e6).round() * 1e-6).collect::<Vec<_>>();
    let told = |phase: Phase| degrees(&[phase.from, phase.to, phase.steepest]);
    let cam = by_law(Law::Cycloidal, 10.0, 190.0);
    assert_eq!(told(cam.rise()), [10.0, 90.0, 50.0]);
    assert_eq!(told(cam.fall()), [190.0, 250.0, 220.0]);
    assert_eq!(degrees(&[cam.fall_start()]), [190.0]);
    assert_eq!(degrees(&cam.breaks()), [10.0, 90.0, 190.0, 250.0]);
    assert_eq!(degrees(&by_law(Law::Cycloidal, 0.0, 80.0).breaks()), [80.0, 140.0]);
    assert_eq!(degrees(&by_law(Law::Cycloidal, 220.0, 300.0).breaks()), [220.0, 300.0]);
    let modified = by_law(Law::ModifiedSine, 10.0, 190.0).breaks();
    assert_eq!(degrees(&modified), [10.0, 20.0, 80.0, 90.0, 190.0, 197.5, 242.5, 250.0]);
    // As read: from the last reading at the bottom to the first at the top, from the last at the top to the first at the bottom, and
    // steepest between the two readings with the steepest chord (PCHIP: within the half degree looked at).
    let uneven_told = |phase: Phase, steepest: RangeInclusive<f64>| {
        let told = told(phase);
        assert!(steepest.contains(&told[2]), "{told:?}");
        told[..2].to_vec()
    };
    assert_eq!(uneven_told(uneven().rise(), 70.0..=90.0), [40.0, 130.0]);
    assert_eq!(uneven_told(uneven().fall(), 220.0..=260.0), [180.0, 300.0]);
    // A thousandth of the lift counts as none, at the bottom and at the top, wherever the gauge has its nought; twice as much does not.
    let from = |hum: f64, nought: f64| {
        let mut read = READINGS.to_vec();
        (read[1].1, read[6].1) = (hum, 30.0 - hum);
        let read: Vec<(f64, f64)> = read.iter().map(|(a, l)| (a.to_radians(), (l + nought) * 1e-3)).collect();
        degrees(&[measured(&read).rise().from, measured(&read).fall().from])
    };
    for nought in [0.0, 200.0, -10.0] {
        assert_eq!(from(0.029, nought), [40.0, 180.0], "{nought}");
        assert_eq!(from(0.06, nought), [0.0, 130.0], "{nought}");
    }
    // Through the end of the turn: told from the turn's start on.
    let turned: Vec<(f64, f64)> = READINGS.iter().map(|(a, l)| ((a + 100.0_f64) % 360.0, *l)).collect();
    let mut turned: Vec<(f64, f64)> = turned.iter().map(|(a, l)| (a.to_radians(), l * 1e-3)).collect();
    turned.sort_by(|a, b| a.0.total_cmp(&b.0));
    let late = measured(&turned);
    assert_eq!(told(late.rise())[..2], [140.0, 230.0]);
    assert_eq!(told(late.fall())[..2], [280.0, 400.0]);
    let [rise, fall] = [uneven().rise(), uneven().fall()].map(|phase| told(phase)[2]);
    assert_eq!(vec![told(late.rise())[2], told(late.fall())[2]], [rise + 100.0, fall + 100.0]);
    // As read: high up to the reading at 180°, or to one in the fall that still rises.
    assert_eq!(degrees(&[uneven().fall_start()]), [180.0]);
    let mut read = READINGS.to_vec();
    read.insert(8, (240.0, 22.0));
    let bumped = measured(&read.iter().map(|(a, l)| (a.to_radians(), l * 1e-3)).collect::<Vec<_>>());
    assert_eq!(degrees(&[bumped.fall_start()]), [240.0]);
    assert_eq!(
        degrees(&bumped.breaks()),
        [40.0, 70.0, 90.0, 105.0, 130.0, 180.0, 220.0, 240.0, 260.0, 300.0]
    );
}

type Readings = Vec<(f64, f64)>;
type Change<'a> = &'a dyn Fn(&mut Readings);

/// Readings of which no cam can be made are refused, each for its own reason.
#[test]
fn property_readings_that_are_no_cam_are_refused() {
    let read = |change: Change<'_>| {
        let mut read: Readings = READINGS.map(|(a, l)| (a.to_radians(), l * 1e-3)).to_vec();
        change(&mut read);
        let mut faults = Faults::default();
        let stated = CamStatement::Measured(read.iter().map(|&(a, l)| (Angle(a), Length(l))).collect());
        let cam = Cam::prepare(&stated, &mut faults);
        faults.settle(cam).err().map(|faults| faults[0].to_string())
    };
    assert_eq!(read(&|_| ()), None);
    assert_eq!(read(&|read| read[9].0 = 6.27), None);
    assert_eq!(read(&|read| read.truncate(6)), None);
    for (change, why) in [
        (&(|read: &mut Readings| read.truncate(5)) as Change<'_>, "too few"),
        (&|read| read[3].1 = f64::NAN, "not a number"),
        (&|read| read[3].0 = f64::INFINITY, "not a number"),
        (&|read| read[9].0 = TAU, "do not rise"),
        (&|read| read[0].0 = -0.1, "do not rise"),
        (&|read| read[4].0 = read[3].0, "do not rise"),
        (&|read| read.iter_mut().for_each(|one| one.1 = 0.02), "no lift"),
        (&|read| read.iter_mut().for_each(|one| one.1 = if one.0 < 2.0 { 0.03 } else { 0.0 }), "half-way up"),
    ] {
        let said = read(change).unwrap_or_default();
        assert!(said.contains(why), "{why}: {said}");
    }
    // A start less than half-way up will do, one more than that will not.
    let at = |share: f64| read(&|read| (read[0].1, read[9].1) = (share * 0.03, share * 0.03));
    assert_eq!(at(0.45), None);
    assert!(at(0.55).is_some_and(|said| said.contains("half-way up")));
}
