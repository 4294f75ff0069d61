//! Getting past lines at which the TOML parser gives up.

use std::ops::Range;

use toml::de::DeTable;

/// The parser's word for a line that has no `=`.
pub(super) const NO_VALUE: &str = "key with no value";

/// A fault of the TOML: its bytes, and the parser's word for it.
pub(super) struct Fault {
    pub span: Range<usize>,
    pub message: String,
}

/// The text as far as it is TOML, and the faults in it.
///
/// After a line without a value the parser gives up on all that follows, so
/// such a line is hidden behind `#` and the rest parsed again. Bytes keep their
/// places.
pub(super) fn repaired(text: &str) -> (String, Vec<Fault>) {
    // A file with more such lines than this is no scenario at all.
    const MOST: usize = 50;
    let mut repaired = text.to_owned();
    let mut hidden = Vec::new();
    loop {
        let (_, errors) = DeTable::parse_recoverable(&repaired);
        let mut faults: Vec<Fault> = errors
            .iter()
            .map(|error| Fault { span: error.span().unwrap_or(0..0), message: error.message().to_owned() })
            .collect();
        let without_value = faults.iter().position(|fault| fault.message.starts_with(NO_VALUE));
        if let Some(index) = without_value
            && hidden.len() < MOST
        {
            let fault = faults.swap_remove(index);
            hide_line(&mut repaired, fault.span.start);
            hidden.push(fault);
        } else {
            hidden.extend(faults);
            return (repaired, hidden);
        }
    }
}

/// Puts `#` in place of every byte of the line.
fn hide_line(text: &mut String, byte: usize) {
    let start = line_start(text, byte);
    let length = line(text, start).len();
    text.replace_range(start..start + length, &"#".repeat(length));
}

/// Where the line of this byte starts.
pub(super) fn line_start(text: &str, byte: usize) -> usize {
    let before = text.get(..text.floor_char_boundary(byte)).unwrap_or_default();
    before.rfind('\n').map_or(0, |newline| newline + 1)
}

/// The line that starts at this byte.
pub(super) fn line(text: &str, start: usize) -> &str {
    text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or_default()
}
