//! Lists of sizes and paces on the command line.

use super::{Failure, both};
use latchstroke_core::studies::judge::Cast;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Pace;
use latchstroke_scenario::key;
use latchstroke_scenario::{Dimension, MOST_IN_LIST as MOST, Quantity, Unit, catalogue, in_range};

/// How many values "15..60" stands for.
const STEPS: u32 = 10;

/// So many wrong values of a list are told.
const TOLD: usize = 10;

/// The options that stand for a key of the scenario are held to its range.
const KEYS: [(&str, &str); 2] = [("--body", key!(Sort, body)), ("--pace", key!(Cast, pace))];

/// Sizes such as "14pt,18pt" in metres; bare numbers are in `unit`.
///
/// # Errors
/// What is wrong with the list, and what would be right.
pub fn sizes(text: &str, unit: &Unit) -> Result<Vec<f64>, Failure> {
    values("--body", text, Dimension::Length, unit, "\"14pt,18pt,24pt\"")
}

/// Paces such as "15,20", "15..60" or "15..60:5" in turns/s; bare numbers are in `unit`.
///
/// # Errors
/// What is wrong with the list, and what would be right.
pub fn paces(text: &str, unit: &Unit) -> Result<Vec<f64>, Failure> {
    const EXAMPLE: &str = "\"15,20,30\", \"15..60\" or \"15..60:5\"";
    let Some((low, rest)) = text.split_once("..") else {
        return values("--pace", text, Dimension::Pace, unit, EXAMPLE);
    };
    let (high, step) = match rest.split_once(':') {
        Some((high, step)) => (high, Some(step)),
        None => (rest, None),
    };
    let one = |part: &str| value("--pace", part, Dimension::Pace, unit, EXAMPLE);
    let (low, high) = both(one(low), one(high))?;
    if low >= high {
        return Err(Failure::Plain(format!(
            "--pace {text}: the first pace must be below the last; write {EXAMPLE}"
        )));
    }
    let Some(step) = step else {
        let share = |n: u32| f64::from(n) / f64::from(STEPS - 1);
        return Ok((0..STEPS).map(|n| low + (high - low) * share(n)).collect());
    };
    let step = value("step of --pace", step, Dimension::Pace, unit, EXAMPLE)?;
    let mut all = Vec::new();
    // Half a millionth of a step more, so that rounding does not lose the last pace.
    while low + step * (all.len() as f64) <= high + 5e-7 * step {
        all.push(low + step * (all.len() as f64));
        if all.len() > MOST {
            return Err(too_many("--pace"));
        }
    }
    Ok(all)
}

/// The one pace that a text says; a bare number is in `unit`.
///
/// # Errors
/// When it is not one pace.
pub fn one_pace(text: &str, unit: &Unit) -> Result<Pace, Failure> {
    value("--pace", text, Dimension::Pace, unit, "\"15 turns/min\"").map(Pace)
}

/// The one size that a text says, m; a bare number is in `unit`.
///
/// # Errors
/// When it is not one size.
pub fn one_size(text: &str, unit: &Unit) -> Result<f64, Failure> {
    match sizes(text, unit)?.as_slice() {
        [one] => Ok(*one),
        _ => Err(Failure::Plain(format!("--body {text}: one size at a time here; write \"24pt\""))),
    }
}

/// Refuses more casts than `most`, with what there are too many for.
///
/// # Errors
/// When there are.
pub fn at_most(casts: usize, most: usize, place: &str) -> Result<(), Failure> {
    if casts <= most {
        return Ok(());
    }
    Err(Failure::Plain(format!(
        "{casts} casts are more than {place} holds ({most}); ask for fewer sizes or paces"
    )))
}

fn values(
    option: &str,
    text: &str,
    dimension: Dimension,
    unit: &Unit,
    example: &str,
) -> Result<Vec<f64>, Failure> {
    if text.split(',').count() > MOST {
        return Err(too_many(option));
    }
    let (mut all, mut wrong) = (Vec::new(), Vec::new());
    for part in text.split(',') {
        match value(option, part, dimension, unit, example) {
            Ok(value) => all.push(value),
            Err(why) => wrong.push(why),
        }
    }
    if wrong.is_empty() {
        return Ok(all);
    }
    let more = wrong.len().saturating_sub(TOLD);
    wrong.truncate(TOLD);
    if more > 0 {
        wrong.push(Failure::Plain(format!("{option}: {more} more values are wrong")));
    }
    Err(Failure::Several(wrong))
}

/// One value above zero, in SI; a bare number is in `unit`.
///
/// # Errors
/// What is wrong with it, and what would be right.
pub fn value(
    option: &str,
    part: &str,
    dimension: Dimension,
    unit: &Unit,
    example: &str,
) -> Result<f64, Failure> {
    let si = typed(option, part, dimension, unit, example)?;
    if si > 0.0 {
        Ok(si)
    } else {
        Err(Failure::Plain(format!(
            "{option}, at \"{}\": it must be above zero; write {example}",
            part.trim()
        )))
    }
}

/// One value of any sign, in SI; a bare number is in `unit`.
///
/// # Errors
/// What is wrong with it, and what would be right.
pub fn typed(
    option: &str,
    part: &str,
    dimension: Dimension,
    unit: &Unit,
    example: &str,
) -> Result<f64, Failure> {
    let part = part.trim();
    let with_unit =
        if part.parse::<f64>().is_ok() { format!("{part} {}", unit.typeable()) } else { part.to_owned() };
    let wrong = |why: String| Failure::Plain(format!("{option}, at \"{part}\": {why}; write {example}"));
    let quantity = Quantity::parse(&with_unit, dimension).map_err(|error| wrong(error.message))?;
    let key = KEYS.iter().find(|(name, _)| *name == option).and_then(|(_, key)| catalogue::entry(key));
    match key.map_or(Ok(()), |(_, entry)| in_range(entry, &quantity)) {
        // What is not above zero has its own word.
        Err(error) if quantity.si > 0.0 => {
            Err(Failure::Plain(format!("{option}, at \"{part}\": it must be {}", error.right)))
        }
        _ => Ok(quantity.si),
    }
}

fn too_many(option: &str) -> Failure {
    Failure::Plain(format!("{option}: more than {MOST} values at once; ask for fewer"))
}
