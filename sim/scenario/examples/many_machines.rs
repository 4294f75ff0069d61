//! Many random machines solved: does every turn end well, can it be trusted, and does the verdict hang on the tolerance?
//!
//! `cargo run --release -p latchstroke-scenario --example many_machines -- 100000`
//!
//! A machine is the demo with some of its values drawn anew, in one of three ways: all within 30 % of what they are; a few of them
//! anywhere within the stated ranges, evenly in the logarithm where a range does not reach nought; or one to three of them at an
//! end of their range. Each is judged at the default tolerance and at a tenth of it. Machine `n` is the same in every run. The
//! exit code is 1 if anything was found that should not be, and each such machine is printed as what to `--set`.

use latchstroke_core::studies::judge::{Judgement, Terms, judge};
use latchstroke_core::{Accuracy, Verdict};
use latchstroke_scenario::catalogue::Range;
use latchstroke_scenario::{Quantity, Scenario, read, stated};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt as _, SeedableRng as _};
use std::panic::catch_unwind;
use std::process::ExitCode;

const DEMO: &str = include_str!("../../../scenarios/large_initials.toml");
/// How near its limit a machine may stand for its verdict to hang on the tolerance, as a share.
const AT_THE_EDGE: f64 = 1e-3;

/// A value that can be drawn anew: its key, what it is, and its range.
struct Value {
    key: String,
    stated: f64,
    range: (f64, f64),
}

/// The demo's numbers, each with its stated range.
fn values(scenario: &Scenario) -> Vec<Value> {
    let mut all = Vec::new();
    for section in scenario.sections() {
        for item in &section.items {
            let (Some(quantity), Some(Range { low, high, .. })) = (item.single(), item.entry.range) else {
                continue;
            };
            let end = |text: &str| Quantity::parse(text, quantity.dimension).map(|end| end.si);
            if let (Ok(low), Ok(high)) = (end(low), end(high)) {
                let key = format!("{}.{}", section.name(), item.entry.key);
                all.push(Value { key, stated: quantity.si, range: (low.min(high), high.max(low)) });
            }
        }
    }
    all
}

/// The values of machine `n`.
fn drawn(values: &[Value], n: u64) -> Vec<(&str, f64)> {
    let mut random = ChaCha8Rng::seed_from_u64(n);
    if n.is_multiple_of(3) {
        let near = |value: &Value| value.stated * (0.7 + 0.6 * random.random::<f64>());
        let drawn: Vec<f64> = values.iter().map(near).collect();
        return values.iter().map(|value| value.key.as_str()).zip(drawn).collect();
    }
    let (most, at_ends) = if n % 3 == 1 { (6, false) } else { (3, true) };
    let count = random.random_range(1..=most);
    let mut one = |_| {
        let value = values.get(random.random_range(0..values.len()))?;
        let (low, high) = value.range;
        let share = if at_ends { f64::from(u8::from(random.random_bool(0.5))) } else { random.random() };
        let drawn = if low > 0.0 { low * (high / low).powf(share) } else { low + (high - low) * share };
        Some((value.key.as_str(), drawn))
    };
    (0..count).filter_map(&mut one).collect()
}

/// What came of one machine.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Outcome {
    /// There is no such machine.
    Refused,
    /// Solved, to be trusted, and the same verdict at either tolerance.
    Good,
    /// The verdict hangs on the tolerance, at the edge of a limit.
    AtTheEdge,
    /// The verdict hangs on the tolerance away from any limit.
    Differs,
    /// No verdict: a turn that cannot be trusted.
    NotKnown,
    /// A figure that is not finite.
    NotFinite,
    /// A panic.
    Panic,
}

const OUTCOMES: [(Outcome, &str); 7] = [
    (Outcome::Refused, "no such machine"),
    (Outcome::Good, "solved, trusted, same verdict ten times more closely"),
    (Outcome::AtTheEdge, "another verdict, within 0.1 % of a limit"),
    (Outcome::Differs, "another verdict, away from any limit"),
    (Outcome::NotKnown, "not known: a turn that cannot be trusted"),
    (Outcome::NotFinite, "a figure that is not finite"),
    (Outcome::Panic, "panics"),
];

fn is_finite(judgement: &Judgement) -> bool {
    [&judgement.aside, &judgement.set].iter().all(|turn| {
        let peaks = &turn.peaks;
        [turn.energy_residual, turn.filled, peaks.cavity_pressure].iter().all(|figure| figure.is_finite())
            && turn.events.iter().all(|event| event.time.is_finite())
    }) && !format!("{judgement:?}").contains("NaN")
}

/// How near the least limit of either setting stands to where it is just kept, as a share.
fn from_the_edge(judgement: &Judgement) -> f64 {
    let factors = judgement.standings.iter().filter_map(latchstroke_core::Standing::factor);
    factors.map(|factor| (factor - 1.0).abs()).fold(f64::INFINITY, f64::min)
}

fn outcome(demo: &Scenario, values: &[(&str, f64)]) -> Outcome {
    let Some(scenario) = demo.with_values(values) else { return Outcome::Refused };
    let (machine, terms, cast) =
        (stated::machine(&scenario), stated::terms(&scenario), stated::cast(&scenario));
    let Ok(usual) = judge(&machine, cast, &terms) else { return Outcome::Refused };
    let closely = Accuracy { tolerance: terms.accuracy.tolerance / 10.0, ..terms.accuracy };
    let Ok(close) = judge(&machine, cast, &Terms { accuracy: closely, ..terms }) else {
        return Outcome::Refused;
    };
    if !is_finite(&usual) || !is_finite(&close) {
        Outcome::NotFinite
    } else if usual.verdict == Verdict::NotKnown {
        Outcome::NotKnown
    } else if usual.verdict == close.verdict {
        Outcome::Good
    } else if from_the_edge(&usual).min(from_the_edge(&close)) < AT_THE_EDGE {
        Outcome::AtTheEdge
    } else {
        Outcome::Differs
    }
}

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1).map(|text| text.parse::<u64>());
    let (Some(Ok(count)), first) = (arguments.next(), arguments.next().and_then(Result::ok).unwrap_or(0))
    else {
        eprintln!("how many machines, and from which on, as in: 100000 0");
        return ExitCode::from(2);
    };
    let demo = match read("the demo", DEMO, &[]) {
        Ok(demo) => demo,
        Err(mistakes) => {
            eprintln!("{mistakes}");
            return ExitCode::from(2);
        }
    };
    let values = values(&demo);
    let mut counts = [0_u64; OUTCOMES.len()];
    for n in first..first + count {
        let machine = drawn(&values, n);
        let found = catch_unwind(|| outcome(&demo, &machine)).unwrap_or(Outcome::Panic);
        for (slot, (outcome, name)) in counts.iter_mut().zip(OUTCOMES) {
            if found == outcome {
                *slot += 1;
                if !matches!(found, Outcome::Refused | Outcome::Good | Outcome::AtTheEdge) {
                    println!("machine {n}, {name}: {machine:?}");
                }
            }
        }
    }
    for (count, (_, name)) in counts.iter().zip(OUTCOMES) {
        println!("{count:8}  {name}");
    }
    let bad: u64 = counts[3..].iter().sum();
    ExitCode::from(u8::from(bad > 0))
}
