//! What a course begins with and where it ends, read from it; a skin read from a row of temperatures that are known.

use super::course::{Course, Moment, Row};
use super::grid::Grid;
use super::interface::{Interface, Parting};
use super::section::{Section, SectionResolution};
use super::slab::{End, Resolution, Slab, Walls};
use super::substance::Substance;
use crate::heat_curve::{CurvePoint, HeatCurve};

const WALL: f64 = 350.0;
const HALF: f64 = 2e-3;
const POURED: f64 = 70e3;
const FOREVER: f64 = 1e3;

/// A metal with a straight freezing range of 30 K.
fn metal() -> Substance {
    let curve = HeatCurve::straight(513.0, 543.0, 45e3, 150.0, 160.0).expect("a curve");
    Substance::new(9_700.0, &curve, 25.0, 16.0).expect("a metal")
}

fn walls(interface: Interface) -> Walls {
    Walls { temperature: WALL, interface }
}

fn slab_until(end: End) -> Course {
    let slab = Slab::new(metal(), walls(Interface::Constant(5e3)), HALF).expect("a slab");
    slab.course(|_| POURED, 0.5, end)
}

/// The last moment of a course, and the one before it.
fn ends(course: &Course) -> (&Moment, &Moment) {
    match course.moments.as_slice() {
        [.., before, last] => (before, last),
        _ => panic!("two moments"),
    }
}

#[test]
fn a_course_ends_where_it_is_asked_to_and_not_a_step_later() {
    let course = slab_until(End::Time(0.123));
    assert_eq!(ends(&course).1.time.to_bits(), 0.123_f64.to_bits());

    // In steps short enough to tell.
    let fine = Resolution { tolerance: 1e-8, ..Resolution::default() };
    let slab = Slab::with_resolution(metal(), walls(Interface::Constant(5e3)), HALF, fine).expect("a slab");
    let course = slab.course(|_| POURED, 0.5, End::Spent { time: FOREVER });
    let coldest = metal().curve().greatest_heat(WALL);
    let left = |moment: &Moment| (moment.mean_heat - coldest) / (POURED - coldest);
    let (before, last) = ends(&course);
    assert!(
        left(last) <= 1e-4 && left(last) > 0.8e-4 && left(before) > 1e-4,
        "{} and {}",
        left(before),
        left(last)
    );
    assert!(last.time < FOREVER);

    let until =
        |depth: f64, time: f64, within: f64| slab_until(End::Skin { depth, time, within, give_up: FOREVER });
    // At the skin.
    let course = until(0.2 * HALF, 0.0, f64::INFINITY);
    let (before, last) = ends(&course);
    assert!(before.skin < 0.2 * HALF && last.skin >= 0.2 * HALF && last.progress < 1.0);
    // At the time, which comes later.
    let late = 1.5 * last.time;
    let course = until(0.2 * HALF, late, f64::INFINITY);
    let (before, last) = ends(&course);
    assert!(before.time < late && last.time >= late && before.skin >= 0.2 * HALF);
    // Once it no longer matters.
    let soon = 0.5 * late;
    let course = until(0.9 * HALF, 0.0, soon);
    let (before, last) = ends(&course);
    assert!(before.time < soon && last.time >= soon && last.skin < 0.9 * HALF);
    // Through to the middle, however long that takes.
    let course = until(2.0 * HALF, FOREVER, f64::INFINITY);
    let (before, last) = ends(&course);
    assert!(before.progress < 1.0 && last.progress >= 1.0 && last.time < FOREVER);

    let course = Section::new(metal(), walls(Interface::Constant(5e3)), HALF, HALF)
        .expect("a section")
        .course(|_, _| POURED, 0.5, End::Time(0.123));
    assert_eq!(ends(&course).1.time.to_bits(), 0.123_f64.to_bits());
}

/// The mean over the shares of the way is half for the share and a third for its square. The outermost cell gives the surface its
/// temperature: what flows through the interface flows through the half cell behind it.
#[test]
fn a_course_begins_with_the_heat_that_it_is_given() {
    let start = |s: f64, t: f64| POURED * (1.0 + 0.3 * s * s + 0.1 * t);
    let mean = POURED * (1.0 + 0.1 + 0.05);
    let interface = Interface::Constant(5e3);
    let resolution = SectionResolution { cells_across_body: 7, cells_across_set: 11, growth: 1.1 };
    let section = Section::with_resolution(metal(), walls(interface.clone()), HALF, 3.0 * HALF, resolution);
    let course = section.expect("a section").course(start, 0.5, End::Time(0.0));
    let slab = Slab::new(metal(), walls(interface), HALF).expect("a slab");
    let flat = slab.course(|s| start(s, 0.5), 0.5, End::Time(0.0));
    for course in [&course, &flat] {
        let first = course.moments[0];
        // The middle of each cell stands for it: that falls short of a square's mean by a thousandth.
        assert!((first.mean_heat / mean - 1.0).abs() < 2e-3, "{}", first.mean_heat);
        let (depth, heat) = course.profile[0];
        let (resistance, behind) = (1.0 / 5e3, depth / 16.0);
        let surface = WALL + (metal().temperature(heat) - WALL) * resistance / (resistance + behind);
        assert!(
            (first.surface_temperature - surface).abs() < 1e-9,
            "{} {surface}",
            first.surface_temperature
        );
        let (last, _) = course.profile[course.profile.len() - 1];
        assert!(last < HALF && last > 0.8 * HALF);
    }
}

/// A gap that opens as the metal shrinks is one that opens with time as the solved course says: 1/h = 1/h_0 + α·b·(T_sol − T_mean)/k_g.
#[test]
fn a_gap_that_follows_the_metal_is_the_same_gap_over_time() {
    let parting = Parting { contact: 5e3, contraction: 25e-6, gas_conductivity: 0.03 };
    // From cold enough for the gap to open at once. The wider half decides.
    let (start, [narrow, wide]) = (2e3, [HALF, 3.0 * HALF]);
    let section = |interface: &Interface| {
        let section = Section::new(metal(), walls(interface.clone()), narrow, wide).expect("a section");
        section.course(|_, _| start, 0.5, End::Time(0.5))
    };
    let slab = |interface: &Interface| {
        let fine = Resolution { cells: 40, growth: 1.04, tolerance: 1e-5 };
        let slab = Slab::with_resolution(metal(), walls(interface.clone()), wide, fine).expect("a slab");
        slab.course(|_| start, 0.5, End::Time(0.5))
    };
    let courses: [&dyn Fn(&Interface) -> Course; 2] = [&section, &slab];
    for solve in courses {
        let course = solve(&Interface::Parting(parting));
        let gap = |moment: &Moment| {
            let below = (513.0 - moment.mean_temperature).max(0.0);
            let resistance =
                1.0 / parting.contact + parting.contraction * wide * below / parting.gas_conductivity;
            (moment.time, 1.0 / resistance)
        };
        let over_time = solve(&Interface::OverTime(course.moments.iter().map(gap).collect()));
        let lost = [&course, &over_time].map(|course| ends(course).1.heat_lost);
        assert!((lost[0] / lost[1] - 1.0).abs() < 5e-3, "{lost:?}");
        let shut = solve(&Interface::Constant(parting.contact));
        assert!(ends(&shut).1.heat_lost > 1.05 * lost[0], "the gap makes no difference");
    }
}

/// About the middle the temperature is a parabola, T = T_m − c·(b − x)², on which a temperature T_f stands at (1 − s/b)² = (T_m − T_f)/(c·b²).
#[test]
fn a_skin_close_to_the_middle_is_read_on_the_parabola() {
    let (metal, grid) = (metal(), Grid::graded(HALF, 8, 1.1));
    let (middle, drop) = (530.0, 12.0);
    let temperature = |depth: f64| middle - drop * (1.0 - depth / HALF).powi(2);
    let heat: Vec<f64> = grid.centres.iter().map(|x| metal.curve().greatest_heat(temperature(*x))).collect();
    let row = Row { metal: &metal, grid: &grid, heat: &heat, surface_temperature: temperature(0.0) };
    let last = temperature(grid.centres[7]);
    for freezing in [last + 0.2 * (middle - last), last + 0.9 * (middle - last), middle + 0.5] {
        // The share that is solid at this temperature of the straight range.
        let share = (543.0 - freezing) / 30.0;
        let progress = 1.0 - (middle - freezing) / drop;
        assert!(
            (row.progress(share) - progress).abs() < 1e-9,
            "{freezing}: {} {progress}",
            row.progress(share)
        );
    }
    // A row without any slope that is all colder than that: the skin is through.
    let heat = vec![1e3; 8];
    let row = Row { metal: &metal, grid: &grid, heat: &heat, surface_temperature: metal.temperature(1e3) };
    assert_eq!(row.progress(0.5).to_bits(), 1.0_f64.to_bits());
}

/// At an arrest between 10 and 30 kJ/kg the front stands as far in its cell as the arrest is over there.
#[test]
fn a_front_stands_as_far_in_its_cell_as_the_arrest_is_over_there() {
    let point = |heat: f64, temperature: f64, solid: f64| CurvePoint { heat, temperature, solid };
    let points = [(0.0, 500.0, 1.0), (10e3, 510.0, 0.8), (30e3, 510.0, 0.3), (50e3, 530.0, 0.0)];
    let points = points.map(|(heat, temperature, solid)| point(heat, temperature, solid)).to_vec();
    let curve = HeatCurve::new(points, 150.0, 160.0).expect("a curve");
    let metal = Substance::new(9_700.0, &curve, 25.0, 16.0).expect("a metal");
    let grid = Grid::graded(HALF, 5, 1.2);
    let heat = [5e3, 9e3, 15e3, 40e3, 45e3];
    let row = Row { metal: &metal, grid: &grid, heat: &heat, surface_temperature: 480.0 };
    let depth = grid.widths[0] + grid.widths[1] + 0.75 * grid.widths[2];
    let progress = 1.0 - (1.0 - depth / HALF).powi(2);
    assert!((row.progress(0.5) - progress).abs() < 1e-12, "{} {progress}", row.progress(0.5));
}

/// The middle is solid at a kink in time; the first moment after it is no more than a thousandth late.
#[test]
fn the_moment_at_which_the_middle_is_solid_is_closed_in_on() {
    let course = |tolerance: f64, heat_transfer: f64| {
        let resolution = Resolution { tolerance, ..Resolution::default() };
        let walls = walls(Interface::Constant(heat_transfer));
        let slab = Slab::with_resolution(metal(), walls, HALF, resolution).expect("a slab");
        slab.course(|_| POURED, 0.5, End::Spent { time: FOREVER })
    };
    for heat_transfer in [500.0, 2e3, 5e3, 20e3, 1e5] {
        let exact = course(1e-8, heat_transfer).middle_solid.expect("a solid middle");
        for tolerance in [2e-3, 1e-3, 2e-4] {
            let course = course(tolerance, heat_transfer);
            let after =
                course.moments.iter().find(|moment| moment.middle_heat <= 0.0).expect("a solid middle");
            let solid = course.middle_solid.expect("a solid middle");
            assert!(solid <= after.time && after.time <= 1.001 * solid, "{solid} {}", after.time);
            assert!((solid / exact - 1.0).abs() < 3e-3, "{solid} {exact}");
        }
    }
}

/// What a course costs, in moments, each of which is a step: as it is known to, or less.
#[test]
fn a_course_takes_no_more_steps_than_it_is_known_to() {
    let slab = slab_until(End::Spent { time: FOREVER }).moments.len();
    let parting = Parting { contact: 5e3, contraction: 25e-6, gas_conductivity: 0.03 };
    let follows = Slab::new(metal(), walls(Interface::Parting(parting)), HALF).expect("a slab");
    let follows = follows.course(|_| POURED, 0.5, End::Spent { time: FOREVER }).moments.len();
    let section =
        Section::new(metal(), walls(Interface::Constant(5e3)), HALF, 2.0 * HALF).expect("a section");
    let section = section.course(|_, _| POURED, 0.5, End::Spent { time: FOREVER }).moments.len();
    assert!(slab <= 42 && follows <= 50 && section <= 1700, "{slab}, {follows}, {section}");
}

/// On a curve of several pieces the shares and temperatures at its points are its points', and nowhere does heat spread faster than the
/// bound that steps are taken by.
#[test]
fn a_substance_follows_its_curve_and_spreads_heat_no_faster_than_its_bound() {
    let point = |heat: f64, temperature: f64, solid: f64| CurvePoint { heat, temperature, solid };
    // Steep at first, so that heat spreads fastest where the metal is neither solid nor liquid.
    let points = [(0.0, 500.0, 1.0), (100.0, 510.0, 0.6), (30e3, 511.0, 0.3), (50e3, 530.0, 0.0)];
    let points = points.map(|(heat, temperature, solid)| point(heat, temperature, solid)).to_vec();
    for [solid, liquid] in [[25.0, 16.0], [16.0, 25.0]] {
        let curve = HeatCurve::new(points.clone(), 150.0, 160.0).expect("a curve");
        let metal = Substance::new(9_700.0, &curve, solid, liquid).expect("a metal");
        for point in &points {
            assert!((metal.solid(point.heat) - point.solid).abs() < 1e-12);
            assert!((metal.temperature(point.heat) - point.temperature).abs() < 1e-9);
        }
        assert!((metal.solid(50.0) - 0.8).abs() < 1e-12 && (metal.solid(40e3) - 0.15).abs() < 1e-12);
        let spreads =
            |heat: f64| (metal.potential(heat + 1.0) - metal.potential(heat - 1.0)) / 2.0 / metal.density();
        let heats = (-40..80).map(|n| 1e3 * f64::from(n) + 500.0).chain((2..99).map(f64::from));
        let fastest = heats.map(spreads).fold(0.0, f64::max);
        let bound = metal.greatest_diffusivity();
        assert!(fastest <= bound * (1.0 + 1e-9) && fastest > 0.5 * bound, "{fastest} {bound}");
    }
}
