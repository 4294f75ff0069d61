//! The windows of pace, the fill times drawn against pace, and the largest sizes are one and the same answer.

use crate::support::working_set::{degrees, square, statement};
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_core::studies::pace::{
    FillTimes, SizePaces, Terms, Window, fill_times, size_paces, size_paces_watched,
};
use latchstroke_core::studies::watch::{Unwatched, Watch};
use latchstroke_core::turn::Accuracy;

fn terms() -> Terms {
    Terms {
        acceptance: Acceptance { skin: 0.5e-3, margin: 1.2 },
        shut: degrees(200.0),
        accuracy: Accuracy::default(),
    }
}

/// Whether a pace lies in one of the windows, and whether it lies too near an edge to say.
fn held(windows: &[Window], pace: f64) -> (bool, bool) {
    // Twice the closeness to which an edge is found.
    let near = |edge: f64| (pace / edge).ln().abs() < 1e-3;
    let inside = windows.iter().any(|window| (window.from..=window.to).contains(&pace));
    (inside, windows.iter().any(|window| near(window.from) || near(window.to)))
}

#[test]
fn balance_a_drawn_fill_time_is_in_time_where_the_windows_say_so() {
    let sorts = [12.0, 18.0, 24.0].map(square);
    let sizes: Vec<SizePaces> = size_paces(&statement(), &sorts, terms()).expect("a sound statement");
    let mut seen = [0_u32; 2];
    for paces in sizes {
        let times: FillTimes = fill_times(&statement(), paces.sort, terms()).expect("a sound statement");
        assert_eq!(times.cooling, paces.cooling);
        for point in &times.points {
            for (windows, time) in [(&paces.fills_aside, point.aside), (&paces.fills_set, point.set)] {
                let (inside, near) = held(windows, point.pace);
                assert!(near || inside == point.in_time(time), "{:?}: {point:?} {windows:?}", paces.sort);
                seen[usize::from(inside)] += 1;
            }
        }
    }
    assert!(seen.iter().all(|count| *count > 10), "both kinds must occur: {seen:?}");
}

/// Someone who has lost patience before the work begins.
struct Impatient;

impl Watch for Impatient {
    fn advance(&self, _turns: u64) {
        unreachable!("nothing is done for someone who has called it off");
    }

    fn called_off(&self) -> bool {
        true
    }
}

#[test]
fn property_sizes_called_off_have_no_answer_and_watched_sizes_the_same_as_others() {
    let sorts = [14.0, 20.0].map(square);
    assert_eq!(size_paces_watched(&statement(), &sorts, terms(), &Impatient), Ok(None));
    let watched = size_paces_watched(&statement(), &sorts, terms(), &Unwatched);
    assert_eq!(watched, size_paces(&statement(), &sorts, terms()).map(Some));
}
