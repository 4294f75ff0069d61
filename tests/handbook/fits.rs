//! Tolerances of diameters against ISO 286-1.

use latchstroke_core::studies::parts::{Grade, tolerance};

#[test]
fn handbook_standard_tolerances() {
    // ISO 286-1, table 1: IT9 and IT11, µm (read: mechguru and engineersvault, which agree). A range includes its upper end.
    for (size, nine, eleven) in [
        (2.0, 25.0, 60.0),
        (6.0, 30.0, 75.0),
        (8.0, 36.0, 90.0),
        (12.0, 43.0, 110.0),
        (18.0, 43.0, 110.0),
        (18.1, 52.0, 130.0),
        (40.0, 62.0, 160.0),
        (80.0, 74.0, 190.0),
        (100.0, 87.0, 220.0),
        (150.0, 100.0, 250.0),
    ] {
        for (grade, wanted) in [(Grade::Nine, nine), (Grade::Eleven, eleven)] {
            let found = 1e6 * tolerance(grade, 1e-3 * size);
            assert!((found - wanted).abs() < 1e-9, "{size} mm: {found} µm");
        }
    }
}
