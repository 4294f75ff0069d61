//! `latchstroke talk`: one folder, ready to show.

use super::args::TalkOptions;
use super::progress::Progress;
use super::{Failure, Outcome, judge, lists, open, pictures, say, sleeve};
use latchstroke_core::studies::preload::Nut;
use latchstroke_core::studies::sleeve::Window;
use latchstroke_core::studies::talk::{Ended, Question, study};
use latchstroke_core::studies::watch::Watch;
use latchstroke_models::mould::Sort;
use latchstroke_plots::{DeckPage, Theme, deck};
use latchstroke_report::film::Film;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::owner::OwnerUnits;
use latchstroke_report::preload::advances;
use latchstroke_report::sleeve::lengths;
use latchstroke_report::talk::{self as words, Drawn, Slide, Told};
use latchstroke_scenario::Scenario;
use latchstroke_scenario::stated;

/// Without a list of paces, speeds are shown from this part of the cast's own pace to this multiple of it.
const AROUND: (f64, f64) = (0.5, 2.0);

/// Frames of the film from which the picture of the machine is taken.
const FRAMES: usize = 180;

/// Sizes closer than this share are one.
const SAME: f64 = 1e-9;

/// Runs the command.
///
/// # Errors
/// Bad input, a folder that cannot be written, or that the work was called off; nothing is then left half-written.
pub fn run(options: &TalkOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let units = open::units(&options.scenario, &scenario);
    let length = open::rod_unit(&options.scenario, &scenario);
    let asked = options.body.as_deref().map(|text| lists::sizes(text, units.body)).transpose()?;
    let at = open::cast_at(&scenario, lists::one_pace(options.pace.as_deref(), &units)?);
    let shown = asked.as_ref().and_then(|sizes| sizes.first().copied());
    let scenario = open::with_cast(scenario, shown, None);
    let sorts = sorts(&scenario, options.body.as_deref(), &units)?;
    let pace = at.pace(&stated::machine(&scenario), stated::cast(&scenario).sort);
    let pace = pace.map_err(|faults| open::as_mistakes(&scenario, faults))?;
    let scenario = open::with_cast(scenario, None, Some(pace));

    let machine = stated::machine(&scenario);
    let (reserve, reserve_stated) = sleeve::reserve(&scenario);
    let question = Question {
        stated: &machine,
        cast: stated::cast(&scenario),
        sorts: &sorts,
        paces: paces(&scenario),
        terms: stated::terms(&scenario),
        at,
        tolerance: reserve,
        advances: &|nut: &Nut| advances(nut, units.force),
        lengths: &|window: &Window| lengths(length, window.shortest, window.longest),
    };
    let progress = Progress::start("turning", question.turns())?;
    let talk = study(&question, &progress);
    let talk = match talk {
        Ok(talk) => talk,
        Err(ended) => {
            progress.finish();
            return Err(match ended {
                Ended::Faults(faults) => open::as_mistakes(&scenario, faults),
                Ended::CalledOff => called_off(),
            });
        }
    };
    let film = Film::new(&machine, &talk.judgement, FRAMES, &units)
        .map_err(|faults| open::as_mistakes(&scenario, faults))?;
    let source = format!("latchstroke, a solved turn of {}", scenario.machine_name());
    let schematic = film.schematic(&scenario, &units, &source);
    let told = Told {
        machine: scenario.machine_name(),
        talk: &talk,
        schematic: &schematic,
        acceptance: question.terms.acceptance,
        from_reference: machine.abutment.bare_gap.is_some(),
        reserve_stated,
        length,
        units,
    };
    let slides = words::slides(&told);
    let theme = pictures::theme(options.dark, options.size);
    progress.next("drawing", slides.len() as u64);
    let drawn = words::draw(&slides, &theme, &progress);
    progress.finish();
    let drawn = drawn.map_err(|error| Failure::Plain(error.to_string()))?.ok_or_else(called_off)?;
    let outbox = folder(&scenario, &told, &slides, &drawn, &theme)?;
    if progress.called_off() {
        return Err(called_off());
    }
    outbox.send(&options.out, options.force)?;
    for picture in &drawn {
        for label in &picture.omitted {
            eprintln!("latchstroke: no room in {} for {label}", picture.name);
        }
    }
    eprintln!("Wrote {} files into {}.", outbox.names().count(), options.out.display());
    say(&words::spoken(&told, &slides))?;
    Ok(Outcome::of([&talk.judgement]))
}

fn called_off() -> Failure {
    Failure::Plain("called off; nothing was written".to_owned())
}

/// The sizes to show, that of the cast among them.
fn sorts(scenario: &Scenario, asked: Option<&str>, units: &OwnerUnits) -> Result<Vec<Sort>, Failure> {
    let mut sorts = judge::sorts(scenario, asked, units)?;
    let own = stated::cast(scenario).sort;
    // The same body but for rounding is the cast's own.
    sorts.retain(|sort| (sort.body.0 / own.body.0 - 1.0).abs() > SAME);
    sorts.push(own);
    Ok(sorts)
}

/// Slowest and fastest pace to show, turns/s.
fn paces(scenario: &Scenario) -> (f64, f64) {
    let own = stated::cast(scenario).pace.0;
    let listed = scenario.list("job.paces").iter().map(|pace| pace.si);
    let (low, high) = listed.fold((own, own), |(low, high), pace| (low.min(pace), high.max(pace)));
    if high > low { (low, high) } else { (AROUND.0 * own, AROUND.1 * own) }
}

/// Every file of the folder.
fn folder(
    scenario: &Scenario,
    told: &Told<'_>,
    slides: &[Slide<'_>],
    drawn: &[Drawn],
    theme: &Theme,
) -> Result<Outbox, Failure> {
    let mut outbox = Outbox::default();
    for picture in drawn {
        outbox.add(format!("{}.png", picture.name), picture.png.clone());
        outbox.add(format!("{}.svg", picture.name), picture.svg.clone());
    }
    let pages: Vec<DeckPage<'_>> = slides
        .iter()
        .map(|slide| DeckPage { title: &slide.headline, picture: slide.picture.as_ref() })
        .collect();
    let pdf = deck(&format!("{}: is the pump latch needed?", told.machine), &pages, theme);
    outbox.add("talk.pdf", pdf.map_err(|error| Failure::Plain(error.to_string()))?);
    outbox.add("talk.html", words::html(told, slides, drawn, theme));
    outbox.add("notes.md", words::notes(told, slides));
    outbox.add("contents.md", words::contents(told, slides));
    outbox.add("scenario.toml", scenario.resolved_toml());
    Ok(outbox)
}
