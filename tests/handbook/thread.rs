//! Threads against published tables and formulae: ISO 68-1, ISO 724 and ISO 898-1; ASME B1.1; BS 84.
//!
//! Where a table was read, the page it was read in is named. Numbers with more figures than the tables print are plain
//! arithmetic of the stated formula: they guard against slips.

use approx::assert_relative_eq;
use latchstroke_models::thread::{
    Cycle, Form, Series, Side, Thread, cut_thread_endurance, goodman_safety, series_pitch, standard_thread,
};

const MM: f64 = 1e-3;
const INCH: f64 = 0.0254;

fn thread(form: Form, major: f64, pitch: f64) -> Thread {
    Thread::new(form, major, pitch).unwrap_or_else(|error| panic!("{error}"))
}

/// A row of the table of metric threads, mm and mm².
struct Row {
    d: f64,
    p: f64,
    /// d_2, d_1, d_3 and A_s: arithmetic of the formula, from memory, whose coefficient agrees with the table.
    worked_out: [f64; 4],
    /// A_s as the table prints it, and half a unit of its last digit. Read: usefastener, EN ISO 898-1 table; a second one,
    /// GB/T 16823.1, agrees to two decimals.
    printed: (f64, f64),
}

const fn row(d: f64, p: f64, worked_out: [f64; 4], printed: (f64, f64)) -> Row {
    Row { d, p, worked_out, printed }
}

const METRIC: [Row; 7] = [
    row(6.0, 1.0, [5.350481, 4.917468, 4.773131, 20.123376], (20.1, 0.05)),
    row(8.0, 1.25, [7.188101, 6.646835, 6.466413, 36.608541], (36.6, 0.05)),
    row(10.0, 1.5, [9.025721, 8.376202, 8.159696, 57.989593], (58.0, 0.05)),
    row(12.0, 1.75, [10.863342, 10.105569, 9.852979, 84.266533], (84.3, 0.05)),
    row(14.0, 2.0, [12.700962, 11.834936, 11.546261, 115.439361], (115.0, 0.5)),
    row(16.0, 2.0, [14.700962, 13.834936, 13.546261, 156.668402], (157.0, 0.5)),
    row(20.0, 2.5, [18.376202, 17.293671, 16.932827, 244.794379], (245.0, 0.5)),
];

#[test]
fn handbook_metric_threads() {
    for Row { d, p, worked_out: [d2, d1, d3, area], printed: (printed, half_unit) } in METRIC {
        let m = thread(Form::Metric, d * MM, p * MM);
        // Six decimals are given.
        for (found, wanted) in [(m.pitch_diameter(), d2), (m.nut_minor(), d1), (m.core_diameter(), d3)] {
            assert!((found / MM - wanted).abs() <= 0.5e-6, "M{d}: {found} {wanted}");
        }
        let found = m.stress_area() / (MM * MM);
        assert!((found - area).abs() <= 0.5e-6, "M{d}: {found} {area}");
        assert!((found - printed).abs() <= half_unit, "M{d}: {found} {printed}");
        assert_eq!(series_pitch(Series::MetricCoarse, d * MM), Some(p * MM));
    }
}

#[test]
fn handbook_metric_stress_area_coefficient() {
    // A_s = π/4·(d − c·P)², c = 13·√3/24; quoted as 0.938194 (read: engineersedge, thread tensile stress area).
    let m = thread(Form::Metric, 10.0, 1.5);
    let c = (10.0 - (m.stress_area() * 4.0 / std::f64::consts::PI).sqrt()) / 1.5;
    assert_relative_eq!(c, 0.9381941874331, max_relative = 1e-12);
    assert!((c - 0.938194).abs() <= 0.5e-6);
}

#[test]
fn handbook_metric_proof_of_class_8_8() {
    // Least breaking load A_s × 800 MPa as printed, to three figures (read: usefastener, EN ISO 898-1 table).
    for (d, p, newtons, half_unit) in
        [(10.0, 1.5, 46_400.0, 50.0), (12.0, 1.75, 67_400.0, 50.0), (16.0, 2.0, 125_000.0, 500.0)]
    {
        let load = thread(Form::Metric, d * MM, p * MM).stress_area() * 800e6;
        assert!((load - newtons).abs() <= half_unit, "M{d}: {load}");
        assert_relative_eq!(thread(Form::Metric, d * MM, p * MM).stress(load), 800e6, max_relative = 1e-12);
    }
}

#[test]
fn handbook_unified_threads() {
    // D, n; A_t in in² and d_2 in in by the formula; A_t as the table prints it: tables truncate, so one unit of the last digit.
    // Tables read: engineersedge, ANSI inch thread stress table; boltport, UNF table.
    let (coarse, fine) = (Series::UnifiedCoarse, Series::UnifiedFine);
    for (series, major, n, area, pitch_diameter, (printed, unit)) in [
        (coarse, 0.25, 20.0, 0.0318213, 0.217524, (0.0318, 1e-4)),
        (coarse, 0.3125, 18.0, 0.0524307, 0.276416, (0.0524, 1e-4)),
        (coarse, 0.375, 16.0, 0.0774902, 0.334405, (0.0775, 1e-4)),
        (coarse, 0.5, 13.0, 0.1418996, 0.450037, (0.1419, 1e-4)),
        (fine, 0.5, 20.0, 0.1599535, 0.467524, (0.1599, 1e-4)),
        (coarse, 0.625, 11.0, 0.2260033, 0.565953, (0.226, 1e-3)),
        (coarse, 0.75, 10.0, 0.3344621, 0.685048, (0.334, 1e-3)),
    ] {
        let t = thread(Form::Unified, major * INCH, INCH / n);
        let found = t.stress_area() / (INCH * INCH);
        assert!((found - area).abs() <= 1e-7, "{major}-{n}: {found}");
        assert!((found - printed).abs() <= unit, "{major}-{n}: {found}");
        assert!((t.pitch_diameter() / INCH - pitch_diameter).abs() <= 1e-6, "{major}-{n}");
        assert_eq!(series_pitch(series, major * INCH), Some(INCH / n));
    }
}

#[test]
fn handbook_whitworth_threads() {
    // D, n; effective and core diameter in in and core area in in² by the formula (read: m-techmetal and cyclechat pages); both
    // diameters as tables print them, to 1e-4 in (read: trfastenings, BSW table).
    for (major, n, [effective, core, area], [printed_effective, printed_core]) in [
        (0.25, 20.0, [0.217984, 0.185967, 0.027162], [0.2180, 0.1860]),
        (0.375, 16.0, [0.334980, 0.294959, 0.068330], [0.3350, 0.2950]),
        (0.5, 12.0, [0.446639, 0.393279, 0.121476], [0.4467, 0.3933]),
        (0.625, 11.0, [0.566788, 0.508577, 0.203144], [0.5668, 0.5086]),
        (0.75, 10.0, [0.685967, 0.621935, 0.303794], [0.6860, 0.6220]),
        (1.0, 8.0, [0.919959, 0.839918, 0.554069], [0.9200, 0.8400]),
    ] {
        let t = thread(Form::Whitworth, major * INCH, INCH / n);
        let (e, k) = (t.pitch_diameter() / INCH, t.core_diameter() / INCH);
        assert!((e - effective).abs() <= 1e-6 && (k - core).abs() <= 1e-6, "{major}-{n}: {e} {k}");
        assert!((e - printed_effective).abs() <= 1e-4 && (k - printed_core).abs() <= 1e-4, "{major}-{n}");
        assert!((t.stress_area() / (INCH * INCH) - area).abs() <= 1e-6, "{major}-{n}");
        assert_eq!(series_pitch(Series::Whitworth, major * INCH), Some(INCH / n));
    }
}

#[test]
fn handbook_inch_series_beyond_an_inch() {
    // Threads to the inch: UNC (read: threadchart, noxmetals), UNF (from memory), BSW (read: trfastenings), BSF (read: a maker of
    // gauges' table).
    let all = [Series::UnifiedCoarse, Series::UnifiedFine, Series::Whitworth, Series::WhitworthFine];
    for (major, counts) in [
        (1.125, [7.0, 12.0, 7.0, 9.0]),
        (1.25, [7.0, 12.0, 7.0, 9.0]),
        (1.375, [6.0, 12.0, 6.0, 8.0]),
        (1.5, [6.0, 12.0, 6.0, 8.0]),
    ] {
        for (series, count) in all.into_iter().zip(counts) {
            assert_eq!(series_pitch(series, major * INCH), Some(INCH / count), "{major} {series:?}");
        }
    }
    // A size that a series leaves out.
    assert_eq!(series_pitch(Series::UnifiedCoarse, 11.0 / 16.0 * INCH), None);
}

#[test]
fn handbook_the_standard_thread_of_a_pitch() {
    // Looked up in the tables of the series: which thread near half an inch has this pitch.
    for (pitch, near, most, wanted) in [
        (INCH / 16.0, 12.0 * MM, f64::INFINITY, Some((Series::WhitworthFine, 0.5 * INCH))),
        (INCH / 13.0, 12.0 * MM, f64::INFINITY, Some((Series::UnifiedCoarse, 0.5 * INCH))),
        (INCH / 12.0, 0.5 * INCH, f64::INFINITY, Some((Series::Whitworth, 0.5 * INCH))),
        (INCH / 20.0, 0.5 * INCH, f64::INFINITY, Some((Series::UnifiedFine, 0.5 * INCH))),
        (INCH / 16.0, 10.0 * MM, 10.2 * MM, Some((Series::UnifiedCoarse, 0.375 * INCH))),
        (1.75 * MM, 0.5 * INCH, f64::INFINITY, Some((Series::MetricCoarse, 12.0 * MM))),
        (INCH / 17.0, 12.0 * MM, f64::INFINITY, None),
        (1.75 * MM, 12.0 * MM, 10.0 * MM, None),
    ] {
        let found = standard_thread(pitch, near, most);
        let found = found.map(|(series, major, _)| (series, (major / MM * 1e6).round()));
        assert_eq!(found, wanted.map(|(series, major)| (series, (major / MM * 1e6).round())), "{pitch}");
    }
}

#[test]
fn handbook_undercuts() {
    // DIN 76-1, form A: pitch, d − dg and the least and greatest width, mm (from memory; depths also read, see the table's source).
    for (d, p, depth, widths) in [
        (6.0, 1.0, 1.6, (2.1, 3.5)),
        (8.0, 1.25, 2.0, (2.7, 4.4)),
        (10.0, 1.5, 2.3, (3.2, 5.2)),
        (12.0, 1.75, 2.6, (3.9, 6.1)),
        (16.0, 2.0, 3.0, (4.5, 7.0)),
        (24.0, 3.0, 4.4, (6.7, 10.5)),
    ] {
        let m = thread(Form::Metric, d * MM, p * MM);
        let cut = m.undercut();
        assert_relative_eq!(cut.diameter, (d - depth) * MM, max_relative = 1e-12);
        assert!((widths.0..=widths.1).contains(&(cut.width / MM)), "M{d}: {}", cut.width);
        // Form D, inside and short: d + 0.5 mm, 2.5 pitches at least (from memory).
        let inside = m.undercut_inside();
        assert_relative_eq!(inside.diameter, (d + 0.5) * MM, max_relative = 1e-12);
        // One radius for both (from memory).
        assert_relative_eq!(inside.radius, cut.radius, max_relative = 1e-12);
        assert!(inside.width >= 2.5 * p * MM - 1e-12);
    }
    // Below a pitch of 1 mm the hole's undercut is 0.3 mm wider than the thread (from memory). A pitch between two of the table has a
    // depth between theirs, a coarser one than any that of the last in proportion.
    assert_relative_eq!(
        thread(Form::Metric, 4.5 * MM, 0.75 * MM).undercut_inside().diameter,
        4.8 * MM,
        max_relative = 1e-12
    );
    for (p, depth, radius) in [(2.25, 3.4, 1.0), (1.0, 1.6, 0.6), (5.0, 6.4 * 10.0 / 9.0, 2.0)] {
        let cut = thread(Form::Metric, 48.0 * MM, p * MM).undercut();
        assert_relative_eq!(cut.diameter, (48.0 - depth) * MM, max_relative = 1e-12);
        assert_relative_eq!(cut.radius, radius * MM, max_relative = 1e-12);
    }
    // A tool that cuts the thread runs out in it: the undercut lies below the core, in every series.
    for series in [
        Series::MetricCoarse,
        Series::UnifiedCoarse,
        Series::UnifiedFine,
        Series::Whitworth,
        Series::WhitworthFine,
    ] {
        for (major, pitch) in series.sizes() {
            let t = thread(series.form(), major, pitch);
            assert!(t.undercut().diameter < t.core_diameter(), "{series:?} {major}");
            assert!(t.undercut().diameter > 0.5 * major, "{series:?} {major}");
        }
    }
}

#[test]
fn handbook_classes_of_threads() {
    // ISO 965-1, ASME B1.1, BS 84: the classes for general use (from memory).
    for (form, classes) in
        [(Form::Metric, ["6g", "6H"]), (Form::Unified, ["2A", "2B"]), (Form::Whitworth, ["medium", "medium"])]
    {
        assert_eq!([form.class(Side::External), form.class(Side::Internal)], classes);
    }
}

/// Whitworth's nut is as deep as its bolt: d − 1.280654·p, the depth of the thread 0.640327·p on each side (BS 84, from memory).
#[test]
fn handbook_whitworth_nut_is_as_deep_as_its_bolt() {
    let half_inch = thread(Form::Whitworth, 12.7 * MM, 25.4 / 12.0 * MM);
    assert_relative_eq!(half_inch.nut_minor(), (12.7 - 1.280654 * 25.4 / 12.0) * MM, max_relative = 1e-6);
}

#[test]
fn closed_form_whitworth_depth() {
    // 1/(3·tan 27.5°), geometry.
    let t = thread(Form::Whitworth, 1.0, 0.1);
    assert_relative_eq!((1.0 - t.pitch_diameter()) / 0.1, 0.6403273756571, max_relative = 1e-12);
}

#[test]
fn closed_form_nut_advance_is_turns_times_pitch() {
    // Computed with pint 0.25.3 (1/2-13, half a turn; 3/8-16, one turn; 1/2-12 BSW, one flat); the others arithmetic.
    for (form, major, pitch, turns, millimetres) in [
        (Form::Unified, 0.5 * INCH, INCH / 13.0, 0.5, 0.9769230769),
        (Form::Unified, 0.375 * INCH, INCH / 16.0, 1.0, 1.5875),
        (Form::Whitworth, 0.5 * INCH, INCH / 12.0, 1.0 / 6.0, 0.3527777778),
        (Form::Metric, 10.0 * MM, 1.5 * MM, 1.0 / 6.0, 0.25),
        (Form::Metric, 16.0 * MM, 2.0 * MM, 1.25, 2.5),
    ] {
        assert_relative_eq!(
            thread(form, major, pitch).pitch() * turns / MM,
            millimetres,
            max_relative = 1e-9
        );
    }
}

#[test]
fn handbook_strip_area_of_m10() {
    // An M10 × 1.5 external thread engaged 10 mm, shear strength 0.6 × 830 MPa on basic sizes, strips at 98 290 N; with the
    // nut's strength the same, 4.90 mm would do for its tensile load of 48 130 N (read: machinecalcs, thread engagement
    // calculator, after FED-STD-H28). Printed to four figures and to 0.01 mm.
    let m10 = thread(Form::Metric, 10.0 * MM, 1.5 * MM);
    let shear = 0.6 * 830e6;
    let strips = shear * m10.strip_area(10.0 * MM);
    assert!((strips - 98_290.0).abs() <= 5.0, "{strips}");
    let breaks = 830e6 * m10.stress_area();
    assert!((breaks - 48_130.0).abs() <= 5.0, "{breaks}");
    let enough = breaks / (shear * m10.strip_area(1.0));
    assert!((enough / MM - 4.90).abs() <= 0.005, "{enough}");
    // The handbook's formula asks for a strip area of twice the stress area, not 1/0.6 of it.
    assert_relative_eq!(m10.engagement(), enough * 0.6 * 2.0, max_relative = 1e-12);
}

#[test]
fn handbook_goodman_line_of_a_bolt() {
    // Worked example of a preloaded bolt, 5/8-11, grade 5: S_e = 18.6, S_ut = 120 kpsi; the Goodman line is met at
    // S_a = 7.55, S_m = 71.29 kpsi (read: Shigley, 9th edition, page 449 and figure 8-22). Printed to 0.01 kpsi.
    let cycle = Cycle { least: 71.29 - 7.55, greatest: 71.29 + 7.55 };
    assert_relative_eq!(goodman_safety(cycle, 18.6, 120.0), 1.0, max_relative = 1e-3);
    // Its load at rest, 63.72 kpsi, swings by 3.10: equation 8-42 with both scaled together, arithmetic.
    let working = Cycle { least: 63.72, greatest: 63.72 + 6.20 };
    assert_relative_eq!(
        goodman_safety(working, 18.6, 120.0),
        1.0 / (3.10 / 18.6 + 66.82 / 120.0),
        max_relative = 1e-12
    );
}

#[test]
fn closed_form_goodman_at_its_ends() {
    // A steady stress fails at the tensile strength, a fully reversed one at the endurance limit.
    assert_relative_eq!(goodman_safety(Cycle { least: 100.0, greatest: 100.0 }, 50.0, 400.0), 4.0);
    assert_relative_eq!(goodman_safety(Cycle { least: -25.0, greatest: 25.0 }, 50.0, 400.0), 2.0);
    // 0.85·0.5/2.8 of the tensile strength: guards against slips; the factors are from memory.
    assert_relative_eq!(cut_thread_endurance(360e6), 54.642857e6, max_relative = 1e-6);
}

#[test]
fn property_threads_that_cannot_be_are_refused() {
    for (major, pitch) in
        [(10.0, 9.0), (10.0, 0.0), (10.0, -1.0), (0.0, 1.0), (f64::NAN, 1.0), (10.0, f64::INFINITY)]
    {
        for form in [Form::Metric, Form::Unified, Form::Whitworth] {
            assert!(Thread::new(form, major * MM, pitch * MM).is_err(), "{form:?} {major} {pitch}");
        }
    }
}
