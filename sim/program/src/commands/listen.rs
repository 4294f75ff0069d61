//! `latchstroke listen`: what a recording of the machine tells.

use super::args::{ListenOptions, ScenarioOptions};
use super::open::Opened;
use super::{Failure, Outcome, answers, lists};
use crate::recording::{hear, length};
use latchstroke_core::studies::heard::Question;
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_core::turn::EventKind;
use latchstroke_models::latch::LatchSetting;
use latchstroke_report::charts::draw_one;
use latchstroke_report::listen::{self as words, Model, Moved, Named, Report, chart};
use latchstroke_report::outbox::Outbox;
use latchstroke_report::owner::{OwnerUnits, System};
use latchstroke_scenario::Dimension;
use latchstroke_scenario::stated::tolerance;
use latchstroke_sound::{Heard, Refused, Turns, clicks, turns};
use std::path::{Path, PathBuf};

/// A pace that is given may be off by this share.
const GIVEN: f64 = 0.06;
/// Machines drawn to see how far apart the clicks may be, and which of the sequences of draws.
const DRAWS: usize = 96;
const SEED: u32 = 1;
/// A click may be off by this share of the turn from where the model has it, and still be taken for it.
const OFF: f64 = 0.12;
/// A click of one recording is the same in another where it stands within this share of the turn.
const SAME: f64 = 0.04;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &ListenOptions) -> Result<Outcome, Failure> {
    let of = ScenarioOptions {
        scenario: options.scenario.clone(),
        set: options.set.clone(),
        units: options.units,
    };
    // Without a scenario the demo lends its units alone.
    let opened = Opened::new(&of)?;
    let pace_unit =
        if options.scenario.is_some() { opened.units.pace } else { System::Metric.unit(Dimension::Pace) };
    let pace = options.pace.as_deref().map(|text| lists::one_pace(text, pace_unit)).transpose()?;
    let known = pace.map(|pace| ((1.0 - GIVEN) / pace.0, (1.0 + GIVEN) / pace.0));
    let heard = hear(&options.recording).map_err(Failure::Plain)?;
    let found = match turns(&heard, &clicks(&heard), known) {
        Ok(found) => found,
        Err(why) => return Ok(cannot_tell(&options.recording, why)),
    };
    let baseline = match options.baseline.as_deref().map(|path| listen(path, known)).transpose()? {
        Some(Err((path, why))) => return Ok(cannot_tell(&path, why)),
        Some(Ok(good)) => Some((1.0 / good.period, moved(&found, &good))),
        None => None,
    };
    let model = options.scenario.is_some().then(|| model(&opened, &found));
    let report = Report {
        name: name(&options.recording),
        length: length(&heard),
        turns: &found,
        model,
        baseline,
        units: OwnerUnits { pace: pace_unit, ..opened.units },
    };
    if let Some(folder) = &options.answer.out {
        let read = [Some(&options.recording), options.baseline.as_ref()].into_iter().flatten();
        let files: Vec<PathBuf> = read.chain(opened.scenario.files()).cloned().collect();
        let mut outbox = Outbox::sparing(&files);
        if options.scenario.is_some() {
            outbox.add("scenario.toml", opened.scenario.resolved_toml());
        }
        let source = format!("{}. Heard by latchstroke, all turns laid on one another.", report.name);
        let chart = chart::folded(&report, &heard, &source);
        let omitted = draw_one("turn-heard", &chart, &options.answer.look.theme(), &mut outbox)?;
        answers::send(&outbox, folder, options.answer.force, &omitted)?;
    }
    answers::tell(options.answer.json, || words::json(&report), || words::text(&report))?;
    Ok(Outcome::Done)
}

fn name(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}

fn cannot_tell(path: &Path, why: Refused) -> Outcome {
    eprintln!("latchstroke: {}: {}", path.display(), words::refused(why));
    Outcome::NotKnown
}

type Unheard = (PathBuf, Refused);

fn listen(path: &Path, known: Option<(f64, f64)>) -> Result<Result<Turns, Unheard>, Failure> {
    let heard: Heard = hear(path).map_err(Failure::Plain)?;
    Ok(turns(&heard, &clicks(&heard), known).map_err(|why| (path.to_owned(), why)))
}

/// What the model has to say of what was heard.
fn model<'a>(opened: &'a Opened, found: &Turns) -> Model<'a> {
    let scenario = &opened.scenario;
    let vary = |values: &[(&str, f64)]| tolerance::varied(scenario, values, Pacing::Fixed);
    let question = Question { vary: &vary, pace: 1.0 / found.period };
    let expected = question.clicks(&[], LatchSetting::Set).unwrap_or_default();
    let (named, gap) = (named(found, &expected), question.gap(&[]));
    let suspects = scenario
        .suspects()
        .into_iter()
        .filter(|suspect| !suspect.path.starts_with("job"))
        .collect::<Vec<_>>();
    let heard = named.as_ref().and_then(|named| {
        found.gap(named.of(EventKind::LatchLetsGo)?, named.of(EventKind::ShoulderStrikes)?)
    });
    let changes = heard.map_or_else(Vec::new, |gap| question.changes(&suspects, gap.mean));
    Model {
        scenario,
        named,
        gap,
        spread: question.spread(&tolerance::inputs(scenario), DRAWS, SEED),
        suspects,
        changes,
    }
}

/// Which click is which of the events that the model expects (s): as they lie nearest, the turn begun at whichever click suits best.
fn named(found: &Turns, expected: &[(EventKind, f64)]) -> Option<Named> {
    let place = |time: f64| time / found.period;
    let &(_, first) = expected.iter().find(|click| click.0 == EventKind::LatchLetsGo)?;
    expected.iter().find(|click| click.0 == EventKind::ShoulderStrikes)?;
    let off = |a: f64, b: f64| {
        let apart = (a - b).rem_euclid(1.0);
        apart.min(1.0 - apart)
    };
    let tried = (0..found.beats.len()).filter_map(|start| {
        let shift = found.beats[start].place - place(first);
        let mut open: Vec<usize> = (0..found.beats.len()).collect();
        let (mut clicks, mut cost) = (Vec::new(), 0.0);
        // The one on which the others hang, then the strike, then what else is there.
        let order = |kind: &EventKind| match kind {
            EventKind::LatchLetsGo => 0,
            EventKind::ShoulderStrikes => 1,
            _ => 2,
        };
        let mut expected = expected.to_vec();
        expected.sort_by_key(|click| order(&click.0));
        for (kind, time) in expected {
            let aim = place(time) + shift;
            let away = |beat: usize| off(found.beats[beat].place, aim);
            let nearest = open.iter().copied().min_by(|a, b| away(*a).total_cmp(&away(*b)));
            match nearest.filter(|beat| away(*beat) <= OFF) {
                Some(beat) => {
                    cost += away(beat);
                    open.retain(|other| *other != beat);
                    clicks.push((kind, beat));
                }
                None if order(&kind) < 2 => return None,
                None => cost += OFF,
            }
        }
        Some((cost, Named { clicks }))
    });
    tried.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, named)| named)
}

/// The clicks that are in both recordings, and by how much later each comes after the first than it would in the good one at the same pace.
fn moved(found: &Turns, good: &Turns) -> Vec<Moved> {
    let places = |turns: &Turns| turns.beats.iter().map(|beat| beat.place).collect::<Vec<f64>>();
    let (now, then) = (places(found), places(good));
    let off = |a: f64, b: f64| (a - b + 0.5).rem_euclid(1.0) - 0.5;
    let pairs = |start: usize| -> Vec<(usize, usize)> {
        let shift = |place: f64| (place - then[start]).rem_euclid(1.0);
        let nearest = |beat: usize| {
            (0..now.len()).min_by(|a, b| {
                off(now[*a], shift(then[beat])).abs().total_cmp(&off(now[*b], shift(then[beat])).abs())
            })
        };
        (0..then.len())
            .filter_map(|beat| Some((beat, nearest(beat)?)))
            .filter(|(beat, own)| off(now[*own], shift(then[*beat])).abs() <= SAME)
            .collect()
    };
    let cost = |start: usize| {
        let shift = |place: f64| (place - then[start]).rem_euclid(1.0);
        let all = pairs(start);
        (then.len() - all.len()) as f64 * SAME
            + all.iter().map(|(beat, own)| off(now[*own], shift(then[*beat])).abs()).sum::<f64>()
    };
    let Some(start) = (0..then.len()).min_by(|a, b| cost(*a).total_cmp(&cost(*b))) else { return Vec::new() };
    let of = |(beat, own): (usize, usize)| {
        let (now, then) = (found.gap(0, own)?, good.gap(start, beat)?);
        // A click goes with the shaft where the pace has changed.
        let faster = found.period / good.period;
        Some(Moved { beat: own, by: (now.mean - then.mean * faster, now.error.hypot(then.error * faster)) })
    };
    pairs(start).into_iter().filter(|(_, own)| *own != 0).filter_map(of).collect()
}
