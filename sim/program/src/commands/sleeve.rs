//! `latchstroke sleeve`: how long must the sleeve be?

use super::args::SleeveOptions;
use super::open::Opened;
use super::{Failure, Outcome, answers, lists};
use latchstroke_core::studies::sleeve::{Question, Unknown, Window, study, window};
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::cam::CamStatement;
use latchstroke_models::latch::TripStatement;
use latchstroke_plots::Theme;
use latchstroke_report::charts::draw_one;
use latchstroke_report::outbox::Outbox;
use latchstroke_report::sleeve::{self as words, Told, lengths};
use latchstroke_scenario::key;
use latchstroke_scenario::{Dimension, Scenario, Unit};

/// Reserve of lift where the clearance has no tolerance, m: two readings of a steel rule, half a millimetre each. Common practice, no
/// source.
const RESERVE: f64 = 1e-3;
/// The values whose errors shift the trip lift against the lift that there is, the clearance first.
const SHIFTING: [&str; 4] = [
    key!(AbutmentStatement, bare_clearance),
    key!(AbutmentStatement, sleeve),
    key!(TripStatement::Prongs, 0),
    key!(CamStatement::Law, lift),
];

/// Runs the command.
///
/// # Errors
/// Bad input, or a folder that cannot be written.
pub fn run(options: &SleeveOptions) -> Result<Outcome, Failure> {
    let opened = Opened::new(&options.asked.sizes.scenario)?;
    let Opened { scenario, units, machine, terms, .. } = &opened;
    let (sorts, asked) = opened.sorts_and_pace(&options.asked)?;
    let faulty = |faults| opened.faulty(faults);
    let casts = opened.cast_at(asked).casts(machine, &sorts).map_err(faulty)?;
    let (tolerance, reserve_stated) = reserve(scenario);
    let question = Question { stated: machine, casts: &casts, terms: *terms, tolerance };
    let window = window(&question).map_err(|unknown| not_asked(&opened, unknown))?;
    let lengths = asked_lengths(options, &window, units.rod)?;
    let answer = study(&question, window, &lengths).map_err(faulty)?;
    let told = Told {
        machine: scenario.machine_name(),
        answer: &answer,
        acceptance: terms.acceptance,
        reserve_stated,
        units: *units,
    };
    let draw = |theme: &Theme, outbox: &mut Outbox| {
        outbox.add("sleeves.csv", words::csv(&told).map_err(Failure::plain)?);
        Ok(draw_one("sleeve", &words::chart(&told, &answers::source(scenario)), theme, outbox)?)
    };
    answers::answer(&options.answer, scenario, draw, || words::json(&told), || words::text(&told))?;
    // As the judge has it: whether the machine casts this with the sleeve it has.
    Ok(Outcome::of(&answer.judged))
}

/// The lift to keep in hand at either end of the window, m, and whether the tolerances stated say so.
pub(super) fn reserve(scenario: &Scenario) -> (f64, bool) {
    let tolerance = |path: &str| scenario.quantity(path).and_then(|quantity| quantity.tolerance_si);
    let tolerances: f64 = SHIFTING.iter().filter_map(|&path| tolerance(path)).sum();
    let stated = tolerance(SHIFTING[0]).is_some_and(|tolerance| tolerance > 0.0);
    (if stated { tolerances } else { RESERVE.max(tolerances) }, stated)
}

/// Why nothing can be asked of a sleeve's length.
pub(super) fn not_asked(opened: &Opened, unknown: Unknown) -> Failure {
    match unknown {
        Unknown::TripStated => Failure::Plain(measure(&opened.scenario)),
        Unknown::Faults(faults) => opened.faulty(faults),
    }
}

/// What to measure where the trip lift was read directly.
pub(super) fn measure(scenario: &Scenario) -> String {
    format!(
        "{} states latch.trip_lift directly, so nothing says how it hangs on the sleeve; take it out, measure with a rule or depth gauge how far the plain abutment face stands below the latch prongs set over it (bare_clearance in [stack]), the sleeve and the extension now fitted (sleeve, extension), and how far the prongs are pushed up before the latch lets go (prong_travel in [latch])",
        scenario.file_name()
    )
}

/// The lengths to solve: over the range asked for, or over the window.
fn asked_lengths(options: &SleeveOptions, window: &Window, unit: &'static Unit) -> Result<Vec<f64>, Failure> {
    let length = |option: &str, text: &Option<String>| {
        text.as_deref()
            .map(|text| {
                let si = lists::typed(option, text, Dimension::Length, unit, "\"2 1/2 in\" or \"60 mm\"")?;
                if (0.0..=0.5).contains(&si) {
                    Ok(si)
                } else {
                    Err(Failure::Plain(format!("{option} {text}: a sleeve is 0 to 500 mm long")))
                }
            })
            .transpose()
    };
    let from = length("--from", &options.from)?;
    let to = length("--to", &options.to)?;
    if from.is_none() && to.is_none() && window.is_empty() {
        return Ok(Vec::new());
    }
    let (low, high) = (from.unwrap_or(window.shortest), to.unwrap_or(window.longest));
    if low >= high {
        let ends = format!(
            "{} and {}",
            options.from.as_deref().unwrap_or("the shortest that works"),
            options.to.as_deref().unwrap_or("the longest that works")
        );
        return Err(Failure::Plain(format!(
            "--from and --to leave no lengths between {ends}; let --from be the shorter"
        )));
    }
    Ok(lengths(unit, low, high))
}
