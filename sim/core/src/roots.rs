//! One root finder for the whole program, and the search for where something begins.

use crate::studies::judge::Why;

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
    // Of no sign itself, it is past the crossing by not a hair.
    if fb == 0.0 {
        return Some(b);
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

/// Where something begins, as a search over a range answers it.
#[derive(Debug, Clone, PartialEq)]
pub enum Onset {
    /// Already at the low end of the range.
    Always,
    /// From this value on, SI.
    From(f64),
    /// Not up to the high end of the range.
    Never,
    /// Not up to this value, SI; beyond it nothing can be known, and this is why.
    UnknownBeyond(f64, Why),
}

/// Where along `range` a measure rises above zero, to within `closeness` as a share of the argument.
///
/// Where the far end cannot be looked at, the range is cut off where it no longer can be, and a measure that has not risen by then
/// is unknown beyond, not absent.
pub fn onset(at: impl Fn(f64) -> Result<f64, Why>, range: (f64, f64), closeness: f64) -> Onset {
    match at(range.0) {
        Ok(value) if value > 0.0 => return Onset::Always,
        Ok(_) => {}
        Err(why) => return Onset::UnknownBeyond(range.0, why),
    }
    let (low, mut high) = (libm::log(range.0), libm::log(range.1));
    let mut beyond = None;
    if let Err(why) = at(range.1) {
        let (mut known, mut unknown, mut reason) = (low, high, why);
        while unknown - known > closeness {
            let middle = f64::midpoint(known, unknown);
            match at(libm::exp(middle)) {
                Ok(value) if value > 0.0 => {
                    known = middle;
                    break;
                }
                Ok(_) => known = middle,
                Err(why) => (unknown, reason) = (middle, why),
            }
        }
        high = known;
        beyond = Some(reason);
    }
    // A place in between that cannot be looked at is taken to be as the low end is.
    let value = |log: f64| at(libm::exp(log)).unwrap_or(-1.0);
    match (crossing(value, low, high, closeness), beyond) {
        (Some(log), _) => Onset::From(libm::exp(log)),
        (None, Some(why)) => Onset::UnknownBeyond(libm::exp(high), why),
        (None, None) => Onset::Never,
    }
}

/// The stretches on which `f` is not below zero, first to last, looked for at `looks` (rising) and each end closed in on to within
/// `width`; ends lie where `f` is not below zero. A stretch that falls between two looks is not seen.
pub fn stretches(f: impl Fn(f64) -> f64, looks: &[f64], width: f64) -> Vec<(f64, f64)> {
    let seen: Vec<(f64, f64)> = looks.iter().map(|&at| (at, f(at))).collect();
    let mut all = Vec::new();
    let mut open = seen.first().filter(|look| look.1 >= 0.0).map(|look| look.0);
    for pair in seen.windows(2) {
        let &[before, here] = pair else { continue };
        match open {
            None if here.1 >= 0.0 => open = Some(crossing_between(&f, before, here, width)),
            Some(from) if here.1 < 0.0 => {
                all.push((from, crossing_between(&f, here, before, width)));
                open = None;
            }
            _ => {}
        }
    }
    all.extend(open.zip(seen.last().map(|last| last.0)));
    all
}

/// What two lists of stretches, each first to last, have in common.
pub fn common(a: &[(f64, f64)], b: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let pairs = a.iter().flat_map(|a| b.iter().map(move |b| (a.0.max(b.0), a.1.min(b.1))));
    pairs.filter(|(low, high)| low <= high).collect()
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

    /// An end at which the function is nought has no sign of its own, and is where it changes.
    #[test]
    fn a_function_that_is_nought_at_an_end_is_crossed_there() {
        for (at_start, at_end) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
            let found = crossing(|x| at_start + (at_end - at_start) * x, 0.0, 1.0, 1e-9).expect("a crossing");
            let nought = if at_start == 0.0 { 0.0 } else { 1.0 };
            assert!((found - nought).abs() < 1e-8, "{at_start} {at_end}: {found}");
        }
        assert_eq!(crossing(|_| 0.0, 0.0, 1.0, 1e-9), None);
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

    /// Smooth functions need no bisection, which would take forty looks for the same width.
    #[test]
    fn a_smooth_function_takes_a_few_looks() {
        type Function = fn(f64) -> f64;
        let functions: [(Function, f64); 3] = [
            (f64::cos, std::f64::consts::FRAC_PI_2),
            (|x| x * x * x - 2.0, 2_f64.cbrt()),
            (|x| x.exp() - 3.0, 3_f64.ln()),
        ];
        for (function, at) in functions {
            let mut calls = 0;
            let root = crossing(
                |x| {
                    calls += 1;
                    function(x)
                },
                0.0,
                2.0,
                1e-12,
            );
            assert!((root.unwrap() - at).abs() < 1e-12);
            assert!(calls <= 24, "{calls} looks");
        }
    }

    /// Closed form: sin x is not below zero from 0 to π and from 2π to 3π.
    #[test]
    fn stretches_of_a_wave() {
        let looks: Vec<f64> = (0..=20).map(|n| 0.5 * f64::from(n)).collect();
        let found = stretches(f64::sin, &looks, 1e-9);
        let pi = std::f64::consts::PI;
        assert_eq!(found.len(), 2);
        for (found, expected) in found.iter().zip([(0.0, pi), (2.0 * pi, 3.0 * pi)]) {
            assert!((found.0 - expected.0).abs() < 1e-8 && (found.1 - expected.1).abs() < 1e-8, "{found:?}");
        }
        assert_eq!(common(&found, &[(1.0, 7.0)]), [(1.0, found[0].1), (found[1].0, 7.0)]);
        assert!(common(&found, &[(3.5, 6.0)]).is_empty());
    }

    /// Places that cannot be looked at in between are taken to be as the low end is: what begins at 5 begins there.
    #[test]
    fn an_onset_behind_places_that_cannot_be_looked_at_is_found() {
        let at = |x: f64| if x > 1.5 && x < 4.9 { Err(Why::Untrusted) } else { Ok(x - 5.0) };
        let Onset::From(found) = onset(at, (1.0, 10.0), 1e-6) else { panic!("an onset") };
        assert!((found - 5.0).abs() < 1e-4, "{found}");
    }

    /// What cannot be looked at is unknown beyond where it can, not absent; an onset before that is found.
    #[test]
    fn an_onset_past_a_fault_is_unknown() {
        let up_to_ten = |rises: f64| move |x: f64| if x > 10.0 { Err(Why::Untrusted) } else { Ok(x - rises) };
        assert!(matches!(onset(up_to_ten(20.0), (1.0, 100.0), 1e-6),
            Onset::UnknownBeyond(x, Why::Untrusted) if (x - 10.0).abs() < 1e-4));
        assert!(
            matches!(onset(up_to_ten(5.0), (1.0, 100.0), 1e-6), Onset::From(x) if (x - 5.0).abs() < 1e-4)
        );
        assert_eq!(onset(up_to_ten(0.5), (1.0, 100.0), 1e-6), Onset::Always);
        assert_eq!(onset(|x| Ok(x - 200.0), (1.0, 100.0), 1e-6), Onset::Never);
    }

    #[test]
    fn one_sign_has_no_crossing() {
        assert_eq!(crossing(|x| x * x + 1.0, -1.0, 1.0, 1e-9), None);
        assert_eq!(crossing(|_| f64::NAN, -1.0, 1.0, 1e-9), None);
        // One end at zero is a crossing, both are none.
        assert_eq!(crossing(|x| x, 0.0, 1.0, 1e-9).map(|x| x < 1e-9), Some(true));
        assert_eq!(crossing(|x| x, -1.0, 0.0, 1e-9), Some(0.0));
        assert_eq!(crossing(|x| x * (x - 1.0), 0.0, 1.0, 1e-9), None);
    }
}
