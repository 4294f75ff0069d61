//! The question: how type comes out, sound or spoiled, and how it comes out of this machine with the latch aside.

use super::super::charts::close;
use super::super::limits;
use super::{Draft, Note, Told};
use latchstroke_core::limits::{Does, Limit, Margin};
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::mechanism::Looks;
use latchstroke_plots::{Look, Piece, Pieces};

/// How a type comes out: its name, where it comes from, and how it looks.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Kind {
    name: &'static str,
    cause: &'static str,
    looks: Looks,
}

const SOUND: Kind = Kind { name: "sound", cause: "full, sharp, and solid through", looks: Looks::SOUND };
const LAPPED: Kind = Kind {
    name: "lapped",
    cause: "streams of metal met too cold to knit, and left seams",
    looks: Looks { lapped: true, ..Looks::SOUND },
};
const SHORT: Kind = Kind {
    name: "short",
    cause: "the mould did not come full: the face is missing",
    looks: Looks { filled: 0.62, ..Looks::SOUND },
};
const HOLLOW: Kind = Kind {
    name: "hollow",
    cause: "the metal stopped flowing before all was full",
    looks: Looks { hollow: true, ..Looks::SOUND },
};
const ROUNDED: Kind = Kind {
    name: "rounded",
    cause: "metal froze on the face before it was pressed sharp",
    looks: Looks { rounded: true, ..Looks::SOUND },
};
const SOFT: Kind = Kind {
    name: "soft inside",
    cause: "still liquid in the middle as the mould opens",
    looks: Looks { soft: true, ..Looks::SOUND },
};
const FLASHED: Kind = Kind {
    name: "flashed",
    cause: "the pressure lifted the matrix, and metal came out round the face",
    looks: Looks { flashed: true, ..Looks::SOUND },
};
const AIRY: Kind = Kind {
    name: "hollow with air",
    cause: "air stayed in the mould and left holes",
    looks: Looks { hollow: true, ..Looks::SOUND },
};

/// What is shown where the machine's own is among it; else its own stands in the last one's place.
const SHOWN: [Kind; 4] = [SOUND, LAPPED, SHORT, HOLLOW];

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
fn own(told: &Told<'_>) -> Option<Kind> {
    match told.talk.judgement.standing(LatchSetting::Aside).does() {
        Does::Yes => Some(SOUND),
        Does::No => cause(told).and_then(|margin| spoiled(margin.limit)),
        Does::NotKnown => None,
    }
}

/// How a type looks for which a limit is missed; none for a limit of the machine.
fn spoiled(limit: Limit) -> Option<Kind> {
    match limit {
        Limit::SpringsFit
        | Limit::SpringsTight
        | Limit::CoilsApart
        | Limit::LatchTrips
        | Limit::LatchHolds
        | Limit::WireStress
        | Limit::FollowerStays
        | Limit::ExtensionClears
        | Limit::SocketClears => None,
        Limit::Filled => Some(SHORT),
        Limit::Lapping => Some(LAPPED),
        Limit::Skin => Some(ROUNDED),
        Limit::Bulk => Some(HOLLOW),
        Limit::MatrixHeld => Some(FLASHED),
        Limit::TrappedAir => Some(AIRY),
        Limit::Solid => Some(SOFT),
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
