//! Where the text of a talk's pictures stands: straight from the library, since files do not tell.

use super::super::scenario;
use latchstroke_core::studies::real_pace::CastAt;
use latchstroke_core::studies::talk::{Question, study};
use latchstroke_core::studies::watch::Unwatched;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Length;
use latchstroke_plots::{Picture, Theme};
use latchstroke_report::film::Film;
use latchstroke_report::owner::{OwnerUnits, System};
use latchstroke_report::preload::advances;
use latchstroke_report::sleeve::lengths;
use latchstroke_report::talk::{Told, slides};
use latchstroke_scenario::read;
use latchstroke_scenario::stated;

/// The scenarios that ship with the project.
const SCENARIOS: [&str; 3] = ["large_initials.toml", "small_type.toml", "wrong_sleeve.toml"];

#[test]
fn property_talk_text_neither_overlaps_nor_leaves_the_picture() {
    let inch = Some(System::Inch);
    let jobs = SCENARIOS.map(|name| (name, None)).into_iter().chain([(SCENARIOS[0], inch)]);
    for (name, units) in jobs {
        of(name, units, |picture, number| {
            for theme in [Theme::light(), Theme::dark()] {
                let laid = latchstroke_plots::layout(picture, &theme).expect("room");
                assert_eq!(laid.omitted, Vec::<String>::new(), "{name} {number}");
                let (wide, high) = (f64::from(laid.width), f64::from(laid.height));
                for (n, text) in laid.texts.iter().enumerate() {
                    let (right, bottom) = (text.x + text.w, text.y + text.h);
                    let inside = text.x >= 0.0 && text.y >= 0.0 && right <= wide && bottom <= high;
                    assert!(inside, "{name} {number}: {text:?}");
                    assert!(!text.text.ends_with('…'), "{name} {number}: {text:?}");
                    for other in laid.texts.iter().skip(n + 1) {
                        assert!(!text.overlaps(other), "{name} {number}: {text:?} {other:?}");
                    }
                }
            }
        });
    }
}

/// Hands every picture of a scenario's talk with its number to `look`.
fn of(name: &str, system: Option<System>, mut look: impl FnMut(&dyn Picture, usize)) {
    let text = std::fs::read_to_string(scenario(name)).expect("a scenario");
    let scenario = read(name, &text, &[]).expect("a good scenario");
    let units = OwnerUnits::asked(&scenario, system);
    let machine = stated::machine(&scenario);
    let cast = stated::cast(&scenario);
    let mut sorts: Vec<Sort> = scenario
        .list("job.sizes")
        .iter()
        .map(|size| Sort { body: Length(size.si), set: Length(size.si) })
        .collect();
    sorts.push(cast.sort);
    let question = Question {
        stated: &machine,
        cast,
        sorts: &sorts,
        paces: (0.5 * cast.pace.0, 2.0 * cast.pace.0),
        terms: stated::terms(&scenario),
        at: CastAt {
            asked: Some(cast.pace),
            fastest: stated::fastest_pace(&scenario),
            shut: stated::terms(&scenario).shut,
        },
        tolerance: 1e-3,
        advances: &|nut| advances(nut, units.force),
        lengths: &|window| lengths(units.rod, window.shortest, window.longest),
    };
    let talk = study(&question, &Unwatched).expect("a sound machine");
    let film = Film::new(&machine, &talk.judgement, 12, &units).expect("a sound machine");
    let schematic = film.schematic(&scenario, &units, "a solved turn");
    let told = Told {
        machine: scenario.text("machine.name").expect("a name"),
        talk: &talk,
        schematic: &schematic,
        acceptance: question.terms.acceptance,
        from_reference: false,
        reserve_stated: false,
        units,
    };
    for slide in slides(&told) {
        look(slide.picture.as_ref(), slide.number);
    }
}
