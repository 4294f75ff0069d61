//! Pictures from plain data.
//!
//! This crate draws and knows no physics: a picture is built from named series that carry their own
//! labels and units, laid out by its own module, and turned into SVG or PNG by [`render`].
//!
//! | module | what it holds |
//! |---|---|
//! | [`Chart`] | what charts share: the canvas, its headline and its source line |
//! | [`line_chart`] | curves over a shared x axis, in one or more stacked panels |
//! | [`drawing`] | workshop drawings of turned parts, true to scale on A4 |
//! | [`histogram`] | how often a figure falls where, with named places and a limit |
//! | [`bars`] | named rows of lying bars with intervals and figures |
//! | [`map`] | which category rules where, over two axes |
//! | [`mechanism`] | the machine itself: with the names of its parts, and moving |
//! | [`moving`] | a row of pictures as GIF or as a page that plays them |
//! | [`board`] | findings in words, with big figures |
//! | [`pieces`] | pieces of type, sound or spoiled, and moulds cut open |
//! | [`strip`] | what a dial does at which part of its way |
//! | [`headed`] | another picture under a headline |
//! | [`deck`](mod@deck) | pictures as a PDF, one to a page |
//! | [`page`] | printed pages of text, tables and pictures, as PDF |
//! | [`theme`] | colours, type sizes, line styles and markers |
//! | [`scene`] | the laid-out picture: shapes and text boxes in pixels |
//! | [`render`] | scene → SVG with text as outlines, SVG → PNG |
//!
//! ```
//! use latchstroke_plots::{Axis, LineChart, Panel, Series, Theme, to_png, to_svg};
//!
//! let lift = (0..=360).map(|d| (f64::from(d), 4.0 * f64::from(d).to_radians().sin().max(0.0)));
//! let chart = LineChart::new("The pump cam lifts once a turn", Axis::new("shaft angle", "°").degrees())
//!     .with_panel(Panel::new(Axis::new("lift", "mm")).with_series(Series::new("pump cam", lift)))
//!     .with_event(30.0, "latch drops");
//! let svg = to_svg(&chart, &Theme::light())?;
//! let png = to_png(&svg, 1920)?;
//! assert!(png.starts_with(b"\x89PNG"));
//! # Ok::<(), latchstroke_plots::PlotError>(())
//! ```

// A picture for a page alone leaves some of what draws for paper and films unused.
#![cfg_attr(not(feature = "files"), allow(dead_code))]

mod axes;
pub mod bars;
pub mod board;
mod canvas;
#[cfg(test)]
mod checks;
#[cfg(feature = "files")]
pub mod deck;
#[cfg(feature = "files")]
pub mod drawing;
mod error;
mod font;
mod geometry;
mod hatch;
pub mod headed;
pub mod histogram;
mod labels;
pub mod line_chart;
pub mod map;
pub mod mechanism;
#[cfg(feature = "files")]
pub mod moving;
#[cfg(feature = "files")]
pub mod page;
pub mod pieces;
pub mod render;
pub mod scene;
pub mod strip;
mod svg;
pub mod theme;

pub use axes::{Axis, Band, Event, Hatch, Scale};
pub use bars::{Bar, BarRow, Bars};
pub use board::{Board, BoardRow};
pub use canvas::Chart;
#[cfg(feature = "files")]
pub use deck::{DeckPage, deck};
pub use error::PlotError;
pub use font::{FAMILY, Weight, face};
pub use headed::Headed;
pub use histogram::{Histogram, Place};
pub use line_chart::{Beside, Limit, LineChart, Marks, Panel, PointMark, Series};
pub use map::{Category, RegionMap, Stretch};
pub use pieces::{Cut, Look, Piece, Pieces};
#[cfg(feature = "files")]
pub use render::to_png;
pub use render::{layout, to_live_svg, to_svg};
pub use scene::{Layout, Picture, TextBox};
pub use strip::{Mark, Strip};
pub use svg::escaped;
pub use theme::{Format, Marker, Stroke, Theme};
