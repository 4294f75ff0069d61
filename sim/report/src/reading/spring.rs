//! A spring's loads and lengths in words.

use super::{Figures, Reading, numbered, percent};
use crate::limits::first_upper;
use latchstroke_core::bench::carried::Known;
use latchstroke_core::bench::spring::{Answer, ByWire, FEWEST, Left, Refused};
use latchstroke_models::spring::{PreloadStatement, RateStatement, SpringStatement};
use latchstroke_scenario::measured::loads::Loads;
use latchstroke_scenario::pieces::Piece;
use latchstroke_scenario::{Dimension, key};
use serde_json::json;

/// Everything that is told of a spring.
#[derive(Debug)]
pub struct Report<'a> {
    /// What was read.
    pub loads: &'a Loads,
    /// What came of it.
    pub answer: &'a Answer,
    /// Which spring it is, from 1, and of which machine, where that is known.
    pub spring: (usize, Option<&'a str>),
    /// The length at which it stands at rest, m, where that was asked.
    pub at: Option<f64>,
    /// What wire and coils have to say.
    pub wire: Option<ByWire>,
    /// The figures to tell it in.
    pub figures: Figures,
}

/// Why nothing is told.
pub fn refused(why: Refused) -> String {
    match why {
        Refused::TooFew(readings, lengths) => format!(
            "cannot tell: {readings} readings at {} are too few; {} at {} lengths are the least, and ten over the way that the spring goes at work tell most",
            if lengths == 1 { "one length".to_owned() } else { format!("{lengths} lengths") },
            FEWEST.0,
            FEWEST.1
        ),
        Refused::WrongWay => "cannot tell: the load falls as the spring gets shorter. See whether the column is a length or how far it was squeezed, and head it so".to_owned(),
        Refused::Bent => "cannot tell: no half of these readings lies on one straight line. A cone, or coils wound closer at one end, has no one rate; else read them again".to_owned(),
        Refused::Vague(share) => format!(
            "cannot tell: they scatter so much that the rate is known to ± {} only. Squeeze it further, or read it more closely",
            percent(share)
        ),
    }
}

impl Report<'_> {
    fn path(&self, key: &str) -> String {
        key.replacen("spring.", &format!("spring[{}].", self.spring.0), 1)
    }

    /// A length or a squeeze (m, as counted).
    fn along(&self, squeeze: f64) -> String {
        self.figures.length(if self.loads.lengths { -squeeze } else { squeeze })
    }

    /// All of it.
    ///
    /// # Errors
    /// Where a value cannot be: why.
    pub fn reading(&self) -> Result<Reading, String> {
        let (answer, figures) = (self.answer, self.figures);
        let (rate, free) = (answer.rate(), answer.nought());
        let unit = |dimension| figures.system.unit(dimension);
        let scatter = answer.line.scatter();
        let stretch = format!("{} to {}", self.along(answer.stretch.0), self.along(answer.stretch.1));
        let why = format!(
            "{} readings from {stretch}, scatter {}",
            answer.line.count,
            figures.about(Dimension::Force, scatter)
        );
        let mut pieces = vec![Piece::new(
            &self.path(key!(RateStatement::Rate, 0)),
            rate,
            unit(Dimension::Stiffness),
            why,
        )?];
        let length = unit(Dimension::Length);
        if self.loads.lengths {
            let why = "where the straight part would bear nothing".to_owned();
            let path = self.path(key!(SpringStatement, free_length));
            pieces.push(Piece::new(&path, (-free.0, free.1), length, why)?);
        }
        let mut findings = self.left_out();
        if !self.loads.gaps.is_empty() {
            let (verb, have) = if self.loads.gaps.len() == 1 { ("counts", "has") } else { ("count", "have") };
            findings.push(format!(
                "{} {have} a load and no length, or a length and no load, and {verb} for nothing.",
                first_upper(&numbered("line", &self.loads.gaps))
            ));
        }
        findings.extend(self.errors(rate, free));
        let load = self.at.map(|at| answer.load(-at));
        if let (Some(at), Some(load)) = (self.at, load) {
            let why = format!("at {} on the rod", figures.length(at));
            let path = self.path(key!(PreloadStatement::Force, 0));
            pieces.push(Piece::new(&path, load, unit(Dimension::Force), why)?);
            findings.push("Type preload, or free_length with [stack] bare_gap, and not both.".to_owned());
            if -at < answer.stretch.0 || -at > answer.stretch.1 {
                findings.push(format!(
                    "! {} is outside the straight part, where the force may be another.",
                    figures.length(at)
                ));
            }
        }
        findings.extend(self.wire(rate));
        let of = self.spring.1.map_or_else(String::new, |name| format!(" {} of {name}", self.spring.0));
        let about = format!(
            "Spring{of}: {} of {} readings, from {stretch}, lie on one straight line, {} off it by and large.",
            answer.line.count,
            self.loads.readings.len(),
            figures.about(Dimension::Force, scatter)
        );
        let data = json!({
            "rate_N_m": rate.0,
            "rate_half_interval_N_m": rate.1,
            "bears_nothing_at_m": if self.loads.lengths { -free.0 } else { free.0 },
            "bears_nothing_half_interval_m": free.1,
            "scatter_of_load_N": scatter,
            "readings": self.loads.readings.len(),
            "on_the_line": answer.line.count,
            "left_out_lines": answer.left.iter().map(|(n, _)| self.loads.lines.get(*n)).collect::<Vec<_>>(),
            "force_at_rest_N": load.map(|load| load.0),
            "rate_by_wire_N_m": self.wire.and_then(|wire| wire.rate).map(|rate| rate.value),
        });
        Ok(Reading { about, pieces, table: String::new(), findings, at_the_machine: false, data })
    }

    /// Which readings were left out, and why.
    fn left_out(&self) -> Vec<String> {
        let said = [
            (Left::Seating, "bears more than the straight part does: the ends still seat there"),
            (Left::Binding, "bears more than the straight part does: coils touch there"),
            (Left::Slip, "does not lie with its neighbours: a slip? Read it again"),
        ];
        let told = |(reason, words): (Left, &str)| {
            let own: Vec<usize> =
                self.answer.left.iter().filter(|left| left.1 == reason).map(|left| left.0).collect();
            let first = self.loads.written.get(*own.first()?)?;
            let on: Vec<usize> = own.iter().filter_map(|n| self.loads.lines.get(*n).copied()).collect();
            let which = if own.len() == 1 {
                format!("The reading of {} is left out ({}): it", numbered("line", &on), self.written(first))
            } else {
                format!("The readings of {} are left out: each", numbered("line", &on))
            };
            Some(format!("{which} {words}."))
        };
        said.into_iter().filter_map(told).collect()
    }

    fn written(
        &self,
        (along, load): &(latchstroke_scenario::Quantity, latchstroke_scenario::Quantity),
    ) -> String {
        let figures = self.figures;
        format!("{}, {}", figures.length(along.si), figures.told(load.dimension, load.si))
    }

    /// How sure it is, and what the free length means.
    fn errors(&self, rate: (f64, f64), free: (f64, f64)) -> Vec<String> {
        let (answer, figures) = (self.answer, self.figures);
        let mut said = Vec::new();
        if answer.rounded {
            said.push(format!(
                "They lie closer to the line than the loads were read; the errors told are those of reading them to {}.",
                figures.about(Dimension::Force, self.loads.step)
            ));
        }
        said.push(format!(
            "The rate is known to ± {}, 95 in 100, by how the readings scatter: as much as {} in each load, or {} in each length. An error that all of them share, as of scales that show too much, is not in it.",
            percent(rate.1 / rate.0),
            figures.about(Dimension::Force, answer.line.scatter()),
            figures.about(Dimension::Length, answer.line.scatter() / rate.0)
        ));
        said.push(if self.loads.lengths {
            "The free length is where the straight part would bear nothing, which is what the model wants. Calipers on the standing spring may read a little more, since its ends seat first.".to_owned()
        } else {
            format!(
                "Squeezes do not tell the free length. The straight part would bear nothing at {} (± {}) of what you counted.",
                self.along(free.0),
                figures.about(Dimension::Length, free.1)
            )
        });
        said
    }

    /// The rate held against wire and coils.
    fn wire(&self, rate: (f64, f64)) -> Option<String> {
        let wire = self.wire?;
        let told = |si| self.figures.told(Dimension::Stiffness, si);
        Some(match wire.rate {
            None => format!(
                "With this rate {} coils of the wire that the scenario states give; hold that against what you count.",
                super::significant(wire.coils, 3)
            ),
            Some(Known { value: by_wire, half }) => {
                let apart = rate.0 / by_wire - 1.0;
                let judged = if (rate.0 - by_wire).abs() <= rate.1.hypot(half) {
                    "They agree, and the measured one is the surer: type it in place of active_coils."
                        .to_owned()
                } else {
                    format!(
                        "The measured one is {} {}: count the coils that give again ({} would do it), measure the wire, which counts four times over, or the metal is not what the scenario says.",
                        percent(apart.abs()),
                        if apart > 0.0 { "more" } else { "less" },
                        super::significant(wire.coils, 3)
                    )
                };
                format!(
                    "By wire and coils the scenario makes it {} (± {} by how closely these are read). {judged}",
                    told(by_wire),
                    self.figures.about(Dimension::Stiffness, half)
                )
            }
        })
    }
}
