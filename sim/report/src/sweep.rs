//! What moving one value does over its whole range: the stretches with one verdict, in a sentence, as a chart and as a strip.

use super::limits::{self, first_upper};
use latchstroke_core::studies::judge::Verdict;
use latchstroke_plots::{Axis, Hatch, LineChart, Mark, Panel, Series, Strip, Stroke};

/// How far the chart's upright axis reaches: a limit kept or missed by more is drawn at its end.
pub const REACH: (f64, f64) = (0.25, 4.0);

/// A stretch of the range with one verdict, in the value's unit; no verdict where there is no such machine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Where it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// The verdict.
    pub verdict: Option<Verdict>,
}

/// What was found over the range.
#[derive(Debug)]
pub struct Sweep<'a> {
    /// What the value is called, and its unit's symbol.
    pub name: (&'a str, &'a str),
    /// The stretches, joined, from the lowest value to the highest.
    pub stretches: &'a [Stretch],
    /// How many times over the least limit is kept by value, latch aside and set.
    pub kept: [Vec<(f64, f64)>; 2],
    /// The value as it is set.
    pub now: Option<f64>,
}

impl Sweep<'_> {
    fn range(&self) -> (f64, f64) {
        let ends = (self.stretches.first(), self.stretches.last());
        (ends.0.map_or(0.0, |first| first.from), ends.1.map_or(1.0, |last| last.to))
    }

    /// "Pace: neither will do up to 8 turns/min; set the latch up to 24 turns/min; leave the latch aside beyond"; `told` writes a value.
    pub fn headline(&self, told: impl Fn(f64) -> String) -> String {
        let words = |stretch: &Stretch| stretch.verdict.map_or("there is no such machine", limits::verdict);
        let said: Vec<String> = match self.stretches {
            [only] => vec![format!("{} throughout", words(only))],
            [most @ .., last] => {
                let up_to =
                    most.iter().map(|stretch| format!("{} up to {}", words(stretch), told(stretch.to)));
                up_to.chain([format!("{} beyond", words(last))]).collect()
            }
            [] => Vec::new(),
        };
        first_upper(&format!("{}: {}", self.name.0, said.join("; ")))
    }

    /// Both settings of the latch over the range, the stretches named below.
    pub fn chart(self, headline: &str) -> LineChart {
        let (low, high) = self.range();
        let [aside, set] = self.kept;
        let panel = Panel::new(Axis::new("least limit kept, times", "").log().range(REACH.0, REACH.1))
            .with_series(Series::new("latch aside", aside).style(1).stroke(Stroke::Dashed))
            .with_series(Series::new("latch set", set).style(0))
            .with_limit(1.0, "", Hatch::Below);
        let mut chart =
            LineChart::new(headline, Axis::new(self.name.0, self.name.1).range(low, high)).with_panel(panel);
        if let Some(now) = self.now {
            chart = chart.with_event(now, "now");
        }
        for stretch in self.stretches {
            chart =
                chart.with_band(stretch.from, stretch.to, stretch.verdict.map_or("cannot be", limits::short));
        }
        chart
    }

    /// The strip below a dial: a bar where the latch set does, a broken one where it may stand aside, ruled where neither does.
    pub fn strip(&self) -> Strip {
        let (low, high) = self.range();
        let share = |value: f64| (value - low) / (high - low);
        let mark = |verdict| match verdict {
            Some(Verdict::Set) => Mark::Bar(0),
            Some(Verdict::LeaveAside) => Mark::Broken(1),
            Some(Verdict::Neither) => Mark::Forbidden,
            Some(Verdict::NotKnown) | None => Mark::Blank,
        };
        let parts = self.stretches.iter().map(|part| (share(part.from), share(part.to), mark(part.verdict)));
        Strip { parts: parts.collect() }
    }
}
