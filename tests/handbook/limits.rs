//! How a machine and its turn stand against each limit, worked out by hand: round numbers stand in the place of what was prepared
//! and solved, so that each value, bound and factor is known beforehand. Guards against slips.

use crate::support::working_set::{square, terms};
use approx::assert_relative_eq;
use latchstroke_core::limits::Unknown::{NeverFull, NotStated, Untrusted};
use latchstroke_core::limits::{Clocks, Does, Limit, Margin, Reading, Standing, State, Unknown};
use latchstroke_core::studies::judge::{Solid, Terms};
use latchstroke_core::turn::{Accuracy, Event, EventKind, Fill, Finding, Turn, solve};
use latchstroke_models::latch::LatchSetting::{Aside, Set};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::spring::{Spring, Wire};
use latchstroke_models::units::Pace;

/// All that the limits look at.
#[derive(Clone)]
struct Case {
    machine: Machine,
    turn: Turn,
    clocks: Clocks,
    solid: Solid,
    terms: Terms,
    reading: Reading,
}

/// A spring of so many N/m, free, solid and squeezed lengths (mm), wire and mean coil (mm) and stress (MPa).
fn spring(rate: f64, [free, solid, squeeze]: [f64; 3], [wire, coil]: [f64; 2], allowed: f64) -> Spring {
    Spring {
        rate,
        mass: 0.2,
        rest_squeeze: squeeze * 1e-3,
        free_length: Some(free * 1e-3),
        solid_length: Some(solid * 1e-3),
        bound_rate: 0.0,
        allowable_stress: Some(allowed * 1e6),
        wire: Some(Wire {
            diameter: wire * 1e-3,
            mean_coil: coil * 1e-3,
            active_coils: 10.0,
            total_coils: 12.0,
            shear_modulus: 80e9,
            density: 7850.0,
        }),
    }
}

impl Case {
    /// The demo machine's turn at 24 points with the latch set, which casts sound type, with round numbers put in.
    fn round() -> Self {
        let mut machine =
            Machine::prepare(&MachineStatement::demo(), square(24.0), Pace(0.2), Set).expect("valid");
        let mut turn = solve(&machine, Accuracy::default());
        machine.springs = vec![
            spring(5000.0, [100.0, 60.0, 16.0], [5.0, 40.0], 200.0),
            spring(1000.0, [90.0, 40.0, 10.0], [4.0, 30.0], 100.0),
        ];
        (machine.latch.trip_lift, machine.latch.clearance) = (0.012, Some(0.004));
        (machine.abutment.extension, machine.abutment.extension_outside) = (0.05, Some(0.024));
        (machine.abutment.room, machine.mould.hold_down) = (Some(0.005), Some(900.0));
        machine.cross_block.return_spring = Some((20.0, 0.0));
        (turn.peaks.spring_closing, turn.peaks.block_lift) = (0.004, 0.018);
        (turn.peaks.lifting_force, turn.hold_lifting_force) = (600.0, 500.0);
        turn.fill = turn.fill.map(|fill| Fill { entry: 0.0, full: 0.25, ..fill });
        let full = turn.events.iter_mut().find(|event| event.kind == EventKind::Full).expect("a full mould");
        full.before.air_mass = 0.02 * machine.mould.air_mass;
        let clocks = Clocks {
            lapping: 1.0,
            skin: 0.8,
            bulk: 1.2,
            splashed_film: 0.4,
            allowed: 0.4,
            skin_allowed: 3e-4,
        };
        let mut terms = Terms { accepted_air: Some(0.03), ..terms() };
        terms.acceptance.margin = 2.0;
        Self {
            machine,
            turn,
            clocks,
            solid: Solid { time: Some(0.5), shut: 0.75 },
            terms,
            reading: Reading::Still,
        }
    }

    fn changed(&self, change: impl FnOnce(&mut Self)) -> Standing {
        let mut case = self.clone();
        change(&mut case);
        let Self { machine, turn, clocks, solid, terms, reading } = &case;
        Standing::of((machine, turn), clocks, solid, terms, *reading)
    }

    /// One limit after a change.
    fn one(&self, limit: Limit, change: impl FnOnce(&mut Self)) -> Margin {
        *self.changed(change).margin(limit).expect("a limit of the list")
    }

    fn happens(&mut self, kind: EventKind) {
        let event = Event { kind, ..self.turn.events[0] };
        self.turn.events.push(event);
    }

    fn never_happens(&mut self, kind: EventKind) {
        self.turn.events.retain(|event| event.kind != kind);
    }
}

/// Limit, value and bound (SI) and their ratio, the reserve of two used up for the clocks. Of two springs the worse counts: the first
/// but for how tight it stands, 90 mm in a gap of 80. Stress by Wahl: C = 8, K = 31/28 + 0.615/8, 8·100 N·40 mm/(π·125 mm³).
const ROUND: [(Limit, Option<f64>, Option<f64>, f64); 16] = [
    (Limit::SpringsFit, Some(0.016), Some(0.040), 2.5),
    (Limit::SpringsTight, Some(0.090), Some(0.080), 1.125),
    (Limit::ExtensionClears, Some(0.024), Some(0.026), 26.0 / 24.0),
    (Limit::LatchHolds, Some(0.008), Some(0.012), 1.5),
    (Limit::CoilsApart, Some(0.020), Some(0.040), 2.0),
    (Limit::WireStress, Some(96.4824549e6), Some(200e6), 2.07291575),
    (Limit::SocketClears, Some(0.004), Some(0.005), 1.25),
    (Limit::LatchTrips, Some(0.012), Some(0.018), 1.5),
    (Limit::FollowerStays, None, None, f64::INFINITY),
    (Limit::MatrixHeld, Some(600.0), Some(900.0), 1.5),
    (Limit::Filled, Some(0.98), Some(0.98), f64::INFINITY),
    (Limit::Lapping, Some(0.25), Some(1.0), 2.0),
    (Limit::Skin, Some(0.25), Some(0.8), 1.6),
    (Limit::Bulk, Some(0.25), Some(1.2), 2.4),
    (Limit::TrappedAir, Some(0.02), Some(0.03), 1.5),
    (Limit::Solid, Some(0.5), Some(0.75), 1.5),
];

fn near(ours: Option<f64>, expected: Option<f64>, what: Limit) {
    assert_eq!(ours.is_some(), expected.is_some(), "{what:?}");
    if let (Some(ours), Some(expected)) = (ours, expected) {
        // Nine digits were written down.
        assert!((ours / expected - 1.0).abs() < 1e-8, "{what:?}: {ours} and not {expected}");
    }
}

#[test]
fn closed_form_each_limit_is_kept_as_often_as_its_bound_holds_what_is_taken() {
    let case = Case::round();
    for swapped in [false, true] {
        let standing = case.changed(|case| {
            if swapped {
                case.machine.springs.reverse();
                // The lasting force is the greater one just as well.
                (case.turn.peaks.lifting_force, case.turn.hold_lifting_force) = (500.0, 600.0);
            }
        });
        assert_eq!(standing.margins.len(), ROUND.len());
        for (limit, value, bound, factor) in ROUND {
            let margin = standing.margin(limit).expect("a limit of the list");
            near(margin.value, value, limit);
            near(margin.bound, bound, limit);
            assert!(
                margin.factor.total_cmp(&factor).is_eq() || (margin.factor / factor - 1.0).abs() < 1e-8,
                "{margin:?}"
            );
            assert_eq!(margin.state, State::Kept, "{limit:?}");
        }
        assert_eq!(standing.does(), Does::Yes);
        assert_relative_eq!(standing.factor().expect("known"), 26.0 / 24.0, max_relative = 1e-12);
        assert_eq!(standing.deciding().map(|margin| margin.limit), Some(Limit::ExtensionClears));
    }
}

/// A bound met to the last bit is kept; one bit less is not. A reserve of two splits what is missed from what is near.
#[test]
fn closed_form_a_limit_turns_at_its_bound_to_the_last_bit() {
    let case = Case::round();
    let held =
        |force: f64| case.one(Limit::MatrixHeld, |case| case.machine.mould.hold_down = Some(force)).state;
    assert_eq!([held(600.0), held(600.0_f64.next_down())], [State::Kept, State::Missed]);
    let skin = |clock: f64| case.one(Limit::Skin, |case| case.clocks.skin = clock);
    let states = [0.5, 0.5_f64.next_down(), 0.25, 0.25_f64.next_down()].map(|clock| skin(clock).state);
    assert_eq!(states, [State::Kept, State::Near, State::Near, State::Missed]);
    assert_eq!([0.5, 0.3, 0.2].map(|clock| skin(clock).is_in_the_way()), [false, true, true]);
    // What cannot be told, or is below nought, is missed altogether; what takes nothing up is kept without end.
    for none in [f64::NAN, -1.0] {
        assert_eq!((skin(none).factor, skin(none).state), (0.0, State::Missed));
    }
    let nothing = case.one(Limit::MatrixHeld, |case| {
        (case.turn.peaks.lifting_force, case.turn.hold_lifting_force) = (0.0, 0.0);
    });
    assert_eq!((nothing.factor, nothing.state), (f64::INFINITY, State::Kept));
}

/// What happened in the turn decides where the greatest lift and the bound are too near each other to tell.
#[test]
fn closed_form_latch_and_follower_go_by_what_happened() {
    let case = Case::round();
    let trips = |lift: f64, prongs: bool, clearance: f64| {
        case.one(Limit::LatchTrips, |case| {
            case.turn.peaks.block_lift = lift;
            case.machine.latch.clearance = Some(clearance);
            if !prongs {
                case.never_happens(EventKind::ProngsSpread);
            }
        })
    };
    assert_eq!((trips(0.011, true, 0.004).factor, trips(0.011, true, 0.004).state), (1.0, State::Kept));
    let stuck = trips(0.013, false, 0.004);
    assert!(stuck.state == State::Missed && stuck.factor > 0.999_999, "{stuck:?}");
    assert_relative_eq!(trips(0.006, false, 0.004).factor, 0.5, max_relative = 1e-12);
    // One that never holds has nothing to let go of.
    assert_eq!(trips(0.013, false, -0.001).state, State::Kept);
    let left = case.one(Limit::FollowerStays, |case| case.happens(EventKind::FollowerLeaves));
    assert_eq!((left.factor, left.state), (0.0, State::Missed));
    let aside = case.changed(|case| {
        case.machine.setting = Aside;
        case.machine.cross_block.return_spring = None;
    });
    for limit in [Limit::LatchTrips, Limit::LatchHolds, Limit::FollowerStays] {
        assert_eq!(aside.margin(limit), None);
    }
}

/// A mould that is not full is missed by the share that it lacks, however little, and says nothing of what hangs on a full one.
#[test]
fn closed_form_a_mould_that_is_not_full_stands_by_its_share() {
    let case = Case::round();
    let at = |filled: f64| case.changed(|case| (case.turn.fill, case.turn.filled) = (None, filled));
    assert_relative_eq!(at(0.49).factor_of(|limit| limit == Limit::Filled), 0.5, max_relative = 1e-12);
    for filled in [0.98, 0.99] {
        let margin = *at(filled).margin(Limit::Filled).expect("of the list");
        assert!(margin.state == State::Missed && margin.factor > 0.999_999, "{margin:?}");
        assert_eq!((margin.value, margin.bound), (Some(filled), Some(0.98)));
    }
    for limit in [Limit::Lapping, Limit::Skin, Limit::Bulk, Limit::TrappedAir] {
        assert_eq!(at(0.49).margin(limit).map(|margin| margin.state), Some(State::NotKnown(NeverFull)));
    }
    assert_eq!(at(0.49).margin(Limit::MatrixHeld).map(|margin| margin.state), Some(State::Kept));
    assert_eq!(at(0.49).does(), Does::No);
}

fn unknown(standing: &Standing, why: Unknown) -> Vec<Limit> {
    let mut limits: Vec<Limit> =
        standing.margins.iter().filter(|m| m.state == State::NotKnown(why)).map(|m| m.limit).collect();
    limits.sort();
    limits
}

#[test]
fn closed_form_what_is_not_known_says_why_and_stands_last() {
    let case = Case::round();
    let open = |case: &mut Case| case.turn.findings.push(Finding::EnergyOpen { residual: 0.1 });
    let untrusted = case.changed(open);
    // All but those of the machine at rest and the cooling.
    let at_rest =
        [Limit::SpringsFit, Limit::SpringsTight, Limit::ExtensionClears, Limit::LatchHolds, Limit::Solid];
    let mut others: Vec<Limit> =
        Limit::ALL.iter().copied().filter(|limit| !at_rest.contains(limit)).collect();
    others.sort();
    assert_eq!(unknown(&untrusted, Untrusted), others);
    assert_eq!((untrusted.does(), untrusted.factor()), (Does::NotKnown, None));
    assert!(untrusted.margins.is_sorted_by_key(|margin| !margin.is_known()));
    // What is missed at rest is missed, whatever the turn.
    let lost = case.changed(|case| {
        open(case);
        case.solid.time = None;
    });
    assert_eq!((lost.does(), lost.factor()), (Does::No, Some(0.0)));
    let bare = case.changed(|case| {
        let Case { machine, terms, .. } = case;
        for spring in &mut machine.springs {
            (spring.free_length, spring.solid_length, spring.allowable_stress, spring.wire) =
                (None, None, None, None);
        }
        (machine.latch.clearance, machine.abutment.extension_outside) = (None, None);
        (machine.abutment.room, machine.mould.hold_down, terms.accepted_air) = (None, None, None);
    });
    let mut none = vec![
        Limit::SpringsFit,
        Limit::ExtensionClears,
        Limit::LatchHolds,
        Limit::CoilsApart,
        Limit::WireStress,
        Limit::SocketClears,
        Limit::MatrixHeld,
        Limit::TrappedAir,
    ];
    none.sort();
    assert_eq!((unknown(&bare, NotStated), bare.does()), (none, Does::Yes));
    assert_eq!(bare.margin(Limit::SpringsTight).map(|margin| margin.factor), Some(f64::INFINITY));
    // No extension, nothing that must go through a spring.
    let bald = case.one(Limit::ExtensionClears, |case| case.machine.abutment.extension = 0.0);
    assert_eq!((bald.value, bald.state), (None, State::NotKnown(NotStated)));
}

/// The other readings of the metal on the face: a splashed film has its own clock; stirred metal laps by its mean heat alone, here
/// half solid.
#[test]
fn closed_form_readings_change_skin_and_lapping_alone() {
    let mut case = Case::round();
    let half = case.machine.metal.pot_heat - 0.5 * case.machine.metal.melt_heat;
    for event in case.turn.events.iter_mut().filter(|event| event.kind == EventKind::Full) {
        event.before.heat_given = half;
    }
    let read = |reading: Reading, solid: f64| {
        let standing = case.changed(|case| (case.reading, case.terms.acceptance.solid) = (reading, solid));
        [Limit::Lapping, Limit::Skin, Limit::Bulk].map(|limit| standing.factor_of(|of| of == limit)).to_vec()
    };
    assert_eq!(read(Reading::Still, 0.4), [2.0, 1.6, 2.4]);
    assert_eq!(read(Reading::Splashed, 0.4), [2.0, 0.8, 2.4]);
    assert_eq!(read(Reading::Stirred, 0.4), [0.0, 1.6, 2.4]);
    assert_eq!(read(Reading::Stirred, 0.6), [f64::INFINITY, 1.6, 2.4]);
    // Nothing solid is asked for, and nothing is: the metal is still above its liquidus.
    for event in &mut case.turn.events {
        event.before.heat_given = 0.0;
    }
    let standing = case.changed(|case| (case.reading, case.terms.acceptance.solid) = (Reading::Stirred, 0.0));
    assert_eq!(standing.factor_of(|of| of == Limit::Lapping).to_bits(), f64::INFINITY.to_bits());
}
