use super::*;
use crate::render::layout;
use crate::scene::Picture;
use crate::theme::Theme;

/// A sound type, and one with each thing that can be wrong with it.
const LOOKS: [Looks; 7] = [
    Looks::SOUND,
    Looks { lapped: true, ..Looks::SOUND },
    Looks { rounded: true, ..Looks::SOUND },
    Looks { hollow: true, ..Looks::SOUND },
    Looks { filled: 0.6, ..Looks::SOUND },
    Looks { soft: true, ..Looks::SOUND },
    Looks { flashed: true, ..Looks::SOUND },
];

fn piece(look: Look) -> Piece {
    Piece { name: "a piece".to_owned(), words: "what is said of it, in words".to_owned(), look, marked: true }
}

/// Every corner of a shape.
fn corners(shape: &Shape) -> Vec<(f64, f64)> {
    match shape {
        Shape::Line { points, .. } | Shape::Area { points, .. } => points.clone(),
        Shape::Dot { centre, .. } => vec![*centre],
    }
}

#[test]
fn property_pieces_stay_in_their_columns_and_their_words_below_them() {
    for looks in LOOKS {
        let row = (0..4).fold(Pieces::new("Four"), |row, _| row.with_piece(piece(Look::Type(looks))));
        let scene = row.compose(&Theme::light()).expect("room");
        let (wide, high) = (f64::from(scene.layout.width), f64::from(scene.layout.height));
        for (x, y) in scene.shapes.iter().flat_map(corners) {
            assert!((0.0..=wide).contains(&x) && (0.0..=high).contains(&y), "{looks:?}: {x} {y}");
        }
        let texts = &scene.layout.texts;
        for (n, text) in texts.iter().enumerate() {
            assert!(texts.iter().skip(n + 1).all(|other| !text.overlaps(other)), "{looks:?}: {text:?}");
        }
        assert_eq!(scene.layout.omitted, Vec::<String>::new());
    }
    let looks: Vec<_> = LOOKS
        .map(|looks| drawn(looks, &Rect::sized(0.0, 0.0, 300.0, 600.0), Tints::of(&Theme::light())))
        .into();
    for (n, look) in looks.iter().enumerate() {
        assert!(looks.iter().skip(n + 1).all(|other| other != look), "each flaw has a look of its own");
    }
}

/// The liquid within is narrower than the cavity by twice the skin, on the scale on which the cavity is as wide as the body.
#[test]
fn property_the_skin_is_drawn_to_the_scale_of_the_body() {
    let theme = Theme::light();
    let tints = Tints::of(&theme);
    let place = Rect::sized(0.0, 0.0, 500.0, 700.0);
    for (body, depth, skin) in [(8.4e-3, 23.3e-3, 0.32e-3), (2.0e-3, 23.3e-3, 0.9e-3), (25e-3, 23.3e-3, 2e-3)]
    {
        let shapes = Cut { body, depth, fill: 1.0, skin }.draw(&place, &tints);
        let wide = |colour: Colour| {
            let area = shapes.iter().find(|shape| shape.colour() == colour).map(corners).expect("an area");
            area.iter().map(|(x, _)| *x).fold(0.0, f64::max)
                - area.iter().map(|(x, _)| *x).fold(1e9, f64::min)
        };
        let scale = wide(tints.ground) / body;
        assert!((wide(tints.metal) - scale * (body - 2.0 * skin)).abs() < 1e-9);
    }
    // A skin through to the middle leaves nothing liquid.
    let shapes = Cut { body: 2e-3, depth: 23e-3, fill: 1.0, skin: 1e-3 }.draw(&place, &tints);
    assert!(shapes.iter().all(|shape| shape.colour() != tints.metal));
}

#[test]
fn property_a_canvas_too_small_is_refused_with_one_that_will_do() {
    let row =
        |(wide, high)| Pieces::new("One").with_piece(piece(Look::Type(Looks::SOUND))).with_size(wide, high);
    let Err(PlotError::CanvasTooSmall { least, .. }) = layout(&row((200, 200)), &Theme::light()) else {
        panic!("too small for a word")
    };
    assert_eq!(layout(&row(least), &Theme::light()).map(|laid| (laid.width, laid.height)).ok(), Some(least));
}
