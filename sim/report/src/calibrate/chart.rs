//! Chance of a sound cast against pace, latch aside and set, with the remembered casts as marks.

use super::Answer;
use super::casts::{is_against_the_others, place};
use crate::owner::OwnerUnits;
use crate::{a_few, each_once};
use latchstroke_core::studies::calibrate::{Flaw, Outcome, Outlook, Weighed};
use latchstroke_models::latch::LatchSetting::{self, Aside, Set};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::Pace;
use latchstroke_plots::{Axis, LineChart, Panel, Series};

/// Paces along a curve.
const PACES: u32 = 25;
/// How far the curves go on past the slowest and the fastest pace asked about or remembered, as a ratio.
const PAST: f64 = 1.25;
/// How far a mark stands above 100 % or below nought, per cent, and above or below another that it would hide.
const APART: f64 = 14.0;
/// Marks no further apart in pace than this, as a share, hide each other.
const HIDES: f64 = 0.03;
/// More sizes than this cannot be told apart by colour and line.
const MOST_SIZES: usize = 5;

/// The sizes drawn: of those asked about, the smallest and the largest and as many between as can be told apart.
pub fn sizes(sorts: &[Sort]) -> Vec<Sort> {
    a_few(sorts.len(), MOST_SIZES).filter_map(|n| sorts.get(n).copied()).collect()
}

/// The paces along the curves, evenly by ratio.
pub fn paces(answer: &Answer, asked: &[Pace]) -> Vec<Pace> {
    let remembered = answer.calibration.casts.iter().map(|weighed| weighed.experience.cast.pace.0);
    let all: Vec<f64> = asked.iter().map(|pace| pace.0).chain(remembered).collect();
    let low = all.iter().copied().fold(f64::INFINITY, f64::min) / PAST;
    let high = all.iter().copied().fold(0.0, f64::max) * PAST;
    let share = |n: u32| f64::from(n) / f64::from(PACES - 1);
    (0..PACES).map(|n| Pace(low * (high / low).powf(share(n)))).collect()
}

/// The chart, from the outlooks at each of [`sizes`] and [`paces`], of the `asked` sizes.
pub fn chances(
    answer: &Answer,
    curves: &[Outlook],
    asked: usize,
    units: &OwnerUnits,
    source: &str,
) -> LineChart {
    let sorts = each_once(curves.iter().map(|outlook| outlook.cast.sort));
    let panel = |name: &str, setting: LatchSetting| {
        let marks = marks(answer, &sorts, setting, units);
        let farthest = marks.iter().map(|mark| (mark.at.1 - 50.0).abs() - 50.0).fold(0.0, f64::max);
        let room = farthest + 0.5 * APART;
        let mut panel =
            Panel::new(Axis::new(format!("chance sound, {name}"), "%").range(-room, 100.0 + room));
        let (style, of) = (usize::from(setting == Aside), sorts.len());
        for (n, sort) in sorts.iter().enumerate() {
            let points = curves
                .iter()
                .filter(|o| o.cast.sort == *sort && o.setting == setting)
                .map(|o| (units.pace.from_si(o.cast.pace.0), 100.0 * o.chance));
            panel = panel.with_series(
                Series::new(units.size(sort.body.0).replace(' ', "\u{a0}"), points)
                    .style(style)
                    .variant(n, of),
            );
            let (against, with): (Vec<&Mark>, _) =
                marks.iter().filter(|mark| mark.size == n).partition(|mark| mark.against.is_some());
            let series = |name: &str, marks: &[&Mark]| {
                let points = marks.iter().map(|mark| mark.at);
                Series::new(name, points).style(style).variant(n, of).markers_only()
            };
            if !with.is_empty() {
                panel = panel.with_series(series("", &with));
            }
            for mark in against {
                let name = mark.against.as_deref().unwrap_or_default();
                panel = panel.with_series(series(name, &[mark]).hollow());
            }
        }
        panel
    };
    LineChart::new(headline(answer, units), Axis::new("pace", units.pace.symbol))
        .with_panel(panel("latch aside", Aside))
        .with_panel(panel("latch set", Set))
        .with_source(format!(
            "{source} Marks: your casts, sound ones above 100\u{a0}%, failed ones below nought{}.{}",
            if answer.calibration.casts.iter().any(is_against_the_others) {
                ", hollow where the others make it unlikely"
            } else {
                ""
            },
            left_out(answer, &sorts, asked)
        ))
}

/// What is not drawn: sizes too many to be told apart, and casts of other sizes or with flaws that have nothing to do with the
/// filling.
fn left_out(answer: &Answer, sorts: &[Sort], asked: usize) -> String {
    let mut told = String::new();
    if asked > sorts.len() {
        told += &format!(" {} of {asked} sizes are drawn.", sorts.len());
    }
    let shown: Vec<usize> = [Aside, Set]
        .into_iter()
        .flat_map(|setting| marked(answer, sorts, setting).map(|(_, cast)| cast.experience.number))
        .collect();
    let all = answer.calibration.casts.len();
    if shown.len() < all {
        told += &format!(
            " {} of {all} casts are marked: the others are of other sizes, or failed otherwise.",
            shown.len()
        );
    }
    let unshown: Vec<String> = answer
        .calibration
        .casts
        .iter()
        .filter(|cast| is_against_the_others(cast) && !shown.contains(&cast.experience.number))
        .map(|cast| place(&cast.experience))
        .collect();
    if !unshown.is_empty() {
        told += &format!(" Not marked, though the others make it unlikely: {}.", unshown.join(", "));
    }
    told
}

/// The remembered casts that are marked, with the number of their size.
fn marked<'a>(
    answer: &'a Answer,
    sorts: &'a [Sort],
    setting: LatchSetting,
) -> impl Iterator<Item = (usize, &'a Weighed)> {
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-6;
    answer.calibration.casts.iter().filter_map(move |weighed| {
        let e = &weighed.experience;
        let is_it = |s: &Sort| {
            near(e.cast.sort.body.0, s.body.0) && near(e.cast.sort.set.0, s.set.0) && e.setting == setting
        };
        let other = matches!(e.outcome, Outcome::Failed(Some(Flaw::NotSolid | Flaw::LiftedMatrix)));
        sorts.iter().position(is_it).filter(|_| !other).map(|n| (n, weighed))
    })
}

/// A remembered cast in the picture.
struct Mark {
    /// The number of its size.
    size: usize,
    /// Pace in the owner's unit, and height, per cent.
    at: (f64, f64),
    /// What is written beside it, where the others make it unlikely.
    against: Option<String>,
}

/// The remembered casts of each size: sound ones above 100 %, failed ones below nought, further out where another stands
/// already. What has nothing to do with the filling is left out.
fn marks(answer: &Answer, sorts: &[Sort], setting: LatchSetting, units: &OwnerUnits) -> Vec<Mark> {
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < HIDES;
    let mut placed: Vec<(f64, bool)> = Vec::new();
    let mut set_down = |pace: f64, is_sound: bool| {
        let hidden = placed.iter().filter(|(at, sound)| near(pace, *at) && *sound == is_sound).count();
        placed.push((pace, is_sound));
        let beyond = APART * (hidden + 1) as f64;
        (units.pace.from_si(pace), if is_sound { 100.0 + beyond } else { -beyond })
    };
    let mut all: Vec<(usize, &Weighed)> = marked(answer, sorts, setting).collect();
    all.sort_by_key(|(size, _)| *size);
    all.into_iter()
        .map(|(size, cast)| {
            let of = &cast.experience;
            let at = set_down(of.cast.pace.0, of.outcome == Outcome::Sound);
            let against = is_against_the_others(cast)
                .then(|| format!("{}: does not fit", place(of)).replace(' ', "\u{a0}"));
            Mark { size, at, against }
        })
        .collect()
}

fn headline(answer: &Answer, units: &OwnerUnits) -> String {
    let skin = answer.calibration.posterior.skin_given(answer.stated.1.si);
    let figure = |si: f64| super::significant(units.skin.from_si(si), 2);
    let count = answer.calibration.casts.len();
    let casts = if count == 1 { "One cast puts".to_owned() } else { format!("{count} casts put") };
    format!(
        "{casts} the accepted skin at {}\u{a0}{} ({} to {}), heat transfer as stated",
        figure(skin.median),
        units.skin.symbol,
        figure(skin.low),
        figure(skin.high)
    )
}
