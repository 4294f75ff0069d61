//! Headings of columns.

use super::quantity::{Dimension, Quantity};

/// The unit in a heading such as "lift (in)", "lift [in]", "lift, in" or "lift_in".
pub(super) fn unit_of(heading: &str, dimension: Dimension) -> Option<String> {
    let word =
        heading.rsplit([' ', '(', '[', '_', ',', '/']).map(|word| word.trim_end_matches([')', ']', ' ']));
    let mut words = word.filter(|word| !word.is_empty());
    let last = words.next()?.to_owned();
    Quantity::parse(&format!("1 {last}"), dimension).is_ok().then_some(last)
}
