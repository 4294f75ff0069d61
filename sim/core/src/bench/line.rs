//! The straight line through readings by least squares.
//!
//! y = ȳ + b·(x − x̄), b = Σ(x − x̄)(y − ȳ)/S, S = Σ(x − x̄)²; the scatter s² = Σr²/(n − 2) is that of a reading about the line,
//! whichever of x and y it is in. The errors are s/√S of b, s·√(1/n + (x − x̄)²/S) of the line at x, and that over |b| of the x at
//! which it is nought. An error in x flattens the line by the share of (error of x)²·n/S, less than a thousandth where a reading goes
//! over thirty times its error, and is left out.

/// A line and what its readings leave open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// How many readings it goes through.
    pub count: usize,
    /// Their middle.
    pub centre: (f64, f64),
    /// b.
    pub slope: f64,
    /// S.
    pub spread: f64,
    /// Σr².
    pub left: f64,
    /// No scatter is less: what the readings were rounded to.
    pub floor: f64,
}

/// One reading beside the line of all others: by how much it is off, and in standard errors of that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Off {
    /// How far it lies above the line of all others.
    pub by: f64,
    /// The same in standard errors; Student's with n − 3 degrees of freedom.
    pub errors: f64,
}

impl Line {
    /// The line through three points or more, not all at the same x; no scatter counts as less than `floor`.
    pub fn through(points: &[(f64, f64)], floor: f64) -> Option<Self> {
        let count = points.len();
        let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count as f64;
        let centre = (mean(|p| p.0), mean(|p| p.1));
        let sum =
            |of: fn(f64, f64) -> f64| points.iter().map(|p| of(p.0 - centre.0, p.1 - centre.1)).sum::<f64>();
        let spread = sum(|x, _| x * x);
        if count < 3 || spread <= 0.0 || !spread.is_finite() {
            return None;
        }
        let slope = sum(|x, y| x * y) / spread;
        let off = |p: &(f64, f64)| p.1 - centre.1 - slope * (p.0 - centre.0);
        let left = points.iter().map(|p| off(p).powi(2)).sum();
        Some(Self { count, centre, slope, spread, left, floor })
    }

    /// n − 2.
    pub fn freedom(&self) -> usize {
        self.count - 2
    }

    /// s.
    pub fn scatter(&self) -> f64 {
        (self.left / self.freedom() as f64).sqrt().max(self.floor)
    }

    /// Its height at `x`.
    pub fn at(&self, x: f64) -> f64 {
        self.centre.1 + self.slope * (x - self.centre.0)
    }

    /// Where it is nought.
    pub fn nought(&self) -> f64 {
        self.centre.0 - self.centre.1 / self.slope
    }

    /// Standard error of the slope.
    pub fn slope_error(&self) -> f64 {
        self.scatter() / self.spread.sqrt()
    }

    /// Standard error of its height at `x`.
    pub fn error_at(&self, x: f64) -> f64 {
        self.scatter() * (1.0 / self.count as f64 + (x - self.centre.0).powi(2) / self.spread).sqrt()
    }

    /// Standard error of where it is nought.
    pub fn nought_error(&self) -> f64 {
        self.error_at(self.nought()) / self.slope.abs()
    }

    /// One of its points held against the line of all others; none where that has no scatter left to be held against.
    pub fn off(&self, point: (f64, f64)) -> Option<Off> {
        let freedom = self.count.checked_sub(3).filter(|freedom| *freedom > 0)? as f64;
        let r = point.1 - self.at(point.0);
        let free = 1.0 - 1.0 / self.count as f64 - (point.0 - self.centre.0).powi(2) / self.spread;
        if free <= 1e-9 {
            return None;
        }
        let others = ((self.left - r * r / free) / freedom).max(self.floor * self.floor);
        Some(Off { by: r / free, errors: r / (others * free).sqrt() })
    }

    /// How the slope changes from end to end of these points, as a share of itself, and in standard errors of that; Student's with n − 3
    /// degrees of freedom.
    pub fn bend(&self, points: &[(f64, f64)]) -> Option<Off> {
        let freedom = self.count.checked_sub(3).filter(|freedom| *freedom > 0)? as f64;
        // (x − x̄)² with its own mean and line taken out of it.
        let squared: Vec<(f64, f64)> = points.iter().map(|p| (p.0, (p.0 - self.centre.0).powi(2))).collect();
        let base = Self::through(&squared, 0.0)?;
        if base.left <= 0.0 {
            return None;
        }
        let of = |(square, p): (&(f64, f64), &(f64, f64))| (square.1 - base.at(p.0)) * (p.1 - self.at(p.0));
        let bend = squared.iter().zip(points).map(of).sum::<f64>() / base.left;
        let left = ((self.left - bend * bend * base.left) / freedom).max(self.floor * self.floor);
        let ends = points.iter().map(|p| p.0);
        let width = ends.clone().fold(f64::NEG_INFINITY, f64::max) - ends.fold(f64::INFINITY, f64::min);
        let error = (left / base.left).sqrt();
        Some(Off {
            by: 2.0 * bend * width / self.slope,
            errors: if error > 0.0 { bend / error } else { 0.0 },
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_of_a_line_and_one_point_off_it() {
        let mut points: Vec<(f64, f64)> = (0..5).map(|n| (f64::from(n), 1.0 + 2.0 * f64::from(n))).collect();
        let line = Line::through(&points, 0.1).expect("a line");
        assert!((line.slope - 2.0).abs() < 1e-12 && (line.nought() + 0.5).abs() < 1e-12);
        // Nothing is left over, so the floor stands for the scatter: 0.1/√10.
        assert!((line.slope_error() - 0.1 / 10.0_f64.sqrt()).abs() < 1e-12);
        points[4].1 += 3.0;
        let line = Line::through(&points, 0.1).expect("a line");
        let off = line.off(points[4]).expect("held against the others");
        // The other four lie on their line; at x = 4 that line has the error 0.1·√(1 + 1/4 + 2.5²/5) of one more reading.
        let error = 0.1 * (1.0_f64 + 0.25 + 2.5 * 2.5 / 5.0).sqrt();
        assert!((off.by - 3.0).abs() < 1e-12 && (off.errors - 3.0 / error).abs() < 1e-9, "{off:?}");
    }

    #[test]
    fn closed_form_of_a_bend() {
        // y = x + 0.05·x² from 0 to 4: the slope goes from 1 to 1.4 about a middle one of 1.2.
        let points: Vec<(f64, f64)> =
            (0..9).map(|n| 0.5 * f64::from(n)).map(|x| (x, x + 0.05 * x * x)).collect();
        let line = Line::through(&points, 1e-3).expect("a line");
        let bend = line.bend(&points).expect("a bend");
        assert!((bend.by - 0.4 / 1.2).abs() < 1e-9 && bend.errors > 100.0, "{bend:?}");
        assert_eq!(Line::through(&points[..2], 0.0), None);
    }
}
