//! Names stand by their own curves, whatever the curves.

use super::*;
use crate::canvas::Setting;
use crate::font::Fonts;

/// Two to eight curves that walk at random, of which some end early.
fn walks(seed: u32) -> Vec<Vec<(f64, f64)>> {
    let mut state = u64::from(seed) + 1;
    let mut share = || {
        // A linear congruential generator; its upper bits are good enough for a walk.
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 40) as f64 / f64::from(1_u32 << 24)
    };
    (0..2 + seed % 7)
        .map(|_| {
            let mut at = 100.0 * share();
            let count = 3.0 + 27.0 * share();
            let mut points = vec![(0.0, at)];
            while (points.len() as f64) < count {
                at += 18.0 * (share() - 0.5);
                points.push((points.len() as f64, at));
            }
            points
        })
        .collect()
}

/// A name in the panel is nearer its own curve than any other, so that of the names there the one nearest to a curve is never
/// another's; names in the column stand in the order of their curves' ends, each with a line to its own where it has moved.
#[test]
fn property_the_name_nearest_to_a_curve_is_its_own() {
    for seed in 0..150 {
        let walks = walks(seed);
        let theme = Theme::light();
        let fonts = Fonts::load().unwrap_or_else(|error| panic!("{error}"));
        let panel =
            walks.iter().enumerate().fold(Panel::new(Axis::new("height", "mm")), |panel, (n, walk)| {
                panel.with_series(
                    Series::new(format!("number {n}"), walk.iter().copied()).style(0).variant(n, 8),
                )
            });
        let chart = LineChart::new("Walks", Axis::new("step", "")).with_panel(panel);
        let (setting, _) = Setting::new(&chart, (1920, 1080), &theme, &fonts);
        let settled = chart.body.settle(&setting).unwrap_or_else(|error| panic!("{error}"));
        let (drawn, names) = (&settled.drawn[0], &settled.names[0]);
        let right = settled.page.panels[0].rect.right;
        let end = |n: usize| drawn.curves[n].end().unwrap_or_default();
        let number =
            |text: &str| -> usize { text.trim_start_matches("number ").parse().unwrap_or(usize::MAX) };
        let mut column: Vec<(f64, f64)> = Vec::new();
        for text in &names.texts {
            let own = number(&text.text);
            assert!(own < walks.len(), "{}", text.text);
            let place = crate::geometry::Rect::sized(text.x, text.y, text.w, text.h);
            if text.x > right {
                column.push((text.y, end(own).1));
                continue;
            }
            let away = |n: usize| {
                let segments = drawn.curves[n].pieces.iter().flat_map(|piece| piece.windows(2));
                segments.map(|pair| place.distance_to_segment(pair[0], pair[1])).fold(f64::INFINITY, f64::min)
            };
            for other in (0..walks.len()).filter(|n| *n != own) {
                assert!(
                    away(own) <= away(other) + 0.5,
                    "{seed}, {}: {} {}",
                    text.text,
                    away(own),
                    away(other)
                );
            }
        }
        column.sort_by(|a, b| a.0.total_cmp(&b.0));
        assert!(column.windows(2).all(|pair| pair[0].1 <= pair[1].1), "{seed}: {column:?}");
        assert_eq!(names.texts.len() + names.omitted.len(), walks.len());
    }
}

/// A curve that ends early on a line which another follows on is named by its end, and no line runs from there along the other.
#[test]
fn property_a_name_stands_by_an_end_that_another_curve_passes_through() {
    for theme in crate::checks::themes() {
        let fonts = Fonts::load().unwrap_or_else(|error| panic!("{error}"));
        let long = (0..=40).map(|n| (f64::from(n), if n < 10 { 0.0 } else { 0.01 * f64::from(n - 10) }));
        let panel = Panel::new(Axis::new("skin", "mm").not_below(0.0))
            .with_series(Series::new("long", long))
            .with_series(Series::new("short", [(-2.0, 0.0), (5.0, 0.0)]));
        let chart = LineChart::new("Skins", Axis::new("time", "ms").range(-2.0, 50.0)).with_panel(panel);
        let (setting, _) = Setting::new(&chart, (1920, 1080), &theme, &fonts);
        let settled = chart.body.settle(&setting).unwrap_or_else(|error| panic!("{error}"));
        let (place, names) = (settled.page.panels[0].rect, &settled.names[0]);
        let end = settled.drawn[0].curves[1].end().unwrap_or_default();
        let name =
            names.texts.iter().find(|text| text.text == "short").unwrap_or_else(|| panic!("{names:?}"));
        assert!(name.x + name.w < place.right, "{name:?} {place:?}");
        assert!(name.rect().distance_to_point(end) < 0.1 * place.width(), "{name:?} {end:?}");
        for (points, _) in &names.leaders {
            assert!(
                points.windows(2).all(|pair| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1) < 150.0)
            );
        }
    }
}

/// A panel takes its share of the height, and both keep their curves.
#[test]
fn closed_form_panels_share_the_height_as_they_are_told() {
    let theme = Theme::light();
    let fonts = Fonts::load().unwrap_or_else(|error| panic!("{error}"));
    let panel =
        || Panel::new(Axis::new("height", "mm")).with_series(Series::new("", [(0.0, 0.0), (1.0, 1.0)]));
    let chart =
        LineChart::new("Two", Axis::new("step", "")).with_panel(panel().share(1.5)).with_panel(panel());
    let (setting, _) = Setting::new(&chart, (1920, 1080), &theme, &fonts);
    let settled = chart.body.settle(&setting).unwrap_or_else(|error| panic!("{error}"));
    let [first, second] = [0, 1].map(|n| settled.page.panels[n].rect);
    assert!((first.height() / second.height() - 1.5).abs() < 1e-9, "{first:?} {second:?}");
    assert!(first.bottom < second.top && second.bottom < setting.room.bottom, "{first:?} {second:?}");
}

/// Of one colour no two look the same, and the first is the colour itself.
#[test]
fn property_series_of_one_colour_differ_in_line_or_marker() {
    let theme = Theme::dark();
    let all: Vec<Series> = (0..20).map(|n| Series::new("", []).style(0).variant(n, 20)).collect();
    assert_eq!(all[0].colours(0, &theme).line, theme.series_colour(0).line);
    for (n, series) in all.iter().enumerate() {
        for (m, other) in all.iter().enumerate().skip(n + 1) {
            let look = |series: &Series, at| {
                let (stroke, marker) = series.signs(at);
                (stroke % 5, marker % 5)
            };
            assert_ne!(look(series, n), look(other, m), "{n} {m}");
        }
    }
}
