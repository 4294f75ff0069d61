//! The rate of a spring from loads at several lengths.
//!
//! A spring whose ends seat first and whose coils touch in the end is a spring in between. Every stretch of half the places or more is
//! priced by n·ln(s/R): n readings on its line with the scatter s, where those left out may lie anywhere within the greatest load R
//! (the likelihood of the one kind and of the other). Of the stretch that is cheapest the longest part counts that is straight: no end
//! of it lies off the line of the others, and the line is not bent. A reading within it that is far off the others is a slip, and
//! counts for nothing.

use super::carried::{Known, carried};
use super::line::{Line, Off};
use super::{TOLD, of_rounding, student};
use latchstroke_models::spring::Wire;

/// Fewest readings, and fewest lengths among them, of which a rate is told.
pub const FEWEST: (usize, usize) = (5, 4);
/// With a chance of this a straight stretch is called so.
const STRAIGHT: f64 = 0.995;
/// An end that is off by less than this share of the greatest load, or a rate that changes by less, is straight enough whatever the scatter.
const ENOUGH: (f64, f64) = (0.01, 0.05);
/// One reading in so many may be a slip; one it is taken for where chance alone would make it so once in a thousand tables.
const SLIPS: usize = 8;
const NO_SLIP: f64 = 0.999;
/// A rate that is known no better than this share of itself is not told.
const VAGUE: f64 = 0.25;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// How far the spring is squeezed, m, from wherever it is counted (a length counts below nought), and the load, N.
    pub readings: &'a [(f64, f64)],
    /// What the loads were rounded to, N. (Lengths that are set and not read may be exact, however few figures they are written with.)
    pub step: f64,
}

/// Why a reading was left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Left {
    /// It bears more than the line at the long end: the ends still seat, or the spring is not touched yet.
    Seating,
    /// It bears more than the line at the short end: coils touch.
    Binding,
    /// It is off the line of its neighbours.
    Slip,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Load by squeeze.
    pub line: Line,
    /// Which readings were left out, and why; the others made the line.
    pub left: Vec<(usize, Left)>,
    /// The squeeze from which to which it is straight, m.
    pub stretch: (f64, f64),
    /// The scatter is what the loads were rounded to: they lie on the line closer than that.
    pub rounded: bool,
}

/// Why nothing is told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refused {
    /// Readings, and lengths among them.
    TooFew(usize, usize),
    /// The load falls as the spring is squeezed.
    WrongWay,
    /// No half of them lies on one straight line.
    Bent,
    /// The rate is known to no better than this share of itself.
    Vague(f64),
}

impl Answer {
    /// The rate and half its interval, N/m.
    pub fn rate(&self) -> (f64, f64) {
        (self.line.slope, self.told(self.line.slope_error()))
    }

    /// The squeeze at which it bears nothing, and half its interval, m: less the free length, where lengths were read.
    pub fn nought(&self) -> (f64, f64) {
        (self.line.nought(), self.told(self.line.nought_error()))
    }

    /// The load at a squeeze (m) and half its interval, N.
    pub fn load(&self, squeeze: f64) -> (f64, f64) {
        (self.line.at(squeeze), self.told(self.line.error_at(squeeze)))
    }

    fn told(&self, error: f64) -> f64 {
        student(self.line.freedom(), TOLD) * error
    }
}

impl Question<'_> {
    /// The rate.
    ///
    /// # Errors
    /// Why none is told.
    pub fn answer(&self) -> Result<Answer, Refused> {
        let mut order: Vec<usize> = (0..self.readings.len()).collect();
        order.sort_by(|a, b| self.readings[*a].0.total_cmp(&self.readings[*b].0));
        // Readings at the same length are one place.
        let mut places: Vec<Vec<usize>> = Vec::new();
        for n in order {
            match places.last_mut() {
                Some(place) if self.readings[place[0]].0.total_cmp(&self.readings[n].0).is_eq() => {
                    place.push(n);
                }
                _ => places.push(vec![n]),
            }
        }
        if self.readings.len() < FEWEST.0 || places.len() < FEWEST.1 {
            return Err(Refused::TooFew(self.readings.len(), places.len()));
        }
        let whole = Line::through(self.readings, 0.0).ok_or(Refused::Bent)?;
        if whole.slope <= 0.0 {
            return Err(Refused::WrongWay);
        }
        let floor = of_rounding(self.step);
        let least = FEWEST.1.max(places.len().div_ceil(2));
        let most = self.readings.iter().map(|reading| reading.1).fold(0.0, f64::max);
        let within = |(start, end): (usize, usize)| places[start..end].concat();
        let stretches =
            (0..places.len()).flat_map(|start| (start + least..=places.len()).map(move |end| (start, end)));
        let priced = stretches.filter_map(|stretch| {
            let (line, _) = self.line(&within(stretch), floor, most)?;
            // Less what all would cost if all were left out.
            Some((line.count as f64 * libm::log(line.scatter().max(1e-9 * most) / most), stretch))
        });
        let (_, (low, high)) = priced.min_by(|a, b| a.0.total_cmp(&b.0)).ok_or(Refused::Bent)?;
        let parts =
            (least..=high - low).rev().flat_map(|size| (low..=high - size).map(move |at| (at, at + size)));
        let mut straight = parts.filter_map(|part| Some((part, self.straight(&within(part), floor, most)?)));
        let ((start, end), (line, slips)) = straight.next().ok_or(Refused::Bent)?;
        let vague = student(line.freedom(), TOLD) * line.slope_error() / line.slope;
        if vague > VAGUE {
            return Err(Refused::Vague(vague));
        }
        let off = |n: usize, above: Left| {
            let (x, load) = self.readings[n];
            (n, if load > line.at(x) { above } else { Left::Slip })
        };
        let mut left: Vec<(usize, Left)> =
            places[..start].concat().into_iter().map(|n| off(n, Left::Seating)).collect();
        left.extend(slips.into_iter().map(|n| (n, Left::Slip)));
        left.extend(places[end..].concat().into_iter().map(|n| off(n, Left::Binding)));
        let squeeze = |place: usize| self.readings[places[place][0]].0;
        let rounded = line.scatter() <= line.floor;
        Ok(Answer { line, left, stretch: (squeeze(start), squeeze(end - 1)), rounded })
    }

    /// The line through these readings, which lie in order, and the slips among them.
    fn line(&self, within: &[usize], floor: f64, most: f64) -> Option<(Line, Vec<usize>)> {
        let mut kept: Vec<usize> = within.to_vec();
        let mut slips = Vec::new();
        loop {
            let points = self.points(&kept);
            let line = Line::through(&points, floor)?;
            let chance = 1.0 - (1.0 - NO_SLIP) / points.len() as f64;
            let most_errors = student(points.len().saturating_sub(3), chance);
            let far = |off: &Off| off.errors.abs() > most_errors && off.by.abs() > ENOUGH.0 * most;
            let all = kept.iter().filter_map(|n| Some((*n, line.off(self.readings[*n])?)));
            let worst = all.max_by(|a, b| a.1.errors.abs().total_cmp(&b.1.errors.abs()));
            match worst.filter(|(n, off)| !self.is_end(within, *n) && far(off)) {
                Some((n, _)) if slips.len() < within.len() / SLIPS => {
                    kept.retain(|other| *other != n);
                    slips.push(n);
                }
                _ => return Some((line, slips)),
            }
        }
    }

    /// The same where it is straight from end to end.
    fn straight(&self, within: &[usize], floor: f64, most: f64) -> Option<(Line, Vec<usize>)> {
        let (line, slips) = self.line(within, floor, most)?;
        let kept: Vec<usize> = within.iter().copied().filter(|n| !slips.contains(n)).collect();
        let most_errors = student(kept.len().saturating_sub(3), STRAIGHT);
        let is_off = |off: Off| off.errors.abs() > most_errors && off.by.abs() > ENOUGH.0 * most;
        let mut ends = kept.iter().filter(|n| self.is_end(within, **n));
        let end_is_off = ends.any(|n| line.off(self.readings[*n]).is_some_and(is_off));
        let bend = line.bend(&self.points(&kept));
        let is_bent = bend.is_some_and(|bend| bend.errors.abs() > most_errors && bend.by.abs() > ENOUGH.1);
        (line.slope > 0.0 && !end_is_off && !is_bent).then_some((line, slips))
    }

    fn points(&self, of: &[usize]) -> Vec<(f64, f64)> {
        of.iter().map(|n| self.readings[*n]).collect()
    }

    /// Whether a reading lies at an end of these.
    fn is_end(&self, within: &[usize], n: usize) -> bool {
        let at = |n: &usize| self.readings[*n].0;
        [within.first(), within.last()].into_iter().flatten().any(|end| at(end).total_cmp(&at(&n)).is_eq())
    }
}

/// What a measured rate is held against: wire and coils.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByWire {
    /// The rate that they make, N/m; none where the coils that give are not counted.
    pub rate: Option<Known>,
    /// How many coils would give, for the rate that was measured.
    pub coils: f64,
}

impl ByWire {
    /// Of a wire whose diameter, mean coil (m) and active coils are known to `halves` of their intervals, beside a measured `rate` (N/m).
    pub fn of(wire: Wire, [diameter, coil, coils]: [f64; 3], rate: f64) -> Option<Self> {
        let made = |v: &[f64]| match v {
            &[diameter, mean_coil, active_coils] => Wire { diameter, mean_coil, active_coils, ..wire }.rate(),
            _ => f64::NAN,
        };
        let known = [
            Known { value: wire.diameter, half: diameter },
            Known { value: wire.mean_coil, half: coil },
            Known { value: wire.active_coils, half: coils },
        ];
        let coils = wire.active_coils * wire.rate() / rate;
        carried(&known, made).map(|(rate, _)| Self { rate: Some(rate), coils })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: of k ∝ d⁴/(D³·n) the shares of the errors count four, three and one times over; half the rate takes twice the coils.
    #[test]
    fn closed_form_of_wire_and_coils() {
        let wire = Wire {
            diameter: 5e-3,
            mean_coil: 40e-3,
            active_coils: 8.0,
            total_coils: 10.0,
            shear_modulus: 79.3e9,
            density: 7850.0,
        };
        let by = ByWire::of(wire, [5e-6, 80e-6, 0.04], 0.5 * wire.rate()).expect("a rate");
        let share = (4e-3_f64.powi(2) + 6e-3_f64.powi(2) + 5e-3_f64.powi(2)).sqrt();
        let rate = by.rate.expect("a rate");
        assert!((rate.half / rate.value / share - 1.0).abs() < 1e-4 && (by.coils - 16.0).abs() < 1e-12);
    }

    fn answered(readings: &[(f64, f64)]) -> Result<Answer, Refused> {
        Question { readings, step: 0.5 }.answer()
    }

    #[test]
    fn closed_form_of_a_spring_that_seats_and_binds() {
        // 9 N/mm from 150 mm; the first two bear more than that while the ends seat, the last two once coils touch.
        let load = |length: f64| 9000.0 * (0.150 - length);
        let mut readings: Vec<(f64, f64)> =
            (0..12).map(|n| 0.146 - 0.006 * f64::from(n)).map(|length| (-length, load(length))).collect();
        readings[0].1 += 40.0;
        readings[1].1 += 25.0;
        readings[10].1 += 60.0;
        readings[11].1 += 300.0;
        let answer = answered(&readings).expect("a rate");
        assert!((answer.rate().0 - 9000.0).abs() < 1e-6 && (answer.nought().0 + 0.150).abs() < 1e-9);
        assert_eq!(
            answer.left,
            [(0, Left::Seating), (1, Left::Seating), (10, Left::Binding), (11, Left::Binding)]
        );
        assert!(answer.rounded, "{answer:?}");
        // One misread in the middle.
        readings[6].1 -= 50.0;
        let answer = answered(&readings[2..10]).expect("a rate");
        assert_eq!(answer.left, [(4, Left::Slip)]);
    }

    #[test]
    fn what_tells_nothing_is_refused() {
        let line = |count: u32| (0..count).map(|n| (f64::from(n) * 0.01, 90.0 * f64::from(n)));
        assert_eq!(answered(&line(4).collect::<Vec<_>>()), Err(Refused::TooFew(4, 4)));
        let same: Vec<(f64, f64)> = line(3).chain(line(3)).collect();
        assert_eq!(answered(&same), Err(Refused::TooFew(6, 3)));
        let back: Vec<(f64, f64)> = line(6).map(|(x, load)| (-x, load)).collect();
        assert_eq!(answered(&back), Err(Refused::WrongWay));
        // A cone: the rate doubles along it.
        let cone: Vec<(f64, f64)> =
            (0..12).map(|n| 0.005 * f64::from(n)).map(|x| (x, 5000.0 * x + 60_000.0 * x * x)).collect();
        assert_eq!(answered(&cone), Err(Refused::Bent));
    }
}
