//! The error of what is worked out of several values that are known with errors of their own.

/// A value and half the interval within which it lies 95 times in 100.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// The value.
    pub value: f64,
    /// Half its interval.
    pub half: f64,
}

/// What comes of the values, half its interval, and the share that each has in its square. Each is moved by its own half either way, the
/// others at their places, and the halves of what that does are added as squares (JCGM 100:2008, 5.1.3, note 2). None where something
/// that comes of it is no number.
pub fn carried(values: &[Known], of: impl Fn(&[f64]) -> f64) -> Option<(Known, Vec<f64>)> {
    let at: Vec<f64> = values.iter().map(|known| known.value).collect();
    let moved = |n: usize, by: f64| {
        let mut at = at.clone();
        at[n] += by;
        of(&at)
    };
    let halves: Vec<f64> = values
        .iter()
        .enumerate()
        .map(|(n, known)| 0.5 * (moved(n, known.half) - moved(n, -known.half)))
        .collect();
    let square: f64 = halves.iter().map(|half| half * half).sum();
    let known = Known { value: of(&at), half: square.sqrt() };
    let share = |half: &f64| if square > 0.0 { half * half / square } else { 0.0 };
    (known.value.is_finite() && known.half.is_finite()).then(|| (known, halves.iter().map(share).collect()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_of_a_product_and_a_power() {
        // Of a·b³ the relative errors add as √(α² + (3·β)²), to first order.
        let known = [Known { value: 5.0, half: 0.05 }, Known { value: 2.0, half: 0.01 }];
        let (product, shares) = carried(&known, |v| v[0] * v[1].powi(3)).expect("a number");
        let expected = 40.0 * (0.01_f64.powi(2) + 0.015_f64.powi(2)).sqrt();
        assert!((product.value - 40.0).abs() < 1e-12 && (product.half / expected - 1.0).abs() < 1e-4);
        assert!((shares[1] - 0.015_f64.powi(2) / (0.01_f64.powi(2) + 0.015_f64.powi(2))).abs() < 1e-4);
        assert_eq!(carried(&known, |v| (v[0] - 10.0).sqrt()), None);
    }
}
