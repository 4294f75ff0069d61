//! `latchstroke measure`: what to measure next, and a worksheet to take to the machine.

use super::args::{About, MeasureOptions};
use super::open::Opened;
use super::progress::Progress;
use super::{Failure, Outcome, answers};
use latchstroke_core::studies::measure::Doubted;
use latchstroke_core::studies::odds::casts_of;
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::studies::sleeve::Unknown;
use latchstroke_models::latch::LatchSetting;
use latchstroke_report::measure::{Report, data, sheet};
use latchstroke_report::owner::OwnerUnits;
use latchstroke_scenario::stated;
use latchstroke_scenario::stated::doubts::{Drawn, draw, draw_lengths};

/// How many machines are drawn: enough to tell a twentieth of the doubt from none.
const DRAWS: usize = 512;
/// … where each takes a dozen turns for every size.
const LENGTHS: usize = 256;
/// Which of the sequences of draws.
const SEED: u32 = 1;

/// Runs the command.
///
/// # Errors
/// Bad input, Ctrl-C, or a folder that cannot be written.
pub fn run(options: &MeasureOptions) -> Result<Outcome, Failure> {
    let opened = Opened::new(&options.sizes.scenario)?;
    let Opened { scenario, units, machine, .. } = &opened;
    let sorts = opened.sorts(options.sizes.body.as_deref())?;
    let prepared = opened.prepared(LatchSetting::Set)?;
    let fastest = stated::fastest_pace(scenario);
    let casts = casts_of(&sorts, fastest);
    let asked = (&*casts, Pacing::Real { fastest });
    let draws = match options.about {
        About::Verdict => DRAWS,
        About::Sleeve => LENGTHS,
    };
    let progress = Progress::start("drawing machines", draws as u64);
    let drawn = match options.about {
        About::Verdict => draw(scenario, machine, asked, (draws, SEED), &progress)
            .map(|drawn| drawn.map(|odds| Doubted::verdicts(&odds, casts.len(), SEED)))
            .map_err(Unknown::Faults),
        About::Sleeve => draw_lengths(scenario, machine, asked, (draws, SEED), &progress)
            .map(|drawn| drawn.map(|lengths| Doubted::lengths(&lengths, SEED))),
    };
    progress.finish();
    let Drawn { inputs, answers: doubted } =
        drawn.map_err(|unknown| super::sleeve::not_asked(&opened, unknown))?;
    if doubted.is_none() && !inputs.is_empty() {
        return Err(Failure::CalledOff);
    }
    let report = Report { scenario, inputs: &inputs, doubted: doubted.as_ref(), casts: &casts, units };
    if let Some(folder) = &options.out {
        // The demo's values are nobody's, nor is the mixture of units they are written in.
        let example = options.sizes.scenario.scenario.is_none();
        let system = OwnerUnits::asked(scenario, Some(units.system));
        let sheet = sheet::Sheet {
            scenario,
            stated: machine,
            machine: &prepared,
            example,
            units: if example { system } else { *units },
        };
        let mut outbox = answers::outbox(scenario);
        outbox.add("worksheet.pdf", sheet::write(&sheet, options.paper.paper())?);
        answers::send(&outbox, folder, options.force, &[])?;
    }
    answers::tell(options.json, || data::json(&report), || report.text())?;
    Ok(Outcome::Done)
}
