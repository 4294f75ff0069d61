//! The project's working set of invented values, as a statement of a machine: the numbers that its table of computed turns
//! was made from. Invented data, used only to compare one solver with another.

use latchstroke_core::studies::judge::{Acceptance, Terms};
use latchstroke_core::turn::Accuracy;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::latch::{LatchSetting, LatchStatement, TripStatement};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::{MouldStatement, Sort};
use latchstroke_models::spring::{PreloadStatement, RateStatement, SpringStatement};
use latchstroke_models::units::{
    Angle, Area, Conductivity, Force, Length, Mass, POINT, Pace, Stiffness, Temperature, Time,
};
use latchstroke_models::vent::VentStatement;

pub fn degrees(d: f64) -> Angle {
    Angle(d.to_radians())
}

pub fn celsius(c: f64) -> Temperature {
    Temperature(c + 273.15)
}

/// The demo machine, but for what the table was made with: a spring and a latch stated directly, vents as an area, air and metal a little
/// other, and nothing that holds the matrix.
pub fn statement() -> MachineStatement {
    let demo = MachineStatement::demo();
    MachineStatement {
        springs: vec![SpringStatement {
            rate: RateStatement::Rate(Stiffness(9000.0)),
            mass: Some(Mass(0.35)),
            preload: PreloadStatement::Force(Force(350.0)),
            ..SpringStatement::default()
        }],
        abutment: AbutmentStatement::default(),
        latch: LatchStatement { trip: TripStatement::Lift(Length(0.014)), release_delay: Time(0.0) },
        mould: MouldStatement {
            air_temperature: Temperature(373.0),
            vent: VentStatement::Area(Area(0.35e-6)),
            hold_down: None,
            ..demo.mould
        },
        metal: MetalStatement { conductivity_solid: Conductivity(20.0), ..demo.metal },
        ..demo
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
