//! Draws the table of `work_precision.rs`.
//!
//!     cargo run -p latchstroke --example work_precision_chart -- tests/peers/work_precision.csv tests/peers/work_precision.png

use csv::StringRecord;
use latchstroke_plots::{Axis, LineChart, Panel, Series, Theme, to_png, to_svg};
use std::error::Error;

/// The columns drawn, and what each is the error of.
const FIGURES: [(usize, &str); 3] = [(3, "fill time"), (4, "peak pressure"), (5, "lasting pressure")];
/// Errors below this are drawn as this.
const LEAST: f64 = 1e-10;
/// Between which tolerances the price of one that is ten times as tight is told.
const TOLD: (f64, f64) = (1e-4, 1e-8);

fn number(row: &StringRecord, column: usize) -> Option<f64> {
    row.get(column)?.parse().ok()
}

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [table, picture] = &words[..] else {
        return Err("work_precision_chart TABLE.csv PICTURE.png".into());
    };
    let rows = csv::Reader::from_path(table)?.records().collect::<Result<Vec<_>, _>>()?;
    let mut machines: Vec<&str> = rows.iter().filter_map(|row| row.get(0)).collect();
    machines.dedup();
    let of = |machine: &str| rows.iter().filter(move |row| row.get(0) == Some(machine)).collect::<Vec<_>>();
    let price = |machine: &&str| {
        let at = |tolerance: f64| {
            let near =
                |row: &&&StringRecord| number(row, 1).is_some_and(|own| (own / tolerance - 1.0).abs() < 0.01);
            of(machine).iter().find(near).and_then(|row| number(row, 2))
        };
        Some((at(TOLD.1)? / at(TOLD.0)?).ln() / (TOLD.0 / TOLD.1).log10())
    };
    let prices: Vec<f64> = machines.iter().filter_map(price).collect();
    let price = (prices.iter().sum::<f64>() / prices.len() as f64).exp();
    let headline = format!("A tolerance ten times as tight costs {price:.1} times the instructions");
    let mut chart =
        LineChart::new(headline, Axis::new("instructions of a turn", "million").log()).with_size(1920, 1440);
    for (column, figure) in FIGURES {
        let mut panel = Panel::new(Axis::new(format!("error of {figure}"), "").log().range(LEAST, 1e-2));
        for (style, setting) in [(1, "aside"), (0, "set")] {
            let own: Vec<&&str> = machines.iter().filter(|machine| machine.ends_with(setting)).collect();
            for (which, machine) in own.iter().enumerate() {
                let points = of(machine);
                let points = points
                    .iter()
                    .filter_map(|row| Some((1e-6 * number(row, 2)?, number(row, column)?.max(LEAST))));
                let curve = Series::new(**machine, points).style(style).variant(which, own.len());
                panel = panel.with_series(curve.with_markers());
            }
        }
        chart = chart.with_panel(panel);
    }
    let chart = chart.with_source(
        "six turns of the tests' working set, made softer and stiffer; against turns at 1e-11 whose ringing is followed to its end",
    );
    let svg = to_svg(&chart, &Theme::light())?;
    Ok(std::fs::write(picture, to_png(&svg, 1920)?)?)
}
