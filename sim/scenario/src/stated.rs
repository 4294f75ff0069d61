//! From a scenario to a machine: the values an owner wrote, typed by kind of quantity.

mod casting;
pub mod designation;
pub mod experience;
pub mod parts;
pub mod tolerance;

pub use casting::from_alloy;

use crate::{Scenario, Section};
use latchstroke_core::studies::judge::{Acceptance, Cast, Terms};
use latchstroke_core::turn::Accuracy;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::cam::{CamStatement, Law};
use latchstroke_models::contact::DampingStatement;
use latchstroke_models::cross_block::{Closure, CrossBlockStatement};
use latchstroke_models::latch::{LatchStatement, TripStatement};
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::piston::PistonStatement;
use latchstroke_models::rod::{LeverStatement, RodStatement};
use latchstroke_models::spring::{PreloadStatement, RateStatement, SpringStatement, WireStatement};
use latchstroke_models::units::{
    Angle, Damping, Density, Force, Length, Mass, MomentOfInertia, Pace, Pressure, Speed, Stiffness, Time,
    Volume,
};
use latchstroke_models::well::{Suction, WellStatement};

/// The SI value of a key that the reader has made sure of. A key that is missing all the same gives not-a-number, which the
/// machine's own checks report.
fn si(scenario: &Scenario, path: &str) -> f64 {
    scenario.quantity(path).map_or(f64::NAN, |quantity| quantity.si)
}

fn number(scenario: &Scenario, path: &str) -> f64 {
    scenario.number(path).unwrap_or(f64::NAN)
}

fn damping(scenario: &Scenario, path: &str) -> Option<DampingStatement> {
    scenario.quantity(path).map(|quantity| DampingStatement::Coefficient(Damping(quantity.si)))
}

fn length(scenario: &Scenario, path: &str) -> Option<Length> {
    scenario.quantity(path).map(|quantity| Length(quantity.si))
}

/// The machine of a scenario as its owner states it.
pub fn machine(scenario: &Scenario) -> MachineStatement {
    let at = |path: &str| si(scenario, path);
    MachineStatement {
        cam: cam(scenario),
        cross_block: cross_block(scenario),
        springs: scenario.springs().map(spring).collect(),
        abutment: AbutmentStatement {
            bare_gap: length(scenario, "stack.bare_gap"),
            sleeve: Length(at("stack.sleeve")),
            extension: Length(at("stack.extension")),
            nut_turns: at("stack.nut_turns"),
            thread_pitch: length(scenario, "stack.thread_pitch"),
            extension_outside: length(scenario, "parts.extension_outside"),
            bare_clearance: length(scenario, "stack.bare_clearance"),
        },
        latch: LatchStatement {
            trip: length(scenario, "latch.trip_lift")
                .map_or(TripStatement::Prongs(Length(at("latch.prong_travel"))), TripStatement::Lift),
            release_delay: Time(at("latch.release_delay")),
        },
        rod: RodStatement {
            mass: Mass(at("rod.mass")),
            friction: Force(at("rod.friction")),
            drag: Damping(at("rod.drag")),
            friction_speed: Speed(at("rod.friction_speed")),
            stop_stiffness: Stiffness(at("rod.stop_stiffness")),
            stop_damping: damping(scenario, "rod.stop_damping")
                .unwrap_or(DampingStatement::Restitution(number(scenario, "rod.stop_restitution"))),
        },
        lever: LeverStatement {
            ratio: number(scenario, "lever.ratio"),
            inertia: MomentOfInertia(at("lever.inertia")),
            arm: length(scenario, "lever.arm"),
        },
        piston: PistonStatement {
            diameter: Length(at("piston.diameter")),
            clearance: Length(at("piston.clearance")),
            length: Length(at("piston.length")),
            mass: Mass(at("piston.mass")),
            port_travel: Length(at("piston.port_travel")),
        },
        well: WellStatement {
            volume: Volume(at("well.volume")),
            bulk_modulus: Pressure(at("well.bulk_modulus")),
            suction: match scenario.choice("well.suction") {
                Some("holds") => Suction::Holds,
                _ => Suction::Parts,
            },
        },
        nozzle: NozzleStatement {
            bore: Length(at("nozzle.bore")),
            length: Length(at("nozzle.length")),
            loss: number(scenario, "nozzle.loss"),
            channel_bore: Length(at("channel.bore")),
            channel_length: Length(at("channel.length")),
        },
        mould: casting::mould(scenario),
        metal: casting::metal(scenario),
    }
}

fn cam(scenario: &Scenario) -> CamStatement {
    let law = match scenario.choice("cam.law") {
        Some("simple-harmonic") => Law::SimpleHarmonic,
        Some("modified-sine") => Law::ModifiedSine,
        Some("modified-trapezoid") => Law::ModifiedTrapezoid,
        Some("3-4-5") => Law::Polynomial345,
        Some("4-5-6-7") => Law::Polynomial4567,
        Some("measured") => {
            let readings = scenario.readings("cam.readings");
            return CamStatement::Measured(
                readings.iter().map(|(angle, lift)| (Angle(angle.si), Length(lift.si))).collect(),
            );
        }
        _ => Law::Cycloidal,
    };
    CamStatement::Law {
        law,
        lift: Length(si(scenario, "cam.lift")),
        rise_start: Angle(si(scenario, "cam.rise_start")),
        rise: Angle(si(scenario, "cam.rise")),
        dwell: Angle(si(scenario, "cam.dwell")),
        fall: Angle(si(scenario, "cam.return")),
    }
}

fn cross_block(scenario: &Scenario) -> CrossBlockStatement {
    CrossBlockStatement {
        mass: Mass(si(scenario, "cross_block.mass")),
        train_stiffness: Stiffness(si(scenario, "cross_block.train_stiffness")),
        train_damping: damping(scenario, "cross_block.train_damping")
            .unwrap_or(DampingStatement::Ratio(number(scenario, "cross_block.train_damping_ratio"))),
        closure: match scenario.choice("cross_block.closure") {
            Some("one-way") => Closure::OneWay {
                return_force: Force(scenario.quantity("cross_block.return_force").map_or(0.0, |q| q.si)),
                return_rate: Stiffness(scenario.quantity("cross_block.return_rate").map_or(0.0, |q| q.si)),
            },
            _ => Closure::TwoWay,
        },
    }
}

/// G of spring steel, Pa, where a measured rate stands in its place: only the count of coils depends on it then.
const SPRING_STEEL_SHEAR: f64 = 79.3e9;

fn spring(section: &Section) -> SpringStatement {
    let stated = |key: &str| section.quantity(key).map(|quantity| quantity.si);
    let wire = stated("wire").and_then(|wire| {
        let mean_coil =
            stated("mean_coil").or_else(|| stated("outside_coil").map(|outside| outside - wire))?;
        Some(WireStatement {
            wire: Length(wire),
            mean_coil: Length(mean_coil),
            active_coils: section.number("active_coils"),
            total_coils: section.number("total_coils"),
            shear_modulus: Pressure(stated("shear_modulus").unwrap_or(SPRING_STEEL_SHEAR)),
            density: Density(stated("density").unwrap_or(f64::NAN)),
        })
    });
    SpringStatement {
        rate: stated("rate").map_or(RateStatement::Wire, |rate| RateStatement::Rate(Stiffness(rate))),
        wire,
        mass: stated("mass").map(Mass),
        free_length: stated("free_length").map(Length),
        solid_length: stated("solid_length").map(Length),
        preload: stated("preload")
            .map_or(PreloadStatement::Gap, |preload| PreloadStatement::Force(Force(preload))),
        bound_rate: stated("bound_rate").map(Stiffness),
        allowable_stress: stated("allowable_stress").map(Pressure),
    }
}

/// Angle of the main shaft for which the mould of a scenario stays shut after it is full.
pub fn shut_angle(scenario: &Scenario) -> Angle {
    Angle(si(scenario, "mould.shut_angle"))
}

/// What the caster of a scenario accepts.
pub fn acceptance(scenario: &Scenario) -> Acceptance {
    Acceptance {
        skin: si(scenario, "job.accepted_skin"),
        solid: number(scenario, "job.accepted_solid"),
        margin: number(scenario, "job.margin"),
    }
}

/// What is asked of every cast of a scenario.
pub fn terms(scenario: &Scenario) -> Terms {
    Terms {
        acceptance: acceptance(scenario),
        accepted_air: accepted_air(scenario),
        shut: shut_angle(scenario),
        accuracy: Accuracy::default(),
    }
}

/// The greatest share of the mould's air that the caster of a scenario lets stay in it, where there is one.
pub fn accepted_air(scenario: &Scenario) -> Option<f64> {
    scenario.number("job.accepted_air")
}

/// The fastest pace that a scenario speaks of: its own, or one of those to compare.
pub fn fastest_pace(scenario: &Scenario) -> Pace {
    let compared = scenario.list("job.paces").iter().map(|pace| pace.si);
    Pace(compared.fold(si(scenario, "job.pace"), f64::max))
}

/// The paces that a scenario compares; its own where it compares none.
pub fn paces(scenario: &Scenario) -> Vec<Pace> {
    match scenario.list("job.paces") {
        [] => vec![cast(scenario).pace],
        paces => paces.iter().map(|pace| Pace(pace.si)).collect(),
    }
}

/// The cast of a scenario: its own size and pace.
pub fn cast(scenario: &Scenario) -> Cast {
    Cast {
        sort: Sort { body: Length(si(scenario, "job.body")), set: Length(si(scenario, "job.set")) },
        pace: Pace(si(scenario, "job.pace")),
    }
}
