//! The machine in slow motion, latch aside beside latch set, frame by frame.

use crate::Problem;
use crate::judged::Judged;
use crate::look::Look;
use crate::setting::faulty;
use latchstroke_core::turn::Stop;
use latchstroke_plots::mechanism::FilmFrame;
use latchstroke_report::film::{Film, HOLD, HUNDREDTHS, no_film};
use serde_json::{Value, json};

/// How many frames the film has.
const FRAMES: usize = 180;
/// The most frames drawn for one request.
const MOST: usize = 24;

/// Frames from one on, round the end of the film, each with a caption for those who cannot see it.
pub fn frames(judged: &Judged, look: Look, (from, count): (usize, usize)) -> Result<Value, Problem> {
    for turn in [&judged.judgement.aside, &judged.judgement.set] {
        if turn.stop != Stop::FullTurn {
            return Ok(json!({ "why": no_film(turn.stop) }));
        }
    }
    let opened = &judged.opened;
    let film = Film::new(&opened.stated, &judged.judgement, FRAMES, &judged.units)
        .map_err(|faults| faulty(&opened.scenario, faults))?;
    let frame = |n: usize| {
        let n = n % FRAMES;
        Ok(json!({ "n": n, "svg": look.svg(&film.frame(n))?, "caption": film.caption(n) }))
    };
    let frames: Vec<Value> =
        (from..from.saturating_add(count.min(MOST))).map(frame).collect::<Result<_, Problem>>()?;
    Ok(json!({
        "frames": frames,
        "of": FRAMES,
        "milliseconds": 10 * u32::from(HUNDREDTHS),
        "hold": 10 * u32::from(HOLD),
        "parts": { "aside": FilmFrame::part(0), "set": FilmFrame::part(1) },
    }))
}
