//! What one dial does over its whole range, everything else as it is set.

use crate::Problem;
use crate::dial::{Dial, Of, Scale};
use crate::judged::kind;
use crate::look::Look;
use crate::setting::{Base, Setting, faulty};
use latchstroke_core::limits::Freezings;
use latchstroke_core::studies::judge::{Verdict, judge_limits};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_report::sweep::{REACH, Stretch, Sweep};
use serde_json::{Value, json};

/// Into how many parts the range is cut.
const PARTS: u32 = 24;
/// How often a part in which the verdict changes is halved.
const HALVINGS: u32 = 5;
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

/// The answer: the shading for the dial's track, and the strip with both settings over the range.
pub fn answer(base: &Base, setting: &Setting, dial: Dial, look: Look) -> Result<Value, Problem> {
    let Some(scale) = dial.scale(base) else { return Ok(json!({ "dial": dial })) };
    let seen = looks(base, setting, dial, &scale);
    let opened = base.with(setting)?;
    let cast = opened.cast;
    let machine = Machine::prepare(&opened.stated, cast.sort, cast.pace, LatchSetting::Set)
        .map_err(|faults| faulty(&opened.scenario, faults))?;
    let kept = |which: usize| {
        let kept = |seen: &Seen| seen.kept.get(which).copied().unwrap_or(f64::NAN);
        seen.iter().map(|seen| (scale.at(seen.place), kept(seen))).collect()
    };
    let stretches = stretches(&seen, &scale);
    let sweep = Sweep {
        name: (dial.name(), scale.unit.symbol),
        stretches: &stretches,
        kept: [kept(0), kept(1)],
        now: dial.value(Of::opened(&opened, &machine)).map(|si| scale.unit.from_si(si)),
    };
    let told =
        |value: f64| dial.told(scale.unit.to_si(value), &base.units, scale.unit).replace(' ', "\u{a0}");
    let headline = sweep.headline(told);
    let track = look.svg(&sweep.strip())?;
    Ok(json!({
        "dial": dial,
        "svg": look.chart(&sweep.chart(&headline), TALL)?,
        "headline": headline,
        "track": track,
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
        let judgement = judge_limits(&opened.stated, opened.cast, &Freezings::on(&opened.terms)).ok()?;
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
fn stretches(seen: &[Seen], scale: &Scale) -> Vec<Stretch> {
    let mut all: Vec<Stretch> = Vec::new();
    for look in seen {
        let (value, verdict) = (scale.at(look.place), look.verdict);
        match all.last_mut() {
            Some(last) if last.verdict == verdict => last.to = value,
            Some(last) => {
                let change = f64::midpoint(last.to, value);
                last.to = change;
                all.push(Stretch { from: change, to: value, verdict });
            }
            None => all.push(Stretch { from: value, to: value, verdict }),
        }
    }
    all
}
