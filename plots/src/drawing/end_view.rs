//! The view along the axis, on the right of the side view: from the left by the first-angle method, from the right by the third.

use super::ink::Pen;
use super::page::Group;
use super::part::{Surface, TurnedPart};
use super::side_view::AXIS_PAST;
use crate::geometry::Point;
use std::f64::consts::{FRAC_PI_2, TAU};

/// Circles nearer to each other than this on paper, mm, run together.
const APART: f64 = 0.7;

/// Draws the view from the left end about `centre`, at `factor` mm on paper for each of the part.
pub(super) fn draw(part: &TurnedPart, centre: Point, factor: f64) -> Group {
    let mut group = Group::new("end-view");
    let mut drawn: Vec<f64> = Vec::new();
    let mut circle = |group: &mut Group, pen: Pen, diameter: f64| {
        let radius = 0.5 * diameter * factor;
        if radius > 0.0 && drawn.iter().all(|other| (other - radius).abs() >= APART) {
            drawn.push(radius);
            group.circle(pen, centre, radius);
        }
    };
    // Visible edges first: what they cover need not be drawn again as hidden.
    let mut widest = 0.0;
    for (_, step) in part.steps() {
        if step.diameter > widest {
            widest = step.diameter;
            circle(&mut group, Pen::Edge, step.diameter);
            // The chamfer of a thread is not drawn beside its core (ISO 6410-1).
            if !matches!(step.surface, Surface::Thread(_)) {
                circle(&mut group, Pen::Edge, step.diameter - 2.0 * step.chamfers.0);
            }
        }
    }
    let mut narrowest = f64::INFINITY;
    for (_, step) in part.bore_steps() {
        if step.diameter < narrowest {
            narrowest = step.diameter;
            circle(&mut group, Pen::Edge, step.diameter);
        }
    }
    let inside = part.bore_steps().filter_map(|(_, step)| step.thread);
    let first = part.outside.first().into_iter().filter_map(|step| match step.surface {
        Surface::Thread(core) => Some(core),
        Surface::Plain | Surface::Flats(_) => None,
    });
    for diameter in inside.chain(first) {
        // Three quarters of a circle stand for the thread.
        group.arc(Pen::Thin, centre, 0.5 * diameter * factor, (0.1, 0.1 + 0.75 * TAU));
    }
    for diameter in
        part.steps().map(|(_, step)| step.diameter).chain(part.bore_steps().map(|(_, step)| step.diameter))
    {
        circle(&mut group, Pen::Hidden, diameter);
    }
    let mut before = 0.0_f64;
    for (_, step) in part.steps() {
        if let Surface::Flats(across) = step.surface {
            let half = 0.5 * (step.diameter.powi(2) - across.powi(2)).max(0.0).sqrt() * factor;
            let pen = if before > across { Pen::Hidden } else { Pen::Edge };
            for side in [-0.5, 0.5] {
                let y = centre.1 + side * across * factor;
                group.line(pen, [(centre.0 - half, y), (centre.0 + half, y)]);
            }
        }
        before = before.max(step.diameter);
    }
    let reach = 0.5 * part.greatest_diameter() * factor + AXIS_PAST;
    for angle in [0.0, FRAC_PI_2] {
        let (sin, cos) = f64::sin_cos(angle);
        group.line(
            Pen::Axis,
            [
                (centre.0 - reach * cos, centre.1 - reach * sin),
                (centre.0 + reach * cos, centre.1 + reach * sin),
            ],
        );
    }
    group
}
