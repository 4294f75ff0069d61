//! Thread designations as they are written on drawings: "M12 x 1.75", "1/2-13 UNC", "3/8 BSW".

use crate::Dimension;
use crate::Quantity;
use latchstroke_core::studies::parts::NamedThread;
use latchstroke_models::thread::{Form, Series, Thread, series_pitch};

/// Why a text is no designation: what is wrong, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoDesignation {
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub right: String,
}

const EXAMPLES: &str =
    "write it as \"M12 x 1.75\", \"1/2-13 UNC\", \"1/2-20\", \"1/2 Whitworth\" or \"1/2 BSF\"";

/// Names of inch threads as they are said and as they are told, their form, and the series that gives the pitch when it is not
/// written. One that ends as another does comes before it.
const INCH_NAMES: [(&str, &str, Form, Option<Series>); 17] = [
    ("BS WHITWORTH", "BSW", Form::Whitworth, Some(Series::Whitworth)),
    ("WHITWORTH", "BSW", Form::Whitworth, Some(Series::Whitworth)),
    ("WHITW", "BSW", Form::Whitworth, Some(Series::Whitworth)),
    ("WHIT", "BSW", Form::Whitworth, Some(Series::Whitworth)),
    ("BSW", "BSW", Form::Whitworth, Some(Series::Whitworth)),
    ("BS FINE", "BSF", Form::Whitworth, Some(Series::WhitworthFine)),
    ("BRITISH STANDARD FINE", "BSF", Form::Whitworth, Some(Series::WhitworthFine)),
    ("BSF", "BSF", Form::Whitworth, Some(Series::WhitworthFine)),
    ("UNIFIED COARSE", "UNC", Form::Unified, Some(Series::UnifiedCoarse)),
    ("UNC", "UNC", Form::Unified, Some(Series::UnifiedCoarse)),
    ("UNIFIED FINE", "UNF", Form::Unified, Some(Series::UnifiedFine)),
    ("UNF", "UNF", Form::Unified, Some(Series::UnifiedFine)),
    ("UNEF", "UNEF", Form::Unified, None),
    ("UNS", "UNS", Form::Unified, None),
    ("UN", "UN", Form::Unified, None),
    ("NC", "UNC", Form::Unified, Some(Series::UnifiedCoarse)),
    ("NF", "UNF", Form::Unified, Some(Series::UnifiedFine)),
];

/// Reads a designation.
///
/// # Errors
/// [`NoDesignation`] if it is none, names no pitch where none is known, or a thread that cannot be.
pub fn parse(text: &str) -> Result<NamedThread, NoDesignation> {
    let text = text.trim().replace('×', "x");
    let text = text.strip_prefix("metric ").or_else(|| text.strip_prefix("Metric ")).unwrap_or(&text).trim();
    match text.strip_prefix(['M', 'm']) {
        Some(rest) => metric(rest),
        None => inch(text),
    }
}

fn refuse(message: impl Into<String>) -> NoDesignation {
    NoDesignation { message: message.into(), right: EXAMPLES.to_owned() }
}

/// Millimetres as plain figures, in m.
fn millimetres(text: &str) -> Option<f64> {
    text.trim()
        .parse::<f64>()
        .ok()
        .filter(|value| value.is_finite() && *value > 0.0)
        .map(|value| value * 1e-3)
}

fn metric(rest: &str) -> Result<NamedThread, NoDesignation> {
    let (size, pitch) = match rest.split_once(['x', 'X']) {
        Some((size, pitch)) => (size, Some(pitch.trim().trim_end_matches("mm"))),
        None => (rest, None),
    };
    let Some(major) = millimetres(size) else {
        return Err(refuse(format!("M{rest} names no diameter in mm")));
    };
    let pitch = match pitch {
        Some(text) => {
            millimetres(text).ok_or_else(|| refuse(format!("`{}` is no pitch in mm", text.trim())))?
        }
        None => series_pitch(Series::MetricCoarse, major).ok_or_else(|| {
            refuse(format!("M{} is not in the coarse series, so its pitch must be written", size.trim()))
        })?,
    };
    NamedThread::metric(major, pitch).map_err(|error| refuse(error.to_string()))
}

fn inch(text: &str) -> Result<NamedThread, NoDesignation> {
    // "B.S.W." and "Whit." are said with points; those of a decimal stand between figures.
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        if c != '.' || !plain.ends_with(|before: char| before.is_ascii_alphabetic()) {
            plain.push(c);
        }
    }
    let upper = plain.to_ascii_uppercase();
    let said = |name: &str| match (upper.strip_suffix(name), upper.strip_prefix(name)) {
        (Some(rest), _) => plain.get(..rest.len()),
        (None, Some(rest)) => plain.get(plain.len() - rest.len()..),
        (None, None) => None,
    };
    let named = INCH_NAMES.iter().find_map(|known| Some((known, said(known.0)?)));
    let body = named.map_or(plain.as_str(), |(_, body)| body);
    let body = body.trim().trim_end_matches("tpi").trim();
    let (size, per_inch) = threads_per_inch(body);
    let size = size.trim().trim_end_matches(['"', '″']).trim_end_matches("in").trim();
    let major = Quantity::parse(&format!("{size} in"), Dimension::Length)
        .ok()
        .filter(|length| length.tolerance_si.is_none())
        .ok_or_else(|| refuse(format!("`{text}` is no thread")))?
        .si;
    let (told, form, series) =
        named.map_or(("UN", Form::Unified, None), |(&(_, told, form, series), _)| (told, form, series));
    let pitch = per_inch
        .map(|per_inch| 0.0254 / per_inch)
        .or_else(|| series_pitch(series?, major))
        .ok_or_else(|| refuse(format!("`{text}` does not say how many threads there are to the inch")))?;
    let thread = Thread::new(form, major, pitch).map_err(|error| refuse(error.to_string()))?;
    let per_inch = (0.0254 / pitch * 1e6).round() / 1e6;
    let name = format!("{size}-{per_inch} {told}");
    Ok(NamedThread { thread, name })
}

/// Splits "1/2-13" or "1/2 x 13" into the size and the threads per inch; "1-1/4" is a size alone.
fn threads_per_inch(body: &str) -> (&str, Option<f64>) {
    let split = body.rsplit_once(['-', '–', 'x', 'X']);
    match split.map(|(size, count)| (size, count.trim().parse::<f64>())) {
        Some((size, Ok(count))) if count.is_finite() && count > 0.0 => (size, Some(count)),
        _ => (body, None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (String, f64, f64) {
        let named = parse(text).unwrap_or_else(|error| panic!("{text}: {error:?}"));
        (named.name, named.thread.major() * 1e3, named.thread.pitch() * 1e3)
    }

    #[test]
    fn designations_are_read_however_they_are_written() {
        let inch = 25.4;
        for (text, name, major, pitch) in [
            ("M12 x 1.75", "M12 × 1.75", 12.0, 1.75),
            ("m10×1.5", "M10 × 1.5", 10.0, 1.5),
            ("M10", "M10 × 1.5", 10.0, 1.5),
            ("M 12x1 mm", "M12 × 1", 12.0, 1.0),
            ("1/2-13 UNC", "1/2-13 UNC", inch / 2.0, inch / 13.0),
            ("1/2 UNC", "1/2-13 UNC", inch / 2.0, inch / 13.0),
            ("1/2-20", "1/2-20 UN", inch / 2.0, inch / 20.0),
            ("3/8 BSW", "3/8-16 BSW", 0.375 * inch, inch / 16.0),
            ("1/2\" bsf", "1/2-16 BSF", inch / 2.0, inch / 16.0),
            ("1-8 UNC", "1-8 UNC", inch, inch / 8.0),
            ("1/2 Whitworth", "1/2-12 BSW", inch / 2.0, inch / 12.0),
            ("1/2 in. Whit.", "1/2-12 BSW", inch / 2.0, inch / 12.0),
            ("3/8 whit", "3/8-16 BSW", 0.375 * inch, inch / 16.0),
            ("Whitworth 3/8", "3/8-16 BSW", 0.375 * inch, inch / 16.0),
            ("1/2\" B.S.W.", "1/2-12 BSW", inch / 2.0, inch / 12.0),
            ("1/2 BS Whitworth", "1/2-12 BSW", inch / 2.0, inch / 12.0),
            ("BSF 1/2 in", "1/2-16 BSF", inch / 2.0, inch / 16.0),
            ("1/2 B.S. Fine", "1/2-16 BSF", inch / 2.0, inch / 16.0),
            ("0.5 UNF", "0.5-20 UNF", inch / 2.0, inch / 20.0),
            ("1/2 N.C.", "1/2-13 UNC", inch / 2.0, inch / 13.0),
            ("UNC 1/2-13", "1/2-13 UNC", inch / 2.0, inch / 13.0),
            ("metric M10x1.5", "M10 × 1.5", 10.0, 1.5),
            ("M12x1.5", "M12 × 1.5", 12.0, 1.5),
            ("1 1/4 in x 7 tpi UNC", "1 1/4-7 UNC", 1.25 * inch, inch / 7.0),
            ("1-1/4-7", "1-1/4-7 UN", 1.25 * inch, inch / 7.0),
        ] {
            let (found, d, p) = read(text);
            assert_eq!(found, name, "{text}");
            assert!((d - major).abs() < 1e-9 && (p - pitch).abs() < 1e-9, "{text}: {d} {p}");
        }
    }

    #[test]
    fn what_is_no_thread_is_refused_with_what_would_be_right() {
        for text in [
            "",
            "M",
            "M12 x",
            "M12 x 9",
            "M13",
            "1/2",
            "5/8 UNEF",
            "banana",
            "-1/2-13",
            "1/2-0",
            "M12 x NaN",
            "UNC",
            "½é",
        ] {
            let error = parse(text).err().unwrap_or_else(|| panic!("{text} is read"));
            assert!(error.right.contains("M12 x 1.75") && !error.message.is_empty(), "{text}");
        }
    }
}
