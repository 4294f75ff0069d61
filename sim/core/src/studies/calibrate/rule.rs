//! Which of the filling clocks remembered casts speak for.

/// How likely the casts are as they came out, were one clock to rule the streams and the face: their marginal likelihoods over all
/// that was believed of the accepted skin and the coefficient, as logarithms. The bulk limit counts in all three.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// With lapping alone.
    pub lapping: f64,
    /// With the skin alone.
    pub skin: f64,
    /// With the lesser of both, as the judge has it.
    pub least: f64,
}

/// What the casts say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Speaks {
    /// They speak for lapping.
    ForLapping,
    /// They speak for the skin.
    ForSkin,
    /// They do not tell the two apart.
    ForNeither,
}

impl Speaks {
    /// From this ratio on the casts are taken to speak for the likelier of two: three to one is the least that counts as more than
    /// a bare mention (R. E. Kass and A. E. Raftery, "Bayes factors", 1995, from memory).
    pub const TELLS: f64 = 3.0;
}

impl Rule {
    /// How many times likelier lapping makes what happened than the skin does.
    pub fn ratio(&self) -> f64 {
        libm::exp(self.lapping - self.skin)
    }

    /// How many times likelier the lesser of both makes it than the better of the two alone.
    pub fn least_over_better(&self) -> f64 {
        libm::exp(self.least - self.lapping.max(self.skin))
    }

    /// Which clock the casts speak for.
    pub fn speaks(&self) -> Speaks {
        match self.ratio() {
            ratio if ratio >= Speaks::TELLS => Speaks::ForLapping,
            ratio if ratio <= 1.0 / Speaks::TELLS => Speaks::ForSkin,
            _ => Speaks::ForNeither,
        }
    }
}
