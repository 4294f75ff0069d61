//! The report of what remembered casts say of the accepted skin and of the heat transfer, and of which clock rules.

mod casts;
pub mod chart;
pub mod data;
mod sureness;

use super::cautions;
use super::owner::{OwnerUnits, rounded, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::studies::calibrate::{
    Calibration, Estimate, Further, Outlook, Prior, SHARPNESS, Speaks,
};
use latchstroke_core::studies::judge::Acceptance;
use latchstroke_models::mould::MouldStatement;
use latchstroke_scenario::key;
use latchstroke_scenario::{Quantity, Scenario, Unit};

/// A number this much narrower than before, or less, has hardly been taught anything.
const HARDLY: f64 = 0.85;
/// The heat transfer is worth writing down when no more than this is left open about it.
const TAUGHT: f64 = 0.5;
/// From this correlation on, the casts fix one number only together with the other.
const TOGETHER: f64 = 0.7;

/// A ratio greater than this is as good as certainty.
const MOST_TIMES: f64 = 1000.0;

/// Everything the report says.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The machine's name.
    pub machine: String,
    /// What the casts say.
    pub calibration: Calibration,
    /// What was believed before them, of the skin and of the coefficient.
    pub priors: (Prior, Prior),
    /// The scenario's own values: job.accepted_skin and mould.heat_transfer.
    pub stated: (Quantity, Quantity),
    /// What is to be expected of each size, pace and setting asked about.
    pub outlooks: Vec<Outlook>,
    /// The casts that would teach most.
    pub further: Vec<Further>,
}

/// The scenario's values of the two numbers.
pub fn stated(scenario: &Scenario) -> Option<(Quantity, Quantity)> {
    let value = |path: &str| scenario.quantity(path).cloned();
    Some((value(key!(Acceptance, skin))?, value(key!(MouldStatement, heat_transfer))?))
}

/// The report.
pub fn text(answer: &Answer, units: &OwnerUnits) -> String {
    let count = answer.calibration.casts.len();
    let said = if count == 1 { "your one cast says".to_owned() } else { format!("your {count} casts say") };
    let mut text = format!("{}: what {said}\n\n", answer.machine);
    text += &table(answer, units).text(2);
    text += &wrapped(&findings(answer, units), 2, 2);
    text += &wrapped(&rule(answer), 2, 2);
    text += "\nThe casts\n";
    text += &casts::table(&answer.calibration, units).text(2);
    text += &wrapped(casts::LEGEND, 2, 2);
    text += &casts::doubts(&answer.calibration, units);
    text += "\nWhat is to be expected now: chance of a sound cast, latch aside | set\n";
    text += &sureness::grid(&answer.outlooks, units).text(2);
    text += &wrapped(
        "All limits count: one of the machine that is missed, or the matrix lifted, leaves no chance.",
        2,
        2,
    );
    text += &proposals(answer, units);
    text += &lines(answer, units);
    text += &format!("\n{}\n", how(answer));
    text += &cautions::short();
    text
}

/// A value with its interval, in a unit: "0.42 mm (0.36 to 0.50)".
fn interval(unit: &Unit, estimate: Estimate) -> String {
    let figure = |si: f64| significant(unit.from_si(si), 2);
    format!("{} ({} to {})", rounded(unit, estimate.median, 2), figure(estimate.low), figure(estimate.high))
}

/// What is believed of a number before and after the casts.
struct Number<'a> {
    name: &'static str,
    stated: &'a Quantity,
    before: Estimate,
    after: Estimate,
}

impl Number<'_> {
    /// The share of the spread that the casts have left.
    fn left(&self) -> f64 {
        self.after.spread / self.before.spread
    }
}

/// The skin whatever the heat transfer, the heat transfer, and the skin with the heat transfer as stated.
fn numbers(answer: &Answer) -> [Number<'_>; 3] {
    let Calibration { prior, posterior, .. } = &answer.calibration;
    let (skin, film) = (&answer.stated.0, &answer.stated.1);
    let number = |name, stated, before, after| Number { name, stated, before, after };
    [
        number("accepted skin", skin, prior.skin(), posterior.skin()),
        number("heat transfer", film, prior.film(), posterior.film()),
        number("skin, heat transfer as stated", skin, prior.skin(), posterior.skin_given(film.si)),
    ]
}

fn table(answer: &Answer, units: &OwnerUnits) -> Table {
    let mut table = Table::new(&["", "scenario", "before the casts", "after the casts", "open still"]);
    for number in numbers(answer) {
        table.row([
            number.name.to_owned(),
            units.stated(number.stated),
            interval(units.unit_of(number.stated), number.before),
            interval(units.unit_of(number.stated), number.after),
            format!("{:.0} %", 100.0 * number.left()),
        ]);
    }
    table
}

/// Whether the casts fix one of the two numbers only together with the other.
fn together(answer: &Answer) -> bool {
    answer.calibration.posterior.correlation().abs() >= TOGETHER
}

/// What the casts fix, and what they leave open.
fn findings(answer: &Answer, units: &OwnerUnits) -> String {
    let mut said = "In brackets nine chances in ten. \"Open still\" is the spread after the casts as a share of that before."
        .to_owned();
    let [skin, film, given] = numbers(answer);
    for number in [&skin, &film] {
        said += &if number.left() > HARDLY {
            format!(" Your casts say next to nothing about the {} by itself.", number.name)
        } else {
            format!(" Of what was open about the {} your casts leave {}.", number.name, share(number.left()))
        };
    }
    if together(answer) {
        let correlation = answer.calibration.posterior.correlation();
        let way = if correlation > 0.0 { "thicker" } else { "thinner" };
        said += &format!(
            " The casts fix the skin only together with the heat transfer: the faster the mould takes the heat, the {way} the skin that explains them. With the heat transfer as stated the skin is {}.",
            interval(units.unit_of(given.stated), given.after),
        );
    }
    said
}

/// Which of the filling clocks the casts speak for.
fn rule(answer: &Answer) -> String {
    let rule = &answer.calibration.rule;
    let ratio = rule.ratio();
    let times = |ratio: f64| {
        if ratio < MOST_TIMES { significant(ratio, 2) } else { format!("more than {MOST_TIMES:.0}") }
    };
    let said = match rule.speaks() {
        Speaks::ForLapping => format!(
            "Your casts speak for lapping: it makes what happened {} times as likely as the skin does.",
            times(ratio)
        ),
        Speaks::ForSkin => format!(
            "Your casts speak for the skin: it makes what happened {} times as likely as lapping does.",
            times(1.0 / ratio)
        ),
        Speaks::ForNeither => format!(
            "Your casts do not tell lapping and skin apart: either makes what happened about as likely (ratio {}). Casts of a much smaller and a much larger size, each near its edge, would.",
            significant(ratio, 2)
        ),
    };
    let least = rule.least_over_better();
    let judged = if least >= 1.0 / Speaks::TELLS {
        "The judge goes by the lesser of both, which fits your casts as well."
    } else {
        "The judge goes by the lesser of both, which fits your casts less well: see job.accepted_solid and job.accepted_skin."
    };
    format!("{said} {judged}")
}

/// A share in words where words are as good.
fn share(left: f64) -> String {
    match left {
        left if left < 0.3 => format!("one part in {:.0}", 1.0 / left),
        left if left < 0.42 => "a third".to_owned(),
        left if left < 0.58 => "half".to_owned(),
        left if left < 0.71 => "two thirds".to_owned(),
        _ => "most".to_owned(),
    }
}

fn proposals(answer: &Answer, units: &OwnerUnits) -> String {
    let mut text = "\nWhich cast would teach most\n".to_owned();
    if answer.further.is_empty() {
        text += &wrapped(
            "None of those asked about: each is as good as certain, cannot work, or may not be solid in time. Ask about other sizes and paces with --body and --pace.",
            2,
            2,
        );
        return text;
    }
    let skin = units.unit_of(&answer.stated.0);
    let pace = format!("pace, {}", units.pace.symbol);
    let mut table =
        Table::new(&["size", &pace, "latch", "chance sound", "skin if sound", "skin if it fails"]);
    for Further { outlook, if_sound, if_failed } in &answer.further {
        table.row([
            units.size(outlook.cast.sort.body.0),
            units.turns_figure(outlook.cast.pace.0),
            casts::setting(outlook.setting).to_owned(),
            sureness::chance(outlook.chance),
            interval(skin, *if_sound),
            interval(skin, *if_failed),
        ]);
    }
    text += &table.text(2);
    text += &wrapped("The skins are those with the heat transfer as stated.", 2, 2);
    text += &wrapped(
        "! Each of these is an experiment whose outcome is open. All should be solid before the mould opens, by the model with the low end of the heat transfer or by a sound cast that you list; watch the first types all the same, and stop if one comes out soft.",
        2,
        4,
    );
    text
}

/// A line of a scenario that states what is believed of a number. Its tolerance is the half-width of the rectangle with the same
/// mean square, as the prior is read from a tolerance; none is written where it would reach down to nought, or is not wanted.
fn line(key: &str, stated: &Quantity, after: Estimate, with_tolerance: bool, units: &OwnerUnits) -> String {
    let unit = units.unit_of(stated);
    let figure = |si: f64| significant(unit.from_si(si), 2);
    let half_width = after.median * (3.0 * after.spread.powi(2).exp_m1()).sqrt();
    let tolerance = if with_tolerance && half_width < after.median {
        format!(" ± {}", figure(half_width))
    } else {
        String::new()
    };
    format!(
        "  {key} = \"{}{tolerance} {}\"  # before the casts: {}\n",
        figure(after.median),
        unit.typeable(),
        units.stated(stated)
    )
}

/// What to put into the scenario: the skin that goes with the heat transfer as stated, unless the casts have found the heat
/// transfer itself, or that it lies elsewhere.
fn lines(answer: &Answer, units: &OwnerUnits) -> String {
    let [skin, film, given] = numbers(answer);
    let is_elsewhere = !(film.after.low..=film.after.high).contains(&film.stated.si);
    let is_found = !together(answer) && film.left() <= TAUGHT;
    let mut text = "\nTo carry this over into the scenario\n".to_owned();
    if is_elsewhere || is_found {
        let with_it = answer.calibration.posterior.skin_given(film.after.median);
        text += &line("accepted_skin", skin.stated, with_it, true, units);
        text += &line("heat_transfer", film.stated, film.after, !together(answer), units);
        text += &wrapped("Put in both; this skin goes with this heat transfer.", 2, 2);
    } else {
        text += &line("accepted_skin", skin.stated, given.after, true, units);
        text += &wrapped(
            "Leave heat_transfer as it is: this skin goes with it, and the verdicts turn on the two together.",
            2,
            2,
        );
    }
    text += &wrapped(
        "To calibrate again with more casts, put the old values back first; else the casts listed count twice.",
        2,
        2,
    );
    text
}

/// What the answer rests on.
fn how(answer: &Answer) -> String {
    let factor = |prior: Prior| significant(prior.spread.exp(), 2);
    let (skin, film) = answer.priors;
    let said = format!(
        "How: before the casts each number lies within a factor of {} (skin) and {} (heat transfer) of the scenario's value with two chances in three: by its tolerance where it has one, else a factor of two, a judgement. Each cast is solved over the whole range of the heat transfer and held against its lapping, skin and bulk limit; with {} % too little time one cast in six still comes out sound, with as much to spare one in six is spoilt (a judgement). The job's margin is left out, since experience says what really came out. Types that were not solid bear on the heat transfer alone, through the cooling limit; a lifted matrix bears on neither. Which clock rules is told by how likely each makes all casts together, over all that was believed before them. Casts count as independent of each other.",
        factor(skin),
        factor(film),
        significant(100.0 * SHARPNESS, 2),
    );
    wrapped(&said, 0, 2)
}
