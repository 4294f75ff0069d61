//! Quantities written back for people.

use super::{Dimension, Unit};

/// Significant figures printed: an owner's dial indicator gives four, and the
/// fifth keeps rounding out of sight.
const FIGURES: i32 = 5;

/// An SI value in `unit` with its symbol, to five significant figures, without
/// trailing zeros and never "-0". The text reads back as a quantity.
pub fn format_in(unit: &Unit, si: f64) -> String {
    let number = number(unit.from_si(si));
    match unit.symbol {
        "" => number,
        // By custom the degree sign stands close to its figures.
        "°" => number + "°",
        symbol => format!("{number} {symbol}"),
    }
}

/// An SI value in the SI unit of its dimension, as [`format_in`].
pub fn format_si(dimension: Dimension, si: f64) -> String {
    format_in(&dimension.units().si, si)
}

/// A length in metres as inches to the nearest sixty-fourth, in lowest terms,
/// as read off a steel rule: "2 11/16 in".
pub fn nearest_64th(metres: f64) -> String {
    let inches = &Dimension::Length.find("in").map_or(f64::NAN, |inch| inch.from_si(metres));
    let sixty_fourths = (inches * 64.0).round();
    if !sixty_fourths.is_finite() || sixty_fourths == 0.0 {
        return "0 in".to_owned();
    }
    let sign = if sixty_fourths < 0.0 { "-" } else { "" };
    let whole = (sixty_fourths.abs() / 64.0).floor();
    let (mut top, mut bottom) = (sixty_fourths.abs() - 64.0 * whole, 64.0);
    while top > 0.0 && top % 2.0 == 0.0 {
        top /= 2.0;
        bottom /= 2.0;
    }
    match (whole > 0.0, top > 0.0) {
        (true, true) => format!("{sign}{whole} {top}/{bottom} in"),
        (true, false) => format!("{sign}{whole} in"),
        (false, _) => format!("{sign}{top}/{bottom} in"),
    }
}

/// A number to [`FIGURES`] significant figures; powers of ten only for the
/// very large and very small.
fn number(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".to_owned() } else { value.to_string() };
    }
    let decimals = decimals(value, FIGURES);
    if (-5..8).contains(&(FIGURES - 1 - decimals)) {
        return trimmed(format!("{value:.*}", decimals.max(0).unsigned_abs() as usize));
    }
    let rounded = format!("{value:.*e}", (FIGURES - 1).unsigned_abs() as usize);
    match rounded.split_once('e') {
        Some((mantissa, exponent)) => format!("{}e{exponent}", trimmed(mantissa.to_owned())),
        None => rounded,
    }
}

/// How many decimals give a number that many significant figures; negative where whole tens, hundreds … do.
pub fn decimals(value: f64, figures: i32) -> i32 {
    // Rounding first lets 9.996 to three figures count as 10.0.
    let rounded = format!("{value:.*e}", (figures - 1).max(0).unsigned_abs() as usize);
    let power = rounded.split_once('e').and_then(|(_, power)| power.parse::<i32>().ok());
    figures - 1 - power.unwrap_or(0)
}

/// Without zeros at the end of the decimals: for figures that were asked for, not computed.
pub fn trimmed(number: String) -> String {
    if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.').to_owned() } else { number }
}
