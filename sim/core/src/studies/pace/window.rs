//! Stretches of pace.

use crate::roots::crossing_between;
use std::cell::RefCell;

/// How closely an edge is found, as a share of the pace.
pub(super) const CLOSENESS: f64 = 5e-4;
/// A stretch from one pace to another no more than this share above it is the closeness of two edges, not a window.
const LEAST: f64 = 2.0 * CLOSENESS;
/// Into how many parts, even by ratio, a range is cut to look for edges.
const PARTS: u32 = 32;

/// How closely a greatest slack is found, as a share of the pace: a window that hides and is wider than that is found.
const NARROWED: f64 = 2.0 * LEAST;

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

/// How far from zero a slack counts for where nothing is known of it: as if ten times off.
const HOPELESS: f64 = -std::f64::consts::LN_10;

/// What a search over a range of paces found, slowest first.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    /// Where the slack is not below zero.
    pub kept: Vec<Window>,
    /// Where nothing is known of it.
    pub not_known: Vec<Window>,
}

/// Where `slack` is not below zero over `range`, and where it is not known.
///
/// What is not known lies between the looks that failed and the known ones next to them, closed in on likewise.
pub(super) fn search<E>(slack: impl Fn(f64) -> Result<f64, E>, range: Window) -> Found {
    let looks = RefCell::new(Vec::new());
    let looked = |pace: f64| {
        let value = slack(pace).ok();
        looks.borrow_mut().push((pace, value.is_some()));
        value.unwrap_or(HOPELESS)
    };
    let kept = kept(looked, range);
    let mut looks = looks.into_inner();
    if looks.iter().all(|(_, known)| *known) {
        return Found { kept, not_known: Vec::new() };
    }
    looks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let known = |log: f64| if slack(libm::exp(log)).is_ok() { -1.0 } else { 1.0 };
    let edge = |known_at: f64, failed_at: f64| {
        libm::exp(crossing_between(
            known,
            (libm::log(known_at), -1.0),
            (libm::log(failed_at), 1.0),
            CLOSENESS,
        ))
    };
    let mut not_known = Vec::new();
    let mut open = looks.first().filter(|look| !look.1).map(|_| range.from);
    for pair in looks.windows(2) {
        let &[before, here] = pair else { continue };
        match open {
            None if !here.1 => open = Some(edge(before.0, here.0)),
            Some(from) if here.1 => {
                not_known.push(Window { from, to: edge(here.0, before.0) });
                open = None;
            }
            _ => {}
        }
    }
    not_known.extend(open.map(|from| Window { from, to: range.to }));
    not_known.retain(Window::is_wide);
    Found { kept, not_known }
}

/// Where `slack` is not below zero over `range`, slowest first.
///
/// The range is looked at in [`PARTS`] even ratios, more closely where a window or a gap may hide between two looks
/// ([`with_hidden`]), and each edge between two looks is closed in on. Edges lie on the side where there is slack.
fn kept(slack: impl Fn(f64) -> f64, range: Window) -> Vec<Window> {
    let edge = |without: (f64, f64), with: (f64, f64)| {
        let log = |(pace, slack): (f64, f64)| (libm::log(pace), slack);
        libm::exp(crossing_between(|at| slack(libm::exp(at)), log(without), log(with), CLOSENESS))
    };
    let looks = with_hidden(&slack, paces(range).map(|pace| (pace, slack(pace))).collect());
    let mut windows = Vec::new();
    let mut open = looks.first().filter(|look| look.1 >= 0.0).map(|look| look.0);
    for pair in looks.windows(2) {
        let &[before, here] = pair else { continue };
        match open {
            None if here.1 >= 0.0 => open = Some(edge(before, here)),
            Some(from) if here.1 < 0.0 => {
                windows.push(Window { from, to: edge(here, before) });
                open = None;
            }
            _ => {}
        }
    }
    windows.extend(open.map(|from| Window { from, to: range.to }));
    windows.retain(Window::is_wide);
    windows
}

/// The paces first looked at over a range, from its one end to its other.
pub(super) fn paces(range: Window) -> impl Iterator<Item = f64> {
    let ratio = libm::log(range.ratio()) / f64::from(PARTS);
    (0..=PARTS).map(move |n| if n == PARTS { range.to } else { range.from * libm::exp(ratio * f64::from(n)) })
}

/// Looks (pace, slack) in order of pace, with one more in each window or gap found to hide between them.
///
/// A window hides where slack is below zero at three looks in a row and greatest at the middle one, a gap where it is not below
/// zero and least there; between the outer two the extreme is then closed in on by the golden section (J. Kiefer, "Sequential
/// minimax search for a maximum", 1953) until the sign changes or [`NARROWED`] is reached. The search takes slack to have one
/// extreme there; what hides on a stretch that looks level, or before the second or past the last look but one, is not found.
fn with_hidden(slack: &impl Fn(f64) -> f64, looks: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let hidden: Vec<(f64, f64)> = looks
        .windows(3)
        .filter_map(|three| {
            let &[before, here, after] = three else { return None };
            let missing = here.1 < 0.0;
            let sign = if missing { 1.0 } else { -1.0 };
            let alike = [before, after].iter().all(|look| (look.1 < 0.0) == missing);
            let (rise, fall) = (sign * (here.1 - before.1), sign * (here.1 - after.1));
            let turns = rise >= 0.0 && fall >= 0.0 && rise + fall > 0.0;
            if !(alike && turns) {
                return None;
            }
            let (at, value) =
                above_zero(|at| sign * slack(libm::exp(at)), libm::log(before.0), libm::log(after.0))?;
            Some((libm::exp(at), sign * value))
        })
        .collect();
    let mut all = looks;
    all.extend(hidden);
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}

/// An argument between `a` and `b` at which `f`, which has one maximum there, is above zero, and its value; none where the maximum
/// is not.
fn above_zero(f: impl Fn(f64) -> f64, mut a: f64, mut b: f64) -> Option<(f64, f64)> {
    let golden = f64::midpoint(5.0_f64.sqrt(), -1.0);
    let inner = |a: f64, b: f64| (b - golden * (b - a), a + golden * (b - a));
    let (mut c, mut d) = inner(a, b);
    let (mut at_c, mut at_d) = (f(c), f(d));
    loop {
        let best = if at_c >= at_d { (c, at_c) } else { (d, at_d) };
        if best.1 > 0.0 {
            return Some(best);
        }
        if b - a < NARROWED {
            return None;
        }
        if at_c >= at_d {
            (b, d, at_d) = (d, c, at_c);
            c = inner(a, b).0;
            at_c = f(c);
        } else {
            (a, c, at_c) = (c, d, at_d);
            d = inner(a, b).1;
            at_d = f(d);
        }
    }
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
        let found = kept(|pace| pace.ln().sin(), window(0.5, 1e4));
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

    /// Closed form: slack is above zero over ±1 % about a pace between two looks that lie 20 % apart; a gap likewise.
    #[test]
    fn search_finds_a_window_and_a_gap_narrower_than_its_step() {
        let range = window(1.0 / 60.0, 400.0 / 60.0);
        let half = 0.01_f64;
        // Sharp and rounded, off the middle between looks and near one of them.
        let shapes: [fn(f64, f64) -> f64; 2] =
            [|off, half| half - off.abs(), |off, half| half * half - off * off];
        for shape in shapes {
            for centre in [0.3_f64, 0.31, 0.33, 0.345, 2.0] {
                let slack = |pace: f64| shape((pace / centre).ln(), half);
                let found = kept(slack, range);
                let [only] = found.as_slice() else { panic!("one window at {centre}, not {found:?}") };
                for (found, expected) in [(only.from, centre * (-half).exp()), (only.to, centre * half.exp())]
                {
                    // The closeness of the search.
                    assert!((found / expected).ln().abs() <= CLOSENESS, "{only:?} at {centre}");
                }
                let gap = without(&[range], &kept(|pace| -slack(pace), range));
                let [only] = gap.as_slice() else { panic!("one gap at {centre}, not {gap:?}") };
                assert!((only.ratio().ln() - 2.0 * half).abs() <= 2.0 * CLOSENESS, "{only:?}");
            }
        }
    }

    /// Closed form: nothing is known from 3 to 5; up to 3 and past 5 the slack is above zero or below it.
    #[test]
    fn what_could_not_be_looked_at_is_not_known_rather_than_missed() {
        for slack in [1.0, -1.0] {
            let at = |pace: f64| if (3.0..5.0).contains(&pace) { Err(()) } else { Ok(slack) };
            let found = search(at, window(1.0, 10.0));
            let [only] = found.not_known.as_slice() else { panic!("{found:?}") };
            assert!((only.from / 3.0).ln().abs() <= CLOSENESS, "{only:?}");
            assert!((only.to / 5.0).ln().abs() <= CLOSENESS, "{only:?}");
            assert_eq!(found.kept.len(), if slack > 0.0 { 2 } else { 0 }, "{found:?}");
        }
    }

    #[test]
    fn search_looks_no_closer_where_nothing_turns() {
        let looks = std::cell::Cell::new(0_u32);
        let level = |_: f64| {
            looks.set(looks.get() + 1);
            -1.0
        };
        assert!(kept(level, window(1.0, 10.0)).is_empty());
        assert_eq!(looks.get(), PARTS + 1);
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
