//! Any text as a quantity of any kind: it is read as a finite number or refused at a place within it; what is read reads back.

use latchstroke_scenario::{Dimension, Quantity};

/// Tries one text.
pub fn tries(text: &str) {
    for &dimension in Dimension::ALL {
        match Quantity::parse(text, dimension) {
            Ok(quantity) => {
                assert!(quantity.si.is_finite(), "{quantity:?}");
                assert!(
                    quantity.tolerance_si.is_none_or(|tolerance| tolerance.is_finite() && tolerance >= 0.0)
                );
                let again = Quantity::parse(&quantity.to_string(), dimension).expect("what was written");
                assert!((again.si - quantity.si).abs() <= 1e-9 * quantity.si.abs(), "{quantity:?} {again:?}");
            }
            Err(fault) => assert!(fault.span.end <= text.len() && text.is_char_boundary(fault.span.start)),
        }
    }
}
