//! The pitches that go with a nominal diameter by custom.
//!
//! Metric coarse: ISO 261. Unified coarse and fine: ASME B1.1. Whitworth and British Standard Fine: BS 84. From memory, but
//! for the sizes of the catalogue of check values.

use super::Form;

/// A series of threads: nominal diameters with one pitch each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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
const METRIC: [(f64, f64); 14] = [
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
];

/// Nominal diameter in sixteenths of an inch, and threads per inch: UNC, UNF, BSW, BSF.
const INCH: [(f64, [f64; 4]); 10] = [
    (4.0, [20.0, 28.0, 20.0, 26.0]),
    (5.0, [18.0, 24.0, 18.0, 22.0]),
    (6.0, [16.0, 24.0, 16.0, 20.0]),
    (7.0, [14.0, 20.0, 14.0, 18.0]),
    (8.0, [13.0, 20.0, 12.0, 16.0]),
    (9.0, [12.0, 18.0, 12.0, 16.0]),
    (10.0, [11.0, 18.0, 11.0, 14.0]),
    (12.0, [10.0, 16.0, 10.0, 12.0]),
    (14.0, [9.0, 14.0, 9.0, 11.0]),
    (16.0, [8.0, 12.0, 8.0, 10.0]),
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
            Some((sixteenths / 16.0 * 0.0254, 0.0254 / per_inch.get(column?)?))
        });
        metric.chain(inch)
    }
}

/// The pitch (m) that a series gives a nominal diameter `major` (m); `None` where the series has no such size.
pub fn series_pitch(series: Series, major: f64) -> Option<f64> {
    // A hundredth of a millimetre tells any two nominal sizes apart.
    series.sizes().find(|(diameter, _)| (diameter - major).abs() < 1e-5).map(|(_, pitch)| pitch)
}
