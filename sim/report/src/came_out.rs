//! How a type comes out: what each limit that is missed does to it, in a word, in a sentence and as it is drawn.

use latchstroke_core::limits::Limit;
use latchstroke_plots::mechanism::Looks;

/// A way of coming out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CameOut {
    /// Its name.
    pub name: &'static str,
    /// Where it comes from.
    pub cause: &'static str,
    /// How it looks.
    pub looks: Looks,
}

/// As it should be.
pub(crate) const SOUND: CameOut =
    CameOut { name: "sound", cause: "full, sharp, and solid through", looks: Looks::SOUND };
/// The first metal was too cold to knit.
pub(crate) const LAPPED: CameOut = CameOut {
    name: "lapped",
    cause: "streams of metal met too cold to knit, and left seams",
    looks: Looks { lapped: true, ..Looks::SOUND },
};
/// The mould did not become full.
pub(crate) const SHORT: CameOut = CameOut {
    name: "short",
    cause: "the mould did not come full: the face is missing",
    looks: Looks { filled: 0.62, ..Looks::SOUND },
};
/// The metal stopped flowing.
pub(crate) const HOLLOW: CameOut = CameOut {
    name: "hollow",
    cause: "the metal stopped flowing before all was full",
    looks: Looks { hollow: true, ..Looks::SOUND },
};
const ROUNDED: CameOut = CameOut {
    name: "rounded",
    cause: "metal froze on the face before it was pressed sharp",
    looks: Looks { rounded: true, ..Looks::SOUND },
};
const SOFT: CameOut = CameOut {
    name: "soft inside",
    cause: "still liquid in the middle as the mould opens",
    looks: Looks { soft: true, ..Looks::SOUND },
};
const FLASHED: CameOut = CameOut {
    name: "flashed",
    cause: "the pressure lifted the matrix, and metal came out round the face",
    looks: Looks { flashed: true, ..Looks::SOUND },
};
const AIRY: CameOut = CameOut {
    name: "hollow with air",
    cause: "air stayed in the mould and left holes",
    looks: Looks { hollow: true, ..Looks::SOUND },
};

/// What missing a limit does to the type; none for a limit of the machine.
pub(crate) fn spoiled(limit: Limit) -> Option<CameOut> {
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
