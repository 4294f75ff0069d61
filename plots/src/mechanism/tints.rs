//! The colours of the machine, mixed from the theme's: flat and opaque, so that few are needed.

use crate::theme::{Colour, Theme};

/// The colours of the parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tints {
    /// The canvas.
    pub ground: Colour,
    /// Outlines and pins.
    pub ink: Colour,
    /// What stands still.
    pub frame: Colour,
    /// The pot, the mould's walls and the matrix.
    pub iron: Colour,
    /// What goes with the cam.
    pub driven: Colour,
    /// The sleeve.
    pub sleeve: Colour,
    /// What goes with the spring rod.
    pub thrown: Colour,
    /// The extension of the rod.
    pub extension: Colour,
    /// The springs' wire.
    pub wire: Colour,
    /// The latch.
    pub latch: Colour,
    /// The latch swung aside.
    pub latch_aside: Colour,
    /// Liquid metal.
    pub metal: Colour,
    /// Frozen metal.
    pub solid: Colour,
    /// Leaders and lines that join the enlarged mould to its place.
    pub thin: Colour,
}

/// A colour `share` of the way from one to another.
pub(crate) fn mix(from: Colour, to: Colour, share: f64) -> Colour {
    let [r, g, b] = [0, 1, 2].map(|channel| {
        let at = |colour: Colour| colour.rgb.get(channel).copied().map_or(0.0, f64::from);
        let value = at(from) + share.clamp(0.0, 1.0) * (at(to) - at(from));
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between two bytes")]
        let byte = value.round() as u8;
        byte
    });
    Colour { rgb: [r, g, b], opacity: 1.0 }
}

impl Tints {
    /// The colours in a theme.
    pub fn of(theme: &Theme) -> Self {
        let hue = |index: usize| theme.series_colour(index).line;
        let tint = |colour: Colour, share: f64| mix(theme.background, colour, share);
        Self {
            ground: theme.background,
            ink: theme.ink,
            frame: tint(theme.axis, 0.16),
            iron: tint(theme.axis, 0.38),
            driven: tint(hue(2), 0.42),
            sleeve: tint(hue(2), 0.9),
            thrown: tint(hue(0), 0.40),
            extension: tint(hue(0), 0.85),
            wire: tint(theme.ink, 0.42),
            latch: tint(hue(3), 0.85),
            latch_aside: tint(hue(3), 0.3),
            metal: hue(1),
            solid: tint(theme.muted, 0.62),
            thin: theme.axis,
        }
    }
}
