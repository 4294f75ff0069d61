//! What one dial does over its whole range, everything else as it is set.

use crate::Problem;
use crate::dial::{Dial, Of, Scale};
use crate::judged::kind;
use crate::look::Look;
use crate::setting::{Base, Setting, faulty};
use latchstroke_core::studies::judge::{Verdict, judge_limits};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_plots::scene::{Layout, Scene, Shape};
use latchstroke_plots::{Axis, Hatch, LineChart, Panel, Picture, PlotError, Series, Stroke, Theme};
use latchstroke_report::limits;
use serde_json::{Value, json};

/// Into how many parts the range is cut.
const PARTS: u32 = 24;
/// How often a part in which the verdict changes is halved.
const HALVINGS: u32 = 5;
/// How far the chart's upright axis reaches: a limit kept or missed by more is drawn at its end.
const REACH: (f64, f64) = (0.25, 4.0);
/// Height of the chart, as a part of one on a screen.
const TALL: f64 = 0.7;

/// One look at the range.
#[derive(Debug, Clone, Copy)]
struct Seen {
    /// The place, counted from 0.
    place: f64,
    /// The verdict; none where there is no such machine.
    verdict: Option<Verdict>,
    /// How many times over the least limit is kept, latch aside and set; not a number where that is not known.
    kept: [f64; 2],
}

/// A stretch of the range with one verdict, by its places.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
    verdict: Option<Verdict>,
}

/// The answer: the shading for the dial's track, and the strip with both settings over the range.
pub fn answer(base: &Base, setting: &Setting, dial: Dial, look: Look) -> Result<Value, Problem> {
    let Some(scale) = dial.scale(base) else { return Ok(json!({ "dial": dial })) };
    let seen = looks(base, setting, dial, &scale);
    let stretches = stretches(&seen);
    let opened = base.with(setting)?;
    let cast = opened.cast;
    let machine = Machine::prepare(&opened.stated, cast.sort, cast.pace, LatchSetting::Set)
        .map_err(|faults| faulty(&opened.scenario, faults))?;
    let now = dial.value(Of::opened(&opened, &machine));
    let told = |place: f64| {
        dial.told(scale.unit.to_si(scale.at(place)), &base.units, scale.unit).replace(' ', "\u{a0}")
    };
    let headline = headline(dial, &stretches, told);
    let last = f64::from(scale.last);
    let mut chart = LineChart::new(
        headline.clone(),
        Axis::new(dial.name(), scale.unit.symbol).range(scale.at(0.0), scale.at(last)),
    );
    let curve = |which: usize| {
        let points = seen
            .iter()
            .map(move |seen| (scale.at(seen.place), seen.kept.get(which).copied().unwrap_or(f64::NAN)));
        points.collect::<Vec<_>>()
    };
    chart = chart.with_panel(
        Panel::new(Axis::new("least limit kept, times", "").log().range(REACH.0, REACH.1))
            .with_series(Series::new("latch aside", curve(0)).style(1).stroke(Stroke::Dashed))
            .with_series(Series::new("latch set", curve(1)).style(0))
            .with_limit(1.0, "", Hatch::Below),
    );
    if let Some(now) = now {
        chart = chart.with_event(scale.unit.from_si(now), "now");
    }
    for stretch in &stretches {
        let name = stretch.verdict.map_or("cannot be", limits::short);
        chart = chart.with_band(scale.at(stretch.from), scale.at(stretch.to), name);
    }
    Ok(json!({
        "dial": dial,
        "headline": headline,
        "svg": look.chart(&chart, TALL)?,
        "track": look.svg(&Track { stretches: &stretches, last })?,
        "stretches": stretches.iter().map(|stretch| json!({
            "from": stretch.from,
            "to": stretch.to,
            "verdict": stretch.verdict.map(kind),
        })).collect::<Vec<_>>(),
    }))
}

/// Looks over the range, closer where the verdict changes.
fn looks(base: &Base, setting: &Setting, dial: Dial, scale: &Scale) -> Vec<Seen> {
    let at = |place: f64| see(base, setting, dial, scale, place);
    let part = f64::from(scale.last) / f64::from(PARTS);
    let mut all: Vec<Seen> = (0..=PARTS).map(|n| at(part * f64::from(n))).collect();
    let changes: Vec<(Seen, Seen)> = all
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] if a.verdict != b.verdict => Some((*a, *b)),
            _ => None,
        })
        .collect();
    for (mut a, mut b) in changes {
        for _ in 0..HALVINGS {
            let middle = at(f64::midpoint(a.place, b.place));
            if middle.verdict == a.verdict {
                a = middle;
            } else {
                b = middle;
            }
            all.push(middle);
        }
    }
    all.sort_by(|a, b| a.place.total_cmp(&b.place));
    all
}

/// One look.
fn see(base: &Base, setting: &Setting, dial: Dial, scale: &Scale, place: f64) -> Seen {
    let mut moved = setting.clone();
    moved.moves.retain(|(other, _)| *other != dial);
    let value = scale.at(place);
    moved.moves.push((dial, format!("{value} {}", scale.unit.typeable())));
    moved.real &= dial != Dial::Pace;
    let judged = base.with(&moved).ok().and_then(|opened| {
        let judgement = judge_limits(&opened.stated, opened.cast, &opened.terms).ok()?;
        let kept = judgement
            .standings
            .each_ref()
            .map(|standing| standing.factor().map_or(f64::NAN, |factor| factor.clamp(REACH.0, REACH.1)));
        Some((judgement.verdict, kept))
    });
    Seen {
        place,
        verdict: judged.map(|(verdict, _)| verdict),
        kept: judged.map_or([f64::NAN; 2], |(_, kept)| kept),
    }
}

/// Looks joined where the verdict is the same; a change lies halfway between two looks.
fn stretches(seen: &[Seen]) -> Vec<Stretch> {
    let mut all: Vec<Stretch> = Vec::new();
    for look in seen {
        match all.last_mut() {
            Some(last) if last.verdict == look.verdict => last.to = look.place,
            Some(last) => {
                let change = f64::midpoint(last.to, look.place);
                last.to = change;
                all.push(Stretch { from: change, to: look.place, verdict: look.verdict });
            }
            None => all.push(Stretch { from: look.place, to: look.place, verdict: look.verdict }),
        }
    }
    all
}

/// "Pace: neither will do up to 8 turns/min; set the latch up to 24 turns/min; leave the latch aside beyond".
fn headline(dial: Dial, stretches: &[Stretch], told: impl Fn(f64) -> String) -> String {
    let words = |stretch: &Stretch| stretch.verdict.map_or("there is no such machine", limits::verdict);
    let said: Vec<String> = match stretches {
        [only] => vec![format!("{} throughout", words(only))],
        [most @ .., last] => {
            let up_to = most.iter().map(|stretch| format!("{} up to {}", words(stretch), told(stretch.to)));
            up_to.chain([format!("{} beyond", words(last))]).collect()
        }
        [] => Vec::new(),
    };
    limits::first_upper(&format!("{}: {}", dial.name(), said.join("; ")))
}

/// The strip below a dial: a bar where the latch set does, a broken one where it may stand aside, hatching where neither does.
struct Track<'a> {
    stretches: &'a [Stretch],
    last: f64,
}

/// Width and height of a strip, px.
const STRIP: (u32, u32) = (1000, 20);
/// Length of a dash and of the gap after it, and distance from line to line of the hatching, px.
const DASH: (f64, f64, f64) = (26.0, 12.0, 12.0);

impl Picture for Track<'_> {
    fn compose(&self, theme: &Theme) -> Result<Scene, PlotError> {
        let (wide, high) = (f64::from(STRIP.0), f64::from(STRIP.1));
        let mut shapes = Vec::new();
        for stretch in self.stretches {
            let (left, right) = (wide * stretch.from / self.last, wide * stretch.to / self.last);
            let mut block = |left: f64, right: f64, colour| {
                let points = vec![(left, 0.0), (right, 0.0), (right, high), (left, high)];
                shapes.push(Shape::Area { points, colour });
            };
            match stretch.verdict {
                Some(Verdict::Set) => block(left, right, theme.series_colour(0).line),
                Some(Verdict::LeaveAside) => {
                    let mut at = left;
                    while at < right {
                        block(at, (at + DASH.0).min(right), theme.series_colour(1).line);
                        at += DASH.0 + DASH.1;
                    }
                }
                Some(Verdict::Neither) => {
                    let mut at = left;
                    while at < right {
                        let end = (at + high).min(right);
                        let points = vec![(at, high), (end, high - (end - at))];
                        shapes.push(Shape::Line { points, colour: theme.limit, width: 2.5 });
                        at += DASH.2;
                    }
                }
                Some(Verdict::NotKnown) | None => block(left, right, theme.grid),
            }
        }
        let layout = Layout { width: STRIP.0, height: STRIP.1, texts: Vec::new(), omitted: Vec::new() };
        Ok(Scene { background: theme.background, shapes, layout })
    }
}
