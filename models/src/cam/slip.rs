//! Slips in a table of cam readings: one reading that does not lie on the curve its neighbours lie on.
//!
//! Each reading is held against the cubic through the two readings before and the two after it; d_j is by how much it is off.
//! One reading wrong by e leaves a mark on five of these, d_j = e·p_j, where p_j is one at the reading itself and the negative
//! of its weight in the cubic elsewhere. The e that fits best is Σ p_j·d_j / Σ p_j², and (Σ p_j·d_j)² / (Σ p_j² · Σ d_j²) is the
//! share of the marks that it explains: all of them for a slip, little for the corner of a law whose acceleration steps.
//! Where readings are too few or too uneven for a cubic, only a reading that dips, or stands out, in the middle of a rise or a
//! fall is taken for a slip.

use super::FEWEST_READINGS;
use std::f64::consts::TAU;

/// A reading that is likely a slip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slip {
    /// Which of the readings, from 0.
    pub index: usize,
    /// The lift that its neighbours lead one to expect, m.
    pub expected: f64,
}

/// Fewest readings for whose neighbours a cubic says anything.
const FEWEST_FOR_CUBIC: usize = 12;
/// Share of the marks that a slip has to explain.
const EXPLAINED: f64 = 0.8;
/// How many times the readings' own scatter a slip is off.
const BEYOND_SCATTER: f64 = 6.0;
/// Smallest slip, m, and as a share of the greatest lift: below this a verdict does not feel it, and a dial indicator that
/// sticks for a moment does as much.
const SMALLEST: (f64, f64) = (0.1e-3, 0.004);
/// Uneven spacing beyond this says nothing of the curve between.
const MOST_UNEVEN: f64 = 2.5;
/// More than this and it is not one reading that is wrong.
const MOST: usize = 5;

/// The slips among readings of angle (rad, rising within one turn) and lift (m), in the order of the readings.
pub fn slips(readings: &[(f64, f64)]) -> Vec<Slip> {
    let mut mended: Vec<(f64, f64)> = readings.to_vec();
    let mut found: Vec<Slip> = Vec::new();
    if readings.len() < FEWEST_READINGS {
        return found;
    }
    while found.len() < MOST {
        let Some(slip) = off_curve(&mended).or_else(|| dip(&mended)) else { break };
        if found.iter().any(|known| known.index == slip.index) {
            break;
        }
        mended[slip.index].1 = slip.expected;
        found.push(slip);
    }
    found.sort_by_key(|slip| slip.index);
    found
}

fn least(readings: &[(f64, f64)]) -> f64 {
    let highest = readings.iter().map(|r| r.1).fold(f64::NEG_INFINITY, f64::max);
    let lowest = readings.iter().map(|r| r.1).fold(f64::INFINITY, f64::min);
    SMALLEST.0.max(SMALLEST.1 * (highest - lowest))
}

/// The reading `by` places further round, its angle counted on through the turn.
fn neighbour(readings: &[(f64, f64)], index: usize, by: isize) -> (f64, f64) {
    let count = readings.len().cast_signed();
    let place = index.cast_signed() + by;
    let (angle, lift) = readings[place.rem_euclid(count).cast_unsigned()];
    #[allow(clippy::cast_precision_loss)] // one turn back or forth
    let turns = place.div_euclid(count) as f64;
    (angle + TAU * turns, lift)
}

/// The worst reading that turns about where the four round it only rise, or only fall.
fn dip(readings: &[(f64, f64)]) -> Option<Slip> {
    let least = least(readings);
    let depth = |index: usize| {
        let [a, b, y, c, d] = [-2, -1, 0, 1, 2].map(|by| neighbour(readings, index, by));
        let (before, after) = (y.1 - b.1, c.1 - y.1);
        let way = (c.1 - b.1).signum();
        let steady = (b.1 - a.1) * way >= 0.0 && (d.1 - c.1) * way >= 0.0 && (c.1 - b.1).abs() > least;
        let turns = before * after < 0.0 && before.abs().min(after.abs()) > least;
        let expected = b.1 + (c.1 - b.1) * (y.0 - b.0) / (c.0 - b.0);
        (steady && turns).then_some((before.abs().min(after.abs()), Slip { index, expected }))
    };
    let all = (0..readings.len()).filter_map(depth);
    all.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, slip)| slip)
}

/// Weights of the two readings before and the two after in the cubic through them, at the reading between.
fn weights(readings: &[(f64, f64)], index: usize) -> [f64; 4] {
    let angles = [-2, -1, 1, 2].map(|by| neighbour(readings, index, by).0);
    let here = readings[index].0;
    let weight = |of: usize| {
        (0..4).filter(|&other| other != of).map(|k| (here - angles[k]) / (angles[of] - angles[k])).product()
    };
    [weight(0), weight(1), weight(2), weight(3)]
}

/// The reading that is furthest off a curve all others are on.
fn off_curve(readings: &[(f64, f64)]) -> Option<Slip> {
    let count = readings.len();
    if count < FEWEST_FOR_CUBIC {
        return None;
    }
    let weights: Vec<[f64; 4]> = (0..count).map(|index| weights(readings, index)).collect();
    let round = |index: usize| [-2, -1, 1, 2].map(|by| neighbour(readings, index, by).1);
    let off: Vec<f64> = (0..count)
        .map(|index| {
            let expected: f64 = weights[index].iter().zip(round(index)).map(|(w, lift)| w * lift).sum();
            readings[index].1 - expected
        })
        .collect();
    let least = least(readings);
    let beyond = least.max(BEYOND_SCATTER * scatter(readings, &off));
    let slip = |index: usize| {
        let gaps =
            [-2, -1, 0, 1].map(|by| neighbour(readings, index, by + 1).0 - neighbour(readings, index, by).0);
        let (narrow, wide) =
            (gaps.iter().fold(f64::INFINITY, |a, b| a.min(*b)), gaps.iter().fold(0.0_f64, |a, b| a.max(*b)));
        if wide > MOST_UNEVEN * narrow {
            return None;
        }
        let (mut both, mut mark, mut all) = (0.0, 0.0, 0.0);
        // Seen from the reading `by` places on, this one stands at the mirrored place of its four.
        for (by, place) in [(-2, Some(3)), (-1, Some(2)), (0, None), (1, Some(1)), (2, Some(0))] {
            let seen = (index.cast_signed() + by).rem_euclid(count.cast_signed()).cast_unsigned();
            let p = place.map_or(1.0, |place: usize| -weights[seen][place]);
            both += p * off[seen];
            mark += p * p;
            all += off[seen] * off[seen];
        }
        let error = both / mark;
        let is_slip = error.abs() > beyond && both * both > EXPLAINED * mark * all;
        is_slip.then(|| (error.abs(), Slip { index, expected: readings[index].1 - error }))
    };
    (0..count).filter_map(slip).max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, slip)| slip)
}

/// How far readings on the move are off the curve by themselves: the median, which a few slips do not shift.
fn scatter(readings: &[(f64, f64)], off: &[f64]) -> f64 {
    let least = least(readings);
    let moves = |index: &usize| {
        let (before, after) = (neighbour(readings, *index, -1).1, neighbour(readings, *index, 1).1);
        (after - before).abs() > least
    };
    let mut sizes: Vec<f64> = (0..readings.len()).filter(moves).map(|index| off[index].abs()).collect();
    sizes.sort_by(f64::total_cmp);
    sizes.get(sizes.len() / 2).copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cam::Law;

    /// A cam of `lift` by a law, read every `step` degrees to a hundredth of a millimetre, with a dither of `noise`.
    fn table(law: Law, lift: f64, rise: f64, step: u16, noise: f64) -> Vec<(f64, f64)> {
        let height = |degrees: f64| match degrees {
            d if d < 20.0 => 0.0,
            d if d < 20.0 + rise => law.at((d - 20.0) / rise).lift,
            d if d < 200.0 => 1.0,
            d if d < 300.0 => 1.0 - law.at((d - 200.0) / 100.0).lift,
            _ => 0.0,
        };
        let shake = |n: u16| noise * (f64::from(n) * 12.9898).sin();
        let mut table: Vec<(f64, f64)> = Vec::new();
        for n in 0..360 / step {
            let degrees = f64::from(n * step);
            let read = lift * height(degrees) + shake(n);
            table.push((degrees.to_radians(), (read * 1e5).round() * 1e-5));
        }
        table
    }

    #[test]
    fn property_an_honest_table_of_any_law_holds_no_slip() {
        for &law in Law::ALL {
            for rise in [60.0, 80.0, 95.0, 130.0] {
                for step in [5, 6, 8, 10, 12, 15, 20] {
                    for noise in [0.0, 0.02e-3, 0.05e-3] {
                        let found = slips(&table(law, 0.030, rise, step, noise));
                        assert!(found.is_empty(), "{law:?} {rise} every {step}, {noise}: {found:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn property_a_slip_is_found_where_it_is_and_about_what_should_stand_there() {
        let (mut missed, mut tried) = (0, 0);
        for &law in Law::ALL {
            for rise in [80.0, 130.0] {
                let honest = table(law, 0.030, rise, 10, 0.02e-3);
                for (index, off) in (0..honest.len()).zip([0.003, -0.002, 0.010].into_iter().cycle()) {
                    let mut wrong = honest.clone();
                    wrong[index].1 += off;
                    tried += 1;
                    match slips(&wrong).as_slice() {
                        [slip] => {
                            assert_eq!(slip.index, index, "{law:?} {rise}: {slip:?}");
                            assert!(
                                (slip.expected - honest[index].1).abs() < 0.8e-3,
                                "{law:?} {rise} {slip:?}"
                            );
                        }
                        [] => missed += 1,
                        several => panic!("{law:?} {rise}, at {index} by {off}: {several:?}"),
                    }
                }
            }
        }
        // A slip at the corner of a fast rise may hide in it.
        assert!(missed * 50 <= tried, "{missed} of {tried} missed");
    }

    #[test]
    fn a_figure_typed_wrong_in_a_steep_rise_is_found() {
        // .109 typed for 1.109 at 100 degrees, in inches.
        let lifts = [
            0.0, 0.0, 0.002, 0.020, 0.078, 0.195, 0.367, 0.572, 0.782, 0.968, 0.109, 1.199, 1.240, 1.250,
            1.250, 1.250, 1.250, 1.250, 1.250, 1.250, 1.250, 1.248, 1.222, 1.150, 1.030, 0.868, 0.680, 0.485,
            0.305, 0.160, 0.064, 0.016, 0.001, 0.0, 0.0, 0.0,
        ];
        let read: Vec<(f64, f64)> = lifts
            .iter()
            .zip(0_u16..)
            .map(|(lift, n)| (f64::from(10 * n).to_radians(), lift * 0.0254))
            .collect();
        let found = slips(&read);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].index, 10);
        assert!((found[0].expected / 0.0254 - 1.109).abs() < 0.005, "{found:?}");
    }

    #[test]
    fn a_dip_among_few_uneven_readings_is_found_and_a_peak_is_none() {
        let read = |pairs: &[(f64, f64)]| -> Vec<(f64, f64)> {
            pairs.iter().map(|(degrees, mm)| (degrees.to_radians(), mm * 1e-3)).collect()
        };
        let found = slips(&read(&[
            (0.0, 0.0),
            (20.0, 3.0),
            (30.0, 1.0),
            (50.0, 20.0),
            (80.0, 30.0),
            (180.0, 30.0),
            (270.0, 0.0),
        ]));
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].index, 2);
        // Seven readings with one that turns about, in a rise and in a fall: it should stand on the line between its neighbours, 6 mm and
        // three quarters of the way to 14 mm, wherever the gauge has its nought. A turn by less than a tenth of a millimetre is none.
        let rise = [0.0, 0.0, 6.0, 2.0, 14.0, 30.0, 30.0];
        for (nought, way) in [(0.0, 1.0), (200.0, 1.0), (-50.0, 1.0), (30.0, -1.0)] {
            let at =
                |n: usize, lift: f64| ([0.0, 40.0, 60.0, 90.0, 100.0, 130.0, 200.0][n], nought + way * lift);
            let table: Vec<(f64, f64)> = rise.iter().enumerate().map(|(n, lift)| at(n, *lift)).collect();
            let found = slips(&read(&table));
            assert_eq!(found.len(), 1, "{nought} {way}: {found:?}");
            assert!(found[0].index == 3, "{nought} {way}: {found:?}");
            assert!(
                (found[0].expected * 1e3 - (nought + way * 12.0)).abs() < 1e-9,
                "{nought} {way}: {found:?}"
            );
            let table: Vec<(f64, f64)> =
                table.iter().enumerate().map(|(n, row)| if n == 3 { at(n, 5.95) } else { *row }).collect();
            assert_eq!(slips(&read(&table)), [], "{nought} {way}");
        }
        let peak = [(0.0, 0.0), (60.0, 0.0), (120.0, 30.0), (180.0, 0.0), (240.0, 0.0), (300.0, 0.0)];
        assert_eq!(slips(&read(&peak)), []);
    }

    /// Readings in degrees and millimetres.
    fn read(pairs: &[(f64, f64)]) -> Vec<(f64, f64)> {
        pairs.iter().map(|(degrees, mm)| (degrees.to_radians(), mm * 1e-3)).collect()
    }

    #[test]
    fn a_dip_counts_from_a_tenth_of_a_millimetre_and_from_a_share_of_the_lift() {
        // A tenth of a millimetre on a low cam, 0.4 % of 30 mm on a high one, wherever the gauge has its nought.
        for (lift, nought, least) in [(3.0, 0.0, 0.1), (30.0, 0.0, 0.12), (30.0, 200.0, 0.12)] {
            for (depth, is_slip) in [(0.95 * least, false), (1.05 * least, true)] {
                let table = [(0.0, 0.0), (40.0, 0.0), (60.0, 0.2 * lift), (90.0, 0.2 * lift - depth)];
                let rest = [(100.0, 0.5 * lift), (130.0, lift), (200.0, lift)];
                let table: Vec<(f64, f64)> =
                    table.iter().chain(&rest).map(|(angle, height)| (*angle, nought + height)).collect();
                let found: Vec<usize> = slips(&read(&table)).iter().map(|slip| slip.index).collect();
                assert_eq!(
                    found,
                    if is_slip { vec![3] } else { vec![] },
                    "{depth} mm of {lift} mm at {nought} mm"
                );
            }
        }
    }

    #[test]
    fn a_table_that_goes_to_and_fro_holds_no_slip_nor_does_a_point_on_level_ground() {
        let even = |lifts: &[f64]| -> Vec<(f64, f64)> {
            lifts.iter().zip(0_u32..).map(|(lift, n)| (30.0 * f64::from(n), *lift)).collect()
        };
        // Nowhere do the two before and the two after all go one way.
        let rattle = even(&[0.0, 2.0, 0.0, 6.0, 5.0, 7.0, 1.0, 3.0, 0.0, 1.0]);
        assert_eq!(slips(&read(&rattle)), []);
        // Its neighbours stand at the same height: where they are few it may be the top of the cam.
        let point = even(&[0.0, 3.0, 5.95, 6.0, 9.0, 6.05, 6.1, 3.0, 0.0]);
        assert_eq!(slips(&read(&point)), []);
    }

    #[test]
    fn the_fewest_readings_will_do_and_no_more_than_a_few_are_slips() {
        let fewest = [(0.0, 0.0), (40.0, 0.0), (60.0, 6.0), (90.0, 2.0), (100.0, 14.0), (130.0, 30.0)];
        assert_eq!(fewest.len(), FEWEST_READINGS);
        assert_eq!(slips(&read(&fewest)).len(), 1);
        assert_eq!(slips(&read(&fewest[1..])), []);
        // A dip at every third reading of a long rise.
        let lift = |n: u32| f64::from(n) - if n % 3 == 2 { 2.5 } else { 0.0 };
        let many: Vec<(f64, f64)> = (0..30).map(|n| (10.0 * f64::from(n), lift(n))).collect();
        assert_eq!(slips(&read(&many)).len(), MOST);
    }

    /// A smooth cam's height at an angle (degrees), of 1: up to 180 and down again.
    fn smooth(degrees: f64) -> f64 {
        0.5 * (1.0 - libm::cos(degrees.to_radians()))
    }

    #[test]
    fn a_slip_among_uneven_readings_is_mended_by_the_cubic_through_them() {
        // Spaces of 8 to 18 degrees; then one of them three times as wide as the narrowest, which tells nothing of what lies beside it.
        let spaces =
            [8.0, 11.0, 18.0, 9.0, 14.0, 17.0, 10.0, 15.0, 18.0, 8.0, 12.0, 17.0, 9.0, 16.0, 11.0, 13.0];
        let height = |degrees: f64| {
            let u = (degrees - 30.0) / 240.0;
            30.0 * u * u * (3.0 - 2.0 * u)
        };
        for at in 5..11 {
            for wide in [None, Some(-2), Some(-1), Some(0), Some(1)] {
                let mut angle = 40.0;
                let mut table = vec![(angle, height(angle))];
                for (space, n) in spaces.iter().zip(0_isize..) {
                    // The space `wide` places on from the reading `at`; the narrowest of the others stands beside it.
                    let by = n - at;
                    let around = (-2..2).contains(&by) && wide.is_some();
                    angle += if !around {
                        *space
                    } else if Some(by) == wide {
                        27.0
                    } else {
                        9.0
                    };
                    table.push((angle, height(angle)));
                }
                let index = at.unsigned_abs();
                let honest = table[index].1;
                table[index].1 += 0.6;
                let found = slips(&read(&table));
                if wide.is_some() {
                    assert!(found.iter().all(|slip| slip.index != index), "{at} {wide:?}: {found:?}");
                } else {
                    assert_eq!(found.len(), 1, "{at}: {found:?}");
                    assert_eq!(found[0].index, index);
                    assert!((found[0].expected * 1e3 - honest).abs() < 1e-9, "{at}: {found:?}, {honest}");
                }
            }
        }
    }

    #[test]
    fn the_fewest_readings_for_a_cubic_tell_of_a_slip_that_turns_nowhere() {
        let table = |count: u32| -> Vec<(f64, f64)> {
            let angle = |n: u32| 360.0 * f64::from(n) / f64::from(count);
            (0..count).map(|n| (angle(n), 30.0 * smooth(angle(n)) + if n == 3 { 4.0 } else { 0.0 })).collect()
        };
        let found = slips(&read(&table(12)));
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].index, 3);
        assert_eq!(slips(&read(&table(11))), []);
    }

    #[test]
    fn readings_that_scatter_hold_slips_only_beyond_their_scatter() {
        let mut seed = 7_u32;
        let mut random = || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(seed >> 8) / f64::from(1_u32 << 24) - 0.5
        };
        let (mut false_ones, mut found_ones) = (0, 0);
        for _ in 0..100 {
            // Up over 100 degrees, down over 80, scattered by up to 0.2 mm well on the move; at rest at either end the gauge stands still.
            let height = |degrees: f64| match degrees {
                d if d < 30.0 => 0.0,
                d if d < 130.0 => smooth(1.8 * (d - 30.0)),
                d if d < 260.0 => 1.0,
                d if d < 340.0 => smooth(180.0 + 2.25 * (d - 260.0)),
                _ => 0.0,
            };
            let mut table: Vec<(f64, f64)> = Vec::new();
            for n in 0..72_u32 {
                let degrees = 5.0 * f64::from(n);
                let height = height(degrees);
                let moves = height > 0.02 && height < 0.98;
                table.push((degrees, 30.0 * height + if moves { 0.4 * random() } else { 0.0 }));
            }
            false_ones += slips(&read(&table)).len();
            table[16].1 -= 2.0;
            found_ones += usize::from(slips(&read(&table)).iter().any(|slip| slip.index == 16));
        }
        // By the smallest slip alone it would be four in a table.
        assert!(false_ones <= 10, "{false_ones} in a hundred tables");
        assert_eq!(found_ones, 100);
    }
}
