//! Fifty talks, each headline, note and label held against the numbers of the study that it came from.

use super::super::{measured, scenario};
use super::figures::{Numbers, SETTINGS, figures};
use super::told::{Asked, tell};
use latchstroke_core::limits::{Does, Limit};
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::judge::{Judgement, Verdict};
use latchstroke_core::studies::sleeve::{Answer, Refusal, Step};
use latchstroke_core::turn::Accuracy;
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::Theme;
use latchstroke_report::owner::System;
use latchstroke_report::talk::{Slide, Told, left_out, slides};
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Mutex;

/// Machines drawn for how sure it is: few, since only the words about them are looked at.
const DRAWS: usize = 4;
/// The pictures that every talk has.
const ALWAYS: [&str; 6] = ["question", "machine", "answer", "size-pace-map", "how-sure", "changes"];

/// A job: its scenario, what is put in, bodies in points, and a pace in turns/min.
type Job = (PathBuf, &'static [&'static str], &'static [f64], Option<f64>);

/// Every verdict, one size and eight, small type and large, and machines that cannot work.
fn jobs() -> Vec<Job> {
    let of = |name: &'static str| {
        move |job: (&'static [&'static str], &'static [f64], Option<f64>)| {
            (scenario(name), job.0, job.1, job.2)
        }
    };
    let large: [(&[&str], &[f64], Option<f64>); 33] = [
        (&[], &[24.0, 14.0], None),
        (&[], &[24.0], Some(12.0)),
        (&[], &[24.0], Some(20.0)),
        (&[], &[16.0], Some(30.0)),
        (&[], &[72.0], Some(4.0)),
        (&[], &[14.0], Some(20.0)),
        (&[], &[30.0], None),
        (&[], &[36.0], None),
        (&[], &[5.0], None),
        (&[], &[72.0], None),
        (&[], &[24.0, 10.0, 12.0, 14.0, 18.0, 30.0, 36.0, 48.0], None),
        (&[], &[18.0], Some(6.0)),
        (&[], &[14.0, 18.0, 24.0], Some(14.0)),
        (&["latch.prong_travel=31 mm"], &[24.0], Some(12.0)),
        (&["stack.sleeve=3 in"], &[14.0], Some(20.0)),
        (&["stack.sleeve=3 in"], &[24.0], None),
        (&["stack.sleeve=2 in", "stack.extension=2 in"], &[24.0], None),
        (&["mould.hold_down=300 N"], &[24.0], None),
        (&["mould.hold_down=20 N"], &[18.0], None),
        (&["metal.pot_temperature=285 degC"], &[24.0], None),
        (&["metal.pot_temperature=420 degC"], &[24.0], None),
        (&["mould.heat_transfer=60 kW/m2K"], &[24.0], None),
        (&["mould.heat_transfer=2 kW/m2K"], &[30.0], None),
        (&["job.accepted_skin=0.02 mm"], &[24.0], None),
        (&["job.accepted_skin=3 mm"], &[24.0], Some(10.0)),
        (&["nozzle.bore=1 mm"], &[18.0], None),
        (&["nozzle.bore=5 mm"], &[24.0], None),
        (&["piston.clearance=0.2 mm"], &[24.0], None),
        (&["cam.lift=9 mm"], &[18.0], None),
        (&["cam.lift=15 mm"], &[24.0], None),
        (&["spring[1].allowable_stress=300 MPa"], &[24.0], None),
        (&["stack.bare_gap=5 3/4 in"], &[24.0], None),
        (&["mould.vent_gap=0.002 mm"], &[30.0], None),
    ];
    let small: [(&[&str], &[f64], Option<f64>); 7] = [
        (&[], &[10.0, 6.0], None),
        (&[], &[5.0], None),
        (&[], &[72.0], None),
        (&[], &[10.0], Some(200.0)),
        (&[], &[10.0], Some(20.0)),
        (&["latch.trip_lift=60 mm"], &[12.0], None),
        (&[], &[36.0], Some(3.0)),
    ];
    let wrong: [(&[&str], &[f64], Option<f64>); 4] =
        [(&[], &[24.0], None), (&[], &[24.0], Some(30.0)), (&[], &[14.0], None), (&[], &[18.0], Some(8.0))];
    let first: [(&[&str], &[f64], Option<f64>); 3] =
        [(&[], &[24.0], None), (&[], &[36.0], None), (&[], &[12.0], Some(60.0))];
    let casts: [(&[&str], &[f64], Option<f64>); 2] = [(&[], &[18.0], None), (&[], &[30.0, 36.0], None)];
    let bench: [(&[&str], &[f64], Option<f64>); 3] =
        [(&[], &[24.0], None), (&[], &[18.0], None), (&[], &[48.0], None)];
    let mut all: Vec<Job> = large.into_iter().map(of("large_initials.toml")).collect();
    all.extend(small.into_iter().map(of("small_type.toml")));
    all.extend(wrong.into_iter().map(of("wrong_sleeve.toml")));
    all.extend(first.into_iter().map(of("first_evening.toml")));
    all.extend(casts.into_iter().map(of("known_casts.toml")));
    all.extend(bench.into_iter().map(|job| (measured(), job.0, job.1, job.2)));
    all
}

#[test]
fn program_talk_states_in_fifty_talks_only_what_its_study_found() {
    let seen: Mutex<BTreeSet<String>> = Mutex::default();
    let wrong: Mutex<Vec<String>> = Mutex::default();
    let drawn = jobs().into_par_iter().enumerate().filter(|(n, (path, overrides, bodies, pace))| {
        let asked = Asked {
            overrides: overrides.iter().map(|text| (*text).to_owned()).collect(),
            bodies: bodies.to_vec(),
            pace: *pace,
            system: [None, Some(System::Metric), Some(System::Inch)][n % 3],
            draws: DRAWS,
            coarse: true,
            accuracy: Accuracy { tolerance: 2e-3, ..Accuracy::default() },
        };
        let job = format!("{path:?} {asked:?}");
        tell(path, &asked, |told, pace| {
            seen.lock().expect("no other failed").insert(format!("{:?}", told.talk.judgement.verdict));
            wrong.lock().expect("no other failed").extend(holds(told, pace, &job));
        })
    });
    let drawn = drawn.count();
    let wrong = wrong.into_inner().expect("none failed");
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
    assert!(drawn >= 50, "{drawn} talks");
    let seen = seen.into_inner().expect("none failed");
    for verdict in ["LeaveAside", "Set", "Neither"] {
        assert!(seen.contains(verdict), "{seen:?}");
    }
}

/// Turns that cannot be solved so that they can be trusted: no verdict, no advice, and nothing that would be drawn of them.
#[test]
fn program_talk_advises_nothing_where_a_turn_could_not_be_solved() {
    let accuracy = Accuracy { tolerance: 0.0, ..Accuracy::default() };
    let asked = Asked { bodies: vec![24.0], draws: DRAWS, coarse: true, accuracy, ..Asked::default() };
    let drawn = tell(&scenario("large_initials.toml"), &asked, |told, pace| {
        assert_eq!(told.talk.judgement.verdict, Verdict::NotKnown);
        assert_eq!(holds(told, pace, "untrusted"), Vec::<String>::new());
        let all = slides(told);
        let said: Vec<&str> = all.iter().map(|slide| slide.headline.as_str()).collect();
        assert!(said.iter().any(|headline| headline.starts_with("No verdict")), "{said:?}");
        assert!(all.iter().all(|slide| !["latch", "skin", "piston-speed"].contains(&slide.stem)), "{said:?}");
    });
    assert!(drawn);
}

/// Holds one talk against its numbers; all that is wrong is told at once.
fn holds(told: &Told<'_>, pace: &dyn Fn(f64) -> f64, job: &str) -> Vec<String> {
    let all = slides(told);
    let of = |stem: &str| all.iter().find(|slide| slide.stem == stem);
    let is_whole = || {
        for stem in ALWAYS {
            assert!(of(stem).is_some(), "{stem}: {job}");
        }
        assert_eq!(all.len() + left_out(told).len(), 13, "{job}");
        let answer = all.iter().position(|slide| slide.stem == "answer");
        assert!(
            answer.is_some_and(|place| place <= 2),
            "the answer stands on the third at the latest: {job}"
        );
    };
    let of_the_study = all.iter().map(|slide| caught(|| is_of_its_study(slide, told, job)));
    let mut wrong: Vec<Option<String>> = of_the_study.collect();
    wrong.extend([
        caught(is_whole),
        caught(|| question(of("question"), told, job)),
        caught(|| the_answer(of("answer"), told, job)),
        caught(|| fills(of("fill-times"), told, job)),
        caught(|| skin(of("skin"), told, job)),
        caught(|| latch(of("latch"), told, job)),
        caught(|| speeds(of("piston-speed"), told, job)),
        caught(|| sleeve(of("sleeve"), told, job)),
        caught(|| preload(of("preload"), told, job)),
        caught(|| map(of("size-pace-map"), told, pace, job)),
        caught(|| sure(of("how-sure"), told, job)),
        caught(|| changes(of("changes"), told, job)),
    ]);
    wrong.into_iter().flatten().collect()
}

/// What a check that fails says.
fn caught(check: impl FnOnce()) -> Option<String> {
    let wrong = std::panic::catch_unwind(std::panic::AssertUnwindSafe(check)).err()?;
    let said = wrong.downcast_ref::<String>().cloned();
    Some(said.unwrap_or_else(|| "a check ended without a word".to_owned()))
}

/// Every figure with a unit is a number of the study, and nothing is cut off.
fn is_of_its_study(slide: &Slide<'_>, told: &Told<'_>, job: &str) {
    let numbers = Numbers::of(slide.stem, told);
    let note = &slide.note;
    let questions = note.questions.iter().map(|(_, answer)| answer);
    let mut said: Vec<String> = note.say.iter().chain(questions).chain([&slide.headline]).cloned().collect();
    let laid = latchstroke_plots::layout(slide.picture.as_ref(), &Theme::light()).expect("room");
    // What stands beside the parts of the machine is what the owner stated.
    if !["machine", "latch"].contains(&slide.stem) {
        said.extend(laid.texts.iter().map(|text| text.text.clone()));
    }
    for text in &said {
        assert!(!text.contains("NaN") && !text.contains("inf "), "{}: {text}: {job}", slide.stem);
        for figure in figures(text) {
            assert!(numbers.hold(&figure), "{}: {figure:?} of {text}: {job}", slide.stem);
        }
    }
    assert!(laid.texts.iter().all(|text| !text.text.ends_with('…')), "{}: {job}", slide.stem);
    assert_eq!(laid.omitted, Vec::<String>::new(), "{}: {job}", slide.stem);
}

fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

fn does(judgement: &Judgement, side: LatchSetting) -> Does {
    judgement.standing(side).does()
}

/// The flaw is that of the limit that stands in the way with the latch aside.
fn question(slide: Option<&Slide<'_>>, told: &Told<'_>, job: &str) {
    let slide = slide.expect("a question");
    let own = &told.talk.judgement;
    let cause = own.standing(LatchSetting::Aside).cause().map(|margin| margin.limit);
    let comes_out = match (does(own, LatchSetting::Aside), cause) {
        (Does::Yes, _) => Some("sound"),
        (_, Some(Limit::Filled)) => Some("short"),
        (_, Some(Limit::Lapping)) => Some("lapped"),
        (_, Some(Limit::Skin)) => Some("rounded"),
        (_, Some(Limit::Bulk)) => Some("hollow"),
        (_, Some(Limit::MatrixHeld)) => Some("flashed"),
        (_, Some(Limit::TrappedAir)) => Some("hollow with air"),
        (_, Some(Limit::Solid)) => Some("soft inside"),
        _ => None,
    };
    let laid = latchstroke_plots::layout(slide.picture.as_ref(), &Theme::light()).expect("room");
    let text = laid.texts.iter().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ");
    assert_eq!(text.matches("By the model").count(), usize::from(comes_out.is_some()), "{text}: {job}");
    assert!(slide.headline.contains('?'), "{job}");
    if let Some(word) = comes_out {
        assert!(
            slide.headline.contains(&format!("come out {word}"))
                || slide.headline.contains(&format!("comes out {word}")),
            "{}: {job}",
            slide.headline
        );
        assert!(text.contains(word), "{text}: {job}");
    }
}

/// The sizes named in words such as "14, 18 and 24 pt"; none where they are told by their number.
fn named(text: &str) -> Vec<f64> {
    figures(text).into_iter().filter(|figure| figure.unit == "pt").map(|figure| figure.value).collect()
}

fn bodies<'a>(of: impl Iterator<Item = &'a Judgement>, told: &Told<'_>) -> Vec<f64> {
    of.map(|judgement| told.units.body.from_si(judgement.cast.sort.body.0)).collect()
}

fn are(some: &[f64], others: &[f64]) -> bool {
    some.len() == others.len() && some.iter().zip(others).all(|(a, b)| (a / b - 1.0).abs() < 5e-3)
}

fn the_answer(slide: Option<&Slide<'_>>, told: &Told<'_>, job: &str) {
    let slide = slide.expect("an answer");
    let own = &told.talk.judgement;
    let begins = match own.verdict {
        Verdict::LeaveAside => "Leave the latch aside for",
        Verdict::Set => "Set the latch for",
        Verdict::Neither => "Neither setting of the latch will do for",
        Verdict::NotKnown => "No verdict for",
    };
    assert!(slide.headline.starts_with(begins), "{}: {job}", slide.headline);
    for (verdict, words) in [
        (Verdict::LeaveAside, "leave the latch aside:"),
        (Verdict::Set, "set the latch:"),
        (Verdict::Neither, "neither setting will do:"),
        (Verdict::NotKnown, "not known:"),
    ] {
        let of: Vec<&Judgement> = told.talk.sizes.iter().filter(|size| size.verdict == verdict).collect();
        let row = slide.note.say.iter().find_map(|said| said.split_once(&format!(": {words}")));
        assert_eq!(row.is_some(), !of.is_empty(), "{words} {:?}: {job}", slide.note.say);
        let Some((sizes, rest)) = row else { continue };
        assert!(of.len() > 5 || are(&named(sizes), &bodies(of.iter().copied(), told)), "{sizes}: {job}");
        let Some(side) = verdict.setting() else { continue };
        let ratio = |it: &&Judgement| Some(it.clocks.allowed / it.turn(side).sound_fill_time()?);
        let least = of.iter().filter_map(ratio).fold(f64::INFINITY, f64::min);
        let stated = rest.split_once(" times as fast").and_then(|(before, _)| before.rsplit(' ').next());
        match stated.map(|text| text.parse::<f64>().expect("a ratio")) {
            Some(stated) => assert!(stated <= least && stated > 0.9 * least, "{rest}, {least}: {job}"),
            None => assert!(
                (1.0..1.05).contains(&least) && rest.contains("just in time"),
                "{rest}, {least}: {job}"
            ),
        }
    }
}

fn fills(slide: Option<&Slide<'_>>, told: &Told<'_>, job: &str) {
    let Some(slide) = slide else {
        let fills = |judgement: &Judgement| SETTINGS.iter().any(|side| does(judgement, *side) == Does::Yes);
        assert!(!told.talk.sizes.iter().any(fills), "{job}");
        return;
    };
    let sizes = &told.talk.sizes;
    let headline = plain(&slide.headline);
    if sizes.len() < 2 {
        return;
    }
    let by = |aside: bool, set: bool| {
        let of = sizes.iter().filter(move |it| {
            let does = |side| it.standing(side).does() == Does::Yes;
            does(LatchSetting::Aside) == aside && (aside || does(LatchSetting::Set) == set)
        });
        bodies(of, told)
    };
    let (aside, set, neither) = (by(true, true), by(false, true), by(false, false));
    let all = sizes.len();
    let expected =
        [(&aside, "with the latch aside"), (&set, "with it set"), (&neither, "with neither setting")];
    if aside.len() == all || neither.len() == all {
        let begins =
            if aside.len() == all { format!("All {all} sizes") } else { format!("None of the {all}") };
        assert!(headline.starts_with(&begins), "{headline}: {job}");
        return;
    }
    for (of, words) in expected {
        assert_eq!(
            !of.is_empty(),
            headline.contains(words) && !(of.is_empty() && headline.contains("aside none")),
            "{headline}: {job}"
        );
    }
    // In the order in which they are named.
    let told_in_order: Vec<f64> = [aside, set, neither].concat();
    assert!(all > 5 || are(&named(&headline), &told_in_order), "{headline} {told_in_order:?}: {job}");
}

fn skin(slide: Option<&Slide<'_>>, told: &Told<'_>, job: &str) {
    let Some(slide) = slide else { return };
    let thick = |side| told.talk.judgement.turn(side).fill.and_then(|fill| fill.skin);
    let headline = plain(&slide.headline);
    let stated: Vec<f64> = headline
        .match_indices("skin of ")
        .map(|(at, found)| {
            headline[at + found.len()..].split(' ').next().expect("a figure").parse().expect("a number")
        })
        .collect();
    let expected: Vec<f64> = SETTINGS
        .into_iter()
        .filter_map(thick)
        .filter(|si| *si >= 5e-6)
        .map(|si| told.units.skin.from_si(si))
        .collect();
    assert!(are(&stated, &expected), "{headline} {expected:?}: {job}");
    let never = told.talk.judgement.aside.fill.is_none() && told.talk.judgement.set.fill.is_none();
    assert_eq!(headline.contains("here it freezes before"), never, "{headline}: {job}");
}

fn latch(slide: Option<&Slide<'_>>, told: &Told<'_>, job: &str) {
    let Some(slide) = slide else { return };
    let set = told.talk.judgement.standing(LatchSetting::Set);
    let missed = |limit| set.margin(limit).is_some_and(latchstroke_core::limits::Margin::is_in_the_way);
    let headline = &slide.headline;
    let throws = told.talk.judgement.set.throw.is_some();
    assert_eq!(headline.starts_with("The latch holds the rod while"), throws, "{headline}: {job}");
    assert!(!headline.contains("never lets go") || missed(Limit::LatchTrips), "{headline}: {job}");
    assert!(!headline.contains("never holds") || missed(Limit::LatchHolds), "{headline}: {job}");
}

fn speeds(slide: Option<&Slide<'_>>, told: &Told<'_>, job: &str) {
    let Some(slide) = slide else { return };
    let (paces, own) = (&told.talk.paces, &told.talk.judgement);
    let low = paces.first().expect("a pace");
    let stated: Vec<f64> = figures(&slide.headline).iter().map(|figure| figure.value).collect();
    let units = &told.units;
    let of = |it: &Judgement| {
        [units.speed.from_si(it.aside.peaks.piston_speed), units.pace.from_si(it.cast.pace.0)]
    };
    let expected = if low.cast == own.cast { of(own).to_vec() } else { [of(low), of(own)].concat() };
    assert!(are(&stated[..expected.len()], &expected), "{} {expected:?}: {job}", slide.headline);
    let throws = paces.iter().any(|judgement| judgement.set.throw.is_some());
    assert_eq!(slide.headline.contains("throws it at no pace"), !throws, "{}: {job}", slide.headline);
    // What is not solid as the mould opens is not shown, but the cast's own.
    let solid = told.talk.cooling.map_or(own.cast.pace.0, |cooling| cooling.pace.max(own.cast.pace.0));
    assert!(paces.iter().all(|judgement| judgement.cast.pace.0 <= solid * (1.0 + 1e-9)), "{job}");
}

/// Every size that comes full has its curve and its name, and a fill lies under the one limit where it is in time; below, each length
/// stands as the limit that decides has it, and that limit is the one named.
fn sleeve_chart(answer: &Answer, told: &Told<'_>, job: &str) {
    let units = told.units;
    let acceptance = told.acceptance;
    let chart = latchstroke_report::sleeve::chart(
        &latchstroke_report::sleeve::Told {
            machine: told.machine,
            answer,
            acceptance,
            reserve_stated: told.reserve_stated,
            units,
        },
        "",
    );
    let [fills, decides] = chart.body.panels.as_slice() else { panic!("two panels: {job}") };
    let recommended = answer.recommendation.iter().map(|recommended| &recommended.step);
    let steps: Vec<&Step> = answer.steps.iter().chain(recommended).collect();
    let at = |x: f64| {
        let step = steps.iter().find(|step| (units.rod.from_si(step.sleeve) - x).abs() < 1e-9);
        *step.unwrap_or_else(|| panic!("no length of {x}: {job}"))
    };
    let [limit] = fills.limits.as_slice() else { panic!("one limit: {job}") };
    let full = |n: usize| steps.iter().filter(|step| step.casts[n].turn.sound_fill_time().is_some()).count();
    let all: Vec<usize> = (0..answer.served.len()).filter(|n| full(*n) > 0).collect();
    assert!(fills.series.len() == all.len().min(8), "{:?}: {job}", fills.series.len());
    for series in &fills.series {
        let of = |n: &&usize| {
            let size = plain(&units.size(answer.served[**n].cast.sort.body.0));
            plain(&series.label) == size || plain(&series.label).starts_with(&format!("{size} ("))
        };
        let n = *all.iter().find(of).unwrap_or_else(|| panic!("no size of {}: {job}", series.label));
        for &(x, y) in series.points.iter().filter(|point| point.1.is_finite()) {
            let thrown = &at(x).casts[n];
            let time = thrown.turn.sound_fill_time().expect("a fill where one is drawn");
            assert!((y / limit.value / (time / thrown.allowed) - 1.0).abs() < 0.02, "{x} {y}: {job}");
        }
    }
    for &(x, y) in &decides.series[0].points {
        let (_, margin) = answer.deciding(at(x)).expect("a limit where one is drawn");
        assert!((y - margin.factor).abs() < 1e-12, "{x} {y}: {job}");
    }
    for point in &decides.points {
        let (_, margin) = answer.deciding(at(point.at.0)).expect("a limit");
        assert_eq!(point.label, latchstroke_report::limits::name(margin.limit), "{job}");
    }
}

fn sleeve(slide: Option<&Slide<'_>>, told: &Told<'_>, job: &str) {
    let (Some(slide), Some(answer)) = (slide, &told.talk.sleeve) else { return };
    sleeve_chart(answer, told, job);
    let headline = &slide.headline;
    match &answer.recommendation {
        Ok(recommended) => {
            assert_eq!(headline.starts_with("Keep the sleeve"), recommended.keep, "{headline}: {job}");
            let (low, high) = recommended.window;
            let inside = |length: f64| low + 1e-4 < length && length < high - 1e-4;
            for step in answer.steps.iter().filter(|step| inside(step.sleeve)) {
                assert!(answer.serves_all(step), "{headline} {}: {job}", step.sleeve);
            }
        }
        Err(Refusal::NoOneLength(groups, _)) if groups.is_empty() => {
            assert!(headline.to_lowercase().contains("no length of sleeve will do"), "{headline}: {job}");
            assert!(!answer.steps.iter().any(|step| answer.serves_all(step)), "{headline}: {job}");
        }
        Err(_) => assert!(headline.to_lowercase().contains("no "), "{headline}: {job}"),
    }
}

/// Every setting of the nut inside the range that is stated keeps all limits with the settings of the latch that are named.
fn preload(slide: Option<&Slide<'_>>, told: &Told<'_>, job: &str) {
    let Some(slide) = slide else { return };
    let headline = plain(&slide.headline);
    let answer = &told.talk.preload;
    if answer.reaches.iter().all(Option::is_none) {
        assert!(headline.starts_with("No turn of the adjusting nut helps"), "{headline}: {job}");
        return;
    }
    let sides: &[LatchSetting] = match () {
        () if headline.starts_with("Latch aside or set") => &SETTINGS,
        () if headline.starts_with("With the latch aside") => &SETTINGS[..1],
        () => &SETTINGS[1..],
    };
    let stated = figures(headline.split_once(" at rest").expect("a range").0);
    let (low, high) = match stated.as_slice() {
        [high] => (0.0, high.value),
        [low, high] => (low.value, high.value),
        other => panic!("{other:?} of {headline}: {job}"),
    };
    for setting in &answer.settings {
        let at = told.units.force.from_si(setting.preload);
        if (1.01 * low + 0.01 * high..0.99 * high).contains(&at) {
            for side in sides {
                assert_eq!(does(&setting.judgement, *side), Does::Yes, "{headline} {at}: {job}");
            }
        }
    }
}

/// Sizes within the reach that is stated are cast so at their pace.
fn map(slide: Option<&Slide<'_>>, told: &Told<'_>, pace: &dyn Fn(f64) -> f64, job: &str) {
    let slide = slide.expect("a map");
    let map = &told.talk.map;
    let drawn = latchstroke_report::pace::map::map(map, told.talk.judgement.cast, &told.units, "");
    let style = |words: &str| {
        let category = drawn.body.categories.iter().find(|category| category.label == words);
        category.map(|category| category.style)
    };
    for (row, drawn_row) in map.rows.iter().zip(&drawn.body.rows) {
        for (windows, words) in
            [(&row.aside, "the latch may stand aside"), (&row.set, "the latch must be set")]
        {
            let of = drawn_row.stretches.iter().filter(|stretch| {
                drawn.body.categories.get(stretch.category).is_some_and(|category| category.label == words)
            });
            let froms: Vec<f64> = of.map(|stretch| stretch.from).collect();
            let expected: Vec<f64> =
                windows.iter().map(|window| told.units.pace.from_si(window.from)).collect();
            assert_eq!(froms, expected, "{words} {}: {job}", drawn_row.y);
        }
    }
    // Blue is the latch set and orange the latch aside, here as on every chart.
    assert_eq!(
        (style("the latch must be set"), style("the latch may stand aside")),
        (Some(0), Some(1)),
        "{job}"
    );
    let headline = plain(&slide.headline);
    let Onset::From(from) = map.largest_aside.from else {
        assert!(
            !headline.contains("stand aside up to") || headline.contains("not known"),
            "{headline}: {job}"
        );
        return;
    };
    let stated = named(headline.split_once("up to ").expect("a size").1)[0];
    let body = told.units.body.from_si(from);
    assert!(stated <= body * (1.0 + 1e-9) && stated > 0.98 * body, "{headline}: {job}");
    for row in map.rows.iter().filter(|row| row.sort.body.0 < 0.98 * from) {
        let at = pace(row.sort.body.0);
        let within = |from: f64, to: f64| (0.99 * from..=1.01 * to).contains(&at);
        assert!(row.aside.iter().any(|window| within(window.from, window.to)), "{row:?} {at}: {job}");
    }
}

/// The word and the figure are those of the machines drawn.
fn sure(slide: Option<&Slide<'_>>, told: &Told<'_>, job: &str) {
    let slide = slide.expect("how sure");
    let headline = plain(&slide.headline);
    let Some(odds) = &told.doubts.odds else {
        assert!(headline.starts_with("Every value counts as exact"), "{headline}: {job}");
        return;
    };
    let own = &told.talk.judgement;
    if own.verdict == Verdict::NotKnown {
        assert!(headline.starts_with("No verdict"), "{headline}: {job}");
        return;
    }
    let place = told.talk.sizes.iter().position(|size| size.cast == own.cast).expect("the cast");
    let share = odds.share(place, own.verdict);
    if share.of == 0 {
        return;
    }
    let chance = 100.0 * share.count as f64 / share.of as f64;
    let word = match chance {
        chance if chance >= 95.0 => "Surely",
        chance if chance >= 75.0 => "Fairly sure",
        chance if chance >= 40.0 => "As likely as not",
        chance if chance >= 10.0 => "Rather not",
        _ => "Hardly",
    };
    assert!(headline.starts_with(word), "{headline} {chance}: {job}");
    let figure =
        if chance < 1.0 && share.count > 0 { "under 1".to_owned() } else { format!("{:.0}", chance.floor()) };
    assert!(headline.contains(&format!(" {figure} in 100 ")), "{headline} {chance}: {job}");
}

/// No advice that the judgement does not give.
fn changes(slide: Option<&Slide<'_>>, told: &Told<'_>, job: &str) {
    let slide = slide.expect("what to do");
    let headline = plain(&slide.headline);
    let verdict = told.talk.judgement.verdict;
    assert_eq!(
        headline.contains(": leave the latch aside"),
        verdict == Verdict::LeaveAside,
        "{headline}: {job}"
    );
    assert_eq!(headline.contains(": set the latch"), verdict == Verdict::Set, "{headline}: {job}");
    let recommendation = told.talk.sleeve.as_ref().map(|answer| &answer.recommendation);
    if headline.contains("keep the sleeve") {
        assert!(matches!(recommendation, Some(Ok(recommended)) if recommended.keep), "{headline}: {job}");
    }
    if verdict != Verdict::Neither {
        return;
    }
    let ways_out = told.talk.remedies.iter().filter(|remedy| {
        let flips = [remedy.below, remedy.above];
        flips.into_iter().flatten().any(|flip| flip.verdict.setting().is_some())
    });
    let sleeves = matches!(recommendation, Some(Ok(_) | Err(Refusal::NoOneLength(..))));
    if headline.contains("would do for") {
        let offered = headline.starts_with("A sleeve of") && sleeves || ways_out.count() > 0;
        assert!(offered, "{headline}: {job}");
    } else {
        assert!(headline.starts_with("Neither setting will do"), "{headline}: {job}");
    }
}
