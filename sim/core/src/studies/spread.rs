//! How a figure is spread over many machines, and how often something happens among them.

/// Places of a sorted sample that are reported.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// How many values there are.
    pub count: usize,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation, with n − 1.
    pub deviation: f64,
    /// The least value.
    pub least: f64,
    /// One value in twenty is below it.
    pub p05: f64,
    /// Half the values are below it.
    pub p50: f64,
    /// One value in twenty is above it.
    pub p95: f64,
    /// The greatest value.
    pub greatest: f64,
}

impl Spread {
    /// The spread of the finite values; none of fewer than two.
    pub fn of(values: impl IntoIterator<Item = f64>) -> Option<Self> {
        let mut sorted: Vec<f64> = values.into_iter().filter(|value| value.is_finite()).collect();
        if sorted.len() < 2 {
            return None;
        }
        sorted.sort_by(f64::total_cmp);
        let count = sorted.len();
        let mean = sorted.iter().sum::<f64>() / count as f64;
        let squares: f64 = sorted.iter().map(|value| (value - mean).powi(2)).sum();
        Some(Self {
            count,
            mean,
            deviation: (squares / (count - 1) as f64).sqrt(),
            least: percentile(&sorted, 0.0)?,
            p05: percentile(&sorted, 0.05)?,
            p50: percentile(&sorted, 0.5)?,
            p95: percentile(&sorted, 0.95)?,
            greatest: percentile(&sorted, 1.0)?,
        })
    }
}

/// The `share` (0 to 1) percentile of values in ascending order: at the place (n − 1)·share, counted from 0, on the straight
/// line between the two values around it. None of no values.
///
/// This is definition 7 of R. J. Hyndman and Y. Fan, "Sample quantiles in statistical packages", The American Statistician
/// 50 (1996), which R and NumPy use unless told otherwise.
pub fn percentile(sorted: &[f64], share: f64) -> Option<f64> {
    let place = share.clamp(0.0, 1.0) * sorted.len().checked_sub(1)? as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a place in the slice, not negative"
    )]
    let below = place.floor() as usize;
    let low = *sorted.get(below)?;
    let high = sorted.get(below + 1).copied().unwrap_or(low);
    Some(low + (place - below as f64) * (high - low))
}

/// How often something happens, with a 95 % confidence interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// How many of them.
    pub count: usize,
    /// Of how many.
    pub of: usize,
    /// The lower end of the interval, 0 to 1.
    pub low: f64,
    /// The upper end of the interval, 0 to 1.
    pub high: f64,
}

/// Two-sided 95 % of the normal distribution.
const Z95: f64 = 1.959963984540054;

impl Share {
    /// `count` of `of`, of which only `independent` count as drawn independently: the score interval of E. B. Wilson,
    /// J. Amer. Statist. Assoc. 22 (1927), which stays sensible where nothing or everything happens.
    pub fn new(count: usize, of: usize, independent: usize) -> Self {
        let share = count as f64 / of.max(1) as f64;
        let n = independent.max(1) as f64;
        let z2 = Z95 * Z95;
        let middle = (share + z2 / (2.0 * n)) / (1.0 + z2 / n);
        let half = Z95 / (1.0 + z2 / n) * (share * (1.0 - share) / n + z2 / (4.0 * n * n)).sqrt();
        // Where nothing happens the ends meet 0, and 1 where everything does, but for rounding.
        let low = if count == 0 { 0.0 } else { (middle - half).max(0.0) };
        let high = if count == of { 1.0 } else { (middle + half).min(1.0) };
        Self { count, of, low, high }
    }

    /// The share itself, 0 to 1.
    pub fn value(&self) -> f64 {
        self.count as f64 / self.of.max(1) as f64
    }
}
