//! One question, one answer: every study that says whether a cast will do says what the judge says, and every limit has its say.

use crate::support::any_machine::{Job, near};
use crate::support::working_set;
use latchstroke_core::limits::{Does, Freezings, Limit, Standing, State};
use latchstroke_core::studies::judge::{Cast, Judgement, Terms, Verdict, judge, stand, verdict};
use latchstroke_core::studies::preload::{self, Nut};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::sleeve;
use latchstroke_core::studies::tolerance::Case;
use latchstroke_core::turn::{Accuracy, Finding, Stop, solve, solve_for_limits};
use latchstroke_models::latch::LatchSetting::{Aside, Set};
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::units::{Force, Length, Pressure};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use rayon::prelude::*;

fn jobs(count: usize) -> Vec<Job> {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[17; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    (0..count).map(|_| near().new_tree(&mut runner).expect("a machine").current()).collect()
}

/// Every third machine has a matrix that is held by next to nothing, so that limits other than the clocks decide too.
fn held(job: &Job, n: usize) -> MachineStatement {
    let mut stated = job.stated.clone();
    stated.mould.hold_down = n.is_multiple_of(3).then_some(Force(250.0));
    stated
}

fn deciding(judgement: &Judgement) -> Option<Limit> {
    judgement.deciding().map(|margin| margin.limit)
}

/// Asserts that a list of a turn followed for its limits alone is that of the whole turn: what is in the mould is scaled and scaled
/// back between legs, which may move the last digit of it.
fn alike(whole: &Standing, list: &Standing, n: usize) {
    assert_eq!(whole.margins.len(), list.margins.len(), "machine {n}");
    for (a, b) in whole.margins.iter().zip(&list.margins) {
        assert_eq!((a.limit, a.state), (b.limit, b.state), "machine {n}");
        let same = a.factor.total_cmp(&b.factor).is_eq() || (a.factor / b.factor - 1.0).abs() < 1e-14;
        assert!(same, "machine {n}: {a:?} and {b:?}");
    }
}

/// Three hundred random machines and casts, through the library: the verdict of the judge, of a setting of the nut as it is, of a
/// drawn machine with nothing drawn, and of the two lists taken by themselves; and the sleeve's own word on the latch set.
#[test]
fn property_every_study_says_what_the_judge_says() {
    let terms = working_set::terms();
    let counts: Vec<Verdict> = jobs(300)
        .par_iter()
        .enumerate()
        .map(|(n, job)| {
            let stated = held(job, n);
            let cast = Cast { sort: job.sort, pace: job.pace };
            let judgement = judge(&stated, cast, &terms).expect("a valid machine");
            let machine = |setting| Machine::prepare(&stated, job.sort, job.pace, setting).expect("valid");
            let lists = [Aside, Set].map(|setting| stand(&machine(setting), cast, &Freezings::on(&terms)));
            assert_eq!(judgement.verdict, Verdict::of(&lists[0], &lists[1]), "machine {n}");
            for (whole, list) in judgement.standings.iter().zip(&lists) {
                alike(whole, list, n);
            }
            let nut = Nut::of(&stated, cast).expect("a nut");
            let question = preload::Question { stated: &stated, cast, terms };
            let setting = preload::at_advance(&question, &nut, 0.0).expect("as it is");
            assert_eq!(setting.judgement.verdict, judgement.verdict, "machine {n}");
            assert_eq!(deciding(&setting.judgement), deciding(&judgement), "machine {n}");
            let drawn = Case { machine: stated.clone(), cast, terms, pacing: Pacing::Fixed }
                .outcome()
                .expect("as it is");
            assert_eq!(drawn.verdict, judgement.verdict, "machine {n}");
            let alone = verdict(&stated, cast, &terms, Pacing::Fixed).expect("a valid machine");
            assert_eq!(alone, judgement.verdict, "machine {n}");
            let question = sleeve::Question { stated: &stated, casts: &[cast], terms, tolerance: 0.0 };
            let step = sleeve::as_stated(&question).expect("as it is");
            let does = judgement.standing(Set).does() == Does::Yes;
            assert_eq!(step.casts[0].will_do(), does, "machine {n}");
            // The verdict never stands beside a limit that is missed.
            if let Some(setting) = judgement.verdict.setting() {
                assert!(judgement.standing(setting).in_the_way().next().is_none(), "machine {n}");
            }
            judgement.verdict
        })
        .collect();
    let count = |verdict: Verdict| counts.iter().filter(|v| **v == verdict).count();
    // The test says something only where each answer comes up often.
    for verdict in [Verdict::LeaveAside, Verdict::Set, Verdict::Neither] {
        assert!(count(verdict) >= 20, "{verdict:?} {} times", count(verdict));
    }
    assert_eq!(count(Verdict::NotKnown), 0);
}

/// A turn for its limits alone is not followed home, and says nothing of coming home; it is followed to its end where a limit hangs
/// on it: with a follower that a spring holds on the cam.
#[test]
fn property_a_turn_for_its_limits_stops_once_they_are_known() {
    let terms = Accuracy::default();
    let machine = working_set::machine(12.0, 60.0, Set);
    let (whole, short) = (solve(&machine, terms), solve_for_limits(&machine, terms));
    assert_eq!((whole.stop, short.stop), (Stop::FullTurn, Stop::Answered));
    assert!(short.steps < whole.steps, "{} and {} steps", short.steps, whole.steps);
    assert_eq!(whole.events[..short.events.len()], short.events);
    assert_eq!((whole.fill, whole.hold_pressure), (short.fill, short.hold_pressure));
    assert_eq!(whole.peaks.lifting_force.to_bits(), short.peaks.lifting_force.to_bits());
    assert_eq!(whole.peaks.spring_closing.to_bits(), short.peaks.spring_closing.to_bits());
    assert!(!short.findings.iter().any(|finding| matches!(finding, Finding::NotHome { .. })));
    let mut held = machine;
    held.cross_block.return_spring = Some((400.0, 2000.0));
    assert_eq!(solve_for_limits(&held, terms).stop, Stop::FullTurn);
}

/// The working set at 24 pt and 12 turns/min, which wants the latch and keeps every limit with it, spoilt in one way at a time.
fn spoilt(limit: Limit) -> (MachineStatement, Terms) {
    let mut stated = MachineStatement::demo();
    let mut terms = working_set::terms();
    match limit {
        Limit::SpringsFit => stated.springs[0].solid_length = Some(Length(0.130)),
        Limit::SpringsTight => stated.abutment.extension = Length(stated.abutment.extension.0 + 0.045),
        Limit::CoilsApart => stated.springs[0].solid_length = Some(Length(0.100)),
        Limit::LatchTrips => {
            stated.abutment.sleeve = Length(0.040);
            stated.abutment.extension = Length(0.040);
        }
        Limit::LatchHolds => {
            stated.abutment.sleeve = Length(0.080);
            stated.abutment.extension = Length(0.080);
        }
        Limit::WireStress => stated.springs[0].allowable_stress = Some(Pressure(300e6)),
        Limit::FollowerStays => {
            stated.cross_block.closure = latchstroke_models::cross_block::Closure::OneWay {
                return_force: Force(20.0),
                return_rate: latchstroke_models::units::Stiffness(0.0),
            };
        }
        Limit::SocketClears => {
            stated.abutment.socket = Some(Length(0.017));
            stated.abutment.rod_end = Some(Length(stated.abutment.sleeve.0 + 0.017 + 0.005));
        }
        Limit::ExtensionClears => stated.abutment.extension_outside = Some(Length(0.036)),
        Limit::Filled => stated.mould.priming_volume = latchstroke_models::units::Volume(9e-6),
        Limit::Lapping => stated.metal.pot_temperature = working_set::celsius(272.0),
        Limit::Skin => {
            terms.acceptance.skin = 0.05e-3;
            stated.mould.heat_transfer = latchstroke_models::units::HeatTransfer(100e3);
        }
        Limit::Bulk => {
            // Metal that hangs together almost as soon as it begins to freeze, and a caster who minds neither laps nor skin.
            stated.metal.pot_temperature = working_set::celsius(278.0);
            stated.metal.sealing_fraction = 0.02;
            terms.acceptance.solid = 0.5;
            terms.acceptance.skin = 3.9e-3;
        }
        Limit::MatrixHeld => stated.mould.hold_down = Some(Force(600.0)),
        Limit::TrappedAir => terms.accepted_air = Some(0.01),
        Limit::Solid => terms.shut = working_set::degrees(40.0),
    }
    (stated, terms)
}

/// Every limit of the list can turn the verdict by itself, and is the one that says so.
#[test]
fn property_every_limit_has_its_say() {
    let cast = Cast { sort: working_set::square(24.0), pace: latchstroke_models::units::Pace(0.2) };
    let sound = judge(&MachineStatement::demo(), cast, &working_set::terms()).expect("valid");
    assert_eq!(sound.verdict, Verdict::Set);
    for &limit in Limit::ALL {
        let (stated, terms) = spoilt(limit);
        let judgement = judge(&stated, cast, &terms).expect("valid");
        let stands = |standing: &Standing| {
            standing.margin(limit).is_some_and(|m| m.state == State::Missed || m.state == State::Near)
        };
        assert_eq!(judgement.verdict, Verdict::Neither, "{limit:?}");
        assert!(stands(judgement.standing(Set)), "{limit:?}: {:?}", judgement.standing(Set));
    }
}

/// Whatever the interface coefficient, from 5 to 45 kW/m²K, the latch is wanted from about the same size: the pace at which a size
/// cools and the time in which it laps move together. The demo machine, f_lap 0, margin 1.2: between 18 and 24 points.
#[test]
fn property_the_size_that_wants_the_latch_hardly_moves_with_the_interface() {
    let (stated, terms) = (MachineStatement::demo(), working_set::terms());
    let job = latchstroke_core::studies::job::Job {
        stated: &stated,
        terms: &terms,
        fastest: latchstroke_models::units::Pace(0.5),
        sorts: &[],
        proportion: 1.0,
        paces: None,
    };
    let sizes: Vec<f64> = job
        .by_film()
        .into_iter()
        .map(|threshold| match threshold.size {
            latchstroke_core::roots::Onset::From(body) => body / latchstroke_models::units::POINT,
            other => panic!("{other:?}"),
        })
        .collect();
    assert!(sizes.iter().all(|size| (18.0..24.0).contains(size)), "{sizes:?}");
    assert!(sizes[0] / sizes[1] < 1.2 && sizes[1] < sizes[0], "{sizes:?}");
}
