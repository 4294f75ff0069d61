//! A cam's readings in words, as a table to type and as a CSV file.

use super::{Figures, Reading, numbered};
use latchstroke_core::bench::dial::{Answer, FEWEST, Place, Refused};
use latchstroke_scenario::measured::dial::Dial;
use latchstroke_scenario::quantity::{System, trimmed};
use latchstroke_scenario::{Dimension, Quantity};
use serde_json::json;
use std::fmt::Write as _;

/// Width of a list's lines.
const WIDTH: usize = 90;

/// Everything that is told of a cam.
#[derive(Debug)]
pub struct Report<'a> {
    /// What was read.
    pub dial: &'a Dial,
    /// What came of it.
    pub answer: &'a Answer,
    /// The figures to tell it in.
    pub figures: Figures,
}

/// Why nothing is told.
pub fn refused(why: Refused, figures: Figures) -> String {
    let length = |si: f64| figures.told(Dimension::Length, si);
    match why {
        Refused::TooFew(angles) => format!(
            "cannot tell: readings at {angles} angles are too few; {FEWEST} are the least, and one every ten degrees shows the shape"
        ),
        Refused::Loose(run, error) => format!(
            "cannot tell: run {} ends {} from where it began, after a whole turn. The dial or its holder has moved: read that run again, or leave it out",
            run + 1,
            length(error.abs())
        ),
        Refused::Unlike(scatter) => format!(
            "cannot tell: at the same angles the runs scatter by {}, which is no dial's. See that all count their angles from the same place and turn the same way",
            length(scatter)
        ),
    }
}

impl Report<'_> {
    fn unit(&self) -> (&'static str, usize) {
        if self.figures.system == System::Inch { ("in", 4) } else { ("mm", 3) }
    }

    /// A lift as a figure: to a micron or a tenth of a thou.
    fn lift(&self, si: f64) -> String {
        let (symbol, places) = self.unit();
        let value = Dimension::Length.find(symbol).map_or(si, |unit| unit.from_si(si));
        let text = format!("{value:.places$}");
        trimmed(if text.trim_start_matches('-').chars().all(|c| "0.".contains(c)) {
            "0".to_owned()
        } else {
            text
        })
    }

    fn rows(&self) -> Vec<(String, String)> {
        let angle = |place: &Place| trimmed(format!("{:.2}", place.angle.to_degrees()));
        self.answer.places.iter().map(|place| (angle(place), self.lift(place.lift))).collect()
    }

    /// The readings as quantities, for a scenario.
    pub fn readings(&self) -> Vec<(Quantity, Quantity)> {
        let of = |text: String, dimension| Quantity::parse(&text, dimension).ok();
        let both = |(angle, lift): (String, String)| {
            Some((
                of(format!("{angle} deg"), Dimension::Angle)?,
                of(format!("{lift} {}", self.unit().0), Dimension::Length)?,
            ))
        };
        self.rows().into_iter().filter_map(both).collect()
    }

    /// The table as a file for `readings_file`.
    pub fn csv(&self) -> String {
        let mut file = format!("angle (deg), lift ({})\n", self.unit().0);
        for (angle, lift) in self.rows() {
            // Writing to a string does not fail.
            let _ = writeln!(file, "{angle}, {lift}");
        }
        file
    }

    /// Why these readings, in a few words.
    pub fn why(&self) -> String {
        let runs = match self.answer.runs {
            1 => "one run".to_owned(),
            runs => format!("{runs} runs"),
        };
        let scatter = self.answer.scatter;
        let scatter =
            scatter.map(|scatter| format!(", scatter {}", self.figures.about(Dimension::Length, scatter)));
        format!("dial indicator, {runs}{}", scatter.unwrap_or_default())
    }

    /// All of it.
    pub fn reading(&self) -> Reading {
        let (answer, figures) = (self.answer, self.figures);
        let rows = self.rows();
        let list = |key: &str, of: &dyn Fn(&(String, String)) -> String| {
            let mut lines = vec![format!("{key} = [")];
            for (n, row) in rows.iter().enumerate() {
                let cell = of(row) + if n + 1 < rows.len() { ", " } else { "]" };
                match lines.last_mut() {
                    Some(line) if line.len() + cell.len() < WIDTH => *line += &cell,
                    _ => lines.push(format!("  {cell}")),
                }
            }
            lines.into_iter().map(|line| line.trim_end().to_owned() + "\n").collect::<String>()
        };
        let table = format!(
            "[cam]\nlaw = \"measured\"  # {}\nangle_unit = \"deg\"\nlift_unit = \"{}\"\n{}{}",
            self.why(),
            self.unit().0,
            list("angles", &|row| row.0.clone()),
            list("lifts", &|row| row.1.clone())
        );
        let highest = answer.places.iter().map(|place| place.lift).fold(0.0, f64::max);
        let about = format!(
            "Cam: {} readings of {} at {} angles; it lifts {}.",
            self.dial.looks.len(),
            match answer.runs {
                1 => "one run".to_owned(),
                runs => format!("{runs} runs"),
            },
            answer.places.len(),
            figures.told(Dimension::Length, highest)
        );
        let data = json!({
            "runs": answer.runs,
            "lift_m": highest,
            "closing_errors_m": answer.closings.iter().map(|closing| closing.1).collect::<Vec<_>>(),
            "scatter_of_readings_m": answer.scatter,
            "smoothed_by_m": answer.moved.map(|moved| moved.0),
            "left_out_lines": answer.off.iter().map(|(n, _)| self.dial.lines.get(*n)).collect::<Vec<_>>(),
            "likely_slips_rad": answer.slips.iter().map(|slip| answer.places[slip.index].angle).collect::<Vec<_>>(),
            "angles_rad": answer.places.iter().map(|place| place.angle).collect::<Vec<_>>(),
            "lifts_m": answer.places.iter().map(|place| place.lift).collect::<Vec<_>>(),
            "means_m": answer.places.iter().map(|place| place.mean).collect::<Vec<_>>(),
        });
        Reading { about, pieces: Vec::new(), table, findings: self.findings(), at_the_machine: false, data }
    }

    fn findings(&self) -> Vec<String> {
        let (answer, figures) = (self.answer, self.figures);
        let fine = |si: f64| figures.about(Dimension::Length, si);
        let at = |place: usize| {
            answer
                .places
                .get(place)
                .map_or_else(String::new, |p| trimmed(format!("{:.2}", p.angle.to_degrees())) + "°")
        };
        let mut said = Vec::new();
        for (run, error) in &answer.closings {
            let run = if answer.runs > 1 { format!("Run {}", run + 1) } else { "The run".to_owned() };
            said.push(if error.abs() < 1e-9 {
                format!("{run} ends where it began.")
            } else {
                format!(
                    "{run} ends {} {} than it began, after a whole turn; that is spread over it in the order of its readings.",
                    fine(error.abs()),
                    if *error > 0.0 { "higher" } else { "lower" }
                )
            });
        }
        if answer.closings.is_empty() {
            said.push(
                "No run was read on to 360°, where it began: whether the dial has moved cannot be seen."
                    .to_owned(),
            );
        }
        match answer.scatter {
            Some(scatter) => said.push(format!(
                "Readings at the same angle scatter by {} (standard deviation), each run counted from a nought of its own.",
                fine(scatter)
            )),
            None => said.push("Nothing was read twice, so that nothing says how closely it was read.".to_owned()),
        }
        for (n, by) in &answer.off {
            let on = self.dial.lines.get(*n).copied().into_iter().collect::<Vec<_>>();
            let way = if *by > 0.0 { "above" } else { "below" };
            let angle = self.dial.looks.get(*n).map_or(0.0, |look| look.angle.to_degrees());
            let angle = trimmed(format!("{angle:.2}"));
            said.push(format!(
                "! A reading at {angle}° ({}) lies {} {way} the others there and is left out: a slip?",
                numbered("line", &on),
                fine(by.abs())
            ));
        }
        for (place, by) in &answer.apart {
            said.push(format!("! At {} two readings differ by {}; read it again.", at(*place), fine(*by)));
        }
        for slip in &answer.slips {
            said.push(format!(
                "! The lift at {} does not lie on the curve of its neighbours, which lead one to expect {} {}: a slip? Read it again before you type these.",
                at(slip.index),
                fine((slip.expected - answer.places.get(slip.index).map_or(0.0, |p| p.mean)).abs()),
                if slip.expected > answer.places.get(slip.index).map_or(0.0, |p| p.mean) { "more" } else { "less" }
            ));
        }
        match answer.moved {
            Some((rms, most, by)) => said.push(format!(
                "The lifts are smoothed, which moved them by {} (root mean square), most at {}, by {}. With --unsmoothed they are the plain means.",
                fine(rms),
                at(most),
                fine(by.abs())
            )),
            None if !answer.slips.is_empty() => said.push(
                "The lifts are the plain means of their readings: nothing is smoothed while a slip is among them."
                    .to_owned(),
            ),
            None => said.push("The lifts are the plain means of their readings.".to_owned()),
        }
        said.push("Lifts count from the lowest.".to_owned());
        said
    }
}
