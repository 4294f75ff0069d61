//! Moving pictures: a row of pictures of one size, as an animated GIF or as one page that plays them as vectors.
//!
//! Every picture is laid out as for [`crate::render`] and then taken apart into drawn elements. An element that returns in
//! another frame is kept once, so that what stands still costs nothing. Both kinds of file are made from these same elements,
//! whose text is outlines of the embedded font. The work is shared among the cores; the bytes do not depend on how many.

mod gif;
mod page;
mod palette;

use std::collections::{BTreeSet, HashMap};

use rayon::prelude::*;

use crate::error::PlotError;
use crate::font::Fonts;
use crate::scene::{Picture, Scene, Shape};
use crate::svg::{Decimals, Lettering, PENS, Svg};
use crate::theme::{Colour, Theme};

/// Frames worked on between two looks at whether to stop.
const BATCH: usize = 16;
/// To how much of a pixel the elements are written.
const TENTHS: Decimals = Decimals(1);

/// Someone who follows the drawing of frames and may call it off.
pub trait Follow: Sync {
    /// So many more frames are done.
    fn advance(&self, frames: u64);

    /// Whether to stop as soon as may be.
    fn called_off(&self) -> bool;
}

/// A row of frames, taken apart into elements.
#[derive(Debug, Clone, PartialEq)]
pub struct Reel {
    width: u32,
    height: u32,
    background: Colour,
    /// Each different element, as SVG, in order of first use.
    elements: Vec<String>,
    /// The elements of each frame, lowest first.
    frames: Vec<Vec<u32>>,
    /// Every colour that something was painted with.
    colours: BTreeSet<[u8; 3]>,
}

impl Reel {
    /// Lays out `count` frames, frame `n` being `frame(n)`; none if called off. All frames take the size of the first.
    ///
    /// # Errors
    /// Those of [`Picture::compose`].
    pub fn take<P: Picture>(
        count: usize,
        frame: impl Fn(usize) -> P + Sync,
        theme: &Theme,
        follow: &dyn Follow,
    ) -> Result<Option<Self>, PlotError> {
        let mut reel = Self {
            width: 0,
            height: 0,
            background: theme.background,
            elements: Vec::new(),
            frames: Vec::with_capacity(count),
            colours: BTreeSet::new(),
        };
        let mut known: HashMap<String, u32> = HashMap::new();
        let numbers: Vec<usize> = (0..count).collect();
        for batch in numbers.chunks(BATCH) {
            if follow.called_off() {
                return Ok(None);
            }
            let drawn: Vec<(Scene, Vec<String>)> = batch
                .par_iter()
                .map(|&n| {
                    let scene = frame(n).compose(theme)?;
                    let elements = elements(&scene, &Fonts::load()?);
                    Ok((scene, elements))
                })
                .collect::<Result<_, PlotError>>()?;
            for (scene, elements) in drawn {
                if reel.frames.is_empty() {
                    (reel.width, reel.height) = (scene.layout.width, scene.layout.height);
                    reel.background = scene.background;
                }
                reel.colours.insert(scene.background.rgb);
                reel.colours.extend(scene.shapes.iter().map(|shape| shape.colour().rgb));
                reel.colours.extend(scene.layout.texts.iter().map(|text| text.colour.rgb));
                let mut list = Vec::with_capacity(elements.len());
                for element in elements {
                    let next = u32::try_from(reel.elements.len()).unwrap_or(u32::MAX);
                    let id = *known.entry(element).or_insert_with_key(|element| {
                        reel.elements.push(element.clone());
                        next
                    });
                    list.push(id);
                }
                reel.frames.push(list);
            }
        }
        Ok(Some(reel))
    }

    /// How many frames there are.
    pub fn len(&self) -> usize {
        self.frames.len()
    }

    /// Whether there are no frames.
    pub fn is_empty(&self) -> bool {
        self.frames.is_empty()
    }

    fn element(&self, id: u32) -> &str {
        usize::try_from(id).ok().and_then(|id| self.elements.get(id)).map_or("", String::as_str)
    }

    /// The elements of a frame as SVG, without the document round them.
    fn markup(&self, frame: usize) -> String {
        let list = self.frames.get(frame).map_or(&[][..], Vec::as_slice);
        list.iter().map(|&id| self.element(id)).collect()
    }

    /// A frame as an SVG document.
    fn svg(&self, frame: usize) -> String {
        let mut svg = Svg::document((f64::from(self.width), f64::from(self.height)), "", TENTHS);
        svg.add(&self.group(frame));
        svg.end()
    }

    /// The ground, and the group that all elements stand in.
    fn group(&self, frame: usize) -> String {
        let mut svg = Svg::part(TENTHS);
        svg.ground((f64::from(self.width), f64::from(self.height)), self.background);
        svg.open(&format!("id='film' {PENS}"));
        svg.add(&self.markup(frame));
        svg.close();
        svg.text()
    }
}

/// A picture taken apart into SVG elements, lowest first; letters have no halo.
fn elements(scene: &Scene, fonts: &Fonts) -> Vec<String> {
    let shapes = scene.shapes.iter().map(|shape: &Shape| {
        let mut svg = Svg::part(TENTHS);
        svg.shape(shape);
        svg.text()
    });
    let texts = scene.layout.texts.iter().map(|text| {
        let mut svg = Svg::part(TENTHS);
        let outline = Lettering::from(text).outline(fonts, TENTHS);
        svg.path(&outline, &format!("fill='{}'", text.colour.web()));
        svg.text()
    });
    shapes.chain(texts).collect()
}

#[cfg(test)]
mod tests;
