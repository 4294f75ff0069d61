//! What a measured trace tells, against machines whose values are known: traces synthesised from solved turns, with stated scatter.

use latchstroke_core::fit::curve::{Curve, Part};
use latchstroke_core::fit::trace::{Answer, Candidate, Gauge, Measured, Question, Refused};
use latchstroke_core::models::contact::DampingStatement;
use latchstroke_core::models::spring::{PreloadStatement, RateStatement};
use latchstroke_core::models::units::{Damping, Force, Length, POINT, Pace, Stiffness};
use latchstroke_core::studies::distribution::Distribution;
use latchstroke_core::studies::judge::{Cast, Terms};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::tolerance::Case;
use latchstroke_core::{Accuracy, Fault, LatchSetting, Machine, MachineStatement, Sort, solve_traced};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};

/// How many machines are drawn.
const MACHINES: u32 = 12;
const PACE: f64 = 0.5;
/// How many frames a second a telephone takes.
const FRAMES: f64 = 240.0;
/// A reading taken from a picture, m.
const SCATTER: f64 = 0.1e-3;

fn candidate(path: &str, now: f64, factor: f64) -> Candidate {
    Candidate { path: path.to_owned(), now, prior: Distribution::LogNormal { median: now, factor } }
}

/// What may be fitted: rate and preload of the springs, trip, slip, friction, and the loss of the nozzle.
fn candidates() -> Vec<Candidate> {
    vec![
        candidate("rate", 10e3, 1.1),
        candidate("preload", 350.0, 1.25),
        candidate("trip", 0.25 * 0.0254, 1.6),
        candidate("clearance", 25e-6, 2.0),
        candidate("friction", 20.0, 3.0),
        candidate("drag", 30.0, 3.0),
        candidate("loss", 1.0, 2.0),
        candidate("train", 4e6, 1.6),
    ]
}

fn case(values: &[(&str, f64)]) -> Result<Case, Vec<Fault>> {
    let mut machine = MachineStatement::demo();
    let spring = &mut machine.springs[0];
    spring.rate = RateStatement::Rate(Stiffness(10e3));
    spring.preload = PreloadStatement::Force(Force(350.0));
    machine.cross_block.train_damping = DampingStatement::Coefficient(Damping(1500.0));
    for &(path, value) in values {
        let spring = &mut machine.springs[0];
        match path {
            "rate" => spring.rate = RateStatement::Rate(Stiffness(value)),
            "preload" => spring.preload = PreloadStatement::Force(Force(value)),
            "trip" => {
                machine.latch.trip = latchstroke_core::models::latch::TripStatement::Prongs(Length(value));
            }
            "clearance" => machine.piston.clearance = Length(value),
            "friction" => machine.rod.friction = Force(value),
            "drag" => machine.rod.drag = Damping(value),
            "loss" => machine.nozzle.loss = value,
            "train" => machine.cross_block.train_stiffness = Stiffness(value),
            _ => return Err(Vec::new()),
        }
    }
    let sort = Sort { body: Length(24.0 * POINT), set: Length(24.0 * POINT) };
    let cast = Cast { sort, pace: Pace(PACE) };
    Ok(Case { machine, cast, terms: Terms::default(), pacing: Pacing::Fixed })
}

fn normal(draws: &mut ChaCha8Rng) -> f64 {
    let (u, v): (f64, f64) = (draws.random(), draws.random());
    (-2.0 * (1.0 - u).ln()).sqrt() * (std::f64::consts::TAU * v).cos()
}

/// A trace of the piston of a machine with these values, filmed over so many turns.
fn trace(values: &[(&str, f64)], pace: f64, turns: f64, draws: &mut ChaCha8Rng) -> Measured {
    let of = case(values).expect("values");
    let machine =
        Machine::prepare(&of.machine, of.cast.sort, Pace(pace), LatchSetting::Set).expect("a machine");
    let curve = Curve::of(
        Part::Piston,
        &machine,
        &solve_traced(&machine, Accuracy { tolerance: 1e-6, ..Accuracy::default() }),
    );
    let start: f64 = draws.random::<f64>() / pace;
    let readings = (0..100_000)
        .map(|frame| f64::from(frame) / FRAMES)
        .take_while(|t| *t < turns / pace)
        .map(|t| (t, 0.013 + curve.at(t + start) + SCATTER * normal(draws)))
        .collect();
    Measured { part: Part::Piston, readings, gauge: Gauge::Known(1.0) }
}

fn fitted(measured: &Measured, candidates: &[Candidate]) -> Result<Answer, Refused> {
    Question { vary: &case, candidates, measured, setting: LatchSetting::Set, pace: (PACE, 0.1) }.answer()
}

/// Machines whose values are drawn from what is known beforehand, filmed by a telephone for a turn and a half. Where errors are as
/// stated, 19 of 20 intervals of 1.96 standard errors hold the truth. Twelve machines are what a test has time for; with
/// some 57 intervals at least 85 in 100 hold it in 99 draws of a hundred. Of the intervals of the first 24 machines 92 in 100 did.
#[test]
fn reference_known_values_come_back_within_their_stated_errors() {
    let candidates = candidates();
    let (mut all, mut held) = (0_u32, 0_u32);
    for seed in 0..u64::from(MACHINES) {
        let mut draws = ChaCha8Rng::seed_from_u64(seed);
        let truth: Vec<f64> =
            candidates.iter().map(|c| c.prior.away(normal(&mut draws).clamp(-2.5, 2.5))).collect();
        let values: Vec<(&str, f64)> =
            candidates.iter().map(|c| c.path.as_str()).zip(truth.iter().copied()).collect();
        let pace = PACE * (1.0 + 0.03 * normal(&mut draws));
        let measured = trace(&values, pace, 1.6, &mut draws);
        let answer = fitted(&measured, &candidates).unwrap_or_else(|why| panic!("seed {seed}: {why:?}"));
        // The scatter put in comes back, and so does the pace.
        assert!((answer.scatter / SCATTER - 1.0).abs() < 0.15, "seed {seed}: {}", answer.scatter);
        assert!((answer.pace.0 - pace).abs() < 4.0 * answer.pace.1, "seed {seed}: {:?}", answer.pace);
        for told in &answer.told {
            let prior = candidates[told.candidate].prior;
            let off = (prior.deviations(told.value) - prior.deviations(truth[told.candidate])) / told.left;
            all += 1;
            held += u32::from(off.abs() < 1.96);
        }
        // The trip and the slip show in every trace, the give of the lever train in none.
        let is_told = |path: &str| answer.told.iter().any(|told| candidates[told.candidate].path == path);
        assert!(is_told("trip") && is_told("clearance") && !is_told("train"), "seed {seed}");
    }
    let share = f64::from(held) / f64::from(all);
    println!("{held} of {all}");
    assert!(all > 3 * MACHINES && share >= 0.85, "{held} of {all}");
}

/// With little to go by, what was known beforehand stays: six readings tell nothing; some over a quarter of a turn leave the values
/// near to where they stood; a part that stands still tells nothing; and what is no machine's way is refused.
#[test]
fn property_little_data_moves_little_or_nothing() {
    let candidates = candidates();
    let mut draws = ChaCha8Rng::seed_from_u64(99);
    let whole = trace(&[("friction", 60.0), ("trip", 8e-3)], PACE, 1.6, &mut draws);
    let few = Measured { readings: whole.readings[..6].to_vec(), ..whole.clone() };
    assert!(matches!(fitted(&few, &candidates), Err(Refused::TooFew(6))));
    let still = whole.readings.iter().map(|(t, _)| (*t, SCATTER * normal(&mut draws))).collect();
    let still = Measured { readings: still, ..whole.clone() };
    assert!(matches!(fitted(&still, &candidates), Err(Refused::Still(..))));
    let wave =
        whole.readings.iter().map(|(t, _)| (*t, 6e-3 * (9.0 * t).sin() + SCATTER * normal(&mut draws)));
    let wave = Measured { readings: wave.collect(), ..whole.clone() };
    assert!(matches!(fitted(&wave, &candidates), Err(Refused::Unlike(_) | Refused::Unsolved)));
    // Every eightieth reading, three a second, with ten times the scatter.
    let thin = whole.readings.iter().step_by(40).map(|(t, y)| (*t, y + 10.0 * SCATTER * normal(&mut draws)));
    let thin = Measured { readings: thin.collect(), ..whole };
    if let Ok(answer) = fitted(&thin, &candidates) {
        assert!(answer.told.len() < 3, "{:?}", answer.told);
    }
}
