//! The report of one cast: latch aside and set, side by side.

use super::findings::sentence;
use super::limits;
use super::owner::{OwnerUnits, milliseconds, percent, rounded, significant};
use super::table::Table;
use latchstroke_core::limits::Clock;
use latchstroke_core::studies::judge::{Acceptance, Judgement};
use latchstroke_core::studies::real_pace::RealPace;
use latchstroke_core::turn::Turn;
use latchstroke_core::turn::surge::ResolvedThrow;
use latchstroke_models::latch::LatchSetting;
use latchstroke_scenario::Dimension;
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};

/// The report, but for the cautions that end it; `heat` (J) is what the cast gives the mould, `real` the
/// pace at which the size is really cast, where none was asked for.
pub fn text(
    judgement: &Judgement,
    real: Option<&RealPace>,
    units: &OwnerUnits,
    acceptance: Acceptance,
    heat: f64,
) -> String {
    let mut text = wrapped(&format!("{}.", limits::headline(judgement, units)), 0, 2);
    if let Some(said) = limits::own_pace(judgement, real, units) {
        text += &wrapped(&said, 2, 2);
    }
    if let Some(otherwise) = limits::otherwise(judgement) {
        text += &wrapped(&otherwise, 2, 2);
    }
    text += "\nLimits\n";
    text += &limits::table(judgement, units).text(2);
    text += &wrapped(&clocks(judgement, units, acceptance), 2, 2);
    text += &findings(judgement, units);
    text += "\n";
    text += &figures(judgement, units).text(2);
    let springs_back = |turn: &Turn| turn.fill.is_some_and(|fill| fill.mean_piston_speed < 0.0);
    if [&judgement.aside, &judgement.set].into_iter().any(springs_back) {
        let why = "A mean speed of the piston below nought: it sprang back while the metal, once on its way, ran on and filled the mould.";
        text += &wrapped(why, 2, 2);
    }
    text += &format!("  The cast gives the mould {} by the time it opens.\n", units.heat(heat));
    for (name, turn) in [("aside", &judgement.aside), ("set", &judgement.set)] {
        text += &format!("\nEvents, latch {name}\n");
        text += &events(turn).text(2);
    }
    text
}

/// How long the fill may take, and by which clock.
fn clocks(judgement: &Judgement, units: &OwnerUnits, acceptance: Acceptance) -> String {
    let clocks = &judgement.clocks;
    let time = |si: f64| if si.is_finite() { milliseconds(si) } else { "never up".to_owned() };
    let lapping = if acceptance.solid > 0.0 {
        format!("until {} of the first metal is solid", percent(acceptance.solid))
    } else {
        "until the first metal begins to freeze".to_owned()
    };
    let of = |clock: Clock| format!("{} {}", limits::clock(clock), time(clocks.of_clock(clock)));
    format!(
        "The fill may take {}: the {} over a margin of {}. {} ({lapping}); {} (a skin of {} where metal lies still on the face; a film splashed ahead freezes as thick in no less than {}); {}.",
        time(clocks.allowed),
        limits::clock(clocks.deciding()),
        significant(acceptance.margin, 3),
        limits::first_upper(&of(Clock::Lapping)),
        of(Clock::Skin),
        units.skin(acceptance.skin),
        time(clocks.splashed_film),
        of(Clock::Bulk),
    )
}

/// What is in the way of either setting and would be right, and what else stands out in its turn.
fn findings(judgement: &Judgement, units: &OwnerUnits) -> String {
    let mut text = String::new();
    for setting in [LatchSetting::Aside, LatchSetting::Set] {
        let name = limits::first_upper(limits::setting(setting));
        for said in notes(judgement, setting, units) {
            text += &wrapped(&format!("! {name}: {said}"), 2, 4);
        }
    }
    text
}

/// What is in the way of a setting and would be right, and what else stands out in its turn, a sentence or two each.
pub fn notes(judgement: &Judgement, setting: LatchSetting, units: &OwnerUnits) -> Vec<String> {
    let told = judgement.standing(setting).in_the_way().map(|margin| limits::sentence(margin, units));
    let others = judgement.turn(setting).findings.iter().filter(|finding| !limits::is_limit(finding));
    told.chain(others.map(|finding| sentence(finding, units))).collect()
}

/// Whether resolving the springs along their length matters, as one sentence.
pub fn surge(set: &Turn, resolved: Option<&ResolvedThrow>, units: &OwnerUnits) -> String {
    let (Some(resolved), Some(fill)) = (resolved, set.fill) else {
        return wrapped(
            "Springs resolved along their length: not tried, since the latch throws no rod that fills the mould here, or a spring lies loose.",
            0,
            2,
        );
    };
    let Some(fill_time) = resolved.fill_time else {
        return wrapped(
            "Springs resolved along their length: the mould does not become full; do not trust the usual rule here.",
            0,
            2,
        );
    };
    let change = fill_time / fill.time() - 1.0;
    let matters = if change.abs() < SURGE_MATTERS {
        "so the usual rule, one third of the spring moving with the rod, is good enough here"
    } else {
        "so the springs' own waves matter here; read the fill time of the resolved springs"
    };
    wrapped(
        &format!(
            "Springs resolved along their length ({} pieces each): full in {} instead of {} ({}\u{a0}%), piston up to {} instead of {}, {matters}.",
            resolved.pieces,
            milliseconds(fill_time),
            milliseconds(fill.time()),
            significant(100.0 * change, 2),
            units.speed(resolved.piston_speed),
            units.speed(set.peaks.piston_speed),
        ),
        0,
        2,
    )
}

/// A change of the fill time by less than this share does not change what an owner does.
const SURGE_MATTERS: f64 = 0.03;

/// A paragraph broken at 96 columns, its first line indented by `first` and the others by `rest` spaces; nothing of one without words.
pub(super) fn wrapped(paragraph: &str, first: usize, rest: usize) -> String {
    if paragraph.is_empty() {
        return String::new();
    }
    let (first, rest) = (" ".repeat(first), " ".repeat(rest));
    let options = Options::new(96)
        .initial_indent(&first)
        .subsequent_indent(&rest)
        .break_words(false)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    textwrap::fill(paragraph, options) + "\n"
}

fn figures(judgement: &Judgement, units: &OwnerUnits) -> Table {
    let mut table = Table::new(&["", "latch aside", "latch set"]);
    let both = [&judgement.aside, &judgement.set];
    let mut row = |name: &str, value: &dyn Fn(&Turn) -> Option<String>| {
        let cell = |turn: &Turn| value(turn).unwrap_or_else(|| "–".to_owned());
        table.row([name.to_owned(), cell(both[0]), cell(both[1])]);
    };
    row("fill time, entry to 98 % full", &|t| t.fill.map(|fill| milliseconds(fill.time())));
    row("piston speed, greatest", &|t| Some(units.speed(t.peaks.piston_speed)));
    row("piston speed, mean while filling", &|t| t.fill.map(|fill| units.speed(fill.mean_piston_speed)));
    row("jet speed at the nozzle, greatest", &|t| t.fill.map(|_| units.speed(t.peaks.jet_speed)));
    row("well pressure, greatest", &|t| Some(units.pressure(t.peaks.well_pressure)));
    row("mould pressure, greatest", &|t| t.fill.map(|_| units.pressure(t.peaks.cavity_pressure)));
    row("mould pressure as the entry seals", &|t| t.fill.map(|_| units.pressure(t.hold_pressure)));
    row("force lifting the matrix, greatest", &|t| t.fill.map(|_| units.force(t.peaks.lifting_force)));
    row("force lifting the matrix, lasting", &|t| t.fill.map(|_| units.force(t.hold_lifting_force)));
    row("spring force at rest", &|t| Some(units.force(t.preload)));
    row("spring force as the latch lets go", &|t| t.throw.map(|throw| units.force(throw.latch_load)));
    row("spring force, greatest", &|t| Some(units.force(t.peaks.spring_force)));
    row("energy in the springs at let-go", &|t| t.throw.map(|throw| units.energy(throw.stored_energy)));
    row("share of the fill the springs cover", &|t| t.throw.map(|_| percent(t.snap_share)));
    row("shoulder strikes with", &|t| {
        let throw = t.throw.filter(|throw| throw.caught_up.is_some())?;
        Some(format!("{}, {}", units.speed(throw.strike_speed), units.blow(throw.strike_energy)))
    });
    row("cam force, greatest", &|t| Some(units.force(t.peaks.cam_force)));
    row("cam torque, greatest", &|t| Some(units.figure(Dimension::Torque, t.peaks.cam_torque)));
    row("mould filled", &|t| Some(percent(t.filled.clamp(0.0, 1.0))));
    row("space that air keeps in the end", &|t| Some(percent(t.trapped_air.max(0.0))));
    row("skin at the end of the fill", &|t| t.fill.and_then(|fill| Some(rounded(units.skin, fill.skin?, 3))));
    row("energy not accounted for", &|t| {
        Some(format!("{} of the cam's work", percent(t.energy_residual.abs())))
    });
    table
}

fn events(turn: &Turn) -> Table {
    let mut table = Table::new(&["", "time", "shaft angle"]);
    for event in &turn.events {
        table.row([
            event.kind.words().to_owned(),
            format!("{:.1} ms", event.time * 1e3),
            format!("{:.1}°", event.angle.to_degrees()),
        ]);
    }
    table
}
