//! The pitches that go with a nominal diameter by custom.
//!
//! Metric coarse: ISO 261, from memory but for the sizes of the catalogue of check values. Unified coarse and fine: ASME B1.1;
//! Whitworth and British Standard Fine: BS 84. Read beyond an inch: threadchart and noxmetals (UNC), trfastenings (BSW), a maker of
//! gauges' table and an encyclopaedia's (BSF); UNF there is 12 to the inch for all (from memory).

use super::Form;
use strum::VariantArray;

/// A series of threads: nominal diameters with one pitch each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum Series {
    /// ISO metric coarse.
    MetricCoarse,
    /// Unified coarse, UNC.
    UnifiedCoarse,
    /// Unified fine, UNF.
    UnifiedFine,
    /// British Standard Whitworth, BSW.
    Whitworth,
    /// British Standard Fine, BSF.
    WhitworthFine,
}

/// Nominal diameter and pitch in mm.
const METRIC: [(f64, f64); 18] = [
    (4.0, 0.7),
    (5.0, 0.8),
    (6.0, 1.0),
    (8.0, 1.25),
    (10.0, 1.5),
    (12.0, 1.75),
    (14.0, 2.0),
    (16.0, 2.0),
    (18.0, 2.5),
    (20.0, 2.5),
    (22.0, 2.5),
    (24.0, 3.0),
    (27.0, 3.0),
    (30.0, 3.5),
    (33.0, 3.5),
    (36.0, 4.0),
    (39.0, 4.0),
    (42.0, 4.5),
];

/// Nominal diameter in sixteenths of an inch, and threads per inch: UNC, UNF, BSW, BSF; nought where a series has no such size.
const INCH: [(f64, [f64; 4]); 16] = [
    (3.0, [0.0, 0.0, 24.0, 32.0]),
    (4.0, [20.0, 28.0, 20.0, 26.0]),
    (5.0, [18.0, 24.0, 18.0, 22.0]),
    (6.0, [16.0, 24.0, 16.0, 20.0]),
    (7.0, [14.0, 20.0, 14.0, 18.0]),
    (8.0, [13.0, 20.0, 12.0, 16.0]),
    (9.0, [12.0, 18.0, 12.0, 16.0]),
    (10.0, [11.0, 18.0, 11.0, 14.0]),
    (11.0, [0.0, 0.0, 11.0, 14.0]),
    (12.0, [10.0, 16.0, 10.0, 12.0]),
    (14.0, [9.0, 14.0, 9.0, 11.0]),
    (16.0, [8.0, 12.0, 8.0, 10.0]),
    (18.0, [7.0, 12.0, 7.0, 9.0]),
    (20.0, [7.0, 12.0, 7.0, 9.0]),
    (22.0, [6.0, 12.0, 6.0, 8.0]),
    (24.0, [6.0, 12.0, 6.0, 8.0]),
];

impl Series {
    /// The form of its threads.
    pub fn form(self) -> Form {
        match self {
            Self::MetricCoarse => Form::Metric,
            Self::UnifiedCoarse | Self::UnifiedFine => Form::Unified,
            Self::Whitworth | Self::WhitworthFine => Form::Whitworth,
        }
    }

    /// How its threads are called after their size.
    pub fn name(self) -> &'static str {
        match self {
            Self::MetricCoarse => "M",
            Self::UnifiedCoarse => "UNC",
            Self::UnifiedFine => "UNF",
            Self::Whitworth => "BSW",
            Self::WhitworthFine => "BSF",
        }
    }

    /// Diameters with their pitches, m.
    pub fn sizes(self) -> impl Iterator<Item = (f64, f64)> {
        let column = match self {
            Self::MetricCoarse => None,
            Self::UnifiedCoarse => Some(0),
            Self::UnifiedFine => Some(1),
            Self::Whitworth => Some(2),
            Self::WhitworthFine => Some(3),
        };
        let metric = METRIC.iter().filter(move |_| column.is_none()).map(|&(d, p)| (d * 1e-3, p * 1e-3));
        let inch = INCH.iter().filter_map(move |(sixteenths, per_inch)| {
            let per_inch = per_inch.get(column?).filter(|count| **count > 0.0)?;
            Some((sixteenths / 16.0 * 0.0254, 0.0254 / per_inch))
        });
        metric.chain(inch)
    }
}

/// The pitch (m) that a series gives a nominal diameter `major` (m); `None` where the series has no such size.
pub fn series_pitch(series: Series, major: f64) -> Option<f64> {
    // A hundredth of a millimetre tells any two nominal sizes apart.
    series.sizes().find(|(diameter, _)| (diameter - major).abs() < 1e-5).map(|(_, pitch)| pitch)
}

/// The standard thread of a `pitch` (m) whose diameter is nearest to `near` and no more than `most` (m): its series, diameter and
/// pitch. `None` where no series has that pitch so thin. Of two as near, the coarser series, the metric one first.
pub fn standard_thread(pitch: f64, near: f64, most: f64) -> Option<(Series, f64, f64)> {
    // Pitches of the tables differ by a hundredth of a millimetre or more; a gauge tells no less.
    let alike = |found: f64| (found - pitch).abs() < 5e-6;
    let all = Series::VARIANTS
        .iter()
        .flat_map(|&series| series.sizes().map(move |(major, found)| (series, major, found)))
        .filter(|&(_, major, found)| alike(found) && major <= most);
    all.reduce(|a, b| if (b.1 - near).abs() < (a.1 - near).abs() - 1e-9 { b } else { a })
}
