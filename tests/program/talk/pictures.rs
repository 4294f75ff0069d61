//! Where the text of a talk's pictures stands: straight from the library, since files do not tell.

use super::super::scenario;
use super::told::{Asked, tell};
use latchstroke_plots::Theme;
use latchstroke_report::owner::System;
use latchstroke_report::talk::slides;

/// The scenarios that ship with the project.
const SCENARIOS: [&str; 4] =
    ["large_initials.toml", "small_type.toml", "wrong_sleeve.toml", "first_evening.toml"];

#[test]
fn property_talk_text_neither_overlaps_nor_leaves_the_picture() {
    let jobs = SCENARIOS.map(|name| (name, None)).into_iter().chain([(SCENARIOS[0], Some(System::Inch))]);
    for (name, system) in jobs {
        let asked = Asked { system, draws: 16, ..Asked::default() };
        let drawn = tell(&scenario(name), &asked, |told, _| {
            for slide in slides(told) {
                for theme in [Theme::light(), Theme::dark()] {
                    let laid = latchstroke_plots::layout(slide.picture.as_ref(), &theme).expect("room");
                    let number = slide.name();
                    assert_eq!(laid.omitted, Vec::<String>::new(), "{name} {number}");
                    let (wide, high) = (f64::from(laid.width), f64::from(laid.height));
                    for (n, text) in laid.texts.iter().enumerate() {
                        let (right, bottom) = (text.x + text.w, text.y + text.h);
                        let inside = text.x >= 0.0 && text.y >= 0.0 && right <= wide && bottom <= high;
                        assert!(inside, "{name} {number}: {text:?}");
                        assert!(!text.text.ends_with('…'), "{name} {number}: {text:?}");
                        for other in laid.texts.iter().skip(n + 1) {
                            assert!(!text.overlaps(other), "{name} {number}: {text:?} {other:?}");
                        }
                    }
                }
            }
        });
        assert!(drawn, "{name}");
    }
}
