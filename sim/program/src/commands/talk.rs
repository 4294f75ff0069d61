//! `latchstroke talk`: one folder, ready to show.

use super::args::TalkOptions;
use super::open::Opened;
use super::progress::Progress;
use super::{Failure, Outcome, answers, both, doubts, film, lists, say, sleeve};
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::pace::Fineness;
use latchstroke_core::studies::preload::Nut;
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::sleeve::Window;
use latchstroke_core::studies::talk::{Ended, Question, study};
use latchstroke_core::studies::watch::{Unwatched, Watch};
use latchstroke_models::mould::Sort;
use latchstroke_plots::{DeckPage, Theme, deck};
use latchstroke_report::film::Film;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::preload::advances;
use latchstroke_report::sleeve::lengths;
use latchstroke_report::talk::{self as words, Drawn, Slide, Told};
use latchstroke_scenario::Scenario;
use latchstroke_scenario::key;
use latchstroke_scenario::stated::Compared;

/// Speeds are shown from this part of the cast's own pace, and without faster paces in the scenario's list to this multiple of it.
const AROUND: (f64, f64) = (0.5, 2.0);

/// Frames of the film.
const FRAMES: usize = 120;

/// Sizes closer than this share are one.
const SAME: f64 = 1e-9;

/// Runs the command.
///
/// # Errors
/// Bad input, a folder that cannot be written, or that the work was called off; nothing is then left half-written.
pub fn run(options: &TalkOptions) -> Result<Outcome, Failure> {
    let asked = &options.asked.sizes;
    let opened = Opened::new(&asked.scenario)?;
    let bodies = asked.body.as_deref().map(|text| lists::sizes(text, opened.units.body)).transpose();
    let (bodies, pace) = both(bodies, opened.pace(options.asked.pace.as_deref()))?;
    let at = opened.cast_at(pace);
    let shown = bodies.and_then(|bodies| bodies.first().copied());
    let opened = opened.casting(shown, None, &asked.scenario);
    let pace = at.pace(&opened.machine, opened.cast.sort).map_err(|faults| opened.faulty(faults))?;
    let opened = opened.casting(None, Some(pace), &asked.scenario);
    let Opened { scenario, units, machine, terms, cast, .. } = &opened;
    let sorts = sorts(&opened, asked.body.as_deref())?;

    let (reserve, reserve_stated) = sleeve::reserve(scenario);
    let question = Question {
        stated: machine,
        cast: *cast,
        sorts: &sorts,
        paces: paces(&opened),
        terms: *terms,
        at,
        tolerance: reserve,
        advances: &|nut: &Nut| advances(nut, units.force),
        lengths: &|window: &Window| lengths(units.rod, window.shortest, window.longest),
        fineness: Fineness::DRAWN,
    };
    let progress = Progress::start("turning", question.turns());
    let talk = study(&question, &progress);
    let talk = match talk {
        Ok(talk) => talk,
        Err(ended) => {
            progress.finish();
            return Err(match ended {
                Ended::Faults(faults) => opened.faulty(faults),
                Ended::CalledOff => Failure::CalledOff,
            });
        }
    };
    let faulty = |faults| opened.faulty(faults);
    let casts: Vec<Cast> = talk.sizes.iter().map(|judgement| judgement.cast).collect();
    let pacing = at.asked.map_or(Pacing::Real { fastest: at.fastest }, |_| Pacing::Fixed);
    let doubts = doubts::about(scenario, machine, (&casts, pacing), &Unwatched).map_err(faulty)?;
    let film = Film::new(machine, &talk.judgement, FRAMES, units).map_err(faulty)?;
    let source = format!("latchstroke, a solved turn of {}", scenario.machine_name());
    let schematic = film.schematic(scenario, units, &source);
    let told = Told {
        machine: scenario.machine_name(),
        talk: &talk,
        schematic: &schematic,
        film: &film,
        doubts: &doubts,
        acceptance: terms.acceptance,
        from_reference: machine.abutment.bare_gap.is_some(),
        reserve_stated,
        units: *units,
    };
    let slides = words::slides(&told);
    let theme = options.look.theme();
    progress.next("drawing", slides.len() as u64);
    let drawn = words::draw(&slides, &theme, &progress);
    let drawn = drawn?.ok_or(Failure::CalledOff)?;
    // What moves is never printed.
    let moving = moving(&told, &answers::theme(options.look.dark), &progress);
    progress.finish();
    let outbox = folder(scenario, &told, &slides, (&drawn, moving?.as_deref()), &theme)?;
    if progress.called_off() {
        return Err(Failure::CalledOff);
    }
    let omitted = drawn
        .iter()
        .flat_map(|picture| picture.omitted.iter().map(|label| format!("{}: {label}", picture.name)));
    answers::send(&outbox, &options.folder.out, options.folder.force, &omitted.collect::<Vec<_>>())?;
    say(&words::spoken(&told, &slides))?;
    // As the judge has it: of the sizes asked, and not of the cast shown in full where that is none of them.
    let asked = opened.sorts(asked.body.as_deref())?;
    let same = |sort: &Sort, other: &Sort| (sort.body.0 / other.body.0 - 1.0).abs() <= SAME;
    Ok(Outcome::of(talk.sizes.iter().filter(|size| asked.iter().any(|sort| same(sort, &size.cast.sort)))))
}

/// The page of the film; none where the turns were not solved to their end.
fn moving(told: &Told<'_>, theme: &Theme, progress: &Progress) -> Result<Option<String>, Failure> {
    if !told.is_solved() {
        return Ok(None);
    }
    progress.next("drawing the film", FRAMES as u64);
    let reel = film::reel(told.film, theme, progress)?.ok_or(Failure::CalledOff)?;
    let title = format!("{}: latch aside and latch set", told.machine);
    Ok(Some(film::page(told.film, &reel, &title, theme)))
}

/// The sizes to show, that of the cast among them.
fn sorts(opened: &Opened, asked: Option<&str>) -> Result<Vec<Sort>, Failure> {
    let mut sorts = opened.sorts(asked)?;
    let own = opened.cast.sort;
    // The same body but for rounding is the cast's own.
    sorts.retain(|sort| (sort.body.0 / own.body.0 - 1.0).abs() > SAME);
    sorts.push(own);
    Ok(sorts)
}

/// Slowest and fastest pace to show, turns/s.
fn paces(opened: &Opened) -> (f64, f64) {
    let own = opened.cast.pace.0;
    let listed = opened.scenario.list(key!(Compared, paces)).iter().map(|pace| pace.si);
    let (low, high) = listed.fold((own, own), |(low, high), pace| (low.min(pace), high.max(pace)));
    (low.min(AROUND.0 * own), if high > own { high } else { AROUND.1 * own })
}

/// Every file of the folder.
fn folder(
    scenario: &Scenario,
    told: &Told<'_>,
    slides: &[Slide<'_>],
    (drawn, moving): (&[Drawn], Option<&str>),
    theme: &Theme,
) -> Result<Outbox, Failure> {
    let mut outbox = answers::outbox(scenario);
    for picture in drawn {
        outbox.add(format!("{}.png", picture.name), picture.png.clone());
        outbox.add(format!("{}.svg", picture.name), picture.svg.clone());
    }
    let pages: Vec<DeckPage<'_>> = slides
        .iter()
        .map(|slide| DeckPage { title: &slide.headline, picture: slide.picture.as_ref() })
        .collect();
    let pdf = deck(&format!("{}: is the pump latch needed?", told.machine), &pages, theme);
    outbox.add("talk.pdf", pdf?);
    outbox.add("talk.html", words::html(told, slides, drawn, moving, theme));
    if let Some(moving) = moving {
        outbox.add("film.html", moving);
    }
    outbox.add("notes.md", words::notes(told, slides));
    outbox.add("contents.md", words::contents(told, slides));
    Ok(outbox)
}
