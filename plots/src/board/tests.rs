//! Boards of few and many words, laid out and drawn.

use super::*;
use crate::geometry::Rect;
use crate::render::{layout, to_png, to_svg};
use crate::theme::{Format, Theme};

fn good<T>(outcome: Result<T, PlotError>) -> T {
    outcome.unwrap_or_else(|error| panic!("{error}"))
}

fn three() -> Board {
    Board::new("Three changes make 36 pt come out, each by itself")
        .with_row(
            "2.596 in",
            "sleeve and rod extension instead of 2.688 in: full in 58.5 ms, of 62.1 ms allowed",
        )
        .with_row("76.9 turns/min", "pace instead of 15 turns/min, latch aside")
        .with_row("869 N", "springs at rest")
        .with_source("invented figures")
}

fn boards() -> Vec<Board> {
    let long = "word ".repeat(60);
    vec![
        three(),
        Board::new(""),
        Board::new(&long).with_row(&long, &long).with_source(&long),
        (0..7).fold(Board::new("Seven rows"), |board, n| board.with_row(format!("{n} mm"), &long)),
        three().with_size(1280, 720),
        Board::new("Control").with_row("\u{7}\n5 mm", "a\u{ffff}b\tc"),
        Board::new("Nothing").with_row("", ""),
    ]
}

#[test]
fn property_no_text_overlaps_or_leaves_the_frame() {
    for board in boards() {
        for theme in [Theme::light(), Theme::dark(), Theme::light().in_format(Format::Print)] {
            let laid = good(layout(&board, &theme));
            let frame = Rect::sized(0.0, 0.0, f64::from(laid.width), f64::from(laid.height));
            for (n, text) in laid.texts.iter().enumerate() {
                assert!(frame.contains(&text.rect()), "{text:?}");
                for other in laid.texts.iter().skip(n + 1) {
                    assert!(!text.overlaps(other), "{text:?} {other:?}");
                }
            }
        }
    }
}

#[test]
fn property_what_has_no_room_is_told() {
    let laid = good(layout(&three(), &Theme::light()));
    assert_eq!(laid.omitted, Vec::<String>::new());
    let seven = good(layout(&boards()[3], &Theme::light()));
    // Every row's words are cut, and the last two rows are left out.
    assert_eq!(seven.omitted.len(), 7);
    assert!(!seven.texts.iter().any(|text| text.text == "6 mm"));
}

#[test]
fn property_figures_share_a_size_larger_than_the_words() {
    let laid = good(layout(&three(), &Theme::light()));
    let size = |words: &str| {
        let found = laid.texts.iter().find(|text| text.text == words);
        found.unwrap_or_else(|| panic!("{words}")).size
    };
    assert!((size("869 N") - size("76.9 turns/min")).abs() < 1e-9);
    assert!(size("869 N") > 1.5 * size("springs at rest"));
}

#[test]
fn property_a_canvas_too_small_is_refused() {
    let refused = layout(&three().with_size(500, 300), &Theme::light());
    let Err(PlotError::CanvasTooSmall { least, .. }) = refused else { panic!("{refused:?}") };
    good(layout(&three().with_size(least.0.max(1920), least.1), &Theme::light()));
}

#[test]
fn property_the_same_board_gives_the_same_bytes() {
    for board in boards() {
        let svg = good(to_svg(&board, &Theme::light()));
        assert_eq!(svg, good(to_svg(&board, &Theme::light())));
        assert!(good(to_png(&svg, 192)).starts_with(b"\x89PNG"));
    }
}
