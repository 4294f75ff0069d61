//! Every finding of a turn: a machine that brings it forth and one, a little otherwise, that does not.

use crate::support::working_set::{degrees, square};
use latchstroke_core::turn::{Accuracy, EventKind, Finding, Turn, solve};
use latchstroke_models::cross_block::Closure;
use latchstroke_models::latch::LatchSetting::{self, Aside, Set};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::{Force, HeatTransfer, Length, Pace, Stiffness, Volume};

/// The demo machine with one thing changed, at 24 points and 12 turns a minute.
fn machine(setting: LatchSetting, change: impl FnOnce(&mut MachineStatement)) -> Machine {
    let mut stated = MachineStatement::demo();
    change(&mut stated);
    Machine::prepare(&stated, square(24.0), Pace(0.2), setting).expect("a valid machine")
}

fn turn(setting: LatchSetting, change: impl FnOnce(&mut MachineStatement)) -> Turn {
    solve(&machine(setting, change), Accuracy::default())
}

/// The finding of a kind in a turn.
fn told<T>(turn: &Turn, of: impl Fn(&Finding) -> Option<T>) -> Option<T> {
    turn.findings.iter().find_map(of)
}

#[test]
fn balance_coils_bind_where_the_springs_close_by_more_than_their_room() {
    let bound = |turn: &Turn| {
        told(turn, |f| match f {
            Finding::CoilBound { angle, room, closing } => Some((*angle, *room, *closing)),
            _ => None,
        })
    };
    for setting in [Aside, Set] {
        let sound = machine(setting, |_| ());
        let (room, closing) = (
            sound.coil_room().expect("a known spring"),
            solve(&sound, Accuracy::default()).peaks.spring_closing,
        );
        // A tenth of a millimetre more room than the springs close by, and less.
        let with_room = |spare: f64| {
            turn(setting, |stated| {
                let solid = stated.springs[0].solid_length.expect("the demo states it").0;
                stated.springs[0].solid_length = Some(Length(solid + room - closing - spare));
            })
        };
        let (free, tight) = (with_room(1e-4), with_room(-1e-4));
        assert_eq!(bound(&free), None, "{setting:?}");
        assert!(free.first(EventKind::CoilsTouch).is_none());
        let (angle, told_room, told_closing) = bound(&tight).expect("coils that touch");
        let event = tight.first(EventKind::CoilsTouch).expect("coils that touch");
        assert_eq!(angle.to_bits(), event.angle.to_bits());
        assert!((told_room - (closing - 1e-4)).abs() < 1e-9, "{told_room}");
        assert!(told_closing >= told_room && event.before.rod_lift < event.before.block_lift + 1e-3);
    }
}

#[test]
fn balance_a_latch_that_let_go_catches_the_rod_again_as_it_comes_home() {
    let set = turn(Set, |_| ());
    let caught = set.first(EventKind::LatchCatches).expect("caught again");
    assert!(caught.time > set.first(EventKind::LatchLetsGo).expect("a throw").time);
    // The cam is on its way back, from 180° on, and the rod all but home.
    assert!(caught.angle > degrees(180.0).0 && caught.before.rod_lift.abs() < 1e-3, "{caught:?}");
    assert!(turn(Aside, |_| ()).first(EventKind::LatchCatches).is_none());
}

#[test]
fn balance_metal_that_is_driven_too_little_is_told_as_what_it_comes_to() {
    // Metal that stays liquid as long as the turn lasts.
    let primed = |volume: f64| {
        turn(Aside, |stated| {
            stated.mould.priming_volume = Volume(volume);
            stated.mould.heat_transfer = HeatTransfer(50.0);
        })
    };
    let never = |turn: &Turn| {
        told(turn, |f| match f {
            Finding::EntryNeverReached { driven, needed } => Some((*driven, *needed)),
            _ => None,
        })
    };
    let short = |turn: &Turn| {
        told(turn, |f| match f {
            Finding::ShortCast { filled } => Some(*filled),
            _ => None,
        })
    };
    // The well gives some 7 cm³ to a stroke, and the mould takes 1.7.
    let (all, some, none) = (primed(0.15e-6), primed(6.2e-6), primed(15e-6));
    assert!(all.fill.is_some() && never(&all).is_none() && short(&all).is_none());
    let filled = short(&some).expect("a short cast");
    assert!((0.0..0.98).contains(&filled) && never(&some).is_none(), "{filled}");
    let (driven, needed) = never(&none).expect("metal that never gets there");
    assert!(driven < needed && (needed - 15e-6).abs() < 1e-15 && short(&none).is_none());
}

#[test]
fn balance_an_entry_that_freezes_before_the_mould_is_full_is_told() {
    // A rod that its packing holds back fills slowly.
    let early = |friction: f64| {
        let turn = turn(Aside, |stated| stated.rod.friction = Force(friction));
        let found = told(&turn, |f| match f {
            Finding::SealedEarly { filled, after } => Some((*filled, *after)),
            _ => None,
        });
        (turn.fill.is_some(), found)
    };
    assert_eq!(early(20.0), (true, None));
    let (full, found) = early(900.0);
    let (filled, after) = found.expect("an entry that freezes");
    assert!(!full && (0.1..0.98).contains(&filled) && (0.1..2.0).contains(&after), "{filled} after {after}");
}

#[test]
fn balance_a_matrix_lifts_for_a_moment_lastingly_or_not_as_it_is_held() {
    let free = turn(Set, |stated| stated.mould.hold_down = None);
    let (lasting, peak) = (free.hold_lifting_force, free.peaks.lifting_force);
    assert!(lasting < 0.9 * peak, "{lasting} of {peak}");
    let lifts = |held: f64| {
        let turn = turn(Set, |stated| stated.mould.hold_down = Some(Force(held)));
        told(&turn, |f| match f {
            Finding::MatrixLifts { force, hold_down, lasting } => Some((*force, *hold_down, *lasting)),
            _ => None,
        })
    };
    assert_eq!(lifts(1.001 * peak), None);
    assert_eq!(lifts(0.999 * peak), Some((peak, 0.999 * peak, false)));
    assert_eq!(lifts(1.001 * lasting), Some((peak, 1.001 * lasting, false)));
    assert_eq!(lifts(0.999 * lasting), Some((lasting, 0.999 * lasting, true)));
}

#[test]
fn balance_a_rod_that_is_kept_from_home_is_told_and_one_that_comes_home_is_not() {
    let distance = |turn: &Turn| {
        told(turn, |f| match f {
            Finding::NotHome { distance } => Some(*distance),
            _ => None,
        })
    };
    // A return spring that brings the block home against the pump's springs, 350 N of them at rest, and one that does not.
    let returned = |force: f64, setting| {
        turn(setting, |stated| {
            stated.cross_block.closure =
                Closure::OneWay { return_force: Force(force), return_rate: Stiffness(0.0) };
        })
    };
    let floats = |turn: &Turn| turn.findings.iter().any(|f| matches!(f, Finding::FollowerFloats { .. }));
    for setting in [Aside, Set] {
        let (kept, home) = (returned(20.0, setting), returned(600.0, setting));
        assert!(
            distance(&kept).is_some_and(|distance| distance > 0.02) && floats(&kept),
            "{:?}",
            kept.findings
        );
        assert!(distance(&home).is_none() && !floats(&home), "{:?}", home.findings);
    }
}
