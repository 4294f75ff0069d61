//! The edges of the sleeve's window are where solved turns stop tripping or holding, and sleeve and extension of one length
//! leave the springs as they were.

use crate::support::working_set::{square, statement};
use latchstroke_core::studies::judge::{Acceptance, Cast, Terms};
use latchstroke_core::studies::sleeve::{About, Question, Unknown, Window, recommend, served, window};
use latchstroke_core::turn::{Accuracy, Finding, Turn, solve};
use latchstroke_models::cam::{CamStatement, Law};
use latchstroke_models::latch::{LatchSetting, TripStatement};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::spring::PreloadStatement;
use latchstroke_models::units::{Angle, Force, Length, Pace, Stiffness};
use proptest::prelude::*;

/// A tenth of a hair: what a solved turn must tell apart at the edges, m.
const TENTH_OF_A_HAIR: f64 = 10e-6;

/// What is asked of the casts; no window of the latch hangs on it.
fn terms() -> Terms {
    Terms {
        acceptance: Acceptance { skin: 0.5e-3, solid: 0.0, margin: 1.2 },
        accepted_air: None,
        shut: Angle(3.0),
        accuracy: Accuracy::default(),
    }
}

/// A machine whose trip lift and preload follow from the stack.
#[derive(Debug, Clone, Copy)]
struct Stack {
    clearance: f64,
    travel: f64,
    lift: f64,
    law: Law,
    free_length: f64,
    gap: f64,
    train: f64,
    pace: f64,
}

impl Stack {
    fn statement(&self) -> MachineStatement {
        let mut stated = statement();
        if let CamStatement::Law { lift, law, .. } = &mut stated.cam {
            (*lift, *law) = (Length(self.lift), self.law);
        }
        stated.cross_block.train_stiffness = Stiffness(self.train);
        stated.latch.trip = TripStatement::Prongs(Length(self.travel));
        stated.abutment.bare_clearance = Some(Length(self.clearance));
        stated.abutment.bare_gap = Some(Length(self.gap));
        for spring in &mut stated.springs {
            spring.free_length = Some(Length(self.free_length));
            spring.preload = PreloadStatement::Gap;
        }
        stated
    }

    fn window(&self, stated: &MachineStatement, sorts: &[Sort]) -> Window {
        let casts: Vec<Cast> =
            sorts.iter().map(|&sort| Cast { sort, pace: Pace(self.pace / 60.0) }).collect();
        let question = Question { stated, casts: &casts, terms: terms(), tolerance: 0.0 };
        window(&question).expect("a stack with clearance and prong travel has a window")
    }

    /// A turn, latch set, with a sleeve of `length` and the rod lengthened by as much.
    fn turn(&self, stated: &MachineStatement, sort: Sort, length: f64) -> Turn {
        let mut stated = stated.clone();
        stated.abutment.sleeve = Length(length);
        stated.abutment.extension = Length(length);
        let machine = Machine::prepare(&stated, sort, Pace(self.pace / 60.0), LatchSetting::Set);
        solve(&machine.expect("the stack is a valid machine"), Accuracy::default())
    }
}

fn stacks() -> impl Strategy<Value = Stack> {
    let laws = prop_oneof![
        Just(Law::Cycloidal),
        Just(Law::SimpleHarmonic),
        Just(Law::ModifiedSine),
        Just(Law::Polynomial345)
    ];
    (0.04..0.09, 0.001..0.010, 0.018..0.036, laws, 0.12..0.16, 0.0..0.06, 1e6..1e7, 5.0..60.0).prop_map(
        |(clearance, travel, lift, law, free_length, squeeze, train, pace)| Stack {
            clearance,
            travel,
            lift,
            law,
            free_length,
            gap: free_length - squeeze,
            train,
            pace,
        },
    )
}

fn trips(turn: &Turn) -> bool {
    turn.throw.is_some()
}

fn never_trips(turn: &Turn) -> bool {
    turn.findings.iter().any(|finding| matches!(finding, Finding::NeverTrips { .. }))
}

fn never_holds(turn: &Turn) -> bool {
    turn.findings.iter().any(|finding| matches!(finding, Finding::NeverHolds { .. }))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn property_the_windows_edges_are_where_turns_stop_tripping_and_holding(stack in stacks()) {
        let stated = stack.statement();
        let sort = square(24.0);
        let window = stack.window(&stated, &[sort]);
        prop_assert!(!window.is_empty());
        let turn = |length: f64| stack.turn(&stated, sort, length);
        let inside = turn(window.shortest + TENTH_OF_A_HAIR);
        prop_assert!(trips(&inside) && !never_trips(&inside), "short edge, inside: {:?}", inside.findings);
        let outside = turn(window.shortest - TENTH_OF_A_HAIR);
        prop_assert!(never_trips(&outside) && !trips(&outside), "short edge, outside: {:?}", outside.findings);
        let inside = turn(window.longest - TENTH_OF_A_HAIR);
        prop_assert!(trips(&inside) && !never_holds(&inside), "long edge, inside: {:?}", inside.findings);
        let outside = turn(window.longest + TENTH_OF_A_HAIR);
        prop_assert!(never_holds(&outside) && !trips(&outside), "long edge, outside: {:?}", outside.findings);
    }

    /// Common practice, no source: an extension as long as the sleeve leaves the springs' tension as it was.
    #[test]
    fn property_equal_sleeve_and_extension_keep_the_tension(stack in stacks(), length in 0.005..0.1) {
        let bare = stack.statement();
        let mut fitted = bare.clone();
        fitted.abutment.sleeve = Length(length);
        fitted.abutment.extension = Length(length);
        let preload = |stated: &MachineStatement| {
            Machine::prepare(stated, square(24.0), Pace(0.5), LatchSetting::Set).expect("a valid machine").preload()
        };
        // Adding and taking away one length rounds in the last digits of some 0.1 m, against a squeeze of millimetres.
        prop_assert!((preload(&fitted) - preload(&bare)).abs() < 1e-9);
        // One without the other is felt at the springs' rate, 9 N/mm.
        fitted.abutment.extension = Length(length - 0.005);
        prop_assert!((preload(&fitted) - preload(&bare) - 45.0).abs() < 1e-9);
    }
}

/// Closed form: turned slowly, the cross block lifts h less what the springs' force squeezes the train by,
/// y = (k_f·h − F_0)/(k_f + k) with the rod held, so that the short edge is c_0 + t − y.
#[test]
fn closed_form_a_slow_machine_trips_where_the_trains_give_allows() {
    let stack = Stack {
        clearance: 0.070,
        travel: 0.006,
        lift: 0.030,
        law: Law::Cycloidal,
        free_length: 0.150,
        gap: 0.110,
        train: 1e6,
        pace: 2.0,
    };
    let stated = stack.statement();
    let window = stack.window(&stated, &[square(24.0)]);
    let (rate, preload) = (9000.0, 9000.0 * 0.040);
    let lift = (stack.train * stack.lift - preload) / (stack.train + rate);
    // 0.63 mm of give, told to a hundredth: at two turns a minute the block's inertia moves it by less than a micrometre.
    assert!((window.shortest - (0.070 + 0.006 - lift)).abs() < 3e-6, "{window:?}, block lifts {lift}");
    assert!((window.longest - 0.070).abs() < 1e-12);
}

#[test]
fn balance_prongs_that_travel_further_than_the_block_lifts_leave_no_window() {
    let mut stated = statement();
    stated.latch.trip = TripStatement::Prongs(Length(0.031));
    stated.abutment.bare_clearance = Some(Length(0.070));
    let casts = [Cast { sort: square(24.0), pace: Pace(0.5) }];
    let question = Question { stated: &stated, casts: &casts, terms: terms(), tolerance: 0.0 };
    assert!(window(&question).expect("measured").is_empty());
    let mut direct = stated.clone();
    direct.latch.trip = TripStatement::Lift(Length(0.014));
    assert_eq!(window(&Question { stated: &direct, ..question }), Err(Unknown::TripStated));
}

/// One question, one answer: the length that is told for a machine drawn about another is the one that is recommended for it by itself.
#[test]
fn property_the_length_of_a_machine_drawn_is_the_one_recommended_for_it() {
    let about = MachineStatement::demo();
    let casts = [18.0, 24.0].map(|size| Cast { sort: square(size), pace: Pace(0.14) });
    let asked = Question { stated: &about, casts: &casts, terms: terms(), tolerance: 0.0 };
    let found = About::new(&asked).expect("measured");
    let (mut lengths, mut none) = (Vec::new(), 0);
    for (clearance, travel, hold, friction) in [
        (0.0, 0.0, 1.0, 1.0),
        (0.6e-3, 0.0, 1.0, 1.0),
        (-0.4e-3, 0.3e-3, 1.0, 1.5),
        (0.0, -0.5e-3, 0.8, 1.0),
        (0.2e-3, 0.0, 0.1, 1.0),
    ] {
        let mut stated = about.clone();
        stated.abutment.bare_clearance = about.abutment.bare_clearance.map(|bare| Length(bare.0 + clearance));
        if let TripStatement::Prongs(own) = about.latch.trip {
            stated.latch.trip = TripStatement::Prongs(Length(own.0 + travel));
        }
        stated.mould.hold_down = about.mould.hold_down.map(|force| Force(hold * force.0));
        stated.rod.friction = Force(friction * about.rod.friction.0);
        // So short that it is not kept for lying inside its window.
        (stated.abutment.sleeve, stated.abutment.extension) = (Length(0.001), Length(0.001));
        let question = Question { stated: &stated, ..asked };
        let window = window(&question).expect("measured");
        let by_itself = recommend(&question, &window, &served(&question, &window)).expect("a machine");
        let drawn = found.middle(&question);
        let Ok(by_itself) = by_itself else {
            assert_eq!(drawn, None);
            none += 1;
            continue;
        };
        let (drawn, length) = (drawn.expect("a length"), by_itself.step.sleeve);
        assert!((drawn - length).abs() < 0.2e-3, "{drawn} {length}");
        lengths.push(length);
    }
    assert!(lengths.len() >= 3 && none > 0, "{lengths:?}, {none} without one");
}
