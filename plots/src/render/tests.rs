//! Pictures of awkward data, drawn and decoded again.

use resvg::tiny_skia::Pixmap;

use super::*;
use crate::axes::{Axis, Hatch};
use crate::checks::{self, assert_tidy, themes};
use crate::font::{self, Weight};
use crate::line_chart::{LineChart, Panel, Series};
use crate::scene::{Layout, Scene, TextBox};
use crate::theme::Format;

/// A cam-like bump between two angles.
fn bump(degrees: f64, from: f64, to: f64, height: f64) -> f64 {
    let part = ((degrees - from) / (to - from)).clamp(0.0, 1.0);
    height * (1.0 - (std::f64::consts::TAU * part).cos()) / 2.0
}

fn turn(curve: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
    (0..=360).map(f64::from).map(|degrees| (degrees, curve(degrees))).collect()
}

fn shaft() -> Axis {
    Axis::new("shaft angle", "°").degrees().range(0.0, 360.0)
}

fn crowded_events() -> LineChart {
    let lift = Panel::new(Axis::new("lift", "mm"))
        .with_series(Series::new("pump cam", turn(|d| bump(d, 60.0, 300.0, 18.0))))
        .with_series(Series::new("mould blade cam", turn(|d| bump(d, 20.0, 160.0, 9.0))));
    let chart =
        LineChart::new("Eight events, some close together", shaft()).with_panel(lift).with_source("invented");
    let events = [12.0, 20.0, 60.0, 63.0, 66.0, 180.0, 191.0, 359.0];
    events.into_iter().fold(chart, |chart, x| chart.with_event(x, format!("event at {x} degrees")))
}

fn coincident_curves() -> LineChart {
    let panel = (0..5).fold(Panel::new(Axis::new("filled", "%")), |panel, number| {
        let slowness = 4.0 + 0.03 * f64::from(number);
        let points =
            (0..200).map(f64::from).map(|t| (t / 10.0, 100.0 * (1.0 - (-t / 10.0 / slowness).exp())));
        panel.with_series(Series::new(format!("alloy number {number}, with a name of some length"), points))
    });
    LineChart::new("Five curves that almost coincide", Axis::new("time", "ms")).with_panel(panel)
}

fn logarithmic() -> LineChart {
    let power = |factor: f64, exponent: f64| {
        (1..60).map(move |i| (f64::from(i), factor * f64::from(i).powf(exponent)))
    };
    let panel = Panel::new(Axis::new("time", "ms").log())
        .with_series(Series::new("filling", power(0.4, 1.1)))
        .with_series(Series::new("freezing", power(0.05, 2.0)))
        .with_series(Series::new("readings", power(0.41, 1.1).step_by(9)).markers_only())
        .with_limit(120.0, "longest dwell", Hatch::Above)
        .with_limit(110.0, "usual dwell", Hatch::None)
        .with_limit(0.01, "shortest", Hatch::Below)
        .with_point((8.0, 3.2), "they cross", Some(1));
    LineChart::new("", Axis::new("body", "pt").log()).with_panel(panel)
}

fn stacked() -> LineChart {
    let panel = |name: &str, height: f64| {
        Panel::new(Axis::new(name, "N"))
            .with_series(Series::new("with latch", turn(|d| bump(d, 60.0, 300.0, height))))
            .with_series(Series::new("without latch", turn(|d| -bump(d, 70.0, 250.0, height / 2.0))))
            .with_limit(height * 1.1, "limit", Hatch::Above)
    };
    LineChart::new("Three panels", shaft())
        .with_panel(panel("force in the spring rod", 1.2e7))
        .with_panel(panel("side force", 3e-7))
        .with_panel(panel("latch", 3.0))
        .with_event(171.0, "latch lets go")
        .with_band(150.0, 260.0, "pumping")
        .with_band(250.0, 262.0, "a short stretch")
        .with_band(-90.0, -10.0, "outside")
}

fn upright_limits() -> LineChart {
    let falling = (1..80).map(|i| (f64::from(i), 900.0 / f64::from(i)));
    let panel = Panel::new(Axis::new("time", "ms").log())
        .with_series(Series::new("fill time", falling))
        .with_limit(40.0, "time allowed", Hatch::Above)
        .with_x_limit(50.0, "solid up to here", Hatch::Above)
        .with_x_limit(2.0, "too slow", Hatch::Below)
        .with_x_limit(900.0, "outside", Hatch::None);
    LineChart::new("Limits on both axes", Axis::new("pace", "turns/min").log().range(1.0, 100.0))
        .with_panel(panel)
}

fn more_than_fits() -> LineChart {
    let panel = (0..24).fold(Panel::new(Axis::new("force", "lbf")), |panel, number| {
        let shift = f64::from(number);
        panel.with_series(Series::new(format!("spring {number}"), turn(move |d| (d / 40.0 + shift).sin())))
    });
    let chart = LineChart::new("word ".repeat(200), shaft())
        .with_size(1920, 800)
        .with_panel(panel)
        .with_source("where ".repeat(300));
    (0..60).fold(chart, |chart, number| {
        chart.with_event(100.0 + f64::from(number), "a name rather too long to fit")
    })
}

fn odd_text() -> LineChart {
    let label = "<b> & \"quotes\" \u{0}\u{7}\n\t\u{ffff} ½ ≤ 10⁻³ Δp · µ² × — ﬁ 字";
    let panel =
        Panel::new(Axis::new(label, "s⁻¹")).with_series(Series::new(label, [(0.0, 0.0), (1.0, -1.0)]));
    LineChart::new(label, Axis::new(label, "")).with_panel(panel).with_source(label).with_event(0.5, label)
}

fn degenerate() -> Vec<LineChart> {
    let data: [&[(f64, f64)]; 9] = [
        &[],
        &[(1.0, 5.0)],
        &[(2.0, 2.0), (2.0, 2.0)],
        &[(0.0, f64::NAN), (f64::NAN, 0.0), (f64::INFINITY, f64::NEG_INFINITY)],
        &[(0.0, 1.0), (1.0, f64::NAN), (2.0, 3.0), (3.0, f64::NAN)],
        &[(0.0, -1e300), (1.0, 1e300)],
        &[(0.0, f64::MAX), (f64::MIN, 1.0)],
        &[(0.0, 5e-324), (1e-310, 1e-310)],
        &[(1e15, 1.0), (1e15 + 0.5, 1.0 + 1e-15)],
    ];
    let axes = [Axis::new("y", "m"), Axis::new("y", "m").log(), Axis::new("y", "m").range(3.0, 3.0)];
    let mut charts = vec![
        LineChart::new("no panel", shaft()),
        LineChart::new("no curve", shaft()).with_panel(Panel::new(Axis::new("", ""))),
    ];
    for points in data {
        for y in &axes {
            let panel = Panel::new(y.clone())
                .with_series(Series::new("curve", points.iter().copied()).with_markers())
                .with_limit(f64::NAN, "no limit", Hatch::Below)
                .with_limit(1.0, "limit", Hatch::Above)
                .with_point((f64::NAN, 1.0), "no point", None);
            let chart =
                LineChart::new("degenerate", Axis { label: "x".into(), ..y.clone() }).with_panel(panel);
            charts.push(chart.with_event(f64::NAN, "never").with_band(f64::INFINITY, 0.0, "nowhere"));
        }
    }
    charts
}

fn all() -> Vec<LineChart> {
    let mut charts = vec![
        crowded_events(),
        coincident_curves(),
        logarithmic(),
        stacked(),
        upright_limits(),
        more_than_fits(),
        odd_text(),
    ];
    charts.extend(degenerate());
    charts
}

fn laid_out(chart: &LineChart) -> Layout {
    checks::laid_out(chart, &Theme::light(), &chart.headline)
}

#[test]
fn property_no_text_overlaps_or_leaves_the_frame() {
    for chart in all().into_iter().flat_map(|chart| [chart.clone(), chart.with_size(1280, 960)]) {
        for theme in themes() {
            assert_tidy(&checks::laid_out(&chart, &theme, &chart.headline), &chart.headline);
        }
    }
}

#[test]
fn property_every_name_stands_on_charts_with_room() {
    for (chart, names) in [
        (
            crowded_events(),
            vec!["pump cam", "mould blade cam", "event at 63 degrees", "lift, mm", "shaft angle, °"],
        ),
        (
            logarithmic(),
            vec!["filling", "freezing", "readings", "longest dwell", "usual dwell", "they cross"],
        ),
        (upright_limits(), vec!["fill time", "time allowed", "solid up to here", "too slow"]),
        (stacked(), vec!["with latch", "without latch", "limit", "pumping", "a short stretch"]),
    ] {
        let layout = laid_out(&chart);
        for name in names {
            assert!(layout.texts.iter().any(|text| text.text == name), "{name} is missing");
        }
        let expected: &[&str] = if chart.body.bands.is_empty() { &[] } else { &["outside"] };
        assert_eq!(layout.omitted, expected, "{:?}", chart.headline);
    }
}

#[test]
fn property_names_without_room_are_told() {
    let layout = laid_out(&more_than_fits());
    for number in 0..24 {
        let name = format!("spring {number}");
        let stands = layout.texts.iter().any(|text| text.text == name);
        assert!(stands != layout.omitted.contains(&name), "{name}");
    }
    assert!(layout.omitted.iter().any(|name| name.starts_with("spring")), "the column was to be too short");
}

#[test]
fn property_every_chart_becomes_a_picture_of_its_size() {
    for chart in all() {
        let svg =
            to_svg(&chart, &Theme::dark()).unwrap_or_else(|error| panic!("{:?}: {error}", chart.headline));
        assert!(!svg.contains("<text"), "{:?}: text must be outlines", chart.headline);
        let png = to_png(&svg, 480).unwrap_or_else(|error| panic!("{:?}: {error}", chart.headline));
        let size = Pixmap::decode_png(&png).map(|pixels| (pixels.width(), pixels.height()));
        assert_eq!(size.ok(), Some((480, chart.height / 4)), "{:?}", chart.headline);
    }
}

#[test]
fn property_drawing_twice_gives_the_same_bytes() {
    for chart in [crowded_events(), stacked()] {
        let draw = || to_svg(&chart, &Theme::light()).and_then(|svg| Ok((to_png(&svg, 640)?, svg)));
        assert!(draw().is_ok());
        assert!(draw() == draw());
    }
}

#[test]
fn reference_measured_widths_are_those_usvg_draws() {
    let fonts = Fonts::load().unwrap_or_else(|error| panic!("{error}"));
    // An H at each end, whose stems bound the box: the advance width less both side bearings.
    for (words, weight, code) in
        [("H360.5−0 ° AVATAR fi ffH", Weight::Regular, 400), ("HΔp ≤ ½ µm², 3×10³H", Weight::Bold, 700)]
    {
        let box_of = |words: &str| {
            let family = font::FAMILY;
            let svg = format!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><text font-family="{family}" font-size="100" font-weight="{code}">{words}</text></svg>"#
            );
            parse(&svg).map_or(0.0, |tree| f64::from(tree.root().bounding_box().width()))
        };
        let advance = |words: &str| fonts.width(words, 100.0, weight);
        let expected = box_of(words) - box_of("H");
        let measured = advance(words) - advance("H");
        // usvg's boxes are in f32 and its outlines flattened: a hundredth of a pixel.
        assert!((measured - expected).abs() < 0.01, "{words}: {measured} against {expected}");
    }
}

/// The boxes of all paths, those of letters too.
fn paths(group: &usvg::Group) -> Vec<usvg::Rect> {
    let of = |node: &usvg::Node| match node {
        usvg::Node::Group(group) => paths(group),
        usvg::Node::Text(text) => paths(text.flattened()),
        usvg::Node::Path(_) | usvg::Node::Image(_) => vec![node.abs_bounding_box()],
    };
    group.children().iter().flat_map(of).collect()
}

/// Our outlines against those usvg makes of live text, by the box of all that is drawn.
#[test]
fn reference_outlines_are_those_usvg_draws() {
    let fonts = Fonts::load().unwrap_or_else(|error| panic!("{error}"));
    for chart in [crowded_events(), stacked(), logarithmic()] {
        let scene = chart.compose(&Theme::light()).unwrap_or_else(|error| panic!("{error}"));
        // The raised minus is set from another's letter, smaller and lifted.
        let minus = scene.layout.texts.first().map(|text| TextBox { text: "⁻".into(), ..text.clone() });
        for text in scene.layout.texts.iter().chain(&minus) {
            let layout = Layout { texts: vec![text.clone()], ..scene.layout.clone() };
            let alone = Scene { shapes: Vec::new(), layout, ..scene.clone() };
            let edges = |words: Words| {
                let tree = parse(&svg::picture(&alone, &fonts, words)).unwrap_or_else(|e| panic!("{e}"));
                let drawn = paths(tree.root());
                // The first is the ground.
                let boxes = || drawn.iter().skip(1);
                let least = |of: fn(&usvg::Rect) -> f32| boxes().map(of).fold(f32::MAX, f32::min);
                [
                    least(usvg::Rect::left),
                    least(usvg::Rect::top),
                    least(|b| -b.right()),
                    least(|b| -b.bottom()),
                ]
            };
            let apart =
                edges(Words::Outlines).into_iter().zip(edges(Words::Live)).map(|(a, b)| (a - b).abs());
            // Places are written to 0.01 px, those of live text once and those of outlines at every step.
            assert!(apart.fold(0.0, f32::max) < 0.02, "{text:?}");
        }
    }
}

#[test]
fn reference_the_font_has_what_the_trade_writes() {
    let fonts = Fonts::load().unwrap_or_else(|error| panic!("{error}"));
    let missing = |c: &char| !fonts.has(*c);
    let lacking: Vec<char> =
        "Δ≤≥°–−µ²³×·½¼¾⅛⅜⅝⅞⁰¹⁴⁵⁶⁷⁸⁹…—’“”\u{a0}\u{202f}".chars().filter(missing).collect();
    assert!(lacking.is_empty(), "{lacking:?}");
    for weight in [Weight::Regular, Weight::Bold] {
        let figure = |c: char| fonts.width(&c.to_string(), 1000.0, weight);
        assert!(('0'..='9').all(|c| (figure(c) - figure('0')).abs() < 1e-9), "figures are not tabular");
    }
}

#[test]
fn a_canvas_without_room_is_an_error_that_says_what_would_do() {
    let asked = stacked().with_size(300, 200);
    let Err(PlotError::CanvasTooSmall { asked: (300, 200), least }) = to_svg(&asked, &Theme::light()) else {
        panic!("a canvas of 300 × 200 px cannot hold three panels");
    };
    let enough = stacked().with_size(least.0, least.1);
    assert!(to_svg(&enough, &Theme::light()).is_ok(), "{least:?} must do");
}

#[test]
fn bad_input_is_an_error() {
    assert_eq!(to_png("<svg", 100).err().map(|error| matches!(error, PlotError::Svg(_))), Some(true));
    let svg = to_svg(&stacked(), &Theme::light()).unwrap_or_default();
    assert_eq!(to_png(&svg, 0), Err(PlotError::PngWidth(0)));
    assert_eq!(to_png(&svg, 20_000), Err(PlotError::PngWidth(20_000)));
}

/// On A5 lying down, 210 mm wide, the smallest type is still 7 points high, and a PNG has 290 dots to the inch.
#[test]
fn closed_form_a_page_has_finer_type_on_a_higher_canvas() {
    let print = Theme::light().in_format(Format::Print);
    let layout = checks::laid_out(&stacked(), &print, "stacked");
    assert_eq!((layout.width, layout.height), (1920, 1360));
    let points = 210.0 / 25.4 * 72.0 / f64::from(layout.width);
    let sizes = || layout.texts.iter().map(|text| text.size * points);
    assert!(sizes().all(|size| (7.0..13.0).contains(&size)), "{:?}", sizes().collect::<Vec<_>>());
    assert!((f64::from(print.format.png_width()) / (210.0 / 25.4) - 290.0).abs() < 1.0);
    assert_eq!(Theme::light().in_format(Format::Print).in_format(Format::Screen), Theme::light());
}
