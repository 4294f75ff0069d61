//! Charts of a turn, latch aside and set: each headline states its finding with the solved number.

use super::limits;
use super::outbox::Outbox;
use super::owner::{OwnerUnits, milliseconds, rounded, significant};
use latchstroke_core::studies::judge::{Judgement, Verdict};
use latchstroke_core::turn::{EventKind, Instant, Turn};
use latchstroke_plots::{
    Axis, Hatch, LineChart, Panel, Picture, PlotError, Series, Stroke, Theme, layout, to_png, to_svg,
};
use latchstroke_scenario::Unit;

/// A limit later than so many times what else is shown is left off a chart against time, …
const FARTHEST: f64 = 3.0;
/// … and one that is marked has so much room behind it, as a ratio.
const PAST_ALLOWED: f64 = 1.15;

/// More points than this across a chart cannot be seen apart.
const POINTS: usize = 1500;

/// The four charts of a cast: file name without its ending, and the chart.
pub fn of_cast(judgement: &Judgement, units: &OwnerUnits, source: &str) -> Vec<(&'static str, LineChart)> {
    vec![
        ("travel", travel(judgement, units, source)),
        ("piston-speed", piston_speed(judgement, units, source)),
        ("pressure", pressure(judgement, units, source)),
        ("fill-and-skin", fill_and_skin(judgement, units, source)),
    ]
}

/// Draws charts as PNG and SVG into an outbox; answers the labels for which there was no room.
///
/// # Errors
/// When a picture cannot be drawn.
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

/// How far cross block and piston have gone, latch aside and set.
pub(super) fn travel(judgement: &Judgement, units: &OwnerUnits, source: &str) -> LineChart {
    let headline = match judgement.set.throw {
        Some(throw) => format!(
            "The latch holds the rod until the cross block has lifted {}",
            close(&units.lift(lift_at(&judgement.set, throw.time)))
        ),
        None => "The latch does not throw the rod in this turn".to_owned(),
    };
    let whole = (0.0, f64::INFINITY);
    let degrees = |i: &Instant| i.angle.to_degrees();
    let lift = |si: f64| units.lift.from_si(si);
    let panel = |name: &str, turn: &Turn| {
        Panel::new(axis(&format!("lift, {name}"), units.lift))
            .with_series(
                Series::new("cross block", curve(turn, whole, degrees, |i| lift(i.state.block_lift)))
                    .style(1)
                    .stroke(Stroke::Dashed),
            )
            .with_series(
                Series::new("piston", curve(turn, whole, degrees, |i| lift(i.piston_travel))).style(0),
            )
    };
    let mut chart = LineChart::new(headline, Axis::new("shaft angle", "°").degrees().range(0.0, 360.0))
        .with_panel(panel("latch aside", &judgement.aside))
        .with_panel(panel("latch set", &judgement.set))
        .with_source(source);
    for kind in [EventKind::LatchLetsGo, EventKind::Full, EventKind::Sealed, EventKind::LatchCatches] {
        if let Some(event) = judgement.set.first(kind) {
            let name = match kind {
                EventKind::Full => "full, latch set",
                EventKind::Sealed => "sealed, latch set",
                _ => kind.words(),
            };
            chart = chart.with_event(event.angle.to_degrees(), name);
        }
    }
    chart
}

/// Lift of the cross block at an event, m.
pub(super) fn lift_at(turn: &Turn, time: f64) -> f64 {
    turn.events.iter().find(|e| e.time >= time).map_or(f64::NAN, |e| e.before.block_lift)
}

/// The event from which a chart against time counts.
#[derive(Clone, Copy)]
enum Since {
    /// The pump begins to press: the inlet closes.
    InletCloses,
    /// The metal enters the mould, as the fill and its limits count.
    Entry,
}

impl Since {
    fn of(self, turn: &Turn) -> Option<f64> {
        let kind = match self {
            Self::InletCloses => EventKind::InletCloses,
            Self::Entry => EventKind::EntryReached,
        };
        turn.first(kind).map(|event| event.time)
    }

    fn words(self) -> &'static str {
        match self {
            Self::InletCloses => "time since the inlet closed",
            Self::Entry => "time since the metal entered the mould",
        }
    }
}

/// How long after it the charts go on: a little past the slower fill, s.
fn span(judgement: &Judgement, since: Since) -> f64 {
    let ends = [&judgement.aside, &judgement.set]
        .into_iter()
        .filter_map(|turn| Some(turn.fill?.full - since.of(turn)?));
    let longest = ends.fold(0.0_f64, f64::max);
    if longest > 0.0 { 1.25 * longest } else { 0.1 }
}

/// A panel's two curves over time, in ms.
fn over_time(
    judgement: &Judgement,
    since: Since,
    span: f64,
    mut panel: Panel,
    y: impl Fn(&Turn, &Instant) -> f64,
) -> Panel {
    for (setting, stroke, style, turn) in both(judgement) {
        let Some(start) = since.of(turn) else { continue };
        let window = (start - 0.05 * span, start + span);
        let points = curve(turn, window, |i| (i.time - start) * 1e3, |i| y(turn, i));
        panel = panel.with_series(Series::new(setting, points).style(style).stroke(stroke));
    }
    panel
}

fn time_axis(since: Since, span: f64) -> Axis {
    Axis::new(since.words(), "ms").range(-0.05 * span * 1e3, span * 1e3)
}

fn piston_speed(judgement: &Judgement, units: &OwnerUnits, source: &str) -> LineChart {
    let speed = |turn: &Turn| close(&rounded(units.speed, turn.peaks.piston_speed, 2));
    let headline = format!(
        "Piston up to {} with the latch set, {} with it aside ({})",
        speed(&judgement.set),
        speed(&judgement.aside),
        cast_words(judgement, units)
    );
    let panel = Panel::new(axis("piston speed", units.speed));
    let since = Since::InletCloses;
    let span = span(judgement, since);
    LineChart::new(headline, time_axis(since, span))
        .with_panel(over_time(judgement, since, span, panel, |_, i| units.speed.from_si(i.piston_speed)))
        .with_source(source)
}

fn pressure(judgement: &Judgement, units: &OwnerUnits, source: &str) -> LineChart {
    let greatest = |turn: &Turn| close(&rounded(units.pressure, turn.peaks.cavity_pressure, 2));
    let headline = format!(
        "Mould pressure up to {} with the latch set, {} with it aside",
        greatest(&judgement.set),
        greatest(&judgement.aside)
    );
    let well = Panel::new(axis("in the well", units.pressure));
    let mould = Panel::new(axis("in the mould", units.pressure));
    let since = Since::InletCloses;
    let span = span(judgement, since);
    LineChart::new(headline, time_axis(since, span))
        .with_panel(over_time(judgement, since, span, well, |_, i| units.pressure.from_si(i.well_pressure)))
        .with_panel(over_time(judgement, since, span, mould, |_, i| {
            units.pressure.from_si(i.cavity_pressure)
        }))
        .with_source(source)
}

fn fill_and_skin(judgement: &Judgement, units: &OwnerUnits, source: &str) -> LineChart {
    let time = |turn: &Turn| turn.fill.map_or("never".to_owned(), |fill| close(&milliseconds(fill.time())));
    let (aside, set) = (time(&judgement.aside), time(&judgement.set));
    let headline = match judgement.verdict {
        Verdict::LeaveAside => format!("{}: full in {aside} without the latch", cast_words(judgement, units)),
        Verdict::Set => {
            format!("{}: full in {set} with the latch, {aside} without", cast_words(judgement, units))
        }
        Verdict::Neither => {
            format!(
                "{}: {set} with the latch, {aside} without: neither will do",
                cast_words(judgement, units)
            )
        }
        Verdict::NotKnown => format!("{}: a turn could not be solved", cast_words(judgement, units)),
    };
    let since = Since::Entry;
    let (allowed, fills) = (judgement.clocks.allowed, span(judgement, since));
    let span = if allowed < FARTHEST * fills { fills.max(PAST_ALLOWED * allowed) } else { fills };
    // A limit much later than either fill would squeeze both; the figures tell it.
    let marked = |panel: Panel, name: String| {
        if allowed < span { panel.with_x_limit(1e3 * allowed, name, Hatch::Above) } else { panel }
    };
    let name = format!(
        "{} over {}: {}",
        limits::clock(judgement.clocks.deciding()),
        significant(judgement.clocks.of_clock(judgement.clocks.deciding()) / allowed, 3),
        close(&milliseconds(allowed))
    );
    let fill = marked(Panel::new(Axis::new("mould filled", "%").range(0.0, 105.0)), name);
    let skin = marked(Panel::new(axis("skin while filling", units.fine)), String::new());
    LineChart::new(headline, time_axis(since, span))
        .with_panel(over_time(judgement, since, span, fill, |_, i| 100.0 * i.fill))
        .with_panel(over_time(judgement, since, span, skin, |turn, i| {
            let filling = turn.fill.is_none_or(|fill| i.time <= fill.full);
            if filling { units.fine.from_si(i.skin) } else { f64::NAN }
        }))
        .with_source(source)
}
