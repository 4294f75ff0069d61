//! Stretches of pace.

use crate::roots::crossing_between;

/// How closely an edge is found, as a share of the pace.
pub(super) const CLOSENESS: f64 = 5e-4;
/// A stretch from one pace to another no more than this share above it is the closeness of two edges, not a window.
const LEAST: f64 = 2.0 * CLOSENESS;
/// Into how many parts, even by ratio, a range is cut to look for edges.
const PARTS: u32 = 32;

/// A stretch of pace, turns/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Slowest pace.
    pub from: f64,
    /// Fastest pace.
    pub to: f64,
}

impl Window {
    /// Fastest over slowest.
    pub fn ratio(&self) -> f64 {
        self.to / self.from
    }

    fn is_wide(&self) -> bool {
        self.ratio() > 1.0 + LEAST
    }
}

/// Where `slack` is not below zero over `range`, slowest first.
///
/// The range is looked at in [`PARTS`] even ratios and each edge between two of them closed in on; a window that falls
/// between two looks is not seen. Edges lie on the side where there is slack.
pub(super) fn search(slack: impl Fn(f64) -> f64, range: Window) -> Vec<Window> {
    let ratio = (range.to / range.from).ln() / f64::from(PARTS);
    let pace = |n: u32| if n == PARTS { range.to } else { range.from * (ratio * f64::from(n)).exp() };
    let edge = |without: (f64, f64), with: (f64, f64)| {
        let log = |(pace, slack): (f64, f64)| (pace.ln(), slack);
        crossing_between(|at| slack(at.exp()), log(without), log(with), CLOSENESS).exp()
    };
    let mut windows = Vec::new();
    let mut before = (range.from, slack(range.from));
    let mut open = (before.1 >= 0.0).then_some(range.from);
    for n in 1..=PARTS {
        let here = (pace(n), slack(pace(n)));
        match open {
            None if here.1 >= 0.0 => open = Some(edge(before, here)),
            Some(from) if here.1 < 0.0 => {
                windows.push(Window { from, to: edge(here, before) });
                open = None;
            }
            _ => {}
        }
        before = here;
    }
    windows.extend(open.map(|from| Window { from, to: range.to }));
    windows.retain(Window::is_wide);
    windows
}

/// The parts of `windows` within `range`.
pub(super) fn within(windows: &[Window], range: Window) -> Vec<Window> {
    windows
        .iter()
        .map(|window| Window { from: window.from.max(range.from), to: window.to.min(range.to) })
        .filter(Window::is_wide)
        .collect()
}

/// What is left of `windows` without `holes`; both slowest first, each apart from the next.
pub(super) fn without(windows: &[Window], holes: &[Window]) -> Vec<Window> {
    let mut left = Vec::new();
    for window in windows {
        let mut from = window.from;
        for hole in holes.iter().filter(|hole| hole.to > window.from && hole.from < window.to) {
            left.push(Window { from, to: hole.from });
            from = hole.to;
        }
        left.push(Window { from, to: window.to });
    }
    left.retain(Window::is_wide);
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    fn window(from: f64, to: f64) -> Window {
        Window { from, to }
    }

    /// Closed form: sin(ln n) is not below zero from 1 to e^π and from e^2π to e^3π.
    #[test]
    fn search_finds_each_stretch_of_a_wave() {
        let found = search(|pace| pace.ln().sin(), window(0.5, 1e4));
        let e = |turns: f64| (turns * std::f64::consts::PI).exp();
        let expected = [window(1.0, e(1.0)), window(e(2.0), 1e4)];
        assert_eq!(found.len(), expected.len());
        for (found, expected) in found.iter().zip(expected) {
            // The closeness of the search.
            assert!((found.from / expected.from).ln().abs() <= CLOSENESS, "{found:?}");
            assert!((found.to / expected.to).ln().abs() <= CLOSENESS, "{found:?}");
            assert!(found.from.ln().sin() >= 0.0);
        }
    }

    #[test]
    fn what_is_left_and_what_is_taken_make_the_whole() {
        let whole = [window(1.0, 10.0)];
        let holes = [window(0.5, 2.0), window(3.0, 4.0), window(8.0, 20.0)];
        assert_eq!(without(&whole, &holes), [window(2.0, 3.0), window(4.0, 8.0)]);
        assert_eq!(within(&holes, whole[0]), [window(1.0, 2.0), window(3.0, 4.0), window(8.0, 10.0)]);
        assert_eq!(without(&whole, &[]), whole);
        assert!(without(&whole, &whole).is_empty());
    }
}
