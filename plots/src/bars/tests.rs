//! Bar charts of plain and awkward values.

use super::*;
use crate::Theme;
use crate::checks::{assert_drawn_alike, assert_tidy, laid_out, themes};
use crate::render::to_svg;
use crate::scene::Picture;

fn bar(value: f64) -> Bar {
    Bar { value, interval: Some((0.9 * value - 2.0, 1.1 * value + 1.0)), label: format!("{value} %") }
}

fn chart(values: &[f64]) -> Bars {
    let names = [
        "stack.bare_clearance",
        "stack.sleeve",
        "mould.heat_transfer",
        "spring[1].wire",
        "metal.pot_temperature of some length",
    ];
    let empty =
        Bars::new("The plain clearance makes 71 % of the spread", Axis::new("share of the spread", "%"))
            .with_source("invented");
    values.iter().enumerate().fold(empty, |chart, (row, value)| {
        let name = names.get(row % names.len()).copied().unwrap_or_default();
        let mut first = bar(*value);
        if row == 0 {
            first.label.push_str(" alone");
        }
        chart.with_row(name, [first, bar(1.05 * value)])
    })
}

fn all() -> Vec<Bars> {
    let mut charts = vec![
        chart(&[71.0, 20.0, 5.0, 3.0, 0.5]),
        chart(&[60.0, 12.0, 9.0, 7.0, 5.0, 4.0, 2.0, 1.0]),
        chart(&[100.0]),
        chart(&[]),
        chart(&[-3.0, 5.0]),
        chart(&[0.0, 0.0]),
        chart(&[f64::NAN, f64::INFINITY, 2.0]),
        chart(&[1e-300, 1e299]),
    ];
    charts.push(Bars::new("", Axis::new("", "")).with_row("", []));
    charts
}

#[test]
fn property_no_text_overlaps_or_leaves_the_frame() {
    for chart in all().into_iter().flat_map(|chart| [chart.clone(), chart.with_size(1600, 1200)]) {
        for theme in themes() {
            assert_tidy(&laid_out(&chart, &theme, &chart.headline), &chart.headline);
        }
    }
}

/// Closed form: a filled bar of twice the value is twice as long.
#[test]
fn closed_form_bars_are_as_long_as_their_values() {
    let scene = chart(&[40.0, 20.0, 10.0]).compose(&Theme::light()).unwrap_or_else(|error| panic!("{error}"));
    let lengths: Vec<f64> = scene
        .shapes
        .iter()
        .filter_map(|shape| match shape {
            Shape::Area { points, .. } => {
                let xs = || points.iter().map(|point| point.0);
                Some(xs().fold(f64::MIN, f64::max) - xs().fold(f64::MAX, f64::min))
            }
            Shape::Line { .. } | Shape::Dot { .. } => None,
        })
        .collect();
    let [first, second, third] = lengths.as_slice() else { panic!("three filled bars, not {lengths:?}") };
    assert!((first / second - 2.0).abs() < 1e-9 && (second / third - 2.0).abs() < 1e-9, "{lengths:?}");
}

#[test]
fn property_more_rows_than_fit_are_an_error_that_says_what_would_do() {
    let crowded = chart(&[5.0; 30]);
    let Err(PlotError::CanvasTooSmall { least, .. }) = to_svg(&crowded, &Theme::light()) else {
        panic!("thirty rows do not fit on 1080 px");
    };
    assert!(to_svg(&crowded.with_size(least.0, least.1), &Theme::light()).is_ok(), "{least:?} must do");
}

#[test]
fn property_every_chart_becomes_the_same_picture_each_time() {
    for chart in all() {
        assert_drawn_alike(&chart, &Theme::dark(), &chart.headline);
    }
}
