//! What remembered casts say of the accepted skin and the interface coefficient: the statistics on clocks in closed form, apart
//! from any machine, and then the clocks of the working set.

use crate::support::working_set::{self, square};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use latchstroke_core::limits::{Clock, Limit};
use latchstroke_core::studies::calibrate::{
    Calibration, Evidence, Experience, Flaw, Outcome, Posterior, Prior, SHARPNESS, Speaks, calibrate, kept,
};
use latchstroke_core::studies::judge::{Acceptance, Cast, Judgement, Terms, judge};
use latchstroke_core::studies::watch::Unwatched;
use latchstroke_core::turn::Accuracy;
use latchstroke_models::freezing::skin::SkinGrowth;
use latchstroke_models::latch::{LatchSetting, TripStatement};
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::units::{Angle, Force, Length, Pace};
use rand::{RngExt, SeedableRng, rngs::ChaCha8Rng};
use std::f64::consts::{LN_2, TAU};

/// Two numbers about one, each to a factor of two.
fn prior() -> Posterior {
    let about_one = Prior { median: 1.0, spread: LN_2 };
    Posterior::from_priors(about_one, about_one)
}

/// Slack c + ln(skin) − b·ln(coefficient): a fill time that does not depend on the heat, against an interface that rules.
fn slack(grid: &Posterior, c: f64, b: f64) -> Vec<f64> {
    grid.field(|film: f64| move |skin: f64| c + skin.ln() - b * film.ln())
}

fn report(grid: &Posterior, (c, b): (f64, f64), kept: bool, sure: f64) -> Evidence {
    Evidence { slack: slack(grid, c, b), kept, sure }
}

/// Source: the standard normal distribution, 5 % below −1.644854 (printed in any table of it).
#[test]
fn closed_form_prior_has_the_quantiles_of_a_log_normal() {
    let skin = prior().skin();
    // Cutting off one part in two thousand and spreading each point over its cell move the ends by less than half a per cent.
    assert_relative_eq!(skin.median, 1.0, max_relative = 1e-9);
    assert_relative_eq!(skin.low, (-1.644854 * LN_2).exp(), max_relative = 5e-3);
    assert_relative_eq!(skin.high, (1.644854 * LN_2).exp(), max_relative = 5e-3);
    assert_relative_eq!(skin.spread, LN_2, max_relative = 5e-3);
    assert_abs_diff_eq!(prior().correlation(), 0.0, epsilon = 1e-12);
}

/// Source: ∫Φ(μ + x)·φ(x/σ)/σ dx = Φ(μ/√(1 + σ²)), closed form (the probit of a normal), here in units of the step's width.
#[test]
fn closed_form_chance_is_the_probit_of_a_normal() {
    for (c, b) in [(0.0, 0.0), (0.3, 0.0), (-0.5, 0.7), (1.2, 1.0)] {
        let variance = LN_2 * LN_2 * (1.0 + b * b);
        let exact = kept(SHARPNESS * c / (SHARPNESS * SHARPNESS + variance).sqrt());
        // What the grid cuts off of the tails.
        assert_abs_diff_eq!(prior().chance_kept(&slack(&prior(), c, b)), exact, epsilon = 1e-3);
    }
    // Φ(1) from any table of the normal distribution: one cast in six the other way.
    assert_relative_eq!(kept(SHARPNESS), 0.841345, max_relative = 1e-6);
}

/// Source: SciPy quadrature of the same posterior, tests/reference/calibration.py.
#[test]
fn reference_posterior_agrees_with_quadrature() {
    let table = include_str!("reference_calibration.csv");
    let mut cases = 0;
    for line in table.lines().filter(|line| !line.starts_with('#')).skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |text: &str| text.parse::<f64>().expect("a number");
        let reports: Vec<Evidence> = cells[1]
            .split(';')
            .map(|told| {
                let parts: Vec<&str> = told.split(':').collect();
                report(&prior(), (number(parts[0]), number(parts[1])), parts[2] == "kept", number(parts[3]))
            })
            .collect();
        let posterior = prior().after(&reports);
        let (skin, film) = (posterior.skin(), posterior.film());
        // A median within one thousandth, as the weight of a point is spread over its cell; a moment within as much.
        assert_abs_diff_eq!(skin.median.ln(), number(cells[2]), epsilon = 1e-3);
        assert_abs_diff_eq!(skin.spread, number(cells[3]), epsilon = 1e-3);
        assert_abs_diff_eq!(film.median.ln(), number(cells[4]), epsilon = 1e-3);
        assert_abs_diff_eq!(film.spread, number(cells[5]), epsilon = 1e-3);
        assert_abs_diff_eq!(posterior.correlation(), number(cells[6]), epsilon = 1e-3);
        cases += 1;
    }
    assert_eq!(cases, 4);
}

/// A normal number, by Box and Muller's formula.
fn normal(random: &mut ChaCha8Rng) -> f64 {
    let (u, v): (f64, f64) = (random.random(), random.random());
    (-2.0 * (1.0 - u).ln()).sqrt() * (TAU * v).cos()
}

/// With the truth drawn from the prior and the outcomes from the model, a 90 % interval holds the truth nine times in ten, and the
/// truth's place in the posterior is uniform (S. R. Cook, A. Gelman and D. B. Rubin, "Validation of software for Bayesian models
/// using posterior quantiles", 2006, from memory).
#[test]
fn property_intervals_hold_the_truth_as_often_as_they_say() {
    const SETS: u32 = 300;
    let mut random = ChaCha8Rng::seed_from_u64(7);
    let casts: Vec<(f64, f64)> =
        [-0.9, -0.5, -0.2, 0.0, 0.2, 0.6].into_iter().zip([1.0, 0.3, 0.9, 0.1, 1.0, 0.5]).collect();
    let slacks: Vec<Vec<f64>> = casts.iter().map(|&(c, b)| slack(&prior(), c, b)).collect();
    let (mut skin_in, mut film_in, mut skin_below) = (0_u32, 0_u32, 0_u32);
    for _ in 0..SETS {
        let (skin, film) = ((LN_2 * normal(&mut random)).exp(), (LN_2 * normal(&mut random)).exp());
        let reports: Vec<Evidence> = casts
            .iter()
            .zip(&slacks)
            .map(|(&(c, b), slack)| {
                let is_kept = random.random::<f64>() < kept(c + skin.ln() - b * film.ln());
                let is_slip = random.random::<f64>() < 0.05;
                Evidence { slack: slack.clone(), kept: is_kept != is_slip, sure: 0.95 }
            })
            .collect();
        let posterior = prior().after(&reports);
        let holds = |estimate: latchstroke_core::studies::calibrate::Estimate, truth: f64| {
            u32::from((estimate.low..=estimate.high).contains(&truth))
        };
        skin_in += holds(posterior.skin(), skin);
        film_in += holds(posterior.film(), film);
        skin_below += u32::from(skin < posterior.skin().median);
    }
    let share = |count: u32| f64::from(count) / f64::from(SETS);
    // Three standard deviations of a share of 0.9 and of 0.5 among 300.
    assert_abs_diff_eq!(share(skin_in), 0.9, epsilon = 0.052);
    assert_abs_diff_eq!(share(film_in), 0.9, epsilon = 0.052);
    assert_abs_diff_eq!(share(skin_below), 0.5, epsilon = 0.087);
}

#[test]
fn property_order_does_not_matter_and_repeats_sharpen() {
    let told = |c: f64, kept: bool| report(&prior(), (c, 0.9), kept, 0.95);
    let reports = [told(0.3, true), told(-0.2, false), told(0.1, true)];
    let forwards = prior().after(&reports);
    let backwards = prior().after(reports.iter().rev());
    assert_relative_eq!(forwards.skin().median, backwards.skin().median, max_relative = 1e-12);
    assert_relative_eq!(forwards.film().spread, backwards.film().spread, max_relative = 1e-12);
    let twice = forwards.after(&reports);
    assert!(twice.skin().spread < forwards.skin().spread && forwards.skin().spread < prior().skin().spread);
    // What is known already teaches less when it is seen again.
    let edge = slack(&prior(), 0.0, 0.9);
    assert!(twice.information(&edge, 0.95) < prior().information(&edge, 0.95));
}

/// Closed form: with q = 1/2 a report has the chance 1/2 whatever is true, and a clock that does not depend on the skin leaves
/// the skin as it was, the two being independent before.
#[test]
fn closed_form_a_report_that_tells_nothing_changes_nothing() {
    let idle = prior().after([&report(&prior(), (0.4, 0.9), true, 0.5)]);
    assert_relative_eq!(idle.skin().median, prior().skin().median, max_relative = 1e-12);
    assert_relative_eq!(idle.film().spread, prior().film().spread, max_relative = 1e-12);
    assert_abs_diff_eq!(prior().information(&slack(&prior(), 0.4, 0.9), 0.5), 0.0, epsilon = 1e-12);
    let of_film = prior().field(|film: f64| move |_| 0.3 - film.ln());
    let hot = prior().after([&Evidence { slack: of_film, kept: false, sure: 0.95 }]);
    assert_relative_eq!(hot.skin().median, prior().skin().median, max_relative = 1e-9);
    assert_relative_eq!(hot.skin().spread, prior().skin().spread, max_relative = 1e-9);
    assert!(hot.film().median > 1.2 * prior().film().median);
    assert_abs_diff_eq!(hot.correlation(), 0.0, epsilon = 1e-9);
}

/// Closed form: a clock that is sure to be kept over one half of what is believed and sure to be lost over the other tells one
/// bit, all that a question of yes or no can tell.
#[test]
fn closed_form_the_best_question_tells_one_bit() {
    // The middle row of the grid belongs to neither half: less than 3 % of the weight.
    let halves = prior().field(|_| |skin: f64| if skin > 1.0 { 5.0 } else { -5.0 });
    assert_abs_diff_eq!(prior().information(&halves, 1.0), 1.0, epsilon = 3e-3);
}

fn experience(
    number: usize,
    (points, turns): (f64, f64),
    setting: LatchSetting,
    outcome: Outcome,
) -> Experience {
    Experience {
        number,
        line: None,
        cast: Cast { sort: square(points), pace: Pace(turns / 60.0) },
        setting,
        pot: None,
        outcome,
        sure: 0.95,
    }
}

/// No margin: what came out is held against the clocks themselves.
fn terms(skin: f64) -> Terms {
    Terms {
        acceptance: Acceptance { skin, solid: 0.0, margin: 1.0 },
        accepted_air: None,
        shut: Angle(200_f64.to_radians()),
        accuracy: Accuracy::default(),
    }
}

fn judged(points: f64, turns: f64, skin: f64) -> Judgement {
    let cast = Cast { sort: square(points), pace: Pace(turns / 60.0) };
    judge(&working_set::statement(), cast, &terms(skin)).expect("a valid machine")
}

fn weigh(casts: &[Experience]) -> Calibration {
    let priors = (Prior { median: 0.4e-3, spread: LN_2 }, Prior { median: 12e3, spread: LN_2 });
    calibrate(&working_set::statement(), priors, &terms(0.4e-3), casts, &Unwatched)
        .expect("the working set is valid")
        .expect("nobody calls it off")
}

/// With both numbers known to a part in a thousand the chance is that of the judge's own limits.
#[test]
fn closed_form_chance_with_everything_known_is_that_of_the_judged_turn() {
    let stated = working_set::statement();
    let skin = 0.4e-3;
    let known = |median| Prior { median, spread: 1e-3 };
    let posterior = Posterior::from_priors(known(skin), known(12e3));
    // In time, on either edge of the filling, and too fast to be solid.
    let mut seen = [0; 3];
    for (points, turns) in [(14.0, 20.0), (14.0, 8.6), (18.0, 11.0), (24.0, 14.0), (24.0, 60.0)] {
        let cast = Cast { sort: square(points), pace: Pace(turns / 60.0) };
        let judged = judged(points, turns, skin);
        let chances = posterior.confidence(&stated, &[cast], &terms(skin)).expect("a valid machine");
        for (setting, chance) in
            [(LatchSetting::Aside, chances[0].aside), (LatchSetting::Set, chances[0].set)]
        {
            let standing = judged.standing(setting);
            assert!(standing.in_the_way().all(|m| m.limit.is_clock() || m.limit == Limit::Solid));
            let slack = standing.factor_of(|limit| limit.is_clock() || limit == Limit::Solid).ln();
            // The slope of Φ(g/w) is 0.4/w at most, and both numbers move g by their own part in a thousand.
            assert_abs_diff_eq!(chance, kept(slack), epsilon = 4e-3);
            seen[usize::from(chance > 0.02) + usize::from(chance > 0.98)] += 1;
        }
    }
    assert!(seen.iter().all(|count| *count > 0), "hopeless, open and certain must occur: {seen:?}");
}

/// A machine whose latch never lets go, or whose matrix lifts, leaves no chance with that setting, whatever the clocks.
#[test]
fn property_a_missed_limit_of_the_machine_or_a_lifted_matrix_leaves_no_chance() {
    let cast = Cast { sort: square(14.0), pace: Pace(20.0 / 60.0) };
    let known = |median| Prior { median, spread: 1e-3 };
    let posterior = Posterior::from_priors(known(0.4e-3), known(12e3));
    let chances = |stated: &MachineStatement| {
        posterior.confidence(stated, &[cast], &terms(0.4e-3)).expect("a valid machine")[0]
    };
    let good = chances(&working_set::statement());
    assert!(good.aside > 0.5 && good.set > 0.5, "{good:?}");
    let mut short = working_set::statement();
    short.latch.trip = TripStatement::Lift(Length(0.031));
    let short = chances(&short);
    assert_eq!((short.aside, short.set), (good.aside, 0.0));
    let mut lifted = working_set::statement();
    lifted.mould.hold_down = Some(Force(1.0));
    let lifted = chances(&lifted);
    assert_eq!((lifted.aside, lifted.set), (0.0, 0.0));
}

/// Casts near the edge of one clock, as it makes them come out: below the edge by a tenth and above it by as much, with the latch
/// aside, where the fill takes as long as the cam.
fn made_by(clock: Clock, sizes: &[f64], skin: f64) -> Vec<Experience> {
    let mut casts = Vec::new();
    for &points in sizes {
        // The fill time goes as the turn's: from one turn to the pace whose fill is as long as the clock runs.
        let start = judged(points, 20.0, skin);
        let mut turns = 20.0;
        for _ in 0..4 {
            let fill = judged(points, turns, skin).aside.sound_fill_time().expect("it fills");
            turns *= fill / start.clocks.of_clock(clock);
        }
        for (share, outcome) in [(1.15, Outcome::Sound), (1.0 / 1.15, Outcome::Failed(Some(Flaw::ColdLaps)))]
        {
            let number = casts.len() + 1;
            casts.push(experience(number, (points, share * turns), LatchSetting::Aside, outcome));
        }
    }
    casts
}

/// What is told of the clock that rules is the one that made the casts.
#[test]
fn property_casts_speak_for_the_clock_that_made_them() {
    // Small and large: lapping grows with the body, the skin hardly does.
    let sizes = [8.0, 14.0, 24.0];
    let lapping = weigh(&made_by(Clock::Lapping, &sizes, 0.4e-3)).rule;
    assert_eq!(lapping.speaks(), Speaks::ForLapping, "{lapping:?}");
    let skin = weigh(&made_by(Clock::Skin, &sizes, 0.3e-3)).rule;
    assert_eq!(skin.speaks(), Speaks::ForSkin, "{skin:?}");
    assert!(lapping.ratio() > 1.0 && skin.ratio() < 1.0);
}

/// One size alone fits a skin as well as a coefficient; and casts far from every edge, or with nothing to do with filling, fit all.
#[test]
fn property_casts_that_say_nothing_of_the_clocks_tell_none_apart() {
    let one = weigh(&made_by(Clock::Lapping, &[14.0], 0.4e-3)).rule;
    assert_eq!(one.speaks(), Speaks::ForNeither, "{one:?}");
    let set = LatchSetting::Set;
    let easy =
        [experience(1, (8.0, 40.0), set, Outcome::Sound), experience(2, (12.0, 20.0), set, Outcome::Sound)];
    assert_eq!(weigh(&easy).rule.speaks(), Speaks::ForNeither);
    let lifted = weigh(&[experience(1, (24.0, 20.0), set, Outcome::Failed(Some(Flaw::LiftedMatrix)))]).rule;
    // Nothing was weighed, so that all three are the prior's own whole, one.
    for log in [lifted.lapping, lifted.skin, lifted.least] {
        assert_abs_diff_eq!(log, 0.0, epsilon = 1e-12);
    }
}

/// Closed form: the marginal likelihood of one report is the chance that it is made, and of two independent ones with q = 1/2 a
/// quarter.
#[test]
fn closed_form_marginal_likelihood_of_one_report_is_its_chance() {
    let told = report(&prior(), (0.3, 0.7), true, 0.95);
    assert_relative_eq!(prior().marginal([&told]).exp(), prior().hears(&told), max_relative = 1e-12);
    let idle = report(&prior(), (0.3, 0.7), true, 0.5);
    assert_relative_eq!(prior().marginal([&idle, &idle]).exp(), 0.25, max_relative = 1e-12);
}

#[test]
fn property_casts_pull_the_skin_to_where_they_turn_from_failed_to_sound() {
    let aside = LatchSetting::Aside;
    let sound = Outcome::Sound;
    let laps = Outcome::Failed(Some(Flaw::ColdLaps));
    let casts = [
        experience(1, (36.0, 30.0), aside, sound),
        experience(2, (36.0, 20.0), aside, laps),
        experience(3, (24.0, 25.0), aside, sound),
        experience(4, (36.0, 15.0), aside, Outcome::Failed(None)),
    ];
    let found = weigh(&casts);
    assert!(found.contradictions.is_empty());
    assert!(found.casts.iter().all(|cast| cast.foreseen.is_some_and(|chance| chance > 0.2)));
    // The skin that fits the turn between 2 and 1, with the coefficient as stated, lies between the skins of those two fills; at
    // this size the lapping limit, 232 ms, is longer than both.
    let skin_of = |turns: f64| {
        let judged = judged(36.0, turns, 1.0);
        let machine = working_set::machine(36.0, turns, aside);
        let filled = judged.aside.sound_fill_time().expect("it fills");
        SkinGrowth::solve(&machine.metal, &machine.mould, 0.0, filled).depth(filled)
    };
    let skin = found.posterior.skin_given(12e3);
    assert!(skin.median > skin_of(30.0) && skin.median < skin_of(20.0), "{skin:?}");
    // Skin and coefficient go together: skin limit ∝ skin/coefficient where the interface rules.
    assert!(found.posterior.correlation() > 0.5);
    assert!(skin.spread < found.posterior.skin().spread);
}

#[test]
fn property_a_slower_sound_cast_contradicts_a_faster_one_that_failed() {
    let aside = LatchSetting::Aside;
    let laps = Outcome::Failed(Some(Flaw::ColdLaps));
    let pair = [experience(1, (24.0, 20.0), aside, Outcome::Sound), experience(2, (24.0, 40.0), aside, laps)];
    let found = weigh(&pair);
    assert_eq!(found.contradictions.len(), 1);
    let worst = found.contradictions[0];
    assert_eq!((worst.sound, worst.failed), (0, 1));
    // The cam's fill takes about as much longer as its turn: close to twice.
    assert_relative_eq!(worst.by, LN_2, max_relative = 0.1);
    assert!(found.casts.iter().all(|cast| cast.foreseen.is_some_and(|chance| chance < 0.5)));
    let other_way =
        [experience(1, (24.0, 40.0), aside, Outcome::Sound), experience(2, (24.0, 20.0), aside, laps)];
    assert!(weigh(&other_way).contradictions.is_empty());
}

#[test]
fn property_what_has_nothing_to_do_with_filling_leaves_the_skin() {
    let set = LatchSetting::Set;
    let lifted = weigh(&[experience(1, (24.0, 20.0), set, Outcome::Failed(Some(Flaw::LiftedMatrix)))]);
    // Nothing was multiplied in but rounding.
    assert_relative_eq!(lifted.posterior.skin().spread, lifted.prior.skin().spread, max_relative = 1e-12);
    assert_relative_eq!(lifted.posterior.film().median, lifted.prior.film().median, max_relative = 1e-12);
    assert_eq!(lifted.casts[0].foreseen, None);
    // Not solid at a pace at which it might have been: the mould takes the heat more slowly than thought.
    let soft = weigh(&[experience(1, (24.0, 10.0), set, Outcome::Failed(Some(Flaw::NotSolid)))]);
    assert_relative_eq!(soft.posterior.skin().median, soft.prior.skin().median, max_relative = 1e-9);
    assert!(soft.posterior.film().median < 0.95 * soft.prior.film().median);
}
