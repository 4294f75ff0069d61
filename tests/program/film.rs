//! `latchstroke film`: the pictures as a reader of them sees them, held against the solved turns.

use super::run;
use latchstroke_core::studies::judge::{Judgement, judge_traced};
use latchstroke_models::machine::MachineStatement;
use latchstroke_plots::Theme;
use latchstroke_plots::mechanism::{FilmFrame, Tints};
use latchstroke_report::film::Film;
use latchstroke_report::owner::OwnerUnits;
use latchstroke_scenario::stated;
use latchstroke_scenario::{Scenario, read};
use std::path::Path;

const DEMO: &str = include_str!("../../scenarios/large_initials.toml");
/// px of the GIF for each px of the drawing.
const SCALE: f64 = 1280.0 / 1920.0;

fn demo() -> Scenario {
    read("demo", DEMO, &[]).expect("a good scenario")
}

/// Every frame as the colours on the screen, one `[r, g, b]` a pixel, handed to `see` with its number.
fn watch(bytes: &[u8], mut see: impl FnMut(usize, &[[u8; 3]])) -> (usize, u32) {
    let mut reader = gif::DecodeOptions::new().read_info(bytes).expect("a GIF");
    assert_eq!((reader.width(), reader.height()), (1280, 720));
    assert_eq!(reader.repeat(), gif::Repeat::Infinite);
    let palette: Vec<[u8; 3]> = reader.global_palette().expect("one palette").as_chunks::<3>().0.to_vec();
    let mut screen = vec![[0_u8; 3]; 1280 * 720];
    let (mut count, mut hundredths) = (0, 0);
    while let Some(frame) = reader.read_next_frame().expect("a frame") {
        assert!(frame.palette.is_none(), "frame {count} has its own palette");
        hundredths += u32::from(frame.delay);
        for (n, &index) in frame.buffer.iter().enumerate() {
            let (x, y) = (n % usize::from(frame.width), n / usize::from(frame.width));
            if frame.transparent != Some(index) {
                let at = (usize::from(frame.top) + y) * 1280 + usize::from(frame.left) + x;
                screen[at] = palette[usize::from(index)];
            }
        }
        see(count, &screen);
        count += 1;
    }
    (count, hundredths)
}

/// Where the machines end and the curves begin, px from the top.
const MACHINES_END: usize = 530;

/// The lower end of the piston's face, px from the top, in a column of the screen.
fn face(screen: &[[u8; 3]], column: usize) -> Option<f64> {
    let thrown = Tints::of(&Theme::light()).thrown.rgb;
    let last = (0..MACHINES_END).rev().find(|y| screen[y * 1280 + column] == thrown)?;
    Some(last as f64 + 1.0)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "rounded, and on the screen")]
fn pixel(at: f64) -> usize {
    (SCALE * at).round() as usize
}

fn file(folder: &Path, name: &str) -> Vec<u8> {
    std::fs::read(folder.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn judged() -> (MachineStatement, Judgement) {
    let scenario = demo();
    let machine = stated::machine(&scenario);
    let judgement =
        judge_traced(&machine, stated::cast(&scenario), &stated::terms(&scenario)).expect("a good machine");
    (machine, judgement)
}

/// The film taken apart: where the pistons stand, how far the two stopwatches have run, and how long each frame is shown.
#[test]
fn program_the_films_frames_show_pistons_and_stopwatches_where_the_solution_has_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("film");
    let path = out.to_str().expect("a plain path");
    let (code, said, err) = run(&["film", "--out", path]);
    assert_eq!(code, 0, "{err}");
    assert!(said.contains("latch lets go") && said.contains("of real speed"), "{said}");
    assert!(!err.contains("no room"), "{err}");

    let (machine, judged) = judged();
    let film = Film::new(&machine, &judged, 180, &OwnerUnits::of(&demo())).expect("a good machine");
    let turns = [&judged.aside, &judged.set];
    let zeros = film.pace().zeros();
    let places = [0, 1].map(|side| film.frame(0).place(side));
    let theme = Theme::light();

    let bytes = file(&out, "film.gif");
    assert!(bytes.len() < 10_000_000, "{} bytes", bytes.len());
    let mut at_rest = [0.0; 2];
    let mut greatest = [0.0_f64; 2];
    let mut filling = [0; 2];
    let (count, hundredths) = watch(&bytes, |n, screen| {
        let time = film.pace().time(n);
        for side in 0..2 {
            let (x, _) = places[side].px(film.mechanism().piston_face(0.0));
            // Beside the channel's middle, inside the piston.
            let column = pixel(x - 0.3 * 17.5 * places[side].scale);
            let seen = face(screen, column).unwrap_or_else(|| panic!("no piston in frame {n}"));
            if n == 0 {
                at_rest[side] = seen;
            }
            let at = (zeros[side] + time).max(0.0);
            let solved = turns[side].trace.windows(2).find(|pair| pair[1].time >= at).map_or(0.0, |pair| {
                let share = (at - pair[0].time) / (pair[1].time - pair[0].time).max(1e-12);
                pair[0].piston_travel + share * (pair[1].piston_travel - pair[0].piston_travel)
            });
            let expected = SCALE * places[side].scale * 1e3 * solved;
            // Half a pixel for the edge in this frame, half for that at rest, and half for a blended edge.
            assert!((seen - at_rest[side] - expected).abs() < 1.5, "{n}, {side}: {seen} {expected}");
            greatest[side] = greatest[side].max(seen - at_rest[side]);

            // The bar of the stopwatch, in the side's colour from its left end on; limit and hatch lie over and beside it.
            let frame = film.frame(n);
            let (left, right, y) = FilmFrame::bar_place(side, &theme);
            let colour = theme.series_colour(1 - side).line.rgb;
            let row = pixel(y) * 1280;
            let run = (pixel(left)..1280 * (side + 1) / 2).filter(|x| screen[row + x] == colour).count();
            let fill = turns[side].fill.expect("a full mould");
            let since = (zeros[side] + time).min(fill.full) - fill.entry;
            let end = left + (right - left) * (1e3 * since.max(0.0) / frame.scale).min(1.0);
            let limit = if since > judged.clocks.allowed { 3.0 } else { 0.0 };
            // The limit's line covers 2 px of a bar that has passed it; an edge at each end is blended.
            assert!((run as f64 - SCALE * (end - left)).abs() < 2.5 + limit, "{n}, {side}: {run} {end}");
            filling[side] += i32::from(since > 0.0 && zeros[side] + time < fill.full);
        }
    });
    // The last frame is held.
    assert_eq!((count, hundredths), (180, 179 * 8 + 500));
    // The film would prove little if the piston hardly moved.
    assert!(greatest.iter().all(|travel| *travel > 20.0), "{greatest:?}");
    // One rate for both: as many frames as the fills last, to a frame at each end.
    let ratio = judged.aside.fill.expect("full").time() / judged.set.fill.expect("full").time();
    let (aside, set) = (f64::from(filling[0]), f64::from(filling[1]));
    assert!(
        set > 5.0 && (set - 1.0) * ratio < aside + 1.0 && (set + 1.0) * ratio > aside - 1.0,
        "{filling:?}"
    );

    let page = String::from_utf8(file(&out, "film.html")).expect("text");
    assert!(page.contains("hold = 5000"));
    let last = film.caption(179);
    assert!(page.contains(&last), "{last}");
    for told in ["Set the latch", "161 ms", "26.0 ms", "the mould opens: lapped", "the mould opens: sound"] {
        assert!(last.contains(told), "{told}: {last}");
    }
}

#[test]
fn program_the_films_time_never_runs_back_and_keeps_one_rate_while_either_mould_fills() {
    let (machine, judged) = judged();
    for frames in [12, 180, 600] {
        let film = Film::new(&machine, &judged, frames, &OwnerUnits::of(&demo())).expect("a good machine");
        let pace = film.pace();
        let (enters, full) = pace.fills();
        let longest = [&judged.aside, &judged.set].map(|turn| turn.fill.expect("a cast").time());
        assert!(enters.abs() < 1e-12 && full > longest[0].max(longest[1]), "{full}");
        let mut rates: Vec<f64> = Vec::new();
        for n in 1..frames {
            let (before, now) = (pace.time(n - 1), pace.time(n));
            assert!(now > before, "{n}");
            // Within a stretch the clock moves by what the film says it does.
            if (pace.rate(n) - pace.rate(n - 1)).abs() < 1e-12 {
                let shown = (now - before) / 0.08;
                assert!((shown / pace.rate(n) - 1.0).abs() < 1e-9, "{n}: {shown}");
            }
            if (enters..full).contains(&now) {
                rates.push(pace.rate(n));
            }
            // What the clock shows is that time; the last frame has the verdict in its place.
            let [clock, counts, _] = film.frame(n).clock;
            if n + 1 < frames {
                let shown: f64 = clock.trim_end_matches("\u{a0}ms").parse().expect("milliseconds");
                assert!((shown - 1e3 * now.abs()).abs() <= 0.051, "{n}: {clock}, {now}");
                assert_eq!(counts.contains("before"), now < 0.0, "{n}: {counts}");
            } else {
                assert_eq!(clock, "Set the latch");
            }
        }
        assert!(rates.len() >= frames / 3, "{}", rates.len());
        assert!(rates.iter().all(|rate| (rate / rates[0] - 1.0).abs() < 1e-12), "{rates:?}");
        // From the rest before the metal comes in, over a whole turn of 5 s.
        let (start, end) = pace.span();
        assert!((pace.time(0) - start).abs() < 1e-12 && (pace.time(frames - 1) - end).abs() < 1e-12);
        assert!((end - start - 5.0).abs() < 1e-9, "{start} {end}");
    }
}

/// A limit later than the stopwatches go stands at their end with an arrow, and nowhere else is there one.
#[test]
fn program_a_limit_past_the_end_of_the_stopwatches_points_beyond_it() {
    for (name, beyond) in [("large_initials.toml", false), ("small_type.toml", true)] {
        let text = std::fs::read_to_string(super::scenario(name)).expect("a scenario");
        let scenario = read(name, &text, &[]).expect("good");
        let machine = stated::machine(&scenario);
        let judged =
            judge_traced(&machine, stated::cast(&scenario), &stated::terms(&scenario)).expect("a machine");
        let film = Film::new(&machine, &judged, 12, &OwnerUnits::of(&scenario)).expect("a good machine");
        let frame = film.frame(6);
        assert_eq!(frame.limit.at > frame.scale, beyond, "{name}");
        let laid = latchstroke_plots::layout(&frame, &Theme::light()).expect("room");
        let told: Vec<&str> = laid
            .texts
            .iter()
            .map(|text| text.text.as_str())
            .filter(|text| text.contains("allowed"))
            .collect();
        assert_eq!(told.len(), 3, "{name}: {told:?}");
        assert!(told.iter().all(|text| text.ends_with('→') == beyond), "{name}: {told:?}");
    }
}

#[test]
fn program_film_and_stills_are_the_same_each_time_and_never_over_others() {
    let folder = tempfile::tempdir().expect("a folder");
    let make = |name: &str| {
        let out = folder.path().join(name);
        let path = out.to_str().expect("a plain path").to_owned();
        let asked = [
            "film", "--frames", "12", "--stills", "--dark", "--body", "24pt", "--pace", "30", "--out", &path,
        ];
        let (code, said, err) = run(&asked);
        // At this pace the type is not solid as the mould opens: drawn all the same, and said.
        assert_eq!(code, 1, "{err}");
        assert!(said.starts_with("24 pt at 30 turns/min: neither will do; solid in time decides"), "{said}");
        assert!(!err.contains("no room"), "{err}");
        assert_eq!(run(&asked).0, 2, "written over");
        out
    };
    let (first, second) = (make("first"), make("second"));
    let mut names: Vec<String> = std::fs::read_dir(&first)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    for name in &names {
        assert_eq!(file(&first, name), file(&second, name), "{name}");
    }
    // Scenario, two films, the named machine twice, and eight moments twice.
    assert_eq!(names.len(), 1 + 2 + 2 + 16, "{names:?}");
    let page = String::from_utf8(file(&first, "film.html")).expect("text");
    assert!(!page.contains("http:") && !page.contains("https:"), "the page names an address");
    assert!(page.contains("prefers-reduced-motion") && page.contains("type=\"range\""));
    let svg = String::from_utf8(file(&first, "mechanism.svg")).expect("text");
    assert!(svg.contains("<svg") && !svg.contains("<text"), "text is not outlines");
    for name in ["mechanism.png", "still-1-at-rest.png", "still-6-both-full.png", "still-8-result.png"] {
        assert!(file(&first, name).starts_with(b"\x89PNG"), "{name}");
    }
    let scenario = String::from_utf8(file(&first, "scenario.toml")).expect("text");
    assert!(scenario.contains("24 pt"), "{scenario}");
}

#[test]
fn program_a_latch_that_never_lets_go_and_a_bare_scenario_are_drawn_too() {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, expected) in [("wrong_sleeve.toml", 1), ("small_type.toml", 0)] {
        let file = super::scenario(name);
        let out = folder.path().join(name);
        let (code, said, err) = run(&[
            "film",
            file.to_str().expect("a plain path"),
            "--frames",
            "12",
            "--stills",
            "--out",
            out.to_str().expect("a plain path"),
        ]);
        assert_eq!(code, expected, "{name}: {err}");
        // Only a latch that lets go has a picture of it.
        let stills =
            std::fs::read_dir(&out).expect("a folder").map(|entry| entry.expect("an entry").file_name());
        let let_go = stills.filter(|name| name.to_string_lossy().contains("let-go")).count();
        assert_eq!(let_go, if expected == 0 { 2 } else { 0 }, "{name}");
        assert!(said.contains("frames") && !err.contains("no room"), "{name}: {err}");
    }
}

/// For a page the stills are finer; what moves stays that for a screen, here as in a talk.
#[test]
fn program_stills_for_a_page_are_finer_and_the_film_is_the_same() {
    let folder = tempfile::tempdir().expect("a folder");
    let made = |name: &str, options: &[&str]| {
        let out = folder.path().join(name);
        let path = out.to_str().expect("a plain path").to_owned();
        let (code, _, err) =
            run(&[&["film", "--frames", "12", "--stills", "--out", &path], options].concat());
        assert_eq!(code, 0, "{err}");
        out
    };
    let (screen, print) = (made("screen", &[]), made("print", &["--size", "print"]));
    let width = |folder: &Path, name: &str| {
        let coded = std::io::Cursor::new(file(folder, name));
        png::Decoder::new(coded).read_info().expect("a readable PNG").info().width
    };
    for name in ["mechanism.png", "still-1-at-rest.png", "still-8-result.png"] {
        assert_eq!((width(&screen, name), width(&print, name)), (1920, 2400), "{name}");
    }
    for name in ["film.gif", "film.html"] {
        assert_eq!(file(&screen, name), file(&print, name), "{name}");
    }
}

#[test]
fn program_bad_film_options_are_refused() {
    for arguments in
        [&["--frames", "5"][..], &["--frames", "1000"], &["--body", "14pt,18pt"], &["--pace", "0"]]
    {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path().join("none");
        let (code, said, err) = run(&[&["film", "--out", out.to_str().expect("a path")], arguments].concat());
        assert_eq!((code, said.as_str()), (2, ""), "{arguments:?}");
        assert!(!err.is_empty() && !out.exists());
    }
    assert_eq!(run(&["film"]).0, 2);
}
