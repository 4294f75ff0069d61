//! A turn as a film: the machine drawn at instants of the solved turns, latch aside beside latch set.
//!
//! Both sides share one clock that counts from the moment the metal comes into the mould, so that the fills run beside each other;
//! the film's own time is stretched where much happens in little time ([`pace::FilmPace`]), and says so. Film, stills and the
//! machine with its names are one drawing.

mod curves;
mod gauge;
mod looks;
mod moments;
mod names;
mod now;
pub mod pace;
mod proportions;
mod side;
mod stages;

pub use moments::Moment;

use super::charts::close;
use super::findings::why_stopped;
use super::limits::{self, headline};
use super::owner::{OwnerUnits, milliseconds, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::studies::judge::{Cast, Judgement};
use latchstroke_core::studies::real_pace::RealPace;
use latchstroke_core::turn::{EventKind, Stop};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_plots::mechanism::{
    FilmFrame, LatchPose, LiveLimit, LivePlot, Mechanism, Pose, SCREEN, Schematic, Side,
};
use latchstroke_scenario::Scenario;
use now::Now;
use pace::FilmPace;
use side::Shown;

/// How long each frame is shown, hundredths of a second.
pub const HUNDREDTHS: u16 = 8;
/// How long the last frame is shown, hundredths of a second.
pub const HOLD: u16 = 500;
/// A rod lifted further than this stands between the hooks and keeps the latch open, m.
const BETWEEN_HOOKS: f64 = 0.3e-3;
/// Share of the mould that is filled in the picture with the names of the parts.
const NAMED_AT: f64 = 0.6;

/// Both turns of a cast, ready to be drawn at any instant.
#[derive(Debug, Clone)]
pub struct Film<'a> {
    judgement: &'a Judgement,
    units: OwnerUnits,
    machine: Machine,
    mechanism: Mechanism,
    plots: Vec<LivePlot>,
    pace: FilmPace,
    sides: [Shown<'a>; 2],
    prongs: (f64, f64),
    full_scale: f64,
}

/// Why there is no film of a turn that did not go all the way round.
pub fn no_film(stop: Stop) -> String {
    format!("There is no film of this turn: {}.", why_stopped(stop))
}

/// The machine as it is drawn, in its own proportions.
pub(super) fn drawn(stated: &MachineStatement, machine: &Machine) -> Mechanism {
    Mechanism::new(&proportions::of(stated, machine))
}

impl<'a> Film<'a> {
    /// Lays out the film of a judged cast, whose turns were kept instant by instant, in `frames` frames.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn new(
        stated: &MachineStatement,
        judgement: &'a Judgement,
        frames: usize,
        units: &OwnerUnits,
    ) -> Result<Self, Vec<Fault>> {
        let Cast { sort, pace } = judgement.cast;
        let machine = Machine::prepare(stated, sort, pace, LatchSetting::Set)?;
        let peaks = [&judgement.aside, &judgement.set].map(|turn| turn.peaks.well_pressure);
        let full_scale = gauge::full_scale(peaks.into_iter().fold(0.0, f64::max), units);
        let pace = FilmPace::of(judgement, frames, 0.01 * f64::from(HUNDREDTHS));
        let [aside, set] = pace.zeros();
        Ok(Self {
            judgement,
            units: *units,
            mechanism: drawn(stated, &machine).with_gauge(gauge::of(full_scale, units)),
            plots: curves::of(judgement, units, &pace),
            sides: [(LatchSetting::Aside, aside), (LatchSetting::Set, set)]
                .map(|(setting, zero)| Shown::of(judgement, setting, zero)),
            pace,
            prongs: proportions::prongs(&machine),
            full_scale,
            machine,
        })
    }

    /// How the film's time runs.
    pub fn pace(&self) -> &FilmPace {
        &self.pace
    }

    /// The machine as it is drawn.
    pub fn mechanism(&self) -> &Mechanism {
        &self.mechanism
    }

    /// Frame number `n`, counted from 0.
    pub fn frame(&self, n: usize) -> FilmFrame<'_> {
        self.picture(self.pace.time(n), self.pace.words(n))
    }

    /// Both machines at a time, s from the moment the metal comes in.
    pub fn still(&self, time: f64) -> FilmFrame<'_> {
        self.picture(time, String::new())
    }

    /// What frame number `n` shows, in words.
    pub fn caption(&self, n: usize) -> String {
        let time = self.pace.time(n);
        let [clock, counts, _] = self.clock(time, String::new());
        let sides = self.sides.each_ref().map(|side| {
            let at = side.zero + time;
            let [count, of] = side.count(at);
            let angle = (self.machine.shaft_speed * at).to_degrees().rem_euclid(360.0);
            let told = format!("{count} {of}");
            format!("{}: shaft {angle:.1}°, {}; {}.", side.name(), told.trim_start(), side.stage(at))
        });
        format!("{clock}{}{counts}. {}", if self.ends(time) { ", " } else { " " }, sides.join(" "))
    }

    /// Whether the film is at its end, where it tells what has come out.
    fn ends(&self, time: f64) -> bool {
        time >= self.pace.span().1
    }

    /// The film's own clock; at the end the verdict with both fill times instead.
    fn clock(&self, time: f64, pace: String) -> [String; 3] {
        let verdict = self.judgement.verdict;
        if self.ends(time) {
            let Cast { sort, pace } = self.judgement.cast;
            let fills = self.sides.each_ref().map(|side| {
                let [count, _] = side.count(side.zero + time);
                let count = if count.is_empty() { "no fill".to_owned() } else { close(&count) };
                format!("{} {}", side.name().to_lowercase(), count)
            });
            return [
                limits::first_upper(limits::verdict(verdict)),
                close(&self.units.size(sort.body.0)) + " at " + &close(&self.units.turns(pace.0)),
                format!("{}; {}", fills.join(", "), curves::allowed_words(self.judgement.clocks.allowed)),
            ];
        }
        let enters = self.pace.fills().1 > 0.0;
        let (shown, counts) = match (enters, time < 0.0) {
            (true, true) => (-time, "before the metal comes in"),
            (true, false) => (time, "since the metal came in"),
            (false, _) => (time, "since the turn began"),
        };
        [format!("{:.1}\u{a0}ms", 1e3 * shown), counts.to_owned(), pace]
    }

    fn picture(&self, time: f64, pace: String) -> FilmFrame<'_> {
        let sides = self.sides.each_ref().map(|side| {
            let at = side.zero + time;
            Side {
                name: side.name().to_owned(),
                stage: side.stage(at),
                count: side.count(at),
                since: side.since(at).map(|si| 1e3 * si),
                style: side.style(),
                pose: self.pose(side, at),
            }
        });
        let allowed = self.judgement.clocks.allowed;
        FilmFrame {
            mechanism: &self.mechanism,
            sides,
            scale: 1e3 * curves::scale(self.judgement, &self.pace),
            limit: LiveLimit { at: 1e3 * allowed, label: curves::allowed_words(allowed) },
            clock: self.clock(time, pace),
            plots: &self.plots,
            now: 1e3 * time,
        }
    }

    /// What the film shows and how slowly, stage by stage.
    pub fn text(&self, real: Option<&RealPace>, units: &OwnerUnits) -> String {
        let frames = self.pace.frames();
        let mut text = wrapped(&format!("{}.", headline(self.judgement, units)), 0, 2);
        if let Some(said) = limits::own_pace(self.judgement, real, units) {
            text += &wrapped(&said, 2, 2);
        }
        text += &format!(
            "{frames} frames, {} s, and the last held for {} s. Times count from the moment the metal comes in.\n\n",
            significant(0.01 * f64::from(HUNDREDTHS) * (frames - 1) as f64, 3),
            significant(0.01 * f64::from(HOLD), 2)
        );
        let mut table = Table::new(&["", "from frame", "time"]);
        let mut last: [String; 3] = Default::default();
        let stage = |side: &Shown, time: f64| {
            format!("{}: {}", side.name().to_lowercase(), side.stage(side.zero + time))
        };
        for n in 0..frames {
            let time = self.pace.time(n);
            let now = [
                format!("shown at {}", self.pace.words(n)),
                stage(&self.sides[0], time),
                stage(&self.sides[1], time),
            ];
            for (line, _) in now.iter().zip(&last).filter(|(line, before)| line != before) {
                // The pace stands at the margin, what happens under it.
                let indent = if line.starts_with("latch") { "  " } else { "" };
                let start = format!("{:.1} ms", 1e3 * time);
                table.row([format!("{indent}{line}"), (n + 1).to_string(), start]);
            }
            last = now;
        }
        text += &table.text(2);
        text += "\n";
        for side in &self.sides {
            let [count, of] = side.count(side.zero + self.pace.span().1);
            let told = format!("{count} {of}");
            text +=
                &wrapped(&format!("{}: {}; {}.", side.name(), told.trim_start(), side.looks_words()), 0, 2);
        }
        text += &wrapped(&format!("{} are allowed.", milliseconds(self.judgement.clocks.allowed)), 0, 2);
        text
    }

    /// Where everything stands on a side at a time (s) of its own turn.
    fn pose(&self, side: &Shown, time: f64) -> Pose {
        let (turn, now) = (side.turn, side.now(time));
        let latch = match turn.setting {
            LatchSetting::Aside => LatchPose::Aside,
            LatchSetting::Set => LatchPose::Set(self.opening(side, &now)),
        };
        let looks = side.looks(time);
        Pose {
            angle: self.machine.shaft_speed * time,
            block_lift: now.block_lift,
            rod_lift: now.rod_lift,
            latch,
            piston_travel: now.piston_travel,
            fill: if time >= side.opens { 0.0 } else { now.fill },
            skin: now.skin,
            solid: now.solid,
            sealed: turn.first(EventKind::Sealed).is_some_and(|event| time >= event.time),
            pressure: now.well_pressure / self.full_scale,
            looks,
        }
    }

    /// How far the prongs stand open: the abutment wedges them over their travel, and a rod that is up keeps them so.
    fn opening(&self, side: &Shown, now: &Now) -> f64 {
        // Before the turn the latch has caught the rod, as at the end of it.
        let free = side.turn.throw.is_some_and(|throw| now.time >= throw.time);
        if free && now.rod_lift > self.machine.rod_rest + BETWEEN_HOOKS {
            return 1.0;
        }
        let (clearance, travel) = self.prongs;
        ((now.block_lift - clearance) / travel).clamp(0.0, 1.0)
    }

    /// The machine with the names of its parts, as the mould fills with the setting advised; at rest where it never does.
    pub fn schematic(&self, scenario: &Scenario, units: &OwnerUnits, source: &str) -> Schematic<'_> {
        let [aside, set] = &self.sides;
        let sides = match self.judgement.advised() {
            LatchSetting::Aside => [aside, set],
            LatchSetting::Set => [set, aside],
        };
        let filling = sides.into_iter().find_map(|side| {
            let full = side.turn.fill?.full;
            let instant = side.turn.trace.iter().find(|i| i.fill >= NAMED_AT && i.time <= full)?;
            Some((side, instant.time))
        });
        let (side, time) = filling.unwrap_or((sides[0], 0.0));
        let (name, size) = (scenario.machine_name(), close(&units.size(self.judgement.cast.sort.body.0)));
        let thrown = side.turn.throw.is_some();
        let moves = if thrown { "the spring throws the piston" } else { "the cam carries the piston" };
        let headline = match side.turn.fill.filter(|_| filling.is_some()) {
            Some(fill) => {
                format!("{name}: {moves}, and {size} fills in {}", close(&milliseconds(fill.time())))
            }
            None => format!("{name} at rest: {size} does not fill"),
        };
        let pose = self.pose(side, time);
        Schematic {
            mechanism: &self.mechanism,
            pose,
            headline,
            source: source.to_owned(),
            labels: names::labels(scenario, (&self.machine, &pose), units),
            height: SCREEN,
        }
    }
}
