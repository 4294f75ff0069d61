//! What a piece would measure if it were found in a box of parts.

use super::measures::{Measures, fraction, millimetres};
use crate::owner::{OwnerUnits, System};
use crate::table::Table;
use latchstroke_core::studies::parts::{Parts, STEEL};
use latchstroke_scenario::Dimension;

/// What each piece would measure if it were found in a box of parts.
pub(super) fn found(parts: &Parts, units: &OwnerUnits) -> Table {
    let systems: Vec<System> = Measures::of(units).systems().collect();
    let symbol = |system: &System| if *system == System::Inch { "in" } else { "mm" };
    let headings = ["length", "bore", "outside"].into_iter().flat_map(|what| {
        let first = systems.first().map(|system| format!("{what} {}", symbol(system)));
        first.into_iter().chain(systems.iter().skip(1).map(|system| symbol(system).to_owned()))
    });
    let ends = ["thread", "weight"].map(str::to_owned);
    let heading: Vec<String> = [String::new()].into_iter().chain(headings).chain(ends).collect();
    let mut table = Table::new(&heading.iter().map(String::as_str).collect::<Vec<_>>());
    let both = |metres: f64| -> Vec<String> {
        let cell = |system: &System| match system {
            System::Inch => fraction(metres).replace(" in", ""),
            System::Metric => millimetres(metres),
        };
        systems.iter().map(cell).collect()
    };
    let none = || vec!["–".to_owned(); systems.len()];
    let weight = |volume: f64| units.figure(Dimension::Mass, STEEL * volume);
    let mut row = |name: &str, sizes: [Vec<String>; 3], thread: &str, weight: String| {
        table.row(
            [name.to_owned()]
                .into_iter()
                .chain(sizes.into_iter().flatten())
                .chain([thread.to_owned(), weight]),
        );
    };
    if let Some(sleeve) = &parts.sleeve {
        row(
            "sleeve",
            [sleeve.overall(), sleeve.bore, sleeve.outside].map(&both),
            "–",
            weight(sleeve.volume()),
        );
    }
    let (rod, thread) = (both(parts.rod_diameter), parts.thread.name.as_str());
    let section = 0.25 * std::f64::consts::PI * parts.rod_diameter.powi(2);
    let longer = parts.extension.as_ref().map(|extension| extension.length);
    if let Some(length) = parts.rod_length {
        row("plain rod", [both(length), none(), rod.clone()], thread, weight(section * length));
        if let Some(total) = longer.map(|more| length + more) {
            row("extended rod", [both(total), none(), rod], thread, weight(section * total));
        }
    } else {
        row("plain rod", [none(), none(), rod.clone()], thread, "–".to_owned());
        if let Some(more) = longer {
            let more_of = both(more).into_iter().map(|length| format!("+ {length}"));
            let sizes = [more_of.collect(), none(), rod];
            row("extended rod", sizes, thread, format!("+ {}", weight(section * more)));
        }
    }
    if let Some(extension) = &parts.extension {
        let sizes = [both(extension.overall()), none(), both(extension.outside)];
        row("extension", sizes, thread, weight(extension.volume()));
    }
    table
}
