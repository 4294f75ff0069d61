//! Where an axis is marked, and with which figures.

/// Marks along an axis: value and figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Ticks {
    /// Marks with figures.
    pub major: Vec<(f64, String)>,
    /// Marks without figures, on logarithmic axes.
    pub minor: Vec<f64>,
}

/// Steps of 1, 2 and 5 times a power of ten.
const DECIMAL: [f64; 3] = [1.0, 2.0, 5.0];
/// Steps in which a turn is divided.
const TURN: [f64; 9] = [1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 45.0, 90.0, 180.0];
/// From this size on, and below its reciprocal's thousandth, figures are given with a power of ten.
const LARGE: f64 = 1e6;

/// The least step of 1, 2 or 5 times a power of ten that divides `span` into at most `most` parts.
pub fn step(span: f64, most: f64) -> f64 {
    let rough = span / most.max(1.0);
    let decade = 10_f64.powf(rough.log10().floor());
    let fits = |factor: &f64| factor * decade >= rough * (1.0 - 1e-9);
    DECIMAL.into_iter().find(fits).map_or(10.0 * decade, |factor| factor * decade)
}

/// The step for an axis in degrees: a usual division of the turn, or a decimal step outside those.
pub fn step_degrees(span: f64, most: f64) -> f64 {
    let rough = span / most.max(1.0);
    if rough < 0.5 {
        return step(span, most);
    }
    TURN.into_iter().find(|step| *step >= rough).unwrap_or_else(|| 360.0 * step(span / 360.0, most).max(1.0))
}

/// Ticks at the multiples of `step` from `low` to `high`.
pub fn at_multiples(low: f64, high: f64, step: f64) -> Ticks {
    // A hair of slack, so that an end that is a multiple in all but rounding keeps its figure.
    let slack = 1e-6 * step;
    let first = ((low - slack) / step).ceil();
    let values: Vec<f64> = (0..1000)
        .map(|i| (first + f64::from(i)) * step)
        .take_while(|value| *value <= high + slack)
        .map(|value| if value.abs() < slack { 0.0 } else { value })
        .collect();
    let largest = values.iter().fold(0.0_f64, |largest, value| largest.max(value.abs()));
    let figures = Figures::new(largest, step);
    Ticks {
        major: values.into_iter().map(|value| (value, figures.write(value))).collect(),
        minor: Vec::new(),
    }
}

/// Ticks of a logarithmic axis from `low` to `high`, both positive, with at most about `most` figures.
///
/// Over a short range every 1, 2 and 5 has its figure, and so over one that holds a single power of ten; over a longer one each
/// power, over a very long one every second, third … power.
pub fn logarithmic(low: f64, high: f64, most: f64) -> Ticks {
    let decades = high.log10() - low.log10();
    if decades < 0.9 {
        return at_multiples(low, high, step(high - low, most));
    }
    let inside = |value: &f64| (low * (1.0 - 1e-9)..=high * (1.0 + 1e-9)).contains(value);
    let powers = exponent(low)..=exponent(high);
    let stride = step(decades, most).max(1.0).round();
    let alone = powers.clone().filter(|power| inside(&10_f64.powi(*power))).count() < 2;
    let factors: &[f64] = if alone || 3.0 * decades <= most { &DECIMAL } else { &[1.0] };
    let plain = low >= 1e-4 && high < LARGE;
    let grouped_from = grouped_from(high);
    let is_labelled = |power: i32| f64::from(power).rem_euclid(stride) == 0.0;
    let major = powers
        .clone()
        .filter(|power| is_labelled(*power))
        .flat_map(|power| factors.iter().map(move |factor| factor * 10_f64.powi(power)))
        .filter(inside)
        .map(|value| (value, log_figures(value, plain, grouped_from)))
        .collect();
    let between = if decades <= 8.0 { 2..=9 } else { 1..=1 };
    let minor = powers
        .flat_map(|power| between.clone().map(move |factor| f64::from(factor) * 10_f64.powi(power)))
        .filter(inside)
        .collect();
    Ticks { major, minor }
}

/// Floor of the decimal logarithm of a positive value.
fn exponent(value: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "|log10| of a finite f64 is below 330")]
    let power = (value.log10() + 1e-9).floor() as i32;
    power
}

fn log_figures(value: f64, plain: bool, grouped_from: usize) -> String {
    let power = exponent(value);
    let leading = value / 10_f64.powi(power);
    if plain || power == 0 {
        let places = usize::try_from(-power).unwrap_or(0);
        return grouped(&format!("{value:.places$}"), grouped_from);
    }
    if (leading - 1.0).abs() < 1e-6 {
        power_of_ten(power)
    } else {
        format!("{leading:.0}×{}", power_of_ten(power))
    }
}

/// How the figures of one axis are written: the same number of places, the same power of ten.
struct Figures {
    power: i32,
    places: usize,
    grouped_from: usize,
}

impl Figures {
    fn new(largest: f64, step: f64) -> Self {
        let power = if largest == 0.0 || (step >= 1e-4 && largest < LARGE) { 0 } else { exponent(largest) };
        let finest = exponent(step) - power;
        let places = usize::try_from(-finest).unwrap_or(0).min(12);
        Self { power, places, grouped_from: grouped_from(largest / 10_f64.powi(power)) }
    }

    fn write(&self, value: f64) -> String {
        if value == 0.0 && self.power != 0 {
            return "0".into();
        }
        let places = self.places;
        // Two divisions, since 10^-320 itself is not a normal number.
        let half = self.power / 2;
        let scaled = value / 10_f64.powi(half) / 10_f64.powi(self.power - half);
        let figures = grouped(&format!("{scaled:.places$}"), self.grouped_from);
        if self.power == 0 { figures } else { format!("{figures}×{}", power_of_ten(self.power)) }
    }
}

/// "10³" and the like.
fn power_of_ten(power: i32) -> String {
    let digits = power.to_string();
    let raised = digits.chars().map(|c| match c {
        '-' => '⁻',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        '4' => '⁴',
        '5' => '⁵',
        '6' => '⁶',
        '7' => '⁷',
        '8' => '⁸',
        '9' => '⁹',
        _ => '⁰',
    });
    "10".chars().chain(raised).collect()
}

/// From how many figures on thousands are set apart: four figures stand closed up, except in a column
/// with longer numbers.
fn grouped_from(largest: f64) -> usize {
    if largest < 10_000.0 { 5 } else { 4 }
}

/// Plain digits with a real minus, and thousands set apart by a thin space from that many figures on.
fn grouped(plain: &str, from: usize) -> String {
    let (sign, digits) = plain.strip_prefix('-').map_or(("", plain), |digits| ("−", digits));
    let (whole, rest) = digits.find('.').map_or((digits, ""), |dot| digits.split_at(dot));
    if whole.len() < from {
        return format!("{sign}{digits}");
    }
    let mut out = String::from(sign);
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(digit);
    }
    out + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figures(ticks: &Ticks) -> Vec<&str> {
        ticks.major.iter().map(|(_, figures)| figures.as_str()).collect()
    }

    #[test]
    fn closed_form_steps_are_1_2_5() {
        for (span, most, expected) in [(10.0, 10.0, 1.0), (10.0, 9.0, 2.0), (0.37, 4.0, 0.1), (7e8, 5.0, 2e8)]
        {
            let found = step(span, most);
            assert!((found / expected - 1.0).abs() < 1e-9, "{span} in {most}: {found}");
        }
    }

    #[test]
    fn closed_form_a_turn_is_divided_as_usual() {
        for (most, expected) in
            [(4.0, 90.0), (8.0, 45.0), (12.0, 30.0), (24.0, 15.0), (100.0, 5.0), (360.0, 1.0)]
        {
            assert!((step_degrees(360.0, most) - expected).abs() < 1e-12, "{most}");
        }
        assert!((step_degrees(1.0, 5.0) - 0.2).abs() < 1e-12);
    }

    #[test]
    fn closed_form_figures_have_a_real_minus_and_equal_places() {
        assert_eq!(figures(&at_multiples(-0.4, 0.4, 0.2)), ["−0.4", "−0.2", "0.0", "0.2", "0.4"]);
        assert_eq!(figures(&at_multiples(0.0, 20000.0, 10000.0)), ["0", "10\u{202f}000", "20\u{202f}000"]);
        assert_eq!(figures(&at_multiples(0.0, 4000.0, 2000.0)), ["0", "2000", "4000"]);
        assert_eq!(figures(&at_multiples(5000.0, 10000.0, 5000.0)), ["5\u{202f}000", "10\u{202f}000"]);
    }

    #[test]
    fn closed_form_great_and_small_values_share_a_power() {
        assert_eq!(figures(&at_multiples(0.0, 4e9, 2e9)), ["0", "2×10⁹", "4×10⁹"]);
        assert_eq!(figures(&at_multiples(0.0, 1e-7, 5e-8)), ["0", "0.5×10⁻⁷", "1.0×10⁻⁷"]);
    }

    #[test]
    fn closed_form_log_ticks_follow_the_range() {
        assert_eq!(figures(&logarithmic(0.1, 100.0, 5.0)), ["0.1", "1", "10", "100"]);
        assert_eq!(figures(&logarithmic(1.0, 100.0, 8.0)), ["1", "2", "5", "10", "20", "50", "100"]);
        assert_eq!(figures(&logarithmic(14.0, 500.0, 2.0)), ["20", "50", "100", "200", "500"]);
        assert_eq!(figures(&logarithmic(1e-9, 1e9, 6.0)), ["10⁻⁵", "1", "10⁵"]);
    }
}
