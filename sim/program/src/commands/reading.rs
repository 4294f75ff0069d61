//! `latchstroke reading`: what was measured at the bench, made into lines of a scenario.

mod press;
mod spring;

use super::args::{BenchOptions, CamReading, PaceReading, ReadingKind, ReadingOptions, ScenarioOptions};
use super::open::Opened;
use super::{Failure, Outcome, answers, lists};
use latchstroke_core::bench::clock::{Timed, timed};
use latchstroke_core::bench::dial;
use latchstroke_core::studies::judge::Cast;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::spring::PreloadStatement;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::owner::System;
use latchstroke_report::reading::{Figures, Reading, cam, pace};
use latchstroke_scenario::measured::dial as tables;
use latchstroke_scenario::pieces::Piece;
use latchstroke_scenario::{
    Dimension, MOST_IN_LIST, Override, Quantity, Scenario, Unread, catalogue, key, read,
};
use std::path::{Path, PathBuf};

/// No longer than this is anything timed by a thumb, s.
const LONGEST: f64 = 86_400.0;

/// Runs the command.
///
/// # Errors
/// Bad input, or a file that cannot be written.
pub fn run(options: &ReadingOptions) -> Result<Outcome, Failure> {
    match &options.kind {
        ReadingKind::Spring(options) => spring::run(options),
        ReadingKind::Cam(options) => cam_table(options),
        ReadingKind::Pace(options) => paced(options),
        ReadingKind::Slip(options) => press::slip(options),
        ReadingKind::Casts(options) => press::casts(options),
    }
}

fn cam_table(options: &CamReading) -> Result<Outcome, Failure> {
    let bench = Bench::open(&options.bench, options.bench.out.as_deref().is_some_and(is_csv))?;
    let read = tables::dial(&options.table, options.columns.as_deref()).map_err(unread)?;
    let figures = bench.figures(System::of(read.unit));
    let question = dial::Question { looks: &read.looks, step: read.step, smooth: !options.unsmoothed };
    let answer = match question.answer() {
        Ok(answer) => answer,
        Err(why) => return Ok(cannot_tell(&cam::refused(why, figures))),
    };
    let report = cam::Report { dial: &read, answer: &answer, figures };
    bench.answer(&report.reading(), Some(&options.table), Some(&report))
}

fn paced(options: &PaceReading) -> Result<Outcome, Failure> {
    let bench = Bench::open(&options.bench, false)?;
    let timed = times(&options.times, Some(options.turns))?;
    let figures = bench.figures(None);
    let stated = bench
        .opened
        .as_ref()
        .and_then(|opened| opened.scenario.quantity(key!(Cast, pace)).map(|pace| pace.si));
    let unit = bench
        .opened
        .as_ref()
        .map_or_else(|| figures.system.unit(Dimension::Pace), |opened| opened.units.pace);
    let report = pace::Report {
        turns: options.turns,
        times: options.times.len(),
        timed: &timed,
        unit,
        stated,
        figures,
    };
    bench.answer(&report.reading().map_err(Failure::Plain)?, None, None)
}

/// The times that were typed, as seconds or as minutes and seconds.
fn times(typed: &[String], turns: Option<usize>) -> Result<Timed, Failure> {
    const EXAMPLE: &str = "\"61.3 s\" or 1:01.3";
    let seconds = &Dimension::Time.units().si;
    let one = |text: &String| {
        let text = text.trim();
        let parts: Vec<&str> = text.split(':').collect();
        let clock = |parts: &[&str]| {
            let number =
                |part: &&str| part.parse::<f64>().ok().filter(|n| n.is_finite() && (0.0..60.0).contains(n));
            let (first, rest) = parts.split_first()?;
            let first = first.parse::<u32>().ok().map(f64::from)?;
            rest.iter().try_fold(first, |sum, part| Some(60.0 * sum + number(part)?))
        };
        match parts.len() {
            1 => lists::value("TIME", text, Dimension::Time, seconds, EXAMPLE),
            2 | 3 => clock(&parts).filter(|time| *time > 0.0).ok_or_else(|| {
                Failure::Plain(format!("TIME, at \"{text}\": minutes and seconds are written as in 1:01.3"))
            }),
            _ => Err(Failure::Plain(format!("TIME, at \"{text}\": this is no time; write {EXAMPLE}"))),
        }
    };
    if typed.len() > MOST_IN_LIST {
        return Err(Failure::Plain(format!("more than {MOST_IN_LIST} times at once; give fewer")));
    }
    let all: Vec<f64> = typed.iter().map(one).collect::<Result<_, _>>()?;
    if let Some((_, text)) = all.iter().zip(typed).find(|(time, _)| **time > LONGEST) {
        return Err(Failure::Plain(format!(
            "TIME, at \"{text}\": that is longer than a day; write {EXAMPLE}"
        )));
    }
    timed(&all, turns).ok_or_else(|| Failure::Plain(format!("no time is given; write {EXAMPLE}")))
}

/// A quantity above nought from an option.
fn option(name: &str, text: &str, dimensions: &[Dimension], example: &str) -> Result<Quantity, Failure> {
    let read = dimensions.iter().map(|dimension| Quantity::parse(text, *dimension));
    let mut all: Vec<_> = read.collect();
    let good = all.iter().position(Result::is_ok).unwrap_or(0);
    match all.swap_remove(good) {
        Ok(quantity) if quantity.si > 0.0 => Ok(quantity),
        Ok(_) => Err(Failure::Plain(format!("{name} \"{text}\" must be above zero; write {example}"))),
        Err(fault) => Err(Failure::Plain(format!("{name} \"{text}\": {}; write {example}", fault.message))),
    }
}

fn unread(unread: Unread) -> Failure {
    match unread {
        Unread::Mistakes(mistakes) => Failure::Mistakes(mistakes),
        Unread::Unusable(message) => Failure::Plain(message),
    }
}

fn cannot_tell(why: &str) -> Outcome {
    eprintln!("latchstroke: {why}");
    Outcome::NotKnown
}

fn is_csv(path: &Path) -> bool {
    path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("csv"))
}

/// What a measurement is held against, and where its answer goes.
struct Bench<'a> {
    options: &'a BenchOptions,
    /// The scenario, where one is given.
    opened: Option<Opened>,
}

impl<'a> Bench<'a> {
    /// Opens what was given. A file to write wants a scenario to write, unless it is a `table`.
    ///
    /// # Errors
    /// Mistakes of the scenario.
    fn open(options: &'a BenchOptions, table: bool) -> Result<Self, Failure> {
        let opened =
            options.scenario.is_some().then(|| Opened::new(&Self::scenario(options, &[]))).transpose()?;
        if options.out.is_some() && opened.is_none() && !table {
            let why = "--out writes a scenario with what was measured in it; give the one to put it in by --scenario";
            return Err(Failure::Plain(why.to_owned()));
        }
        Ok(Self { options, opened })
    }

    fn scenario(options: &BenchOptions, more: &[String]) -> ScenarioOptions {
        ScenarioOptions {
            scenario: options.scenario.clone(),
            set: options.set.iter().chain(more).cloned().collect(),
            units: options.units,
        }
    }

    /// The scenario that must be there.
    ///
    /// # Errors
    /// Where it is not: `why` it is wanted.
    fn opened(&self, why: &str) -> Result<&Opened, Failure> {
        self.opened.as_ref().ok_or_else(|| Failure::Plain(format!("give the machine by --scenario: {why}")))
    }

    /// The system to answer in: that asked for, the scenario's, or that of the readings.
    fn figures(&self, own: Option<System>) -> Figures {
        let asked = self.options.units.map(System::from);
        let of_scenario = self.opened.as_ref().map(|opened| opened.units.system);
        Figures { system: asked.or(of_scenario).or(own).unwrap_or(System::Metric) }
    }

    /// Says what came of it, and writes the scenario that has it, where that is asked.
    ///
    /// # Errors
    /// Where the values do not go into the scenario, or the file cannot be written.
    fn answer(
        &self,
        reading: &Reading,
        table: Option<&PathBuf>,
        cam: Option<&cam::Report>,
    ) -> Result<Outcome, Failure> {
        let nothing = cam.is_none() && reading.pieces.is_empty();
        if nothing && self.options.out.is_some() {
            answers::tell(self.options.json, || reading.json(), || reading.text())?;
            return Ok(cannot_tell("nothing was measured that goes into the scenario; nothing was written"));
        }
        if let Some(path) = &self.options.out {
            let read: Vec<PathBuf> = table
                .into_iter()
                .chain(self.opened.iter().flat_map(|o| o.scenario.files()))
                .cloned()
                .collect();
            let text = match (&self.opened, cam) {
                (_, Some(cam)) if is_csv(path) => cam.csv(),
                (Some(opened), _) => self.with(opened, reading, cam)?,
                (None, _) => String::new(),
            };
            answers::file(Outbox::sparing(&read), path, text, self.options.force)?;
            eprintln!("Wrote {}.", path.display());
        }
        answers::tell(self.options.json, || reading.json(), || reading.text())?;
        Ok(Outcome::Done)
    }

    /// The scenario with what was measured in it.
    fn with(&self, opened: &Opened, reading: &Reading, cam: Option<&cam::Report>) -> Result<String, Failure> {
        if let Some(cam) = cam {
            let scenario = opened.scenario.clone().with_cam(cam.readings(), &cam.why());
            let text = scenario.resolved_toml();
            read(scenario.file_name(), &text, &[])?;
            return Ok(text);
        }
        let pieces = goes_in(&opened.scenario, reading);
        let given: Vec<Override> = pieces.iter().map(|piece| piece.given()).collect();
        let is_input = self.options.scenario.as_deref().is_some_and(|path| path.as_os_str() == "-");
        // What came through standard input cannot be read again.
        let scenario = if is_input {
            let set =
                self.options.set.iter().map(|text| Override::parse(text)).chain(given).collect::<Vec<_>>();
            read(opened.scenario.file_name(), opened.scenario.source(), &set)?
        } else {
            let more: Vec<String> = given.iter().map(|given| given.text().to_owned()).collect();
            Opened::without_remarks(&Self::scenario(self.options, &more))?.scenario
        };
        let pieces: Vec<_> = pieces.into_iter().cloned().collect();
        Ok(scenario.measured(&pieces).resolved_toml())
    }
}

/// The pieces that a scenario takes. Of a spring's force at rest and its free length it takes the one that it goes by.
fn goes_in<'a>(scenario: &Scenario, reading: &'a Reading) -> Vec<&'a Piece> {
    let by_gap = scenario.item(key!(AbutmentStatement, bare_gap)).is_some();
    let force = catalogue::entry(key!(PreloadStatement::Force, 0)).map(|(_, entry)| entry.key);
    let is_force = |piece: &&Piece| piece.path.split('.').next_back() == force;
    reading.pieces.iter().filter(|piece| !(by_gap && is_force(piece))).collect()
}
