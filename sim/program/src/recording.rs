//! A recording read from its file and heard as it streams by.

use latchstroke_sound::envelope::RATE;
use latchstroke_sound::{Envelope, Heard};
use std::fs::File;
use std::io::{ErrorKind, Read as _};
use std::panic::{self, AssertUnwindSafe};
use std::path::Path;
use symphonia::core::codecs::audio::AudioDecoderOptions;
use symphonia::core::errors::Error;
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatOptions, FormatReader, TrackType};
use symphonia::core::io::MediaSourceStream;
use symphonia::core::meta::MetadataOptions;

/// Rates of sampling that recorders have, Hz.
const RATES: std::ops::RangeInclusive<u32> = 8_000..=192_000;
/// A recording may be so much shorter than its heading promises, s: compressed ones are told to a block.
const SHORT: f64 = 0.2;

/// Hears the recording at `path`.
///
/// # Errors
/// One sentence on why it cannot be, and what would do.
pub fn hear(path: &Path) -> Result<Heard, String> {
    let shown = path.display();
    let refused = |error: std::io::Error| format!("cannot read {shown}: {error}");
    let mut file = File::open(path).map_err(refused)?;
    let about = file.metadata().map_err(refused)?;
    if about.is_dir() {
        return Err(format!("{shown} is a folder; name a recording in it"));
    }
    if about.len() == 0 {
        return Err(format!("{shown} is empty; copy the recording again"));
    }
    contradiction(&mut file)
        .map_err(|what| format!("{shown} contradicts itself: {what}; make the file anew"))?;
    let file = File::open(path).map_err(refused)?;
    let mut hint = Hint::new();
    if let Some(ending) = path.extension().and_then(|ending| ending.to_str()) {
        hint.with_extension(ending);
    }
    let unknown = |_| {
        format!(
            "{shown} is no recording that can be read; WAV, AIFF, FLAC, MP3, Ogg Vorbis, and AAC or ALAC in M4A or MP4 can be"
        )
    };
    let stream =
        MediaSourceStream::new(Box::new(file), symphonia::core::io::MediaSourceStreamOptions::default());
    unshaken(|| {
        let format = symphonia::default::get_probe()
            .probe(&hint, stream, FormatOptions::default(), MetadataOptions::default())
            .map_err(unknown)?;
        listen(format, &shown.to_string())
    })
    .unwrap_or_else(|| Err(format!("{shown} is damaged; copy the recording again")))
}

/// What `work` answers; none where it panics. A file is anybody's, and a decoder may not have foreseen what stands in it.
fn unshaken<T>(work: impl FnOnce() -> T) -> Option<T> {
    let told = panic::take_hook();
    panic::set_hook(Box::new(|_| ()));
    let answer = panic::catch_unwind(AssertUnwindSafe(work));
    panic::set_hook(told);
    answer.ok()
}

fn listen(mut format: Box<dyn FormatReader + '_>, shown: &str) -> Result<Heard, String> {
    let track =
        format.default_track(TrackType::Audio).ok_or_else(|| format!("{shown} has no sound in it"))?;
    let (id, promised) = (track.id, track.num_frames);
    let parameters = track.codec_params.as_ref().and_then(|parameters| parameters.audio());
    let parameters = parameters.ok_or_else(|| format!("{shown} does not say how its sound is written"))?;
    if let Some(rate) = parameters.sample_rate.filter(|rate| !RATES.contains(rate)) {
        return Err(format!(
            "{shown} says that it has {rate} samples a second, and recorders have {} to {}; make the file anew",
            RATES.start(),
            RATES.end()
        ));
    }
    let mut decoder = symphonia::default::get_codecs()
        .make_audio_decoder(parameters, &AudioDecoderOptions::default())
        .map_err(|_| {
            format!("{shown} is written in a way that cannot be read here; save it as WAV of 16 bits or FLAC")
        })?;
    let mut envelope: Option<(u32, usize, Envelope)> = None;
    let mut samples: Vec<f32> = Vec::new();
    let (mut good, mut bad) = (0_u64, 0_u64);
    loop {
        let packet = match format.next_packet() {
            Ok(Some(packet)) => packet,
            Ok(None) | Err(Error::ResetRequired) => break,
            Err(Error::IoError(error)) if error.kind() == ErrorKind::UnexpectedEof => break,
            Err(error) => {
                return Err(format!("{shown} is broken off or damaged ({error}); copy the recording again"));
            }
        };
        if packet.track_id != id {
            continue;
        }
        match decoder.decode(&packet) {
            Ok(sound) => {
                let (rate, channels) = (sound.spec().rate(), sound.spec().channels().count());
                let (of, count, envelope) = envelope
                    .get_or_insert_with(|| (rate, channels, Envelope::new(f64::from(rate), channels)));
                if (*of, *count) != (rate, channels) {
                    return Err(format!(
                        "{shown} changes its rate or its channels on the way; save it as one WAV"
                    ));
                }
                samples.resize(sound.samples_interleaved(), 0.0);
                sound.copy_to_slice_interleaved(&mut samples);
                envelope.push(&samples);
                good += 1;
                if envelope.is_full() {
                    break;
                }
            }
            Err(Error::DecodeError(_) | Error::IoError(_)) => bad += 1,
            Err(error) => return Err(format!("{shown} is damaged ({error}); copy the recording again")),
        }
    }
    let Some((rate, _, envelope)) = envelope.filter(|_| good > bad) else {
        return Err(format!("{shown} has no sound in it, or none that is whole; copy the recording again"));
    };
    let missing = promised.unwrap_or(0).saturating_sub(envelope.frames()) as f64 / f64::from(rate);
    if !envelope.is_full() && missing > SHORT {
        return Err(format!(
            "{shown} breaks off: its heading promises {:.1} s of sound, and {:.1} s are there; copy the recording again",
            missing + envelope.frames() as f64 / f64::from(rate),
            envelope.frames() as f64 / f64::from(rate)
        ));
    }
    Ok(envelope.finish())
}

/// The length of what was heard, s.
pub fn length(heard: &Heard) -> f64 {
    heard.bins.len() as f64 / RATE
}

/// What in the heading of a WAV cannot be true together: its rate, the size of a sample of all channels and the bytes a second.
fn contradiction(file: &mut File) -> Result<(), String> {
    let mut head = [0_u8; 4096];
    let mut filled = 0;
    while let Ok(read @ 1..) = file.read(&mut head[filled..]) {
        filled += read;
    }
    let head = &head[..filled];
    if !head.starts_with(b"RIFF") {
        return Ok(());
    }
    let Some(at) = head.windows(4).position(|four| four == b"fmt ") else { return Ok(()) };
    let short =
        |from: usize| head.get(at + from..at + from + 2).map(|b| u64::from(u16::from_le_bytes([b[0], b[1]])));
    let long = |from: usize| {
        head.get(at + from..at + from + 4).map(|b| u64::from(u32::from_le_bytes([b[0], b[1], b[2], b[3]])))
    };
    let (Some(kind), Some(channels), Some(rate), Some(bytes), Some(block), Some(bits)) =
        (short(8), short(10), long(12), long(16), short(20), short(22))
    else {
        return Err("its heading breaks off".to_owned());
    };
    if channels == 0 || rate == 0 || block == 0 {
        return Err("its heading has no channels or no rate".to_owned());
    }
    // Of plain samples only: whole numbers, floating point, or either of them in the extended heading.
    let is_plain = matches!(kind, 1 | 3 | 0xfffe);
    if is_plain && block != channels * bits.div_ceil(8) {
        return Err(format!("{channels} channels of {bits} bits do not make {block} bytes"));
    }
    if is_plain && bytes != rate * block {
        return Err(format!("{rate} samples a second of {block} bytes do not make {bytes} bytes a second"));
    }
    Ok(())
}
