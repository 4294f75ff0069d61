//! Reading a quantity: the figures by grammar, the unit by table.

use std::ops::Range;

use winnow::ascii::space0;
use winnow::combinator::{alt, preceded};
use winnow::error::ModalResult;
use winnow::prelude::*;
use winnow::stream::{LocatingSlice, Location};
use winnow::token::{rest, take_till};

use super::figures::{Figures, Input, evaluate, figures, signed_figures};
use super::units::{Unit, normalised};
use super::{Dimension, Quantity, QuantityError};

/// A piece of the text and where it stands.
type Piece<'i> = (&'i str, Range<usize>);

/// Reads `text` as a quantity of `dimension`.
pub(super) fn quantity(text: &str, dimension: Dimension) -> Result<Quantity, QuantityError> {
    let mut input = LocatingSlice::new(text);
    let (negative, figures, span) = signed_figures(&mut input).map_err(|_| no_number(text, dimension))?;
    let magnitude = evaluate(&figures, text, &span)?;
    let value = if negative { -magnitude } else { magnitude };

    let unit_piece = unit_piece(&mut input, text);
    let tolerance = tolerance(&mut input, text)?;
    // "68 ± 0.5 mm" states the unit once, after the tolerance.
    let shared = unit_piece.0.is_empty() && !dimension.allows_bare_number();
    let unit_piece = match &tolerance {
        Some((_, piece)) if shared => piece.clone(),
        _ => unit_piece,
    };
    let unit = find_unit(&unit_piece, dimension, text, &span)?;
    refuse_ambiguous_share(&unit_piece, tolerance.as_ref(), dimension)?;

    let si = unit.to_si(value);
    if !si.is_finite() {
        return Err(QuantityError {
            message: format!("`{}` is not a finite {}", text.trim(), bare_word(dimension)),
            right: format!("write a number of ordinary size, as in \"{}\"", sample(dimension)),
            span,
        });
    }
    let tolerance_si = match tolerance {
        Some((size, piece)) => Some(tolerance_in_si(size, &piece, value, unit, dimension, text)?),
        None => None,
    };
    Ok(Quantity { si, tolerance_si, dimension, unit, text: text.trim().to_owned() })
}

/// The unit part of a quantity's text as typed, for a hint such as
/// "write it as \"30 mm\"".
pub fn unit_as_typed(text: &str) -> &str {
    let mut input = LocatingSlice::new(text);
    match signed_figures(&mut input) {
        Ok(_) => unit_piece(&mut input, text).0,
        Err(_) => "",
    }
}

/// The text up to a tolerance or the end, without spaces around it.
fn unit_piece<'i>(input: &mut Input<'i>, text: &'i str) -> Piece<'i> {
    let taken: ModalResult<(&str, Range<usize>)> = take_till(0.., ['±', '+']).with_span().parse_next(input);
    taken.map_or(("", text.len()..text.len()), trimmed)
}

fn trimmed((piece, span): Piece<'_>) -> Piece<'_> {
    let inner = piece.trim();
    let start = span.start + (piece.len() - piece.trim_start().len());
    (inner, start..start + inner.len())
}

/// "± 0.5 mm", if the text goes on with one.
fn tolerance<'i>(input: &mut Input<'i>, text: &'i str) -> Result<Option<(f64, Piece<'i>)>, QuantityError> {
    let start = input.current_token_start();
    if start == text.len() {
        return Ok(None);
    }
    let mark: ModalResult<&str> = alt(("±", "+/-", "+/−", "+-", "+−")).parse_next(input);
    let after_mark = input.current_token_start();
    let figures: ModalResult<(Figures, Range<usize>)> =
        preceded(space0, figures.with_span()).parse_next(input);
    match (mark, figures) {
        (Ok(_), Ok((figures, span))) => {
            let size = evaluate(&figures, text, &span)?;
            let piece: ModalResult<(&str, Range<usize>)> = rest.with_span().parse_next(input);
            Ok(Some((size, piece.map_or(("", span), trimmed))))
        }
        (mark, _) => Err(QuantityError {
            message: "a tolerance is wanted here".to_owned(),
            right: "write ± and a number, as in \"68 mm ± 0.5 mm\"".to_owned(),
            span: (if mark.is_ok() { after_mark.min(text.len()) } else { start })..text.len(),
        }),
    }
}

/// "50 ± 5 %" of a plain number may mean 0.5 ± 0.05 or 50 ± 2.5.
fn refuse_ambiguous_share(
    unit: &Piece<'_>,
    tolerance: Option<&(f64, Piece<'_>)>,
    dimension: Dimension,
) -> Result<(), QuantityError> {
    match tolerance {
        Some((_, piece)) if dimension == Dimension::Ratio && unit.0 != piece.0 && !piece.0.is_empty() => {
            Err(QuantityError {
                message: "the number and its tolerance are in different units".to_owned(),
                right: "write both plain or both in per cent, as in \"50 % ± 5 %\"".to_owned(),
                span: piece.1.clone(),
            })
        }
        _ => Ok(()),
    }
}

/// A tolerance in its own unit, in the value's unit, or in per cent of the value.
fn tolerance_in_si(
    size: f64,
    piece: &Piece<'_>,
    value: f64,
    unit: &Unit,
    dimension: Dimension,
    text: &str,
) -> Result<f64, QuantityError> {
    let is_scale = dimension == Dimension::Temperature;
    let si = if piece.0.is_empty() {
        unit.difference_to_si(value, size)
    } else if let Some(own) = dimension.find(piece.0) {
        own.difference_to_si(own.from_si(unit.to_si(value)), size)
    } else if normalised(piece.0) == "%" && !is_scale {
        (unit.to_si(value) * size / 100.0).abs()
    } else {
        return Err(unit_fault(piece, dimension));
    };
    if si.is_finite() {
        Ok(si)
    } else {
        Err(QuantityError {
            message: format!("the tolerance of `{}` is not finite", text.trim()),
            right: "write a number of ordinary size".to_owned(),
            span: 0..text.len(),
        })
    }
}

fn find_unit(
    piece: &Piece<'_>,
    dimension: Dimension,
    text: &str,
    number: &Range<usize>,
) -> Result<&'static Unit, QuantityError> {
    if let Some(unit) = dimension.find(piece.0) {
        return Ok(unit);
    }
    if normalised(piece.0).is_empty() {
        let typed = text.get(number.clone()).unwrap_or(text);
        return Err(QuantityError {
            message: format!("`{typed}` has no unit"),
            right: format!("write {} in {}", dimension.in_words(), dimension.unit_list()),
            span: number.clone(),
        });
    }
    Err(unit_fault(piece, dimension))
}

/// Why `piece` is no unit of `dimension`.
fn unit_fault((typed, span): &Piece<'_>, dimension: Dimension) -> QuantityError {
    let span = span.clone();
    let units = dimension.unit_list();
    let right = if units.is_empty() {
        "write a plain number".to_owned()
    } else {
        format!("write {} in {units}", dimension.in_words())
    };
    if let Some(digits) = typed.strip_prefix(',')
        && digits.starts_with(|c: char| c.is_ascii_digit())
    {
        return QuantityError {
            message: "a comma stands inside the number".to_owned(),
            right: "write a point before the decimals, as in 0.35, and nothing between thousands".to_owned(),
            span,
        };
    }
    if typed.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | '-')) {
        return QuantityError {
            message: format!("`{typed}` follows the number, where its unit should stand"),
            right: "write one number, as in 1000, 0.35 or 2 11/16, and then its unit".to_owned(),
            span,
        };
    }
    if let Some(fault) = either_gallon(typed, dimension, &span) {
        return fault;
    }
    let other = Dimension::ALL.iter().copied().find(|d| d.find(typed).is_some());
    let (message, near) = match other {
        Some(other) => {
            let words = if other == Dimension::Ratio { "a share" } else { other.in_words() };
            let message = format!("this wants {}, and `{typed}` is {words}", dimension.in_words());
            // The weight of a pound is a pound-force.
            (message, dimension.find(&format!("{typed}f")).map(|unit| unit.symbol))
        }
        None => (format!("there is no unit `{typed}`"), nearest(typed, dimension)),
    };
    let right = match near {
        Some(near) => format!("did you mean {near}? Otherwise {right}"),
        None => right,
    };
    QuantityError { message, right, span }
}

/// A gallon or a pint that does not say of which country, where either would do.
fn either_gallon(typed: &str, dimension: Dimension, span: &Range<usize>) -> Option<QuantityError> {
    let lower = typed.to_lowercase();
    let spelt = lower.replace("gallons", "gal").replace("gallon", "gal").replace("pints", "pint");
    let spelt = if spelt == "gpm" { "gal/min".to_owned() } else { spelt };
    let both = [format!("UK {spelt}"), format!("US {spelt}")];
    let [Some(uk), Some(us)] = [&both[0], &both[1]].map(|unit| dimension.find(unit)) else { return None };
    Some(QuantityError {
        message: format!(
            "`{typed}` may be British or American, and the British measure is {:.2} times the American",
            uk.to_si(1.0) / us.to_si(1.0)
        ),
        right: format!("write {} or {}", uk.symbol, us.symbol),
        span: span.clone(),
    })
}

/// The unit of `dimension` spelt most like `typed`, if any is close.
fn nearest(typed: &str, dimension: Dimension) -> Option<&'static str> {
    // Two spellings that share half their letters are worth a question.
    const CLOSE: f64 = 0.5;
    let wanted = normalised(typed).to_lowercase();
    dimension
        .units()
        .iter()
        .flat_map(|unit| unit.names().map(move |name| (unit.symbol, normalised(name).to_lowercase())))
        .map(|(symbol, name)| (symbol, strsim::normalized_damerau_levenshtein(&wanted, &name)))
        .filter(|(symbol, closeness)| !symbol.is_empty() && *closeness >= CLOSE)
        // Of those as close, the first: millimetres are likelier than metres.
        .reduce(|best, next| if next.1 > best.1 { next } else { best })
        .map(|(symbol, _)| symbol)
}

fn no_number(text: &str, dimension: Dimension) -> QuantityError {
    let message = if text.trim().is_empty() {
        "this is empty".to_owned()
    } else {
        format!("`{}` does not start with a number", text.trim())
    };
    QuantityError {
        message,
        right: format!("write {}, as in \"{}\"", dimension.in_words(), sample(dimension)),
        span: 0..text.len(),
    }
}

/// A made-up value of the dimension in its first unit.
fn sample(dimension: Dimension) -> String {
    if dimension.allows_bare_number() {
        return "1.5".to_owned();
    }
    let unit = dimension.units().iter().next();
    format!("30 {}", unit.map(Unit::typeable).unwrap_or_default())
}

/// The dimension in words without its article.
fn bare_word(dimension: Dimension) -> &'static str {
    let words = dimension.in_words();
    words.split_once(' ').map_or(words, |(_, word)| word)
}
