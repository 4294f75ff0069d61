//! Charts of a turn, latch aside and set: each headline states its finding with the solved number.

use super::limits;
#[cfg(feature = "files")]
use super::outbox::Outbox;
use super::owner::{OwnerUnits, milliseconds, rounded, significant};
use latchstroke_core::studies::judge::{Judgement, Verdict};
use latchstroke_core::turn::{Event, EventKind, Instant, Turn};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::mould::FULL;
use latchstroke_plots::{Axis, Beside, Hatch, LineChart, Panel, Series, Stroke};
#[cfg(feature = "files")]
use latchstroke_plots::{Picture, PlotError, Theme, layout, to_png, to_svg};
use latchstroke_scenario::Unit;
use std::f64::consts::TAU;

/// A limit later than so many times what else is shown is left off a chart against time, …
const FARTHEST: f64 = 3.0;
/// … and one that is marked has so much room behind it, as a ratio.
const PAST_ALLOWED: f64 = 1.15;

/// The pressing before the metal comes in takes no more of a chart than this part of what comes after.
const MOST_LEAD: f64 = 0.25;
/// Room beyond the greatest of what is shown, as a ratio of the time to it.
const PAST_GREATEST: f64 = 1.1;
/// Share of the width for the throw enlarged.
const ENLARGED: f64 = 0.38;
/// How long a throw is shown that neither fills the mould nor catches up, as a share of the turn.
const THROWN: f64 = 0.02;
/// Pressure of the air, Pa: that of a vacuum is as much below nought.
const ATMOSPHERE: f64 = 101_325.0;

/// More points than this across a chart cannot be seen apart.
const POINTS: usize = 1500;

/// Draws the four charts of a cast as PNG and SVG into an outbox; answers the labels for which there was no room.
///
/// # Errors
/// When a picture cannot be drawn.
#[cfg(feature = "files")]
pub fn draw_cast(
    judgement: &Judgement,
    (units, source): (&OwnerUnits, &str),
    theme: &Theme,
    outbox: &mut Outbox,
) -> Result<Vec<String>, PlotError> {
    let mut omitted = draw_one("travel", &travel(judgement, units, source), theme, outbox)?;
    let others = [
        ("piston-speed", piston_speed(judgement, units, source)),
        ("pressure", pressure(judgement, units, source)),
        ("fill-and-skin", fill_and_skin(judgement, units, source)),
    ];
    omitted.extend(draw(&others, theme, outbox)?);
    Ok(omitted)
}

/// Draws charts as PNG and SVG into an outbox; answers the labels for which there was no room.
///
/// # Errors
/// When a picture cannot be drawn.
#[cfg(feature = "files")]
pub fn draw(
    charts: &[(&str, impl Picture)],
    theme: &Theme,
    outbox: &mut Outbox,
) -> Result<Vec<String>, PlotError> {
    let mut omitted = Vec::new();
    for (name, chart) in charts {
        omitted.extend(draw_one(name, chart, theme, outbox)?);
    }
    Ok(omitted)
}

/// Draws one picture as PNG and SVG into an outbox; answers the labels for which there was no room.
///
/// # Errors
/// When it cannot be drawn.
#[cfg(feature = "files")]
pub fn draw_one(
    name: &str,
    picture: &impl Picture,
    theme: &Theme,
    outbox: &mut Outbox,
) -> Result<Vec<String>, PlotError> {
    let svg = to_svg(picture, theme)?;
    outbox.add(format!("{name}.png"), to_png(&svg, theme.format.png_width())?);
    outbox.add(format!("{name}.svg"), svg);
    Ok(layout(picture, theme)?.omitted.into_iter().map(|label| format!("{name}: {label}")).collect())
}

fn both(judgement: &Judgement) -> [(&'static str, Stroke, usize, &Turn); 2] {
    [("latch aside", Stroke::Dashed, 1, &judgement.aside), ("latch set", Stroke::Solid, 0, &judgement.set)]
}

/// A curve of the instants within `window` (s), thinned to what can be seen.
fn curve(
    turn: &Turn,
    window: (f64, f64),
    x: impl Fn(&Instant) -> f64,
    y: impl Fn(&Instant) -> f64,
) -> Vec<(f64, f64)> {
    let inside: Vec<&Instant> =
        turn.trace.iter().filter(|i| (window.0..=window.1).contains(&i.time)).collect();
    let every = inside.len().div_ceil(POINTS).max(1);
    let last = inside.len().saturating_sub(1);
    inside
        .iter()
        .enumerate()
        .filter(|(n, _)| n % every == 0 || *n == last)
        .map(|(_, i)| (x(i), y(i)))
        .collect()
}

/// The cast as a headline names it: "24 pt at 20 turns/min".
pub(super) fn cast_words(judgement: &Judgement, units: &OwnerUnits) -> String {
    let size = close(&units.size(judgement.cast.sort.body.0));
    format!("{size} at {}", close(&units.turns(judgement.cast.pace.0)))
}

/// A figure kept on one line with its unit.
pub(super) fn close(figure: &str) -> String {
    figure.replace(' ', "\u{a0}")
}

fn axis(label: &str, unit: &Unit) -> Axis {
    Axis::new(label, unit.symbol)
}

/// How far cross block and piston have gone over the turn, latch aside and set, and the throw enlarged beside it. Green goes with
/// the cam, as in the drawing of the machine.
pub fn travel(judgement: &Judgement, units: &OwnerUnits, source: &str) -> Beside {
    let headline = if let Some(throw) = judgement.set.throw {
        format!(
            "The latch holds the rod until the cross block has lifted {}",
            close(&units.lift(lift_at(&judgement.set, throw.time)))
        )
    } else {
        let machine = judgement.standing(LatchSetting::Set).in_the_way().find(|m| m.limit.is_of_machine());
        let why = machine.map_or_else(String::new, |m| format!(": {}", limits::missed(m.limit)));
        format!("The latch does not throw the rod in this turn{why}")
    };
    let lift = |si: f64| units.lift.from_si(si);
    let panel =
        |name: &str, (turn, style): (&Turn, usize), window: (f64, f64), x: &dyn Fn(&Instant) -> f64| {
            Panel::new(axis(name, units.lift).not_below(0.0))
                .with_series(
                    Series::new("cross block", curve(turn, window, x, |i| lift(i.state.block_lift)))
                        .style(2)
                        .stroke(Stroke::Dashed),
                )
                .with_series(
                    Series::new("piston", curve(turn, window, x, |i| lift(i.piston_travel)))
                        .style(style)
                        .stroke(Stroke::Solid),
                )
        };
    let whole = (0.0, f64::INFINITY);
    let degrees = |i: &Instant| i.angle.to_degrees();
    let events = |panel: Panel, turn: &Turn, at: &dyn Fn(&Event) -> f64| {
        [EventKind::LatchLetsGo, EventKind::Full, EventKind::Sealed, EventKind::LatchCatches]
            .into_iter()
            .filter_map(|kind| turn.first(kind))
            .fold(panel, |panel, event| panel.with_event(at(event), event_name(event.kind)))
    };
    let turned = |name: &str, turn: &Turn, style: usize| {
        events(panel(name, (turn, style), whole, &degrees), turn, &|e| e.angle.to_degrees())
    };
    let set = &judgement.set;
    let throw = set.throw.map(|throw| {
        // A rod that fills the mould on the springs alone catches up only as the cross block comes back.
        let ends = throw.caught_up.into_iter().chain(set.fill.map(|fill| fill.full)).reduce(f64::min);
        let lasts = ends.map_or(THROWN * TAU / set.shaft_speed, |ends| ends - throw.time);
        let (from, to) = (throw.time - 0.25 * lasts, throw.time + 1.35 * lasts);
        let since = |time: f64| 1e3 * (time - throw.time);
        let drawn = panel("lift in the throw, latch set", (set, 0), (from, to), &|i| since(i.time));
        let inside = [EventKind::LatchLetsGo, EventKind::EntryReached, EventKind::Full]
            .into_iter()
            .filter_map(|kind| set.first(kind))
            .filter(|event| (from..to).contains(&event.time));
        let drawn =
            inside.fold(drawn, |drawn, event| drawn.with_event(since(event.time), event_name(event.kind)));
        LineChart::new("", Axis::new("time since the latch let go", "ms").range(since(from), since(to)))
            .with_panel(drawn)
    });
    LineChart::new(headline, Axis::new("shaft angle", "°").degrees().range(0.0, 360.0))
        .with_panel(turned("lift, latch aside", &judgement.aside, 1))
        .with_panel(turned("lift, latch set", set, 0))
        .with_source(source)
        .beside(throw, ENLARGED)
}

/// The name of an event beside its line.
fn event_name(kind: EventKind) -> &'static str {
    match kind {
        EventKind::LatchLetsGo => "lets go",
        EventKind::EntryReached => "metal comes in",
        EventKind::Full => "full",
        EventKind::Sealed => "sealed",
        EventKind::LatchCatches => "caught again",
        kind => kind.words(),
    }
}

/// Lift of the cross block at an event, m.
pub(super) fn lift_at(turn: &Turn, time: f64) -> f64 {
    turn.events.iter().find(|e| e.time >= time).map_or(f64::NAN, |e| e.before.block_lift)
}

/// When the metal comes into the mould, s from the start of the turn: charts against time count from there, as the fill and its
/// limits do.
fn entry(turn: &Turn) -> Option<f64> {
    turn.fill.map(|fill| fill.entry).or_else(|| Some(turn.first(EventKind::EntryReached)?.time))
}

/// How long after it the charts go on: a little past the slower fill, s.
fn span(judgement: &Judgement) -> f64 {
    let longest =
        both(judgement).into_iter().filter_map(|(.., turn)| Some(turn.fill?.time())).fold(0.0, f64::max);
    if longest > 0.0 { 1.25 * longest } else { 0.1 }
}

/// How long before it the pump begins to press, s, so far as that is worth its room.
fn lead(judgement: &Judgement, span: f64) -> f64 {
    let pressed = |turn: &Turn| Some(entry(turn)? - turn.first(EventKind::InletCloses)?.time);
    let longest = both(judgement).into_iter().filter_map(|(.., turn)| pressed(turn)).fold(0.0, f64::max);
    (1.15 * longest).clamp(0.05 * span, MOST_LEAD * span)
}

/// A chart against time: from when to when (s from the metal's entry), and what of it is left out, as the end of its source line.
struct Shown {
    window: (f64, f64),
    source: String,
}

/// What a chart of a value shows: the pressing, the fills, and the value's greatest, which the headline states; a
/// greatest so far off that it would squeeze all else is told instead.
fn shown(judgement: &Judgement, (name, value): (&str, fn(&Instant) -> f64), source: &str) -> Shown {
    let span = span(judgement);
    let mut window = (lead(judgement, span), span);
    let mut source = source.to_owned() + &without(judgement);
    for (setting, .., turn) in both(judgement) {
        let Some(start) = entry(turn) else { continue };
        let greatest = turn.trace.iter().max_by(|a, b| value(a).total_cmp(&value(b)));
        let Some(at) = greatest.map(|i| i.time - start) else { continue };
        if at > FARTHEST * span || -at > FARTHEST * span {
            let when = if at > 0.0 { "after" } else { "before" };
            source += &format!(
                " The greatest {name} with the {setting} is not shown: it comes {} {when} the metal entered.",
                close(&milliseconds(at.abs()))
            );
        } else {
            window = (window.0.max(-PAST_GREATEST * at), window.1.max(PAST_GREATEST * at));
        }
    }
    Shown { window, source }
}

/// What a chart against time cannot show, as the end of its source line.
fn without(judgement: &Judgement) -> String {
    let mut told = String::new();
    for (setting, ..) in both(judgement).into_iter().filter(|(.., turn)| entry(turn).is_none()) {
        told += " No metal comes into the mould with the ";
        told += setting;
        told += ": it has no curve.";
    }
    told
}

/// A panel's two curves over time, in ms, from `lead` before the metal comes in to `span` (s) after it; values that are not there
/// break them.
fn over_time(
    judgement: &Judgement,
    (lead, span): (f64, f64),
    mut panel: Panel,
    y: impl Fn(&Turn, &Instant) -> Option<f64>,
) -> Panel {
    for (setting, stroke, style, turn) in both(judgement) {
        let Some(start) = entry(turn) else { continue };
        let window = (start - lead, start + span);
        let points = curve(turn, window, |i| (i.time - start) * 1e3, |i| y(turn, i).unwrap_or(f64::NAN));
        panel = panel.with_series(Series::new(setting, points).style(style).stroke(stroke));
    }
    panel
}

fn time_axis((lead, span): (f64, f64)) -> Axis {
    Axis::new("time since the metal entered the mould", "ms").range(-lead * 1e3, span * 1e3)
}

/// How fast the piston goes, latch aside and set.
pub fn piston_speed(judgement: &Judgement, units: &OwnerUnits, source: &str) -> LineChart {
    let speed = |turn: &Turn| close(&rounded(units.speed, turn.peaks.piston_speed, 2));
    let headline = match judgement.set.throw {
        Some(_) => format!(
            "Piston up to {} with the latch set, {} with it aside ({})",
            speed(&judgement.set),
            speed(&judgement.aside),
            cast_words(judgement, units)
        ),
        None => format!(
            "Piston up to {} with the latch aside; set, it does not throw ({})",
            speed(&judgement.aside),
            cast_words(judgement, units)
        ),
    };
    let panel = Panel::new(axis("piston speed", units.speed));
    let Shown { window, source } = shown(judgement, ("piston speed", |i| i.piston_speed), source);
    LineChart::new(headline, time_axis(window))
        .with_panel(over_time(judgement, window, panel, |_, i| Some(units.speed.from_si(i.piston_speed))))
        .with_source(source)
}

/// How the pressure goes in the well and in the mould, latch aside and set.
pub fn pressure(judgement: &Judgement, units: &OwnerUnits, source: &str) -> LineChart {
    let greatest = |turn: &Turn| close(&rounded(units.pressure, turn.peaks.cavity_pressure, 2));
    let headline = match judgement.set.throw {
        Some(_) => format!(
            "Mould pressure up to {} with the latch set, {} with it aside",
            greatest(&judgement.set),
            greatest(&judgement.aside)
        ),
        None => format!(
            "Mould pressure up to {} with the latch aside; set, it does not throw",
            greatest(&judgement.aside)
        ),
    };
    let Shown { window, source } = shown(judgement, ("mould pressure", |i| i.cavity_pressure), source);
    // Nothing has less than no pressure at all.
    let panel =
        |name: &str| Panel::new(axis(name, units.pressure).not_below(units.pressure.from_si(-ATMOSPHERE)));
    let told = |si: f64| Some(units.pressure.from_si(si));
    LineChart::new(headline, time_axis(window))
        .with_panel(over_time(judgement, window, panel("in the well"), |_, i| told(i.well_pressure)))
        .with_panel(over_time(judgement, window, panel("in the mould"), |_, i| told(i.cavity_pressure)))
        .with_source(source)
}

/// How far the mould is filled and how thick the skin on its face is, against what is allowed, latch aside and set.
pub fn fill_and_skin(judgement: &Judgement, units: &OwnerUnits, source: &str) -> LineChart {
    let time = |turn: &Turn| turn.fill.map_or("never".to_owned(), |fill| close(&milliseconds(fill.time())));
    let (aside, set) = (time(&judgement.aside), time(&judgement.set));
    let headline = match judgement.verdict {
        Verdict::LeaveAside => format!("{}: full in {aside} without the latch", cast_words(judgement, units)),
        Verdict::Set => {
            format!("{}: full in {set} with the latch, {aside} without", cast_words(judgement, units))
        }
        Verdict::Neither => {
            let why = judgement.deciding().map_or("neither will do", |margin| limits::missed(margin.limit));
            format!("{}: {set} with the latch, {aside} without; {why}", cast_words(judgement, units))
        }
        Verdict::NotKnown => format!("{}: a turn could not be solved", cast_words(judgement, units)),
    };
    let (allowed, fills) = (judgement.clocks.allowed, span(judgement));
    let span = if allowed < FARTHEST * fills { fills.max(PAST_ALLOWED * allowed) } else { fills };
    let window = (0.05 * span, span);
    let name = format!(
        "{} over {}: {}",
        limits::clock(judgement.clocks.deciding()),
        significant(judgement.clocks.of_clock(judgement.clocks.deciding()) / allowed, 3),
        close(&milliseconds(allowed))
    );
    // A limit much later than either fill would squeeze both; the source line tells it.
    let marked = |panel: Panel, name: &str| {
        if allowed < span { panel.with_x_limit(1e3 * allowed, name, Hatch::Above) } else { panel }
    };
    let mut source = source.to_owned() + &without(judgement);
    if allowed >= span {
        source += &format!(" Not shown, since so much later: {name}.");
    }
    // What goes to and fro at the entry of a full mould is not to be believed: curves end as it is full.
    let filling = |turn: &Turn, i: &Instant| turn.fill.is_none_or(|fill| i.time <= fill.full);
    let fill = Panel::new(Axis::new("mould filled", "%").range(0.0, 105.0));
    let fill = over_time(judgement, window, marked(fill, &name), |turn, i| {
        filling(turn, i).then(|| 100.0 * (i.fill / FULL).clamp(0.0, 1.0))
    });
    let chart = LineChart::new(headline, time_axis(window)).with_panel(fill);
    let skin = |turn: &Turn, i: &Instant| filling(turn, i).then(|| units.fine.from_si(i.skin));
    let grows = both(judgement)
        .into_iter()
        .any(|(.., turn)| turn.trace.iter().any(|i| i.skin > 0.0 && filling(turn, i)));
    if !grows {
        return chart.with_source(source + " No skin forms before the mould is full.");
    }
    let panel = Panel::new(axis("skin while filling", units.fine).not_below(0.0));
    chart.with_panel(over_time(judgement, window, marked(panel, ""), skin)).with_source(source)
}
