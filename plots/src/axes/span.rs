//! From values to pixels along one axis.

use super::ticks::{self, Ticks};
use super::{Axis, Scale};

/// Beyond this size a value is a gap: sums and differences of such values may overflow.
const HUGE: f64 = 1e300;
/// A range narrower than this part of its values cannot be marked in `f64`; it counts as one value.
const FLAT: f64 = 1e-11;
/// Values that come nearer zero than this part of the greatest are shown from zero.
const NEAR_ZERO: f64 = 0.35;
/// A range whose ends are not this many times apart needs no logarithmic scale.
const DECADE: f64 = 10.0;
/// Pixels are kept within this distance of the canvas, far outside any canvas.
const FAR: f64 = 1e7;

/// Whether a value can be drawn on a scale.
pub fn is_drawable(value: f64, scale: Scale) -> bool {
    value.abs() <= HUGE && (scale != Scale::Log || value >= 1.0 / HUGE)
}

/// The range an axis shows, in its unit; `low < high`, both drawable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    low: f64,
    high: f64,
    scale: Scale,
    /// The step its ends were rounded to, so that the ticks fall on the ends.
    step: Option<f64>,
}

impl Span {
    /// The axis' own range if it is usable, else that of the values, else 0 to 1 (1 to 10 if logarithmic).
    pub fn of(axis: &Axis, values: impl Iterator<Item = f64>) -> Self {
        let stated = axis.range.map(|(a, b)| (a.min(b), a.max(b)));
        let values: Vec<f64> = values.collect();
        let scale = match axis.scale {
            Scale::Log if !is_wide(stated, &values) => Scale::Linear,
            scale => scale,
        };
        if let Some((low, high)) = stated
            && is_drawable(low, scale)
            && is_drawable(high, scale)
            && !is_flat(low, high)
        {
            return Self { low, high, scale, step: None };
        }
        let (low, high) = values
            .into_iter()
            .filter(|value| is_drawable(*value, scale))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
        let (low, high) = match scale {
            Scale::Log if low > high => (1.0, 10.0),
            Scale::Log if is_flat(low, high) => (low / 2.0, high * 2.0),
            _ if low > high => (0.0, 1.0),
            _ if is_flat(low, high) => {
                let room = if low == 0.0 { 1.0 } else { 0.5 * low.abs().max(1e-290) };
                (low - room, high + room)
            }
            _ => (low, high),
        };
        Self { low, high, scale, step: None }
    }

    /// Whether values are spread by their ratios.
    pub fn is_log(&self) -> bool {
        self.scale == Scale::Log
    }

    /// The span cut off at a value that nothing is below; unchanged if something is.
    pub fn not_below(self, floor: Option<f64>) -> Self {
        match floor {
            Some(floor) if floor > self.low && floor < self.high => Self { low: floor, ..self },
            _ => self,
        }
    }

    /// The span with zero taken in, if it is linear and zero is not far off.
    pub fn with_near_zero(self) -> Self {
        let Self { low, high, scale, .. } = self;
        match scale {
            Scale::Linear if low > 0.0 && low < NEAR_ZERO * high => Self { low: 0.0, ..self },
            Scale::Linear if high < 0.0 && high > NEAR_ZERO * low => Self { high: 0.0, ..self },
            _ => self,
        }
    }

    /// The span widened so that both ends fall on ticks, at about `most` ticks.
    pub fn rounded(self, most: f64) -> Self {
        if self.scale == Scale::Log {
            let (down, up) = (self.low.log10(), self.high.log10());
            let step = if up - down > 1.5 { 1.0 } else { 0.1 };
            return Self {
                low: power((down / step).floor() * step),
                high: power((up / step).ceil() * step),
                ..self
            };
        }
        let step = self.step_for(most);
        let (low, high) = ((self.low / step + 1e-6).floor() * step, (self.high / step - 1e-6).ceil() * step);
        Self { low, high, step: Some(step), ..self }
    }

    /// The span widened by a part of itself below and above.
    pub fn widened(self, below: f64, above: f64) -> Self {
        if self.scale == Scale::Log {
            let (down, up) = (self.low.log10(), self.high.log10());
            return Self {
                low: power(down - below * (up - down)),
                high: power(up + above * (up - down)),
                ..self
            };
        }
        let span = self.high - self.low;
        Self { low: self.low - below * span, high: self.high + above * span, ..self }
    }

    fn step_for(&self, most: f64) -> f64 {
        let span = self.high - self.low;
        if self.scale == Scale::Degrees { ticks::step_degrees(span, most) } else { ticks::step(span, most) }
    }

    /// Ticks of the span, at most about `most` with figures.
    pub fn ticks(&self, most: f64) -> Ticks {
        match self.scale {
            Scale::Log => ticks::logarithmic(self.low, self.high, most),
            Scale::Linear | Scale::Degrees => {
                ticks::at_multiples(self.low, self.high, self.step.unwrap_or_else(|| self.step_for(most)))
            }
        }
    }

    /// Where along the span a value lies: 0 at the low end, 1 at the high end.
    fn part(&self, value: f64) -> f64 {
        match self.scale {
            Scale::Log => (value.log10() - self.low.log10()) / (self.high.log10() - self.low.log10()),
            Scale::Linear | Scale::Degrees => (value - self.low) / (self.high - self.low),
        }
    }

    /// Whether a value can be drawn and lies within the span.
    pub fn holds(&self, value: f64) -> bool {
        is_drawable(value, self.scale) && (-1e-9..=1.0 + 1e-9).contains(&self.part(value))
    }

    /// The pixel of a value when the span runs from pixel `start` to pixel `end`; none for a gap.
    pub fn pixel(&self, value: f64, start: f64, end: f64) -> Option<f64> {
        is_drawable(value, self.scale).then(|| (start + self.part(value) * (end - start)).clamp(-FAR, FAR))
    }
}

/// Ten to a power, kept within what is drawable with something to spare.
fn power(exponent: f64) -> f64 {
    10_f64.powf(exponent.clamp(-307.0, 307.0))
}

/// Whether a range, or else values, needs a logarithmic scale. What cannot be drawn on one does not count.
fn is_wide(stated: Option<(f64, f64)>, values: &[f64]) -> bool {
    let drawable = |value: &f64| is_drawable(*value, Scale::Log);
    if let Some((low, high)) =
        stated.filter(|(low, high)| drawable(low) && drawable(high) && !is_flat(*low, *high))
    {
        return high >= DECADE * low;
    }
    let ends = values.iter().copied().filter(drawable).fold(None, |ends: Option<(f64, f64)>, value| {
        Some(ends.map_or((value, value), |(low, high)| (low.min(value), high.max(value))))
    });
    ends.is_none_or(|(low, high)| high >= DECADE * low)
}

fn is_flat(low: f64, high: f64) -> bool {
    let size = low.abs().max(high.abs());
    high - low <= FLAT * size || high - low < 1e-290
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(axis: &Axis, values: &[f64]) -> Span {
        Span::of(axis, values.iter().copied())
    }

    #[test]
    fn closed_form_a_log_axis_puts_the_geometric_mean_in_the_middle() {
        let span = span(&Axis::new("pace", "1/min").log(), &[1.0, 100.0]);
        let middle = span.pixel(10.0, 0.0, 200.0);
        assert!(middle.is_some_and(|px| (px - 100.0).abs() < 1e-9), "{middle:?}");
        assert_eq!(span.pixel(0.0, 0.0, 200.0), None);
    }

    #[test]
    fn property_less_than_a_decade_is_drawn_evenly_and_more_is_marked() {
        let axis = Axis::new("time", "ms").log();
        for (values, log) in
            [([20.0, 50.0], false), ([5.0, 50.0], true), ([0.0, 30.0], false), ([3.0, 900.0], true)]
        {
            let shown = span(&axis, &values);
            assert_eq!(
                (shown.is_log(), axis.title(&shown).contains("logarithmic")),
                (log, log),
                "{values:?}"
            );
        }
        let stated = axis.range(2.0, 15.0);
        assert!(!span(&stated, &[1.0, 1e6]).is_log());
    }

    #[test]
    fn property_an_axis_ends_at_what_nothing_is_below() {
        let axis = Axis::new("pressure", "MPa").not_below(-0.1);
        let shown = |values: &[f64]| span(&axis, values).rounded(4.0).not_below(axis.floor);
        assert!((shown(&[-0.05, 38.0]).low + 0.1).abs() < 1e-12);
        assert!(shown(&[2.0, 38.0]).low >= 0.0);
    }

    #[test]
    fn closed_form_a_rounded_range_begins_and_ends_on_ticks() {
        for (values, most) in
            [([0.0, 18.0], 4.0), ([-0.6, 1.0], 2.0), ([3.0, 1234.0], 5.0), ([-0.02, -0.001], 7.0)]
        {
            for axis in [Axis::new("lift", "mm"), Axis::new("angle", "°").degrees()] {
                let rounded = span(&axis, &values).rounded(most);
                let ticks = rounded.ticks(most).major;
                let ends =
                    [ticks.first(), ticks.last()].map(|tick| tick.map_or(f64::NAN, |(value, _)| *value));
                let slack = 1e-9 * (rounded.high - rounded.low);
                let met = (ends[0] - rounded.low).abs() < slack && (ends[1] - rounded.high).abs() < slack;
                assert!(met, "{values:?}: {rounded:?} with ticks {ends:?}");
            }
        }
    }

    #[test]
    fn property_degenerate_ranges_still_have_a_width() {
        let cases: [&[f64]; 9] = [
            &[],
            &[f64::NAN, f64::INFINITY],
            &[0.0],
            &[5.0, 5.0],
            &[1e300, -1e300],
            &[1e-300, 1e300],
            &[5e-324],
            &[f64::MAX, 1.0],
            &[1e15, 1e15 + 0.125],
        ];
        for scale in [Scale::Linear, Scale::Degrees, Scale::Log] {
            for stated in [None, Some((3.0, 3.0)), Some((f64::NAN, 1.0)), Some((7.0, -1.0))] {
                for values in cases {
                    let axis = Axis { range: stated, scale, ..Axis::new("a", "b") };
                    for found in [span(&axis, values), span(&axis, values).rounded(6.0).widened(0.1, 0.1)] {
                        assert!(found.low < found.high, "{axis:?} {values:?}: {found:?}");
                        assert!(
                            found.low.is_finite() && found.high.is_finite(),
                            "{axis:?} {values:?}: {found:?}"
                        );
                        let marks = found.ticks(6.0).major.len();
                        assert!(marks <= 14, "{axis:?} {values:?}: {marks} marks");
                    }
                }
            }
        }
    }
}
