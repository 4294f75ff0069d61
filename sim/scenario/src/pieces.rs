//! Pieces of scenario that a measurement gives: a key, its value with a tolerance, and why.

use super::catalogue::{self, Condition, Demand};
use super::key;
use super::overrides::Override;
use super::quantity::{Dimension, Quantity, Unit, decimals};
use super::reader::in_range;
use super::resolved::{Item, Origin, Scenario, Value};
use catalogue::bench::bench;
use latchstroke_core::bench::carried::Known;
use latchstroke_core::studies::distribution::Distribution;
use latchstroke_models::cam::CamStatement;
use latchstroke_models::machine::MachineStatement;

/// The law of a cam that is known by readings.
const MEASURED: &str = "measured";

/// A key with its value as it is to be typed.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Its full key, as `spring[1].rate`.
    pub path: String,
    /// The value with its tolerance; its text is what is to be typed.
    pub quantity: Quantity,
    /// Why, in words.
    pub why: String,
}

impl Piece {
    /// A value (SI) with half the width of its tolerance, to be typed in a unit; the tolerance to two figures.
    ///
    /// # Errors
    /// Where the key may not have such a value: why.
    pub fn new(path: &str, (si, half): (f64, f64), unit: &Unit, why: String) -> Result<Self, String> {
        let Some((_, entry)) = catalogue::entry(path) else { return Err(format!("there is no key {path}")) };
        let dimension = entry.kind.dimension().unwrap_or(Dimension::Ratio);
        let cannot =
            |right: String| format!("{path} would be {}, which cannot be: {right}", written(unit, si, half));
        let quantity =
            Quantity::parse(&written(unit, si, half), dimension).map_err(|fault| cannot(fault.message))?;
        in_range(entry, &quantity).map_err(|fault| cannot(fault.right))?;
        Ok(Self { path: path.to_owned(), quantity, why })
    }

    /// The line to type, its key without the section.
    pub fn line(&self) -> String {
        let key = self.path.split_once('.').map_or(self.path.as_str(), |(_, key)| key);
        format!("{key} = \"{}\"  # {}", self.quantity, self.why)
    }

    /// The heading above that line.
    pub fn header(&self) -> String {
        let section = self.path.split('.').next().unwrap_or_default();
        let name = section.split('[').next().unwrap_or_default();
        catalogue::section(name).map_or_else(String::new, catalogue::Section::header)
    }

    /// The piece put in place of what a scenario says.
    pub fn given(&self) -> Override {
        Override::parse(&format!("{}={}", self.path, self.quantity))
    }
}

/// A value (SI) and half its tolerance in a unit, to two figures of the latter.
pub(super) fn written(unit: &Unit, si: f64, half: f64) -> String {
    let (value, half_width) = (unit.from_si(si), (unit.from_si(si + half) - unit.from_si(si)).abs());
    let places = decimals(half_width, 2).max(0).unsigned_abs() as usize;
    let typeable = unit.typeable();
    let figure = |number: f64| format!("{number:.places$} {typeable}").trim_end().to_owned();
    format!("{} ± {}", figure(value), figure(half_width))
}

impl Scenario {
    /// The value of a full key and how closely it is known, SI: by its tolerance or as it is assumed, and where it is stated as exact as it is
    /// read at the bench. None of a key that holds no single value.
    pub fn known(&self, path: &str) -> Option<Known> {
        let (item, value) = (self.item(path)?, self.single(path)?.si);
        let doubt = self.doubts().into_iter().find(|doubt| doubt.path == path);
        let read = || Some(bench(path)?.reading(item.entry.kind)?.half_width(value));
        let spread = |of: Distribution| 0.5 * (of.quantile(0.975) - of.quantile(0.025));
        let half = doubt.map(|doubt| spread(doubt.distribution)).or_else(read).unwrap_or(0.0);
        Some(Known { value, half })
    }

    /// The same scenario, in which pieces that were put in say where they come from.
    #[must_use]
    pub fn measured(mut self, pieces: &[Piece]) -> Self {
        for piece in pieces {
            let Some((name, key)) = piece.path.split_once('.') else { continue };
            let section = self.sections.iter_mut().find(|section| section.name() == name);
            if let Some(item) =
                section.and_then(|section| section.items.iter_mut().find(|item| item.entry.key == key))
            {
                item.origin = Origin::Measured(piece.why.clone());
            }
        }
        self
    }

    /// The same scenario with the cam known by readings, in growing order of angle, in place of whatever it said of its shape.
    #[must_use]
    pub fn with_cam(mut self, readings: Vec<(Quantity, Quantity)>, why: &str) -> Self {
        let refused = |spec: &catalogue::Section, key: &str| {
            spec.rules.iter().any(|rule| match (rule.when, rule.demand) {
                (Condition::Is(_, word), Demand::None(keys)) => word == MEASURED && keys.contains(&key),
                _ => false,
            })
        };
        let put = |path: &str, value: Value| {
            let (_, entry) = catalogue::entry(path)?;
            Some(Item { entry, value, origin: Origin::Measured(why.to_owned()) })
        };
        let law = put(key!(MachineStatement, cam), Value::Choice(MEASURED));
        let shape = put(key!(CamStatement::Measured, 0), Value::Readings(readings));
        let own = [&law, &shape].map(|item| item.as_ref().map_or("", |item| item.entry.key));
        for section in self.sections.iter_mut().filter(|section| section.spec.name == "cam") {
            let spec = section.spec;
            section.items.retain(|item| !refused(spec, item.entry.key) && !own.contains(&item.entry.key));
            section.items.splice(0..0, law.clone().into_iter().chain(shape.clone()));
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Dimension, read, resolved::Origin};
    use super::*;

    fn unit(dimension: Dimension, symbol: &str) -> &'static Unit {
        dimension.find(symbol).expect("a unit")
    }

    #[test]
    fn pieces_are_put_in_and_say_why() {
        let demo = include_str!("../../../scenarios/large_initials.toml");
        let why = "nine readings".to_owned();
        let rate = Piece::new("spring[1].rate", (9012.3, 45.6), unit(Dimension::Stiffness, "N/mm"), why);
        let rate = rate.expect("a rate");
        assert_eq!(rate.line(), "rate = \"9.012 N/mm ± 0.046 N/mm\"  # nine readings");
        assert_eq!(rate.header(), "[[spring]]");
        let scenario = read("demo", demo, &[rate.given()]).expect("it goes in").measured(&[rate]);
        let item = scenario.item("spring[1].rate").expect("it is there");
        assert_eq!(item.origin, Origin::Measured("nine readings".to_owned()));
        // What it stands for is gone, and the file that comes of it reads back.
        assert!(scenario.item("spring[1].active_coils").is_none());
        let text = scenario.resolved_toml();
        assert!(text.contains("rate = \"9.012 N/mm ± 0.046 N/mm\"  # measured: nine readings"), "{text}");
        let again = read("again", &text, &[]).expect("reads back");
        assert_eq!(again.quantity("spring[1].rate").and_then(|rate| rate.tolerance_si), Some(46.0));
    }

    #[test]
    fn a_cam_is_put_in_place_of_a_law() {
        let demo = include_str!("../../../scenarios/large_initials.toml");
        let one = |text: &str, dimension| Quantity::parse(text, dimension).expect(text);
        let readings = [(0, "0"), (60, "12"), (90, "30"), (180, "30"), (230, "12"), (280, "0")]
            .map(|(angle, lift)| {
                (
                    one(&format!("{angle} deg"), Dimension::Angle),
                    one(&format!("{lift} mm"), Dimension::Length),
                )
            })
            .to_vec();
        let scenario = read("demo", demo, &[]).expect("the demo").with_cam(readings, "three runs");
        let text = scenario.resolved_toml();
        assert!(
            text.contains("law = \"measured\"  # measured: three runs") && !text.contains("rise ="),
            "{text}"
        );
        let again = read("again", &text, &[]).unwrap_or_else(|mistakes| panic!("{mistakes}"));
        assert_eq!(again.readings("cam.readings").len(), 6);
    }

    #[test]
    fn what_cannot_be_is_no_piece() {
        let mm = unit(Dimension::Length, "mm");
        let wrong = Piece::new("piston.clearance", (3e-3, 1e-4), mm, String::new()).expect_err("too wide");
        assert!(wrong.contains("3.00 mm") && wrong.contains("millimetre"), "{wrong}");
    }
}
