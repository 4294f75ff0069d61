//! The outlines of a turned part: radius along the axis, mm of the part.

use super::{BoreStep, OutsideStep, Surface, TurnedPart};

/// Place along the axis and radius.
pub(super) type Station = (f64, f64);

impl TurnedPart {
    /// Length over all.
    pub fn length(&self) -> f64 {
        self.outside.iter().map(|step| step.length).sum()
    }

    /// Greatest diameter.
    pub fn greatest_diameter(&self) -> f64 {
        self.outside.iter().map(|step| step.diameter).fold(0.0, f64::max)
    }

    /// The outside from left to right, the radius being half the distance across in the plane of the paper.
    pub(super) fn outline(&self) -> Vec<Station> {
        let mut stations: Vec<Station> = Vec::new();
        for (start, step) in self.steps() {
            let radius = silhouette(step);
            let (left, right) = step.chamfers;
            let end = start + step.length;
            if left > 0.0 {
                stations.push((start, radius - left));
            }
            stations.push((start + left, radius));
            stations.push((end - right, radius));
            if right > 0.0 {
                stations.push((end, radius - right));
            }
        }
        stations
    }

    /// The bore from left to right; it ends on the axis where it is blind.
    pub(super) fn bore_line(&self) -> Vec<Station> {
        let mut stations: Vec<Station> = Vec::new();
        let mut depth = 0.0;
        for step in &self.bore {
            stations.push((depth, 0.5 * step.diameter));
            depth += step.length;
            stations.push((depth, 0.5 * step.diameter));
        }
        // Sums of the same lengths may differ in their last figure.
        if depth < self.length() - 1e-6 {
            stations.push((depth, 0.0));
        }
        stations
    }

    /// Each step of the outside with where it begins.
    pub(super) fn steps(&self) -> impl Iterator<Item = (f64, &OutsideStep)> {
        self.outside.iter().scan(0.0, |start, step| {
            let here = *start;
            *start += step.length;
            Some((here, step))
        })
    }

    /// Each step of the bore with where it begins.
    pub(super) fn bore_steps(&self) -> impl Iterator<Item = (f64, &BoreStep)> {
        self.bore.iter().scan(0.0, |start, step| {
            let here = *start;
            *start += step.length;
            Some((here, step))
        })
    }
}

/// Half the distance across a step in the plane of the paper: flats lie above and below.
pub(super) fn silhouette(step: &OutsideStep) -> f64 {
    match step.surface {
        Surface::Flats(across) => 0.5 * across,
        Surface::Plain | Surface::Thread(_) => 0.5 * step.diameter,
    }
}

/// The stations up to `end`, with one at `end` itself where the line goes on beyond it.
pub(super) fn up_to(stations: &[Station], end: f64) -> Vec<Station> {
    let mut kept: Vec<Station> = Vec::new();
    for &(x, r) in stations {
        if x <= end {
            kept.push((x, r));
            continue;
        }
        if let Some(&(x0, r0)) = kept.last()
            && x0 < end
        {
            kept.push((end, r0 + (r - r0) * (end - x0) / (x - x0)));
        }
        break;
    }
    kept
}
