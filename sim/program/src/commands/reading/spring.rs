//! `latchstroke reading spring`.

use super::super::args::SpringReading;
use super::super::open::Opened;
use super::super::{Failure, Outcome};
use super::{Bench, cannot_tell, option, unread};
use latchstroke_core::bench::spring::{ByWire, Question};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::spring::WireStatement;
use latchstroke_report::owner::System;
use latchstroke_report::reading::spring::{Report, refused};
use latchstroke_scenario::measured::loads::loads;
use latchstroke_scenario::{Dimension, key};

/// Runs the command.
///
/// # Errors
/// Bad input, or a file that cannot be written.
pub fn run(options: &SpringReading) -> Result<Outcome, Failure> {
    let bench = Bench::open(&options.bench, false)?;
    let number = which(options, bench.opened.as_ref())?;
    let at = options.at.as_deref();
    let at = at.map(|text| option("--at", text, &[Dimension::Length], "--at \"112 mm\"")).transpose()?;
    let loads = loads(&options.table, options.columns.as_deref()).map_err(unread)?;
    if at.is_some() && !loads.lengths {
        let why = "--at wants lengths in the table, and it has only how far the spring was squeezed";
        return Err(Failure::Plain(why.to_owned()));
    }
    let figures = bench.figures(loads.unit().and_then(System::of));
    let answer = match (Question { readings: &loads.readings, step: loads.step }).answer() {
        Ok(answer) => answer,
        Err(why) => return Ok(cannot_tell(&refused(why))),
    };
    let opened = bench.opened.as_ref();
    let wire = opened.map(|opened| by_wire(opened, number, answer.rate().0)).transpose()?.flatten();
    let report = Report {
        loads: &loads,
        answer: &answer,
        spring: (number, opened.map(|opened| opened.scenario.machine_name())),
        at: at.map(|at| at.si),
        wire,
        figures,
    };
    bench.answer(&report.reading().map_err(Failure::Plain)?, Some(&options.table), None)
}

/// Which of the springs, from 1.
fn which(options: &SpringReading, opened: Option<&Opened>) -> Result<usize, Failure> {
    let number = options.spring.unwrap_or(1);
    let Some(count) = opened.map(|opened| opened.scenario.springs().count()) else { return Ok(number) };
    if number > count {
        return Err(Failure::Plain(format!("--spring {number}: the scenario has springs 1 to {count}")));
    }
    if options.spring.is_none() && count > 1 {
        return Err(Failure::Plain(format!(
            "the scenario has {count} springs; say which by --spring 1 to --spring {count}"
        )));
    }
    Ok(number)
}

/// The rate by wire and coils, with its error by how closely these are known, where the scenario says them.
fn by_wire(opened: &Opened, number: usize, rate: f64) -> Result<Option<ByWire>, Failure> {
    let spring = opened.prepared(LatchSetting::Set)?.springs.get(number - 1).copied();
    let half = |key: &str| {
        let path = key.replacen("spring.", &format!("spring[{number}]."), 1);
        opened.scenario.known(&path).map(|known| known.half)
    };
    let coil = half(key!(WireStatement, mean_coil)).or_else(|| half(key!(WireStatement, outside_coil)));
    let counted = half(key!(WireStatement, active_coils));
    let halves =
        [half(key!(WireStatement, wire)).unwrap_or(0.0), coil.unwrap_or(0.0), counted.unwrap_or(0.0)];
    let by = spring.and_then(|spring| spring.wire).and_then(|wire| ByWire::of(wire, halves, rate));
    // Coils that follow from a stated rate say nothing of it.
    Ok(by.map(|by| ByWire { rate: by.rate.filter(|_| counted.is_some()), ..by }))
}
