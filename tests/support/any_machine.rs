//! Random valid machines, spread widely about the working set: every cam law and a measured cam, one-way and two-way closure,
//! nested springs with and without room to bind, latches tripped by lift or by prongs over a sleeve that may be too short or
//! too long, area and slit vents, paces from 5 to 200 turns a minute. Invented ranges, no source.

use super::working_set::{self, celsius, degrees};
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::cam::{CamStatement, Law};
use latchstroke_models::contact::DampingStatement;
use latchstroke_models::cross_block::{Closure, CrossBlockStatement};
use latchstroke_models::latch::{LatchSetting, LatchStatement, TripStatement};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::{Freezing, MouldStatement, Sort, WallStatement};
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
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;

/// A machine with the job it is put to.
#[derive(Debug, Clone)]
pub struct Job {
    pub stated: MachineStatement,
    pub sort: Sort,
    pub pace: Pace,
}

impl Job {
    pub fn machine(&self, setting: LatchSetting) -> Machine {
        Machine::prepare(&self.stated, self.sort, self.pace, setting).expect("a valid machine")
    }
}

/// Any machine put to any job.
pub fn job() -> impl Strategy<Value = Job> {
    let machine = (drive(), (springs(), abutment(), latch()), pump(), casting());
    let sort = (4.0..72.0, 0.3..1.5)
        .prop_map(|(body, ratio)| Sort { body: Length(body * POINT), set: Length(body * ratio * POINT) });
    (machine, sort, spread(5.0, 200.0)).prop_map(|(machine, sort, pace)| {
        let ((cam, cross_block), (springs, abutment, latch), pump, (mould, metal)) = machine;
        let (rod, lever, piston, well, nozzle) = pump;
        Job {
            stated: MachineStatement {
                cam,
                cross_block,
                springs,
                abutment,
                latch,
                rod,
                lever,
                piston,
                well,
                nozzle,
                mould,
                metal,
            },
            sort,
            pace: Pace(pace / 60.0),
        }
    })
}

/// The number by which a damping is stated.
fn coefficient(stated: &mut DampingStatement) -> &mut f64 {
    match stated {
        DampingStatement::Coefficient(damping) => &mut damping.0,
        DampingStatement::Ratio(number) | DampingStatement::Restitution(number) => number,
    }
}

/// The working set with each of its measures somewhere within 30 %, put to a square sort of 8 to 36 points at about the pace at
/// which it cools.
pub fn near() -> impl Strategy<Value = Job> {
    (vec(0.7..1.3, 25), 8.0..36.0, spread(0.6, 1.8)).prop_map(|(by, points, haste): (Vec<f64>, f64, f64)| {
        let mut stated = working_set::statement();
        let mut by = by.into_iter();
        let mut scale = |value: &mut f64| *value *= by.next().unwrap_or(1.0);
        scale(&mut stated.cross_block.mass.0);
        scale(&mut stated.cross_block.train_stiffness.0);
        scale(coefficient(&mut stated.cross_block.train_damping));
        for spring in &mut stated.springs {
            if let RateStatement::Rate(rate) = &mut spring.rate {
                scale(&mut rate.0);
            }
            if let PreloadStatement::Force(force) = &mut spring.preload {
                scale(&mut force.0);
            }
        }
        if let TripStatement::Lift(lift) = &mut stated.latch.trip {
            scale(&mut lift.0);
        }
        scale(&mut stated.rod.mass.0);
        scale(&mut stated.rod.friction.0);
        scale(&mut stated.rod.drag.0);
        scale(&mut stated.rod.stop_stiffness.0);
        scale(coefficient(&mut stated.rod.stop_damping));
        scale(&mut stated.lever.ratio);
        scale(&mut stated.piston.diameter.0);
        scale(&mut stated.piston.clearance.0);
        scale(&mut stated.piston.port_travel.0);
        scale(&mut stated.well.volume.0);
        scale(&mut stated.well.bulk_modulus.0);
        scale(&mut stated.nozzle.bore.0);
        scale(&mut stated.nozzle.length.0);
        scale(&mut stated.nozzle.channel_bore.0);
        scale(&mut stated.nozzle.channel_length.0);
        scale(&mut stated.mould.priming_volume.0);
        scale(&mut stated.mould.heat_transfer.0);
        if let VentStatement::Area(area) = &mut stated.mould.vent {
            scale(&mut area.0);
        }
        scale(&mut stated.metal.sealing_fraction);
        let pace = 12.0 * (24.0 / points).powf(1.5) * haste;
        Job { stated, sort: working_set::square(points), pace: Pace(pace / 60.0) }
    })
}

/// A number between two bounds, its logarithm evenly spread.
fn spread(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

/// Zero, or a number between two bounds.
fn none_or(low: f64, high: f64) -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 4 => spread(low, high)]
}

fn cam() -> impl Strategy<Value = CamStatement> {
    let law = prop_oneof![
        Just(Law::SimpleHarmonic),
        Just(Law::Cycloidal),
        Just(Law::ModifiedSine),
        Just(Law::ModifiedTrapezoid),
        Just(Law::Polynomial345),
        Just(Law::Polynomial4567),
    ];
    let stated = (law, 0.010..0.045, 0.0..40.0, 40.0..120.0, none_or(5.0, 110.0), 50.0..90.0).prop_map(
        |(law, lift, start, rise, dwell, fall)| CamStatement::Law {
            law,
            lift: Length(lift),
            rise_start: degrees(start),
            rise: degrees(rise),
            dwell: degrees(dwell),
            fall: degrees(fall),
        },
    );
    // Readings every five degrees with a dial indicator that shows hundredths of a millimetre.
    let measured = (0.015..0.040, 60.0..120.0, 60.0..120.0).prop_map(|(lift, rise, fall)| {
        let reading = |step: i32| -> (Angle, Length) {
            let angle = 5.0 * f64::from(step);
            let up = Law::Cycloidal.at((angle - 20.0) / rise).lift;
            let down = Law::Cycloidal.at((angle - 200.0) / fall).lift;
            let hundredths: f64 = 1e5 * lift * (up - down);
            (degrees(angle), Length(1e-5 * hundredths.round()))
        };
        CamStatement::Measured((0..72).map(reading).collect())
    });
    prop_oneof![6 => stated, 1 => measured]
}

fn drive() -> impl Strategy<Value = (CamStatement, CrossBlockStatement)> {
    let closure = prop_oneof![
        2 => Just(Closure::TwoWay),
        1 => (none_or(20.0, 800.0), none_or(100.0, 8000.0)).prop_map(|(force, rate)| Closure::OneWay {
            return_force: Force(force),
            return_rate: Stiffness(rate),
        }),
    ];
    let block = (spread(0.5, 8.0), spread(4e5, 2e7), none_or(100.0, 8000.0), closure).prop_map(
        |(mass, stiffness, damping, closure)| CrossBlockStatement {
            mass: Mass(mass),
            train_stiffness: Stiffness(stiffness),
            train_damping: DampingStatement::Coefficient(Damping(damping)),
            closure,
        },
    );
    (cam(), block)
}

/// A spring that holds the machine together at rest, and up to two more beside it that may be slack. Where lengths are given the
/// coils are apart at rest, but may touch in the turn.
fn springs() -> impl Strategy<Value = Vec<SpringStatement>> {
    let lengths = || option::of((0.100..0.160, 0.030..0.055));
    let outer = (spread(800.0, 25e3), none_or(0.05, 0.8), lengths(), spread(20.0, 700.0))
        .prop_map(|(rate, mass, lengths, preload)| spring(rate, mass, lengths, Some(preload)));
    let inner = (spread(800.0, 25e3), none_or(0.05, 0.8), lengths(), option::of(0.0..300.0))
        .prop_map(|(rate, mass, lengths, preload)| spring(rate, mass, lengths, preload));
    (outer, vec(inner, 0..=2)).prop_map(|(outer, inner)| [vec![outer], inner].concat())
}

fn spring(rate: f64, mass: f64, lengths: Option<(f64, f64)>, preload: Option<f64>) -> SpringStatement {
    let preload = match (lengths, preload) {
        (Some(_), None) => PreloadStatement::Gap,
        (Some((free, solid)), Some(force)) => {
            PreloadStatement::Force(Force(force.min(0.9 * rate * (free - solid))))
        }
        (None, force) => PreloadStatement::Force(Force(force.unwrap_or(0.0))),
    };
    SpringStatement {
        rate: RateStatement::Rate(Stiffness(rate)),
        wire: None,
        mass: Some(Mass(mass)),
        free_length: lengths.map(|(free, _)| Length(free)),
        solid_length: lengths.map(|(_, solid)| Length(solid)),
        preload,
        bound_rate: None,
        allowable_stress: None,
    }
}

fn abutment() -> impl Strategy<Value = AbutmentStatement> {
    let socket = option::of(0.008..0.030);
    (0.090..0.150, 0.0..0.030, 0.0..0.030, -3.0..3.0, 0.005..0.040, socket).prop_map(
        |(gap, sleeve, extension, turns, clearance, socket)| AbutmentStatement {
            bare_gap: Some(Length(gap)),
            sleeve: Length(sleeve),
            extension: Length(extension),
            nut_turns: turns,
            thread_pitch: Some(Length(0.0015)),
            extension_outside: None,
            socket: socket.map(Length),
            rod_end: socket.map(|_| Length(gap + 0.010)),
            bare_clearance: Some(Length(clearance)),
        },
    )
}

fn latch() -> impl Strategy<Value = LatchStatement> {
    let trip = prop_oneof![
        3 => (0.002..0.030).prop_map(|lift| TripStatement::Lift(Length(lift))),
        1 => (0.0005..0.004).prop_map(|travel| TripStatement::Prongs(Length(travel))),
    ];
    (trip, none_or(1e-4, 5e-3)).prop_map(|(trip, delay)| LatchStatement { trip, release_delay: Time(delay) })
}

type Pump = (RodStatement, LeverStatement, PistonStatement, WellStatement, NozzleStatement);

fn pump() -> impl Strategy<Value = Pump> {
    let rod = (
        spread(0.3, 4.0),
        none_or(2.0, 80.0),
        none_or(2.0, 150.0),
        spread(5e-4, 5e-3),
        spread(2e6, 1e8),
        spread(100.0, 1e4),
    )
        .prop_map(|(mass, friction, drag, speed, stiffness, damping)| RodStatement {
            mass: Mass(mass),
            friction: Force(friction),
            drag: Damping(drag),
            friction_speed: Speed(speed),
            stop_stiffness: Stiffness(stiffness),
            stop_damping: DampingStatement::Coefficient(Damping(damping)),
        });
    let lever = (0.4..2.0, none_or(1e-4, 1e-2), 0.05..0.2).prop_map(|(ratio, inertia, arm)| LeverStatement {
        ratio,
        inertia: MomentOfInertia(inertia),
        arm: Some(Length(arm)),
    });
    let piston = (0.008..0.030, none_or(5e-6, 8e-5), 0.015..0.080, spread(0.2, 3.0), none_or(5e-4, 8e-3))
        .prop_map(|(diameter, clearance, length, mass, port)| PistonStatement {
            diameter: Length(diameter),
            clearance: Length(clearance),
            length: Length(length),
            mass: Mass(mass),
            port_travel: Length(port),
        });
    let suction = prop_oneof![3 => Just(Suction::Parts), 1 => Just(Suction::Holds)];
    let well = (spread(2e-6, 6e-5), spread(5e7, 4e9), suction).prop_map(|(volume, bulk_modulus, suction)| {
        WellStatement { volume: Volume(volume), bulk_modulus: Pressure(bulk_modulus), suction }
    });
    let nozzle = (0.001..0.005, 0.003..0.060, 0.0..4.0, 0.005..0.015, none_or(0.02, 0.3)).prop_map(
        |(bore, length, loss, channel_bore, channel_length)| NozzleStatement {
            bore: Length(bore),
            length: Length(length),
            loss,
            channel_bore: Length(channel_bore),
            channel_length: Length(channel_length),
        },
    );
    (rod, lever, piston, well, nozzle)
}

fn casting() -> impl Strategy<Value = (MouldStatement, MetalStatement)> {
    let vent = prop_oneof![
        none_or(5e-8, 3e-6).prop_map(|area| VentStatement::Area(Area(area))),
        (spread(1e-5, 1e-4), spread(1e-3, 1e-2), spread(1e-3, 1e-2)).prop_map(|(gap, width, length)| {
            VentStatement::Slit { gap: Length(gap), width: Length(width), length: Length(length) }
        }),
    ];
    let wall = (20.0..180.0, spread(2e3, 5e4), option::of(1.0..10.0));
    let air = (300.0..600.0, vent, 0.4..1.0, option::of(20.0..2000.0));
    let mould = (0.015..0.030, none_or(2e-8, 1e-6), wall, air).prop_map(
        |(depth, prime, (wall, film, packed), (air, vent, coefficient, hold_down))| MouldStatement {
            depth: Length(depth),
            priming_volume: Volume(prime),
            wall: WallStatement::Temperature(celsius(wall)),
            freezing: Freezing::Slab,
            heat_transfer: HeatTransfer(film),
            packed_heat_transfer: packed.map(|times| HeatTransfer(times * film)),
            air_temperature: Temperature(air),
            vent,
            vent_coefficient: coefficient,
            hold_down: hold_down.map(Force),
        },
    );
    let melting = (245.0..330.0, none_or(1.0, 60.0), none_or(5.0, 150.0), 20e3..90e3, 100.0..250.0);
    let metal = (melting, 9e3..11e3, spread(5e-4, 5e-3), 10.0..35.0, 10.0..35.0, 0.05..0.95).prop_map(
        |((liquidus, range, above, latent, specific), density, viscosity, liquid, solid, sealing)| {
            MetalStatement {
                density: Density(density),
                viscosity: Viscosity(viscosity),
                liquidus: celsius(liquidus),
                solidus: celsius(liquidus - range),
                latent_heat: LatentHeat(latent),
                specific_heat: SpecificHeat(specific),
                conductivity_liquid: Conductivity(liquid),
                conductivity_solid: Conductivity(solid),
                sealing_fraction: sealing,
                pot_temperature: celsius(liquidus + above),
                eutectic: None,
                alloy: None,
            }
        },
    );
    (mould, metal)
}
