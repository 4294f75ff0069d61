//! Undercuts: room for a tool to run out where a thread ends at a shoulder or a seat.
//!
//! DIN 76-1, of which ISO 4755 is the international form for bolts; forms A (outside, ordinary) and D (inside, short). The diameters are
//! those of the table below: from memory, and the depths up to a pitch of 3.5 mm but for that of 2.5 mm also read in an excerpt on the
//! web (din-76a, no authority), which has 3.8 mm there; the greater is taken. Both give the widths as some 2.2 to 3.5 pitches outside and
//! 2.5 pitches or more inside. The standard knows metric threads only; for inch threads of a pitch between, so is the undercut.

use super::Thread;

/// A groove turned at the end of a thread, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Undercut {
    /// Its width along the axis.
    pub width: f64,
    /// Its diameter.
    pub diameter: f64,
    /// The radius in its corners.
    pub radius: f64,
}

/// Pitch, how much thinner than the thread an undercut outside is, and its radius, mm.
const OUTSIDE: [(f64, f64, f64); 13] = [
    (0.5, 0.8, 0.2),
    (0.7, 1.1, 0.4),
    (0.8, 1.3, 0.4),
    (1.0, 1.6, 0.6),
    (1.25, 2.0, 0.6),
    (1.5, 2.3, 0.8),
    (1.75, 2.6, 1.0),
    (2.0, 3.0, 1.0),
    (2.5, 3.8, 1.2),
    (3.0, 4.4, 1.6),
    (3.5, 5.0, 1.6),
    (4.0, 5.7, 2.0),
    (4.5, 6.4, 2.0),
];

/// Width outside, in pitches: between the least and the greatest that the standard lets be.
const WIDTH_OUTSIDE: f64 = 3.0;
/// Width inside, in pitches, of the short form.
const WIDTH_INSIDE: f64 = 2.5;
/// How much wider than the thread an undercut inside is, mm, and below a pitch of 1 mm.
const CLEARANCE_INSIDE: f64 = 0.5;
const FINE_CLEARANCE_INSIDE: f64 = 0.3;

impl Thread {
    /// The undercut at a shoulder outside.
    pub fn undercut(&self) -> Undercut {
        let (depth, radius) = outside(1e3 * self.pitch);
        Undercut {
            width: WIDTH_OUTSIDE * self.pitch,
            diameter: self.major - 1e-3 * depth,
            radius: 1e-3 * radius,
        }
    }

    /// The undercut at the bottom of a threaded hole.
    pub fn undercut_inside(&self) -> Undercut {
        let (_, radius) = outside(1e3 * self.pitch);
        let clearance = if self.pitch < 1e-3 { FINE_CLEARANCE_INSIDE } else { CLEARANCE_INSIDE };
        Undercut {
            width: WIDTH_INSIDE * self.pitch,
            diameter: self.major + 1e-3 * clearance,
            radius: 1e-3 * radius,
        }
    }
}

/// Depth across and radius for a pitch, mm: between two of the table in proportion, beyond its ends as at the end.
fn outside(pitch: f64) -> (f64, f64) {
    let after = OUTSIDE.partition_point(|row| row.0 <= pitch + 1e-6);
    let (p, d, r) = OUTSIDE[after.saturating_sub(1)];
    match OUTSIDE.get(after) {
        Some(&(q, e, _)) if after > 0 => (d + (e - d) * (pitch - p) / (q - p), r),
        _ => (d * pitch / p, r),
    }
}
