//! How sure a verdict is called, against machines drawn from the very spreads that it rests on, and what casts do to it.

use latchstroke_core::studies::job::Job;
use latchstroke_core::studies::judge::{Cast, Verdict};
use latchstroke_core::studies::odds::{Odds, Question};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::tolerance::Input;
use latchstroke_core::studies::watch::Unwatched;
use latchstroke_scenario::stated::{self, tolerance};
use latchstroke_scenario::{Override, Scenario, read};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};

const LEAST: &str = include_str!("../../scenarios/first_evening.toml");
/// Owners, and machines each of them may really have.
const OWNERS: u64 = 20;
const MACHINES: usize = 10;

/// The least scenario as some other owner would have it: what calipers tell is another machine's.
fn owner(seed: u64) -> Scenario {
    let mut draw = ChaCha8Rng::seed_from_u64(seed);
    let mut within = |low: f64, high: f64| low + (high - low) * draw.random::<f64>();
    let set = [
        format!("cam.lift = {:.2} mm", within(27.0, 36.0)),
        format!("cam.rise = {:.0} deg", within(70.0, 100.0)),
        format!("spring[1].rate = {:.2} N/mm", within(6.0, 13.0)),
        format!("spring[1].preload = {:.0} N", within(200.0, 500.0)),
        format!("rod.mass = {:.2} kg", within(0.8, 2.0)),
        format!("piston.diameter = {:.2} mm", within(14.0, 20.0)),
        format!("nozzle.bore = {:.2} mm", within(2.2, 3.2)),
        format!("latch.prong_travel = {:.1} mm", within(4.0, 10.0)),
        format!("job.body = {:.0} pt", within(10.0, 36.0)),
    ];
    let set: Vec<Override> = set.iter().map(|text| Override::parse(text)).collect();
    let without_sizes = LEAST.replace(", sizes = [\"14 pt\", \"18 pt\", \"24 pt\", \"30 pt\"]", "");
    read("owner.toml", &without_sizes, &set).unwrap_or_else(|found| panic!("{found}"))
}

/// The verdict told for the scenario's own size at its real pace, and machines drawn of what it does not know.
fn judged(scenario: &Scenario) -> (Verdict, Odds, Odds, Vec<Input>) {
    let (machine, terms, own) = (stated::machine(scenario), stated::terms(scenario), stated::cast(scenario));
    let fastest = stated::fastest_pace(scenario);
    let sorts = [own.sort];
    let job = Job { stated: &machine, terms: &terms, fastest, sorts: &sorts, proportion: 1.0, paces: None };
    let pace = job.cast_at().pace(&machine, own.sort).unwrap_or_else(|faults| panic!("{faults:?}"));
    let cast = Cast { sort: own.sort, pace };
    let told = latchstroke_core::studies::judge::judge(&machine, cast, &terms).expect("a machine").verdict;
    let inputs = tolerance::inputs(scenario);
    let vary = |values: &[(&str, f64)]| tolerance::varied(scenario, values, Pacing::Fixed);
    let pacing = Pacing::Real { fastest };
    let question = Question { vary: &vary, inputs: &inputs, believed: None, casts: &[cast], pacing };
    let draw = |count, seed| question.draw(count, seed, &Unwatched).expect("nobody calls it off");
    (told, draw(128, 1), draw(MACHINES, 4242), inputs)
}

#[test]
fn property_what_is_called_sure_is_wrong_no_more_often_than_said() {
    let (mut expected, mut kept, mut all) = (0.0, 0.0, 0.0);
    let (mut sure, mut sure_and_wrong) = (0, 0);
    for seed in 0..OWNERS {
        let (told, odds, real, _) = judged(&owner(seed));
        let share = odds.share(0, told).value();
        for draw in &real.draws {
            let Some(verdict) = draw.answer.as_ref().map(|verdicts| verdicts[0]) else { continue };
            let right = verdict == told;
            expected += share;
            kept += f64::from(u8::from(right));
            all += 1.0;
            if share >= 0.95 {
                sure += 1;
                sure_and_wrong += i32::from(!right);
            }
        }
    }
    // Two hundred machines with chances near 0.8: the count is off by no more than three deviations of √(200·0.8·0.2).
    assert!(all > 190.0, "{all}");
    assert!((kept - expected).abs() < 17.0, "{kept} of {all} hold, {expected} were said to");
    assert!(sure >= 20, "{sure}");
    // One in twenty of them, and three deviations more.
    let most = 0.05 * f64::from(sure) + 3.0 * (f64::from(sure) * 0.05 * 0.95).sqrt();
    assert!(f64::from(sure_and_wrong) <= most, "{sure_and_wrong} of {sure} surely told are wrong");
}

#[test]
fn property_knowing_what_would_settle_most_takes_doubt_away() {
    let scenario = owner(3);
    let (told, odds, _, inputs) = judged(&scenario);
    assert!((0.2..0.97).contains(&odds.share(0, told).value()), "there is doubt to take away");
    let best =
        (0..inputs.len()).max_by(|&a, &b| odds.settled(0, a).total_cmp(&odds.settled(0, b))).expect("inputs");
    // Fixed at each quarter of its spread in turn, the mean of the doubt that is left is what was foretold.
    let left: f64 = [0.125, 0.375, 0.625, 0.875]
        .into_iter()
        .map(|share| {
            let value = inputs[best].at(share);
            let known = scenario.with_values(&[(&inputs[best].path, value)]).expect("a key");
            let others: Vec<Input> = inputs.iter().filter(|i| i.path != inputs[best].path).cloned().collect();
            let own = stated::cast(&known);
            let vary = |values: &[(&str, f64)]| tolerance::varied(&known, values, Pacing::Fixed);
            let pacing = Pacing::Real { fastest: stated::fastest_pace(&known) };
            let casts = [Cast { sort: own.sort, pace: own.pace }];
            let question = Question { vary: &vary, inputs: &others, believed: None, casts: &casts, pacing };
            question.draw(128, 9, &Unwatched).expect("nobody calls it off").doubt(0) / 4.0
        })
        .sum();
    let (doubt, settled) = (odds.doubt(0), odds.settled(0, best));
    assert!(settled > 0.1 * doubt, "{settled} of {doubt}");
    assert!((doubt - left - settled).abs() < 0.12, "{doubt} − {left} against {settled}");
}
