//! The outlines of a turned part: radius along the axis, mm of the part.

use super::part::{BoreStep, OutsideStep, Surface, TurnedPart};

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
            if step.countersink > 0.0 {
                stations.push((depth, 0.5 * step.diameter + step.countersink));
            }
            stations.push((depth + step.countersink, 0.5 * step.diameter));
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

/// The stations between two places, with one at each place where the line goes on beyond it.
pub(super) fn between(stations: &[Station], (start, end): (f64, f64)) -> Vec<Station> {
    let at = |x: f64, (x0, r0): Station, (x1, r1): Station| (x, r0 + (r1 - r0) * (x - x0) / (x1 - x0));
    let mut kept: Vec<Station> = Vec::new();
    let mut before: Option<Station> = None;
    for &(x, r) in stations {
        if let Some(last) = before {
            for edge in [start, end] {
                if last.0 < edge && edge < x {
                    kept.push(at(edge, last, (x, r)));
                }
            }
        }
        if (start..=end).contains(&x) {
            kept.push((x, r));
        }
        before = Some((x, r));
    }
    kept
}

impl TurnedPart {
    /// The part seen from its other end. A blind bore, which lies behind the metal then, is left out.
    pub(super) fn turned_round(&self) -> Self {
        let outside = self.outside.iter().rev();
        let outside =
            outside.map(|step| OutsideStep { chamfers: (step.chamfers.1, step.chamfers.0), ..*step });
        let deep: f64 = self.bore.iter().map(|step| step.length).sum();
        let through = deep >= self.length() - 1e-6;
        let bore = self.bore.iter().rev().filter(|_| through);
        let bore = bore.map(|step| BoreStep { countersink: 0.0, ..*step });
        Self { outside: outside.collect(), bore: bore.collect(), sectioned: self.sectioned }
    }

    /// Half the distance across at a place on the axis.
    pub(super) fn radius_at(&self, x: f64) -> f64 {
        self.steps().filter(|(start, _)| *start <= x).last().map_or(0.0, |(_, step)| silhouette(step))
    }

    /// The longest stretch on which nothing changes: there a long part can be broken.
    pub(super) fn plainest(&self) -> (f64, f64) {
        let mut places: Vec<f64> = self.outline().iter().map(|station| station.0).collect();
        places.extend(self.bore_line().iter().map(|station| station.0));
        places.extend([self.sectioned.min(self.length()), 0.0]);
        places.sort_by(f64::total_cmp);
        let stretches = places.windows(2).filter_map(|pair| Some((*pair.first()?, *pair.last()?)));
        stretches.reduce(|a, b| if b.1 - b.0 > a.1 - a.0 { b } else { a }).unwrap_or((0.0, 0.0))
    }
}
