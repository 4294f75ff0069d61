//! One root finder for the whole program.

/// Where `f` changes sign between `a` and `b`, to within `width` of the argument.
///
/// False position after Illinois, with a bisection at every third step so that it cannot be slow. Answers the end of the last
/// bracket on which `f` has the sign it has at `b`, so that whoever asks for "past the crossing" gets it. None where `f` has
/// one sign at both ends, or is not a number there.
pub fn crossing(mut f: impl FnMut(f64) -> f64, a: f64, b: f64, width: f64) -> Option<f64> {
    let (fa, fb) = (f(a), f(b));
    if fa == 0.0 && fb == 0.0 || fa.is_nan() || fb.is_nan() || fa * fb > 0.0 {
        return None;
    }
    Some(crossing_between(f, (a, fa), (b, fb), width))
}

/// As [`crossing`], where the values at both ends are known to differ in sign.
pub fn crossing_between(
    mut f: impl FnMut(f64) -> f64,
    (mut a, mut fa): (f64, f64),
    (mut b, mut fb): (f64, f64),
    width: f64,
) -> f64 {
    let beyond = fb >= 0.0;
    let mut last = None;
    let mut step = 0_u32;
    while (b - a).abs() > width {
        let before = b - a;
        let secant = b - fb * (b - a) / (fb - fa);
        let inside = (secant - a) * (secant - b) < 0.0;
        let middle = if step % 3 == 2 || !inside { a + 0.5 * (b - a) } else { secant };
        let value = f(middle);
        let side = (value >= 0.0) == beyond;
        if side {
            (b, fb) = (middle, value);
        } else {
            (a, fa) = (middle, value);
        }
        // Twice on one side: halve the weight of the end that stays.
        if last == Some(side) {
            if side { fa *= 0.5 } else { fb *= 0.5 }
        }
        last = Some(side);
        step += 1;
        if (b - a).abs() >= before.abs() {
            break;
        }
    }
    b
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: cos x = 0 at π/2.
    #[test]
    fn finds_the_zero_of_the_cosine_from_either_side() {
        let up = crossing(f64::cos, 1.0, 2.0, 1e-12).unwrap();
        assert!((up - std::f64::consts::FRAC_PI_2).abs() < 1e-11 && up.cos() <= 0.0);
        let down = crossing(f64::cos, 2.0, 1.0, 1e-12).unwrap();
        assert!((down - std::f64::consts::FRAC_PI_2).abs() < 1e-11 && down.cos() >= 0.0);
    }

    /// Closed form: a steep step at 1/3, where a secant alone would creep.
    #[test]
    fn a_step_takes_no_longer_than_bisection_in_thirds() {
        let mut calls = 0;
        let root = crossing(
            |x| {
                calls += 1;
                if x < 1.0 / 3.0 { -1e-9 } else { 1.0 }
            },
            0.0,
            1.0,
            1e-9,
        )
        .unwrap();
        assert!((root - 1.0 / 3.0).abs() < 1e-9);
        assert!(calls < 120, "{calls} calls");
    }

    #[test]
    fn one_sign_has_no_crossing() {
        assert_eq!(crossing(|x| x * x + 1.0, -1.0, 1.0, 1e-9), None);
        assert_eq!(crossing(|_| f64::NAN, -1.0, 1.0, 1e-9), None);
    }
}
