//! Charts: how the fill times fall, and what causes their spread.

use super::super::charts::{close, draw_one};
use super::super::limits::{first_upper, setting as words};
use super::super::outbox::Outbox;
use super::super::owner::{OwnerUnits, milliseconds, significant};
use super::{Answer, Counsel, SLIGHT, named, possible, ranked, whole};
use latchstroke_core::studies::tolerance::Measure;
use latchstroke_models::latch::LatchSetting::{self, Aside, Set};
use latchstroke_plots::{Axis, Bar, Bars, Histogram, PlotError, Theme};

/// Rows of the ranking that can be read on one picture.
const MOST_ROWS: usize = 8;

/// Draws every chart that the machines allow into an outbox; answers the labels for which there was no room.
///
/// # Errors
/// When a picture cannot be drawn.
pub fn draw(
    answer: &Answer,
    units: &OwnerUnits,
    theme: &Theme,
    outbox: &mut Outbox,
) -> Result<Vec<String>, PlotError> {
    let source = format!(
        "{}, {} at {}; {} machines within their tolerances. Solved by latchstroke.",
        answer.machine,
        close(&units.size(answer.cast.sort.body.0)),
        close(&units.turns(answer.cast.pace.0)),
        answer.study.finished()
    );
    let mut omitted = Vec::new();
    for (name, setting) in [("fill-time-latch-aside", Aside), ("fill-time-latch-set", Set)] {
        if let Some(chart) = histogram(answer, setting, &source) {
            omitted.extend(draw_one(name, &chart, theme, outbox)?);
        }
    }
    if let Some(chart) = causes(answer, &source) {
        omitted.extend(draw_one("causes", &chart, theme, outbox)?);
    }
    Ok(omitted)
}

/// Words with the apostrophe of a fount, not of a typewriter.
fn set(words: &str) -> String {
    words.replace('\'', "\u{2019}")
}

fn histogram(answer: &Answer, setting: LatchSetting, source: &str) -> Option<Histogram> {
    let study = &answer.study;
    let measure = Measure::FillTime(setting);
    let spread = study.spread(measure)?;
    let time = |seconds: f64| close(&milliseconds(seconds));
    let headline = format!(
        "Within the tolerances it fills in {} to {} with the {}, nine times in ten",
        significant(spread.p05 * 1e3, 3),
        time(spread.p95),
        words(setting)
    );
    let values = study.outcomes().filter_map(|outcome| measure.of(outcome)).map(|seconds| seconds * 1e3);
    let allowed = study.stated.allowed;
    Some(
        Histogram::new(
            headline,
            Axis::new(format!("fill time, {}", words(setting)), "ms"),
            "machines drawn",
            values,
        )
        .with_place(spread.p05 * 1e3, format!("5\u{a0}%: {}", time(spread.p05)))
        .with_place(spread.p50 * 1e3, format!("half: {}", time(spread.p50)))
        .with_place(spread.p95 * 1e3, format!("95\u{a0}%: {}", time(spread.p95)))
        .with_limit(allowed * 1e3, format!("allowed as stated: {}", time(allowed)))
        .with_style(usize::from(setting == Aside))
        .with_source(source),
    )
}

fn causes(answer: &Answer, source: &str) -> Option<Bars> {
    let study = &answer.study;
    let setting = words(study.deciding());
    let effects = study.effects(Measure::Kept(study.deciding()))?;
    let ranked = ranked(study, &effects);
    let (first, effect) = ranked.first()?;
    let value = set(&named(first, study));
    let alone = format!("makes {} of the spread", close(&whole(effect.first.value)));
    let headline = match Counsel::of(study, first) {
        Counsel::Stands => format!("The verdict stands in every machine drawn; {value} alone {alone}"),
        Counsel::Measure => format!("Measure {value} again first: it alone {alone}"),
        Counsel::Remember => format!("{}, which nobody can measure, alone {alone}", first_upper(&value)),
    };
    let mut chart = Bars::new(
        headline,
        Axis::new(format!("share of the spread of how far the nearest limit is kept, {setting}"), "%"),
    )
    .with_source(format!("{source} Thin lines: 95\u{a0}% confidence."));
    for (row, (input, effect)) in
        ranked.iter().filter(|(_, e)| e.total.value >= SLIGHT).take(MOST_ROWS).enumerate()
    {
        let bar = |estimate: &latchstroke_core::studies::sensitivity::Estimate, meaning: &str| {
            let part = |share: f64| 100.0 * possible(share);
            let meaning = if row == 0 { meaning } else { "" };
            Bar {
                value: part(estimate.value),
                interval: Some((part(estimate.low), part(estimate.high))),
                label: close(&whole(estimate.value)) + meaning,
            }
        };
        let bars = [bar(&effect.first, " alone"), bar(&effect.total, " with the others")];
        let named = set(&named(input, study));
        chart = chart.with_row(named.strip_prefix("the ").unwrap_or(&named), bars);
    }
    Some(chart)
}
