//! `latchstroke handout`: two printed pages to take to the machine.

use super::args::HandoutOptions;
use super::open::Opened;
use super::{Failure, Outcome, answers, doubts, lists};
use latchstroke_core::studies::job::Size;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::overview::{Question, overview};
use latchstroke_core::studies::pace::{Fineness, size_map};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::watch::Unwatched;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::units::Pace;
use latchstroke_report::film::Film;
use latchstroke_report::handout::{Answer, write};
use latchstroke_scenario::stated;

/// Frames of the film from which the machine is drawn, of which one is seen.
const FRAMES: usize = 12;
/// More casts than this do not go on two pages.
const MOST_CASTS: usize = 400;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &HandoutOptions) -> Result<Outcome, Failure> {
    let opened = Opened::new(&options.casts.sizes.scenario)?;
    let Opened { scenario, units, machine, terms, cast: own, .. } = &opened;
    let (sorts, asked) = opened.sorts_and_paces(&options.casts)?;
    let paces = asked.clone().unwrap_or_else(|| stated::paces(scenario));
    lists::at_most(sorts.len() * paces.len(), MOST_CASTS, "the handout")?;
    let question = Question {
        stated: machine,
        terms,
        fastest: stated::fastest_pace(scenario),
        sorts: &sorts,
        own: nearest(&sorts, own.sort.body.0, |sort| sort.body.0).unwrap_or(own.sort),
        pace: asked.as_deref().and_then(|paces| nearest(paces, own.pace.0, |pace: &Pace| pace.0)),
        paces: &paces,
    };
    let faulty = |faults| opened.faulty(faults);
    let overview = overview(&question).map_err(faulty)?;
    let cast = overview.own.cast;
    let prepared = Machine::prepare(machine, cast.sort, cast.pace, LatchSetting::Set).map_err(faulty)?;
    let at = opened.cast_at(question.pace);
    let map = size_map(machine, &sorts, (cast, at), *terms, Fineness::SMALL, &Unwatched).map_err(faulty)?;
    let casts: Vec<Cast> =
        overview.answer.sizes.iter().filter_map(Size::told).map(|told| told.cast).collect();
    let pacing = question.pace.map_or(Pacing::Real { fastest: at.fastest }, |_| Pacing::Fixed);
    let doubts = doubts::about(scenario, machine, (&casts, pacing), &Unwatched).map_err(faulty)?;
    let film = Film::new(machine, &overview.own, FRAMES, units).map_err(faulty)?;
    let schematic = film.schematic(scenario, units, &answers::source(scenario));
    let answer = Answer {
        scenario,
        machine: &prepared,
        acceptance: terms.acceptance,
        overview: &overview,
        map: &map.ok_or(Failure::CalledOff)?,
        doubts: &doubts,
        schematic: &schematic,
        units: *units,
    };
    let mut outbox = answers::outbox(scenario);
    outbox.add("handout.pdf", write(&answer, options.paper.paper())?);
    answers::send(&outbox, &options.folder.out, options.folder.force, &[])?;
    // Where paces were asked for, a size needs only one of them.
    Ok(match asked {
        Some(_) => Outcome::of(&overview.grid),
        None => Outcome::of(overview.answer.sizes.iter().flat_map(|size| &size.judgements)),
    })
}

/// The one of all that is nearest to a value by ratio.
fn nearest<T: Copy>(all: &[T], value: f64, of: impl Fn(&T) -> f64) -> Option<T> {
    let apart = |one: &T| (of(one) / value).ln().abs();
    all.iter().copied().min_by(|a, b| apart(a).total_cmp(&apart(b)))
}
