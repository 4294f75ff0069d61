//! How a value that is not known exactly may lie, and drawing it.

use statrs::function::erf::{erf_inv, erfc};
use std::f64::consts::SQRT_2;

/// z of the normal distribution below which 95 in 100 lie.
pub const NINETEEN_IN_TWENTY: f64 = 1.644_853_626_951_472_2;
/// No further than this into a tail that has no end: one draw in ten thousand at either side lies there.
const TAIL: f64 = 1e-4;

/// How a value may lie, in the units of the value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Distribution {
    /// Any value between is as likely as any other.
    Uniform {
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
    },
    /// Its logarithm is normal: nine chances in ten lie from median/factor to median·factor.
    LogNormal {
        /// As likely above as below.
        median: f64,
        /// Above one.
        factor: f64,
    },
    /// Likeliest at the mode, and less so in a straight line to either end.
    Triangular {
        /// Least.
        low: f64,
        /// Likeliest.
        mode: f64,
        /// Greatest.
        high: f64,
    },
}

impl Distribution {
    /// All within `half_width` of `value` alike: how the Guide to the expression of uncertainty in measurement (JCGM 100:2008, 4.3.7)
    /// takes limits of which nothing more is known.
    pub fn within(value: f64, half_width: f64) -> Self {
        Self::Uniform { low: value - half_width, high: value + half_width }
    }

    /// The value below which the `share` (0 to 1) of it lies.
    pub fn quantile(self, share: f64) -> f64 {
        match self {
            Self::Uniform { low, high } => low + share * (high - low),
            Self::LogNormal { median, factor } => {
                let z = SQRT_2 * erf_inv(2.0 * share.clamp(TAIL, 1.0 - TAIL) - 1.0);
                median * libm::exp(log_spread(factor) * z)
            }
            Self::Triangular { low, mode, high } => {
                let (width, rise) = (high - low, mode - low);
                if share * width < rise {
                    low + (share * width * rise).sqrt()
                } else {
                    high - ((1.0 - share) * width * (high - mode)).sqrt()
                }
            }
        }
    }

    /// The chance of a value as far out as `value` or further, on either side: 2·min(F, 1 − F), F the share that lies below.
    pub fn tails(self, value: f64) -> f64 {
        let below = match self {
            Self::Uniform { low, high } if high > low => (value - low) / (high - low),
            Self::Uniform { low, .. } => {
                if value < low {
                    0.0
                } else {
                    1.0
                }
            }
            Self::LogNormal { median, factor } => {
                let z = libm::log((value / median).max(0.0)) / log_spread(factor);
                0.5 * erfc(-z / SQRT_2)
            }
            Self::Triangular { low, mode, high } => {
                let (width, value) = (high - low, value.clamp(low, high));
                if value < mode {
                    (value - low).powi(2) / (width * (mode - low))
                } else if value < high {
                    1.0 - (high - value).powi(2) / (width * (high - mode))
                } else {
                    1.0
                }
            }
        };
        2.0 * below.min(1.0 - below).clamp(0.0, 0.5)
    }

    /// The middle: the mean, or the median of what lies by its logarithm.
    pub fn middle(self) -> f64 {
        match self {
            Self::Uniform { low, high } => 0.5 * (low + high),
            Self::LogNormal { median, .. } => median,
            Self::Triangular { low, mode, high } => (low + mode + high) / 3.0,
        }
    }

    /// The standard deviation; of the natural logarithm where it lies by that.
    pub fn deviation(self) -> f64 {
        match self {
            Self::Uniform { low, high } => (high - low) / 12.0_f64.sqrt(),
            Self::LogNormal { factor, .. } => log_spread(factor),
            Self::Triangular { low: a, mode: c, high: b } => {
                ((a * a + b * b + c * c - a * b - a * c - b * c) / 18.0).sqrt()
            }
        }
    }

    /// The value so many standard deviations from the middle; by the logarithm where it lies by that.
    pub fn away(self, deviations: f64) -> f64 {
        match self {
            Self::LogNormal { median, .. } => median * libm::exp(deviations * self.deviation()),
            Self::Uniform { .. } | Self::Triangular { .. } => self.middle() + deviations * self.deviation(),
        }
    }

    /// How many standard deviations a value is from the middle: what [`Self::away`] undoes.
    pub fn deviations(self, value: f64) -> f64 {
        match self {
            Self::LogNormal { median, .. } => libm::log(value / median) / self.deviation(),
            Self::Uniform { .. } | Self::Triangular { .. } => (value - self.middle()) / self.deviation(),
        }
    }

    /// The ends of nine chances in ten.
    pub fn nine_in_ten(self) -> (f64, f64) {
        (self.quantile(0.05), self.quantile(0.95))
    }
}

/// Standard deviation of the natural logarithm of what lies within a factor of its median nine times in ten.
pub fn log_spread(factor: f64) -> f64 {
    libm::log(factor) / NINETEEN_IN_TWENTY
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_are_where_the_distributions_say() {
        let log = Distribution::LogNormal { median: 15.0, factor: 3.0 };
        let (low, high) = log.nine_in_ten();
        assert!((low - 5.0).abs() < 1e-9 && (high - 45.0).abs() < 1e-8, "{low} {high}");
        assert!((log.quantile(0.5) - 15.0).abs() < 1e-12);
        let triangle = Distribution::Triangular { low: 0.25, mode: 0.5, high: 0.8 };
        // Area left of x below the mode: (x − low)²/((high − low)(mode − low)).
        let x = triangle.quantile(0.2);
        assert!(((x - 0.25).powi(2) / (0.55 * 0.25) - 0.2).abs() < 1e-12);
        let x = triangle.quantile(0.9);
        assert!(((0.8 - x).powi(2) / (0.55 * 0.3) - 0.1).abs() < 1e-12);
        assert_eq!(Distribution::within(2.0, 0.5).nine_in_ten(), (1.55, 2.45));
    }

    #[test]
    fn closed_form_tails_are_the_shares_that_the_quantiles_cut_off() {
        let all = [
            Distribution::LogNormal { median: 15.0, factor: 3.0 },
            Distribution::Triangular { low: 0.25, mode: 0.5, high: 0.8 },
            Distribution::Uniform { low: -1.0, high: 4.0 },
        ];
        for of in all {
            for share in [0.01, 0.2, 0.45, 0.7, 0.95] {
                let expected = 2.0 * f64::min(share, 1.0 - share);
                assert!((of.tails(of.quantile(share)) - expected).abs() < 1e-9, "{of:?} {share}");
            }
            assert!(of.tails(1e9) < 1e-9 && of.tails(-1e9) < 1e-9, "{of:?}");
        }
    }
}
