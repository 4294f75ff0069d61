//! The cells of one direction, finer toward the wall.

/// Cells from the wall inwards.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Grid {
    /// Width of each cell, m.
    pub widths: Vec<f64>,
    /// Distance of each cell's centre from the wall, m.
    pub centres: Vec<f64>,
    /// One over the distance between the centres of a cell and the next one inwards, 1/m; zero for the last, which lies
    /// against the plane of symmetry.
    pub inverse_gaps: Vec<f64>,
}

impl Grid {
    /// `cells` cells over `length` (m), each `growth` times as wide as its neighbour toward the wall.
    pub fn graded(length: f64, cells: usize, growth: f64) -> Self {
        let widths = std::iter::successors(Some(1.0), |width| Some(width * growth)).take(cells);
        Self::scaled(length, widths.collect())
    }

    /// Cells over `length` (m), the first about `first` wide (m) and each `growth` times as wide as its neighbour toward the
    /// wall, but none wider than about `widest` (m).
    pub fn widening(length: f64, first: f64, growth: f64, widest: f64) -> Self {
        let mut widths = Vec::new();
        let (mut width, mut covered) = (first.min(widest), 0.0);
        while covered < length {
            widths.push(width);
            covered += width;
            width = (width * growth).min(widest);
        }
        Self::scaled(length, widths)
    }

    /// Cells of widths in proportion to `widths`, over `length` (m).
    fn scaled(length: f64, mut widths: Vec<f64>) -> Self {
        let scale = length / widths.iter().sum::<f64>();
        let mut edge = 0.0;
        let mut centres = Vec::with_capacity(widths.len());
        for width in &mut widths {
            *width *= scale;
            centres.push(edge + 0.5 * *width);
            edge += *width;
        }
        let mut inverse_gaps: Vec<f64> =
            centres.iter().zip(centres.iter().skip(1)).map(|(here, next)| 1.0 / (next - here)).collect();
        inverse_gaps.push(0.0);
        Self { widths, centres, inverse_gaps }
    }

    /// Number of cells.
    pub fn len(&self) -> usize {
        self.widths.len()
    }

    /// Length from the wall to the plane of symmetry, m.
    pub fn length(&self) -> f64 {
        self.widths.iter().sum()
    }
}
