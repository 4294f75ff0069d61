//! `latchstroke film`: the machine drawn and moving.

use super::args::FilmOptions;
use super::progress::Progress;
use super::{Failure, Outcome, open, pictures, say};
use latchstroke_core::studies::judge::judge_traced;
use latchstroke_core::studies::watch::Watch;
use latchstroke_core::turn::Stop;
use latchstroke_plots::moving::{Follow, Reel};
use latchstroke_plots::{Picture, PlotError, Theme, layout, to_png, to_svg};
use latchstroke_report::film::{Film, HUNDREDTHS};
use latchstroke_report::findings::why_stopped;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::owner::OwnerUnits;
use latchstroke_scenario::Scenario;
use latchstroke_scenario::stated;

/// Fewest and most frames of a film.
const FRAMES: std::ops::RangeInclusive<usize> = 12..=600;
/// Width of the film as GIF, px.
const FILM_WIDTH: u16 = 1280;
/// Width of still pictures, px.
const STILL_WIDTH: u32 = 1920;

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
/// Bad input, a turn that cannot be solved, a folder that cannot be written, or Ctrl-C.
pub fn run(options: &FilmOptions) -> Result<Outcome, Failure> {
    if !FRAMES.contains(&options.frames) {
        return Err(Failure::Plain(format!(
            "--frames {}: give {} to {} frames",
            options.frames,
            FRAMES.start(),
            FRAMES.end()
        )));
    }
    let scenario = open::scenario_for(&options.scenario, options.body.as_deref(), options.pace.as_deref())?;
    let units = open::units(&options.scenario, &scenario);
    let real = open::real_pace(&scenario, options.pace.as_deref())?;
    let machine = stated::machine(&scenario);
    let faulty = |faults| open::as_mistakes(&scenario, faults);
    let judgement =
        judge_traced(&machine, stated::cast(&scenario), &stated::terms(&scenario)).map_err(faulty)?;
    for turn in [&judgement.aside, &judgement.set] {
        if turn.stop != Stop::FullTurn {
            return Err(Failure::Plain(format!("there is no film: {}", why_stopped(turn.stop))));
        }
    }
    let film = Film::new(&machine, &judgement, options.frames, &units).map_err(faulty)?;
    let theme = if options.dark { Theme::dark() } else { Theme::light() };
    let mut outbox = Outbox::default();
    outbox.add("scenario.toml", scenario.resolved_toml());
    let plain = |error: PlotError| Failure::Plain(error.to_string());
    stills(&film, &scenario, &units, &theme, options.stills, &mut outbox).map_err(plain)?;
    let progress = Progress::start("drawing the film", options.frames as u64)?;
    let title = format!("{}: latch aside and latch set", scenario.machine_name());
    let whole = moving(&film, &title, &theme, &progress, &mut outbox).map_err(plain)?;
    progress.finish();
    if !whole {
        return Err(Failure::Plain("called off; nothing was written".to_owned()));
    }
    outbox.send(&options.out, options.force)?;
    let names: Vec<&str> = outbox.names().collect();
    eprintln!("Wrote {} into {}.", names.join(", "), options.out.display());
    say(&film.text(real.as_ref(), &units))?;
    Ok(Outcome::of([&judgement]))
}

/// Draws the machine with the names of its parts and, if asked for, the six moments into the outbox.
fn stills(
    film: &Film,
    scenario: &Scenario,
    units: &OwnerUnits,
    theme: &Theme,
    moments: bool,
    outbox: &mut Outbox,
) -> Result<(), PlotError> {
    let schematic = film.schematic(scenario, units, &pictures::source(scenario));
    still("mechanism", &schematic, theme, outbox)?;
    let moments = if moments { film.moments() } else { Vec::new() };
    for (number, moment) in moments.into_iter().enumerate() {
        let name = format!("still-{}-{}", number + 1, moment.name);
        still(&name, &film.still(moment.time), theme, outbox)?;
    }
    Ok(())
}

/// Draws the film into the outbox; false if called off.
fn moving(
    film: &Film,
    title: &str,
    theme: &Theme,
    progress: &Progress,
    outbox: &mut Outbox,
) -> Result<bool, PlotError> {
    let follow = Drawing(progress);
    let frames = film.pace().frames();
    let Some(reel) = Reel::take(frames, |n| film.frame(n), theme, &follow)? else { return Ok(false) };
    let Some(gif) = reel.gif(FILM_WIDTH, HUNDREDTHS, &follow)? else { return Ok(false) };
    outbox.add("film.gif", gif);
    let captions: Vec<String> = (0..frames).map(|n| film.caption(n)).collect();
    outbox.add("film.html", reel.html(title, &captions, HUNDREDTHS, theme));
    Ok(true)
}

/// Draws one picture as SVG and PNG.
fn still(name: &str, picture: &impl Picture, theme: &Theme, outbox: &mut Outbox) -> Result<(), PlotError> {
    for label in layout(picture, theme)?.omitted {
        eprintln!("latchstroke: no room in {name} for {label}");
    }
    let svg = to_svg(picture, theme)?;
    outbox.add(format!("{name}.png"), to_png(&svg, STILL_WIDTH)?);
    outbox.add(format!("{name}.svg"), svg);
    Ok(())
}
