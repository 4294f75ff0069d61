//! `latchstroke pace`: at which paces can each size be cast?

use super::args::PaceOptions;
use super::open::Opened;
use super::progress::Progress;
use super::{Failure, Outcome, answers};
use latchstroke_core::studies::judge::{Cast, judge_all};
use latchstroke_core::studies::pace::{Fineness, ROWS, fill_times, reach, size_map, size_paces};
use latchstroke_core::studies::real_pace::CastAt;
use latchstroke_core::studies::watch::Watch;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::mould::Sort;
use latchstroke_plots::Theme;
use latchstroke_report::charts::draw_one;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::pace::{self as words, Answer, data, fill, map};

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &PaceOptions) -> Result<Outcome, Failure> {
    let opened = Opened::new(&options.asked.sizes.scenario)?;
    let (sorts, asked) = opened.sorts_and_pace(&options.asked)?;
    let at = opened.cast_at(asked);
    let answer = answer(&opened, &sorts, at).map_err(|faults| opened.faulty(faults))?;
    let draw = |theme: &Theme, outbox: &mut Outbox| draw(&opened, &answer, theme, outbox);
    let (data, text) = (|| data::json(&answer), || words::text(&answer, &opened.units));
    answers::answer(&options.answer, &opened.scenario, draw, data, text)?;
    // As the judge has it: at the pace at which each size is cast.
    Ok(Outcome::of(&answer.judged))
}

fn answer(opened: &Opened, sorts: &[Sort], at: CastAt) -> Result<Answer, Vec<Fault>> {
    let Opened { scenario, machine, terms, .. } = opened;
    let proportion = opened.proportion();
    Ok(Answer {
        machine: scenario.machine_name().to_owned(),
        shut: terms.shut,
        proportion,
        sizes: size_paces(machine, sorts, *terms)?,
        judged: judge_all(machine, &at.casts(machine, sorts)?, terms)?,
        largest_aside: reach(machine, LatchSetting::Aside, proportion, &at, terms),
        largest_set: reach(machine, LatchSetting::Set, proportion, &at, terms),
        at,
    })
}

/// The table, the map and the fill times.
fn draw(
    opened: &Opened,
    answer: &Answer,
    theme: &Theme,
    outbox: &mut Outbox,
) -> Result<Vec<String>, Failure> {
    let faulty = |faults| opened.faulty(faults);
    let Opened { scenario, units, machine, terms, cast, .. } = opened;
    let cast = Cast { sort: cast.sort, pace: answer.at.pace(machine, cast.sort).map_err(faulty)? };
    let progress = Progress::start("mapping sizes and paces", ROWS);
    let sorts: Vec<Sort> = answer.sizes.iter().map(|paces| paces.sort).collect();
    let map =
        size_map(machine, &sorts, (cast, answer.at), *terms, Fineness::DRAWN, &progress).map_err(faulty)?;
    let shown = fill::sizes(answer);
    progress.next("timing fills", shown.len() as u64);
    let mut times = Vec::new();
    for sort in shown {
        if !progress.called_off() {
            times.push(fill_times(machine, sort, *terms, answer.at).map_err(faulty)?);
            progress.advance(1);
        }
    }
    progress.finish();
    let map = map.filter(|_| !progress.called_off()).ok_or(Failure::CalledOff)?;
    outbox.add("paces.csv", data::csv(&answer.sizes).map_err(Failure::plain)?);
    let source = answers::source(scenario);
    let mut omitted = draw_one("size-pace-map", &map::map(&map, cast, units, &source), theme, outbox)?;
    omitted.extend(draw_one(
        "fill-and-limits",
        &fill::chart(&times, answer.sizes.len(), units, &source),
        theme,
        outbox,
    )?);
    Ok(omitted)
}
