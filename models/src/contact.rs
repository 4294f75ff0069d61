//! A one-sided contact: two faces that push but never pull, with stiffness and damping.
//!
//! F = max(0, k·δ + c·δ̇) while the faces press into each other (δ > 0), else 0. The clip makes the law discontinuous, so a
//! solver treats touching and parted as two modes and locates the change with [`Contact::guard`].

use crate::fault::{Faults, Field};
use crate::units::{Damping, Stiffness};

/// How an owner states the damping of a contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DampingStatement {
    /// c itself.
    Coefficient(Damping),
    /// ζ, as a share of the damping that just lets nothing ring: c = 2ζ√(k·m).
    Ratio(f64),
    /// e, the share of its speed that a blow gives back; see [`restitution`].
    Restitution(f64),
}

impl Default for DampingStatement {
    /// Nothing stated: nought.
    fn default() -> Self {
        Self::Coefficient(Damping::default())
    }
}

/// e of a blow on a contact of damping ratio ζ (0 to below 1): the share of its speed that a mass has left as it parts again,
/// e = exp(−2ζ·arccos ζ/√(1 − ζ²)). The faces part as the force vanishes, not as they are back where they met (T. Schwager and
/// T. Pöschel, *Granular Matter* 9 (2007) 465; from memory).
pub fn restitution(ratio: f64) -> f64 {
    libm::exp(-2.0 * ratio * libm::acos(ratio) / (1.0 - ratio * ratio).sqrt())
}

/// e of a blow that is only just a ringing one, exp(−2): damping alone takes no more.
pub const LEAST_RESTITUTION: f64 = 0.1353;

/// ζ that gives a blow the restitution e, by halving: e falls as ζ grows.
fn ratio_of_restitution(wanted: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0 - 1e-9);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if restitution(middle) > wanted { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

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
    /// The contact that carries `mass` (kg), of the stiffness and damping stated in these fields.
    pub(crate) fn prepare(
        (stiffness_field, stiffness): (Field, Stiffness),
        (damping_field, damping): (Field, DampingStatement),
        mass: f64,
        faults: &mut Faults,
    ) -> Self {
        let stiffness = faults.positive(stiffness_field, stiffness.0);
        let of_ratio = |ratio: f64| 2.0 * ratio * (stiffness * mass).sqrt();
        let damping = match damping {
            DampingStatement::Coefficient(damping) => faults.not_negative(damping_field, damping.0),
            DampingStatement::Ratio(ratio) => of_ratio(faults.not_negative(damping_field, ratio)),
            DampingStatement::Restitution(wanted) => {
                if !(LEAST_RESTITUTION..=1.0).contains(&wanted) {
                    let what = format!("{wanted} is not a share of its speed that a blow gives back");
                    faults.add(damping_field, what, format!("give {LEAST_RESTITUTION} to 1"));
                }
                of_ratio(ratio_of_restitution(wanted))
            }
        };
        Self { stiffness, damping }
    }

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

#[cfg(test)]
mod tests {
    use super::*;

    /// The law itself, integrated: ẍ = −2ζẋ − x from rest place at unit speed until the force is gone.
    fn stepped(ratio: f64) -> f64 {
        let (mut x, mut v, step) = (0.0_f64, 1.0_f64, 1e-6);
        loop {
            let middle = v - 0.5 * step * (2.0 * ratio * v + x);
            x += step * middle;
            v -= step * (2.0 * ratio * middle + x - 0.5 * step * middle);
            if x + 2.0 * ratio * v <= 0.0 {
                return -v;
            }
        }
    }

    #[test]
    fn a_blow_gives_back_what_the_law_of_the_contact_does() {
        for ratio in [0.05, 0.2553, 0.5, 0.8] {
            assert!((restitution(ratio) - stepped(ratio)).abs() < 1e-5, "{ratio}");
            assert!((ratio_of_restitution(restitution(ratio)) - ratio).abs() < 1e-9, "{ratio}");
        }
    }
}
