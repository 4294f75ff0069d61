//! Colours, type sizes, line styles and markers.
//!
//! The series colours are those of M. Okabe and K. Ito, *Color Universal Design: how to make figures
//! and presentations that are friendly to colorblind people* (J*Fly, 2002, revised 2008). Each theme
//! takes the five of their eight that keep a contrast of at least 3 : 1 against its background.

use strum::VariantArray;

/// An opaque or translucent sRGB colour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Colour {
    /// Red, green and blue, 0 to 255.
    pub rgb: [u8; 3],
    /// Opacity, 0 to 1.
    pub opacity: f64,
}

impl Colour {
    /// The opaque colour written `0xRRGGBB`.
    pub const fn hex(code: u32) -> Self {
        let [_, r, g, b] = code.to_be_bytes();
        Self { rgb: [r, g, b], opacity: 1.0 }
    }

    /// The colour as the web writes it, `#rrggbb`, without its opacity.
    pub fn web(self) -> String {
        let [red, green, blue] = self.rgb;
        format!("#{red:02x}{green:02x}{blue:02x}")
    }

    /// The same colour at another opacity, 0 to 1.
    #[must_use]
    pub const fn faded(self, opacity: f64) -> Self {
        Self { opacity, ..self }
    }
}

/// The colour of one series, for lines and, deep enough to be read, for text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeriesColour {
    /// For lines and markers: at least 3 : 1 against the background.
    pub line: Colour,
    /// For the series' name, the same hue at no less than 4.5 : 1 against the background and the bands.
    pub text: Colour,
}

/// Type sizes in px, on a canvas 1920 px wide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TypeSizes {
    /// The headline.
    pub headline: f64,
    /// Axis titles.
    pub axis: f64,
    /// Names of curves, limits, events and bands.
    pub label: f64,
    /// Figures along the axes.
    pub tick: f64,
    /// The source line.
    pub small: f64,
}

/// How a line is broken, so that curves differ without colour too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum Stroke {
    /// An unbroken line.
    Solid,
    /// Dashes.
    Dashed,
    /// A dash and a dot by turns.
    DashDot,
    /// Long dashes.
    LongDash,
    /// Dots.
    Dotted,
}

impl Stroke {
    /// The styles in the order in which series take them.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// Drawn length and gap by turns, in line widths, for a pen with round ends.
    pub const fn pattern(self) -> &'static [f64] {
        match self {
            Self::Solid => &[],
            Self::Dashed => &[3.5, 3.0],
            Self::Dotted => &[0.1, 2.3],
            Self::DashDot => &[5.0, 2.5, 0.1, 2.5],
            Self::LongDash => &[9.0, 3.0],
        }
    }
}

/// The sign drawn at each point of a series.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum Marker {
    /// A disc.
    Circle,
    /// A square.
    Square,
    /// A triangle.
    Triangle,
    /// A square on its corner.
    Diamond,
    /// A triangle on its point.
    Nabla,
}

impl Marker {
    /// The markers in the order in which series take them.
    pub const ALL: &[Self] = Self::VARIANTS;
}

/// All that decides how pictures look.
#[derive(Debug, Clone, PartialEq)]
pub struct Theme {
    /// The canvas.
    pub background: Colour,
    /// Headline and axis titles.
    pub ink: Colour,
    /// Figures, event names and the source line.
    pub muted: Colour,
    /// Axis lines, ticks and event lines.
    pub axis: Colour,
    /// Grid lines.
    pub grid: Colour,
    /// Limit lines and their names.
    pub limit: Colour,
    /// Shading of bands, in turn.
    pub bands: [Colour; 2],
    /// Colours of the series, in turn.
    pub series: [SeriesColour; 5],
    /// Type sizes.
    pub sizes: TypeSizes,
    /// Width of a series' line, px.
    pub line_width: f64,
    /// Distance from the edge of the canvas to anything drawn, px.
    pub margin: f64,
    /// What a picture is for.
    pub format: Format,
}

/// What a picture is for: the shape of its canvas and the sharpness of its PNG.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// A screen or a projector: 16 : 9, and a PNG 1920 px wide.
    Screen,
    /// A page: about the shape of A5 lying down, and a PNG 2400 px wide, some 290 dots to the inch at that size.
    Print,
}

impl Format {
    /// The canvas of a picture that is `width` × `height` px for a screen.
    pub(crate) const fn canvas(self, (width, height): (u32, u32)) -> (u32, u32) {
        match self {
            Self::Screen => (width, height),
            // 1360 for 1080: 1.41 times as wide as high.
            Self::Print => (width, height.saturating_mul(34) / 27),
        }
    }

    /// Width of a PNG, px.
    pub const fn png_width(self) -> u32 {
        match self {
            Self::Screen => 1920,
            Self::Print => 2400,
        }
    }
}

/// How much of its colour a tint keeps.
const TINT: f64 = 0.2;

const fn pair(line: u32, text: u32) -> SeriesColour {
    SeriesColour { line: Colour::hex(line), text: Colour::hex(text) }
}

const SIZES: TypeSizes = TypeSizes { headline: 48.0, axis: 32.0, label: 32.0, tick: 30.0, small: 26.0 };
/// 1920 px are 210 mm here, so that 10 px are 3.1 points.
const PRINT_SIZES: TypeSizes = TypeSizes { headline: 40.0, axis: 27.0, label: 27.0, tick: 25.0, small: 23.0 };

impl Theme {
    /// Dark ink on a warm white, for paper and bright rooms.
    pub const fn light() -> Self {
        Self {
            background: Colour::hex(0xFFFEFB),
            ink: Colour::hex(0x1F2328),
            muted: Colour::hex(0x55595F),
            axis: Colour::hex(0x7B7F85),
            grid: Colour::hex(0xE4E2DC),
            limit: Colour::hex(0x8A1C1C),
            bands: [Colour::hex(0xF2EEE3), Colour::hex(0xE7EDF2)],
            series: [
                pair(0x0072B2, 0x006FAE),
                pair(0xD55E00, 0xAF4D00),
                pair(0x009E73, 0x007958),
                pair(0xCC79A7, 0x935778),
                pair(0x000000, 0x000000),
            ],
            sizes: SIZES,
            line_width: 4.5,
            margin: 56.0,
            format: Format::Screen,
        }
    }

    /// Light ink on near-black, for a projector in a dark room.
    pub const fn dark() -> Self {
        Self {
            background: Colour::hex(0x16181D),
            ink: Colour::hex(0xF0EEE9),
            muted: Colour::hex(0xB4B8BE),
            axis: Colour::hex(0x868B93),
            grid: Colour::hex(0x2C3037),
            limit: Colour::hex(0xFF9A8C),
            bands: [Colour::hex(0x262A2F), Colour::hex(0x20303B)],
            series: [
                pair(0x56B4E9, 0x56B4E9),
                pair(0xE69F00, 0xE69F00),
                pair(0x009E73, 0x1CA982),
                pair(0xCC79A7, 0xCD7CA9),
                pair(0xF0E442, 0xF0E442),
            ],
            sizes: SIZES,
            line_width: 4.5,
            margin: 56.0,
            format: Format::Screen,
        }
    }

    /// The same colours in a format: type and lines for a screen are large, those for a page finer.
    #[must_use]
    pub const fn in_format(self, format: Format) -> Self {
        let (sizes, line_width, margin) = match format {
            Format::Screen => (SIZES, 4.5, 56.0),
            Format::Print => (PRINT_SIZES, 3.2, 44.0),
        };
        Self { sizes, line_width, margin, format, ..self }
    }

    /// The tint of area number `index`, counted from 0: the colour of that series, thinned with the background.
    pub fn tint(&self, index: usize) -> Colour {
        let (line, ground) = (self.series_colour(index).line.rgb, self.background.rgb);
        let [r, g, b] = [0, 1, 2].map(|part: usize| {
            let of = |rgb: [u8; 3]| rgb.get(part).copied().map_or(0.0, f64::from);
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "between two colours"
            )]
            let mixed = (of(ground) + TINT * (of(line) - of(ground))).round() as u8;
            mixed
        });
        Colour { rgb: [r, g, b], opacity: 1.0 }
    }

    /// The colour of series number `index`, counted from 0; they repeat after the fifth.
    pub fn series_colour(&self, index: usize) -> SeriesColour {
        let [first, rest @ ..] = &self.series;
        match index % self.series.len() {
            0 => *first,
            turn => rest.get(turn - 1).copied().unwrap_or(*first),
        }
    }
}

#[cfg(test)]
mod tests;
