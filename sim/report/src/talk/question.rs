//! The question: how type comes out, sound or spoiled, and how it comes out of this machine with the latch aside.

use super::super::came_out::{CameOut, HOLLOW, LAPPED, SHORT, SOUND, spoiled};
use super::super::charts::close;
use super::super::limits;
use super::{Draft, Note, Told};
use latchstroke_core::limits::{Does, Margin};
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::{Look, Piece, Pieces};

/// What is shown where the machine's own is among it; else its own stands in the last one's place.
const SHOWN: [CameOut; 4] = [SOUND, LAPPED, SHORT, HOLLOW];

/// The picture.
pub(super) fn draft(told: &Told<'_>) -> Draft<'static> {
    let source = told.source(&format!("{}, latch aside", told.cast()));
    let headline = headline(told);
    let own = own(told);
    let mut shown = SHOWN;
    if let Some(own) = own.filter(|own| !SHOWN.contains(own)) {
        shown[3] = own;
    }
    let pieces = shown.into_iter().map(|kind| {
        let marked = own == Some(kind);
        let mut says = kind.cause.to_owned();
        if marked {
            says += &format!(". By the model: {} with the latch aside", close(&told.size()));
        }
        Piece { name: kind.name.to_owned(), words: says, look: Look::Type(kind.looks), marked }
    });
    let picture = pieces.fold(Pieces::new(&headline).with_source(&source), Pieces::with_piece);
    Draft { stem: "question", picture: Box::new(picture), headline, source, note: note(told) }
}

/// What stands in the way with the latch aside, if anything does.
fn cause<'a>(told: &'a Told<'_>) -> Option<&'a Margin> {
    told.talk.judgement.standing(LatchSetting::Aside).cause()
}

/// How the cast comes out with the latch aside; none where the machine cannot work so, or nothing is known.
fn own(told: &Told<'_>) -> Option<CameOut> {
    match told.talk.judgement.standing(LatchSetting::Aside).does() {
        Does::Yes => Some(SOUND),
        Does::No => cause(told).and_then(|margin| spoiled(margin.limit)),
        Does::NotKnown => None,
    }
}

fn headline(told: &Told<'_>) -> String {
    let size = close(&told.size());
    match (own(told), cause(told)) {
        (Some(kind), _) if kind == SOUND => {
            format!("Does {size} need the pump latch, or does it come out sound without?")
        }
        (Some(kind), _) => {
            format!("With the latch aside {size} comes out {}. Does it need the latch?", kind.name)
        }
        (None, Some(margin)) => {
            format!(
                "Does {size} need the pump latch? As the machine stands, {}",
                limits::missed(margin.limit)
            )
        }
        (None, None) => format!("Does {size} need the pump latch?"),
    }
}

fn note(told: &Told<'_>) -> Note {
    let mut say = vec![
        "A sound type is full, sharp at the face and solid through; break one across now and then and look."
            .to_owned(),
        format!("We cast {}, first with the latch swung aside.", told.cast()),
    ];
    say.extend(cause(told).map(|margin| limits::sentence(margin, &told.units)));
    Note {
        shows: "Types from the side: a sound one, and what can go wrong with one. Drawn as a sign, not to scale.".to_owned(),
        computed: "One turn with the latch aside, held against every limit.".to_owned(),
        say,
        questions: vec![(
            "What is the pump latch?".to_owned(),
            "A pair of prongs that hold the pump's spring rod back while the cam squeezes the spring, and then let it go, so that the spring throws the piston. Swung aside it does nothing, and the piston goes with the cam.".to_owned(),
        )],
    }
}
