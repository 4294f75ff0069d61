//! Any loudness as what was heard: clicks in order at finite times, and turns or a reason why there are none.

use latchstroke_sound::{Heard, clicks, turns};

/// Bins of the longest recording tried, 50 s.
const MOST: usize = 200_000;

/// Tries one loudness: three bytes are a stretch of so many bins, and how loud these are.
pub fn tries(bytes: &[u8]) {
    let mut bins: Vec<f32> = Vec::new();
    for stretch in bytes.chunks_exact(3) {
        let count = usize::from(u16::from_le_bytes([stretch[0], stretch[1]])).min(MOST - bins.len());
        let loud = 10_f32.powf(f32::from(stretch[2]) / 32.0 - 8.0) - 1e-8;
        // No two bins alike, as of a microphone.
        bins.extend((0..count).map(|n| loud * (1.0 + 0.3 * ((n * n % 17) as f32 / 17.0))));
    }
    let heard = Heard { bins, cut: 0.0, loudest: 0.5, level: 0.1 };
    let found = clicks(&heard);
    assert!(
        found.iter().all(|click| click.time >= 0.0 && click.rise.is_finite() && click.energy.is_finite())
    );
    assert!(found.windows(2).all(|pair| pair[0].time <= pair[1].time));
    for known in [None, Some((0.9, 1.1))] {
        if let Ok(turns) = turns(&heard, &found, known) {
            assert!(turns.period.is_finite() && turns.period > 0.0);
        }
    }
}
