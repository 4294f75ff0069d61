//! Histograms of plain and awkward values.

use super::*;
use crate::Theme;
use crate::checks::{assert_drawn_alike, assert_tidy, laid_out, themes};

/// A triangular hill of values between two ends.
fn hill(from: f64, to: f64) -> Vec<f64> {
    let steps = 200_u32;
    let part = |i: u32| f64::from(i) / f64::from(steps);
    (0..=steps)
        .flat_map(|i| (0..=steps).step_by(8).map(move |j| 0.5 * (part(i) + part(j))))
        .map(|p| from + p * (to - from))
        .collect()
}

fn chart(values: Vec<f64>, limit: f64) -> Histogram {
    let (first, last) =
        (values.iter().copied().fold(f64::NAN, f64::min), values.iter().copied().fold(f64::NAN, f64::max));
    Histogram::new(
        "Fill time in nine machines of ten: 24 to 28 ms",
        Axis::new("fill time, latch set", "ms"),
        "machines",
        values,
    )
    .with_place(first + 0.2 * (last - first), "5 %: 24.8 ms")
    .with_place(first + 0.5 * (last - first), "half: 26.0 ms")
    .with_place(first + 0.8 * (last - first), "95 %: 27.2 ms")
    .with_limit(limit, "time allowed 28.5 ms")
    .with_source("an invented machine")
}

fn all() -> Vec<Histogram> {
    let mut charts: Vec<Histogram> = [28.5, 26.1, 200.0, -50.0, f64::NAN]
        .into_iter()
        .map(|limit| chart(hill(24.0, 28.0), limit))
        .collect();
    for values in [
        vec![],
        vec![5.0],
        vec![0.0; 7],
        vec![f64::NAN, f64::INFINITY],
        vec![1e15, 1e15 + 0.25],
        vec![-1e299, 1e299],
        vec![1e-300, 2e-300],
        vec![0.0, 0.0, 0.0, 0.0, 1e9],
    ] {
        charts.push(chart(values, 1.0));
    }
    charts
}

#[test]
fn closed_form_each_value_is_counted_once_in_its_own_step() {
    let bins = Bins::of(&[0.5, 1.5, 1.5, 2.5, 2.5, 2.5, 2.5, 9.5]);
    assert!((bins.shares.iter().sum::<f64>() - 100.0).abs() < 1e-9, "{bins:?}");
    for value in [0.5, 1.5, 2.5, 9.5] {
        let held = bins.shares.iter().enumerate().find(|(index, _)| {
            let from = bins.low + bins.step * *index as f64;
            (from..from + bins.step).contains(&value)
        });
        assert!(held.is_some_and(|(_, share)| *share > 0.0), "{value} in {bins:?}");
    }
}

/// Closed form: values evenly over 0 to 1 have a quartile distance of ½, so the step for 1000 of them is 2·½/10 = 0.1.
#[test]
fn closed_form_the_step_is_that_of_freedman_and_diaconis() {
    let even: Vec<f64> = (0..1000).map(|i| (f64::from(i) + 0.5) / 1000.0).collect();
    let bins = Bins::of(&even);
    assert!((bins.step - 0.1).abs() < 1e-12 && bins.shares.len() == 10, "{bins:?}");
    assert!(bins.shares.iter().all(|share| (share - 10.0).abs() < 0.2), "{bins:?}");
}

#[test]
fn property_no_text_overlaps_or_leaves_the_frame() {
    for chart in all().into_iter().flat_map(|chart| [chart.clone(), chart.with_size(1280, 960)]) {
        for theme in themes() {
            assert_tidy(&laid_out(&chart, &theme, "histogram"), "histogram");
        }
    }
}

#[test]
fn property_the_limit_is_named_wherever_it_lies() {
    for (limit, name) in
        [(28.5, "time allowed 28.5 ms"), (200.0, "time allowed 28.5 ms →"), (-50.0, "← time allowed 28.5 ms")]
    {
        let layout = laid_out(&chart(hill(24.0, 28.0), limit), &Theme::light(), name);
        assert!(layout.texts.iter().any(|text| text.text == name), "{name}");
        assert!(layout.omitted.is_empty(), "{:?}", layout.omitted);
    }
}

#[test]
fn property_every_histogram_becomes_the_same_picture_each_time() {
    for chart in all() {
        assert_drawn_alike(&chart, &Theme::dark(), "histogram");
    }
}
