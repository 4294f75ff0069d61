//! Values from the command line.

use approx::assert_relative_eq;

use super::super::mistakes::Location;
use super::{LARGE_INITIALS, SMALL_TYPE, attempt, good_with, mistakes};

#[test]
fn an_override_takes_the_place_of_the_files_value() {
    let scenario = good_with(LARGE_INITIALS, &["cam.lift=32 mm", " job.pace = 60 rpm "]);
    assert_relative_eq!(scenario.quantity("cam.lift").map_or(0.0, |q| q.si), 0.032, max_relative = 1e-12);
    assert_relative_eq!(scenario.quantity("job.pace").map_or(0.0, |q| q.si), 1.0, max_relative = 1e-12);
}

#[test]
fn an_override_displaces_the_other_way_of_stating_the_same() {
    let scenario = good_with(LARGE_INITIALS, &["latch.trip_lift=12 mm", "spring[1].rate=9 N/mm"]);
    assert!(scenario.quantity("latch.prong_travel").is_none());
    assert!(scenario.quantity("stack.bare_clearance").is_none());
    assert!(scenario.item("spring[1].active_coils").is_none());
    let stated = good_with(SMALL_TYPE, &["mould.wall_temperature=60 degC"]);
    assert!(stated.item("cooling_water.flow").is_none());
    assert!(stated.item("cooling_water.mould_specific_heat").is_none());
    let water = ["flow=1 l/min", "inlet_temperature=15 degC", "conductance=40 W/K", "mould_mass=3 kg"]
        .map(|value| format!("cooling_water.{value}"));
    let cooled = good_with(LARGE_INITIALS, &water.each_ref().map(String::as_str));
    assert!(cooled.item("mould.wall_temperature").is_none());
    let vent = good_with(LARGE_INITIALS, &["mould.vent_area=0.3 mm2"]);
    assert!(vent.item("mould.vent_gap").is_none());
    assert!(vent.item("mould.vent_width").is_none());
}

#[test]
fn an_override_may_give_what_the_file_lacks() {
    let without = SMALL_TYPE.replace("pace = \"100 turns/min\"\n", "");
    assert_eq!(mistakes(&without, &[]).len(), 1);
    good_with(&without, &["job.pace=90 turns/min"]);
}

#[test]
fn faulty_overrides_are_mistakes_at_their_own_place() {
    for (text, message) in [
        ("cam.lfit=3 mm", "--set cam.lfit=3 mm: [cam] has no key `lfit`; did you mean `lift`?"),
        ("cams.lift=3 mm", "--set cams.lift=3 mm: there is no section `cams`; did you mean `cam`?"),
        ("lift=3 mm", "--set lift=3 mm: `lift` names no key of a section; write KEY=VALUE"),
        ("cam.lift", "--set cam.lift: there is no = between key and value; write KEY=VALUE"),
        ("cam.lift=32 mmm", "--set cam.lift=32 mmm: there is no unit `mmm`; did you mean mm?"),
        ("cam.lift=32", "--set cam.lift=32: `32` has no unit; write a length"),
        (
            "spring.rate=9 N/mm",
            "--set spring.rate=9 N/mm: which of the springs is not said; write spring[1] to spring[2]",
        ),
        (
            "spring[3].rate=9 N/mm",
            "--set spring[3].rate=9 N/mm: there is no spring number 3; write spring[1] to spring[2]",
        ),
        (
            "spring[x].rate=9 N/mm",
            "--set spring[x].rate=9 N/mm: `spring[x]` does not number a spring; write KEY=VALUE",
        ),
        ("cam[1].lift=9 mm", "--set cam[1].lift=9 mm: there is only one section [cam]; write cam.lift"),
        ("job.sizes=14 pt, 18 p", "--set job.sizes=14 pt, 18 p: there is no unit `p`; did you mean pt?"),
        (
            "cam.readings=1",
            "--set cam.readings=1: readings cannot be given here; put them in the scenario file",
        ),
        ("metal.solidus=300 degC", "--set metal.solidus=300 degC: `solidus` is 300 degC, above `liquidus`"),
    ] {
        let found = mistakes(SMALL_TYPE, &[text]);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].starts_with(message), "{found:?}\nwanted {message}");
    }
}

#[test]
fn a_faulty_override_is_underlined_at_its_fault() {
    let found = attempt(SMALL_TYPE, &["job.sizes = 14 pt, 18 p"]).err();
    let location = found.and_then(|mistakes| mistakes.list().first().map(|m| m.location.clone()));
    let expected = Location::Override { text: "job.sizes = 14 pt, 18 p".to_owned(), span: 22..23 };
    assert_eq!(location, Some(expected));
}
