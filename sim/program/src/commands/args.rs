//! The command line.

mod reading;

pub use reading::{
    BenchOptions, CamReading, CastsReading, PaceReading, ReadingKind, ReadingOptions, SlipReading,
    SpringReading,
};

use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use std::ops::RangeInclusive;
use std::path::PathBuf;

const EXIT_CODES: &str = "\
Exit codes:
  0  done; every size asked can be cast at one of the paces asked
  1  done, and the answer is that it cannot work: with no setting of the latch are all limits kept
     for some size asked, or latch, sleeve or springs as stated cannot do their work
  2  bad input; nothing was written
  3  done, but there is no verdict: a turn could not be solved so that it can be trusted
  130, 143  called off, by Ctrl-C or by the system; nothing was written";

const WRONG_CODES: &str = "\
Exit codes:
  0  causes found, or the machine as stated does it
  1  no single change brings it about
  2  bad input
  3  not known: a turn could not be solved so that it can be trusted, or a bound is not stated";

const FIT_CODES: &str = "\
The trace is a table (CSV) with a heading, such as \"time (ms), piston (mm)\" or \"frame, cross block (in)\". A cell may be
empty. With --marks it has positions marked in a film's frames: \"frame, x, y\".

Exit codes:
  0  done
  2  bad input; nothing was written
  3  cannot tell: too few readings, or none that tell of any value";

const LISTEN_CODES: &str = "\
Record twenty turns or more with the recorder an arm's length from the latch. WAV, AIFF, FLAC, MP3, Ogg Vorbis, and AAC or ALAC
in M4A or MP4 are read; no more than the first quarter of an hour is listened to.

Exit codes:
  0  done
  2  bad input; nothing was written
  3  cannot tell: speech, music, hum, silence, clipping, one click, too few turns or an unsteady pace";

/// A whole number within what is sensible.
fn whole(text: &str, range: RangeInclusive<usize>) -> Result<usize, String> {
    let wanted = || format!("write a whole number from {} to {}", range.start(), range.end());
    text.parse().ok().filter(|number| range.contains(number)).ok_or_else(wanted)
}

/// Whether a hot-metal composition caster needs its pump latch, from a solved turn of the machine.
#[derive(Debug, Parser)]
#[command(name = "latchstroke", version, after_help = EXIT_CODES, max_term_width = 100)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Say for sizes and paces whether the latch is needed, and what would do where nothing does
    #[command(after_help = EXIT_CODES)]
    Judge(JudgeOptions),
    /// Solve one turn with the latch aside and set, with events, figures and charts
    #[command(after_help = EXIT_CODES)]
    Turn(TurnOptions),
    /// Say how long the sleeve must be: the window that works, what each length does, the one to make
    #[command(after_help = EXIT_CODES)]
    Sleeve(SleeveOptions),
    /// Say what the adjusting nut does: speed, loads and stresses against turns and preload, and the range that will do
    #[command(after_help = EXIT_CODES)]
    Preload(PreloadOptions),
    /// Draw the sleeve and the rod extension for the workshop, and say whether the joint holds
    #[command(after_help = EXIT_CODES)]
    Parts(PartsOptions),
    /// Say for each size which paces cool the type, and which of them want the latch
    #[command(after_help = EXIT_CODES)]
    Pace(PaceOptions),
    /// Say how warm the mould gets between its casts and its cooling water, how soon, and what that does to the type
    #[command(after_help = EXIT_CODES)]
    Warm(WarmOptions),
    /// Say what may be wrong, from what is seen or heard: the single changes that bring it about, and what to look at
    #[command(after_help = format!("{WRONG_CODES}\n\nWhat --saw takes:\n{}", latchstroke_report::wrong::list()))]
    Wrong(WrongOptions),
    /// Fit the machine to a measured movement: which of its values the trace tells, with errors, and a scenario that has them
    #[command(after_help = FIT_CODES)]
    Fit(FitOptions),
    /// Say what a recording of the machine tells: its pace, its clicks, and whether the strike comes when it should
    #[command(after_help = LISTEN_CODES)]
    Listen(ListenOptions),
    /// Make of what you measured at the bench the lines to type: a spring, a cam, the pace, the piston's slip, weighed casts
    #[command(after_help = reading::CODES)]
    Reading(ReadingOptions),
    /// Say what casts that you remember tell of the skin you accept and of the heat transfer
    #[command(after_help = EXIT_CODES)]
    Calibrate(CalibrateOptions),
    /// Say what errors in the measurements do: spread, chances, and what to measure again
    #[command(after_help = EXIT_CODES)]
    Tolerance(ToleranceOptions),
    /// Say what to measure next, how, and what it would settle; with a worksheet to print and take to the machine
    #[command(after_help = EXIT_CODES)]
    Measure(MeasureOptions),
    /// Draw the machine with the names of its parts, and a film of its turn with the latch aside and set
    #[command(after_help = EXIT_CODES)]
    Film(FilmOptions),
    /// Write one page that solves the machine itself in any browser, with everything to move and nothing to install
    #[command(after_help = EXIT_CODES)]
    Live(LiveOptions),
    /// Make one folder of pictures, slides and notes, ready to show with a projector
    #[command(after_help = EXIT_CODES)]
    Talk(TalkOptions),
    /// Set two printed pages (PDF): the answer, its figures and charts, what would change it, and the cautions
    #[command(after_help = EXIT_CODES)]
    Handout(HandoutOptions),
    /// Print a scenario as understood, each value in its own unit and in SI, and what follows
    #[command(after_help = EXIT_CODES)]
    Check(ScenarioOptions),
    /// Write a scenario with blanks to fill in
    New(NewOptions),
    /// Print what to mind at the machine
    Cautions,
    /// Print the JSON Schema of scenario files, for completion in an editor
    Schema,
    /// Print what lets a shell complete commands and options
    Completions(CompletionsOptions),
    /// Write manual pages
    #[command(hide = true)]
    Man(FolderOptions),
    /// Print the help of every command as one page of Markdown
    #[command(hide = true)]
    Reference,
}

/// Options of `completions`.
#[derive(Debug, Args)]
pub struct CompletionsOptions {
    /// Which shell
    #[arg(value_enum)]
    pub shell: Shell,
}

/// Which scenario, and what to change in it.
#[derive(Debug, Args)]
pub struct ScenarioOptions {
    /// Scenario file, or - for standard input; without one, the built-in demo machine
    pub scenario: Option<PathBuf>,
    /// Put VALUE in place of the scenario's, as in --set "cam.lift=32 mm"; may be repeated
    #[arg(long = "set", value_name = "KEY=VALUE", allow_hyphen_values = true)]
    pub set: Vec<String>,
    /// Answer in metric or inch measures throughout; as the scenario is written if not given. Type sizes stay in points
    #[arg(long, value_name = "SYSTEM")]
    pub units: Option<Measures>,
}

/// One size at one pace.
#[derive(Debug, Args)]
pub struct CastOptions {
    #[command(flatten)]
    pub scenario: ScenarioOptions,
    /// Size to cast, as "24pt"; the set width keeps the scenario's proportion to the body
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    pub body: Option<String>,
    /// Pace to cast at, as "15 turns/min"; without one, the pace at which the size is really cast
    #[arg(long, value_name = "PACE", allow_hyphen_values = true)]
    pub pace: Option<String>,
}

/// Any number of sizes.
#[derive(Debug, Args)]
pub struct SizesOptions {
    #[command(flatten)]
    pub scenario: ScenarioOptions,
    /// Sizes, as "14pt,18pt,24pt"; the set width keeps the scenario's proportion to the body
    #[arg(long, value_name = "SIZES", allow_hyphen_values = true)]
    pub body: Option<String>,
}

/// Any number of sizes at any number of paces.
#[derive(Debug, Args)]
pub struct CastsOptions {
    #[command(flatten)]
    pub sizes: SizesOptions,
    /// Paces, as "15,20,30", "15..60" (ten of them) or "15..60:5" (every five)
    #[arg(long, value_name = "PACES", allow_hyphen_values = true)]
    pub pace: Option<String>,
}

/// Any number of sizes at one pace.
#[derive(Debug, Args)]
pub struct AtPaceOptions {
    #[command(flatten)]
    pub sizes: SizesOptions,
    /// Pace to cast at, as "15 turns/min"
    #[arg(long, value_name = "PACE", allow_hyphen_values = true)]
    pub pace: Option<String>,
}

/// How an answer is given, and whether it is written down too.
#[derive(Debug, Args)]
pub struct AnswerOptions {
    /// Answer as JSON, in SI units
    #[arg(long)]
    pub json: bool,
    /// Write traces or tables, charts (PNG and SVG) and the resolved scenario into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Replace files that are there already
    #[arg(long, requires = "out")]
    pub force: bool,
    #[command(flatten)]
    pub look: LookOptions,
}

/// A folder that must be named.
#[derive(Debug, Args)]
pub struct FolderOptions {
    /// Write into this folder
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    /// Replace files that are there already
    #[arg(long, requires = "out")]
    pub force: bool,
}

/// How pictures look.
#[derive(Debug, Args)]
pub struct LookOptions {
    /// Draw light on dark
    #[arg(long, requires = "out")]
    pub dark: bool,
    /// What the pictures are for: a screen or projector (1920 × 1080, large type), or a page of about A5 (2400 dots wide, finer
    /// type and lines)
    #[arg(long, value_enum, value_name = "FOR", default_value_t = PictureSize::Screen, requires = "out")]
    pub size: PictureSize,
}

/// What pictures are for.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum PictureSize {
    /// A screen or a projector
    Screen,
    /// A page
    Print,
}

/// Options of `judge`.
#[derive(Debug, Args)]
#[command(mut_arg("pace", |arg| arg.help(concat!(
    "Paces, as \"15,20,30\", \"15..60\" (ten of them) or \"15..60:5\" (every five); ",
    "without any, each size at the pace it is really cast at"
))))]
pub struct JudgeOptions {
    #[command(flatten)]
    pub casts: CastsOptions,
    /// Say more: how sure each verdict is and what would settle it, what would change it, from which size on the latch is wanted
    #[arg(long)]
    pub more: bool,
    /// Answer as JSON, in SI units
    #[arg(long)]
    pub json: bool,
}

/// Options of `turn`.
#[derive(Debug, Args)]
#[command(mut_arg("pace", |arg| arg.help("Pace to cast at, as \"15 turns/min\"; without one, the scenario's own")))]
pub struct TurnOptions {
    #[command(flatten)]
    pub cast: CastOptions,
    #[command(flatten)]
    pub answer: AnswerOptions,
    /// Solve the throw again with the springs resolved along their length, and say whether that matters
    #[arg(long)]
    pub surge: bool,
}

/// Options of `pace`.
#[derive(Debug, Args)]
#[command(mut_arg("pace", |arg| arg.help(concat!(
    "Pace at which every size is judged beside the paces that do, as \"15 turns/min\"; ",
    "without one, each size at the pace it is really cast at"
))))]
pub struct PaceOptions {
    #[command(flatten)]
    pub asked: AtPaceOptions,
    #[command(flatten)]
    pub answer: AnswerOptions,
}

/// Options of `warm`.
#[derive(Debug, Args)]
pub struct WarmOptions {
    #[command(flatten)]
    pub asked: CastsOptions,
    /// How many casts to follow; half as many again as warming up takes if not given
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = |text: &str| whole(text, 1..=100_000))]
    pub casts: Option<usize>,
    #[command(flatten)]
    pub answer: AnswerOptions,
}

/// Options of `wrong`.
#[derive(Debug, Args)]
pub struct WrongOptions {
    #[command(flatten)]
    pub cast: CastOptions,
    /// What is seen or heard, of the list below; without it the list is printed
    #[arg(long, value_name = "WHAT")]
    pub saw: Option<String>,
    /// How the latch stands; if not given, set for what is of the latch and the stroke, else as judged for the cast
    #[arg(long, value_enum, value_name = "SETTING")]
    pub latch: Option<LatchOption>,
    /// Answer as JSON, in SI units
    #[arg(long)]
    pub json: bool,
}

/// Options of `fit`.
#[derive(Debug, Args)]
pub struct FitOptions {
    /// Scenario file of the machine
    pub scenario: PathBuf,
    /// Table of the measured movement
    pub trace: PathBuf,
    /// Put VALUE in place of the scenario's, as in --set "cam.lift=32 mm"; may be repeated
    #[arg(long = "set", value_name = "KEY=VALUE", allow_hyphen_values = true)]
    pub set: Vec<String>,
    /// Answer in metric or inch measures throughout; as the scenario is written if not given. Type sizes stay in points
    #[arg(long, value_name = "SYSTEM")]
    pub units: Option<Measures>,
    /// Size that was cast, as "24pt", if not the scenario's
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    pub body: Option<String>,
    /// Pace at which it was cast, if known; found from the trace where that goes over several turns
    #[arg(long, value_name = "PACE", allow_hyphen_values = true)]
    pub pace: Option<String>,
    /// Heading of the table, where it has none or one that does not say enough, as "time (s), x (m), y (m)"
    #[arg(long, value_name = "HEADING")]
    pub columns: Option<String>,
    /// Frames a second, where the table counts frames
    #[arg(long, value_name = "RATE", allow_hyphen_values = true)]
    pub fps: Option<f64>,
    /// The part that was measured, where the heading does not say
    #[arg(long, value_enum, value_name = "PART")]
    pub of: Option<PartOption>,
    /// The table has positions x and y marked in the frames of a film
    #[arg(long)]
    pub marks: bool,
    /// Length of one unit of the picture, as "0.21 mm"; found from the movement if not given
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, requires = "marks")]
    pub pixel: Option<String>,
    /// What the places are measured in: as the heading says, or to be found out
    #[arg(long, value_enum, value_name = "HOW")]
    pub scale: Option<ScaleOption>,
    /// How the latch stood; if not given, whichever fits better
    #[arg(long, value_enum, value_name = "SETTING")]
    pub latch: Option<LatchOption>,
    /// Fit these values and no others, as "rod.friction,latch.release_delay"; if not given, those with tolerances, those
    /// assumed, and springs, trip, slip, friction, nozzle and lever train
    #[arg(long, value_name = "KEYS", value_delimiter = ',')]
    pub values: Vec<String>,
    #[command(flatten)]
    pub answer: AnswerOptions,
}

/// Options of `listen`.
#[derive(Debug, Args)]
pub struct ListenOptions {
    /// Recording of the machine at work
    pub recording: PathBuf,
    /// Scenario file of the machine, to hold the clicks against; without one only pace and clicks are told
    pub scenario: Option<PathBuf>,
    /// Put VALUE in place of the scenario's, as in --set "cam.lift=32 mm"; may be repeated
    #[arg(long = "set", value_name = "KEY=VALUE", allow_hyphen_values = true, requires = "scenario")]
    pub set: Vec<String>,
    /// Answer in metric or inch measures throughout; as the scenario is written if not given. Type sizes stay in points
    #[arg(long, value_name = "SYSTEM")]
    pub units: Option<Measures>,
    /// Pace at which the machine ran, if known
    #[arg(long, value_name = "PACE", allow_hyphen_values = true)]
    pub pace: Option<String>,
    /// Recording of the same machine in good order, to hold the clicks against
    #[arg(long, value_name = "RECORDING")]
    pub baseline: Option<PathBuf>,
    #[command(flatten)]
    pub answer: AnswerOptions,
}

/// A part whose movement was measured.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum PartOption {
    /// The piston
    Piston,
    /// The spring rod
    Rod,
    /// The cross block
    Block,
}

/// How places are scaled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ScaleOption {
    /// As the heading says
    Known,
    /// To be found out
    Free,
}

/// A setting of the latch.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum LatchOption {
    /// It holds the rod
    Set,
    /// It stands aside
    Aside,
}

/// Options of `calibrate`.
#[derive(Debug, Args)]
pub struct CalibrateOptions {
    #[command(flatten)]
    pub casts: CastsOptions,
    #[command(flatten)]
    pub answer: AnswerOptions,
}

/// Options of `sleeve`.
#[derive(Debug, Args)]
#[command(mut_arg("pace", |arg| arg.help(
    "Pace to cast at, as \"15 turns/min\"; without one, each size at the pace it is really cast at"
)))]
pub struct SleeveOptions {
    #[command(flatten)]
    pub asked: AtPaceOptions,
    /// Shortest length to show, as "2 1/2 in"; the shortest that works if not given
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub from: Option<String>,
    /// Longest length to show; the longest that works if not given
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub to: Option<String>,
    #[command(flatten)]
    pub answer: AnswerOptions,
}

/// Options of `preload`.
#[derive(Debug, Args)]
pub struct PreloadOptions {
    #[command(flatten)]
    pub cast: CastOptions,
    /// Force at rest to set the adjusting nut for, as "400 N"
    #[arg(long = "for", value_name = "FORCE", allow_hyphen_values = true)]
    pub preload: Option<String>,
    #[command(flatten)]
    pub answer: AnswerOptions,
}

/// Options of `tolerance`.
#[derive(Debug, Args)]
pub struct ToleranceOptions {
    #[command(flatten)]
    pub cast: CastOptions,
    /// How many machines to draw at most, each turned with the latch aside and set
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 10_000, value_parser = |text: &str| whole(text, 1..=100_000))]
    pub turns: usize,
    /// Which of the sequences of draws; the same seed gives the same answer
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 1)]
    pub seed: u32,
    /// The chance with which the verdict is to stand, for the sleeve's tolerance
    #[arg(long, value_name = "CHANCE", default_value = "95%", allow_hyphen_values = true)]
    pub chance: String,
    #[command(flatten)]
    pub answer: AnswerOptions,
}

/// Options of `measure`.
#[derive(Debug, Args)]
pub struct MeasureOptions {
    #[command(flatten)]
    pub sizes: SizesOptions,
    /// What is to be settled
    #[arg(long = "for", value_enum, value_name = "QUESTION", default_value_t = About::Verdict)]
    pub about: About,
    /// Answer as JSON, in SI units
    #[arg(long)]
    pub json: bool,
    /// Write worksheet.pdf and the resolved scenario into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Replace files that are there already
    #[arg(long, requires = "out")]
    pub force: bool,
    /// Paper to set the worksheet for
    #[arg(long, value_enum, value_name = "PAPER", default_value_t = PaperSize::A4, requires = "out")]
    pub paper: PaperSize,
}

/// What a measurement is to settle.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum About {
    /// What to do with the latch
    Verdict,
    /// How long the sleeve must be
    Sleeve,
}

/// Options of `talk`.
#[derive(Debug, Args)]
#[command(mut_arg("body", |arg| arg.help(concat!(
    "Sizes, as \"24pt,18pt,36pt\", the one shown in full first; ",
    "the set width keeps the scenario's proportion to the body"
))))]
#[command(mut_arg("out", |arg| arg.help(concat!(
    "Write pictures (PNG and SVG), talk.pdf, talk.html, film.html, notes, contents and the resolved ",
    "scenario into this folder"
))))]
pub struct TalkOptions {
    #[command(flatten)]
    pub asked: AtPaceOptions,
    #[command(flatten)]
    pub folder: FolderOptions,
    #[command(flatten)]
    pub look: LookOptions,
}

/// Measures to answer in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Measures {
    /// Millimetres, newtons, degrees Celsius
    #[value(alias = "mm", alias = "si")]
    Metric,
    /// Inches, pounds-force, degrees Fahrenheit
    #[value(alias = "imperial", alias = "inches", alias = "in", alias = "us")]
    Inch,
}

/// Options of `film`.
#[derive(Debug, Args)]
#[command(mut_arg("pace", |arg| arg.help("Pace to cast at, as \"15 turns/min\"; without one, the scenario's own")))]
#[command(mut_arg("out", |arg| arg.help(concat!(
    "Write the film (GIF and HTML), the machine with the names of its parts and the resolved scenario ",
    "into this folder"
))))]
#[command(mut_arg("size", |arg| arg.help(concat!(
    "What the stills and the machine with its names are for: a screen or projector (1920 × 1080), or a page of about A5 ",
    "(2400 dots wide). The film itself is for a screen"
))))]
pub struct FilmOptions {
    #[command(flatten)]
    pub cast: CastOptions,
    #[command(flatten)]
    pub folder: FolderOptions,
    /// Write the moments of the turn worth a picture as pictures too
    #[arg(long)]
    pub stills: bool,
    /// How many frames the film has
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = 180, value_parser = |text: &str| whole(text, 12..=600))]
    pub frames: usize,
    #[command(flatten)]
    pub look: LookOptions,
}

/// Options of `live`.
#[derive(Debug, Args)]
pub struct LiveOptions {
    #[command(flatten)]
    pub scenario: ScenarioOptions,
    /// Write the page here
    #[arg(long, value_name = "FILE", default_value = "machine.html")]
    pub out: PathBuf,
    /// Replace the file if it is there already
    #[arg(long)]
    pub force: bool,
}

/// Options of `parts`.
#[derive(Debug, Args)]
pub struct PartsOptions {
    #[command(flatten)]
    pub cast: CastOptions,
    /// Take the sleeve's tolerance from a study of all stated tolerances: so close that the verdict stands with a chance of
    /// 95 %, but no coarser than 0.1 mm
    #[arg(long)]
    pub study: bool,
    /// Write the drawings (SVG and PDF, true to scale; A4 in first-angle projection, or letter in third-angle where inches come
    /// first) into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Replace files that are there already
    #[arg(long, requires = "out")]
    pub force: bool,
}

/// Options of `handout`.
#[derive(Debug, Args)]
#[command(mut_arg("out", |arg| arg.help("Write handout.pdf and the resolved scenario into this folder")))]
pub struct HandoutOptions {
    #[command(flatten)]
    pub casts: CastsOptions,
    /// Paper to set it for
    #[arg(long, value_enum, value_name = "PAPER", default_value_t = PaperSize::A4)]
    pub paper: PaperSize,
    #[command(flatten)]
    pub folder: FolderOptions,
}

/// Sizes of paper.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum PaperSize {
    /// 210 mm × 297 mm
    A4,
    /// 8 1/2 in × 11 in
    Letter,
}

/// Options of `new`.
#[derive(Debug, Args)]
pub struct NewOptions {
    /// Where to write it
    pub file: PathBuf,
    /// In which measures its examples are
    #[arg(long, value_name = "SYSTEM")]
    pub units: Option<Measures>,
    /// Say of every value what it is, how it is measured, and what may stand there
    #[arg(long)]
    pub full: bool,
    /// State an invented machine, complete, in place of the blanks
    #[arg(long, conflicts_with = "full")]
    pub example: bool,
    /// Replace the file if it is there already
    #[arg(long)]
    pub force: bool,
}
