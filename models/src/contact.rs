//! A one-sided contact: two faces that push but never pull, with stiffness and damping.
//!
//! F = max(0, k·δ + c·δ̇) while the faces press into each other (δ > 0), else 0. The clip makes the law discontinuous, so a
//! solver treats touching and parted as two modes and locates the change with [`Contact::guard`].

/// Whether two faces touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touch {
    /// They press on each other.
    Closed,
    /// They are apart.
    Open,
}

/// Stiffness k (N/m) and damping c (N·s/m) of a contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// k, N/m.
    pub stiffness: f64,
    /// c, N·s/m.
    pub damping: f64,
}

impl Contact {
    /// Force for a pressing-in `depth` (m) and its rate (m/s), given whether the faces touch.
    pub fn force(&self, touch: Touch, depth: f64, rate: f64) -> f64 {
        match touch {
            Touch::Closed => self.stiffness * depth + self.damping * rate,
            Touch::Open => 0.0,
        }
    }

    /// Above zero exactly when the faces press: min(k·δ, k·δ + c·δ̇), N.
    ///
    /// Open faces close when it rises through zero; closed faces part when it falls through zero.
    pub fn guard(&self, depth: f64, rate: f64) -> f64 {
        let elastic = self.stiffness * depth;
        elastic.min(elastic + self.damping * rate)
    }
}
