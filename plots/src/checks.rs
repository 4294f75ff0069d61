//! What the tests of every kind of picture ask.

use crate::render::{layout, to_png, to_svg};
use crate::scene::{Layout, Picture};
use crate::theme::{Format, Theme};

/// For a screen and for a page. Light and dark differ in nothing that moves a letter.
pub fn themes() -> [Theme; 2] {
    [Theme::light(), Theme::dark().in_format(Format::Print)]
}

/// The layout of a picture that can be laid out.
pub fn laid_out(picture: &impl Picture, theme: &Theme, name: &str) -> Layout {
    layout(picture, theme).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// No text overlaps another or leaves the canvas.
pub fn assert_tidy(layout: &Layout, name: &str) {
    let (width, height) = (f64::from(layout.width), f64::from(layout.height));
    for (i, text) in layout.texts.iter().enumerate() {
        let inside = text.x >= 0.0 && text.y >= 0.0 && text.x + text.w <= width && text.y + text.h <= height;
        assert!(inside, "{name}: {text:?} leaves the frame");
        for other in layout.texts.iter().skip(i + 1) {
            assert!(!text.overlaps(other), "{name}: {text:?} and {other:?} overlap");
        }
    }
}

/// Drawn twice the picture is the same byte for byte, and it decodes as PNG.
pub fn assert_drawn_alike(picture: &impl Picture, theme: &Theme, name: &str) {
    let svg = to_svg(picture, theme).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert_eq!(Ok(svg.clone()), to_svg(picture, theme), "{name}");
    assert!(to_png(&svg, 480).is_ok_and(|png| png.starts_with(b"\x89PNG")), "{name}");
}
