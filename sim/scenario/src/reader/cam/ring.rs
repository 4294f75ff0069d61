//! Readings put in growing order round the turn, and the slips among them.

use std::ops::Range;

use super::super::super::mistakes::Mistake;
use super::super::super::quantity::Quantity;
use super::{Noted, Source};
use latchstroke_models::cam::slips;

/// A reading and where angle and lift stand.
pub(super) struct Reading {
    pub angle: Quantity,
    pub lift: Quantity,
    pub spans: (Range<usize>, Range<usize>),
}

/// What two readings of a dial indicator at the same place may differ by, m: a division of a dial in inches at each.
const SAME: f64 = 0.05e-3;

/// A turn, and what is nothing beside it, in degrees.
const TURN: f64 = 360.0;
const NOTHING: f64 = 1e-6;

/// Readings taken in either direction of turning, from any angle, in growing order of angle within one turn.
pub(super) fn ordered(
    mut readings: Vec<Reading>,
    source: &Source<'_>,
    noted: &mut Noted,
) -> Option<Vec<(Quantity, Quantity)>> {
    let degrees: Vec<f64> = readings.iter().map(|r| r.angle.value_in("deg").unwrap_or(f64::NAN)).collect();
    let steps: Vec<f64> = degrees.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let rising = steps.iter().filter(|step| **step > 0.0).count();
    let falls = 2 * rising < steps.len();
    // By how much each goes on in the direction of most; past the turn's end the count may begin again.
    let onward: Vec<f64> = steps.iter().map(|step| if falls { -step } else { *step }).collect();
    let total: f64 = onward.iter().map(|step| if *step > NOTHING { *step } else { step + TURN }).sum();
    if !total.is_finite() || total > TURN + NOTHING || degrees.iter().any(|angle| angle.abs() > 2.0 * TURN) {
        noted.mistakes.extend(out_of_order(&readings, &onward, source));
        return None;
    }
    if total > TURN - NOTHING {
        let closing = readings.pop()?;
        let first = readings.first()?;
        if (closing.lift.si - first.lift.si).abs() > SAME {
            let message = format!(
                "the lift is {} at {} and {} at {}, which is the same place",
                closing.lift, closing.angle, first.lift, first.angle
            );
            let right = "after one turn the cam stands as before: read both again";
            noted.mistakes.push(source.mistake(message, right, closing.spans.1));
            return None;
        }
    }
    if falls {
        let message = "the angles of the readings fall; they are put in growing order, each with its lift";
        let right = "right for a machine turned backwards; if the dial itself counts against the turning, \
                     write 360 degrees less each angle";
        noted.remarks.push(source.mistake(message, right, readings.first()?.spans.0.clone()));
    }
    for reading in &mut readings {
        reading.angle = within_the_turn(&reading.angle);
    }
    readings.sort_by(|a, b| a.angle.si.total_cmp(&b.angle.si));
    noted.remarks.extend(slip_remarks(&readings, source));
    Some(readings.into_iter().map(|reading| (reading.angle, reading.lift)).collect())
}

/// The same angle, from 0 up to one turn.
fn within_the_turn(angle: &Quantity) -> Quantity {
    let turn = angle.unit.from_si(std::f64::consts::TAU);
    let counted = angle.unit.from_si(angle.si);
    if (0.0..turn).contains(&counted) {
        return angle.clone();
    }
    // The last digit of a turn in radians is not worth a place of its own.
    let inside = (counted.rem_euclid(turn) * 1e9).round() * 1e-9;
    angle.with_si(angle.unit.to_si(if inside < turn { inside } else { 0.0 }))
}

/// The readings that do not go on from the one before.
fn out_of_order(readings: &[Reading], onward: &[f64], source: &Source<'_>) -> Vec<Mistake> {
    // One may begin the count of degrees again: the one that so goes on least.
    let back = |step: f64| step <= NOTHING;
    let again = onward.iter().copied().filter(|step| back(*step) && step + TURN < 0.5 * TURN);
    let again = again.min_by(f64::total_cmp);
    let mut mistakes = Vec::new();
    for (pair, step) in readings.windows(2).zip(onward) {
        let [before, reading] = pair else { continue };
        if !back(*step) || again == Some(*step) {
            continue;
        }
        let (message, right) = if step.abs() <= NOTHING {
            (format!("`{}` is given twice", reading.angle), "give each angle once")
        } else {
            (
                format!("`{}` comes after `{}`", reading.angle, before.angle),
                "put the angles in order, all growing or all falling",
            )
        };
        mistakes.push(source.mistake(message, right, reading.spans.0.clone()));
    }
    if let ([], Some(first), Some(last)) = (mistakes.as_slice(), readings.first(), readings.last()) {
        let message = format!("the readings go from {} to {}, more than once round", first.angle, last.angle);
        mistakes.push(source.mistake(message, "give one turn of them", last.spans.0.clone()));
    }
    mistakes
}

/// A word on each reading that is likely a slip, with what should stand there.
fn slip_remarks(readings: &[Reading], source: &Source<'_>) -> Vec<Mistake> {
    let plain: Vec<(f64, f64)> = readings.iter().map(|reading| (reading.angle.si, reading.lift.si)).collect();
    let places = |reading: &Reading| {
        let digits = reading.lift.text.split_once('.').map_or("", |(_, after)| after);
        digits.chars().take_while(char::is_ascii_digit).count()
    };
    let places = readings.iter().map(places).max().unwrap_or_default().min(4);
    let one = |slip: latchstroke_models::cam::Slip| {
        let reading = readings.get(slip.index)?;
        let at = |by: usize| readings.get((slip.index + readings.len() + by - 1) % readings.len());
        let (before, after) = (at(0)?, at(2)?);
        let unit = reading.lift.unit;
        let expected = format!("{:.places$}", unit.from_si(slip.expected.max(0.0)));
        let message = format!(
            "the lift of {} at {} does not lie on the curve of its neighbours, {} at {} and {} at {}",
            reading.lift, reading.angle, before.lift, before.angle, after.lift, after.angle
        );
        let right = format!("a slip? They lead one to expect about {expected} {}", unit.typeable());
        Some(source.mistake(message, right, reading.spans.1.clone()))
    };
    slips(&plain).into_iter().filter_map(one).collect()
}
