//! From a place inside a text to its place in the file.

use std::ops::Range;

/// Where bytes of a text's content stand in the file, given the text with its
/// quotes at `span`. An escape such as `\"` is two bytes in the file.
pub(super) fn within_text(source: &str, span: &Range<usize>, content: &Range<usize>) -> Range<usize> {
    let raw = source.get(span.clone()).unwrap_or_default();
    // Text over several lines is pointed at as a whole.
    if raw.starts_with("\"\"\"") || raw.starts_with("'''") {
        return span.clone();
    }
    let quote = usize::from(raw.starts_with(['"', '\'']));
    let escapes = raw.starts_with('"');
    let at = |offset: usize| {
        let mut place = span.start + quote;
        let mut counted = 0;
        let mut rest = raw.get(quote..).unwrap_or_default().chars();
        while counted < offset {
            let Some(c) = rest.next() else { break };
            place += c.len_utf8();
            if c == '\\' && escapes {
                let (length, decoded) = escape(&mut rest);
                place += length;
                counted += decoded;
            } else {
                counted += c.len_utf8();
            }
        }
        place
    };
    at(content.start)..at(content.end)
}

/// Bytes in the file of the escape that follows a backslash, and bytes of the
/// character it stands for.
fn escape(rest: &mut std::str::Chars<'_>) -> (usize, usize) {
    let Some(kind) = rest.next() else {
        return (0, 1);
    };
    let digits = match kind {
        'x' => 2,
        'u' => 4,
        'U' => 8,
        _ => return (kind.len_utf8(), 1),
    };
    let code: String = rest.by_ref().take(digits).collect();
    let decoded = u32::from_str_radix(&code, 16).ok().and_then(char::from_u32);
    (1 + code.len(), decoded.map_or(1, char::len_utf8))
}
