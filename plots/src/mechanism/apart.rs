//! Parts that pass each other never lie over one another, whatever the machine's proportions.

use super::pen::{Pen, Place};
use super::tests::proportions;
use super::*;
use crate::scene::Shape;
use crate::theme::Theme;

/// A part as polygons, mm.
type Part = Vec<Vec<Point>>;

/// What `draw` draws, as polygons with their outlines' width left out.
fn part(draw: impl Fn(&mut Pen)) -> Part {
    let mut shapes = Vec::new();
    let place = Place { scale: 1.0, origin: (0.0, 0.0) };
    let tints = Tints::of(&Theme::light());
    draw(&mut Pen { place, tints, outline: 0.0, shapes: &mut shapes });
    shapes.iter().filter_map(polygon).collect()
}

fn polygon(shape: &Shape) -> Option<Vec<Point>> {
    match shape {
        Shape::Area { points, .. } => Some(points.clone()),
        Shape::Dot { centre, radius, .. } => Some(
            (0..16_u32)
                .map(|n| {
                    let angle = std::f64::consts::TAU * f64::from(n) / 16.0;
                    (centre.0 + radius * angle.cos(), centre.1 + radius * angle.sin())
                })
                .collect(),
        ),
        // A bar; outlines have no width here.
        Shape::Line { points, width, .. } if *width > 2.0 => {
            let side = |sign: f64| {
                points.windows(2).flat_map(move |pair| {
                    let (a, b) = (pair[0], pair[1]);
                    let length = (b.0 - a.0).hypot(b.1 - a.1).max(1e-9);
                    let off = (
                        -(b.1 - a.1) * 0.5 * sign * width / length,
                        (b.0 - a.0) * 0.5 * sign * width / length,
                    );
                    [(a.0 + off.0, a.1 + off.1), (b.0 + off.0, b.1 + off.1)]
                })
            };
            let back: Vec<Point> = side(-1.0).collect();
            Some(side(1.0).chain(back.into_iter().rev()).collect())
        }
        Shape::Line { .. } => None,
    }
}

fn inside((x, y): Point, polygon: &[Point]) -> bool {
    let pairs = polygon.iter().zip(polygon.iter().cycle().skip(1));
    let crossed =
        pairs.filter(|(a, b)| (a.1 > y) != (b.1 > y) && x < a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0));
    crossed.count() % 2 == 1
}

/// Points along the edge of a polygon, a millimetre apart.
fn edge(polygon: &[Point]) -> Vec<Point> {
    let pairs = polygon.iter().zip(polygon.iter().cycle().skip(1));
    pairs
        .flat_map(|(&a, &b)| {
            let count = (b.0 - a.0).hypot(b.1 - a.1).ceil().clamp(1.0, 2000.0);
            let steps = std::iter::successors(Some(0.0), move |n| (*n + 1.0 < count).then_some(n + 1.0));
            steps.map(move |n| (a.0 + n / count * (b.0 - a.0), a.1 + n / count * (b.1 - a.1)))
        })
        .collect()
}

/// The corners, left below and right above, of a polygon.
fn bounds(polygon: &[Point]) -> (Point, Point) {
    let infinite = ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY));
    polygon.iter().fold(infinite, |(low, high), point| {
        ((low.0.min(point.0), low.1.min(point.1)), (high.0.max(point.0), high.1.max(point.1)))
    })
}

fn overlap(a: &Part, b: &Part) -> Option<Point> {
    let within = |one: &[Point], other: &[Point]| edge(one).into_iter().find(|&point| inside(point, other));
    a.iter().flat_map(|one| b.iter().map(move |other| (one, other))).find_map(|(one, other)| {
        let ((low, high), (from, to)) = (bounds(one), bounds(other));
        let apart = high.0 < from.0 || to.0 < low.0 || high.1 < from.1 || to.1 < low.1;
        if apart { None } else { within(one, other).or_else(|| within(other, one)) }
    })
}

/// Machines from dwarfs to giants, in poses from rest to the end of the lift.
#[test]
fn property_parts_that_pass_each_other_never_lie_over_one_another() {
    let mut state = 7_u64;
    let mut between = |low: f64, high: f64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (state >> 40) as f64 / f64::from(1_u32 << 24)
    };
    for number in 0..100 {
        let mut of = proportions();
        let lift = between(0.004, 0.075);
        let scale = lift / of.cam.iter().map(|reading| reading.1).fold(0.0, f64::max);
        of.cam.iter_mut().for_each(|reading| reading.1 *= scale);
        of.sleeve = if between(0.0, 1.0) < 0.25 { 0.0 } else { between(0.005, 0.15) };
        of.extension = of.sleeve;
        of.gap = between(0.03, 0.25);
        of.springs[0] =
            SpringShape { coil: between(0.012, 0.09), wire: between(0.001, 0.009), ..of.springs[0] };
        of.prong_clearance = between(0.0, 0.6) * lift;
        of.prong_travel = between(0.05, 0.4) * lift;
        of.lever_ratio = between(0.3, 4.0);
        of.piston = between(0.006, 0.06);
        of.piston_length = between(0.01, 0.09);
        of.well_depth = between(0.02, 0.2);
        of.body = between(0.0015, 0.036);
        of.mould_depth = between(0.018, 0.03);
        of.nozzle_length = between(0.004, 0.04);
        let machine = Mechanism::new(&of).with_gauge(Gauge { figures: Vec::new(), unit: String::new() });
        let plan = &machine.plan;
        let trip = of.prong_clearance + of.prong_travel;
        let poses = [
            (0.0, 0.0, LatchPose::Aside),
            (lift, lift, LatchPose::Aside),
            (0.6 * lift, 0.6 * lift, LatchPose::Aside),
            (trip, 0.0, LatchPose::Set(1.0)),
            (0.5 * of.prong_clearance, 0.0, LatchPose::Set(0.0)),
            (lift, 0.9 * lift, LatchPose::Set(1.0)),
        ];
        for (block_lift, rod_lift, latch) in poses {
            let reading = of.cam.iter().find(|reading| reading.1 >= block_lift - 1e-12);
            let pose = Pose {
                angle: reading.map_or(0.0, |reading| reading.0),
                block_lift,
                rod_lift,
                piston_travel: of.lever_ratio * rod_lift,
                ..Pose::at_rest(latch)
            };
            let cam = part(|pen| {
                let edge = machine.cam.edge(pose.angle, plan);
                pen.area(&edge, pen.tints.ink);
                pen.disc(plan.roller(1e3 * block_lift), cam::ROLLER, pen.tints.ink);
            });
            let block = part(|pen| plan.draw_block(&pose, pen));
            let arms = part(|pen| latch::draw(plan, &pose, pen));
            let nut = part(|pen| plan.draw_nut(&pose, pen));
            let lever = part(|pen| plan.draw_lever(&pose, pen));
            let pot = part(|pen| pump::pot(plan, pen));
            let small = part(|pen| mould::at_the_nozzle(plan, &pose, pen));
            let large = part(|pen| mould::enlarged(plan, &pose, pen));
            let gauge = part(|pen| {
                let (x, y) = pump::centre(plan);
                pen.disc((x, y), pump::ROUND - 1.0, pen.tints.ink);
            });
            let post = vec![edge(&[
                (plan.post, plan.floor()),
                (plan.post, plan.latch_pin().1 - 8.0),
                (plan.post + 14.0, plan.latch_pin().1 - 8.0),
                (plan.post + 14.0, plan.floor()),
            ])];
            let pairs = [
                ("cam and block", &cam, &block),
                ("cam and latch", &cam, &arms),
                ("cam and nut", &cam, &nut),
                ("latch and post", &arms, &post),
                ("latch and lever", &arms, &lever),
                ("latch and pot", &arms, &pot),
                ("latch and mould", &arms, &large),
                ("lever and block", &lever, &block),
                ("lever and pot", &lever, &pot),
                ("lever and small mould", &lever, &small),
                ("lever and mould", &lever, &large),
                ("lever and gauge", &lever, &gauge),
                ("pot and post", &pot, &post),
                ("pot and gauge", &pot, &gauge),
                ("gauge and post", &gauge, &post),
                ("small and large mould", &small, &large),
                ("pot and mould", &pot, &large),
                ("post and mould", &post, &large),
            ];
            for (what, a, b) in pairs {
                let met = overlap(a, b);
                assert!(met.is_none(), "{number}, {what} at {met:?}: {pose:?} {of:?}");
            }
            // The abutment touches the prongs; the block below it never comes to them.
            let low = vec![edge(&[
                (-50.0, 1e3 * block_lift),
                (-50.0, 30.0 + 1e3 * block_lift),
                (50.0, 30.0 + 1e3 * block_lift),
                (50.0, 1e3 * block_lift),
            ])];
            assert!(overlap(&arms, &low).is_none(), "{number}, latch and block: {pose:?} {of:?}");
        }
    }
}
