//! Contrast by WCAG 2.2 and separation under colour-vision deficiency.

use super::*;
use crate::mechanism::Tints;

/// sRGB component to linear light (IEC 61966-2-1).
fn linear(component: u8) -> f64 {
    let c = f64::from(component) / 255.0;
    if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

/// Contrast ratio of WCAG 2.2, "contrast ratio" and "relative luminance".
fn contrast(a: Colour, b: Colour) -> f64 {
    let luminance = |colour: Colour| {
        let [r, g, b] = colour.rgb.map(linear);
        0.2126 * r + 0.7152 * g + 0.0722 * b
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

type Matrix = [[f64; 3]; 3];

const NORMAL: Matrix = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
/// Machado, Oliveira and Fernandes 2009, "A physiologically-based model for simulation of color vision
/// deficiency", severity 1.0, on linear sRGB; as printed by the Python library
/// colorspacious 1.1.2, `machado_et_al_2009_matrix(kind, 100)`.
const PROTANOPIA: Matrix =
    [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]];
/// As above.
const DEUTERANOPIA: Matrix =
    [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]];
/// As above.
const TRITANOPIA: Matrix =
    [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]];

fn times(matrix: &Matrix, v: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row.iter().zip(v).map(|(a, b)| a * b).sum())
}

/// CIE 1976 L*a*b* (D65) of the colour as a viewer with the given deficiency sees it.
fn lab(colour: Colour, deficiency: &Matrix) -> [f64; 3] {
    const XYZ: Matrix = [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ];
    let seen = times(deficiency, colour.rgb.map(linear)).map(|c| c.clamp(0.0, 1.0));
    let [x, y, z] = times(&XYZ, seen);
    let f = |t: f64| if t > 216.0 / 24389.0 { t.cbrt() } else { (24389.0 / 27.0 * t + 16.0) / 116.0 };
    let (x, y, z) = (f(x / 0.95047), f(y), f(z / 1.08883));
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

fn difference(a: Colour, b: Colour, deficiency: &Matrix) -> f64 {
    let (a, b) = (lab(a, deficiency), lab(b, deficiency));
    a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt()
}

fn themes() -> [(&'static str, Theme); 2] {
    [("light", Theme::light()), ("dark", Theme::dark())]
}

#[test]
fn handbook_contrast_of_black_on_white_is_21() {
    // WCAG 2.2 gives 21 as the greatest ratio; #767676 is its well-known least grey for 4.5 on white.
    assert!((contrast(Colour::hex(0), Colour::hex(0xFFFFFF)) - 21.0).abs() < 1e-9);
    assert!(contrast(Colour::hex(0x767676), Colour::hex(0xFFFFFF)) >= 4.5);
    assert!(contrast(Colour::hex(0x777777), Colour::hex(0xFFFFFF)) < 4.5);
}

#[test]
fn handbook_deficiency_matrices_keep_greys() {
    for matrix in [PROTANOPIA, DEUTERANOPIA, TRITANOPIA] {
        for component in times(&matrix, [1.0; 3]) {
            // Six printed decimals a term, three terms.
            assert!((component - 1.0).abs() < 2e-6, "{matrix:?}");
        }
    }
}

#[test]
fn handbook_text_has_wcag_contrast_of_4_5() {
    for (name, theme) in themes() {
        let series = theme.series.iter().map(|colour| colour.text);
        let texts = [theme.ink, theme.muted, theme.limit].into_iter().chain(series);
        for text in texts {
            for ground in [theme.background].into_iter().chain(theme.bands) {
                let ratio = contrast(text, ground);
                assert!(ratio >= 4.5, "{name}: {text:?} on {ground:?} has {ratio:.2}");
            }
        }
    }
}

#[test]
fn handbook_ink_on_tints_has_wcag_contrast_of_4_5() {
    for (name, theme) in themes() {
        for tint in (0..theme.series.len()).map(|index| theme.tint(index)) {
            let ratio = contrast(theme.ink, tint);
            assert!(ratio >= 4.5, "{name}: ink on {tint:?} has {ratio:.2}");
        }
    }
}

#[test]
fn handbook_lines_have_wcag_contrast_of_3() {
    for (name, theme) in themes() {
        for line in theme.series.iter().map(|colour| colour.line).chain([theme.axis, theme.limit]) {
            let ratio = contrast(line, theme.background);
            assert!(ratio >= 3.0, "{name}: {line:?} has {ratio:.2}");
        }
    }
}

#[test]
fn handbook_series_stay_apart_under_colour_vision_deficiency() {
    // A difference of 2.3 is just noticeable side by side (Mahy, Van Eycken and Oosterlinck 1994);
    // six times that keeps thin lines apart across a room (common practice, no source).
    const LEAST: f64 = 6.0 * 2.3;
    for (name, theme) in themes() {
        for (kind, matrix) in
            [("normal", NORMAL), ("protan", PROTANOPIA), ("deutan", DEUTERANOPIA), ("tritan", TRITANOPIA)]
        {
            for (i, a) in theme.series.iter().enumerate() {
                for b in theme.series.iter().skip(i + 1) {
                    let apart = difference(a.line, b.line, &matrix);
                    assert!(
                        apart >= LEAST,
                        "{name}, {kind}: {:?} and {:?} differ by {apart:.1}",
                        a.line,
                        b.line
                    );
                }
            }
        }
    }
}

/// Fields of colour that touch in the drawn machine and mean different things: six times the just noticeable difference, as
/// for lines.
#[test]
fn handbook_parts_of_the_machine_stay_apart_under_colour_vision_deficiency() {
    const LEAST: f64 = 6.0 * 2.3;
    for (name, theme) in themes() {
        let tints = Tints::of(&theme);
        let pairs = [
            ("metal and frozen metal", tints.metal, tints.solid),
            ("metal and mould", tints.metal, tints.iron),
            ("metal and piston", tints.metal, tints.thrown),
            ("abutment and sleeve", tints.driven, tints.sleeve),
            ("rod and extension", tints.thrown, tints.extension),
            ("latch set and aside", tints.latch, tints.latch_aside),
        ];
        for (kind, matrix) in
            [("normal", NORMAL), ("protan", PROTANOPIA), ("deutan", DEUTERANOPIA), ("tritan", TRITANOPIA)]
        {
            for (what, a, b) in pairs {
                let apart = difference(a, b, &matrix);
                assert!(apart >= LEAST, "{name}, {kind}: {what} differ by {apart:.1}");
            }
        }
    }
}

#[test]
fn handbook_type_is_legible_from_the_back_of_a_room() {
    // Body text of at least 26 px on 1080 (common practice, no source).
    for (_, theme) in themes() {
        let TypeSizes { headline, axis, label, tick, small } = theme.sizes;
        assert!([axis, label, tick, small].iter().all(|size| *size >= 26.0));
        assert!([axis, label, tick, small].iter().all(|size| headline > *size));
    }
}

#[test]
fn series_styles_do_not_repeat_early() {
    let styles: Vec<_> = Stroke::ALL.iter().map(|stroke| stroke.pattern()).collect();
    for (i, style) in styles.iter().enumerate() {
        assert!(!styles.iter().skip(i + 1).any(|other| other == style), "{style:?} is there twice");
    }
}
