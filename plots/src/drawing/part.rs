//! A turned part as plain steps, and what is to be written on its view.

/// A part turned about one axis, from left to right, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct TurnedPart {
    /// The outside, step by step.
    pub outside: Vec<OutsideStep>,
    /// A bore from the left end, step by step; through if it is as long as the outside, empty for a solid part.
    pub bore: Vec<BoreStep>,
    /// How much of the length, from the left, is drawn in section.
    pub sectioned: f64,
}

/// A stretch of the outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutsideStep {
    /// Its length.
    pub length: f64,
    /// Its diameter.
    pub diameter: f64,
    /// Chamfers of 45° at its left and right ends.
    pub chamfers: (f64, f64),
    /// What it is like.
    pub surface: Surface,
}

/// What a stretch of the outside is like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Surface {
    /// Round.
    Plain,
    /// Threaded down to this core diameter.
    Thread(f64),
    /// Round with two flats, this far across.
    Flats(f64),
}

/// A stretch of the bore.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoreStep {
    /// Its length.
    pub length: f64,
    /// Its diameter; that of the hole before tapping, where it is threaded.
    pub diameter: f64,
    /// Major diameter of its thread, if it has one.
    pub thread: Option<f64>,
    /// How much wider than the step its mouth is, on the radius: a countersink of 90° at its left end.
    pub countersink: f64,
}

/// A dimension's text, of which the lower line may be empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Above the line, large.
    pub upper: String,
    /// Below the line, small.
    pub lower: String,
}

/// A length between two places on the axis.
#[derive(Debug, Clone, PartialEq)]
pub struct LengthDimension {
    /// The left place, from the left end.
    pub from: f64,
    /// The right place, from the left end.
    pub to: f64,
    /// What is written.
    pub label: Label,
}

/// A diameter, told by a leader to its circle in the end view.
#[derive(Debug, Clone, PartialEq)]
pub struct DiameterDimension {
    /// The diameter.
    pub diameter: f64,
    /// What is written.
    pub label: Label,
    /// The letter of the datum that its axis is, in a box beside it.
    pub datum: Option<char>,
}

/// A tolerance of geometry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Characteristic {
    /// Square to the datum.
    Square,
    /// On the datum's axis.
    Coaxial,
}

/// A frame with a tolerance of geometry: its sign, its figure and its datum (ISO 1101, ASME Y14.5).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToleranceFrame {
    /// What is asked.
    pub characteristic: Characteristic,
    /// The figure.
    pub value: String,
    /// The letter of the datum.
    pub datum: char,
}

/// Words with a leader to a place on the side view.
#[derive(Debug, Clone, PartialEq)]
pub struct Callout {
    /// The place: along the axis from the left end, and up from the axis.
    pub at: (f64, f64),
    /// The words.
    pub text: String,
    /// A frame below them.
    pub frame: Option<ToleranceFrame>,
}

/// A part as a sheet shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct PartView {
    /// The part.
    pub part: TurnedPart,
    /// Lengths, drawn below the side view.
    pub lengths: Vec<LengthDimension>,
    /// Diameters, drawn beside the end view.
    pub diameters: Vec<DiameterDimension>,
    /// Words about places, drawn above the side view.
    pub callouts: Vec<Callout>,
}
