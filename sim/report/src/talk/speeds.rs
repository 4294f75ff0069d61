//! The piston's speed over the paces: carried it follows the cam, thrown it follows the springs.

use super::super::charts::close;
use super::super::owner::significant;
use super::{Draft, Note, Told};
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::turn::Turn;
use latchstroke_plots::{Axis, LineChart, Panel, Series, Stroke};

/// Room above the greatest speed, as a ratio.
const ROOM: f64 = 1.1;

/// What both ends of the range say.
struct Ends<'a> {
    low: &'a Judgement,
    high: &'a Judgement,
    /// At how many of the paces the latch throws, and of how many.
    thrown: (usize, usize),
}

impl Ends<'_> {
    fn throws_everywhere(&self) -> bool {
        self.thrown.0 == self.thrown.1
    }
}

fn ends<'a>(told: &'a Told<'_>) -> Option<Ends<'a>> {
    let paces = &told.talk.paces;
    let thrown = paces.iter().filter(|judgement| judgement.set.throw.is_some()).count();
    Some(Ends { low: paces.first()?, high: paces.last()?, thrown: (thrown, paces.len()) })
}

/// Why the picture is left out, where it is.
pub(super) fn missing(told: &Told<'_>) -> Option<String> {
    let why = "Why a slow pace is a slow piston: a turn could not be solved to its end.";
    (!told.is_solved()).then(|| why.to_owned())
}

/// The picture; none where a turn could not be solved.
pub(super) fn draft(told: &Told<'_>) -> Option<Draft<'static>> {
    if missing(told).is_some() {
        return None;
    }
    let source = told.source(&close(&told.size()));
    let headline = headline(told);
    let units = &told.units;
    let curve = |turn: &dyn Fn(&Judgement) -> Option<f64>| -> Vec<(f64, f64)> {
        told.talk
            .paces
            .iter()
            .map(|judgement| {
                let speed = turn(judgement).map_or(f64::NAN, |speed| units.speed.from_si(speed));
                (units.pace.from_si(judgement.cast.pace.0), speed)
            })
            .collect()
    };
    let carried = curve(&|judgement| Some(judgement.aside.peaks.piston_speed));
    let thrown = curve(&|judgement| judgement.set.throw.map(|_| judgement.set.peaks.piston_speed));
    let most = [&carried, &thrown].into_iter().flatten().map(|(_, speed)| *speed).fold(0.0, f64::max);
    let axis = Axis::new("greatest piston speed", units.speed.symbol).range(0.0, ROOM * most);
    let mut panel = Panel::new(axis).with_series(
        Series::new("carried, latch aside", carried).style(1).stroke(Stroke::Dashed).with_markers(),
    );
    let throws = thrown.iter().any(|(_, speed)| speed.is_finite());
    if throws {
        panel = panel.with_series(
            Series::new("thrown, latch set", thrown).style(0).stroke(Stroke::Solid).with_markers(),
        );
    }
    let own = &told.talk.judgement;
    for judgement in ends(told).iter().flat_map(|ends| [ends.low, own]) {
        for (turn, style) in [(&judgement.aside, 1), (&judgement.set, 0)] {
            if style == 1 || turn.throw.is_some() {
                let speed = turn.peaks.piston_speed;
                let at = (units.pace.from_si(judgement.cast.pace.0), units.speed.from_si(speed));
                panel = panel.with_point(at, close(&told.speed(speed)), Some(style));
            }
        }
    }
    let chart = LineChart::new(&headline, Axis::new("pace", units.pace.symbol))
        .with_panel(panel)
        .with_source(&source);
    Some(Draft { stem: "piston-speed", picture: Box::new(chart), headline, source, note: note(told) })
}

fn headline(told: &Told<'_>) -> String {
    let Some(ends) = ends(told) else { return String::new() };
    let (units, low, own) = (&told.units, ends.low, &told.talk.judgement);
    let speed = |turn: &Turn| close(&told.speed(turn.peaks.piston_speed));
    let at = |judgement: &Judgement| close(&units.turns(judgement.cast.pace.0));
    let carried = if low.cast == own.cast {
        format!("Carried by the cam, the piston goes at {} at {}", speed(&own.aside), at(own))
    } else {
        format!(
            "Carried by the cam, the piston goes at {} at {} and at {} at {}",
            speed(&low.aside),
            at(low),
            speed(&own.aside),
            at(own)
        )
    };
    match (low.set.throw, own.set.throw) {
        (Some(_), Some(_)) if low.cast == own.cast || speed(&low.set) == speed(&own.set) => {
            format!("{carried}; thrown by the spring, at {}", speed(&own.set))
        }
        (Some(_), Some(_)) => {
            format!("{carried}; thrown by the spring, at {} and {}", speed(&low.set), speed(&own.set))
        }
        _ if ends.thrown.0 == 0 => format!("{carried}; the latch throws it at no pace"),
        _ => format!("{carried}; the latch throws it at {} of {} paces", ends.thrown.0, ends.thrown.1),
    }
}

fn note(told: &Told<'_>) -> Note {
    let mut say = Vec::new();
    if let Some(ends) = ends(told) {
        say.push(format!(
            "The picture goes from {} to {}.",
            told.units.turns(ends.low.cast.pace.0),
            told.units.turns(ends.high.cast.pace.0)
        ));
        say.push(format!(
            "Carried by the cam, the piston goes at {} at the slow end and {} at the fast end.",
            told.speed(ends.low.aside.peaks.piston_speed),
            told.speed(ends.high.aside.peaks.piston_speed)
        ));
        say.push(if ends.throws_everywhere() {
            format!(
                "Thrown by the springs, it goes at {} and {}: the springs do not know how fast the shaft turns.",
                told.speed(ends.low.set.peaks.piston_speed),
                told.speed(ends.high.set.peaks.piston_speed)
            )
        } else {
            format!(
                "The latch throws the rod at {} of the {} paces solved.",
                ends.thrown.0, ends.thrown.1
            )
        });
    }
    let size = told.size();
    let faster = match told.talk.cooling {
        Some(cooling) => format!(
            "The type must be solid before the mould opens, or metal runs out hot: begin slow, break a few types across, and go faster only while their middles are sound. By the model the middle of {size} is solid {} s after the mould is full, which allows {}; a sort cooled from all four sides is solid sooner.",
            significant(cooling.time, 3),
            told.units.turns(cooling.pace)
        ),
        None => format!(
            "The type must be solid before the mould opens, or metal runs out hot; by the model {size} is not even at the slowest pace."
        ),
    };
    Note {
        shows: format!(
            "The greatest speed of the piston while {size} is cast, against the pace: carried with the latch aside, thrown with it set."
        ),
        computed: format!(
            "{} turns: a row of paces, each with the latch aside and set.",
            2 * told.talk.paces.len()
        ),
        say,
        questions: vec![("Why not simply run faster?".to_owned(), faster)],
    }
}
