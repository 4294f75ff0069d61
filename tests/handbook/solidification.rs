//! The solved cooling of a slab against published solutions of freezing: Neumann's fronts, with and without superheat, the
//! quasi-steady front behind an interface, and lumps that cool and freeze evenly.
//!
//! Neumann: H. S. Carslaw and J. C. Jaeger, *Conduction of Heat in Solids*, section 11.2; equation read in J. Crank, *Free and
//! Moving Boundary Problems*, p. 103. Roots by mpmath 1.3.0 and SciPy 1.17.1.

use super::QUASI_STEADY;
use approx::assert_relative_eq;
use latchstroke_models::freezing::course::Course;
use latchstroke_models::freezing::interface::Interface;
use latchstroke_models::freezing::slab::{End, Resolution, Slab, Walls};
use latchstroke_models::freezing::substance::Substance;
use latchstroke_models::heat_curve::HeatCurve;

/// Fine enough that the front's own steps from cell to cell stay below the tolerances here.
const FINE: Resolution = Resolution { cells: 160, growth: 1.015, tolerance: 3e-5 };

/// A metal that freezes at one temperature, in SI.
struct Pure {
    density: f64,
    melting: f64,
    latent_heat: f64,
    specific_heat: [f64; 2],
    conductivity: [f64; 2],
}

impl Pure {
    fn curve(&self) -> HeatCurve {
        let [solid, liquid] = self.specific_heat;
        HeatCurve::straight(self.melting, self.melting, self.latent_heat, solid, liquid)
            .expect("a valid curve")
    }

    /// Half a body of `half` (m) against `walls`, from liquid at `start` (K) until `end`, skin counted at all solid.
    fn course(&self, wall: f64, interface: Interface, half: f64, start: f64, end: End) -> Course {
        let [solid, liquid] = self.conductivity;
        let metal = Substance::new(self.density, &self.curve(), solid, liquid).expect("a valid metal");
        let walls = Walls { temperature: wall, interface };
        let slab = Slab::with_resolution(metal, walls, half, FINE).expect("a valid slab");
        let heat = self.curve().greatest_heat(start);
        slab.course(|_| heat, 1.0, end)
    }
}

/// Perfect contact with the wall.
const TOUCHING: Interface = Interface::Constant(f64::INFINITY);

#[test]
fn closed_form_front_without_superheat_follows_neumann() {
    // Stefan number, λ of √π·λ·exp(λ²)·erf(λ) = St; front 2·λ·√(α·t).
    let cases = [
        (0.05, 0.1568209223345),
        (0.2, 0.3064239053612),
        (0.5, 0.4647859206462),
        (1.0, 0.6200626333136),
        (2.0, 0.8006013628056),
        (5.0, 1.059687014282),
    ];
    for (stefan, lambda) in cases {
        let metal = Pure {
            density: 1e4,
            melting: 600.0,
            latent_heat: 150.0 * 200.0 / stefan,
            specific_heat: [150.0; 2],
            conductivity: [30.0; 2],
        };
        let diffusivity = 30.0 / (1e4 * 150.0);
        let front = |time: f64| 2.0 * lambda * (diffusivity * time).sqrt();
        let half = 5e-3;
        let time = |share: f64| (share * half / (2.0 * lambda)).powi(2) / diffusivity;
        let course = metal.course(400.0, TOUCHING, half, 600.0, End::Time(time(0.8)));
        // From a tenth of the slab on, when ten cells and more are solid; 1 %: the front is smeared over one cell.
        for share in [0.1, 0.2, 0.4, 0.6, 0.79] {
            let skin = course.at(time(share)).expect("a solved moment").skin;
            assert_relative_eq!(skin, front(time(share)), max_relative = 0.01);
        }
        assert_relative_eq!(
            course.time_of_skin(0.5 * half).expect("reached"),
            time(0.5),
            max_relative = 0.01
        );
    }
}

#[test]
fn closed_form_front_in_superheated_water_follows_neumann() {
    let water = Pure {
        density: 1000.0,
        melting: 273.15,
        latent_heat: 333.4e3,
        specific_heat: [2050.0, 4200.0],
        conductivity: [2.22, 0.556],
    };
    // Ten times as deep as the front gets, so that the warm water does not feel its middle.
    let course = water.course(263.15, TOUCHING, 0.2, 278.15, End::Time(3600.0));
    let skin = course.at(3600.0).expect("a solved moment").skin;
    // 1 %: the front is smeared over one cell.
    assert_relative_eq!(skin, 0.020505895973, max_relative = 0.01);
}

fn superheated_lead(half: f64, end: End) -> Course {
    let lead = Pure {
        density: 10660.0,
        melting: 600.6,
        latent_heat: 23070.0,
        specific_heat: [142.0, 146.7],
        conductivity: [30.0, 16.6],
    };
    lead.course(400.0, TOUCHING, half, 673.15, end)
}

#[test]
fn closed_form_front_in_superheated_lead_follows_neumann() {
    let course = superheated_lead(6e-3, End::Time(0.045));
    // 1 %: the front is smeared over one cell.
    let skin = course.at(0.010).expect("a solved moment").skin;
    assert_relative_eq!(skin, 0.00048676357547, max_relative = 0.01);
    assert_relative_eq!(course.time_of_skin(1e-3).expect("reached"), 0.042204995177, max_relative = 0.01);
}

#[test]
fn closed_form_temperatures_about_a_front_follow_neumann() {
    let course = superheated_lead(3e-3, End::Time(0.010));
    let curve = HeatCurve::straight(600.6, 600.6, 23070.0, 142.0, 146.7).expect("a valid curve");
    let lead = Substance::new(10660.0, &curve, 30.0, 16.6).expect("a valid metal");
    let temperature = |depth: f64| {
        let inside = course.profile.partition_point(|cell| cell.0 < depth);
        let ((x0, e0), (x1, e1)) = (course.profile[inside - 1], course.profile[inside]);
        let (t0, t1) = (lead.temperature(e0), lead.temperature(e1));
        t0 + (t1 - t0) * (depth - x0) / (x1 - x0)
    };
    let front = 0.00048676357547;
    // In the middle of the solid, and in the liquid at twice the front's depth; 1 K in 200, for the cells' width.
    assert_relative_eq!(temperature(0.5 * front), 507.6882463, epsilon = 1.0);
    assert_relative_eq!(temperature(2.0 * front), 664.5139678, epsilon = 1.0);
}

/// Metal that gives up next to nothing but its heat of fusion.
fn all_latent(conductivity: f64) -> Pure {
    Pure {
        density: 10400.0,
        melting: 513.15,
        latent_heat: 40e3,
        specific_heat: [1.0; 2],
        conductivity: [conductivity; 2],
    }
}

#[test]
fn closed_form_front_behind_an_interface_is_quasi_steady() {
    for (h, skin, time) in QUASI_STEADY {
        let end = End::Time(1.2 * time);
        let course = all_latent(25.0).course(333.15, Interface::Constant(h), 3e-3, 513.15, end);
        // 1 %: the Stefan number is 0.0045, and the front is smeared over one cell.
        assert_relative_eq!(course.time_of_skin(skin * 1e-3).expect("reached"), time, max_relative = 0.01);
    }
}

#[test]
fn closed_form_lump_freezes_at_the_rate_of_its_interface() {
    // ρ·L·(V/A)/(h·ΔT) for a square bar of side 4.2175176 mm, V/A a quarter of it, as a slab of that half thickness.
    let half = 4.2175176e-3 / 4.0;
    let end = End::MiddleSolid { give_up: 1.0 };
    let course = all_latent(1e6).course(333.15, Interface::Constant(1e4), half, 513.15, end);
    // 0.2 %: the solid cools by a share c·ΔT/L = 0.0045 of the way that conduction lets it, which is nearly none.
    assert_relative_eq!(course.middle_solid.expect("solid"), 0.243678794667, max_relative = 2e-3);
}

#[test]
fn closed_form_lump_loses_its_superheat_by_logarithm() {
    // ρ·c·(V/A)/h·ln((T_i − T_0)/(T_f − T_0)): 350 to 245 °C in a wall at 60 °C; guards against slips.
    let metal = Pure {
        density: 10200.0,
        melting: 500.0,
        latent_heat: 40e3,
        specific_heat: [150.0; 2],
        conductivity: [1e5; 2],
    };
    let end = End::Time(0.09);
    let course = metal.course(333.15, Interface::Constant(1e4), 1.05438e-3, 623.15, end);
    let time = course.time_of_mean_temperature(518.15).expect("reached");
    // 0.1 %: the tolerance of the steps.
    assert_relative_eq!(time, 0.072517451727, max_relative = 1e-3);
}

#[test]
fn handbook_thermocouple_bead_warms_as_a_lump() {
    // F. P. Incropera and others, *Fundamentals of Heat and Mass Transfer*, example 5.1 (read in the FOSSEE notebook of its
    // chapter 5): a bead of 7.06e-4 m warms from 25 to 199 °C in gas at 200 °C in 5.2 s; 5.164785974 s before rounding.
    let bead = Pure {
        density: 8500.0,
        melting: 1500.0,
        latent_heat: 1e5,
        specific_heat: [400.0; 2],
        conductivity: [20.0; 2],
    };
    let volume_to_area = 0.0007058823529 / 6.0;
    let end = End::Time(5.164785974);
    let course = bead.course(473.15, Interface::Constant(400.0), volume_to_area, 298.15, end);
    let last = course.moments.last().expect("a solved moment");
    // 0.02 K: the Biot number of 0.0024 slows the lump by 0.08 %, and the steps err by their tolerance.
    assert_relative_eq!(last.mean_temperature, 472.15, epsilon = 0.02);
}
