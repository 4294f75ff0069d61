//! The solved cooling of a slab and of a section against exact series for conduction, against each other, and against finer
//! grids; interfaces that change; and the heat they account for.
//!
//! Series of the plane wall and the half-space's surface: H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*,
//! sections 3.11 and 2.7 (from memory); evaluated with SciPy 1.17.1.

use approx::assert_relative_eq;
use latchstroke_models::freezing::course::Course;
use latchstroke_models::freezing::interface::{Interface, Parting, between};
use latchstroke_models::freezing::section::{Section, SectionResolution};
use latchstroke_models::freezing::slab::{End, Resolution, Slab, Walls};
use latchstroke_models::freezing::substance::Substance;
use latchstroke_models::heat_curve::HeatCurve;

const FINE: Resolution = Resolution { cells: 160, growth: 1.015, tolerance: 1e-5 };
const WALL: f64 = 300.0;
const START: f64 = 400.0;
const HALF: f64 = 2e-3;
const CONDUCTIVITY: f64 = 24.0;
/// Volumetric heat, J/(m³·K).
const VOLUMETRIC: f64 = 1e4 * 150.0;

/// Metal that stays solid: it melts at 2000 K.
fn solid() -> Substance {
    let curve = HeatCurve::straight(2000.0, 2000.0, 1e5, 150.0, 150.0).expect("a valid curve");
    Substance::new(1e4, &curve, CONDUCTIVITY, CONDUCTIVITY).expect("a valid metal")
}

fn walls(interface: Interface) -> Walls {
    Walls { temperature: WALL, interface }
}

/// The cooling of a solid slab of HALF from START until `time`.
fn cooling(interface: Interface, time: f64) -> Course {
    let metal = solid();
    let heat = metal.curve().greatest_heat(START);
    let slab = Slab::with_resolution(metal, walls(interface), HALF, FINE).expect("a valid slab");
    slab.course(|_| heat, 0.5, End::Time(time))
}

/// (T − T_w)/(T_i − T_w).
fn share(temperature: f64) -> f64 {
    (temperature - WALL) / (START - WALL)
}

fn time_of(fourier: f64) -> f64 {
    fourier * HALF * HALF * VOLUMETRIC / CONDUCTIVITY
}

#[test]
fn reference_plane_wall_cools_as_its_series() {
    // Biot number; middle at Fo = 0.2, 0.5, 1, 2; surface at Fo = 0.5.
    let cases = [
        (0.01, [0.99938683994, 0.99666722175, 0.99172701881, 0.98189191357], 0.99173327486),
        (0.1, [0.99399850159, 0.96798074601, 0.9223885716, 0.83732610651], 0.92177894202),
        (0.5, [0.97260041886, 0.86411412896, 0.69838322114, 0.45577860971], 0.68688198172),
        (1.0, [0.95064177851, 0.77252638342, 0.53385940141, 0.25466804238], 0.5045219279),
        (2.0, [0.91789220137, 0.6596183955, 0.36955571888, 0.11589041436], 0.31313269983),
        (5.0, [0.864881429, 0.52310909858, 0.22072068089, 0.039280515357], 0.13303205088),
        (10.0, [0.82925473082, 0.45464055561, 0.16381764169, 0.021265464686], 0.064328955271),
        (100.0, [0.7793616382, 0.37985355634, 0.11334236446, 0.010090814973], 0.0059074335178),
    ];
    for (biot, middles, surface) in cases {
        let course = cooling(Interface::Constant(biot * CONDUCTIVITY / HALF), time_of(2.0));
        // 0.002 of the whole drop: the middle is read at the centre of the last cell, and moments on straight lines.
        for (fourier, middle) in [0.2, 0.5, 1.0, 2.0].into_iter().zip(middles) {
            let moment = course.at(time_of(fourier)).expect("a solved moment");
            assert_relative_eq!(share(moment.middle_temperature), middle, epsilon = 2e-3);
        }
        let moment = course.at(time_of(0.5)).expect("a solved moment");
        assert_relative_eq!(share(moment.surface_temperature), surface, epsilon = 2e-3);
    }
}

#[test]
fn reference_surface_of_a_half_space_cools_by_error_function() {
    // β = h·√(α·t)/k; 1 − exp(β²)·erfc(β). So early that the middle is still at its start.
    let h = 1e6;
    let course = cooling(Interface::Constant(h), time_of(0.01));
    let cases = [(0.5, 0.384309655807), (1.0, 0.572416423844), (2.0, 0.744604323689), (0.1, 0.103543020031)];
    for (beta, fallen) in cases {
        let time = (beta * CONDUCTIVITY / h).powi(2) * VOLUMETRIC / CONDUCTIVITY;
        let moment = course.at(time).expect("a solved moment");
        // 0.01 of the whole drop: at β = 0.1 the cold has gone no deeper than the outermost cell.
        assert_relative_eq!(1.0 - share(moment.surface_temperature), fallen, epsilon = 1e-2);
        assert!(share(moment.middle_temperature) > 0.9999);
    }
}

#[test]
fn reference_bar_cools_as_the_product_of_two_plane_walls() {
    // Newman's product: a bar is the product of its two walls. Half body HALF at Bi = 1 and Fo = 0.5, half set HALF/√2 so that
    // its Fo is 1 and, at the same h, its Bi is 1/√2. Middle at Bi = 1/√2, Fo = 1 by the series with SciPy 1.17.1.
    let metal = solid();
    let heat = metal.curve().greatest_heat(START);
    let interface = Interface::Constant(CONDUCTIVITY / HALF);
    let fine = SectionResolution { cells_across_body: 24, cells_across_set: 24, growth: 1.05 };
    let middle_of = |half_set: f64| {
        let walls = walls(interface.clone());
        let bar =
            Section::with_resolution(metal.clone(), walls, HALF, half_set, fine).expect("a valid section");
        let course = bar.course(|_, _| heat, 0.5, End::Time(time_of(0.5)));
        share(course.moments.last().expect("a solved moment").middle_temperature)
    };
    // 0.003 of the whole drop: the middle is read at the centre of the last cell, a thirtieth of the half from it.
    assert_relative_eq!(middle_of(HALF), 0.77252638342_f64.powi(2), epsilon = 3e-3);
    let narrow = HALF / std::f64::consts::SQRT_2;
    assert_relative_eq!(middle_of(narrow), 0.77252638342 * NARROW_MIDDLE, epsilon = 3e-3);
}

/// Middle of the plane wall of Bi = 1/√2 at Fo = 1.
const NARROW_MIDDLE: f64 = 0.61917316868;

/// Type metal that freezes from 270 to 240 °C, poured at 350 °C against a wall at 60 °C.
fn type_metal(liquidus: f64) -> (Substance, f64) {
    let curve = HeatCurve::straight(513.15, liquidus, 50e3, 150.0, 150.0).expect("a valid curve");
    let metal = Substance::new(10200.0, &curve, 24.0, 20.0).expect("a valid metal");
    (metal, curve.greatest_heat(623.15))
}

fn mould(interface: Interface) -> Walls {
    Walls { temperature: 333.15, interface }
}

const UNTIL_SOLID: End = End::MiddleSolid { give_up: 60.0 };

#[test]
fn property_wide_section_freezes_as_a_slab() {
    for liquidus in [543.15, 513.15] {
        let (metal, heat) = type_metal(liquidus);
        let interface = Interface::Constant(12e3);
        let slab =
            Slab::with_resolution(metal.clone(), mould(interface.clone()), 2.1e-3, FINE).expect("valid");
        let slab = slab.course(|_| heat, 0.35, UNTIL_SOLID);
        let fine = SectionResolution { cells_across_body: 24, cells_across_set: 12, growth: 1.08 };
        let wide = Section::with_resolution(metal, mould(interface), 2.1e-3, 16.8e-3, fine).expect("valid");
        let wide = wide.course(|_, _| heat, 0.35, UNTIL_SOLID);
        let time = slab.middle_solid.expect("solid");
        // 1 %: the grids differ; eight times as wide as the body is as good as endless.
        assert_relative_eq!(wide.middle_solid.expect("solid"), time, max_relative = 0.01);
        let skin = |course: &Course| course.at(0.3 * time).expect("a solved moment").skin;
        assert_relative_eq!(skin(&wide), skin(&slab), max_relative = 0.02);
    }
}

#[test]
fn closed_form_square_lump_freezes_twice_as_fast_as_a_slab() {
    // Where the interface rules (Bi = 0.01), V/A rules: a square bar has half the V/A of the slab of the same half.
    let curve = HeatCurve::straight(513.15, 513.15, 100e3, 150.0, 150.0).expect("a valid curve");
    let metal = Substance::new(1e4, &curve, 24.0, 24.0).expect("a valid metal");
    let interface = Interface::Constant(120.0);
    let bar = Section::new(metal.clone(), mould(interface.clone()), HALF, HALF).expect("valid");
    let bar = bar.course(|_, _| 100e3, 1.0, End::MiddleSolid { give_up: 300.0 });
    let slab = Slab::new(metal, mould(interface), HALF).expect("valid");
    let slab = slab.course(|_| 100e3, 1.0, End::MiddleSolid { give_up: 600.0 });
    let lump = 1e4 * 100e3 * HALF / (120.0 * 180.0);
    // 1.5 %: the solid is a little colder than the arrest, by the order of the Biot number.
    assert_relative_eq!(slab.middle_solid.expect("solid"), lump, max_relative = 0.015);
    assert_relative_eq!(bar.middle_solid.expect("solid"), 0.5 * lump, max_relative = 0.015);
}

#[test]
fn property_usual_grid_agrees_with_a_fine_one() {
    for liquidus in [543.15, 513.15] {
        for (interface, half) in [(12e3, 2.1e-3), (12e3, 6.3e-3), (30e3, 4e-3)] {
            let (metal, heat) = type_metal(liquidus);
            let walls = mould(Interface::Constant(interface));
            let solve = |resolution: Resolution| {
                let slab = Slab::with_resolution(metal.clone(), walls.clone(), half, resolution);
                slab.expect("valid").course(|_| heat, 0.35, UNTIL_SOLID)
            };
            let fine = solve(FINE);
            let usual = solve(Resolution::default());
            let time = fine.middle_solid.expect("solid");
            // As documented: 1 % in time, 2 % in skin once it is thicker than the outermost cells.
            assert_relative_eq!(usual.middle_solid.expect("solid"), time, max_relative = 0.01);
            for share in [0.2, 0.4, 0.6] {
                let skin = |course: &Course| course.at(share * time).expect("a solved moment").skin;
                assert_relative_eq!(skin(&usual), skin(&fine), max_relative = 0.02);
            }
        }
    }
}

#[test]
fn property_usual_section_agrees_with_a_fine_one() {
    for liquidus in [543.15, 513.15] {
        let (metal, heat) = type_metal(liquidus);
        let walls = mould(Interface::Constant(12e3));
        let fine = SectionResolution { cells_across_body: 28, cells_across_set: 28, growth: 1.06 };
        let fine =
            Section::with_resolution(metal.clone(), walls.clone(), 2.1e-3, 1.4e-3, fine).expect("valid");
        let usual = Section::new(metal, walls, 2.1e-3, 1.4e-3).expect("valid");
        let [fine, usual] =
            [fine, usual].map(|section| section.course(|_, _| heat, 0.35, UNTIL_SOLID).middle_solid);
        // As documented: 1 %.
        assert_relative_eq!(usual.expect("solid"), fine.expect("solid"), max_relative = 0.01);
    }
}

#[test]
fn property_grid_error_falls_with_the_square_of_the_cells() {
    // Pure conduction at Bi = 1: mean temperature at Fo = 1 against Σ 2Bi²/(ζ²(ζ² + Bi² + Bi))·exp(−ζ²Fo), SciPy 1.17.1.
    let error = |cells: usize| {
        let metal = solid();
        let heat = metal.curve().greatest_heat(START);
        let resolution = Resolution { cells, growth: 1.0, tolerance: 1e-8 };
        let walls = walls(Interface::Constant(CONDUCTIVITY / HALF));
        let slab = Slab::with_resolution(metal, walls, HALF, resolution).expect("valid");
        let course = slab.course(|_| heat, 0.5, End::Time(time_of(1.0)));
        (share(course.moments.last().expect("a solved moment").mean_temperature) - MEAN_AT_ONE).abs()
    };
    let (coarse, fine) = (error(5), error(20));
    // Second order: 16 for four times the cells, short of which by higher terms.
    assert!(coarse / fine > 12.0, "{coarse:e} to {fine:e}");
}

/// Mean of the plane wall of Bi = 1 at Fo = 1.
const MEAN_AT_ONE: f64 = 0.47039724887;

#[test]
fn balance_heat_lost_is_heat_missing() {
    let gap = Parting { contact: 12e3, contraction: 28e-6, gas_conductivity: 0.04 };
    let interfaces = [
        Interface::Constant(12e3),
        Interface::Constant(f64::INFINITY),
        Interface::OverTime(vec![(0.0, 30e3), (0.2, 8e3), (0.5, 3e3)]),
        Interface::Parting(gap),
    ];
    for interface in interfaces {
        for liquidus in [543.15, 513.15] {
            let (metal, heat) = type_metal(liquidus);
            // The fill left the metal at the wall cooler than in the middle.
            let start = |s: f64| between(&[(0.0, 0.6 * heat), (0.4, heat)], s);
            let slab = Slab::new(metal.clone(), mould(interface.clone()), 3e-3).expect("valid");
            let coarse = SectionResolution { cells_across_body: 10, cells_across_set: 8, growth: 1.1 };
            let section = Section::with_resolution(metal, mould(interface.clone()), 3e-3, 2e-3, coarse);
            let section = section.expect("valid");
            for course in [
                slab.course(start, 0.35, End::Time(1.5)),
                section.course(|s, t| start(s.min(t)), 0.35, End::Time(0.5)),
            ] {
                let (first, last) = (course.moments[0], course.moments[course.moments.len() - 1]);
                // To rounding: both schemes carry the wall's account through the same stages as the heat.
                assert_relative_eq!(first.heat - last.heat, last.heat_lost, max_relative = 1e-9);
                assert!(last.heat_lost > 0.5 * first.heat);
            }
        }
    }
}

#[test]
fn closed_form_interface_over_time_acts_by_its_integral() {
    // A lump (Bi = 0.004 at most): T − T_w falls by exp(−∫h dt/(ρ·c·b)).
    let h = 50.0;
    let table = vec![(0.0, h), (10.0, h), (40.0, 0.1 * h)];
    let course = cooling(Interface::OverTime(table), 60.0);
    let integral = h * 10.0 + 0.55 * h * 30.0 + 0.1 * h * 20.0;
    let expected = (-integral / (VOLUMETRIC * HALF)).exp();
    let last = course.moments.last().expect("a solved moment");
    // 0.002: the lump is not quite one, by a third of its Biot number.
    assert_relative_eq!(share(last.mean_temperature), expected, epsilon = 2e-3);
}

#[test]
fn closed_form_gap_opens_as_the_casting_shrinks() {
    // A solid lump from its solidus: ρ·c·b·∫(1/h₀ + a·(T_s − T))/(T − T_w) dT, a = α·b/k_g, gives the time
    // ρ·c·b·((1/h₀ + a·(T_s − T_w))·ln((T_s − T_w)/(T − T_w)) − a·(T_s − T)).
    let curve = HeatCurve::straight(500.0, 500.0, 1e5, 150.0, 150.0).expect("a valid curve");
    let metal = Substance::new(1e4, &curve, 2400.0, 2400.0).expect("a valid metal");
    let gap = Parting { contact: 12e3, contraction: 28e-6, gas_conductivity: 0.04 };
    let slab = Slab::with_resolution(metal, walls(Interface::Parting(gap)), HALF, FINE).expect("valid");
    let course = slab.course(|_| 0.0, 0.5, End::Time(2.0));
    let (above, then): (f64, f64) = (500.0 - WALL, 400.0);
    let widening = 28e-6 * HALF / 0.04;
    let path = (1.0 / 12e3 + widening * above) * (above / (then - WALL)).ln() - widening * (500.0 - then);
    let expected = VOLUMETRIC * HALF * path;
    // 1 %: the gap is taken as each step begins, and the lump is not quite one (Bi = 0.01).
    assert_relative_eq!(
        course.time_of_mean_temperature(then).expect("reached"),
        expected,
        max_relative = 0.01
    );
}

#[test]
fn property_cooler_start_and_better_contact_freeze_sooner() {
    let (metal, heat) = type_metal(543.15);
    let time = |h: f64, start: &dyn Fn(f64) -> f64| {
        let slab = Slab::new(metal.clone(), mould(Interface::Constant(h)), 3e-3).expect("valid");
        slab.course(start, 0.35, UNTIL_SOLID).middle_solid.expect("solid")
    };
    let full = time(12e3, &|_| heat);
    assert!(time(12e3, &|s| between(&[(0.0, 0.5 * heat), (0.5, heat)], s)) < full);
    assert!(time(24e3, &|_| heat) < full);
}

#[test]
fn property_impossible_slabs_are_refused() {
    let keys = |result: Result<Slab, Vec<latchstroke_models::fault::Fault>>| -> Vec<String> {
        result.err().unwrap_or_default().into_iter().map(|fault| fault.field.to_string()).collect()
    };
    let (metal, _) = type_metal(543.15);
    let walls = Walls { temperature: -1.0, interface: Interface::Constant(0.0) };
    let all = keys(Slab::new(metal.clone(), walls, 0.0));
    assert_eq!(all, ["half", "Walls.temperature", "Walls.interface"]);
    let unordered = Interface::OverTime(vec![(1.0, 5e3), (0.0, 5e3)]);
    assert_eq!(keys(Slab::new(metal, mould(unordered), 1e-3)), ["Walls.interface"]);
    assert!(HeatCurve::straight(550.0, 500.0, 5e4, 150.0, 150.0).is_err());
}

#[test]
fn property_every_slab_freezes_from_the_wall_inwards() {
    // The corners of what may be asked: contact, thickness, heat of fusion, freezing range, and conductivities far apart.
    for h in [30.0, 1e3, 1e5, f64::INFINITY] {
        for half in [2e-4, 1e-2] {
            for (latent_heat, range) in [(2e3, 0.0), (5e5, 1e-3), (5e4, 30.0), (5e4, 200.0)] {
                for (solid, liquid) in [(30.0, 3.0), (3.0, 30.0)] {
                    let curve = HeatCurve::straight(513.15, 513.15 + range, latent_heat, 150.0, 150.0);
                    let metal = Substance::new(1e4, &curve.expect("valid"), solid, liquid).expect("valid");
                    let heat = metal.curve().greatest_heat(750.0);
                    let slab = Slab::new(metal, mould(Interface::Constant(h)), half).expect("valid");
                    let course = slab.course(|_| heat, 0.35, End::MiddleSolid { give_up: 1e6 });
                    let what =
                        format!("h {h}, half {half}, {latent_heat} J/kg over {range} K, {solid}/{liquid}");
                    assert!(course.middle_solid.is_some() && course.moments.len() < 1000, "{what}");
                    for (early, late) in course.moments.iter().zip(course.moments.iter().skip(1)) {
                        // Cooling never runs backwards, but for the ripple of coarse steps at an arrest: half a per cent
                        // of the whole drop, 1 % of the half.
                        assert!(late.skin >= early.skin - 0.01 * half, "{what}");
                        assert!(late.mean_temperature <= early.mean_temperature + 2.0, "{what}");
                        assert!(late.surface_temperature >= 333.15 - 1e-6, "{what}");
                    }
                }
            }
        }
    }
}
