//! The energy of a recording in time, as it streams by.

/// Bins a second.
pub const RATE: f64 = 4000.0;
/// Seconds that are kept; what comes later is not listened to, since a quarter of an hour has turns enough.
pub const LONGEST: f64 = 900.0;
/// Below this, Hz, is hum, speech's voice and the room; a click reaches above.
const LOW: f64 = 1500.0;
/// No higher than this share of the sampling rate.
const MOST: f64 = 0.2;
/// A sample is no louder than this, of full scale one: recorders that write floating point go above full scale, and never so far.
const LOUDEST: f32 = 1e4;
/// A sample at least this loud, three times running, was cut off.
const FULL: f32 = 0.995;
const RUN: u32 = 3;

/// A high-pass of second order, Butterworth's, by the bilinear transform.
#[derive(Debug, Clone, Copy)]
struct HighPass {
    b: f64,
    a: [f64; 2],
    x: [f64; 2],
    y: [f64; 2],
}

impl HighPass {
    fn new(rate: f64) -> Self {
        let k = (std::f64::consts::PI * LOW.min(MOST * rate) / rate).tan();
        let norm = 1.0 / (1.0 + std::f64::consts::SQRT_2 * k + k * k);
        let a = [2.0 * (k * k - 1.0) * norm, (1.0 - std::f64::consts::SQRT_2 * k + k * k) * norm];
        Self { b: norm, a, x: [0.0; 2], y: [0.0; 2] }
    }

    fn next(&mut self, x: f64) -> f64 {
        let y = self.b * (x - 2.0 * self.x[0] + self.x[1]) - self.a[0] * self.y[0] - self.a[1] * self.y[1];
        self.x = [x, self.x[0]];
        self.y = [y, self.y[0]];
        y
    }
}

/// The energy of a recording, bin by bin, as its samples come in.
#[derive(Debug, Clone)]
pub struct Envelope {
    rate: f64,
    filters: Vec<HighPass>,
    full: Vec<u32>,
    frames: u64,
    cut: u64,
    loudest: f32,
    squares: f64,
    bin: (u64, f64, u32),
    bins: Vec<f32>,
}

/// A recording as it was heard.
#[derive(Debug, Clone, PartialEq)]
pub struct Heard {
    /// Mean energy above `LOW` in each bin of 1/[`RATE`] s, of a full sine ½.
    pub bins: Vec<f32>,
    /// Share of the samples that were cut off.
    pub cut: f64,
    /// The greatest sample, of full scale one.
    pub loudest: f64,
    /// Root of the mean square of all samples.
    pub level: f64,
}

impl Envelope {
    /// For samples of so many channels at a rate, Hz.
    pub fn new(rate: f64, channels: usize) -> Self {
        Self {
            rate,
            filters: vec![HighPass::new(rate); channels.max(1)],
            full: vec![0; channels.max(1)],
            frames: 0,
            cut: 0,
            loudest: 0.0,
            squares: 0.0,
            bin: (0, 0.0, 0),
            bins: Vec::new(),
        }
    }

    /// Takes samples in, all channels of an instant together. Channels are added by their energy, so that none takes away from another.
    pub fn push(&mut self, samples: &[f32]) {
        let channels = self.filters.len();
        for frame in samples.chunks_exact(channels) {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a count of bins, not negative"
            )]
            let bin = (self.frames as f64 * RATE / self.rate) as u64;
            if bin != self.bin.0 {
                self.close(bin);
            }
            let mut energy = 0.0;
            for ((sample, filter), full) in frame.iter().zip(&mut self.filters).zip(&mut self.full) {
                // What is louder, or no number, is damage and no sound.
                let sample = if sample.abs() <= LOUDEST { *sample } else { 0.0 };
                energy += filter.next(f64::from(sample)).powi(2);
                self.squares += f64::from(sample).powi(2) / channels as f64;
                self.loudest = self.loudest.max(sample.abs());
                *full = if sample.abs() >= FULL { *full + 1 } else { 0 };
                self.cut += u64::from(*full >= RUN);
            }
            self.bin.1 += energy;
            self.bin.2 += 1;
            self.frames += 1;
        }
    }

    /// Ends the bin under way; a rate below [`RATE`] leaves some without a sample, which are as the one before.
    fn close(&mut self, next: u64) {
        #[expect(clippy::cast_possible_truncation, reason = "an energy")]
        let mean = (self.bin.1 / f64::from(self.bin.2.max(1))) as f32;
        for _ in self.bin.0..next {
            if !self.is_full() {
                self.bins.push(mean);
            }
        }
        self.bin = (next, 0.0, 0);
    }

    /// Whether no more is kept.
    pub fn is_full(&self) -> bool {
        self.bins.len() as f64 >= LONGEST * RATE
    }

    /// Frames taken in.
    pub fn frames(&self) -> u64 {
        self.frames
    }

    /// What was heard.
    pub fn finish(mut self) -> Heard {
        let next = self.bin.0 + u64::from(self.bin.2 > 0);
        self.close(next);
        let count = self.frames.max(1) as f64;
        Heard {
            bins: self.bins,
            cut: self.cut as f64 / (count * self.filters.len() as f64),
            loudest: f64::from(self.loudest),
            level: (self.squares / count).sqrt(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_a_sine_has_half_its_square_and_hum_nothing() {
        for rate in [8000.0, 44_100.0, 192_000.0] {
            let level = |hertz: f64| {
                let mut envelope = Envelope::new(rate, 1);
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few samples")]
                let count = rate as u32;
                for n in 0..count {
                    let phase = std::f64::consts::TAU * hertz * f64::from(n) / rate;
                    #[expect(clippy::cast_possible_truncation, reason = "a sample")]
                    envelope.push(&[phase.sin() as f32]);
                }
                let heard = envelope.finish();
                assert_eq!(heard.bins.len(), 4000);
                let late = &heard.bins[2000..];
                late.iter().map(|bin| f64::from(*bin)).sum::<f64>() / late.len() as f64
            };
            // A Butterworth of second order: 1/(1 + (f_c/f)⁴) of the power, but for the bilinear transform's bend near the top.
            let corner = LOW.min(MOST * rate);
            assert!((level(corner) - 0.25).abs() < 0.01, "{rate}: {}", level(corner));
            assert!(level(50.0) < 1e-5 && level(2.0 * corner) > 0.45, "{rate}");
        }
    }

    #[test]
    fn channels_out_of_phase_do_not_cancel_and_cut_samples_are_counted() {
        let mut envelope = Envelope::new(48_000.0, 2);
        for n in 0..48_000 {
            let sample = if n % 16 < 8 { 1.0 } else { -1.0 };
            envelope.push(&[sample, -sample]);
        }
        let heard = envelope.finish();
        assert!(heard.bins[100] > 0.5 && heard.cut > 0.5, "{} {}", heard.bins[100], heard.cut);
    }

    /// Of every channel's samples: as much in two alike as in one, half where one of two is quiet, and never more than all.
    #[test]
    fn the_share_that_is_cut_off_is_of_all_channels_samples() {
        let cut = |frame: &[f32]| {
            let mut envelope = Envelope::new(8000.0, frame.len());
            envelope.push(&frame.repeat(8000));
            envelope.finish().cut
        };
        let all = cut(&[1.0]);
        assert!(all > 0.999 && all <= 1.0, "{all}");
        for (frame, share) in [(&[1.0, -1.0][..], 1.0), (&[0.0, 1.0], 0.5), (&[1.0, 0.0, 0.0, 1.0], 0.5)] {
            assert!((cut(frame) - share * all).abs() < 1e-12, "{frame:?}: {}", cut(frame));
        }
    }

    #[test]
    fn what_is_no_sample_is_not_heard() {
        let heard = |odd: f32| {
            let mut envelope = Envelope::new(8000.0, 1);
            for n in 0..8000 {
                envelope.push(&[if n % 100 == 7 { odd } else { 0.25 * f32::from(u8::from(n % 2 == 0)) }]);
            }
            envelope.finish()
        };
        let silent = heard(0.0);
        for odd in [f32::NAN, f32::INFINITY, f32::MIN, 1e20, -3e19, 1e5] {
            assert_eq!(heard(odd), silent, "{odd}");
        }
        // A little above full scale is sound.
        let loud = heard(3.0);
        assert!((loud.loudest - 3.0).abs() < 1e-9 && loud.bins.iter().all(|bin| bin.is_finite()));
    }
}
