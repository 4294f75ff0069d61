//! `latchstroke listen`: recordings written as files, good and broken.

use super::{run, scenario};
use crate::support::recordings::{Other, Scene, draws, normal, recording};
use serde_json::Value;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// How a sample is written.
#[derive(Clone, Copy)]
enum Form {
    Byte,
    Two,
    Three,
    Float,
}

/// A WAV of these samples, all channels of an instant together.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "samples")]
fn wav(samples: &[f32], rate: u32, channels: u16, form: Form) -> Vec<u8> {
    let (kind, bits) = match form {
        Form::Byte => (1_u16, 8_u16),
        Form::Two => (1, 16),
        Form::Three => (1, 24),
        Form::Float => (3, 32),
    };
    let block = channels * bits / 8;
    let data: Vec<u8> = samples
        .iter()
        .flat_map(|sample| match form {
            Form::Byte => vec![(128.0 + 127.0 * sample) as u8],
            Form::Two => ((32_767.0 * sample) as i16).to_le_bytes().to_vec(),
            Form::Three => ((8_388_607.0 * sample) as i32).to_le_bytes()[..3].to_vec(),
            Form::Float => sample.to_le_bytes().to_vec(),
        })
        .collect();
    let length = u32::try_from(data.len()).expect("short");
    let mut file = b"RIFF".to_vec();
    file.extend((36 + length).to_le_bytes());
    file.extend(b"WAVEfmt ");
    file.extend(16_u32.to_le_bytes());
    file.extend(kind.to_le_bytes());
    file.extend(channels.to_le_bytes());
    file.extend(rate.to_le_bytes());
    file.extend((rate * u32::from(block)).to_le_bytes());
    file.extend(block.to_le_bytes());
    file.extend(bits.to_le_bytes());
    file.extend(b"data");
    file.extend(length.to_le_bytes());
    file.extend(data);
    file
}

/// The clicks of the demo with its latch set at a pace, as the program itself solves it: after the latch lets go, s.
fn clicks(pace: f64, set: &[&str]) -> Vec<f64> {
    let file = scenario("large_initials.toml").display().to_string();
    let pace = format!("{pace}");
    let (_, out, err) = run(&[&["turn", &file, "--pace", &pace, "--json"][..], set].concat());
    let answer: Value = serde_json::from_str(&out).unwrap_or_else(|error| panic!("{error}: {err}"));
    let events = answer["latch_set"]["events"].as_array().expect("a list").clone();
    let first = |name: &str, from: f64| {
        let time = |event: &Value| event["time_s"].as_f64().filter(|time| *time >= from);
        events
            .iter()
            .filter(|event| event["event"] == name)
            .find_map(time)
            .unwrap_or_else(|| panic!("{name}"))
    };
    let let_go = first("latch-lets-go", 0.0);
    vec![0.0, first("shoulder-strikes", let_go) - let_go, first("latch-catches", let_go) - let_go]
}

/// Samples of the demo at work, with a pace that is off by 0.3 % from turn to turn.
fn at_work(pace: f64, scene: &Scene, set: &[&str]) -> (Vec<f32>, Vec<f64>) {
    let after = clicks(pace, set);
    let mut draws = draws(11);
    let mut start = 0.5;
    let mut knocks = Vec::new();
    while start + 60.0 / pace < scene.seconds {
        knocks.extend(after.iter().map(|after| (start + after, 1.0)));
        start += 60.0 / pace * (1.0 + 0.003 * normal(&mut draws));
    }
    (recording(&knocks, scene, 5), after)
}

fn put(folder: &TempDir, name: &str, bytes: &[u8]) -> String {
    let path = folder.path().join(name);
    std::fs::write(&path, bytes).expect("written");
    path.display().to_string()
}

const SCENE: Scene = Scene {
    rate: 16_000.0,
    seconds: 40.0,
    above_noise: 20.0,
    echo: true,
    clock: 0.0,
    motor: true,
    knocks: 0.3,
};

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn program_hears_pace_clicks_and_a_strike_that_comes_later() {
    let folder = tempfile::tempdir().expect("a folder");
    let (good, after) = at_work(20.0, &SCENE, &[]);
    let good = put(&folder, "good.wav", &wav(&good, 16_000, 1, Form::Two));
    let demo = scenario("large_initials.toml").display().to_string();
    let (code, out, err) = run(&["listen", &good, &demo, "--json"]);
    assert_eq!(code, 0, "{err}");
    let answer: Value = serde_json::from_str(&out).expect("JSON");
    assert!((number(&answer["pace_turns_per_s"]) * 60.0 / 20.0 - 1.0).abs() < 3e-3, "{out}");
    let strike = &answer["let_go_to_strike"];
    // Each click is held to 1 ms; the model is the one by which the recording was made.
    assert!((number(&strike["heard"]["mean_s"]) - after[1]).abs() < 1e-3, "{out}");
    assert!((number(&strike["of_the_model_s"]) - after[1]).abs() < 3e-3, "{out}");
    // With longer prongs' travel the latch lets go later and the strike comes sooner after it.
    let (late, changed) = at_work(20.0, &SCENE, &["--set", "latch.prong_travel=9 mm"]);
    let late = put(&folder, "late.wav", &wav(&late, 16_000, 1, Form::Two));
    let drawn = folder.path().join("out");
    let drawn_path = drawn.display().to_string();
    let (code, out, err) = run(&["listen", &late, &demo, "--baseline", &good, "--out", &drawn_path]);
    assert_eq!(code, 0, "{err}");
    let by = 1e3 * (after[1] - changed[1]);
    assert!(
        by > 20.0 && out.contains("latch lets go") && out.contains("sooner than the model's"),
        "{by} {out}"
    );
    assert!(out.contains("The travel of the prongs") && out.contains(" ms later than it did"), "{out}");
    let png = std::fs::read(drawn.join("turn-heard.png")).expect("a picture");
    assert!(png.starts_with(b"\x89PNG"));
}

#[test]
fn program_cannot_tell_where_no_machine_turns() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let out_path = out.display().to_string();
    for other in [Other::Speech, Other::Music, Other::Hum, Other::Silence, Other::OneClick, Other::Clock] {
        let samples = other.recording(16_000.0, 14.0, 3);
        let file = put(&folder, "other.wav", &wav(&samples, 16_000, 1, Form::Two));
        let (code, said, err) = run(&["listen", &file, "--out", &out_path]);
        assert_eq!((code, said.as_str()), (3, ""), "{other:?}: {err}");
        assert!(err.contains("cannot tell: ") && !out.exists(), "{other:?}: {err}");
    }
}

/// Every way of writing it, from 8 kHz to 192 kHz and in stereo out of phase, tells the same.
#[test]
fn program_reads_every_form_of_recording() {
    let folder = tempfile::tempdir().expect("a folder");
    let period = |file: &str| {
        let (code, out, err) = run(&["listen", file, "--json"]);
        assert_eq!(code, 0, "{file}: {err}");
        let answer: Value = serde_json::from_str(&out).expect("JSON");
        1.0 / number(&answer["pace_turns_per_s"])
    };
    for (name, rate, seconds, form) in [
        ("8 bit", 16_000, 40.0, Form::Byte),
        ("24 bit", 16_000, 40.0, Form::Three),
        ("float", 16_000, 40.0, Form::Float),
        ("8 kHz", 8_000, 40.0, Form::Two),
        ("192 kHz", 192_000, 24.0, Form::Two),
    ] {
        let scene = Scene { rate: f64::from(rate), seconds, motor: false, ..SCENE };
        let (samples, _) = at_work(20.0, &scene, &[]);
        let file = put(&folder, "form.wav", &wav(&samples, rate, 1, form));
        assert!((period(&file) / 3.0 - 1.0).abs() < 4e-3, "{name}: {}", period(&file));
    }
    let (samples, _) = at_work(20.0, &SCENE, &[]);
    let both: Vec<f32> = samples.iter().flat_map(|sample| [*sample, -*sample]).collect();
    let file = put(&folder, "stereo.wav", &wav(&both, 16_000, 2, Form::Two));
    assert!((period(&file) / 3.0 - 1.0).abs() < 4e-3);
}

/// An AIFF that says it has 65 527 channels of 16 bits: their bytes are more than the decoder counts up to, and it panics where sums are
/// checked.
fn many_channels() -> Vec<u8> {
    let common = [&0xfff7_u16.to_be_bytes()[..], &960_u32.to_be_bytes(), &16_u16.to_be_bytes()].concat();
    let rate = [0x40, 0x0b, 0xfa, 0, 0, 0, 0, 0, 0, 0];
    let sound = [0; 1024];
    let chunk = |name: &[u8], inside: &[u8]| {
        let length = u32::try_from(inside.len()).expect("short").to_be_bytes();
        [name, &length, inside].concat()
    };
    let inside = [b"AIFF".to_vec(), chunk(b"COMM", &[&common[..], &rate].concat()), chunk(b"SSND", &sound)];
    chunk(b"FORM", &inside.concat())
}

#[test]
fn program_says_of_each_broken_file_what_is_wrong_with_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let whole = wav(&vec![0.1; 32_000], 16_000, 1, Form::Two);
    let with = |at: usize, bytes: &[u8]| {
        let mut changed = whole.clone();
        changed[at..at + bytes.len()].copy_from_slice(bytes);
        changed
    };
    let missing = folder.path().join("missing.wav");
    let mut cases: Vec<(PathBuf, &str)> =
        vec![(missing, "cannot read"), (folder.path().to_owned(), "a folder")];
    for (name, bytes, word) in [
        ("empty.wav", Vec::new(), "empty"),
        ("cut.wav", whole[..40_000].to_vec(), "breaks off"),
        ("head.wav", whole[..24].to_vec(), "breaks off"),
        ("rate.wav", with(24, &44_100_u32.to_le_bytes()), "contradicts itself"),
        ("odd rate.wav", wav(&[0.1; 4000], 800, 1, Form::Two), "samples a second"),
        ("no rate.wav", with(24, &0_u32.to_le_bytes()), "contradicts itself"),
        ("block.wav", with(32, &7_u16.to_le_bytes()), "contradicts itself"),
        ("law.wav", with(20, &0x0055_u16.to_le_bytes()), "no recording that can be read"),
        ("text.wav", b"time, piston\n0, 1\n".to_vec(), "no recording"),
        ("no samples.wav", wav(&[], 16_000, 1, Form::Two), ""),
        ("many channels.aiff", many_channels(), ""),
    ] {
        cases.push((PathBuf::from(put(&folder, name, &bytes)), word));
    }
    for (path, word) in cases {
        let (code, out, err) = run(&["listen", &path.display().to_string()]);
        assert_eq!((code, out.as_str()), (2, ""), "{}: {err}", path.display());
        assert!(err.lines().count() == 1 && err.contains(word), "{}: {err}", path.display());
        let name = Path::file_name(&path).map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        assert!(err.contains(&name), "{err}");
    }
}

/// The forms in which phones keep a recording. What the encoders cost is a millisecond or two: frames of some 20 ms smear what begins
/// suddenly.
#[test]
fn program_hears_the_same_clicks_in_compressed_recordings() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/program/recordings");
    for form in ["flac", "mp3", "ogg", "m4a"] {
        let file = folder.join(format!("knocks.{form}")).display().to_string();
        let (code, out, err) = run(&["listen", &file, "--json"]);
        assert_eq!(code, 0, "{form}: {err}");
        let heard: Value = serde_json::from_str(&out).expect("JSON");
        let pace = heard["pace_turns_per_s"].as_f64().expect("a pace");
        assert!((pace / 0.5 - 1.0).abs() < 2e-3, "{form}: {pace}");
        let clicks = heard["clicks"].as_array().expect("a list");
        let mut gaps: Vec<f64> =
            clicks.iter().filter_map(|click| click["after_the_one_before"]["mean_s"].as_f64()).collect();
        gaps.sort_by(f64::total_cmp);
        assert_eq!(gaps.len(), 3, "{form}: {out}");
        assert!(gaps.iter().zip([0.4, 0.7, 0.9]).all(|(a, b)| (a - b).abs() < 3e-3), "{form}: {gaps:?}");
    }
}
