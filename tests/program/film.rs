//! `latchstroke film`: the pictures as a reader of them sees them, held against the solved turns.

use super::run;
use latchstroke_core::studies::judge::judge_traced;
use latchstroke_plots::Theme;
use latchstroke_plots::mechanism::Tints;
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
    let crown = Tints::of(&Theme::light()).crown.rgb;
    let last = (0..MACHINES_END).rev().find(|y| screen[y * 1280 + column] == crown)?;
    Some(last as f64 + 1.0)
}

fn file(folder: &Path, name: &str) -> Vec<u8> {
    std::fs::read(folder.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

#[test]
fn program_the_film_shows_the_piston_where_the_solution_has_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("film");
    let path = out.to_str().expect("a plain path");
    let (code, said, err) = run(&["film", "--out", path]);
    assert_eq!(code, 0, "{err}");
    assert!(said.contains("latch lets go") && said.contains("of real speed"), "{said}");
    assert!(!err.contains("no room"), "{err}");

    let scenario = demo();
    let machine = stated::machine(&scenario);
    let judged =
        judge_traced(&machine, stated::cast(&scenario), &stated::terms(&scenario)).expect("a good machine");
    let film = Film::new(&machine, &judged, 180, &OwnerUnits::of(&scenario)).expect("a good machine");
    let turns = [&judged.aside, &judged.set];
    let places = [0, 1].map(|side| film.frame(0).place(side));

    let bytes = file(&out, "film.gif");
    assert!(bytes.len() < 10_000_000, "{} bytes", bytes.len());
    let mut at_rest = [0.0; 2];
    let mut greatest = [0.0_f64; 2];
    let (count, hundredths) = watch(&bytes, |n, screen| {
        let time = film.pace().time(n);
        for side in 0..2 {
            let (x, _) = places[side].px(film.mechanism().piston_face(0.0));
            // Beside the channel's middle, inside the piston.
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "rounded, and on the screen"
            )]
            let column = (SCALE * (x - 0.3 * 17.5 * places[side].scale)).round() as usize;
            let seen = face(screen, column).unwrap_or_else(|| panic!("no piston in frame {n}"));
            if n == 0 {
                at_rest[side] = seen;
            }
            let solved = turns[side].trace.windows(2).find(|pair| pair[1].time >= time).map_or(0.0, |pair| {
                let share = (time - pair[0].time) / (pair[1].time - pair[0].time).max(1e-12);
                pair[0].piston_travel + share * (pair[1].piston_travel - pair[0].piston_travel)
            });
            let expected = SCALE * places[side].scale * 1e3 * solved;
            // Half a pixel for the edge in this frame, half for that at rest, and half for a blended edge.
            assert!((seen - at_rest[side] - expected).abs() < 1.5, "{n}, {side}: {seen} {expected}");
            greatest[side] = greatest[side].max(seen - at_rest[side]);
        }
    });
    assert_eq!((count, hundredths), (180, 180 * 8));
    // The film would prove little if the piston hardly moved.
    assert!(greatest.iter().all(|travel| *travel > 25.0), "{greatest:?}");
}

#[test]
fn program_the_films_time_never_runs_back_and_is_slowest_at_the_throw() {
    let scenario = demo();
    let machine = stated::machine(&scenario);
    let judged =
        judge_traced(&machine, stated::cast(&scenario), &stated::terms(&scenario)).expect("a good machine");
    let film = Film::new(&machine, &judged, 180, &OwnerUnits::of(&scenario)).expect("a good machine");
    let pace = film.pace();
    let throw = judged.set.throw.expect("a throw");
    // The mould is full on the springs alone, before the rod has caught up with the cross block.
    let thrown = throw.caught_up.expect("a strike").min(judged.set.fill.expect("a cast").full);
    assert!((0..180).filter(|&n| (throw.time..thrown).contains(&pace.time(n))).count() >= 40);
    let slowest = (0..180).map(|n| pace.rate(n)).fold(f64::INFINITY, f64::min);
    for n in 1..180 {
        let (before, now) = (pace.time(n - 1), pace.time(n));
        assert!(now > before, "{n}");
        // Within a stretch the clock moves by what the film says it does.
        if (pace.rate(n) - pace.rate(n - 1)).abs() < 1e-12 {
            let shown = (now - before) / 0.08;
            assert!((shown / pace.rate(n) - 1.0).abs() < 1e-9, "{n}: {shown}");
        }
        if before > throw.time && now < thrown {
            assert!((pace.rate(n) / slowest - 1.0).abs() < 1e-12, "{n}");
        }
    }
    assert!(pace.time(0).abs() < 1e-12);
    // 12 turns/min: a turn of 5 s; the last frame is less than a tenth before its end.
    assert!((4.5..5.0).contains(&pace.time(179)), "{}", pace.time(179));
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
    // Scenario, two films, the named machine twice, and six moments twice.
    assert_eq!(names.len(), 1 + 2 + 2 + 12, "{names:?}");
    let page = String::from_utf8(file(&first, "film.html")).expect("text");
    assert!(!page.contains("http:") && !page.contains("https:"), "the page names an address");
    assert!(page.contains("prefers-reduced-motion") && page.contains("type=\"range\""));
    let svg = String::from_utf8(file(&first, "mechanism.svg")).expect("text");
    assert!(svg.contains("<svg") && !svg.contains("<text"), "text is not outlines");
    for name in ["mechanism.png", "still-1-at-rest.png", "still-6-freezing.png"] {
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
            "--out",
            out.to_str().expect("a plain path"),
        ]);
        assert_eq!(code, expected, "{name}: {err}");
        assert!(said.contains("frames") && !err.contains("no room"), "{name}: {err}");
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
