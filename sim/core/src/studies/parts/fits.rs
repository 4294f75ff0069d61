//! How exact a turned diameter must be: the standard tolerances of ISO 286-1.

/// Upper end of a range of sizes, mm, and its tolerance of grade 9 and of grade 11, µm.
///
/// Source: ISO 286-1, table 1 (read: mechguru and engineersvault, which agree).
const GRADES: [(f64, f64, f64); 9] = [
    (3.0, 25.0, 60.0),
    (6.0, 30.0, 75.0),
    (10.0, 36.0, 90.0),
    (18.0, 43.0, 110.0),
    (30.0, 52.0, 130.0),
    (50.0, 62.0, 160.0),
    (80.0, 74.0, 190.0),
    (120.0, 87.0, 220.0),
    (180.0, 100.0, 250.0),
];

/// A grade of ISO 286.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grade {
    /// IT9: turned with care.
    Nine,
    /// IT11: bored or drilled and reamed without it.
    Eleven,
}

/// Width of the tolerance of a `size` (m), m; beyond the table as at its end.
pub fn tolerance(grade: Grade, size: f64) -> f64 {
    let row = GRADES.iter().find(|row| 1e3 * size <= row.0 + 1e-9).or(GRADES.last());
    row.map_or(0.0, |&(_, nine, eleven)| {
        1e-6 * match grade {
            Grade::Nine => nine,
            Grade::Eleven => eleven,
        }
    })
}
