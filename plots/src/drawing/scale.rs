//! Scales of drawings.

use std::fmt;

/// A scale: this many mm on paper for that many of the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scale {
    /// On paper.
    pub paper: u32,
    /// Of the part.
    pub part: u32,
}

impl Scale {
    /// The scales of ISO 5455 that suit a sheet, largest first.
    pub const ALL: [Self; 9] = [
        Self { paper: 5, part: 1 },
        Self { paper: 2, part: 1 },
        Self { paper: 1, part: 1 },
        Self { paper: 1, part: 2 },
        Self { paper: 1, part: 5 },
        Self { paper: 1, part: 10 },
        Self { paper: 1, part: 20 },
        Self { paper: 1, part: 50 },
        Self { paper: 1, part: 100 },
    ];

    /// The factor from part to paper.
    pub fn factor(self) -> f64 {
        f64::from(self.paper) / f64::from(self.part)
    }
}

impl fmt::Display for Scale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} : {}", self.paper, self.part)
    }
}
