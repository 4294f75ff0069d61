//! Maps of plain and awkward regions.

use super::*;
use crate::checks::{assert_drawn_alike, assert_tidy, laid_out, themes};
use crate::font::Fonts;
use crate::render::to_svg;
use resvg::tiny_skia::Pixmap;

const NAMES: [&str; 4] =
    ["latch may stand aside", "latch must be set", "neither fills in time", "not solid in time"];

fn axes() -> (Axis, Axis) {
    (Axis::new("pace", "turns/min").log(), Axis::new("body size", "pt"))
}

fn empty() -> RegionMap {
    let (x, y) = axes();
    let map = RegionMap::new("The latch may stand aside up to 17 pt", x, y).with_source("invented");
    NAMES.iter().zip([1, 0, 3, 4]).fold(map, |map, (name, style)| map.with_category(*name, style))
}

fn stretches(bounds: &[f64], categories: &[usize]) -> Vec<Stretch> {
    let pairs = bounds.windows(2).zip(categories);
    pairs.map(|(ends, &category)| Stretch { from: ends[0], to: ends[1], category }).collect()
}

/// Four regions as a caster has them: the slowest paces rise with the size, the cooling limit falls.
fn casting() -> RegionMap {
    let rows = (0..24).map(|n| 6.0 + 2.0 * f64::from(n)).map(|size| {
        let cool = 9000.0 / (size * size).max(25.0);
        let aside = (0.8 * size * size).min(400.0);
        let set = (0.12 * size * size).clamp(1.0, 400.0);
        let bounds = [1.0, set.min(cool), aside.clamp(set.min(cool), cool), cool, 400.0];
        (size, stretches(&bounds, &[2, 1, 0, 3]))
    });
    rows.fold(empty(), |map, (size, row)| map.with_row(size, row)).with_point((20.0, 24.0), "cast now")
}

/// The page and the regions on it.
fn laid(map: &RegionMap) -> (OnePanel, Vec<Region>) {
    let fonts = Fonts::load().unwrap_or_else(|error| panic!("{error}"));
    let theme = Theme::light();
    let (setting, _) = Setting::new(map, (1920, 1080), &theme, &fonts);
    let page = map.body.page(&setting).unwrap_or_else(|error| panic!("{error}"));
    let regions = regions::join(&map.body.tiled(&page));
    (page, regions)
}

fn all() -> Vec<RegionMap> {
    let bare = || empty().with_point((20.0, 24.0), "cast now").with_point((f64::NAN, 1.0), "nowhere");
    let nan = Stretch { from: f64::NAN, to: 5.0, category: 0 };
    let unknown = Stretch { from: 1.0, to: 5.0, category: 9 };
    let narrow = (0..40).map(|n| Stretch {
        from: 1.0 + 0.1 * f64::from(n),
        to: 1.08 + 0.1 * f64::from(n),
        category: usize::try_from(n % 4).unwrap_or(0),
    });
    let many_points = (0..30).fold(casting(), |map, n| {
        map.with_point((20.0 + 0.1 * f64::from(n), 24.0), format!("one of many points, number {n}"))
    });
    let narrow: Vec<Stretch> = narrow.collect();
    vec![
        casting(),
        many_points,
        bare(),
        bare().with_row(10.0, []),
        bare().with_row(10.0, stretches(&[1.0, 5.0, 9.0], &[0, 1])),
        bare().with_row(10.0, stretches(&[1.0, 9.0], &[0])).with_row(10.0, stretches(&[1.0, 9.0], &[1])),
        bare().with_row(10.0, [nan, unknown]).with_row(f64::INFINITY, stretches(&[1.0, 9.0], &[1])),
        bare().with_row(10.0, stretches(&[9.0, 1.0], &[1])).with_row(20.0, stretches(&[4.0, 4.0], &[1])),
        bare().with_row(-1e300, stretches(&[1e-300, 1e300], &[2])).with_row(1e300, narrow.clone()),
        bare().with_row(1.0, narrow).with_row(2.0, stretches(&[1.0, 5.0], &[3])),
        RegionMap::new("", Axis::new("", ""), Axis::new("", "")).with_row(1.0, stretches(&[0.0, 1.0], &[0])),
    ]
}

#[test]
fn property_no_text_overlaps_or_leaves_the_frame() {
    for map in all().into_iter().flat_map(|map| [map.clone(), map.with_size(1280, 960)]) {
        for theme in themes() {
            assert_tidy(&laid_out(&map, &theme, &map.headline), &map.headline);
        }
    }
}

#[test]
fn property_every_region_and_point_has_its_name() {
    for theme in themes() {
        let layout = laid_out(&casting(), &theme, "casting");
        let words = layout.texts.iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ");
        for name in NAMES.iter().chain(&["cast now"]) {
            assert!(words.contains(name), "{name} is missing: {words}");
        }
        assert!(layout.omitted.is_empty(), "{:?}", layout.omitted);
    }
}

/// A sliver is too narrow for its name, which then stands above the panel beside a sample.
#[test]
fn property_a_region_without_room_is_named_above_the_panel() {
    let row = stretches(&[1.0, 20.0, 20.5, 400.0], &[0, 1, 3]);
    let map = empty().with_row(10.0, row.clone()).with_row(20.0, row);
    let layout = laid_out(&map, &Theme::light(), "sliver");
    let top_of = |name: &str| layout.texts.iter().find(|text| text.text == name).map(|text| text.y);
    let (title, key) = (top_of("body size, pt"), top_of(NAMES[1]));
    assert!(title.zip(key).is_some_and(|(title, key)| (title - key).abs() < 5.0), "{title:?} {key:?}");
    assert!(top_of(NAMES[0]) > key && layout.omitted.is_empty());
}

/// Closed form: the regions of a fully covered map leave no gap, so their areas add up to that of the panel.
#[test]
fn closed_form_regions_add_up_to_the_panel() {
    for (map, name) in [
        (casting(), "casting"),
        (
            empty()
                .with_row(1.0, stretches(&[1.0, 10.0, 100.0], &[0, 1]))
                .with_row(2.0, stretches(&[1.0, 3.0, 20.0, 100.0], &[2, 0, 3]))
                .with_row(3.0, stretches(&[1.0, 100.0], &[3])),
            "changing",
        ),
    ] {
        let (page, regions) = laid(&map);
        let sum: f64 = regions.iter().map(Region::area).sum();
        let panel = page.rect.width() * page.rect.height();
        assert!((sum / panel - 1.0).abs() < 1e-9, "{name}: {sum} of {panel}");
        // The polygons have the areas the edges have: Gauss's area formula.
        for region in &regions {
            let corners = region.polygon();
            let twice: f64 =
                corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
            assert!((0.5 * twice.abs() - region.area()).abs() < 1e-6 * panel, "{name}: {region:?}");
        }
    }
}

/// Closed form: half-way between two rows the edge of a region stands half-way.
#[test]
fn closed_form_edges_run_straight_from_row_to_row() {
    let map = empty()
        .with_row(1.0, stretches(&[1.0, 4.0, 100.0], &[0, 1]))
        .with_row(3.0, stretches(&[1.0, 25.0, 100.0], &[0, 1]));
    let (page, regions) = laid(&map);
    let [first, second] = regions.as_slice() else { panic!("two regions, not {regions:?}") };
    let middle = page.y(2.0).unwrap_or(f64::NAN);
    // On a logarithmic axis 10 lies half-way between 4 and 25.
    let expected = page.x(10.0).unwrap_or(f64::NAN);
    for (region, edge) in [
        (first, first.clear_between(middle, middle).map(|(_, to)| to)),
        (second, second.clear_between(middle, middle).map(|(from, _)| from)),
    ] {
        assert!(edge.is_some_and(|edge| (edge - expected).abs() < 1e-6), "{region:?}: {edge:?} {expected}");
    }
}

/// Drawn in one colour alone, no two of the five rulings look alike: their lines fall on different pixels.
#[test]
fn property_rulings_differ_without_colour() {
    let mut grey = Theme::light();
    grey.series = [grey.series_colour(4); 5];
    let patch = |style: usize| -> Vec<u8> {
        let (x, y) = (Axis::new("", ""), Axis::new("", ""));
        let map = RegionMap::new("", x, y)
            .with_category("", style)
            .with_row(0.0, stretches(&[0.0, 1.0], &[0]))
            .with_row(1.0, stretches(&[0.0, 1.0], &[0]));
        let png = to_svg(&map, &grey).and_then(|svg| crate::render::to_png(&svg, 1920));
        let pixels =
            png.ok().and_then(|png| Pixmap::decode_png(&png).ok()).unwrap_or_else(|| panic!("no picture"));
        pixels.pixels().iter().map(|pixel| pixel.red()).collect()
    };
    let patches: Vec<Vec<u8>> = (0..5).map(patch).collect();
    for (i, a) in patches.iter().enumerate() {
        for (j, b) in patches.iter().enumerate().skip(i + 1) {
            let differing = a.iter().zip(b).filter(|(a, b)| a.abs_diff(**b) > 30).count();
            // A line 2 px wide every 30 px covers 7 % of the panel, which is most of the picture; half of that is told apart.
            assert!(differing as f64 > 0.03 * a.len() as f64, "rulings {i} and {j}: {differing} pixels");
        }
    }
}

#[test]
fn property_every_map_becomes_the_same_picture_each_time() {
    for map in all() {
        assert_drawn_alike(&map, &Theme::dark(), &map.headline);
    }
}

#[test]
fn property_a_canvas_without_room_is_an_error_that_says_what_would_do() {
    let Err(PlotError::CanvasTooSmall { least, .. }) =
        to_svg(&casting().with_size(300, 200), &Theme::light())
    else {
        panic!("300 × 200 px cannot hold the page");
    };
    assert!(to_svg(&casting().with_size(least.0, least.1), &Theme::light()).is_ok(), "{least:?} must do");
}
