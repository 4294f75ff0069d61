//! The drawing against geometry worked out by hand.

use super::cam::ROLLER;
use super::plan::Plan;
use super::*;
use crate::scene::{Layout, Picture, Scene, Shape};
use crate::theme::Theme;
use std::f64::consts::TAU;

const LIFT: f64 = 0.03;

/// A cycloidal rise of 80°, a dwell of 100° and a return of 90°, written out again here.
fn lift(angle: f64) -> f64 {
    let rise = |u: f64| LIFT * (u - (TAU * u).sin() / TAU);
    let degrees = angle.to_degrees().rem_euclid(360.0);
    match degrees {
        d if d < 80.0 => rise(d / 80.0),
        d if d < 180.0 => LIFT,
        d if d < 270.0 => LIFT - rise((d - 180.0) / 90.0),
        _ => 0.0,
    }
}

pub(super) fn proportions() -> Proportions {
    Proportions {
        cam: (0..720).map(|n| TAU * f64::from(n) / 720.0).map(|angle| (angle, lift(angle))).collect(),
        sleeve: 0.068,
        extension: 0.068,
        gap: 0.111,
        springs: vec![SpringShape { free: 0.146, coils: 12.0, coil: 0.0394, wire: 0.005 }],
        prong_clearance: 0.00635,
        prong_travel: 0.00635,
        lever_ratio: 1.4,
        piston: 0.0175,
        piston_length: 0.04,
        port_travel: 0.003,
        well_depth: 0.05,
        channel: 0.008,
        nozzle: 0.0026,
        nozzle_length: 0.02,
        body: 0.01265,
        mould_depth: 0.0234,
    }
}

/// The machine at rest, holding, thrown, filling, full and freezing.
fn poses() -> Vec<Pose> {
    let pose = |angle: f64, block, rod, open, fill, skin, solid| Pose {
        angle: angle.to_radians(),
        block_lift: block,
        rod_lift: rod,
        latch: LatchPose::Set(open),
        piston_travel: 1.4 * rod,
        fill,
        skin,
        solid,
        sealed: solid > 0.3,
        pressure: fill,
        looks: None,
    };
    vec![
        Pose::at_rest(LatchPose::Aside),
        pose(37.0, 0.0127, 0.0, 1.0, 0.0, 0.0, 0.0),
        pose(38.0, 0.0133, 0.006, 1.0, 0.3, 1e-4, 0.0),
        pose(60.0, 0.024, 0.0235, 1.0, 0.7, 4e-4, 0.1),
        pose(120.0, 0.03, 0.0297, 1.0, 0.985, 2e-3, 0.6),
        pose(250.0, 0.005, 0.005, 0.0, 0.985, 1e-2, 1.0),
    ]
}

fn distance(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let share = ((p.0 - a.0) * dx + (p.1 - a.1) * dy) / (dx * dx + dy * dy).max(1e-300);
    let share = share.clamp(0.0, 1.0);
    (p.0 - a.0 - share * dx).hypot(p.1 - a.1 - share * dy)
}

fn to_outline(p: Point, outline: &[Point]) -> f64 {
    let closed = outline.iter().zip(outline.iter().cycle().skip(1));
    closed.map(|(&a, &b)| distance(p, a, b)).fold(f64::INFINITY, f64::min)
}

/// The edge of a cam is the envelope of its roller, so the roller's centre is one radius from it at every angle, no less
/// anywhere. 0.02 mm: a chord of half a degree on a radius of 50 mm stands off its arc by 0.5 µm, the differences that give the
/// normals by a few µm more.
#[test]
fn closed_form_the_roller_touches_the_cam_at_every_angle() {
    let machine = Mechanism::new(&proportions());
    for n in 0..720 {
        let angle = TAU * f64::from(n) / 720.0;
        let roller = machine.plan.roller(1e3 * lift(angle));
        let away = to_outline(roller, &machine.cam.edge(angle, &machine.plan));
        assert!((away - ROLLER).abs() < 0.02, "{}: {away}", angle.to_degrees());
    }
}

/// In a dwell the edge is an arc about the shaft: its radius is the roller's distance less the roller's radius.
#[test]
fn closed_form_dwells_are_arcs_about_the_shaft() {
    let machine = Mechanism::new(&proportions());
    let centre = machine.plan.cam_centre;
    for (degrees, lifted) in [(315_u32, 0.0), (130, 1e3 * LIFT)] {
        let roller = machine.plan.roller(lifted);
        let radius = (roller.0 - centre.0).hypot(roller.1 - centre.1) - ROLLER;
        let point = machine.cam.points().get(usize::try_from(2 * degrees).unwrap_or(0));
        let drawn = point.map_or(f64::NAN, |point| point.0.hypot(point.1));
        assert!((drawn - radius).abs() < 1e-6, "{degrees}: {drawn} {radius}");
    }
}

/// Closed and ground ends: the wire's middle goes from face to face, and at the solid length, coils times wire, all coils touch.
#[test]
fn closed_form_coils_go_from_face_to_face_and_close_at_the_solid_length() {
    let shape = SpringShape { free: 0.146, coils: 12.0, coil: 0.0394, wire: 0.005 };
    for length in [0.146, 0.111, 0.0983, 0.06] {
        assert!(spring::climb(&shape, length, 0.0).abs() < 1e-15);
        assert!((spring::climb(&shape, length, 12.0) - length).abs() < 1e-12);
        for n in 0..110 {
            let turns = 0.1 * f64::from(n);
            let pitch = spring::climb(&shape, length, turns + 1.0) - spring::climb(&shape, length, turns);
            assert!(pitch > shape.wire - 1e-12, "{length} at {turns}: {pitch}");
        }
    }
    let solid = spring::climb(&shape, 0.06, 7.0) - spring::climb(&shape, 0.06, 6.0);
    assert!((solid - 0.005).abs() < 1e-12, "{solid}");
}

#[test]
fn property_the_drawn_spring_stands_on_abutment_and_nut() {
    let machine = Mechanism::new(&proportions());
    for pose in poses() {
        let faces = machine.plan.spring_faces(&pose);
        let mut shapes = Vec::new();
        let place = Place { scale: 1.0, origin: (0.0, 0.0) };
        let tints = Tints::of(&Theme::light());
        let mut pen = Pen { place, tints, outline: 1.0, shapes: &mut shapes };
        for half in [spring::Half::Back, spring::Half::Front] {
            for shape in &machine.springs {
                spring::draw(shape, faces, half, &mut pen);
            }
        }
        let heights: Vec<f64> = shapes.iter().flat_map(points).map(|point| -point.1).collect();
        let low = heights.iter().copied().fold(f64::INFINITY, f64::min);
        let high = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        assert!((low - faces.0).abs() < 1e-9 && (high - faces.1).abs() < 1e-9, "{low} {high} {faces:?}");
        // The gap is that of the stack, less what the block has closed.
        let gap = 111.0 - 1e3 * (pose.block_lift - pose.rod_lift);
        assert!((faces.1 - faces.0 - gap).abs() < 1e-9);
    }
}

fn points(shape: &Shape) -> Vec<Point> {
    match shape {
        Shape::Line { points, .. } | Shape::Area { points, .. } => points.clone(),
        Shape::Dot { centre, .. } => vec![*centre],
    }
}

/// While the abutment wedges the prongs apart its rim touches them, and as the travel ends the hooks clear the nut. A
/// twentieth of a millimetre: the slope is drawn in eight straight pieces.
#[test]
fn closed_form_the_abutment_wedges_the_prongs_until_the_hooks_clear_the_nut() {
    let plan = Plan::new(&proportions());
    let open = |share: f64| -> Vec<Point> {
        let turn = |point| pen::turned(point, plan.latch_pin(), latch::opening() * share);
        latch::arm(&plan).into_iter().map(turn).collect()
    };
    for step in 0..=20 {
        let share = 0.05 * f64::from(step);
        let rim =
            (plan.abutment_half, plan.abutment_face() + plan.prong_clearance + share * plan.prong_travel);
        let away = to_outline(rim, &open(share));
        assert!(away < 0.05, "{share}: {away}");
    }
    let hook = |share: f64| {
        let arm = open(share);
        let inner = arm.iter().filter(|point| point.1 > plan.flange_top() - 3.0).map(|point| point.0);
        inner.fold(f64::INFINITY, f64::min)
    };
    assert!(hook(0.0) < plan.flange_half - 2.0, "{}", hook(0.0));
    assert!(hook(1.0) > plan.flange_half, "{}", hook(1.0));
}

/// Lever law: the pins' travels are as the ratio, so fulcrum and pins stay on one line.
#[test]
fn closed_form_the_levers_pins_stay_in_line_with_its_fulcrum() {
    let plan = Plan::new(&proportions());
    for pose in poses() {
        let (rod, piston) = plan.lever_pins(&pose);
        assert!(distance(plan.fulcrum(), rod, piston) < 1e-9);
        assert!(((piston.0 - plan.fulcrum().0) / (plan.fulcrum().0 - rod.0) - 1.4).abs() < 1e-12);
    }
}

fn frame<'a>(machine: &'a Mechanism, plots: &'a [LivePlot], pose: &Pose) -> FilmFrame<'a> {
    let side = |name: &str, style, pose: Pose| Side {
        name: name.to_owned(),
        stage: "the mould opens: rounded edges, lapped, soft inside".to_owned(),
        count: ["2412.0\u{a0}ms".into(), "until the stroke ended, 42.7 % full".into()],
        since: Some(120.0),
        style,
        pose,
    };
    FilmFrame {
        mechanism: machine,
        sides: [
            side("Latch aside", 1, Pose { latch: LatchPose::Aside, ..*pose }),
            side("Latch set", 0, *pose),
        ],
        scale: 300.0,
        limit: limit(),
        clock: [
            "No verdict: a turn could not be solved".into(),
            "2412.0 pt at 12.12 turns/min".into(),
            "latch aside no fill, latch set 2412\u{a0}ms; allowed 62.12\u{a0}ms".into(),
        ],
        plots,
        now: 300.0,
    }
}

fn limit() -> LiveLimit {
    LiveLimit { at: 62.1, label: "allowed 62.1\u{a0}ms".to_owned() }
}

fn plots() -> Vec<LivePlot> {
    let wave = |style, dashed| LiveCurve {
        points: (0..580).map(|n| (f64::from(n), (0.02 * f64::from(n)).sin())).collect(),
        style,
        dashed,
        stops: dashed,
    };
    let plot = |title: &str, y| LivePlot {
        title: title.to_owned(),
        x: (-20.0, 580.0),
        y,
        limit: None,
        curves: vec![wave(0, false)],
    };
    vec![
        plot("piston travel, mm", (0.0, 31.8)),
        plot("piston speed, m/s", (-0.2, 1.2)),
        LivePlot {
            curves: vec![wave(0, false), wave(1, true)],
            limit: Some(limit()),
            ..plot("mould filled, %", (0.0, 104.0))
        },
    ]
}

fn check(layout: &Layout, scene: &Scene) {
    assert!(layout.omitted.is_empty(), "{:?}", layout.omitted);
    let (wide, high) = (f64::from(layout.width), f64::from(layout.height));
    for (index, text) in layout.texts.iter().enumerate() {
        assert!(
            text.x >= 0.0 && text.y >= 0.0 && text.x + text.w <= wide && text.y + text.h <= high,
            "{text:?}"
        );
        for other in layout.texts.iter().skip(index + 1) {
            assert!(!text.overlaps(other), "{} / {}", text.text, other.text);
        }
    }
    for (x, y) in scene.shapes.iter().flat_map(points) {
        assert!((0.0..=wide).contains(&x) && (0.0..=high).contains(&y), "{x} {y}");
    }
}

#[test]
fn property_nothing_overlaps_or_leaves_the_frame_in_any_pose() {
    let theme = Theme::light();
    let plots = plots();
    let mut bare = proportions();
    (bare.sleeve, bare.extension, bare.lever_ratio) = (0.0, 0.0, 0.6);
    let mut large = proportions();
    (large.body, large.lever_ratio) = (0.025, 2.0);
    large.cam.iter_mut().for_each(|reading| reading.1 *= 1.3);
    for proportions in [proportions(), bare, large] {
        let machine = Mechanism::new(&proportions);
        for pose in poses() {
            let pose = Pose { piston_travel: proportions.lever_ratio * pose.rod_lift, ..pose };
            let scene = frame(&machine, &plots, &pose).compose(&theme).unwrap_or_else(|e| panic!("{e}"));
            check(&scene.layout, &scene);
            let scene = schematic(&machine, pose).compose(&theme).unwrap_or_else(|e| panic!("{e}"));
            check(&scene.layout, &scene);
        }
    }
}

fn schematic(mechanism: &Mechanism, pose: Pose) -> Schematic<'_> {
    use Part::{
        Abutment, Block, Cam, Channel, Crank, Extension, Follower, Gauge, Latch, Lever, Matrix, Mould,
        Nozzle, Nut, Piston, Port, Rod, Shoulder, Skin, Sleeve, Spring, Well,
    };
    let all = [
        Abutment, Block, Cam, Channel, Crank, Extension, Follower, Gauge, Latch, Lever, Matrix, Mould,
        Nozzle, Nut, Piston, Port, Rod, Shoulder, Skin, Sleeve, Spring, Well,
    ];
    let labels = all.into_iter().map(|part| PartLabel {
        part,
        name: format!("{part:?} of it"),
        note: if part < Shoulder { "2 11/16 in".to_owned() } else { String::new() },
    });
    Schematic {
        mechanism,
        pose,
        headline: "The machine as the thrown piston fills the mould".to_owned(),
        source: "Solved.".to_owned(),
        labels: labels.collect(),
        height: SCREEN,
    }
}

/// The piston is the one area of its colour whose foot is at that height.
#[test]
fn property_the_pistons_face_is_drawn_where_the_mapping_says() {
    let theme = Theme::light();
    let machine = Mechanism::new(&proportions());
    for pose in poses() {
        let frame = frame(&machine, &[], &pose);
        let scene = frame.compose(&theme).unwrap_or_else(|error| panic!("{error}"));
        let thrown = Tints::of(&theme).thrown;
        for side in [0, 1] {
            let (x, y) = frame.place(side).px(machine.piston_face(pose.piston_travel));
            let is_it = |shape: &&Shape| {
                let corners = points(shape);
                let low = corners.iter().map(|point| point.1).fold(0.0, f64::max);
                let middle = corners.iter().map(|point| point.0).sum::<f64>() / corners.len() as f64;
                matches!(shape, Shape::Area { colour, .. } if *colour == thrown)
                    && (low - y).abs() < 1e-9
                    && (middle - x).abs() < 1e-9
            };
            assert_eq!(scene.shapes.iter().filter(is_it).count(), 1, "{pose:?}");
        }
    }
}

#[test]
fn property_numbers_that_are_none_are_drawn_all_the_same() {
    let nan = f64::NAN;
    let odd = Proportions {
        cam: Vec::new(),
        sleeve: nan,
        gap: -1.0,
        springs: vec![SpringShape { free: nan, coils: nan, coil: nan, wire: nan }],
        lever_ratio: nan,
        body: 0.0,
        ..proportions()
    };
    let machine = Mechanism::new(&odd);
    let scene = frame(&machine, &[], &poses()[0]).compose(&Theme::dark()).unwrap_or_else(|e| panic!("{e}"));
    assert!(scene.shapes.iter().flat_map(points).all(|(x, y)| x.is_finite() && y.is_finite()));
}
