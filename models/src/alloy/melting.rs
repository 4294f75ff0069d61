//! Melting ranges of lead–antimony–tin type metals, from a table of trade figures.
//!
//! The liquidus is read on the plane through the three listed compositions around the one asked (linear interpolation on a
//! Delaunay triangulation in tin and antimony). Listed compositions give back their listed temperatures; between them the
//! sources disagree by up to 7 K where both have something to say, so take the result as good to 8 K.
//!
//! Sources, all second-hand:
//! - 6/15, 10/16, 9/19, 13/17, 12/24 (tin/antimony, % by weight): a trade manual of 1952, quoted in an encyclopaedia article
//!   on type metal; 2 K as printed.
//! - 3/12, 5/12, 6/12, 7/12: a Swiss trade table quoted there; 5 K.
//! - 4/12 at 240 °C: the ternary eutectic, which handbooks put at 239 to 240 °C (239 from memory); 3 K. The 252 °C also
//!   printed for this alloy belongs to lead and antimony alone (251.7 °C).
//! - solidus 240 °C: the ternary eutectic, as the trade manual lists it for every alloy of its table.

use super::Composition;
use crate::fault::Fault;
use crate::field;

/// Tin (%), antimony (%), liquidus (°C).
const LISTED: [(f64, f64, f64); 10] = [
    (3.0, 12.0, 250.0),
    (4.0, 12.0, 240.0),
    (5.0, 12.0, 245.0),
    (6.0, 12.0, 243.0),
    (7.0, 12.0, 241.0),
    (6.0, 15.0, 261.0),
    (10.0, 16.0, 273.0),
    (9.0, 19.0, 286.0),
    (13.0, 17.0, 283.0),
    (12.0, 24.0, 330.0),
];

/// The Delaunay triangles of the listed compositions.
const TRIANGLES: [[usize; 3]; 11] = [
    [7, 9, 0],
    [9, 7, 8],
    [7, 6, 8],
    [6, 4, 8],
    [5, 6, 7],
    [5, 1, 2],
    [6, 5, 4],
    [1, 5, 0],
    [5, 7, 0],
    [5, 3, 4],
    [3, 5, 2],
];

/// How far outside the table a composition may lie, in % by weight, and still be taken for the nearest one inside: pot metal
/// is seldom known better (common practice, no source).
pub const REACH: f64 = 1.0;

/// The ternary eutectic, % by weight: its composition as encyclopaedias give it.
pub const EUTECTIC: Composition = Composition { tin: 4.0, antimony: 12.0 };

/// Temperature of the ternary eutectic, K.
pub const EUTECTIC_TEMPERATURE: f64 = 240.0 + 273.15;

/// Liquidus, K.
///
/// # Errors
/// When the composition lies more than [`REACH`] outside the table.
pub fn liquidus(composition: Composition) -> Result<f64, Vec<Fault>> {
    let asked = (composition.tin, composition.antimony);
    let mut best: Option<(f64, f64)> = None;
    for triangle in TRIANGLES {
        let (distance, celsius) = nearest(asked, triangle.map(|corner| LISTED[corner]));
        if best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, celsius));
        }
    }
    match best {
        Some((distance, celsius)) if distance <= REACH => Ok(celsius + 273.15),
        _ => Err(vec![Fault {
            field: field!(Composition, antimony),
            what: format!(
                "tin {:.1} % with antimony {:.1} % is outside the table of melting ranges",
                composition.tin, composition.antimony
            )
            .into(),
            right:
                "give tin from 3 to 13 % with antimony from 12 to 24 %, more of one with more of the other \
                    (as 4 with 12, 7 with 16, 12 with 24); or state the liquidus and solidus themselves"
                    .into(),
        }]),
    }
}

/// Distance (%) from `asked` to the nearest composition in the triangle, and the liquidus (°C) there on the triangle's plane.
fn nearest(asked: (f64, f64), [a, b, c]: [(f64, f64, f64); 3]) -> (f64, f64) {
    let cross = |u: (f64, f64), v: (f64, f64)| u.0 * v.1 - u.1 * v.0;
    let side = |from: (f64, f64, f64), to: (f64, f64, f64)| (to.0 - from.0, to.1 - from.1);
    let from = |corner: (f64, f64, f64)| (asked.0 - corner.0, asked.1 - corner.1);
    let area = cross(side(a, b), side(a, c));
    let share_b = cross(from(a), side(a, c)) / area;
    let share_c = cross(side(a, b), from(a)) / area;
    if share_b >= 0.0 && share_c >= 0.0 && share_b + share_c <= 1.0 {
        return (0.0, a.2 + share_b * (b.2 - a.2) + share_c * (c.2 - a.2));
    }
    let on_edge = |p: (f64, f64, f64), q: (f64, f64, f64)| {
        let (along, to) = (side(p, q), from(p));
        let share =
            ((to.0 * along.0 + to.1 * along.1) / (along.0 * along.0 + along.1 * along.1)).clamp(0.0, 1.0);
        let distance = libm::hypot(to.0 - share * along.0, to.1 - share * along.1);
        (distance, p.2 + share * (q.2 - p.2))
    };
    [on_edge(a, b), on_edge(b, c), on_edge(c, a)]
        .into_iter()
        .fold((f64::INFINITY, 0.0), |best, edge| if edge.0 < best.0 { edge } else { best })
}
