//! Regular expressions for quantities in text, as the reader takes them.

use super::super::quantity::{Dimension, Unit};

/// What may stand between the factors of a unit, as in `kg·m²` or `W/(m2 K)`.
const BETWEEN: &str = r"[ ·⋅*×()]*";
const DIGITS: &str = "[0-9]+";
const FRACTION: &str = "(?:[0-9]+[/⁄][0-9]+|[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])";
const TOLERANCE_MARK: &str = "(?:±|\\+/[-−]|\\+[-−])";

/// The texts that are a quantity of `dimension`: a number and its unit, and
/// perhaps a tolerance in a unit of its own, in that of the value, or in per
/// cent; or a tolerance that shares one unit with its value.
pub(in super::super) fn quantity(dimension: Dimension) -> String {
    let magnitude = magnitude();
    let unit = unit(dimension);
    let number = format!("\\s*[-−+]?\\s*{magnitude}\\s*");
    let tolerance = format!("{TOLERANCE_MARK}\\s*{magnitude}\\s*");
    let forms = match dimension {
        // A plain number and its tolerance are both plain, or both in per cent.
        Dimension::Ratio => {
            format!("{number}(?:{tolerance})?|{number}{unit}\\s*(?:{tolerance}{unit}?)?")
        }
        // A share of a temperature means nothing.
        Dimension::Temperature => {
            format!("{number}{unit}\\s*(?:{tolerance}{unit}?)?|{number}{tolerance}{unit}")
        }
        _ => format!("{number}{unit}\\s*(?:{tolerance}(?:{unit}|%)?)?|{number}{tolerance}{unit}"),
    };
    format!("^(?:{forms})\\s*$")
}

fn magnitude() -> String {
    let decimal = format!("(?:{DIGITS}(?:\\.[0-9]*)?|\\.{DIGITS})(?:[eE][-+]?{DIGITS})?");
    format!("(?:{DIGITS}(?:-|\\s*){FRACTION}|{FRACTION}|{decimal})")
}

/// Any spelling of any unit of the dimension.
fn unit(dimension: Dimension) -> String {
    let spellings: Vec<String> = dimension
        .units()
        .iter()
        .flat_map(Unit::names)
        .filter(|name| dimension != Dimension::Ratio || !name.is_empty())
        .map(spelling)
        .collect();
    format!("(?:{})\\.?", spellings.join("|"))
}

/// One spelling with its typographic variants.
fn spelling(name: &str) -> String {
    name.chars()
        .map(|c| match c {
            ' ' => BETWEEN.to_owned(),
            '/' => format!("{BETWEEN}/{BETWEEN}"),
            '²' => format!("\\^?[2²]{BETWEEN}"),
            '³' => format!("\\^?[3³]{BETWEEN}"),
            'µ' => "[uµμ]".to_owned(),
            '°' => "[°º˚]".to_owned(),
            '"' => "[\"″”“]".to_owned(),
            c => c.to_string(),
        })
        .collect()
}
