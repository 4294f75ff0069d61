//! What may have changed on a machine since it was measured, or was measured wrongly: how far each value may go, how likely that is,
//! and what to look at.

use super::catalogue;
use super::quantity::Quantity;
use super::resolved::{Origin, Scenario};
use crate::key;
use latchstroke_core::studies::distribution::Distribution;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::wrong::Suspect;
use latchstroke_models::abutment::AbutmentStatement;
use latchstroke_models::cooling_water::CoolingWaterStatement;
use latchstroke_models::cross_block::Closure;
use latchstroke_models::latch::{LatchStatement, TripStatement};
use latchstroke_models::metal::MetalStatement;
use latchstroke_models::mould::{MouldStatement, WallStatement};
use latchstroke_models::nozzle::NozzleStatement;
use latchstroke_models::piston::PistonStatement;
use latchstroke_models::rod::RodStatement;
use latchstroke_models::spring::{PreloadStatement, RateStatement, SpringStatement, WireStatement};
use latchstroke_models::vent::VentStatement;

/// How a value may have changed. Ranges and spreads are judged by what wears, breaks, clogs and comes loose; no source.
enum By {
    /// From least to greatest times what it was; nine chances in ten within the factor.
    Times(f64, f64, f64),
    /// By no more than this either way, SI; the likelier the less.
    Off(f64),
}

struct Drift {
    key: &'static str,
    by: By,
    look: &'static str,
}

const fn drift(key: &'static str, by: By, look: &'static str) -> Drift {
    Drift { key, by, look }
}

/// The pieces that can be left out, or put one in the other's place.
const LOOSE: [&str; 2] = [key!(AbutmentStatement, sleeve), key!(AbutmentStatement, extension)];
/// Lengths no further apart than this, m, are one and the same by calipers.
const SAME: f64 = 2e-5;
/// No further than this into a tail that has no end.
const TAIL: f64 = 1e-4;

/// What may change, with what to look at.
static DRIFTS: [Drift; 32] = [
    drift(
        key!(RateStatement::Rate, 0),
        By::Times(0.5, 1.3, 1.15),
        "take the spring off, stand it on kitchen scales, press it down by half an inch and read the load; look for a broken coil or a spring of another wire.",
    ),
    drift(
        key!(WireStatement, active_coils),
        By::Times(0.8, 1.2, 1.1),
        "take the spring off and count the coils that are free to move; look for a broken one, or coils that have worn into each other.",
    ),
    drift(
        key!(WireStatement, wire),
        By::Times(0.9, 1.1, 1.03),
        "measure the wire with a micrometer where it is clean: another spring may have been put in.",
    ),
    drift(
        key!(PreloadStatement::Force, 0),
        By::Times(0.4, 1.8, 1.25),
        "measure the squeezed spring's length with a rule and compare it with what you noted: the adjusting nut may have turned or the spring lost its set.",
    ),
    drift(
        key!(SpringStatement, free_length),
        By::Times(0.8, 1.1, 1.04),
        "take the spring off and measure it standing free: shorter than noted, it has lost its set.",
    ),
    drift(
        key!(AbutmentStatement, nut_turns),
        By::Off(8.0),
        "count the threads that stand out beyond the adjusting nut and compare with what you noted; see that its lock nut is tight.",
    ),
    drift(
        key!(AbutmentStatement, sleeve),
        By::Off(0.000_6),
        "look whether the sleeve is there and is the right one: measure it with calipers, and look for dirt or a washer under it.",
    ),
    drift(
        key!(AbutmentStatement, extension),
        By::Off(0.000_6),
        "look whether the rod's extension is there, is screwed home and is the right one: measure it with calipers.",
    ),
    drift(
        key!(AbutmentStatement, bare_clearance),
        By::Times(0.8, 1.3, 1.04),
        "measure again, with a rule and the machine at rest, from the abutment to the prongs without the sleeve; a loose or bent bracket moves them.",
    ),
    drift(
        key!(AbutmentStatement, bare_gap),
        By::Off(0.004),
        "measure again, with a rule and the machine at rest, the gap in which the springs stand.",
    ),
    drift(
        key!(TripStatement::Prongs, 0),
        By::Times(0.3, 5.0, 1.6),
        "turn by hand and measure from where the prongs are touched to where they let go; look at their tips for wear and at their spring.",
    ),
    drift(
        key!(TripStatement::Lift, 0),
        By::Off(0.006),
        "turn by hand and measure the lift at which the prongs let go; look at their tips for wear.",
    ),
    drift(
        key!(LatchStatement, release_delay),
        By::Off(0.1),
        "work the prongs by finger: gummed or dirty, they let go late. Clean and oil their pin.",
    ),
    drift(
        key!(RodStatement, friction),
        By::Times(0.2, 60.0, 3.0),
        "with power off and the springs let down pull the rod by hand with a spring balance: read what moves it slowly. A bent rod, dross about the piston or a dry guide pulls hard.",
    ),
    drift(
        key!(RodStatement, drag),
        By::Times(0.1, 60.0, 3.4),
        "pull the rod quickly by hand, springs let down: if it moves freely when slow but holds back when fast, the oil is thick or the piston is tight in its metal.",
    ),
    drift(key!(RodStatement, mass), By::Times(0.8, 1.3, 1.05), "weigh the rod with all that moves with it."),
    drift(
        key!(Closure::OneWay, return_force),
        By::Times(0.2, 2.0, 1.25),
        "pull the cross block against its return spring with a spring balance; look for a broken or unhooked spring.",
    ),
    drift(
        key!(PistonStatement, clearance),
        By::Times(0.2, 12.0, 2.0),
        "take the piston out cold and clean; measure it and its bore with micrometer and gauge, and look for scores.",
    ),
    drift(
        key!(PistonStatement, port_travel),
        By::Off(0.001),
        "with the piston out, measure how far it goes before it covers the inlet port; look for dross in the port.",
    ),
    drift(
        key!(NozzleStatement, channel_bore),
        By::Times(0.25, 1.2, 1.1),
        "let the pot cool, take the nozzle off and try a drill shank of the stated bore in the channel: dross narrows it.",
    ),
    drift(
        key!(NozzleStatement, bore),
        By::Times(0.25, 1.3, 1.1),
        "try drill shanks in the nozzle: the one that goes through tells the bore. Dross narrows it, and wear widens it.",
    ),
    drift(
        key!(NozzleStatement, loss),
        By::Times(0.5, 40.0, 2.5),
        "look through the nozzle against a light: a burr, a step against the mould or a lump of dross makes the metal turn.",
    ),
    drift(
        key!(MouldStatement, priming_volume),
        By::Times(0.1, 8.0, 2.0),
        "look where the metal stands in the nozzle as the machine rests: a low pot or a leaking seat lets it run back.",
    ),
    drift(
        key!(WallStatement::Temperature, 0),
        By::Off(40.0),
        "touch the mould's body with a contact thermometer after twenty casts, and feel whether its cooling runs.",
    ),
    drift(
        key!(MouldStatement, heat_transfer),
        By::Times(0.3, 3.0, 1.5),
        "look at the mould's faces: soot, oil or scale keeps heat in, and bright bare faces take it faster. It cannot be measured, so compare a cast before and after cleaning.",
    ),
    drift(
        key!(VentStatement::Slit, gap),
        By::Times(0.05, 8.0, 1.6),
        "clean the mould's faces and try feeler gauges in the vents: metal or dirt shuts them, and wear opens them.",
    ),
    drift(
        key!(VentStatement::Area, 0),
        By::Times(0.05, 8.0, 1.6),
        "clean the mould's faces and look through the vents against a light: metal or dirt shuts them.",
    ),
    drift(
        key!(MouldStatement, hold_down),
        By::Times(0.1, 2.0, 1.3),
        "pull the matrix off its seat with a spring balance; look for a weak spring or dirt under the matrix.",
    ),
    drift(
        key!(MetalStatement, pot_temperature),
        By::Off(60.0),
        "hold a thermometer you trust in the stirred metal near the well, and compare it with the pot's own.",
    ),
    drift(
        key!(CoolingWaterStatement, flow),
        By::Times(0.01, 1.5, 1.5),
        "catch the water that leaves the mould in a measuring jug for a minute by the clock; look for a shut tap or a kinked hose.",
    ),
    drift(
        key!(CoolingWaterStatement, conductance),
        By::Times(0.05, 2.0, 3.6),
        "look into the mould's water ways for lime and rust; a mould that is hot while its water runs out cold has them.",
    ),
    drift(
        key!(Cast, pace),
        By::Times(0.4, 2.5, 1.15),
        "count the casts of a minute by the clock: a belt may slip, or another pulley may be on.",
    ),
];

impl Scenario {
    /// Every value of the machine and its pace that may be another than the one that stands for it, in catalogue order: what is known
    /// to drift, and what is assumed or carries a tolerance. What the caster accepts and the size asked for are not among them.
    pub fn suspects(&self) -> Vec<Suspect> {
        let doubts = self.doubts();
        let sections = self.sections.iter().filter(|s| !s.spec.is_record() && s.spec.name != "parts");
        let items = sections.flat_map(|section| section.items.iter().map(move |item| (section, item)));
        let own = items.filter(|(_, item)| !matches!(item.origin, Origin::SameAs(_)));
        own.filter_map(|(section, item)| {
            let quantity = item.single()?;
            let path = format!("{}.{}", section.name(), item.entry.key);
            let drift = drifts(&path);
            if section.spec.name == "job" && drift.is_none() {
                return None;
            }
            let doubt = doubts.iter().find(|doubt| doubt.path == path).map(|doubt| doubt.distribution);
            let reach = doubt.map(|doubt| (doubt.quantile(TAIL), doubt.quantile(1.0 - TAIL)));
            let (changed, wide) = match drift.map(|drift| &drift.by) {
                Some(&By::Times(least, most, factor)) if quantity.si > 0.0 => {
                    let spread = Distribution::LogNormal { median: quantity.si, factor };
                    (Some(spread), Some((least * quantity.si, most * quantity.si)))
                }
                Some(&By::Off(most)) => {
                    let (low, mode, high) = (quantity.si - most, quantity.si, quantity.si + most);
                    (Some(Distribution::Triangular { low, mode, high }), Some((low, high)))
                }
                _ => (None, None),
            };
            let spreads: Vec<Distribution> = doubt.into_iter().chain(changed).collect();
            let (low, high) = reach.into_iter().chain(wide).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
            let possible = item.entry.range.and_then(|range| {
                let end = |text: &str| Quantity::parse(text, quantity.dimension).ok().map(|end| end.si);
                Some((end(range.low)?, end(range.high)?))
            });
            let (least, most) = possible.unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
            let (now, range, pieces) = (quantity.si, (low.max(least), high.min(most)), self.pieces(&path));
            Some(Suspect { path, now, range, spreads, pieces })
        })
        .collect()
    }

    /// What the length of a loose piece is with the piece left out or the other one in its place, SI.
    fn pieces(&self, path: &str) -> Vec<f64> {
        let other = match LOOSE {
            [piece, other] | [other, piece] if piece == path => other,
            _ => return Vec::new(),
        };
        let length = |path: &str| self.single(path).map_or(0.0, |length| length.si);
        let (now, other) = (length(path), length(other));
        let differs = |value: &f64| (value - now).abs() > SAME;
        [0.0, other].into_iter().filter(differs).collect()
    }
}

fn drifts(path: &str) -> Option<&'static Drift> {
    let (section, key) = path.split_once('.')?;
    let section = section.split('[').next().unwrap_or(section);
    DRIFTS.iter().find(|drift| drift.key.split_once('.') == Some((section, key)))
}

/// What to look at on the machine for a suspected value, with which tool: its own check, or how the value is measured.
pub fn look(path: &str) -> Option<&'static str> {
    let section = path.split('[').next()?;
    let (_, key) = path.split_once('.')?;
    let plain = if path.contains('[') { format!("{section}.{key}") } else { path.to_owned() };
    drifts(path).map(|drift| drift.look).or_else(|| catalogue::entry(&plain).map(|(_, entry)| entry.help))
}
