//! The report of the mould warming up.

pub mod chart;
pub mod data;

use super::cautions;
use super::owner::{OwnerUnits, percent, rounded, significant};
use super::table::Table;
use super::turn::wrapped;
use latchstroke_core::studies::warm::{MOST_CASTS, NEAR, WarmUp};
use latchstroke_scenario::Dimension;

/// Everything the report says.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The machine's name.
    pub machine: String,
    /// The mould before the first cast, K.
    pub cold: f64,
    /// The casts asked about.
    pub warm_ups: Vec<WarmUp>,
}

impl Answer {
    /// Whether every type asked about is solid as the warm mould opens, with water that does not boil.
    pub fn all_can_be_cast(&self) -> bool {
        self.warm_ups.iter().all(|warm_up| warm_up.solid_in_time() && !warm_up.boils())
    }
}

const FIRST_CASTS: &str = "The first casts meet a colder mould than the rest: their metal freezes sooner, and may not fill as well. Keep them apart until the mould is warm.";
const WATER_FIRST: &str = "! Start the water before the first cast and leave it running: water let into a hot mould flashes to steam.";

/// The report.
pub fn text(answer: &Answer, units: &OwnerUnits) -> String {
    let mut text = format!("{}\n\nHow warm does the mould get?\n", answer.machine);
    text += &table(answer, units).text(2);
    text += &wrapped(&terms(units), 2, 2);
    text.push('\n');
    for warm_up in &answer.warm_ups {
        let said = format!("{}: {}", cast_words(warm_up, units), course(warm_up, answer.cold, units));
        text += &wrapped(&said, 2, 4);
        text += &wrapped(&others(warm_up, units), 4, 4);
        for finding in findings(warm_up, units) {
            text += &wrapped(&format!("! {finding}"), 4, 6);
        }
    }
    text.push('\n');
    text += &wrapped(FIRST_CASTS, 2, 2);
    text.push('\n');
    text += &wrapped(WATER_FIRST, 2, 4);
    text.push('\n');
    text += &cautions::short();
    text
}

fn terms(units: &OwnerUnits) -> String {
    format!(
        "\"Warm\" is within {} of where the mould settles. \"Solid\" is the time from the mould being full until the metal is solid through its middle, in the cold and in the warm mould, and \"opens\" the time after which the mould opens (mould.shut_angle). The mould is taken as one lump. Heat that comes from the pot through the nozzle is left out: a real mould is a little warmer.",
        near(units)
    )
}

/// How near to where it settles the mould counts as warm.
fn near(units: &OwnerUnits) -> String {
    let in_fahrenheit = units.temperature.symbol == "°F";
    if in_fahrenheit { format!("{} °F", significant(1.8 * NEAR, 2)) } else { format!("{NEAR} K") }
}

fn cast_words(warm_up: &WarmUp, units: &OwnerUnits) -> String {
    format!("{} at {}", units.size(warm_up.cast.sort.body.0), units.turns(warm_up.cast.pace.0))
}

fn temperature(kelvin: f64, units: &OwnerUnits) -> String {
    units.temperature(kelvin)
}

fn seconds(time: f64) -> String {
    format!("{} s", significant(time, 3))
}

fn table(answer: &Answer, units: &OwnerUnits) -> Table {
    let mut table = Table::new(&[
        "size",
        "pace",
        "settles at",
        "water out at",
        "warm after",
        "solid, cold",
        "solid, warm",
        "opens",
    ]);
    let maybe = |time: Option<f64>| time.map_or("never".to_owned(), seconds);
    for warm_up in &answer.warm_ups {
        table.row([
            units.size(warm_up.cast.sort.body.0),
            units.turns(warm_up.cast.pace.0),
            temperature(warm_up.settled.mould, units),
            temperature(warm_up.settled.outlet, units),
            warm_up.casts_until_warm.map_or(format!("over {MOST_CASTS} casts"), |n| format!("{n} casts")),
            maybe(warm_up.solid_cold),
            maybe(warm_up.solid_warm),
            seconds(warm_up.shut_time),
        ]);
    }
    table
}

/// How the mould warms up, and what that does to the type.
fn course(warm_up: &WarmUp, cold: f64, units: &OwnerUnits) -> String {
    let (cold, settled) = (temperature(cold, units), temperature(warm_up.settled.mould, units));
    let soon = match (warm_up.casts_until_warm, warm_up.time_until_warm()) {
        (Some(casts), Some(time)) => {
            let casts = if casts == 1 { "1 cast".to_owned() } else { format!("{casts} casts") };
            let minutes = minutes(time);
            format!("from {cold} the mould comes within {} of {settled} in {casts}, {minutes}.", near(units))
        }
        _ => format!("from {cold} the mould goes toward {settled}, and is not there in {MOST_CASTS} casts."),
    };
    let (water, air) = warm_up.carried;
    let air = if air == 0.0 {
        String::new()
    } else {
        format!(" and the air {}", rounded(units.system.unit(Dimension::Power), air, 2))
    };
    let heat = format!(
        "A cast gives the cold mould {} and the warm one {}, of which the water carries off {}{air}.",
        units.heat(warm_up.first_heat),
        units.heat(warm_up.heat),
        units.figure(Dimension::Power, water)
    );
    let later = match (warm_up.solid_cold, warm_up.solid_warm) {
        (Some(cold), Some(warm)) => format!(
            " In the warm mould the middle of the type takes {} longer to be solid than in the cold one.",
            percent(warm / cold - 1.0)
        ),
        _ => String::new(),
    };
    format!("{soon} {heat}{later}")
}

fn minutes(time: f64) -> String {
    if time < 60.0 { seconds(time) } else { format!("{} min", significant(time / 60.0, 2)) }
}

fn others(warm_up: &WarmUp, units: &OwnerUnits) -> String {
    format!(
        "With half the water it would settle at {} or more (less water also takes heat less readily, which is left out); at twice the pace, at {}.",
        temperature(warm_up.half_water.mould, units),
        temperature(warm_up.twice_pace.mould, units)
    )
}

fn findings(warm_up: &WarmUp, units: &OwnerUnits) -> Vec<String> {
    let mut findings = Vec::new();
    if warm_up.boils() {
        findings.push(format!(
            "The water would boil on its way ({} at the outlet), and these figures no longer hold. Give more water, or go slower.",
            temperature(warm_up.settled.outlet, units)
        ));
    } else if warm_up.may_boil() {
        findings.push(
            "The mould is hotter than boiling water, so water may boil where it touches it. Give more water, or go slower, until no steam comes.".to_owned(),
        );
    }
    if warm_up.never_freezes() {
        findings.push(format!(
            "The mould settles as hot as the metal's solidus, {}, so the type would never be solid.",
            temperature(warm_up.solidus, units)
        ));
    } else if !warm_up.solid_in_time() {
        findings.push(format!(
            "The mould opens after {}, before the type is solid through its middle: metal still liquid comes out hot. latchstroke pace says how fast this size may go.",
            seconds(warm_up.shut_time)
        ));
    }
    findings
}
