//! `latchstroke handout`: two printed pages to take to the machine.

use super::args::{HandoutOptions, PaperSize};
use super::{Failure, Outcome, judge, open};
use latchstroke_core::studies::overview::{Question, overview};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::units::Pace;
use latchstroke_plots::page::Paper;
use latchstroke_report::handout::{Answer, write};
use latchstroke_report::outbox::Outbox;
use latchstroke_scenario::stated;

/// More casts than this do not go on two pages.
const MOST_CASTS: usize = 400;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &HandoutOptions) -> Result<Outcome, Failure> {
    let scenario = open::scenario(&options.scenario)?;
    let units = open::units(&options.scenario, &scenario);
    let sorts = judge::sorts(&scenario, options.body.as_deref(), &units)?;
    let asked = judge::paces(options.pace.as_deref(), &units)?;
    let paces = asked.clone().unwrap_or_else(|| stated::paces(&scenario));
    if sorts.len() * paces.len() > MOST_CASTS {
        return Err(Failure::Plain(format!(
            "{} casts do not go on two pages; ask for fewer sizes or paces, at most {MOST_CASTS} together",
            sorts.len() * paces.len()
        )));
    }
    let stated = stated::machine(&scenario);
    let terms = stated::terms(&scenario);
    let own = stated::cast(&scenario);
    let question = Question {
        stated: &stated,
        terms: &terms,
        fastest: stated::fastest_pace(&scenario),
        sorts: &sorts,
        own: nearest(&sorts, own.sort.body.0, |sort| sort.body.0).unwrap_or(own.sort),
        pace: asked.as_deref().and_then(|paces| nearest(paces, own.pace.0, |pace: &Pace| pace.0)),
        paces: &paces,
    };
    let faulty = |faults| open::as_mistakes(&scenario, faults);
    let overview = overview(&question).map_err(faulty)?;
    let cast = overview.own.cast;
    let machine = Machine::prepare(&stated, cast.sort, cast.pace, LatchSetting::Set).map_err(faulty)?;
    let answer = Answer {
        scenario: &scenario,
        machine: &machine,
        acceptance: terms.acceptance,
        overview: &overview,
        units,
    };
    let paper = match options.paper {
        PaperSize::A4 => Paper::A4,
        PaperSize::Letter => Paper::Letter,
    };
    let mut outbox = Outbox::default();
    outbox.add("handout.pdf", write(&answer, paper).map_err(|error| Failure::Plain(error.to_string()))?);
    outbox.add("scenario.toml", scenario.resolved_toml());
    outbox.send(&options.out, options.force)?;
    let names: Vec<&str> = outbox.names().collect();
    eprintln!("Wrote {} into {}.", names.join(", "), options.out.display());
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
