//! What a measured movement tells of a machine: the values of it that the trace can tell, found by its own solved turns.
//!
//! Sought are the start of a turn, the pace, where the gauge has its nought, its scale where that is not known, and of the machine every
//! value that the readings say anything of ([`super::telling`]), each with what was known of it beforehand as a prior. Of these, those
//! are told of which the readings leave little open; the others were free within what is known of them, which widens what is told, and
//! stay as they stand. The scatter of the readings comes of their residuals; where these hang together from one reading to the next,
//! there are fewer readings than it seems, and the errors are widened by that.

use super::curve::{Curve, Part};
use super::least_squares::{Fitted, Loss, Parameter, least_squares};
use super::telling::{Telling, covariance, heard, telling};
use crate::parallel::prelude::*;
use crate::studies::distribution::Distribution;
use crate::studies::tolerance::{Case, Vary};
use crate::turn::{Accuracy, Finding, solve_traced};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::units::Pace;
use nalgebra::DMatrix;
use std::sync::{Arc, Mutex};

/// A value that may be fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The name by which it is varied.
    pub path: String,
    /// What stands for it, SI.
    pub now: f64,
    /// How it may lie, SI.
    pub prior: Distribution,
}

impl Candidate {
    /// How many standard deviations from the middle what stands for it is.
    fn stands(&self) -> f64 {
        self.prior.deviations(self.now)
    }

    /// Between how many it may be.
    fn bounds(&self) -> (f64, f64) {
        match self.prior {
            Distribution::LogNormal { .. } => (-MOST, MOST),
            Distribution::Uniform { low, high } | Distribution::Triangular { low, high, .. } => {
                (self.prior.deviations(low), self.prior.deviations(high))
            }
        }
    }
}

/// How a reading goes with the way of the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gauge {
    /// So much for each metre, the sign known.
    Known(f64),
    /// So much for each metre, either way.
    EitherWay(f64),
    /// Not known.
    Free,
}

/// What was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// Which part's place.
    pub part: Part,
    /// Time, s, and reading, in growing order of time.
    pub readings: Vec<(f64, f64)>,
    /// How readings go with the part's way.
    pub gauge: Gauge,
}

/// What is asked.
pub struct Question<'a, V> {
    /// The machine with other values.
    pub vary: &'a V,
    /// The values that may be fitted.
    pub candidates: &'a [Candidate],
    /// What was measured.
    pub measured: &'a Measured,
    /// How the latch stood.
    pub setting: LatchSetting,
    /// Turns a second, as known beforehand, and how far off that may be, as a share.
    pub pace: (f64, f64),
}

/// Why nothing is told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refused {
    /// Fewer readings than can tell anything: so many.
    TooFew(usize),
    /// The part hardly moves: the readings go so far, and scatter by so much.
    Still(f64, f64),
    /// The machine does not move like this, whatever its values: the residuals scatter by this share of the travel.
    Unlike(f64),
    /// The readings tell of no value more than was known.
    Silent,
    /// The machine as stated cannot be turned.
    Unsolved,
}

/// A value that the trace tells.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Which of the candidates.
    pub candidate: usize,
    /// The value, SI.
    pub value: f64,
    /// Its standard error, SI.
    pub error: f64,
    /// The same as a share of what was not known before.
    pub left: f64,
}

/// What the trace tells.
#[derive(Debug, Clone)]
pub struct Answer {
    /// How the latch stood.
    pub setting: LatchSetting,
    /// What is told, the best told first.
    pub told: Vec<Told>,
    /// Correlations of what is told, in its order.
    pub correlations: DMatrix<f64>,
    /// What is not fitted: candidate, and the candidates it cannot be told apart from.
    pub held: Vec<(usize, Vec<usize>)>,
    /// Turns a second and its standard error.
    pub pace: (f64, f64),
    /// When a turn starts, s of the trace.
    pub start: f64,
    /// The reading with the part at nought.
    pub nought: f64,
    /// Readings for each metre.
    pub scale: f64,
    /// Scatter of the readings about the curve.
    pub scatter: f64,
    /// By how much the errors were widened since residuals hang together.
    pub widened: f64,
    /// Readings so far out that they hardly count.
    pub outliers: usize,
    /// The curve fitted.
    pub curve: Arc<Curve>,
    /// Reading less curve, for each reading.
    pub residuals: Vec<f64>,
}

/// Fewer readings than this tell of no value beside start, pace and nought.
pub const LEAST_READINGS: usize = 12;
/// No further than so many standard deviations from its middle.
const MOST: f64 = 4.0;
/// A part that moves no further than so many times the scatter of its readings tells nothing.
const LEAST_TRAVEL: f64 = 8.0;
/// Readings scatter by no less than this share of their travel: the sums themselves do.
const LEAST_SCATTER: f64 = 1e-5;
/// A curve further from its readings than this share of their travel is not theirs.
const UNLIKE: f64 = 0.08;
/// A residual counts by its square up to so many standard deviations.
const HUBER: f64 = 2.5;
/// Starts of the turn that are tried, round the turn.
const STARTS: usize = 180;
/// Paces that are tried about the one known beforehand.
const PACES: [f64; 5] = [0.0, -0.5, 0.5, -1.0, 1.0];
/// Beginnings that are followed up.
const FOLLOWED: usize = 2;
/// How often the scatter is looked at again where the fit has got to, and how often of these what is told too.
const ROUNDS: usize = 6;
const LOOKED_AT: usize = 2;
/// A scatter that changes by no more than this share has settled.
const SETTLED: f64 = 0.03;
/// How far each value is tried before the fit, standard deviations, how many such moves are made, and what share one must gain.
const SCOUTED: [f64; 4] = [-1.4, -0.6, 0.6, 1.4];
const MOVES: usize = 6;
const WORTH_A_MOVE: f64 = 0.98;
/// By how many standard deviations a value is moved to see its slope at first; later so far that the readings together move by
/// [`MOVED`] of their scatter, within limits. A throw turns so sharply that the slope over a longer way is another, and two values that do the
/// same thing would seem to do two.
const NUDGE: f64 = 0.01;
const MOVED: f64 = 1.5;
const NUDGES: (f64, f64) = (5e-4, 0.05);
/// Steps that gain less than the square of this of the cost, a thousandth of one reading's share of a thousand, no longer count.
const CLOSENESS: f64 = 1e-3;
/// The turns are solved this closely, so that a slope seen over a twentieth of a standard deviation is one.
const ACCURACY: Accuracy =
    Accuracy { tolerance: 2e-6, method: None, ringing: latchstroke_models::ringing::FOLLOWED_PERIODS };

/// Places of what is sought beside values of the machine.
mod beside {
    pub const START: usize = 0;
    pub const NOUGHT: usize = 1;
    pub const SCALE: usize = 2;
    pub const PACE: usize = 3;
    pub const COUNT: usize = 4;
}

impl<V: Vary> Question<'_, V> {
    /// What the trace tells.
    ///
    /// # Errors
    /// Why it tells nothing.
    pub fn answer(&self) -> Result<Answer, Refused> {
        let readings = &self.measured.readings;
        if readings.len() < LEAST_READINGS {
            return Err(Refused::TooFew(readings.len()));
        }
        let noise = roughness(readings);
        let travel = spread(readings.iter().map(|(_, y)| *y));
        if travel < LEAST_TRAVEL * noise || travel <= 0.0 {
            return Err(Refused::Still(travel, noise));
        }
        let noise = noise.max(LEAST_SCATTER * travel);
        let begun = self.begin(noise, travel)?;
        let mut sought = self.sought(scatter_of(&begun, noise).max(noise), travel, begun.at);
        sought.scout();
        for round in 0..ROUNDS {
            let free =
                if round < LOOKED_AT { heard(&sought.information()?, beside::COUNT) } else { Vec::new() };
            // What was sought once stays so, or two that are told together would take turns.
            let more: Vec<usize> = free.into_iter().filter(|i| !sought.free.contains(i)).collect();
            let is_more = !more.is_empty();
            sought.free.extend(more);
            sought.free.sort_unstable();
            let fitted = sought.fit()?;
            sought.from.clone_from(&fitted.at);
            let scatter = scatter_of(&fitted, sought.scatter).max(LEAST_SCATTER * travel);
            let is_settled = (scatter / sought.scatter - 1.0).abs() < SETTLED;
            sought.scatter = scatter;
            sought.fit_nudges(&fitted);
            if is_settled && !is_more {
                break;
            }
        }
        if sought.free.is_empty() {
            return Err(Refused::Silent);
        }
        let fitted = sought.fit()?;
        sought.from.clone_from(&fitted.at);
        let off = scatter_of(&fitted, sought.scatter) / travel;
        if off > UNLIKE {
            return Err(Refused::Unlike(off));
        }
        sought.told(&fitted)
    }

    fn sought(&self, scatter: f64, travel: f64, from: Vec<f64>) -> Sought<'_, '_, V> {
        let nudges = vec![NUDGE; self.candidates.len()];
        Sought { question: self, scatter, travel, free: Vec::new(), from, nudges, met: Mutex::default() }
    }

    /// Start, nought and scale from which a fit of these alone comes nearest, the machine as it stands.
    fn begin(&self, noise: f64, travel: f64) -> Result<Fitted, Refused> {
        let pace = |share: f64| self.pace.0 * (1.0 + share * self.pace.1);
        let starts = |share: f64| {
            let curve = self.curve(pace(share), &[]);
            let starts = (0..STARTS).filter_map(move |n| {
                let curve = curve.as_ref()?;
                let start = self.measured.readings[0].0 - curve.period() * n as f64 / STARTS as f64;
                let (nought, scale, misfit) = self.measured.placed(curve, start)?;
                Some((misfit, [start, nought, scale, share]))
            });
            starts.collect::<Vec<_>>()
        };
        let mut tried: Vec<(f64, [f64; 4])> = PACES.into_iter().flat_map(starts).collect();
        tried.sort_by(|a, b| a.0.total_cmp(&b.0));
        let followed = tried.iter().take(FOLLOWED);
        let fits = followed.filter_map(|(_, at)| {
            let mut from = at.to_vec();
            from.extend(self.candidates.iter().map(Candidate::stands));
            self.sought(noise, travel, from).fit().ok()
        });
        fits.min_by(|a, b| a.cost.total_cmp(&b.cost)).ok_or(Refused::Unsolved)
    }

    /// The way of the part over a turn at a pace (turns/s), with some candidates at other values.
    fn curve(&self, pace: f64, values: &[(&str, f64)]) -> Option<Curve> {
        let Case { machine, cast, .. } = (self.vary)(values).ok()?;
        let machine = Machine::prepare(&machine, cast.sort, Pace(pace), self.setting).ok()?;
        let turn = solve_traced(&machine, ACCURACY);
        let sound = !turn.findings.iter().any(Finding::makes_unreliable);
        sound.then(|| Curve::of(self.measured.part, &machine, &turn))
    }
}

impl Measured {
    /// Nought and scale with which a curve comes nearest to the readings, and how far it stays from them.
    fn placed(&self, curve: &Curve, start: f64) -> Option<(f64, f64, f64)> {
        let count = self.readings.len() as f64;
        let pairs: Vec<(f64, f64)> = self.readings.iter().map(|(t, y)| (curve.at(t - start), *y)).collect();
        let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / count;
        let (x, y) = (mean(|pair| pair.0), mean(|pair| pair.1));
        let along: f64 = pairs.iter().map(|pair| (pair.0 - x) * (pair.1 - y)).sum();
        let across: f64 = pairs.iter().map(|pair| (pair.0 - x).powi(2)).sum();
        let scale = match self.gauge {
            Gauge::Known(scale) => scale,
            Gauge::EitherWay(scale) => scale.abs() * along.signum(),
            Gauge::Free if across > 0.0 => along / across,
            Gauge::Free => return None,
        };
        let nought = y - scale * x;
        // By size, so that a few bad readings do not choose the start.
        let misfit = pairs.iter().map(|pair| (pair.1 - nought - scale * pair.0).abs()).sum::<f64>();
        Some((nought, scale, misfit))
    }
}

/// A fit under way. What is sought stands in the order of [`beside`], then all candidates.
struct Sought<'a, 'q, V> {
    question: &'a Question<'q, V>,
    scatter: f64,
    travel: f64,
    /// The candidates that are fitted.
    free: Vec<usize>,
    /// Where everything stands.
    from: Vec<f64>,
    /// By how much each candidate is moved to see its slope.
    nudges: Vec<f64>,
    /// The curves last met: start, nought and scale move none.
    met: Mutex<Vec<(Vec<f64>, Arc<Curve>)>>,
}

/// How many curves are kept.
const KEPT: usize = 4;

impl<V: Vary> Sought<'_, '_, V> {
    /// The residuals, each over the scatter, with everything at these places.
    fn residuals(&self, at: &[f64]) -> Option<Vec<f64>> {
        let curve = self.curve(at)?;
        let readings = &self.question.measured.readings;
        let (start, nought, scale) = (at[beside::START], at[beside::NOUGHT], at[beside::SCALE]);
        let of = |(t, y): &(f64, f64)| (y - nought - scale * curve.at(t - start)) / self.scatter;
        Some(readings.iter().map(of).collect())
    }

    /// The way of the part with everything at these places.
    fn curve(&self, at: &[f64]) -> Option<Arc<Curve>> {
        let (question, key) = (self.question, &at[beside::PACE..]);
        let known = |met: &Vec<(Vec<f64>, Arc<Curve>)>| {
            met.iter().find(|(of, _)| of == key).map(|(_, curve)| Arc::clone(curve))
        };
        if let Some(curve) = self.met.lock().ok().and_then(|met| known(&met)) {
            return Some(curve);
        }
        let moved = question.candidates.iter().zip(&at[beside::COUNT..]);
        // What has not moved is left as it is written.
        let moved = moved.filter(|(candidate, so_many)| so_many.total_cmp(&candidate.stands()).is_ne());
        let values: Vec<(&str, f64)> = moved
            .map(|(candidate, so_many)| (candidate.path.as_str(), candidate.prior.away(*so_many)))
            .collect();
        let pace = question.pace.0 * (1.0 + at[beside::PACE] * question.pace.1);
        let curve = Arc::new(question.curve(pace, &values)?);
        if let Ok(mut met) = self.met.lock() {
            if met.len() >= KEPT {
                met.remove(0);
            }
            met.push((key.to_vec(), Arc::clone(&curve)));
        }
        Some(curve)
    }

    /// What is sought, as the search takes it: start, pace, nought, the scale where it is free, and the fitted candidates.
    fn parameters(&self) -> Vec<(usize, Parameter)> {
        let period = 1.0 / self.question.pace.0;
        let own = |place: usize, step: f64, prior| {
            (place, Parameter { step: Some(step), prior, ..Parameter::free(self.from[place]) })
        };
        let mut all =
            vec![own(beside::START, 1e-4 * period, None), own(beside::NOUGHT, 1e-3 * self.travel, None)];
        if self.question.measured.gauge == Gauge::Free {
            all.push(own(beside::SCALE, 1e-3 * self.from[beside::SCALE].abs(), None));
        }
        all.push(own(beside::PACE, 1e-3, Some((0.0, 1.0))));
        for &n in &self.free {
            let (place, candidate) = (beside::COUNT + n, &self.question.candidates[n]);
            let (_, prior) = own(place, self.nudges[n], Some((0.0, 1.0)));
            all.push((place, Parameter { bounds: candidate.bounds(), ..prior }));
        }
        all
    }

    fn whole(&self, places: &[usize], at: &[f64]) -> Vec<f64> {
        let mut whole = self.from.clone();
        for (place, value) in places.iter().zip(at) {
            whole[*place] = *value;
        }
        whole
    }

    fn fit(&self) -> Result<Fitted, Refused> {
        let (places, parameters): (Vec<usize>, Vec<Parameter>) = self.parameters().into_iter().unzip();
        let residuals = |at: &[f64]| self.residuals(&self.whole(&places, at));
        let fitted = least_squares(residuals, &parameters, Loss::Huber(HUBER), CLOSENESS)
            .map_err(|_| Refused::Unsolved)?;
        Ok(Fitted { at: self.whole(&places, &fitted.at), ..fitted })
    }

    /// Goes by leaps, one value at a time, to where the slopes can be trusted: over a stroke that comes too early or too late they do not
    /// show the way.
    fn scout(&mut self) {
        let count = self.question.candidates.len();
        let misfit = |at: &[f64]| {
            let all = self.residuals(at)?;
            let known: f64 = at[beside::COUNT..].iter().map(|so_many| so_many * so_many).sum();
            Some(all.iter().map(|r| r.abs().min(10.0 * HUBER)).sum::<f64>() + known)
        };
        let mut at = self.from.clone();
        let Some(mut least) = misfit(&at) else { return };
        for _ in 0..MOVES {
            let leap = |n: usize| {
                let mut moved = at.clone();
                let place = beside::COUNT + n / SCOUTED.len();
                let (low, high) = self.question.candidates[n / SCOUTED.len()].bounds();
                moved[place] = (moved[place] + SCOUTED[n % SCOUTED.len()]).clamp(low, high);
                Some((misfit(&moved)?, moved))
            };
            let tried: Vec<_> = (0..count * SCOUTED.len()).into_par_iter().map(leap).collect();
            let best = tried.into_iter().flatten().min_by(|a, b| a.0.total_cmp(&b.0));
            match best.filter(|(found, _)| *found < WORTH_A_MOVE * least) {
                Some((found, moved)) => (least, at) = (found, moved),
                None => break,
            }
        }
        self.from = at;
    }

    /// Moves each value from now on by what suits how well it is told.
    fn fit_nudges(&mut self, fitted: &Fitted) {
        let first = fitted.slopes.ncols() - self.free.len();
        for (i, candidate) in self.free.iter().enumerate() {
            let told = fitted.slopes.column(first + i).norm();
            self.nudges[*candidate] = (MOVED / told.max(f64::MIN_POSITIVE)).clamp(NUDGES.0, NUDGES.1);
        }
    }

    /// JᵀJ over everything, fitted or not, where it stands; rows of readings far out count less.
    fn information(&self) -> Result<DMatrix<f64>, Refused> {
        let here = self.residuals(&self.from).ok_or(Refused::Unsolved)?;
        let mut nudges: Vec<(usize, f64)> = self
            .parameters()
            .iter()
            .take(beside::COUNT)
            .map(|(place, p)| (*place, p.step.unwrap_or_default()))
            .collect();
        nudges.retain(|(place, _)| *place < beside::COUNT);
        nudges.extend((beside::COUNT..).zip(&self.nudges).map(|(place, nudge)| (place, *nudge)));
        let column = |&(place, nudge): &(usize, f64)| {
            let side = |by: f64| {
                let mut at = self.from.clone();
                at[place] += by;
                self.residuals(&at).map(|found| (by, found))
            };
            let (above, below) = (side(nudge), side(-nudge));
            let standing = || (0.0, here.clone());
            let (above, below) = (above.unwrap_or_else(standing), below.unwrap_or_else(standing));
            let width = above.0 - below.0;
            // A value that cannot be moved either way is told nothing of.
            let slope = |i: usize| if width > 0.0 { (above.1[i] - below.1[i]) / width } else { 0.0 };
            (place, (0..here.len()).map(slope).collect::<Vec<f64>>())
        };
        let columns: Vec<(usize, Vec<f64>)> = nudges.par_iter().map(column).collect();
        let mut slopes = DMatrix::zeros(here.len(), self.from.len());
        for (place, column) in columns {
            for (i, slope) in column.into_iter().enumerate() {
                slopes[(i, place)] =
                    if here[i].abs() > HUBER { slope * (HUBER / here[i].abs()).sqrt() } else { slope };
            }
        }
        Ok(slopes.tr_mul(&slopes))
    }

    /// What is told where the fit has ended.
    fn told(&self, fitted: &Fitted) -> Result<Answer, Refused> {
        let (question, at) = (self.question, &self.from);
        let widened = hanging_together(&fitted.residuals);
        let (places, parameters): (Vec<usize>, Vec<Parameter>) = self.parameters().into_iter().unzip();
        let information = fitted.slopes.tr_mul(&fitted.slopes) / (widened * widened);
        let known = |i: usize| parameters[i].prior.map_or(0.0, |(_, deviation)| deviation.powi(-2));
        let wide = covariance(&information, known).ok_or(Refused::Silent)?;
        let error = |place: usize| {
            places.iter().position(|other| *other == place).map_or(0.0, |at| wide[(at, at)].sqrt())
        };
        let (first, count) = (places.len() - self.free.len(), self.free.len());
        let values = |of: &DMatrix<f64>| of.view((first, first), (count, count)).into_owned();
        let found = telling(&values(&wide), &values(&information));
        let mut order: Vec<usize> = (0..count).filter(|i| found[*i] == Telling::Told).collect();
        let left = |i: usize| wide[(first + i, first + i)].sqrt();
        order.sort_by(|a, b| left(*a).total_cmp(&left(*b)));
        if order.is_empty() {
            return Err(Refused::Silent);
        }
        let told = order.iter().map(|&i| {
            let (candidate, left) = (self.free[i], left(i));
            let (prior, at) = (question.candidates[candidate].prior, at[beside::COUNT + candidate]);
            let error = 0.5 * (prior.away(at + left) - prior.away(at - left)).abs();
            Told { candidate, value: prior.away(at), error, left }
        });
        let correlations = DMatrix::from_fn(order.len(), order.len(), |i, j| {
            let (i, j) = (order[i], order[j]);
            wide[(first + i, first + j)] / (left(i) * left(j))
        });
        let held = (0..question.candidates.len()).filter_map(|candidate| {
            match self.free.iter().position(|free| *free == candidate).map(|i| &found[i]) {
                Some(Telling::Told) => None,
                Some(Telling::With(others)) => {
                    Some((candidate, others.iter().map(|other| self.free[*other]).collect()))
                }
                Some(Telling::Silent) | None => Some((candidate, Vec::new())),
            }
        });
        let pace = question.pace.0 * question.pace.1;
        Ok(Answer {
            setting: question.setting,
            told: told.collect(),
            correlations,
            held: held.collect(),
            pace: (question.pace.0 + at[beside::PACE] * pace, error(beside::PACE) * pace),
            start: at[beside::START],
            nought: at[beside::NOUGHT],
            scale: at[beside::SCALE],
            scatter: scatter_of(fitted, self.scatter),
            widened,
            outliers: fitted.residuals.iter().filter(|r| r.abs() > 2.0 * HUBER).count(),
            curve: self.curve(at).ok_or(Refused::Unsolved)?,
            residuals: fitted.residuals.iter().map(|r| r * self.scatter).collect(),
        })
    }
}

/// Scatter of the readings by the middle of the sizes of their residuals, which a few bad ones do not move; what was fitted is taken
/// off their number.
fn scatter_of(fitted: &Fitted, scatter: f64) -> f64 {
    let count = fitted.residuals.len() as f64;
    let sought = fitted.slopes.ncols() as f64;
    let freedom = (count / (count - sought).max(1.0)).sqrt();
    let by_middle = 1.4826 * middle(fitted.residuals.iter().map(|r| r.abs()));
    scatter * by_middle * freedom
}

/// Scatter of readings about the smooth way that they follow, from the second difference of neighbours that are evenly apart.
fn roughness(readings: &[(f64, f64)]) -> f64 {
    let bend = |three: &[(f64, f64)]| {
        let ((t0, y0), (t1, y1), (t2, y2)) = (three[0], three[1], three[2]);
        let share = (t1 - t0) / (t2 - t0);
        let off = y1 - y0 - share * (y2 - y0);
        off.abs() / (1.0 + share * share + (1.0 - share) * (1.0 - share)).sqrt()
    };
    1.4826 * middle(readings.windows(3).map(bend))
}

/// Turns a second of what goes round several times, somewhere between a third and three times what is expected; none of fewer than one and
/// a half turns. The pace with which readings at the same place of the turn lie closest together (R. F. Stellingwerf's phase dispersion,
/// 1978), the fastest of those as good as the best, since two turns lie as close as one.
pub fn pace_of(readings: &[(f64, f64)], expected: f64) -> Option<f64> {
    const BINS: usize = 40;
    const TRIALS: u32 = 1200;
    let (first, last) = (readings.first()?.0, readings.last()?.0);
    let slowest = (1.5 / (last - first)).max(expected / 3.0);
    let fastest = 3.0 * expected;
    if slowest >= fastest {
        return None;
    }
    let dispersion = |pace: f64| {
        let mut bins = [(0.0, 0.0, 0.0); BINS];
        for (t, y) in readings {
            let share = ((t - first) * pace).rem_euclid(1.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a place below BINS")]
            let bin = &mut bins[((share * BINS as f64) as usize).min(BINS - 1)];
            *bin = (bin.0 + 1.0, bin.1 + y, bin.2 + y * y);
        }
        bins.iter().filter(|bin| bin.0 > 0.0).map(|(n, sum, squares)| squares - sum * sum / n).sum::<f64>()
    };
    let pace = |n: u32| slowest * libm::pow(fastest / slowest, f64::from(n) / f64::from(TRIALS));
    let tried: Vec<(f64, f64)> = (0..=TRIALS).map(|n| (pace(n), dispersion(pace(n)))).collect();
    let least = tried.iter().map(|trial| trial.1).fold(f64::INFINITY, f64::min);
    let usual = middle(tried.iter().map(|trial| trial.1));
    if least > 0.5 * usual {
        return None;
    }
    let good = least + 0.15 * (usual - least);
    let end = tried.iter().rposition(|trial| trial.1 <= good)?;
    let begin = tried[..end].iter().rposition(|trial| trial.1 > good).map_or(0, |before| before + 1);
    tried[begin..=end].iter().min_by(|a, b| a.1.total_cmp(&b.1)).map(|trial| trial.0)
}

/// From the lowest in a hundred to the highest in a hundred.
fn spread(values: impl Iterator<Item = f64>) -> f64 {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    let at = |share: f64| crate::studies::spread::percentile(&sorted, share).unwrap_or(0.0);
    at(0.99) - at(0.01)
}

fn middle(values: impl Iterator<Item = f64>) -> f64 {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    crate::studies::spread::percentile(&sorted, 0.5).unwrap_or(0.0)
}

/// By how much errors grow since residuals hang together: √(1 + 2·Σρ_k) over the lags until they no longer do.
fn hanging_together(residuals: &[f64]) -> f64 {
    let clipped: Vec<f64> = residuals.iter().map(|r| r.clamp(-HUBER, HUBER)).collect();
    let count = clipped.len();
    let mean = clipped.iter().sum::<f64>() / count as f64;
    let lag = |k: usize| -> f64 {
        clipped.iter().zip(clipped.iter().skip(k)).map(|(a, b)| (a - mean) * (b - mean)).sum()
    };
    let whole = lag(0);
    // Chance alone makes ρ of the order of 1/√N.
    let chance = 2.0 / (count as f64).sqrt();
    let sum: f64 = (1..count / 4).map(|k| lag(k) / whole).take_while(|rho| *rho > chance).sum();
    (1.0 + 2.0 * sum).max(1.0).sqrt()
}
