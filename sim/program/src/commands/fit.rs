//! `latchstroke fit`: which values of the machine a measured movement tells.

use super::args::{FitOptions, LatchOption, PartOption, ScaleOption, ScenarioOptions};
use super::open::Opened;
use super::{Failure, Outcome, answers, both, lists};
use latchstroke_core::fit::curve::Part;
use latchstroke_core::fit::trace::{Answer, Candidate, Measured, Question, Refused, pace_of};
use latchstroke_core::studies::remedy::Pacing;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::units::Pace;
use latchstroke_plots::Theme;
use latchstroke_report::charts::draw_one;
use latchstroke_report::fit::{self as words, Report, TWO_SIDED, chart};
use latchstroke_report::outbox::Outbox;
use latchstroke_scenario::measured::{Reading, trace};
use latchstroke_scenario::stated::tolerance;
use latchstroke_scenario::{Dimension, Quantity, Unread, nearest};

/// How far off a pace may be that was stated for the machine, or counted or found for this trace, as a share.
const STATED: f64 = 0.1;
const COUNTED: f64 = 0.02;

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &FitOptions) -> Result<Outcome, Failure> {
    let of = ScenarioOptions {
        scenario: Some(options.scenario.clone()),
        set: options.set.clone(),
        units: options.units,
    };
    let opened = Opened::new(&of)?;
    let body = options.body.as_deref().map(|text| lists::one_size(text, opened.units.body)).transpose();
    let (body, given) = both(body, opened.pace(options.pace.as_deref()))?;
    let opened = opened.casting(body, None, &of);
    let candidates = candidates(options, &opened)?;
    let read =
        trace(&options.trace, options.columns.as_deref(), &reading(options)?).map_err(
            |unread| match unread {
                Unread::Mistakes(mistakes) => Failure::Mistakes(mistakes),
                Unread::Unusable(message) => Failure::Plain(message),
            },
        )?;
    let pace = pace(given, &opened, &read.measured);
    let settings: &[LatchSetting] = match options.latch {
        Some(LatchOption::Set) => &[LatchSetting::Set],
        Some(LatchOption::Aside) => &[LatchSetting::Aside],
        None => &[LatchSetting::Set, LatchSetting::Aside],
    };
    for setting in settings {
        opened.prepared(*setting)?;
    }
    let vary = |values: &[(&str, f64)]| tolerance::varied(&opened.scenario, values, Pacing::Fixed);
    let asked = |&setting: &LatchSetting| {
        Question { vary: &vary, candidates: &candidates, measured: &read.measured, setting, pace }.answer()
    };
    let answer = match best(settings.iter().map(asked)) {
        Ok(answer) => answer,
        Err(why) => {
            eprintln!("latchstroke: {}", words::refused(why, &opened.units, read.in_metres));
            return Ok(Outcome::NotKnown);
        }
    };
    let report = Report {
        scenario: &opened.scenario,
        candidates: &candidates,
        measured: &read.measured,
        in_metres: read.in_metres,
        setting_is_given: options.latch.is_some(),
        answer: &answer,
        units: &opened.units,
    };
    let draw = |theme: &Theme, outbox: &mut Outbox| {
        let values: Vec<(&str, f64, f64)> = answer
            .told
            .iter()
            .map(|told| (candidates[told.candidate].path.as_str(), told.value, TWO_SIDED * told.error))
            .collect();
        let fitted = opened.scenario.with_fitted(&values);
        outbox.add("fitted.toml", fitted.map(|fitted| fitted.resolved_toml()).unwrap_or_default());
        let chart = chart::against(&report, &answers::source(&opened.scenario));
        Ok(draw_one("fit", &chart, theme, outbox)?)
    };
    answers::answer(
        &options.answer,
        &opened.scenario,
        draw,
        || words::json(&report),
        || words::text(&report),
    )?;
    Ok(Outcome::Done)
}

/// The fit whose curve lies closest; the first refusal where there is none.
fn best(answers: impl Iterator<Item = Result<Answer, Refused>>) -> Result<Answer, Refused> {
    answers
        .reduce(|a, b| match (a, b) {
            (Ok(a), Ok(b)) => Ok(if b.scatter < a.scatter { b } else { a }),
            (Ok(one), Err(_)) | (Err(_), Ok(one)) => Ok(one),
            (Err(first), Err(_)) => Err(first),
        })
        .unwrap_or(Err(Refused::Unsolved))
}

/// The values that may be fitted: all, or those asked for.
fn candidates(options: &FitOptions, opened: &Opened) -> Result<Vec<Candidate>, Failure> {
    let all = opened.scenario.candidates();
    for key in &options.values {
        if !all.iter().any(|(candidate, _)| candidate.path == *key) {
            let known = all.iter().map(|(candidate, _)| candidate.path.as_str());
            let meant =
                nearest(key, known.clone()).map_or_else(String::new, |word| format!(" Did you mean {word}?"));
            let list = known.collect::<Vec<_>>().join(", ");
            return Err(Failure::Plain(format!(
                "--values {key} is not among the values of this machine that a movement may tell of.{meant} They are {list}"
            )));
        }
    }
    let asked = |(candidate, usual): &(Candidate, bool)| match options.values.as_slice() {
        [] => *usual,
        keys => keys.contains(&candidate.path),
    };
    Ok(all.into_iter().filter(asked).map(|(candidate, _)| candidate).collect())
}

fn reading(options: &FitOptions) -> Result<Reading, Failure> {
    if options.fps.is_some_and(|fps| !fps.is_finite() || fps <= 0.0) {
        return Err(Failure::Plain("--fps wants frames a second, as in --fps 240".to_owned()));
    }
    let pixel = options.pixel.as_deref().map(|text| {
        Quantity::parse(text, Dimension::Length)
            .ok()
            .map(|length| length.si)
            .filter(|length| *length > 0.0)
            .ok_or_else(|| {
                Failure::Plain(format!(
                    "--pixel \"{text}\" is no length; write one as in --pixel \"0.21 mm\""
                ))
            })
    });
    Ok(Reading {
        part: options.of.map(|part| match part {
            PartOption::Piston => Part::Piston,
            PartOption::Rod => Part::Rod,
            PartOption::Block => Part::Block,
        }),
        frames: options.fps,
        marks: options.marks,
        pixel: pixel.transpose()?,
        free_scale: options.scale == Some(ScaleOption::Free),
    })
}

/// The pace, turns a second, and how far off it may be, as a share: as given, as found from several turns, or as the scenario has it.
fn pace(given: Option<Pace>, opened: &Opened, measured: &Measured) -> (f64, f64) {
    match (given, pace_of(&measured.readings, opened.cast.pace.0)) {
        (Some(pace), _) => (pace.0, COUNTED),
        (None, Some(found)) => (found, COUNTED),
        (None, None) => (opened.cast.pace.0, STATED),
    }
}
