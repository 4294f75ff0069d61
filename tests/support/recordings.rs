//! Recordings made from known times, and sounds without a machine. None of them is a recording of anything, and none is presented as one.

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use std::f64::consts::TAU;

/// What a recording is made with.
#[derive(Debug, Clone, Copy)]
pub struct Scene {
    /// Samples a second.
    pub rate: f64,
    /// Its length, s.
    pub seconds: f64,
    /// How far the mean power of a click's first 5 ms is above that of the noise, dB; the noise is even over all frequencies.
    pub above_noise: f64,
    /// Whether a room of walls 2 to 6 m off answers, in all half as loud.
    pub echo: bool,
    /// How much the recorder's clock is off, as a share.
    pub clock: f64,
    /// Whether a motor hums, as loud as the clicks.
    pub motor: bool,
    /// Knocks of other machinery a second, at random.
    pub knocks: f64,
}

impl Default for Scene {
    fn default() -> Self {
        Self {
            rate: 44_100.0,
            seconds: 30.0,
            above_noise: 20.0,
            echo: false,
            clock: 0.0,
            motor: false,
            knocks: 0.0,
        }
    }
}

/// A generator of draws of its own.
pub fn draws(seed: u64) -> ChaCha8Rng {
    ChaCha8Rng::seed_from_u64(seed)
}

/// A draw from the normal distribution (Box and Muller).
pub fn normal(draws: &mut ChaCha8Rng) -> f64 {
    let (u, v): (f64, f64) = (draws.random(), draws.random());
    (-2.0 * (1.0 - u).ln()).sqrt() * (TAU * v).cos()
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a place in a recording, not negative"
)]
fn place(time: f64, rate: f64) -> usize {
    (time * rate).round().max(0.0) as usize
}

/// A knock of iron: three modes between 1.8 and 5 kHz that ring for some milliseconds, each struck at once.
fn knock(samples: &mut [f64], time: f64, strength: f64, rate: f64, draws: &mut ChaCha8Rng) {
    let top = (0.4 * rate).min(5000.0);
    let start = place(time, rate);
    for _ in 0..3 {
        let hertz = 1800.0 + draws.random::<f64>() * (top - 1800.0);
        let ring = 0.002 + 0.005 * draws.random::<f64>();
        let phase = TAU * draws.random::<f64>();
        for (n, sample) in samples.iter_mut().skip(start).take(place(8.0 * ring, rate)).enumerate() {
            let t = n as f64 / rate;
            *sample += strength * (-t / ring).exp() * (TAU * hertz * t + phase).sin();
        }
    }
}

/// A recording of knocks at these times (s), each so many times as strong as one.
pub fn recording(knocks: &[(f64, f64)], scene: &Scene, seed: u64) -> Vec<f32> {
    let mut draws = draws(seed);
    let count = place(scene.seconds, scene.rate);
    let mut samples = vec![0.0; count];
    for &(time, strength) in knocks {
        knock(&mut samples, time * (1.0 + scene.clock), strength, scene.rate, &mut draws);
    }
    let others = scene.knocks * scene.seconds;
    for _ in 0..place(others, 1.0) {
        let (time, strength) = (scene.seconds * draws.random::<f64>(), 0.3 + draws.random::<f64>());
        knock(&mut samples, time, strength, scene.rate, &mut draws);
    }
    if scene.echo {
        let dry = samples.clone();
        for _ in 0..6 {
            let late = place((4.0 + 8.0 * draws.random::<f64>()) / 343.0, scene.rate);
            let share = 0.5 / 6.0_f64.sqrt() * if draws.random::<bool>() { 1.0 } else { -1.0 };
            for n in late..count {
                samples[n] += share * dry[n - late];
            }
        }
    }
    if scene.motor {
        for (n, sample) in samples.iter_mut().enumerate() {
            let t = n as f64 / scene.rate;
            *sample +=
                (TAU * 49.7 * t).sin() + 0.4 * (TAU * 149.1 * t).sin() + 0.1 * (TAU * 1190.0 * t).sin();
        }
    }
    // Three modes of amplitude one that ring for 4.5 ms have about this power over 5 ms.
    let noise = (0.55 * 10.0_f64.powf(-scene.above_noise / 10.0)).sqrt();
    let loudest = 12.0;
    samples.iter().map(|sample| to_sample((sample + noise * normal(&mut draws)) / loudest)).collect()
}

#[expect(clippy::cast_possible_truncation, reason = "a sample")]
fn to_sample(value: f64) -> f32 {
    value.clamp(-1.0, 1.0) as f32
}

/// Sounds in which no machine turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Other {
    /// Noise, even over all frequencies.
    Hiss,
    /// Noise that falls with frequency.
    Rumble,
    /// Mains and its harmonics, swelling.
    Hum,
    /// Syllables: a voice of harmonics through two resonances, with hissed consonants and stops, at a talker's uneven pace.
    Speech,
    /// Notes with sharp beginnings and drums on an even beat, in bars of four that repeat.
    Music,
    /// Notes with sharp beginnings of uneven length.
    Tune,
    /// Drops at random.
    Rain,
    /// Something loose that rattles, twenty-five times a second or so.
    Rattle,
    /// One click.
    OneClick,
    /// A clock.
    Clock,
    /// Nothing.
    Silence,
}

impl Other {
    /// Every kind.
    pub const ALL: [Self; 11] = [
        Self::Hiss,
        Self::Rumble,
        Self::Hum,
        Self::Speech,
        Self::Music,
        Self::Tune,
        Self::Rain,
        Self::Rattle,
        Self::OneClick,
        Self::Clock,
        Self::Silence,
    ];

    /// A recording of it.
    pub fn recording(self, rate: f64, seconds: f64, seed: u64) -> Vec<f32> {
        let mut draws = draws(seed);
        let count = place(seconds, rate);
        let mut samples = vec![0.0; count];
        let room = 0.003;
        match self {
            Self::Hiss => samples.iter_mut().for_each(|sample| *sample = 0.2 * normal(&mut draws)),
            Self::Rumble => {
                let mut low = 0.0;
                for sample in &mut samples {
                    low = 0.98 * low + 0.05 * normal(&mut draws);
                    *sample = low;
                }
            }
            Self::Hum => {
                for (n, sample) in samples.iter_mut().enumerate() {
                    let t = n as f64 / rate;
                    let swell = 1.0 + 0.5 * (TAU * 0.7 * t).sin();
                    *sample = (1..20)
                        .map(|k| swell * (TAU * 50.0 * f64::from(k) * t).sin() / f64::from(k * k))
                        .sum::<f64>()
                        * 0.2;
                }
            }
            Self::Speech => speech(&mut samples, rate, &mut draws),
            Self::Music => music(&mut samples, rate, &mut draws),
            Self::Tune => {
                let mut at = 0.1;
                while at < seconds {
                    note(&mut samples, at, rate, &mut draws);
                    at += 0.12 + 0.6 * draws.random::<f64>();
                }
            }
            Self::Rain => {
                for _ in 0..place(6.0 * seconds, 1.0) {
                    let (time, strength) = (seconds * draws.random::<f64>(), 0.1 * draws.random::<f64>());
                    knock(&mut samples, time, strength, rate, &mut draws);
                }
            }
            Self::Rattle => {
                let mut at = 0.3;
                while at < seconds - 0.1 {
                    knock(&mut samples, at, 0.1 + 0.1 * draws.random::<f64>(), rate, &mut draws);
                    at += 0.012 + 0.053 * draws.random::<f64>();
                }
            }
            Self::OneClick => knock(&mut samples, seconds * draws.random::<f64>(), 0.3, rate, &mut draws),
            Self::Clock => {
                let period = [0.5, 1.0][usize::from(draws.random::<bool>())];
                for n in 0..place(seconds / period, 1.0) {
                    knock(&mut samples, n as f64 * period, 0.2, rate, &mut draws);
                }
            }
            Self::Silence => return vec![0.0; count],
        }
        samples.iter().map(|sample| to_sample(sample + room * normal(&mut draws))).collect()
    }
}

/// A plucked note: five harmonics, at once there and slowly gone.
fn note(samples: &mut [f64], time: f64, rate: f64, draws: &mut ChaCha8Rng) {
    let pitch = 220.0 * 2.0_f64.powf((24.0 * draws.random::<f64>()).floor() / 12.0);
    for (n, sample) in samples.iter_mut().skip(place(time, rate)).take(place(0.5, rate)).enumerate() {
        let t = n as f64 / rate;
        *sample += (1..6).map(|k| (TAU * pitch * f64::from(k) * t).sin() / f64::from(k)).sum::<f64>()
            * 0.15
            * (-t / 0.15).exp();
    }
}

fn music(samples: &mut [f64], rate: f64, draws: &mut ChaCha8Rng) {
    let beat = 60.0 / (80.0 + 80.0 * draws.random::<f64>());
    let seconds = samples.len() as f64 / rate;
    let drums: Vec<bool> = (0..8).map(|n| n % 2 == 0 || draws.random::<f64>() < 0.5).collect();
    for n in 0..place(2.0 * seconds / beat, 1.0) {
        let at = 0.5 * beat * n as f64;
        if drums[n % 8] {
            knock(samples, at, 0.15, rate, draws);
        }
        if draws.random::<f64>() < 0.7 {
            note(samples, at, rate, draws);
        }
    }
}

fn speech(samples: &mut [f64], rate: f64, draws: &mut ChaCha8Rng) {
    let seconds = samples.len() as f64 / rate;
    let mut at = 0.2;
    while at < seconds {
        let (pitch, length) = (100.0 + 80.0 * draws.random::<f64>(), 0.08 + 0.2 * draws.random::<f64>());
        let (first, second) = (300.0 + 500.0 * draws.random::<f64>(), 900.0 + 1500.0 * draws.random::<f64>());
        let hissed = draws.random::<f64>();
        // A stop bursts, a sibilant swells; then the vowel.
        let rises = if hissed < 0.4 { 0.001 } else { 0.03 };
        for (n, sample) in samples.iter_mut().skip(place(at, rate)).take(place(length, rate)).enumerate() {
            let t = n as f64 / rate;
            let shape = (t / 0.02).min(1.0) * ((length - t) / 0.04).clamp(0.0, 1.0);
            let voice: f64 = (1..25)
                .map(|k| {
                    let hertz = pitch * f64::from(k);
                    let near = |of: f64| (-((hertz - of) / 150.0).powi(2)).exp();
                    (near(first) + 0.5 * near(second) + 0.02) * (TAU * hertz * t).sin()
                })
                .sum();
            let burst = if hissed < 0.7 {
                (t / rises).min(1.0) * (-t / 0.03).exp() * normal(draws) * 0.15
            } else {
                0.0
            };
            *sample += 0.15 * shape * voice + burst;
        }
        at += length
            + 0.02
            + 0.25 * draws.random::<f64>().powi(3)
            + if draws.random::<f64>() < 0.1 { 0.5 } else { 0.0 };
    }
}
