//! The command line of `reading`.

use super::{Measures, whole};
use clap::{Args, Subcommand};
use std::path::PathBuf;

pub(super) const CODES: &str = "\
Exit codes:
  0  done
  2  bad input; nothing was written
  3  cannot tell: too few readings, or such as tell nothing";

const TABLES: &str = "\
A table (CSV) has a heading with units, such as \"load (kg), length (mm)\", or --columns stands
for it. A cell may have a unit of its own, and may be empty.

Exit codes:
  0  done
  2  bad input; nothing was written
  3  cannot tell: too few readings, or such as tell nothing";

/// Options of `reading`.
#[derive(Debug, Args)]
pub struct ReadingOptions {
    #[command(subcommand)]
    pub kind: ReadingKind,
}

/// What was measured.
#[derive(Debug, Subcommand)]
pub enum ReadingKind {
    /// A spring squeezed on scales: its rate, its free length, and its force where it stands
    #[command(after_help = TABLES)]
    Spring(SpringReading),
    /// A cam read with a dial indicator, once or several times round: its table, closed, averaged and smoothed
    #[command(after_help = TABLES)]
    Cam(CamReading),
    /// Turns counted and timed, again and again: the pace, and whether it wanders
    #[command(after_help = CODES)]
    Pace(PaceReading),
    /// The loaded piston timed as it sinks, nozzle stopped: its clearance
    #[command(after_help = CODES)]
    Slip(SlipReading),
    /// Jets and types weighed: what the way to the mould holds, and whether the types are full
    #[command(after_help = CODES)]
    Casts(CastsReading),
}

/// The scenario that a measurement belongs to, and how the answer is given.
#[derive(Debug, Args)]
pub struct BenchOptions {
    /// Scenario file of the machine, to hold the measurement against
    #[arg(long, value_name = "FILE")]
    pub scenario: Option<PathBuf>,
    /// Put VALUE in place of the scenario's, as in --set "cam.lift=32 mm"; may be repeated
    #[arg(long = "set", value_name = "KEY=VALUE", allow_hyphen_values = true, requires = "scenario")]
    pub set: Vec<String>,
    /// Answer in metric or inch measures throughout; as the scenario or the readings are written if not given
    #[arg(long, value_name = "SYSTEM")]
    pub units: Option<Measures>,
    /// Answer as JSON, in SI units
    #[arg(long)]
    pub json: bool,
    /// Write the scenario with the measured values in it to this file
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Replace the file if it is there already
    #[arg(long, requires = "out")]
    pub force: bool,
}

/// Options of `reading spring`.
#[derive(Debug, Args)]
pub struct SpringReading {
    /// Table of loads and lengths, or of loads and how far it was squeezed
    pub table: PathBuf,
    /// Heading of the table, where it has none or one that does not say enough, as "load (kg), length (mm)"
    #[arg(long, value_name = "HEADING")]
    pub columns: Option<String>,
    /// Which of the scenario's springs, from 1
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = |text: &str| whole(text, 1..=4))]
    pub spring: Option<usize>,
    /// Length at which it stands on the rod at rest, as "112 mm": its force there is told too
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub at: Option<String>,
    #[command(flatten)]
    pub bench: BenchOptions,
}

/// Options of `reading cam`.
#[derive(Debug, Args)]
#[command(mut_arg("out", |arg| arg.help(concat!(
    "Write the scenario with the measured cam in it to this file; where its name ends in .csv, the table for readings_file"
))))]
pub struct CamReading {
    /// Table of angles and lifts; several runs in columns beside one another, or below one another
    pub table: PathBuf,
    /// Heading of the table, where it has none or one that does not say enough, as "angle (deg), lift (mm)"
    #[arg(long, value_name = "HEADING")]
    pub columns: Option<String>,
    /// Take the means as they are
    #[arg(long)]
    pub unsmoothed: bool,
    #[command(flatten)]
    pub bench: BenchOptions,
}

/// Options of `reading pace`.
#[derive(Debug, Args)]
pub struct PaceReading {
    /// How many turns were counted each time
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = |text: &str| whole(text, 1..=100_000))]
    pub turns: usize,
    /// The times they took, as "61.3 s" or 1:01.3, in the order in which they were taken
    #[arg(value_name = "TIME", required = true, allow_negative_numbers = true)]
    pub times: Vec<String>,
    #[command(flatten)]
    pub bench: BenchOptions,
}

/// Options of `reading slip`.
#[derive(Debug, Args)]
pub struct SlipReading {
    /// How far the piston sank, as "5 mm ± 0.1 mm", from below its inlet port
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub distance: String,
    /// What pressed on the piston, its own weight and all that hung on it counted, as "15 kgf ± 0.2 kgf"
    #[arg(long, value_name = "FORCE", allow_hyphen_values = true)]
    pub load: String,
    /// Viscosity of the liquid, where it was another than the metal, as "65 mPa s ± 5 mPa s" for an oil at the bench
    #[arg(long, value_name = "VISCOSITY", allow_hyphen_values = true)]
    pub viscosity: Option<String>,
    /// The times it took, as "61.3 s" or 1:01.3
    #[arg(value_name = "TIME", required = true, allow_negative_numbers = true)]
    pub times: Vec<String>,
    #[command(flatten)]
    pub bench: BenchOptions,
}

/// Options of `reading casts`.
#[derive(Debug, Args)]
pub struct CastsReading {
    /// How many casts were weighed together
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = |text: &str| whole(text, 1..=100_000))]
    pub count: usize,
    /// Weight of their jets, as "38 g ± 1 g", broken off where the type's foot begins
    #[arg(long, value_name = "WEIGHT", allow_hyphen_values = true)]
    pub jets: String,
    /// Weight of the types without their jets: whether they are full
    #[arg(long, value_name = "WEIGHT", allow_hyphen_values = true)]
    pub types: Option<String>,
    /// Size that was cast, as "24pt", if not the scenario's
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true, requires = "types")]
    pub body: Option<String>,
    #[command(flatten)]
    pub bench: BenchOptions,
}
