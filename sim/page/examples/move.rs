//! What a move of a dial costs in the page. Count instructions where a clock is too noisy:
//!
//! ```text
//! cargo build --release -p latchstroke-page --example move
//! valgrind --tool=callgrind target/release/examples/move scenarios/large_initials.toml travel
//! ```
//!
//! Moves the pace forty times, as the page's script does, with the charts named drawn at each.

use latchstroke_page::Session;
use serde_json::json;
use std::time::Instant;

fn main() -> Result<(), std::io::Error> {
    let mut arguments = std::env::args().skip(1);
    let text = std::fs::read_to_string(arguments.next().unwrap_or_default())?;
    let charts: Vec<String> = arguments.collect();
    let mut session = Session::default();
    let begun = Instant::now();
    let mut bytes = 0;
    for tenth in 0..40 {
        let pace = format!("{} turns/min", 15.0 + 0.1 * f64::from(tenth));
        let request = json!({
            "ask": "judge",
            "setting": { "name": "", "text": text, "sets": [], "units": null, "moves": [["pace", pace]], "real": false },
            "look": { "dark": false, "width": 1000 },
            "charts": charts,
        });
        bytes += session.answer(request.to_string().as_bytes()).len();
    }
    println!("{bytes} bytes, {:.2} ms a move", begun.elapsed().as_secs_f64() * 1e3 / 40.0);
    Ok(())
}
