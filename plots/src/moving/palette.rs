//! One palette for all frames: the painted colours, and the most used of the blends at their edges.

use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Colours in the palette; the last index is kept for "as before".
const MOST: usize = 255;
/// The index of a pixel that stays as it was.
pub(super) const AS_BEFORE: u8 = 255;

/// At most 255 colours.
pub(super) struct Palette {
    colours: Vec<[u8; 3]>,
}

impl Palette {
    /// The painted colours first, then the blends found in `samples` (RGBA, opaque), the most used first.
    pub fn of(painted: &BTreeSet<[u8; 3]>, samples: &[Vec<u8>]) -> Self {
        let mut colours: Vec<[u8; 3]> = painted.iter().copied().take(MOST).collect();
        let mut counts: BTreeMap<[u8; 3], u64> = BTreeMap::new();
        for pixel in samples.iter().flat_map(|sample| sample.as_chunks::<4>().0) {
            let [r, g, b, _] = *pixel;
            *counts.entry([r, g, b]).or_default() += 1;
        }
        let mut blends: Vec<([u8; 3], u64)> =
            counts.into_iter().filter(|(colour, _)| !painted.contains(colour)).collect();
        blends.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
        colours.extend(blends.into_iter().map(|(colour, _)| colour).take(MOST - colours.len()));
        Self { colours }
    }

    /// The palette as bytes, red, green and blue by turns, filled up to 256 colours.
    pub fn bytes(&self) -> Vec<u8> {
        let mut bytes: Vec<u8> = self.colours.iter().flatten().copied().collect();
        bytes.resize(3 * 256, 0);
        bytes
    }

    /// The index of each pixel's nearest colour.
    pub fn indices(&self, pixels: &[u8]) -> Vec<u8> {
        let mut known: HashMap<[u8; 3], u8> = HashMap::new();
        let mut last: Option<([u8; 3], u8)> = None;
        pixels
            .as_chunks::<4>()
            .0
            .iter()
            .map(|&[r, g, b, _]| {
                let colour = [r, g, b];
                if let Some((same, index)) = last
                    && same == colour
                {
                    return index;
                }
                let index = *known.entry(colour).or_insert_with(|| self.nearest(colour));
                last = Some((colour, index));
                index
            })
            .collect()
    }

    fn nearest(&self, wanted: [u8; 3]) -> u8 {
        let distance = |colour: &[u8; 3]| -> i32 {
            colour.iter().zip(wanted).map(|(&a, b)| (i32::from(a) - i32::from(b)).pow(2)).sum()
        };
        let nearest = self.colours.iter().zip(0..=u8::MAX).min_by_key(|(colour, _)| distance(colour));
        nearest.map_or(0, |(_, index)| index)
    }
}
