//! Numbers, fractions and tolerances as owners write them, and what is said of
//! those that cannot be read.

use std::ops::Range;

use approx::assert_relative_eq;
use proptest::prelude::*;

use super::super::quantity::{Dimension, Quantity, QuantityError, format_in, format_si, nearest_64th};

fn inches(text: &str) -> f64 {
    let quantity = Quantity::parse(text, Dimension::Length).unwrap_or_else(|error| panic!("{text}: {error}"));
    quantity.value_in("in").unwrap_or(f64::NAN)
}

fn fault(text: &str, dimension: Dimension) -> QuantityError {
    match Quantity::parse(text, dimension) {
        Ok(quantity) => panic!("`{text}` reads as {}", quantity.si),
        Err(error) => error,
    }
}

#[test]
fn closed_form_mixed_fractions() {
    // 2 11/16 = 43/16 = 2.6875.
    for text in
        ["2 11/16 in", "2-11/16in", "2  11/16\"", "43/16 in", "2.6875 in", "2 11⁄16 in", "+2 11/16 in"]
    {
        assert_relative_eq!(inches(text), 2.6875, max_relative = 1e-15);
    }
    for text in ["2 3/4\"", "2¾ in", "2 ¾″", "2.75 inches", "275e-2 in"] {
        assert_relative_eq!(inches(text), 2.75, max_relative = 1e-15);
    }
    assert_relative_eq!(inches("5/8 in"), 0.625, max_relative = 1e-15);
    assert_relative_eq!(inches("½ in"), 0.5, max_relative = 1e-15);
    assert_relative_eq!(inches(".35 in"), 0.35, max_relative = 1e-15);
    assert_relative_eq!(inches("−1 1/2 in"), -1.5, max_relative = 1e-15);
}

#[test]
fn closed_form_tolerances() {
    for (text, dimension, expected) in [
        ("68 mm ± 0.5 mm", Dimension::Length, 0.5e-3),
        ("68 ± 0.5 mm", Dimension::Length, 0.5e-3),
        ("68 mm ± 0.5", Dimension::Length, 0.5e-3),
        ("68 mm +/- 0.5 mm", Dimension::Length, 0.5e-3),
        ("68 mm+-0.5mm", Dimension::Length, 0.5e-3),
        ("68 mm ± 1/64 in", Dimension::Length, 0.0254 / 64.0),
        ("2 11/16 ± 1/64 in", Dimension::Length, 0.0254 / 64.0),
        ("9 N/mm ± 5 %", Dimension::Stiffness, 450.0),
        ("350 degC ± 5 degC", Dimension::Temperature, 5.0),
        ("350 degC ± 9 degF", Dimension::Temperature, 5.0),
        ("50 % ± 5 %", Dimension::Ratio, 0.05),
        ("1 1/2 ± 1/8 turns", Dimension::Turns, 0.125),
        // d(1/n)/dn = 1/n²: half a thread in sixteen is a thirty-second part.
        ("16 tpi ± 0.5", Dimension::ThreadPitch, 1.5875e-3 / 32.0),
    ] {
        let quantity = Quantity::parse(text, dimension).unwrap_or_else(|error| panic!("{text}: {error}"));
        let tolerance = quantity.tolerance_si.unwrap_or(f64::NAN);
        assert_relative_eq!(tolerance, expected, max_relative = 1e-12);
    }
}

#[test]
fn plain_numbers_stand_without_a_unit_only_where_none_is_needed() {
    assert_relative_eq!(Quantity::parse("1 1/2", Dimension::Turns).map_or(0.0, |q| q.si), 1.5);
    assert_relative_eq!(Quantity::parse("120 %", Dimension::Ratio).map_or(0.0, |q| q.si), 1.2);
    assert_eq!(fault("30", Dimension::Length).message, "`30` has no unit");
}

/// A faulty text, the dimension wanted of it, the bytes at fault, and part of
/// what is said of it and of what would be right.
type FaultCase = (&'static str, Dimension, Range<usize>, &'static str, &'static str);

const FAULTS: [FaultCase; 20] = [
    ("30 mmm", Dimension::Length, 3..6, "no unit `mmm`", "did you mean mm?"),
    ("30 mm", Dimension::Force, 3..5, "wants a force, and `mm` is a length", "write a force in kN, lbf"),
    ("30 lb", Dimension::Force, 3..5, "`lb` is a mass", "did you mean lbf?"),
    ("34 lb/in", Dimension::Stiffness, 3..8, "no unit `lb/in`", "did you mean lbf/in?"),
    ("3 mPa", Dimension::Pressure, 2..5, "no unit `mPa`", "did you mean MPa?"),
    ("0,35 mm", Dimension::Length, 1..7, "a comma stands inside", "a point before the decimals"),
    ("1 000 mm", Dimension::Length, 2..8, "`000 mm` follows the number", "one number"),
    ("two mm", Dimension::Length, 0..6, "does not start with a number", "as in \"30 mm\""),
    ("", Dimension::Length, 0..0, "this is empty", "write a length"),
    ("3/0 in", Dimension::Length, 0..3, "divides by nought", "11/16"),
    ("2 20/16 in", Dimension::Length, 0..7, "not less than one", "proper fraction"),
    ("3 mm ±", Dimension::Length, 7..7, "a tolerance is wanted", "± and a number"),
    ("3 mm + 2", Dimension::Length, 5..8, "a tolerance is wanted", "± and a number"),
    ("3 mm ± 1 N", Dimension::Length, 10..11, "`N` is a force", "write a length"),
    ("350 degC ± 5 %", Dimension::Temperature, 14..15, "`%` is a share", "write a temperature"),
    ("50 ± 5 %", Dimension::Ratio, 8..9, "in different units", "both in per cent"),
    ("1e999 mm", Dimension::Length, 0..5, "not a finite length", "ordinary size"),
    ("0 tpi", Dimension::ThreadPitch, 0..1, "not a finite thread pitch", "ordinary size"),
    ("nan mm", Dimension::Length, 0..6, "does not start with a number", "write a length"),
    ("inf mm", Dimension::Length, 0..6, "does not start with a number", "write a length"),
];

#[test]
fn faults_name_the_bytes_and_what_would_be_right() {
    for (text, dimension, span, message, right) in FAULTS {
        let fault = fault(text, dimension);
        assert_eq!(fault.span, span, "{text}: {fault}");
        assert!(fault.message.contains(message), "{text}: {fault}");
        assert!(fault.right.contains(right), "{text}: {fault}");
    }
}

#[test]
fn values_are_printed_in_the_owners_unit_to_five_figures() {
    let print = |text: &str, dimension: Dimension| {
        let quantity = Quantity::parse(text, dimension).unwrap_or_else(|error| panic!("{error}"));
        format_in(quantity.unit, quantity.si)
    };
    assert_eq!(print("2 11/16 in", Dimension::Length), "2.6875 in");
    assert_eq!(print("1/3 in", Dimension::Length), "0.33333 in");
    assert_eq!(print("350 degC", Dimension::Temperature), "350 °C");
    assert_eq!(print("80 deg", Dimension::Angle), "80°");
    assert_eq!(print("-0 mm", Dimension::Length), "0 mm");
    assert_eq!(print("4000000 N/m", Dimension::Stiffness), "4000000 N/m");
    assert_eq!(print("9.999999 mm", Dimension::Length), "10 mm");
    assert_eq!(print("1e-9 mm", Dimension::Length), "1e-9 mm");
    assert_eq!(print("35 %", Dimension::Ratio), "35 %");
    assert_eq!(print("0.35", Dimension::Ratio), "0.35");
    assert_eq!(print("1.5", Dimension::Turns), "1.5 turns");
    assert_eq!(format_si(Dimension::Length, 0.030), "0.03 m");
}

#[test]
fn closed_form_nearest_sixty_fourth() {
    assert_eq!(nearest_64th(0.0254 * 2.6875), "2 11/16 in");
    assert_eq!(nearest_64th(0.068), "2 43/64 in"); // 2.677 in
    assert_eq!(nearest_64th(0.0254 * 3.0001), "3 in");
    assert_eq!(nearest_64th(-0.0127), "-1/2 in");
    assert_eq!(nearest_64th(1e-6), "0 in");
}

fn any_dimension() -> impl Strategy<Value = Dimension> {
    (0..Dimension::ALL.len()).prop_map(|index| Dimension::ALL[index])
}

proptest! {
    #[test]
    fn property_no_text_upsets_the_parser(text in ".{0,40}", dimension in any_dimension()) {
        if let Err(fault) = Quantity::parse(&text, dimension) {
            prop_assert!(fault.span.end <= text.len());
            prop_assert!(text.get(fault.span).is_some());
        }
    }

    #[test]
    fn property_no_near_miss_upsets_the_parser(
        text in r#"[-−+]{0,2}[0-9]{0,4}[ .,/½⁄-]{0,2}[0-9]{0,4}(e[-+]?[0-9]{0,4})?[ ·*^²]{0,2}(mm|in|"|°|degC|N/m²|%|tpi){0,2} ?(±|\+/-|\+-|\+)? ?[0-9]{0,3} ?(mm|%|µ)?"#,
        dimension in any_dimension(),
    ) {
        match Quantity::parse(&text, dimension) {
            Ok(quantity) => {
                prop_assert!(quantity.si.is_finite());
                prop_assert!(quantity.tolerance_si.is_none_or(|t| t.is_finite() && t >= 0.0));
            }
            Err(fault) => prop_assert!(text.get(fault.span).is_some()),
        }
    }

    #[test]
    fn property_what_is_printed_reads_back(
        mantissa in 1.0..10.0_f64,
        power in -9..9_i32,
        negative: bool,
        dimension in any_dimension(),
        pick in 0..12_usize,
    ) {
        let value = mantissa * 10_f64.powi(power) * if negative { -1.0 } else { 1.0 };
        let units: Vec<_> = dimension.units().iter().collect();
        let unit = units[pick % units.len()];
        let text = format_in(unit, unit.to_si(value));
        let back = Quantity::parse(&text, dimension).map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?;
        // Five significant figures round by at most half of the fifth; a
        // temperature loses as many again of its 273.15 K.
        let read = unit.from_si(back.si);
        prop_assert!((read - value).abs() <= 5.1e-5 * value.abs() + 1e-12 * 300.0, "{text}: {read} for {value}");
    }
}
