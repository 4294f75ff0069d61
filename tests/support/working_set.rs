//! The project's working set of invented values, as a statement of a machine: the numbers that its table of computed turns
//! was made from. Invented data, used only to compare one solver with another.

use latchstroke_core::studies::judge::{Acceptance, Terms};
use latchstroke_core::turn::Accuracy;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::cam::{CamStatement, Law};
use latchstroke_models::contact::DampingStatement;
use latchstroke_models::cross_block::{Closure, CrossBlockStatement};
use latchstroke_models::latch::{LatchSetting, LatchStatement, TripStatement};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::{MouldStatement, Sort, WallStatement};
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::piston::PistonStatement;
use latchstroke_models::rod::{LeverStatement, RodStatement};
use latchstroke_models::spring::{PreloadStatement, RateStatement, SpringStatement};
use latchstroke_models::units::{
    Angle, Area, Conductivity, Damping, Density, Force, HeatTransfer, LatentHeat, Length, Mass,
    MomentOfInertia, POINT, Pace, Pressure, SpecificHeat, Speed, Stiffness, Temperature, Time, Viscosity,
    Volume,
};
use latchstroke_models::vent::VentStatement;
use latchstroke_models::well::{Suction, WellStatement};

pub fn degrees(d: f64) -> Angle {
    Angle(d.to_radians())
}

pub fn celsius(c: f64) -> Temperature {
    Temperature(c + 273.15)
}

pub fn statement() -> MachineStatement {
    MachineStatement {
        cam: CamStatement::Law {
            law: Law::Cycloidal,
            lift: Length(0.030),
            rise_start: degrees(0.0),
            rise: degrees(80.0),
            dwell: degrees(100.0),
            fall: degrees(90.0),
        },
        cross_block: CrossBlockStatement {
            mass: Mass(2.5),
            train_stiffness: Stiffness(4e6),
            train_damping: DampingStatement::Coefficient(Damping(1500.0)),
            closure: Closure::TwoWay,
        },
        springs: vec![SpringStatement {
            rate: RateStatement::Rate(Stiffness(9000.0)),
            mass: Some(Mass(0.35)),
            preload: PreloadStatement::Force(Force(350.0)),
            ..SpringStatement::default()
        }],
        abutment: AbutmentStatement::default(),
        latch: LatchStatement { trip: TripStatement::Lift(Length(0.014)), release_delay: Time(0.0) },
        rod: RodStatement {
            mass: Mass(1.2),
            friction: Force(20.0),
            drag: Damping(30.0),
            friction_speed: Speed(0.002),
            stop_stiffness: Stiffness(2e7),
            stop_damping: DampingStatement::Coefficient(Damping(3000.0)),
        },
        lever: LeverStatement { ratio: 1.0, inertia: MomentOfInertia(0.0), arm: None },
        piston: PistonStatement {
            diameter: Length(0.0175),
            clearance: Length(25e-6),
            length: Length(0.040),
            mass: Mass(0.8),
            port_travel: Length(0.003),
        },
        well: WellStatement { volume: Volume(12e-6), bulk_modulus: Pressure(0.4e9), suction: Suction::Parts },
        nozzle: NozzleStatement {
            bore: Length(0.0026),
            length: Length(0.020),
            loss: 1.0,
            channel_bore: Length(0.008),
            channel_length: Length(0.120),
        },
        mould: MouldStatement {
            depth: Length(0.92 * 0.0254),
            priming_volume: Volume(0.15e-6),
            wall: WallStatement::Temperature(celsius(60.0)),
            heat_transfer: HeatTransfer(12e3),
            air_temperature: Temperature(373.0),
            vent: VentStatement::Area(Area(0.35e-6)),
            vent_coefficient: 0.6,
            ..MouldStatement::default()
        },
        metal: MetalStatement {
            density: Density(10200.0),
            viscosity: Viscosity(2.2e-3),
            liquidus: celsius(270.0),
            solidus: celsius(240.0),
            latent_heat: LatentHeat(50e3),
            specific_heat: SpecificHeat(150.0),
            conductivity_liquid: Conductivity(20.0),
            conductivity_solid: Conductivity(20.0),
            sealing_fraction: 0.35,
            pot_temperature: celsius(350.0),
            ..MetalStatement::default()
        },
    }
}

/// A square sort of `points`.
pub fn square(points: f64) -> Sort {
    Sort { body: Length(points * POINT), set: Length(points * POINT) }
}

/// The working set prepared for a square sort of `points` at `turns` a minute.
pub fn machine(points: f64, turns: f64, setting: LatchSetting) -> Machine {
    Machine::prepare(&statement(), square(points), Pace(turns / 60.0), setting)
        .expect("the working set is a valid machine")
}

/// What its caster accepts: a skin of 0.5 mm (invented), no solid in the first metal, the customary margin; the mould stays shut for
/// 200° of the shaft.
pub fn terms() -> Terms {
    Terms {
        acceptance: Acceptance { skin: 0.5e-3, solid: 0.0, margin: 1.2 },
        accepted_air: None,
        shut: degrees(200.0),
        accuracy: Accuracy::default(),
    }
}
