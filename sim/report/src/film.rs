//! A turn as a film: the machine drawn at instants of the solved turns, latch aside beside latch set.
//!
//! Both sides share one clock that starts with the turn. At one pace the same time is the same shaft angle, so either would do;
//! time is what the metal freezes by. The film's own time is stretched where much happens in little time ([`pace::FilmPace`]),
//! and says so.

mod curves;
mod names;
mod now;
pub mod pace;
mod proportions;
mod stages;

use super::limits::{self, headline};
use super::owner::{OwnerUnits, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::studies::judge::{Cast, Judgement};
use latchstroke_core::studies::real_pace::RealPace;
use latchstroke_core::turn::{EventKind, Turn};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_plots::mechanism::{
    FilmFrame, LatchPose, LivePlot, Mechanism, Pose, SCREEN, Schematic, Side,
};
use latchstroke_scenario::Scenario;
use now::Now;
use pace::FilmPace;

/// How long each frame is shown, hundredths of a second.
pub const HUNDREDTHS: u16 = 8;
/// A rod lifted further than this stands between the hooks and keeps the latch open, m.
const BETWEEN_HOOKS: f64 = 0.3e-3;
/// Share of the mould that is filled in the picture with the names of the parts.
const NAMED_AT: f64 = 0.6;

/// Both turns of a cast, ready to be drawn at any instant.
#[derive(Debug, Clone, PartialEq)]
pub struct Film<'a> {
    judgement: &'a Judgement,
    machine: Machine,
    mechanism: Mechanism,
    plots: Vec<LivePlot>,
    span: (f64, f64),
    pace: FilmPace,
    prongs: (f64, f64),
    full_scale: f64,
}

/// The machine as it is drawn, in its own proportions.
pub(super) fn drawn(stated: &MachineStatement, machine: &Machine) -> Mechanism {
    Mechanism::new(&proportions::of(stated, machine))
}

/// A moment worth a picture of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// A short name for a file: "let-go".
    pub name: &'static str,
    /// When, s.
    pub time: f64,
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
        let span = curves::span(judgement);
        Ok(Self {
            judgement,
            mechanism: drawn(stated, &machine),
            plots: curves::of(judgement, units, span),
            span: (0.0, 1e3 * span),
            pace: FilmPace::of(judgement, frames, 0.01 * f64::from(HUNDREDTHS)),
            prongs: proportions::prongs(&machine),
            full_scale: peaks.into_iter().fold(f64::MIN_POSITIVE, f64::max),
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

    /// Both machines at a time (s).
    pub fn still(&self, time: f64) -> FilmFrame<'_> {
        self.picture(time, String::new())
    }

    /// What frame number `n` shows, in words.
    pub fn caption(&self, n: usize) -> String {
        let time = self.pace.time(n);
        let stage = |turn: &Turn| stages::stage(turn, time);
        format!(
            "{} ms, shaft {:.1}°. Latch aside: {}. Latch set: {}.",
            significant(1e3 * time, 4),
            self.angle(time).to_degrees(),
            stage(&self.judgement.aside),
            stage(&self.judgement.set)
        )
    }

    fn angle(&self, time: f64) -> f64 {
        self.machine.shaft_speed * time
    }

    fn picture(&self, time: f64, pace: String) -> FilmFrame<'_> {
        let side = |name: &str, style: usize, turn: &Turn| Side {
            name: name.to_owned(),
            stage: stages::stage(turn, time).to_owned(),
            style,
            pose: self.pose(turn, time),
        };
        let (aside, set) = (&self.judgement.aside, &self.judgement.set);
        FilmFrame {
            mechanism: &self.mechanism,
            sides: [side("Latch aside", 1, aside), side("Latch set", 0, set)],
            clock: [
                format!("{:.1}\u{a0}ms", 1e3 * time),
                format!("shaft {:.1}°", self.angle(time).to_degrees()),
                pace,
            ],
            plots: &self.plots,
            span: self.span,
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
            "{frames} frames, {} s\n\n",
            significant(0.01 * f64::from(HUNDREDTHS) * frames as f64, 3)
        );
        let mut table = Table::new(&["", "from frame", "time"]);
        let mut last: [String; 3] = Default::default();
        for n in 0..frames {
            let time = self.pace.time(n);
            let now = [
                format!("shown at {}", self.pace.words(n)),
                format!("latch aside: {}", stages::stage(&self.judgement.aside, time)),
                format!("latch set: {}", stages::stage(&self.judgement.set, time)),
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
        text
    }

    /// Where everything stands in a turn at a time (s).
    pub fn pose(&self, turn: &Turn, time: f64) -> Pose {
        let now = Now::of(&turn.trace, time);
        let latch = match turn.setting {
            LatchSetting::Aside => LatchPose::Aside,
            LatchSetting::Set => LatchPose::Set(self.opening(turn, &now)),
        };
        Pose {
            angle: self.angle(time),
            block_lift: now.block_lift,
            rod_lift: now.rod_lift,
            latch,
            piston_travel: now.piston_travel,
            fill: now.fill,
            skin: now.skin,
            solid: now.solid,
            sealed: turn.first(EventKind::Sealed).is_some_and(|event| time >= event.time),
            pressure: now.well_pressure / self.full_scale,
        }
    }

    /// How far the prongs stand open: the abutment wedges them over their travel, and a rod that is up keeps them so.
    fn opening(&self, turn: &Turn, now: &Now) -> f64 {
        let free = turn.throw.is_some_and(|throw| now.time >= throw.time);
        if free && now.rod_lift > self.machine.rod_rest + BETWEEN_HOOKS {
            return 1.0;
        }
        let (clearance, travel) = self.prongs;
        ((now.block_lift - clearance) / travel).clamp(0.0, 1.0)
    }

    /// The machine with the names of its parts, as the mould fills with the latch set; at rest where it never does.
    pub fn schematic(&self, scenario: &Scenario, units: &OwnerUnits, source: &str) -> Schematic<'_> {
        let turns = [&self.judgement.set, &self.judgement.aside];
        let filling = turns.into_iter().find_map(|turn| {
            let full = turn.fill?.full;
            let instant = turn.trace.iter().find(|i| i.fill >= NAMED_AT && i.time <= full)?;
            Some((turn, instant.time))
        });
        let (turn, time) = filling.unwrap_or((&self.judgement.set, 0.0));
        let doing = match (filling.is_some(), turn.setting) {
            (true, LatchSetting::Set) => "as the thrown piston fills the mould",
            (true, LatchSetting::Aside) => "as the cam fills the mould",
            (false, _) => "at rest",
        };
        let name = scenario.machine_name();
        Schematic {
            mechanism: &self.mechanism,
            pose: self.pose(turn, time),
            headline: format!(
                "{name} {doing}: {:.1}\u{a0}ms, shaft at {:.1}°",
                1e3 * time,
                self.angle(time).to_degrees()
            ),
            source: source.to_owned(),
            labels: names::labels(scenario, &self.machine, units),
            height: SCREEN,
        }
    }

    /// Six moments in their order: from the turn with the latch set, or from the other where it does not throw.
    pub fn moments(&self) -> Vec<Moment> {
        let set = &self.judgement.set;
        let turn = if set.throw.is_some() { set } else { &self.judgement.aside };
        let whole = std::f64::consts::TAU / self.machine.shaft_speed;
        let event = |kind: EventKind| turn.first(kind).map(|event| event.time);
        let pressing = event(EventKind::InletCloses).unwrap_or(0.1 * whole);
        let go = turn.throw.map_or(pressing, |throw| throw.time);
        let full = turn.fill.map_or(0.25 * whole, |fill| fill.full);
        let half = turn.trace.iter().find(|i| i.fill >= 0.5).map_or(f64::midpoint(go, full), |i| i.time);
        let sealed = event(EventKind::Sealed).filter(|time| *time > full).unwrap_or(0.5 * whole);
        // Just before the latch lets go, and a third of the way from there to half full.
        let squeezed = go * (1.0 - 1e-6);
        let third = 0.33 * Now::of(&turn.trace, half).rod_lift;
        let thrown = turn.trace.iter().find(|i| i.time > go && i.state.rod_lift >= third);
        let thrown = thrown.map_or(go, |instant| instant.time.min(half));
        let mut moments: Vec<Moment> = [
            ("at-rest", 0.0),
            ("spring-squeezed", squeezed),
            ("let-go", thrown),
            ("mould-filling", half),
            ("full", full),
            ("freezing", f64::midpoint(full, sealed)),
        ]
        .into_iter()
        .map(|(name, time)| Moment { name, time: time.clamp(0.0, whole) })
        .collect();
        moments.sort_by(|a, b| a.time.total_cmp(&b.time));
        moments
    }
}
