//! The demo machine, so that a first turn needs no file.

use super::MachineStatement;
use crate::abutment::AbutmentStatement;
use crate::cam::{CamStatement, Law};
use crate::contact::DampingStatement;
use crate::cross_block::{Closure, CrossBlockStatement};
use crate::latch::{LatchStatement, TripStatement};
use crate::metal::MetalStatement;
use crate::mould::{Freezing, MouldStatement, WallStatement};
use crate::nozzle::NozzleStatement;
use crate::piston::PistonStatement;
use crate::rod::{LeverStatement, RodStatement};
use crate::spring::{PreloadStatement, RateStatement, SpringStatement, WireStatement};
use crate::units::{
    Angle, Conductivity, Damping, Density, Force, HeatTransfer, LatentHeat, Length, Mass, MomentOfInertia,
    Pressure, SpecificHeat, Speed, Stiffness, Temperature, Time, Viscosity, Volume,
};
use crate::vent::VentStatement;
use crate::well::{Suction, WellStatement};

const INCH: f64 = 0.0254;

impl MachineStatement {
    /// The machine of `scenarios/large_initials.toml`: every value invented, none read off a real machine.
    pub fn demo() -> Self {
        Self {
            cam: CamStatement::Law {
                law: Law::Cycloidal,
                lift: Length(30e-3),
                rise_start: Angle(0.0),
                rise: Angle(80_f64.to_radians()),
                dwell: Angle(100_f64.to_radians()),
                fall: Angle(90_f64.to_radians()),
            },
            cross_block: CrossBlockStatement {
                mass: Mass(2.5),
                train_stiffness: Stiffness(4e6),
                train_damping: DampingStatement::Coefficient(Damping(1500.0)),
                closure: Closure::TwoWay,
            },
            springs: vec![spring()],
            abutment: AbutmentStatement {
                bare_gap: Some(Length(4.375 * INCH)),
                sleeve: Length(2.6875 * INCH),
                extension: Length(2.6875 * INCH),
                nut_turns: 0.0,
                thread_pitch: Some(Length(INCH / 16.0)),
                extension_outside: Some(Length(0.75 * INCH)),
                // Half an inch of thread and an undercut of 2.5 pitches; a nut of 7/8 of the thread's half inch flush with the rod's end.
                socket: Some(Length((0.5 + 2.5 / 16.0) * INCH)),
                rod_end: Some(Length((4.375 + 0.4375) * INCH)),
                bare_clearance: Some(Length(2.9375 * INCH)),
            },
            latch: LatchStatement {
                trip: TripStatement::Prongs(Length(0.25 * INCH)),
                release_delay: Time(0.0),
            },
            rod: RodStatement {
                mass: Mass(1.2),
                friction: Force(20.0),
                drag: Damping(30.0),
                friction_speed: Speed(2e-3),
                stop_stiffness: Stiffness(20e6),
                stop_damping: DampingStatement::Coefficient(Damping(3000.0)),
            },
            lever: LeverStatement { ratio: 1.0, inertia: MomentOfInertia(0.0), arm: None },
            piston: PistonStatement {
                diameter: Length(17.5e-3),
                clearance: Length(25e-6),
                length: Length(40e-3),
                mass: Mass(0.8),
                port_travel: Length(3e-3),
            },
            well: WellStatement {
                volume: Volume(12e-6),
                bulk_modulus: Pressure(0.4e9),
                suction: Suction::Parts,
            },
            nozzle: NozzleStatement {
                bore: Length(2.6e-3),
                length: Length(20e-3),
                loss: 1.0,
                channel_bore: Length(8e-3),
                channel_length: Length(120e-3),
            },
            mould: mould(),
            metal: metal(),
        }
    }
}

fn spring() -> SpringStatement {
    SpringStatement {
        rate: RateStatement::Wire,
        wire: Some(WireStatement {
            wire: Length(5e-3),
            outside_coil: Some(Length(1.75 * INCH)),
            active_coils: Some(10.0),
            total_coils: Some(12.0),
            ..WireStatement::default()
        }),
        mass: Some(Mass(0.23)),
        free_length: Some(Length(5.75 * INCH)),
        solid_length: Some(Length(60e-3)),
        preload: PreloadStatement::Gap,
        bound_rate: None,
        allowable_stress: Some(Pressure(800e6)),
    }
}

fn mould() -> MouldStatement {
    MouldStatement {
        depth: Length(0.92 * INCH),
        priming_volume: Volume(0.15e-6),
        wall: WallStatement::Temperature(celsius(60.0)),
        heat_transfer: HeatTransfer(12e3),
        packed_heat_transfer: None,
        freezing: Freezing::Slab,
        air_temperature: celsius(100.0),
        vent: VentStatement::Slit { gap: Length(0.03e-3), width: Length(24e-3), length: Length(3e-3) },
        vent_coefficient: 0.6,
        hold_down: Some(Force(900.0)),
    }
}

fn metal() -> MetalStatement {
    MetalStatement {
        density: Density(10_200.0),
        viscosity: Viscosity(2.2e-3),
        liquidus: celsius(270.0),
        solidus: celsius(240.0),
        latent_heat: LatentHeat(50e3),
        specific_heat: SpecificHeat(150.0),
        conductivity_liquid: Conductivity(20.0),
        conductivity_solid: Conductivity(24.0),
        sealing_fraction: 0.35,
        pot_temperature: celsius(350.0),
        eutectic: None,
        alloy: None,
    }
}

fn celsius(degrees: f64) -> Temperature {
    Temperature(degrees + 273.15)
}
