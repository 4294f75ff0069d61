//! How exact the length of sleeve or extension must be made. How well a length was measured says nothing of that.

/// What share of the way to the nearer end of the window in which all limits are kept a length error may use up. Common practice,
/// no source: a twentieth keeps what one turns at a lathe apart from what decides whether the latch works.
pub const MARGIN_SHARE: f64 = 0.05;

/// What a plain lathe holds with care, m. Common practice, no source.
const FINEST: f64 = 0.02e-3;
/// What any lathe holds without care, m: there is no call to ask for less. Common practice, no source; ISO 2768-1 has 0.15 mm for
/// lengths of 30 to 120 mm in its fine class.
pub const COARSEST: f64 = 0.1e-3;

/// Where a tolerance comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Basis {
    /// It was given by whoever asked for the pieces, such as a study of tolerances.
    Given,
    /// A share of the way to the nearer end of the window in which all limits are kept.
    Margin {
        /// That way, m.
        margin: f64,
    },
    /// What any lathe holds, less than that share.
    Lathe {
        /// The way to the nearer end of that window, m.
        margin: f64,
    },
    /// The length lies in no such window, or none can be told: the finest that a lathe holds.
    Finest,
}

/// How exact a length must be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LengthTolerance {
    /// Half-width, m.
    pub half_width: f64,
    /// Where it comes from.
    pub basis: Basis,
}

impl LengthTolerance {
    /// One that was given, m.
    pub fn given(half_width: f64) -> Self {
        Self { half_width, basis: Basis::Given }
    }

    /// [`MARGIN_SHARE`] of the `margin` (m) to the nearer length with which a limit is missed, as
    /// [`room_about`](crate::studies::sleeve::room_about) finds it; kept within 0.02 mm and 0.1 mm, what a lathe holds with care and
    /// without.
    pub fn of_margin(margin: Option<f64>) -> Self {
        match margin {
            None => Self { half_width: FINEST, basis: Basis::Finest },
            Some(margin) if MARGIN_SHARE * margin >= COARSEST => {
                Self { half_width: COARSEST, basis: Basis::Lathe { margin } }
            }
            Some(margin) => {
                Self { half_width: (MARGIN_SHARE * margin).max(FINEST), basis: Basis::Margin { margin } }
            }
        }
    }
}
