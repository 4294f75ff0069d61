//! `latchstroke film`: the machine drawn and moving.

use super::args::FilmOptions;
use super::open::Opened;
use super::progress::Progress;
use super::{Failure, Outcome, answers, say};
use latchstroke_core::studies::judge::judge_traced;
use latchstroke_core::studies::watch::Watch;
use latchstroke_core::turn::Stop;
use latchstroke_plots::moving::{Follow, Reel};
use latchstroke_plots::{PlotError, Theme};
use latchstroke_report::charts::draw_one;
use latchstroke_report::film::{Film, HOLD, HUNDREDTHS, no_film};
use latchstroke_report::outbox::Outbox;

/// Width of the film as GIF, px.
const FILM_WIDTH: u16 = 1280;

/// The progress of the drawing.
struct Drawing<'a>(&'a Progress);

impl Follow for Drawing<'_> {
    fn advance(&self, frames: u64) {
        self.0.advance(frames);
    }

    fn called_off(&self) -> bool {
        self.0.called_off()
    }
}

/// Runs the command.
///
/// # Errors
/// Bad input, a folder that cannot be written, or Ctrl-C.
pub fn run(options: &FilmOptions) -> Result<Outcome, Failure> {
    let opened = Opened::with_cast(&options.cast)?;
    let Opened { scenario, units, machine, terms, cast, .. } = &opened;
    let real = opened.real_pace(options.cast.pace.as_deref())?;
    let judgement = judge_traced(machine, *cast, terms).map_err(|faults| opened.faulty(faults))?;
    for turn in [&judgement.aside, &judgement.set] {
        if turn.stop != Stop::FullTurn {
            say(&(no_film(turn.stop) + "\n"))?;
            return Ok(Outcome::NotKnown);
        }
    }
    let film =
        Film::new(machine, &judgement, options.frames, units).map_err(|faults| opened.faulty(faults))?;
    let theme = options.look.theme();
    let mut outbox = answers::outbox(scenario);
    let schematic = film.schematic(scenario, units, &answers::source(scenario));
    let mut omitted = draw_one("mechanism", &schematic, &theme, &mut outbox)?;
    let moments = if options.stills { film.moments() } else { Vec::new() };
    for (number, moment) in moments.into_iter().enumerate() {
        let name = format!("still-{}-{}", number + 1, moment.name);
        omitted.extend(draw_one(&name, &film.still(moment.time), &theme, &mut outbox)?);
    }
    let progress = Progress::start("drawing the film", options.frames as u64);
    let title = format!("{}: latch aside and latch set", scenario.machine_name());
    let whole = moving(&film, &title, &answers::theme(options.look.dark), &progress, &mut outbox)?;
    progress.finish();
    if !whole {
        return Err(Failure::CalledOff);
    }
    answers::send(&outbox, &options.folder.out, options.folder.force, &omitted)?;
    say(&film.text(real.as_ref(), units))?;
    Ok(Outcome::of([&judgement]))
}

/// The film as it is drawn; none if called off.
///
/// # Errors
/// When a frame cannot be drawn.
pub(super) fn reel(film: &Film, theme: &Theme, progress: &Progress) -> Result<Option<Reel>, PlotError> {
    Reel::take(film.pace().frames(), |n| film.frame(n), theme, &Drawing(progress))
}

/// The film as a page to be played.
pub(super) fn page(film: &Film, reel: &Reel, title: &str, theme: &Theme) -> String {
    let captions: Vec<String> = (0..reel.len()).map(|n| film.caption(n)).collect();
    reel.html(title, &captions, (HUNDREDTHS, HOLD), theme)
}

/// Draws the film into the outbox; false if called off.
fn moving(
    film: &Film,
    title: &str,
    theme: &Theme,
    progress: &Progress,
    outbox: &mut Outbox,
) -> Result<bool, PlotError> {
    let Some(reel) = reel(film, theme, progress)? else { return Ok(false) };
    let Some(gif) = reel.gif(FILM_WIDTH, (HUNDREDTHS, HOLD), &Drawing(progress))? else { return Ok(false) };
    outbox.add("film.gif", gif);
    outbox.add("film.html", page(film, &reel, title, theme));
    Ok(true)
}
