//! What is believed of two numbers, the accepted skin and the interface coefficient, before and after casts: Bayes' rule on a
//! grid. Nothing here knows of machines; a cast comes in as its *slack*, the logarithm of time allowed over time needed.
//!
//! * Prior: ln(skin) and ln(coefficient) each normal, independent of one another.
//! * Likelihood: a cast with slack g keeps its clock with the chance p = Φ(g/w), w = [`SHARPNESS`]; an owner who is sure to the
//!   share q reports what happened with q and the contrary with 1 − q, so that "it was kept" is reported with
//!   q·p + (1 − q)·(1 − p).
//! * Posterior ∝ prior × product of the likelihoods, on a grid even in both logarithms. On such a grid sums over smooth,
//!   vanishing functions converge faster than any power of the step.
//!
//! Left out: casts count as independent of each other given both numbers, so a whole afternoon with a dirty mould counts as
//! many casts, not as one.

use std::f64::consts::FRAC_1_SQRT_2;

/// w: how sharply soundness turns. With a fill 10 % too late one cast in six still comes out sound, with a fill 10 % early one
/// in six is spoilt. A judgement, no source.
pub const SHARPNESS: f64 = 0.10;
/// How far the grid reaches to either side of the prior's median, in its standard deviations. One part in two thousand of the
/// prior lies beyond.
const REACH: f64 = 3.5;
/// Points of the grid each way, 0.06 standard deviations apart: with a factor of two for one deviation that is 4 % in the
/// value, well below [`SHARPNESS`].
const POINTS: u32 = 121;

/// What is believed of one number before any cast: its logarithm is normal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// The median, SI.
    pub median: f64,
    /// Standard deviation of the natural logarithm.
    pub spread: f64,
}

impl Prior {
    fn axis(self) -> Vec<f64> {
        let place = |n: u32| REACH * (2.0 * f64::from(n) / f64::from(POINTS - 1) - 1.0);
        (0..POINTS).map(|n| self.median * libm::exp(self.spread * place(n))).collect()
    }

    /// Density at a value, but for a factor.
    fn density(self, value: f64) -> f64 {
        let z = libm::log(value / self.median) / self.spread;
        libm::exp(-0.5 * z * z)
    }
}

/// A report of one clock.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// Slack of the clock at each point of the grid, as [`Posterior::field`] gives it.
    pub slack: Vec<f64>,
    /// Whether the clock is reported as kept.
    pub kept: bool,
    /// q: how sure the owner is, 0.5 to less than 1.
    pub sure: f64,
}

impl Evidence {
    /// The chance of what is reported at each point of the grid.
    fn happened(&self) -> impl Iterator<Item = f64> {
        self.slack.iter().map(|&slack| if self.kept { kept(slack) } else { 1.0 - kept(slack) })
    }

    /// The chance of such a report at each point of the grid, slips included.
    fn reported(&self) -> impl Iterator<Item = f64> {
        self.happened().map(|p| self.sure * p + (1.0 - self.sure) * (1.0 - p))
    }
}

/// p = Φ(g/w): the chance that a clock with slack g is kept.
pub fn kept(slack: f64) -> f64 {
    0.5 * libm::erfc(-slack / SHARPNESS * FRAC_1_SQRT_2)
}

/// One number as it is now believed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// As likely above as below, SI.
    pub median: f64,
    /// One chance in twenty that it is less, SI.
    pub low: f64,
    /// One chance in twenty that it is more, SI.
    pub high: f64,
    /// Standard deviation of the natural logarithm.
    pub spread: f64,
}

/// What is believed of both numbers together.
#[derive(Debug, Clone, PartialEq)]
pub struct Posterior {
    skins: Vec<f64>,
    films: Vec<f64>,
    /// Weight of each point, film by film; they add up to one.
    weights: Vec<f64>,
}

impl Posterior {
    /// What is believed before any cast.
    pub fn from_priors(skin: Prior, film: Prior) -> Self {
        let (skins, films) = (skin.axis(), film.axis());
        let weights = films
            .iter()
            .flat_map(|&h| skins.iter().map(move |&s| film.density(h) * skin.density(s)))
            .collect();
        Self { skins, films, weights }.normalised()
    }

    /// The accepted skins of the grid, m, least first.
    pub fn skins(&self) -> &[f64] {
        &self.skins
    }

    /// The interface coefficients of the grid, W/m²K, least first.
    pub fn films(&self) -> &[f64] {
        &self.films
    }

    /// A function at each point of the grid: of the interface coefficient (W/m²K) first, then of the skin (m).
    pub fn field<F: Fn(f64) -> f64>(&self, of: impl Fn(f64) -> F) -> Vec<f64> {
        let mut field = Vec::with_capacity(self.weights.len());
        for &film in &self.films {
            let of_skin = of(film);
            field.extend(self.skins.iter().map(|&skin| of_skin(skin)));
        }
        field
    }

    /// What is believed after some more reports.
    #[must_use]
    pub fn after<'a>(&self, evidence: impl IntoIterator<Item = &'a Evidence>) -> Self {
        let (logs, most) = self.joint(evidence);
        let weights = logs.into_iter().map(|log| libm::exp(log - most)).collect();
        Self { weights, ..self.clone() }.normalised()
    }

    /// The marginal likelihood of some reports, as a logarithm: ln Σ weight·∏ chance of each report. The ratio of that of two ways to
    /// read the same casts is how many times likelier the one makes what happened than the other (R. E. Kass and A. E. Raftery,
    /// "Bayes factors", 1995, from memory).
    pub fn marginal<'a>(&self, evidence: impl IntoIterator<Item = &'a Evidence>) -> f64 {
        let (logs, most) = self.joint(evidence);
        most + libm::log(logs.into_iter().map(|log| libm::exp(log - most)).sum())
    }

    /// The logarithm of weight times the chance of all reports at each point, and the greatest of them.
    fn joint<'a>(&self, evidence: impl IntoIterator<Item = &'a Evidence>) -> (Vec<f64>, f64) {
        // Logarithms, so that hundreds of reports do not run out of digits; a report no point explains leaves none at zero,
        // for nobody is quite sure.
        let mut logs: Vec<f64> = self.weights.iter().map(|weight| libm::log(*weight)).collect();
        for report in evidence {
            for (log, chance) in logs.iter_mut().zip(report.reported()) {
                *log += libm::log(chance);
            }
        }
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        (logs, most)
    }

    fn normalised(mut self) -> Self {
        let sum: f64 = self.weights.iter().sum();
        for weight in &mut self.weights {
            *weight /= sum;
        }
        self
    }

    /// The mean of a field over what is believed.
    pub fn mean(&self, field: impl IntoIterator<Item = f64>) -> f64 {
        self.weights.iter().zip(field).map(|(weight, value)| weight * value).sum()
    }

    /// The chance of what is reported.
    pub fn foresees(&self, report: &Evidence) -> f64 {
        self.mean(report.happened())
    }

    /// The chance of the report itself, slips included.
    pub fn hears(&self, report: &Evidence) -> f64 {
        self.mean(report.reported())
    }

    /// The chance that a clock with this slack is kept.
    pub fn chance_kept(&self, slack: &[f64]) -> f64 {
        self.mean(slack.iter().map(|&slack| kept(slack)))
    }

    /// What a report of a clock with this slack would tell of both numbers, in bits: the mutual information
    /// I = H(p̄) − mean of H(p), with p the chance of the report "kept", p̄ its mean, and
    /// H(p) = −p·log₂p − (1 − p)·log₂(1 − p) (D. V. Lindley, Ann. Math. Statist. 27 (1956), from memory).
    pub fn information(&self, slack: &[f64], sure: f64) -> f64 {
        let report = Evidence { slack: slack.to_vec(), kept: true, sure };
        entropy(self.hears(&report)) - self.mean(report.reported().map(entropy))
    }

    /// The accepted skin, m.
    pub fn skin(&self) -> Estimate {
        let columns = self.skins.len();
        let mut marginal = vec![0.0; columns];
        for row in self.weights.chunks(columns) {
            for (sum, weight) in marginal.iter_mut().zip(row) {
                *sum += weight;
            }
        }
        estimate(&self.skins, &marginal)
    }

    /// The accepted skin, m, if the interface coefficient is the one of the grid nearest to `film` (W/m²K).
    pub fn skin_given(&self, film: f64) -> Estimate {
        estimate(&self.skins, &self.skins_given(film))
    }

    /// The weights of the skins, adding up to one, at the coefficient of the grid nearest to `film` (W/m²K).
    fn skins_given(&self, film: f64) -> Vec<f64> {
        let away = |at: f64| libm::log(at / film).abs();
        let rows = self.weights.chunks(self.skins.len()).zip(&self.films);
        let row =
            rows.min_by(|(_, a), (_, b)| away(**a).total_cmp(&away(**b))).map_or(&[][..], |(row, _)| row);
        let sum: f64 = row.iter().sum();
        row.iter().map(|weight| weight / sum).collect()
    }

    /// The interface coefficient, W/m²K.
    pub fn film(&self) -> Estimate {
        let marginal: Vec<f64> = self.weights.chunks(self.skins.len()).map(|row| row.iter().sum()).collect();
        estimate(&self.films, &marginal)
    }

    /// A pair of both: the interface coefficient (W/m²K) below which the first share (0 to 1) of it lies, and the accepted skin (m)
    /// below which, with that coefficient, the second share of it lies. Even shares give pairs as likely as they are believed.
    pub fn quantile(&self, of_film: f64, of_skin: f64) -> (f64, f64) {
        let rows: Vec<f64> = self.weights.chunks(self.skins.len()).map(|row| row.iter().sum()).collect();
        let film = quantile(&self.films, &rows, of_film);
        (film, quantile(&self.skins, &self.skins_given(film), of_skin))
    }

    /// Correlation of the logarithms of skin and interface coefficient, −1 to 1.
    pub fn correlation(&self) -> f64 {
        let s = self.mean(self.field(|_| libm::log));
        let h = self.mean(self.field(|film| move |_| libm::log(film)));
        let product =
            self.mean(self.field(|film| move |skin: f64| (libm::log(skin) - s) * (libm::log(film) - h)));
        product / (self.skin().spread * self.film().spread)
    }
}

/// H(p), bits.
fn entropy(p: f64) -> f64 {
    let term = |p: f64| if p > 0.0 { -p * libm::log2(p) } else { 0.0 };
    term(p) + term(1.0 - p)
}

/// Median, interval and spread of values even in their logarithm, each with its weight.
fn estimate(values: &[f64], weights: &[f64]) -> Estimate {
    let mean: f64 = values.iter().zip(weights).map(|(value, weight)| weight * libm::log(*value)).sum();
    let square: f64 =
        values.iter().zip(weights).map(|(value, weight)| weight * (libm::log(*value) - mean).powi(2)).sum();
    let quantile = |share: f64| quantile(values, weights, share);
    Estimate { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95), spread: square.sqrt() }
}

/// Where the weights have added up to `share`: the weight of a point is spread evenly, in the logarithm, half way to either
/// neighbour.
fn quantile(values: &[f64], weights: &[f64], share: f64) -> f64 {
    let step = match values {
        [first, second, ..] => libm::log(second / first),
        _ => 0.0,
    };
    let mut below = 0.0;
    for (value, weight) in values.iter().zip(weights) {
        if below + weight >= share && *weight > 0.0 {
            return value * libm::exp(step * ((share - below) / weight - 0.5));
        }
        below += weight;
    }
    values.last().copied().unwrap_or(f64::NAN)
}
