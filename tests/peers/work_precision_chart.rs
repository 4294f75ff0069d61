//! Draws the table of `work_precision.rs`.
//!
//!     cargo run -p latchstroke --example work_precision_chart -- tests/peers/work_precision.csv tests/peers/work_precision.png

use latchstroke_plots::{Axis, LineChart, Panel, Series, Theme, to_png, to_svg};
use std::error::Error;

/// The columns drawn, and what each is the error of.
const FIGURES: [(usize, &str); 3] = [(3, "fill time"), (4, "peak pressure"), (5, "lasting pressure")];
/// Errors below this are drawn as this.
const LEAST: f64 = 1e-9;

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [table, picture] = &words[..] else {
        return Err("work_precision_chart TABLE.csv PICTURE.png".into());
    };
    let rows = csv::Reader::from_path(table)?.records().collect::<Result<Vec<_>, _>>()?;
    let mut machines: Vec<&str> = rows.iter().filter_map(|row| row.get(0)).collect();
    machines.dedup();
    let axis = Axis::new("instructions of a turn", "million").log();
    let mut chart =
        LineChart::new("Six machines: what a turn costs, and what its figures are then off by", axis);
    for (column, figure) in FIGURES {
        let mut panel = Panel::new(Axis::new(figure, "relative error").log());
        for (which, machine) in machines.iter().enumerate() {
            let number = |row: &csv::StringRecord, column: usize| row.get(column)?.parse::<f64>().ok();
            let own = rows.iter().filter(|row| row.get(0) == Some(machine));
            let points =
                own.filter_map(|row| Some((1e-6 * number(row, 2)?, number(row, column)?.max(LEAST))));
            panel = panel.with_series(Series::new(*machine, points).style(which).with_markers());
        }
        chart = chart.with_panel(panel);
    }
    let svg = to_svg(&chart, &Theme::light())?;
    Ok(std::fs::write(picture, to_png(&svg, 1920)?)?)
}
