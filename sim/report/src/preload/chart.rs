//! The charts: fill and speed, and loads and margins, over the preload.

use super::super::charts::close;
use super::super::limits::{missed, value};
use super::super::owner::{milliseconds, percent};
use super::{Told, turns, worst};
use latchstroke_core::limits::Limit;
use latchstroke_core::studies::preload::{Bound, Setting};
use latchstroke_core::turn::Finding;
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::{Axis, Hatch, LineChart, Panel, Series, Stroke};
use latchstroke_scenario::Unit;

/// Both charts: file name without its ending, and the chart.
pub fn charts(told: &Told<'_>, source: &str) -> Vec<(&'static str, LineChart)> {
    vec![("preload-fill", filling(told, source)), ("preload-loads", loads(told, source))]
}

fn axis(label: &str, unit: &Unit) -> Axis {
    Axis::new(label, unit.symbol)
}

/// A chart over the preload, with the present and the asked setting named, and the range for the latch set shaded.
fn chart(told: &Told<'_>, headline: String, source: &str) -> LineChart {
    let unit = told.units.force;
    let x = match told.force_per_turn() {
        Some(force) => {
            axis(&format!("preload (a turn of the adjusting nut is {})", close(&told.force(force))), unit)
        }
        None => axis("preload", unit),
    };
    let mut chart = LineChart::new(headline, x).with_source(source);
    for (setting, mark) in told.rows().into_iter().filter(|(_, mark)| !mark.is_empty()) {
        let turns =
            setting.turns.map_or(String::new(), |turns| format!(", {}", close(&turns::counted(turns))));
        chart = chart.with_event(
            unit.from_si(setting.preload),
            format!("{mark} {}{turns}", close(&told.at_rest(setting.preload))),
        );
    }
    if let Some(reach) = &told.answer.reaches[1] {
        chart = chart.with_band(
            unit.from_si(reach.low.preload),
            unit.from_si(reach.high.preload),
            "will do, latch set",
        );
    }
    chart
}

/// A curve over the preload; a value that is not known breaks it. It ends before coils touch, where force and stress run out of
/// all proportion.
fn curve(told: &Told<'_>, name: &str, value: impl Fn(&Setting) -> Option<f64>) -> Series {
    let points: Vec<(f64, f64)> = told
        .rows()
        .into_iter()
        .filter(|(setting, _)| !matches!(setting.fault(), Some(Finding::CoilBound { .. })))
        .map(|(setting, _)| (told.units.force.from_si(setting.preload), value(setting).unwrap_or(f64::NAN)))
        .collect();
    Series::new(name, points)
}

/// A panel's two curves, latch aside and set, told apart as in the other charts.
fn both(told: &Told<'_>, panel: Panel, value: impl Fn(&Setting, LatchSetting) -> Option<f64>) -> Panel {
    panel
        .with_series(
            curve(told, "latch aside", |setting| value(setting, LatchSetting::Aside))
                .style(1)
                .stroke(Stroke::Dashed)
                .with_markers(),
        )
        .with_series(
            curve(told, "latch set", |setting| value(setting, LatchSetting::Set))
                .style(0)
                .stroke(Stroke::Solid)
                .with_markers(),
        )
}

/// The limits that end the ranges; where no setting of the nut does, the
/// one that decides now.
fn ending(told: &Told<'_>) -> Vec<Limit> {
    let ends = told.answer.reaches.iter().flatten().flat_map(|reach| [reach.low.bound, reach.high.bound]);
    let mut limits: Vec<Limit> = ends
        .filter_map(|bound| match bound {
            Some(Bound::Limit(limit)) => Some(limit),
            Some(Bound::Unknown) | None => None,
        })
        .collect();
    if told.answer.reaches.iter().all(Option::is_none) {
        let decides = told.answer.present().and_then(|now| now.judgement.deciding());
        limits.extend(decides.map(|margin| margin.limit));
    }
    limits.sort_unstable();
    limits.dedup();
    limits
}

/// What a limit takes over the preload, and what it may; none where that is not known, or says nothing over the preload.
fn limit_panel(told: &Told<'_>, limit: Limit) -> Option<Panel> {
    let units = &told.units;
    let (label, unit): (&str, Option<&Unit>) = match limit {
        Limit::CoilsApart => ("squeeze of the tightest spring", Some(units.lift)),
        Limit::WireStress => ("stress in the wire", Some(units.pressure)),
        Limit::MatrixHeld => ("force that lifts the matrix", Some(units.force)),
        Limit::TrappedAir => ("air left in the mould", None),
        _ => return None,
    };
    let drawn = |si: f64| unit.map_or(100.0 * si, |unit| unit.from_si(si));
    let margin = |setting: &Setting, latch| setting.judgement.standing(latch).margin(limit).copied();
    let bound = told.answer.settings.iter().find_map(|setting| margin(setting, LatchSetting::Set)?.bound)?;
    let axis = Axis::new(label, unit.map_or("%", |unit| unit.symbol));
    let panel = both(told, Panel::new(axis), |setting, latch| margin(setting, latch)?.value.map(drawn));
    Some(panel.with_limit(
        drawn(bound),
        format!("may be {}", close(&value(limit, bound, units))),
        Hatch::Above,
    ))
}

/// Fill time and greatest piston speed over the preload, and the limits that end the range.
pub fn filling(told: &Told<'_>, source: &str) -> LineChart {
    let units = &told.units;
    let headline = match &told.answer.reaches[1] {
        Some(reach) => format!(
            "With the latch set, a preload of {} to {} will do",
            close(&told.least(reach.low.preload)),
            close(&told.least(reach.high.preload))
        ),
        None => {
            match told.answer.present().and_then(|now| now.judgement.standing(LatchSetting::Set).deciding()) {
                Some(margin) if margin.is_in_the_way() => {
                    format!("No preload tried will do with the latch set; now {}", missed(margin.limit))
                }
                _ => "No preload tried will do with the latch set".to_owned(),
            }
        }
    };
    let mut fill = Panel::new(Axis::new("fill time", "ms").log());
    if let Some(clocks) = told.answer.settings.first().map(|setting| setting.judgement.clocks) {
        let allowed = format!("allowed {}", close(&milliseconds(clocks.allowed)));
        fill = fill.with_limit(clocks.allowed * 1e3, allowed, Hatch::Above);
    }
    let chart = chart(told, headline, source).with_panel(both(told, fill, |setting, latch| {
        setting.turn(latch).sound_fill_time().map(|time| time * 1e3)
    }));
    let limits: Vec<Panel> = ending(told).into_iter().filter_map(|limit| limit_panel(told, limit)).collect();
    if limits.is_empty() {
        let speed = Panel::new(axis("piston speed", units.speed));
        return chart.with_panel(both(told, speed, |setting, latch| {
            Some(units.speed.from_si(setting.turn(latch).peaks.piston_speed))
        }));
    }
    limits.into_iter().fold(chart, LineChart::with_panel)
}

fn loads(told: &Told<'_>, source: &str) -> LineChart {
    let units = &told.units;
    let now = told.answer.present();
    let load = now.and_then(|setting| setting.judgement.set.throw).map(|throw| throw.latch_load);
    let share = now.and_then(Setting::stress_share);
    let headline = match (load, share) {
        (Some(load), Some(share)) => format!(
            "Now {} on the latch, and the wire at {} of what it may bear",
            close(&units.force(load)),
            close(&percent(share))
        ),
        (Some(load), None) => {
            format!("Now {} on the latch as it lets go", close(&units.force(load)))
        }
        _ => "The latch does not throw the rod at the present setting".to_owned(),
    };
    let force = |si: f64| units.force.from_si(si);
    let mut chart = chart(told, headline, source).with_panel(
        Panel::new(axis("force", units.force))
            .with_series(
                curve(told, "on the latch", |s| s.judgement.set.throw.map(|throw| force(throw.latch_load)))
                    .style(3),
            )
            .with_series(
                curve(told, "on the cam", |s| {
                    let (aside, set) = (s.judgement.aside.peaks.cam_force, s.judgement.set.peaks.cam_force);
                    Some(force(aside.max(set)))
                })
                .style(2),
            ),
    );
    if now.is_some_and(|setting| worst(setting).is_some()) {
        let stress = |s: &Setting| worst(s).map(|stress| units.pressure.from_si(stress.wahl));
        let mut panel = Panel::new(axis("stress in the wire", units.pressure))
            .with_series(curve(told, "greatest in the turn", stress).style(4));
        if let Some(allowable) = now.and_then(worst).and_then(|stress| stress.allowable) {
            panel = panel.with_limit(
                units.pressure.from_si(allowable),
                format!("may bear {}", close(&units.pressure(allowable))),
                Hatch::Above,
            );
        }
        chart = chart.with_panel(panel);
    }
    if now.is_some_and(|setting| setting.room.is_some()) {
        let room = |s: &Setting| s.room.map(|room| units.lift.from_si(room));
        chart = chart.with_panel(
            Panel::new(axis("room left", units.lift))
                .with_series(curve(told, "to touching coils", room).style(4))
                .with_limit(0.0, "coils touch", Hatch::Below),
        );
    }
    chart
}
