//! `latchstroke turn`: one turn, latch aside and set.

use super::args::TurnOptions;
use super::open::Opened;
use super::{Failure, Outcome, answers};
use latchstroke_core::studies::cooling::heat_of_cast;
use latchstroke_core::studies::judge::{Judgement, judge_traced};
use latchstroke_core::turn::surge::{self, ResolvedThrow};
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::Theme;
use latchstroke_report::findings::why_stopped;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::{cautions, charts, json, trace, turn as words};

/// Relative tolerance of the throw with resolved springs.
const SURGE_TOLERANCE: f64 = 1e-6;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &TurnOptions) -> Result<Outcome, Failure> {
    let opened = Opened::with_cast(&options.cast)?;
    let Opened { scenario, units, machine, terms, cast, .. } = &opened;
    let real = opened.real_pace(options.cast.pace.as_deref())?;
    let judgement = judge_traced(machine, *cast, terms).map_err(|faults| opened.faulty(faults))?;
    let heat = heat_of_cast(&opened.prepared(LatchSetting::Aside)?, terms.shut);
    let resolved = if options.surge { resolve(&opened, &judgement)? } else { None };
    let draw = |theme: &Theme, outbox: &mut Outbox| {
        for (name, turn) in
            [("trace-latch-aside.csv", &judgement.aside), ("trace-latch-set.csv", &judgement.set)]
        {
            outbox.add(name, trace::csv(&turn.trace).map_err(Failure::plain)?);
        }
        Ok(charts::draw_cast(&judgement, (units, &answers::source(scenario)), theme, outbox)?)
    };
    let data = || {
        let mut answer = json::judgement(&judgement, units);
        answer["heat_of_cast_J"] = heat.into();
        if options.surge {
            answer["springs_resolved"] = json::resolved(resolved.as_ref());
        }
        answer
    };
    let text = || {
        let mut text = words::text(&judgement, real.as_ref(), units, terms.acceptance, heat);
        if options.surge {
            text += &words::surge(&judgement.set, resolved.as_ref(), units);
        }
        text + "\n" + &cautions::short()
    };
    answers::answer(&options.answer, scenario, draw, data, text)?;
    Ok(Outcome::of([&judgement]))
}

/// The throw with resolved springs.
fn resolve(opened: &Opened, judgement: &Judgement) -> Result<Option<ResolvedThrow>, Failure> {
    surge::resolve(&opened.prepared(LatchSetting::Set)?, &judgement.set, SURGE_TOLERANCE)
        .map_err(|stop| Failure::Plain(format!("the throw with resolved springs: {}", why_stopped(stop))))
}
