//! A reel as an animated GIF: one palette, and of each frame only what has changed.

use ::gif::{DisposalMethod, Encoder, Frame, Repeat};
use rayon::prelude::*;

use super::palette::{AS_BEFORE, Palette};
use super::{BATCH, Follow, Reel};
use crate::error::PlotError;
use crate::render;

/// Frames from which the palette is taken.
const SAMPLES: usize = 12;

impl Reel {
    /// The reel as a GIF `width` px wide that runs for ever, each frame shown for `hundredths` of a second and the last for
    /// `hold`; none if called off.
    ///
    /// # Errors
    /// [`PlotError::Gif`] if the size is out of range or a frame cannot be coded, [`PlotError::Svg`] if a frame cannot be drawn.
    pub fn gif(
        &self,
        width: u16,
        (hundredths, hold): (u16, u16),
        follow: &dyn Follow,
    ) -> Result<Option<Vec<u8>>, PlotError> {
        let scale = f64::from(width) / f64::from(self.width.max(1));
        let rows = (scale * f64::from(self.height)).round().clamp(1.0, f64::from(u16::MAX));
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the range")]
        let size = (width.max(1), rows as u16);
        let every = self.len().div_ceil(SAMPLES).max(1);
        let sampled: Vec<usize> = (0..self.len()).step_by(every).collect();
        let samples: Vec<Vec<u8>> =
            sampled.par_iter().map(|&frame| self.pixels(frame, size)).collect::<Result<_, _>>()?;
        let palette = Palette::of(&self.colours, &samples);
        drop(samples);

        let refused = |error: ::gif::EncodingError| PlotError::Gif(error.to_string());
        let mut bytes = Vec::new();
        let mut encoder = Encoder::new(&mut bytes, size.0, size.1, &palette.bytes()).map_err(refused)?;
        encoder.set_repeat(Repeat::Infinite).map_err(refused)?;
        let mut shown: Option<Vec<u8>> = None;
        let mut left = self.len();
        let numbers: Vec<usize> = (0..self.len()).collect();
        for batch in numbers.chunks(BATCH) {
            if follow.called_off() {
                return Ok(None);
            }
            let drawn: Vec<Vec<u8>> = batch
                .par_iter()
                .map(|&frame| Ok(palette.indices(&self.pixels(frame, size)?)))
                .collect::<Result<_, PlotError>>()?;
            for next in drawn {
                let mut frame = changed(shown.as_deref(), &next, size);
                left = left.saturating_sub(1);
                frame.delay = if left == 0 { hold } else { hundredths };
                encoder.write_frame(&frame).map_err(refused)?;
                shown = Some(next);
                follow.advance(1);
            }
        }
        drop(encoder);
        Ok(Some(bytes))
    }

    /// A frame's pixels, RGBA.
    pub(super) fn pixels(&self, frame: usize, (width, height): (u16, u16)) -> Result<Vec<u8>, PlotError> {
        let tree = render::parse(&self.svg(frame))?;
        let pixels = render::pixels(&tree, (u32::from(width), u32::from(height)))
            .ok_or_else(|| PlotError::Gif("the picture has no size".to_owned()))?;
        Ok(pixels.take())
    }
}

/// The part of a frame that differs from what is shown, the rest left as before.
fn changed(shown: Option<&[u8]>, next: &[u8], (width, height): (u16, u16)) -> Frame<'static> {
    let Some(shown) = shown else {
        return Frame { width, height, buffer: next.to_vec().into(), ..Frame::default() };
    };
    let wide = usize::from(width);
    let rows = || shown.chunks_exact(wide).zip(next.chunks_exact(wide)).zip(0_u16..);
    let differs = |(a, b): (&[u8], &[u8])| a != b;
    let top = rows().find(|(pair, _)| differs(*pair)).map_or(0, |(_, y)| y);
    let bottom = rows().filter(|(pair, _)| differs(*pair)).last().map_or(0, |(_, y)| y);
    let mut left = width;
    let mut right = 0;
    for ((a, b), _) in rows() {
        let mut ends = a.iter().zip(b).zip(0_u16..).filter(|((a, b), _)| a != b).map(|(_, x)| x);
        if let Some(first) = ends.next() {
            left = left.min(first);
            right = right.max(ends.last().unwrap_or(first));
        }
    }
    // Where nothing has changed, one pixel still holds the frame's time.
    let left = left.min(right);
    let across = usize::from(left)..=usize::from(right);
    let buffer: Vec<u8> = rows()
        .filter(|(_, y)| (top..=bottom).contains(y))
        .flat_map(|((a, b), _)| {
            let part = a.get(across.clone()).unwrap_or_default().iter();
            part.zip(b.get(across.clone()).unwrap_or_default())
        })
        .map(|(a, b)| if a == b { AS_BEFORE } else { *b })
        .collect();
    Frame {
        left,
        top,
        width: right - left + 1,
        height: bottom - top + 1,
        transparent: Some(AS_BEFORE),
        dispose: DisposalMethod::Keep,
        buffer: buffer.into(),
        ..Frame::default()
    }
}
