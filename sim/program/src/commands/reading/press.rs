//! `latchstroke reading slip` and `latchstroke reading casts`: the pump at work.

use super::super::args::{CastsReading, SlipReading};
use super::super::{Failure, Outcome, lists};
use super::{Bench, cannot_tell, option, times};
use latchstroke_core::bench::carried::Known;
use latchstroke_core::bench::pump::{MOST_FULL, Sinking, VISCOSITY, share_full, volume};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::piston::PistonStatement;
use latchstroke_models::rod::{LeverStatement, RodStatement};
use latchstroke_models::units::Length;
use latchstroke_report::owner::System;
use latchstroke_report::reading::{casts as cast_words, slip as slip_words};
use latchstroke_scenario::measured::rounded_to;
use latchstroke_scenario::{Dimension, Origin, Quantity, key};

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
    let sinking = Sinking {
        time: Known { value: timed.mean, half: timed.half },
        sank: known(&distance),
        load: known(&load),
        friction: stated(key!(RodStatement, friction), opened.machine.rod.friction.0),
        ratio: stated(key!(LeverStatement, ratio), 1.0).value,
        diameter: stated(key!(PistonStatement, diameter), piston.diameter.0),
        length: stated(key!(PistonStatement, length), piston.length.0),
        viscosity,
    };
    let Some((found, shares)) = sinking.clearance() else {
        let why = "cannot tell: the load hardly passes the friction of rod and lever (rod.friction, with its spread). Hang more on it, or measure the friction";
        return Ok(cannot_tell(why));
    };
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
    let set = |body: f64| Length(body * opened.proportion());
    let sort = body.map_or(opened.cast.sort, |body| Sort { body: Length(body), set: set(body) });
    let machine = Machine::prepare(&opened.machine, sort, opened.cast.pace, LatchSetting::Aside)
        .map_err(|faults| opened.faulty(faults))?;
    let density = opened.machine.metal.density.0;
    let count = options.count as f64;
    let Some(jet) = volume(known(&jets), count, density) else {
        return Ok(cannot_tell("cannot tell: the metal of this scenario has no density"));
    };
    let full = types.as_ref().and_then(|types| share_full(known(types), count, density, &machine.mould));
    if let (Some(share), Some(text)) = (full.filter(|share| share.value > MOST_FULL), &options.types) {
        return Err(Failure::Plain(format!(
            "--types \"{text}\": that is {:.1} times what {} full ones would weigh; see the count, the size, and whether the jets are off",
            share.value, options.count
        )));
    }
    let size = units.size(sort.body.0);
    let report = cast_words::Report {
        count: options.count,
        jets: jets.si,
        volume: jet,
        full: full.map(|share| (share, size.as_str())),
        figures: bench.figures(System::of(jets.unit)),
    };
    bench.answer(&report.reading().map_err(Failure::Plain)?, None, None)
}
