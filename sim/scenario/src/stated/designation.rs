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

const EXAMPLES: &str = "write it as \"M12 x 1.75\", \"1/2-13 UNC\", \"1/2-20\", \"3/8 BSW\" or \"1/2 BSF\"";

/// Names of inch threads: how they end, their form, and the series that gives the pitch when it is not written.
const INCH_NAMES: [(&str, Form, Option<Series>); 7] = [
    ("UNC", Form::Unified, Some(Series::UnifiedCoarse)),
    ("UNF", Form::Unified, Some(Series::UnifiedFine)),
    ("UNEF", Form::Unified, None),
    ("UNS", Form::Unified, None),
    ("UN", Form::Unified, None),
    ("BSW", Form::Whitworth, Some(Series::Whitworth)),
    ("BSF", Form::Whitworth, Some(Series::WhitworthFine)),
];

/// Reads a designation.
///
/// # Errors
/// [`NoDesignation`] if it is none, names no pitch where none is known, or a thread that cannot be.
pub fn parse(text: &str) -> Result<NamedThread, NoDesignation> {
    let text = text.trim().replace('×', "x");
    match text.strip_prefix(['M', 'm']) {
        Some(rest) => metric(rest),
        None => inch(&text),
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
    let upper = text.to_ascii_uppercase();
    let named = INCH_NAMES.iter().find(|(name, ..)| upper.ends_with(name));
    let body = named.map_or(text, |(name, ..)| text.get(..text.len() - name.len()).unwrap_or(text));
    let body = body.trim().trim_end_matches("tpi").trim();
    let (size, per_inch) = threads_per_inch(body);
    let size = size.trim().trim_end_matches(['"', '″']).trim_end_matches("in").trim();
    let major = Quantity::parse(&format!("{size} in"), Dimension::Length)
        .ok()
        .filter(|length| length.tolerance_si.is_none())
        .ok_or_else(|| refuse(format!("`{text}` is no thread")))?
        .si;
    let form = named.map_or(Form::Unified, |(_, form, _)| *form);
    let series = named.and_then(|(.., series)| *series);
    let pitch = per_inch
        .map(|per_inch| 0.0254 / per_inch)
        .or_else(|| series_pitch(series?, major))
        .ok_or_else(|| refuse(format!("`{text}` does not say how many threads there are to the inch")))?;
    let thread = Thread::new(form, major, pitch).map_err(|error| refuse(error.to_string()))?;
    let per_inch = (0.0254 / pitch * 1e6).round() / 1e6;
    let name = format!("{size}-{per_inch} {}", named.map_or("UN", |(name, ..)| *name));
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
