//! The windows of pace, the fill times drawn against pace, and the largest sizes are one and the same answer.

use crate::support::working_set::{celsius, degrees, square, statement};
use latchstroke_core::limits::{Does, Limit, Margin};
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::judge::{Acceptance, Cast, PACES, Terms, Why, judge};
use latchstroke_core::studies::pace::{
    FillTimes, SizePaces, Window, fill_times, reach, size_paces, size_paces_watched, slowest_aside,
};
use latchstroke_core::studies::real_pace::CastAt;
use latchstroke_core::studies::watch::{Unwatched, Watch};
use latchstroke_core::turn::Accuracy;
use latchstroke_models::cooling_water::CoolingWaterStatement;
use latchstroke_models::cross_block::Closure;
use latchstroke_models::latch::{LatchSetting, TripStatement};
use latchstroke_models::mould::WallStatement;
use latchstroke_models::units::{
    Force, Length, Mass, Pace, SpecificHeat, Stiffness, ThermalConductance, VolumeFlow,
};

fn terms() -> Terms {
    Terms {
        acceptance: Acceptance { skin: 0.5e-3, solid: 0.0, margin: 1.2 },
        accepted_air: None,
        shut: degrees(200.0),
        accuracy: Accuracy::default(),
    }
}

fn at() -> CastAt {
    CastAt { asked: None, fastest: Pace(0.5), shut: terms().shut }
}

/// Whether a pace lies in one of the windows, and whether it lies too near an edge to say.
fn held(windows: &[Window], pace: f64) -> (bool, bool) {
    // Twice the closeness to which an edge is found.
    let near = |edge: f64| (pace / edge).ln().abs() < 1e-3;
    let inside = windows.iter().any(|window| (window.from..=window.to).contains(&pace));
    (inside, windows.iter().any(|window| near(window.from) || near(window.to)))
}

#[test]
fn balance_a_drawn_fill_keeps_its_limits_where_the_windows_say_so() {
    let sorts = [12.0, 18.0, 24.0].map(square);
    let sizes: Vec<SizePaces> = size_paces(&statement(), &sorts, terms()).expect("a sound statement");
    let mut seen = [0_u32; 2];
    for paces in sizes {
        let times: FillTimes =
            fill_times(&statement(), paces.sort, terms(), at()).expect("a sound statement");
        assert_eq!(times.cooling, paces.cooling);
        for point in &times.points {
            for (windows, side) in [(&paces.fills_aside, point.aside), (&paces.fills_set, point.set)] {
                let (inside, near) = held(windows, point.pace);
                assert!(near || inside == side.is_kept(), "{:?}: {point:?} {windows:?}", paces.sort);
                seen[usize::from(inside)] += 1;
            }
        }
    }
    assert!(seen.iter().all(|count| *count > 10), "both kinds must occur: {seen:?}");
}

/// What is said to end a stretch of paces is the limit that the judge misses just beyond, and that it keeps just within.
#[test]
fn balance_what_ends_the_windows_is_what_the_judge_misses() {
    let mut stated = statement();
    stated.mould.hold_down = Some(Force(700.0));
    let sorts = [14.0, 24.0].map(square);
    let mut seen = Vec::new();
    for paces in size_paces(&stated, &sorts, terms()).expect("a sound statement") {
        for (setting, ends) in [LatchSetting::Aside, LatchSetting::Set].into_iter().zip(&paces.ends) {
            for end in ends {
                // Twice the closeness to which an end is found.
                let out = if end.is_fast_end { 1.001 } else { 1.0 / 1.001 };
                let judged = |pace: f64| {
                    let cast = Cast { sort: paces.sort, pace: Pace(pace) };
                    judge(&stated, cast, &terms()).expect("a sound statement").standing(setting).clone()
                };
                let (within, beyond) = (judged(end.pace / out), judged(end.pace * out));
                assert!(within.margin(end.limit).is_some_and(Margin::is_kept), "{end:?}");
                assert!(beyond.margin(end.limit).is_some_and(Margin::is_in_the_way), "{end:?}");
                seen.push(end.limit);
            }
        }
    }
    assert!(seen.contains(&Limit::MatrixHeld), "{seen:?}");
    assert!(seen.iter().any(|limit| limit.is_clock()), "{seen:?}");
}

/// A latch that never lets go is named, not passed over as "no pace".
#[test]
fn balance_a_latch_that_never_trips_is_why_setting_it_reaches_nowhere() {
    let mut stated = statement();
    stated.latch.trip = TripStatement::Lift(Length(0.031));
    let paces = size_paces(&stated, &[square(14.0)], terms()).expect("a sound statement");
    assert!(paces[0].fills_set.is_empty());
    assert_eq!(paces[0].hindered_by, [None, Some(Limit::LatchTrips)]);
    let set = reach(&stated, LatchSetting::Set, 1.0, &at(), &terms());
    assert_eq!((set.from, set.lost), (Onset::Always, Some(Limit::LatchTrips)));
}

/// The slowest pace with the latch aside goes by all limits: a follower that leaves its cam, or a pace too fast to be solid, does not
/// do, and the windows say the same.
#[test]
fn balance_slowest_pace_aside_is_where_the_judges_window_begins() {
    let mut one_way = statement();
    one_way.cross_block.closure = Closure::OneWay { return_force: Force(100.0), return_rate: Stiffness(0.0) };
    for stated in [statement(), one_way] {
        for points in [10.0, 14.0, 18.0, 24.0] {
            let sort = square(points);
            let slowest = slowest_aside(&stated, sort, &terms()).expect("a sound statement");
            let paces = size_paces(&stated, &[sort], terms()).expect("a sound statement").remove(0);
            match (slowest, paces.aside.first()) {
                (Onset::From(pace), Some(window)) => {
                    // Each is found to five parts in ten thousand.
                    assert!((pace / window.from - 1.0).abs() < 1e-3, "{points}: {pace} {window:?}");
                    let cast = Cast { sort, pace: Pace(pace * 1.001) };
                    let judged = judge(&stated, cast, &terms()).expect("a sound statement");
                    assert_eq!(judged.standing(LatchSetting::Aside).does(), Does::Yes, "{points}");
                }
                (Onset::Never, None) => {}
                other => panic!("{points}: {other:?}"),
            }
        }
    }
}

/// Water that can no longer cool the mould at a fast pace leaves what is known of slow ones standing, and says where that ends.
#[test]
fn balance_a_fault_at_fast_paces_does_not_hide_the_slow_ones() {
    let mut stated = statement();
    stated.mould.wall = WallStatement::Cooled(CoolingWaterStatement {
        flow: VolumeFlow(0.03e-6),
        inlet_temperature: celsius(15.0),
        conductance: ThermalConductance(10.0),
        mould_mass: Mass(2.0),
        mould_specific_heat: SpecificHeat(460.0),
        air_loss: ThermalConductance(0.1),
        room_temperature: celsius(20.0),
        shut: terms().shut,
    });
    let sort = square(12.0);
    let paces = size_paces(&stated, &[sort], terms()).expect("a sound statement").remove(0);
    let (beyond, why) = paces.unknown_beyond.clone().expect("paces too fast for the water");
    assert!(matches!(why, Why::Fault(_)) && beyond > PACES.0 && beyond < PACES.1, "{beyond} {why:?}");
    assert!(!paces.aside.is_empty(), "{paces:?}");
    assert!(paces.fills_aside.iter().all(|window| window.to <= beyond * 1.001));
    let slowest = slowest_aside(&stated, sort, &terms()).expect("a sound statement");
    assert!(matches!(slowest, Onset::From(_) | Onset::Always), "{slowest:?}");
    // The chart goes as far as is known.
    let times = fill_times(&stated, sort, terms(), at()).expect("a sound statement");
    assert!(times.points.last().is_some_and(|point| point.pace <= beyond * 1.001));
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
