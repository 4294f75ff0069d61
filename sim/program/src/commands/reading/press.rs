//! `latchstroke reading slip` and `latchstroke reading casts`: the pump at work.

use super::super::args::{CastsReading, LatchOption, ScenarioOptions, SlipReading};
use super::super::{Failure, Outcome, lists};
use super::{Bench, cannot_tell, option, times};
use latchstroke_core::bench::carried::{Known, carried};
use latchstroke_core::bench::casts::Question;
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::piston::{PistonStatement, clearance_of};
use latchstroke_models::rod::{LeverStatement, RodStatement};
use latchstroke_report::owner::System;
use latchstroke_report::reading::{casts as cast_words, slip as slip_words};
use latchstroke_scenario::measured::rounded_to;
use latchstroke_scenario::stated::tolerance;
use latchstroke_scenario::{Dimension, Origin, Quantity, catalogue, key};
use std::f64::consts::PI;

/// Half the interval of a metal's viscosity that nobody measured, as a share: published figures of such alloys differ by so much.
const VISCOSITY: f64 = 0.2;
/// The same of its density as it freezes, between that of the liquid and that of the solid.
const DENSITY: f64 = 0.02;

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
    let mut bench = Bench::open(&options.bench, false)?;
    let weight = option("--weight", &options.weight, &[Dimension::Mass], "\"412 g ± 1 g\"")?;
    let opened = bench.opened("the weight of casts says something only of a machine that is known")?;
    let units = opened.units;
    let body = options.body.as_deref().map(|text| lists::one_size(text, units.body)).transpose()?;
    let pace = options.pace.as_deref().map(|text| lists::one_pace(text, units.pace)).transpose()?;
    let of = ScenarioOptions {
        scenario: options.bench.scenario.clone(),
        set: options.bench.set.clone(),
        units: options.bench.units,
    };
    let Some(cast) = bench.opened.take().map(|opened| opened.casting(body, pace, &of)) else {
        return Ok(Outcome::NotKnown);
    };
    let setting = match options.latch {
        LatchOption::Set => LatchSetting::Set,
        LatchOption::Aside => LatchSetting::Aside,
    };
    let full = cast.prepared(setting)?.mould.volume * cast.machine.metal.density.0;
    let one = known(&weight);
    let count = options.count as f64;
    let share = one.value / count / full;
    let share = Known { value: share, half: share * DENSITY.hypot(one.half / one.value) };
    let path = key!(NozzleStatement, loss);
    let high = catalogue::entry(path).and_then(|(_, entry)| entry.range).map_or("50", |range| range.high);
    let most = Quantity::parse(high, Dimension::Ratio).map_or(50.0, |most| most.si);
    let vary = |values: &[(&str, f64)]| tolerance::varied(&cast.scenario, values, Pacing::Fixed);
    let question = Question { vary: &vary, loss: path, setting, share, most };
    let stands = cast.machine.nozzle.loss;
    let (Some(told), Some(as_stated)) = (question.answer(), question.filled(stands)) else {
        return Ok(cannot_tell(
            "cannot tell: the turns of this machine could not be solved so that they can be trusted",
        ));
    };
    if share.value > 1.2 {
        return Err(Failure::Plain(format!(
            "--weight \"{}\": that is {:.1} times what {} full casts would weigh; see the count, the size, and whether the jets are off",
            options.weight, share.value, options.count
        )));
    }
    let named = format!(
        "{} at {}, latch {}",
        units.size(cast.cast.sort.body.0),
        units.turns(cast.cast.pace.0),
        match setting {
            LatchSetting::Set => "set",
            LatchSetting::Aside => "aside",
        }
    );
    // The scenario that is written is the one that was read, whatever size was cast.
    bench.opened = Some(cast);
    let report = cast_words::Report {
        casts: (options.count, one.value / count),
        full,
        share,
        as_stated,
        told,
        cast: &named,
        figures: bench.figures(System::of(weight.unit)),
    };
    bench.answer(&report.reading().map_err(Failure::Plain)?, None, None)
}
