//! `latchstroke reading slip` and `latchstroke reading casts`: the pump at work.

use super::super::args::{CastsReading, SlipReading};
use super::super::{Failure, Outcome, lists};
use super::{Bench, cannot_tell, option, times};
use latchstroke_core::bench::carried::{Known, carried};
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::piston::{PistonStatement, clearance_of};
use latchstroke_models::rod::{LeverStatement, RodStatement};
use latchstroke_report::owner::System;
use latchstroke_report::reading::{casts as cast_words, slip as slip_words};
use latchstroke_scenario::measured::rounded_to;
use latchstroke_scenario::{Dimension, Origin, Quantity, key};
use std::f64::consts::PI;

/// Half the interval of a metal's viscosity that nobody measured, as a share: published figures of such alloys differ by so much.
const VISCOSITY: f64 = 0.2;
/// The same of its density as it freezes, between that of the liquid and that of the solid.
const DENSITY: f64 = 0.02;
/// Types that weigh so many times what full ones would are other types, or counted wrong.
const MOST_FULL: f64 = 1.2;

/// A quantity as typed: by its tolerance, or to what it was rounded.
fn known(quantity: &Quantity) -> Known {
    Known { value: quantity.si, half: quantity.tolerance_si.unwrap_or_else(|| rounded_to(quantity)) }
}

/// Runs `reading slip`.
///
/// # Errors
/// Bad input, or a file that cannot be written.
pub fn slip(options: &SlipReading) -> Result<Outcome, Failure> {
    let bench = Bench::open(&options.bench, false)?;
    let distance = option("--distance", &options.distance, &[Dimension::Length], "\"5 mm ± 0.1 mm\"")?;
    let load = option("--load", &options.load, &[Dimension::Force], "\"15 kgf ± 0.2 kgf\"")?;
    let other = options.viscosity.as_deref();
    let other = other
        .map(|text| option("--viscosity", text, &[Dimension::Viscosity], "\"65 mPa s ± 5 mPa s\""))
        .transpose()?;
    let timed = times(&options.times, None)?;
    let opened =
        bench.opened("the piston's diameter and length, and the metal's viscosity, are taken from it")?;
    let scenario = &opened.scenario;
    let stated =
        |path: &str, otherwise: f64| scenario.known(path).unwrap_or(Known { value: otherwise, half: 0.0 });
    let piston = opened.machine.piston;
    let metal = opened.machine.metal.viscosity.0;
    let own = scenario.single(key!(MetalStatement, viscosity)).filter(|own| own.tolerance_si.is_some());
    let viscosity = other.as_ref().or(own).map_or(Known { value: metal, half: VISCOSITY * metal }, known);
    let inputs = [
        ("the times", Known { value: timed.mean, half: timed.half }),
        ("the distance", known(&distance)),
        ("the load", known(&load)),
        ("the friction", stated(key!(RodStatement, friction), opened.machine.rod.friction.0)),
        ("the piston's diameter", stated(key!(PistonStatement, diameter), piston.diameter.0)),
        ("the piston's length", stated(key!(PistonStatement, length), piston.length.0)),
        ("the viscosity", viscosity),
    ];
    let ratio = stated(key!(LeverStatement, ratio), 1.0).value;
    // What leaks, A·x/t, for each pascal, F/A; the rod's friction bears its share over the lever.
    let clearance = |v: &[f64]| {
        let [time, sunk, load, friction, diameter, length, viscosity] = v else { return f64::NAN };
        let area = PI / 4.0 * diameter * diameter;
        let pressing = load - friction / ratio;
        if pressing <= 0.0 {
            return f64::NAN;
        }
        clearance_of(area * area * sunk / (time * pressing), *diameter, *length, *viscosity)
    };
    let Some((found, shares)) = carried(&inputs.map(|input| input.1), clearance) else {
        let why = "cannot tell: the load hardly passes the friction of rod and lever (rod.friction, with its spread). Hang more on it, or measure the friction";
        return Ok(cannot_tell(why));
    };
    let shares: Vec<(&'static str, f64)> = inputs.iter().map(|input| input.0).zip(shares).collect();
    let item = scenario.item(key!(PistonStatement, clearance));
    let report = slip_words::Report {
        timed: &timed,
        times: options.times.len(),
        sank: (distance.si, load.si),
        clearance: found,
        shares: &shares,
        stood: item.and_then(|item| Some((item.single()?.si, item.origin != Origin::Assumed))),
        cold: other.is_some(),
        figures: bench.figures(System::of(distance.unit)),
    };
    bench.answer(&report.reading().map_err(Failure::Plain)?, None, None)
}

/// Runs `reading casts`.
///
/// # Errors
/// Bad input, or a file that cannot be written.
pub fn casts(options: &CastsReading) -> Result<Outcome, Failure> {
    let bench = Bench::open(&options.bench, false)?;
    let weighed = |name, text: &str| option(name, text, &[Dimension::Mass], "\"38 g ± 1 g\"");
    let jets = weighed("--jets", &options.jets)?;
    let types = options.types.as_deref().map(|text| weighed("--types", text)).transpose()?;
    let opened = bench.opened("the metal's density and the mould's depth are taken from it")?;
    let units = opened.units;
    let body = options.body.as_deref().map(|text| lists::one_size(text, units.body)).transpose()?;
    let body = body.unwrap_or(opened.cast.sort.body.0);
    let density =
        Known { value: opened.machine.metal.density.0, half: DENSITY * opened.machine.metal.density.0 };
    let count = options.count as f64;
    let of =
        |weight: &Quantity, whole: f64| carried(&[known(weight), density], |v| v[0] / v[1] / count / whole);
    let Some((volume, _)) = of(&jets, 1.0) else {
        return Ok(cannot_tell("cannot tell: the metal of this scenario has no density"));
    };
    let mould = body * body * opened.proportion() * opened.machine.mould.depth.0;
    let full = types.as_ref().and_then(|types| of(types, mould)).map(|(share, _)| share);
    if let (Some(share), Some(text)) = (full.filter(|share| share.value > MOST_FULL), &options.types) {
        return Err(Failure::Plain(format!(
            "--types \"{text}\": that is {:.1} times what {} full ones would weigh; see the count, the size, and whether the jets are off",
            share.value, options.count
        )));
    }
    let size = units.size(body);
    let report = cast_words::Report {
        count: options.count,
        jets: jets.si,
        volume,
        full: full.map(|share| (share, size.as_str())),
        figures: bench.figures(System::of(jets.unit)),
    };
    bench.answer(&report.reading().map_err(Failure::Plain)?, None, None)
}
