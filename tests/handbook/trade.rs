//! Rules of the trade about the latch, the sleeve and the rod extension. Each is common practice, no source, and is held to the
//! working set with its springs and its stack-up measured by lengths. What sleeve and extension do to the tension, and the window
//! of sleeves that work, are rules of any machine: `balance/window`.

use crate::support::working_set::{self, square};
use latchstroke_core::Limit;
use latchstroke_core::studies::judge::{Acceptance, Cast, Judgement, Terms, Verdict, judge};
use latchstroke_core::turn::{Accuracy, EventKind, Finding, Turn, solve};
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::latch::LatchSetting::{self, Aside, Set};
use latchstroke_models::latch::TripStatement;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::spring::PreloadStatement;
use latchstroke_models::units::{Length, Pace};

/// The length by which sleeve and rod extension come, 2 3/4 in.
const SLEEVE: f64 = 2.75 * 0.0254;
/// t: travel of the prongs.
const PRONGS: f64 = 0.002;
/// c_0: with the sleeve in place the prongs stand 12 mm clear, so the latch lets go at the working set's 14 mm.
const BARE_CLEARANCE: f64 = SLEEVE + 0.012;

/// The working set with a sleeve and a rod extension (m), its spring by free length and gap: 350 N with both or neither.
fn stated(sleeve: f64, extension: f64) -> MachineStatement {
    let mut stated = working_set::statement();
    let free = 0.150;
    stated.springs[0].free_length = Some(Length(free));
    stated.springs[0].preload = PreloadStatement::Gap;
    stated.abutment = AbutmentStatement {
        bare_gap: Some(Length(free - 350.0 / 9000.0)),
        sleeve: Length(sleeve),
        extension: Length(extension),
        nut_turns: 0.0,
        thread_pitch: None,
        extension_outside: None,
        socket: None,
        rod_end: None,
        bare_clearance: Some(Length(BARE_CLEARANCE)),
    };
    stated.latch.trip = TripStatement::Prongs(Length(PRONGS));
    stated
}

fn machine(sleeve: f64, setting: LatchSetting) -> Machine {
    Machine::prepare(&stated(sleeve, sleeve), square(24.0), Pace(40.0 / 60.0), setting)
        .expect("a valid machine")
}

fn turn(sleeve: f64, setting: LatchSetting) -> Turn {
    solve(&machine(sleeve, setting), Accuracy::default())
}

fn peak_speed(points: f64, pace: f64, setting: LatchSetting) -> f64 {
    let accuracy = Accuracy { tolerance: 1e-6, ..Accuracy::default() };
    solve(&working_set::machine(points, pace, setting), accuracy).peaks.piston_speed
}

/// Common practice, no source: the prongs let go after about 2 mm of movement from first contact. The event is located to a
/// nanosecond, in which the block moves less than a nanometre.
#[test]
fn practice_prongs_let_go_after_two_millimetres() {
    let turn = turn(SLEEVE, Set);
    let clearance = machine(SLEEVE, Set).latch.clearance.expect("a stack-up that is known");
    let let_go = turn.first(EventKind::LatchLetsGo).expect("a throw");
    let moved = let_go.before.block_lift - clearance;
    assert!((moved - 0.002).abs() < 1e-8, "{moved} m from first contact");
}

/// Common practice, no source: without its sleeve the abutment never reaches the prongs, so the latch must stand aside. Set all
/// the same, it holds the rod all turn and nothing is cast.
#[test]
fn practice_without_a_sleeve_the_latch_must_stand_aside() {
    let set = turn(0.0, Set);
    assert!(set.findings.iter().any(|f| matches!(f, Finding::NeverTrips { .. })), "{:?}", set.findings);
    assert!(set.throw.is_none() && set.fill.is_none() && set.sound_fill_time().is_none());
    // Held all turn: the rod stays where it rests and the piston drives nothing.
    assert!(set.first(EventKind::InletCloses).is_none() && set.peaks.piston_speed == 0.0);
    assert!(turn(0.0, Aside).sound_fill_time().is_some());
}

/// Common practice, no source: an error in the sleeve moves the trip lift one for one.
#[test]
fn practice_error_of_the_sleeve_moves_the_trip_one_for_one() {
    let trip = |sleeve| turn(sleeve, Set).first(EventKind::LatchLetsGo).expect("a throw").before.block_lift;
    let moved = trip(SLEEVE) - trip(SLEEVE + 0.001);
    assert!((moved - 0.001).abs() < 1e-8, "{moved} m");
}

/// Common practice, no source: the thrown piston's speed hardly changes with the machine's pace.
#[test]
fn practice_thrown_piston_does_not_mind_the_pace() {
    for points in [12.0, 24.0, 36.0] {
        let (slow, fast) = (peak_speed(points, 15.0, Set), peak_speed(points, 60.0, Set));
        assert!((fast / slow - 1.0).abs() < 0.05, "{points} pt: {slow} m/s at 15, {fast} m/s at 60");
    }
}

/// Common practice, no source: the carried piston's speed is proportional to the pace. So it is while the metal resists with less
/// than the preload, here up to 40 turns a minute at 24 pt; the shoulder's and the train's give stay far below 5 %.
#[test]
fn practice_carried_piston_goes_with_the_pace() {
    let for_each_turn = peak_speed(24.0, 5.0, Aside) / 5.0;
    for pace in [10.0, 20.0, 30.0, 40.0] {
        let share = peak_speed(24.0, pace, Aside) / pace / for_each_turn;
        assert!((share - 1.0).abs() < 0.05, "at {pace} turns a minute {share} of proportional");
    }
}

/// The judgement on a square sort, with the skin that is accepted (m) and a margin of 1.2.
fn judged(points: f64, pace: f64, skin: f64) -> Judgement {
    let cast = Cast { sort: square(points), pace: Pace(pace / 60.0) };
    let terms = working_set::terms();
    let acceptance = Acceptance { skin, ..terms.acceptance };
    judge(&working_set::statement(), cast, &Terms { acceptance, ..terms }).expect("a valid machine")
}

/// Common practice, no source: the latch is wanted from about 14 to 36 pt at slow paces, and not for small type at its working
/// pace. Nothing in the working set was chosen to put the line there. Against the clocks, whether the accepted skin is 0.2 mm or
/// 0.45 mm: small type does without at the paces that leave it solid; 18 to 30 pt want the latch at every such pace; 14 pt wants it
/// up to 10 turns/min, and not from 15 on; at 36 pt the springs cover too little of the fill, and neither setting will do.
#[test]
fn practice_latch_is_wanted_for_large_type_at_slow_paces() {
    for skin in [0.2e-3, 0.45e-3] {
        let verdict = |(points, pace): (f64, f64)| judged(points, pace, skin).verdict;
        for small in [(6.0, 60.0), (6.0, 80.0), (8.0, 30.0), (10.0, 30.0), (12.0, 30.0), (14.0, 15.0)] {
            assert_eq!(verdict(small), Verdict::LeaveAside, "{small:?}, {skin} m");
        }
        for large in
            [(14.0, 10.0), (18.0, 8.0), (18.0, 15.0), (24.0, 5.0), (24.0, 10.0), (30.0, 5.0), (30.0, 8.0)]
        {
            assert_eq!(verdict(large), Verdict::Set, "{large:?}, {skin} m");
        }
        let largest = judged(36.0, 5.0, skin);
        assert_eq!(largest.verdict, Verdict::Neither);
        assert!(largest.deciding().is_some_and(|margin| margin.limit.is_clock()), "{:?}", largest.deciding());
        // Faster, it is the cooling that fails; the mould would be filled in time without the latch.
        let fast = judged(12.0, 80.0, skin);
        assert!(fast.verdict == Verdict::Neither && !fast.solid.in_time());
        assert!(fast.standing(Aside).factor_of(|limit| limit != Limit::Solid) >= 1.0);
    }
}
