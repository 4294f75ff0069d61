//! The grammar of numbers as an owner writes them: decimals, fractions, and
//! whole numbers with a fraction.

use std::ops::Range;

use winnow::ascii::{digit1, space0};
use winnow::combinator::{alt, opt, preceded, separated_pair};
use winnow::error::ModalResult;
use winnow::prelude::*;
use winnow::stream::LocatingSlice;
use winnow::token::{any, one_of};

use super::QuantityError;

/// Text that knows how far it has been read.
pub(super) type Input<'i> = LocatingSlice<&'i str>;

/// Figures as typed: a whole or decimal part and perhaps a fraction.
pub(super) struct Figures {
    whole: f64,
    fraction: Option<(f64, f64)>,
}

/// Figures after a sign, if there is one: whether they are negative, the
/// figures, and where they stand.
pub(super) fn signed_figures(input: &mut Input<'_>) -> ModalResult<(bool, Figures, Range<usize>)> {
    let sign = preceded(space0, opt(one_of(['-', '−', '+']))).parse_next(input)?;
    let (figures, span) = preceded(space0, figures.with_span()).parse_next(input)?;
    Ok((matches!(sign, Some('-' | '−')), figures, span))
}

/// Figures without a sign.
pub(super) fn figures(input: &mut Input<'_>) -> ModalResult<Figures> {
    alt((mixed, fraction.map(|parts| Figures { whole: 0.0, fraction: Some(parts) }), decimal))
        .parse_next(input)
}

/// "2 11/16", "2-11/16" or "2¾".
fn mixed(input: &mut Input<'_>) -> ModalResult<Figures> {
    (digit1.parse_to(), alt(("-", space0)), fraction)
        .map(|(whole, _, parts)| Figures { whole, fraction: Some(parts) })
        .parse_next(input)
}

/// "11/16" or "¾", as numerator and denominator.
fn fraction(input: &mut Input<'_>) -> ModalResult<(f64, f64)> {
    alt((
        any.verify_map(vulgar_fraction),
        separated_pair(digit1.parse_to(), one_of(['/', '⁄']), digit1.parse_to()),
    ))
    .parse_next(input)
}

fn decimal(input: &mut Input<'_>) -> ModalResult<Figures> {
    let digits = alt(((digit1, opt((".", opt(digit1)))).void(), (".", digit1).void()));
    let power = opt((one_of(['e', 'E']), opt(one_of(['-', '+'])), digit1));
    (digits, power).take().parse_to().map(|whole| Figures { whole, fraction: None }).parse_next(input)
}

fn vulgar_fraction(c: char) -> Option<(f64, f64)> {
    Some(match c {
        '½' => (1.0, 2.0),
        '⅓' => (1.0, 3.0),
        '⅔' => (2.0, 3.0),
        '¼' => (1.0, 4.0),
        '¾' => (3.0, 4.0),
        '⅕' => (1.0, 5.0),
        '⅖' => (2.0, 5.0),
        '⅗' => (3.0, 5.0),
        '⅘' => (4.0, 5.0),
        '⅙' => (1.0, 6.0),
        '⅚' => (5.0, 6.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        _ => return None,
    })
}

/// The value of the figures; `text` and `span` are where they stand.
pub(super) fn evaluate(figures: &Figures, text: &str, span: &Range<usize>) -> Result<f64, QuantityError> {
    let typed = text.get(span.clone()).unwrap_or(text);
    let Some((top, bottom)) = figures.fraction else {
        return Ok(figures.whole);
    };
    if bottom == 0.0 {
        return Err(QuantityError {
            message: format!("`{typed}` divides by nought"),
            right: "write a fraction such as 11/16".to_owned(),
            span: span.clone(),
        });
    }
    if figures.whole > 0.0 && top >= bottom {
        return Err(QuantityError {
            message: format!("the fraction of `{typed}` is not less than one"),
            right: "write a whole number and a proper fraction, as in 2 11/16".to_owned(),
            span: span.clone(),
        });
    }
    Ok(figures.whole + top / bottom)
}
