//! What may be wrong with the machine, from what its owner sees or hears.

use super::findings;
use super::limits;
use super::names::named;
use super::owner::{Outward, OwnerUnits, outward};
use super::turn::wrapped;
use latchstroke_core::limits::Unknown;
use latchstroke_core::studies::judge::Cast;
use latchstroke_core::studies::wrong::{Answer, Cause, Found, Sight, Suspect, Unsolved};
use latchstroke_models::latch::LatchSetting;
use latchstroke_scenario::{Scenario, look, nearest};
use serde_json::{Value, json};

/// No more causes than this are told where so many are likely, and no more than this where fewer are.
const TOLD: (usize, usize) = (8, 3);
/// Less likely than this is not worth a look before all else has been looked at.
const UNLIKELY: f64 = 0.01;

/// A sight in an owner's words, as it is typed.
pub fn words(sight: Sight) -> &'static str {
    match sight {
        Sight::SlowStroke => "stroke sounds slow",
        Sight::NoCatch => "latch does not catch",
        Sight::NoRelease => "latch does not let go",
        Sight::TwoBlows => "two blows",
        Sight::Squirts => "metal squirts",
        Sight::Hollow => "type hollow",
        Sight::Lapped => "type lapped",
        Sight::Rounded => "type rounded",
        Sight::Flashed => "type flashed",
        Sight::Soft => "type soft",
        Sight::LaterBad => "first casts good, later bad",
    }
}

/// What counts for it.
fn meaning(sight: Sight) -> &'static str {
    match sight {
        Sight::SlowStroke => "the piston at its fastest is 1.5 times slower than on the machine as stated",
        Sight::NoCatch => "the latch does not hold the rod, or does not catch it again",
        Sight::NoRelease => "the cross block's lift does not spread the prongs",
        Sight::TwoBlows => "after the latch lets go the rod's shoulder strikes the lifted cross block too",
        Sight::Squirts => "pressure that lasts lifts the matrix",
        Sight::Hollow => {
            "the mould does not become full, its metal stops flowing, or too much air stays in it"
        }
        Sight::Lapped => "the first metal is too cold to knit",
        Sight::Rounded => "the skin on the face is too thick",
        Sight::Flashed => "the peak of the pressure lifts the matrix",
        Sight::Soft => "the middle is not solid as the mould opens",
        Sight::LaterBad => "solid in the mould of the first casts, soft in the one that has warmed up",
    }
}

/// Everything that may be seen, one a line.
pub fn list() -> String {
    let line = |sight: &Sight| format!("  {:<28} {}\n", words(*sight), meaning(*sight));
    Sight::ALL.iter().map(line).collect()
}

/// The sight of these words; "hollow" will do for "type hollow".
///
/// # Errors
/// What was meant, perhaps, and the list.
pub fn sight(typed: &str) -> Result<Sight, String> {
    let plain = typed.trim().to_lowercase();
    let known =
        |sight: &&Sight| words(**sight) == plain || words(**sight).strip_prefix("type ") == Some(&plain);
    if let Some(sight) = Sight::ALL.iter().find(known) {
        return Ok(*sight);
    }
    let all = Sight::ALL.iter().map(|sight| words(*sight));
    let short = all.clone().filter_map(|word| word.strip_prefix("type "));
    let meant = nearest(&plain, all.chain(short))
        .map_or_else(String::new, |word| format!(" Did you mean \"{word}\"?"));
    Err(format!(
        "--saw \"{typed}\" is not among what can be looked into.{meant} It may be one of\n{}",
        list().trim_end()
    ))
}

/// What is told.
#[derive(Debug)]
pub struct Told<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// What was cast.
    pub cast: Cast,
    /// What was seen.
    pub sight: Sight,
    /// How the latch stood.
    pub setting: LatchSetting,
    /// What was looked at.
    pub suspects: &'a [Suspect],
    /// What came of it.
    pub answer: &'a Answer,
    /// The units to tell it in.
    pub units: &'a OwnerUnits,
}

/// Digits of a value at which a turn could not be solved: a hair beside it one may be.
const EXACT: i32 = 9;

impl Told<'_> {
    /// The value from which on a cause does it.
    fn value(&self, cause: &Cause) -> Option<(&Suspect, &str, String, Outward)> {
        let (suspect, now, value) = self.changed(cause.suspect, cause.value, 3)?;
        Some((suspect, look(&suspect.path)?, now, value))
    }

    /// A suspect, what stands for it, and another value of it.
    fn changed(&self, place: usize, value: f64, digits: i32) -> Option<(&Suspect, String, Outward)> {
        let suspect = self.suspects.get(place)?;
        let quantity = self.scenario.single(&suspect.path)?;
        let item = self.scenario.item(&suspect.path)?;
        let unit = match item.assumed() {
            Some(_) => self.units.unit_of_assumed(quantity),
            None => self.units.unit_of(quantity),
        };
        let now = self.units.told(item)?;
        Some((suspect, now, outward(unit, value, suspect.now, suspect.range, digits)))
    }

    fn name(&self, suspect: &Suspect) -> String {
        named(&suspect.path, self.suspects.iter().map(|suspect| suspect.path.as_str()))
    }

    fn causes(&self) -> &[Cause] {
        match self.answer {
            Answer::Causes(found) => &found.causes,
            Answer::NotKnown(_) | Answer::AsStated(_) => &[],
        }
    }

    fn unsolved(&self) -> &[Unsolved] {
        match self.answer {
            Answer::Causes(found) => &found.unsolved,
            Answer::NotKnown(_) | Answer::AsStated(_) => &[],
        }
    }

    /// The changes of which nothing is known.
    fn not_known(&self) -> String {
        let one = |unsolved: &Unsolved| {
            let (suspect, _, value) = self.changed(unsolved.suspect, unsolved.value, EXACT)?;
            let because = findings::sentence(&unsolved.finding, self.units);
            Some(wrapped(
                &format!("{} {}: {because}", limits::first_upper(&self.name(suspect)), value.text),
                2,
                5,
            ))
        };
        let all: String = self.unsolved().iter().filter_map(one).collect();
        if all.is_empty() {
            return all;
        }
        let opening =
            "Not known, since with these changes the turn could not be solved so that it can be trusted:";
        wrapped(opening, 0, 2) + &all
    }
}

/// The answer in words, but for the cautions that end it.
pub fn text(told: &Told) -> String {
    let units = told.units;
    let (cast, sight) = (told.cast, told.sight);
    let mut text = wrapped(
        &format!(
            "{}: \"{}\" ({}), {} at {}, {}.",
            told.scenario.machine_name(),
            words(sight),
            meaning(sight),
            units.size(cast.sort.body.0),
            units.turns(cast.pace.0),
            limits::setting(told.setting)
        ),
        0,
        2,
    );
    match told.answer {
        Answer::NotKnown(why) => {
            let why = match (why, sight) {
                (Unknown::NotStated, Sight::Squirts | Sight::Flashed) => {
                    "`hold_down` in [mould] is not stated, and without it nothing is known of the matrix"
                }
                (Unknown::NotStated, _) => "a value that it takes is not stated",
                (Unknown::Untrusted | Unknown::NeverFull, _) => {
                    "the turn could not be solved so that it can be trusted"
                }
                (Unknown::NoRoom, _) => limits::unknown(*why),
            };
            text += &wrapped(&format!("Not known: {why}."), 0, 2);
        }
        Answer::AsStated(limit) => {
            let limit =
                limit.map_or_else(String::new, |margin| format!(" {}", limits::sentence(&margin, units)));
            text += &wrapped(
                &format!(
                    "The machine as stated does this, with nothing changed.{limit} “latchstroke judge” says what would put it right; if yours did not do it before, a value of the scenario is not your machine's."
                ),
                0,
                2,
            );
        }
        Answer::Causes(Found { causes, .. }) if causes.is_empty() => {
            text += if told.unsolved().is_empty() {
                "No single change within what is possible brings it about.\n"
            } else {
                "No single change that could be solved brings it about.\n"
            };
        }
        Answer::Causes(Found { causes, .. }) => text += &told_causes(told, causes),
    }
    text + &told.not_known()
}

/// The causes that are worth a look, each with its look.
fn told_causes(told: &Told, causes: &[Cause]) -> String {
    let likely = causes.iter().filter(|cause| cause.chance.is_none_or(|chance| chance >= UNLIKELY)).count();
    let kept = likely.clamp(TOLD.1, TOLD.0);
    let (opening, closing) = match (causes.len(), likely) {
        (_, 0) => (
            "None is likely: what is told here brings it about in the model, but is further off than one in a hundred such values would be. Two things may have changed at once, or a value of the scenario is not your machine's; “latchstroke check” reads it.",
            "Read the scenario against the machine before anything is touched.",
        ),
        (1, _) => (
            "This alone brings it about in the model.",
            "Put right, it is tried with a cast before anything else is touched.",
        ),
        _ => (
            "Any one of these brings it about in the model, the likeliest first.",
            "Look at them in this order; the first that is found as told, put right, is tried with a cast before the next is touched.",
        ),
    };
    let judged = "The chance is that of a value being so far off, or further; how far such values go astray is our judgement.";
    let mut text = wrapped(&format!("{opening} {judged}"), 0, 2);
    for (place, cause) in causes.iter().take(kept).enumerate() {
        let Some((suspect, look, now, value)) = told.value(cause) else { continue };
        let name = told.name(suspect);
        let how = match cause.chance {
            None if cause.value == 0.0 => format!("left out, instead of {now} long"),
            None => format!("another piece of {} in its place, instead of {now}", value.text),
            Some(chance) => {
                let on = if cause.value > suspect.now { "more" } else { "less" };
                format!("{} or {on} instead of {now} ({})", value.text, astray(chance))
            }
        };
        text += &wrapped(&format!("{}. {}: {how}.", place + 1, limits::first_upper(&name)), 2, 5);
        text += &wrapped(&format!("Look: {look}"), 5, 5);
    }
    if causes.len() > kept {
        text += &format!("  {} more, less likely, with --json.\n", causes.len() - kept);
    }
    text + &wrapped(closing, 0, 2)
}

/// A chance in words, no closer than a judged spread can tell it.
pub(super) fn astray(chance: f64) -> String {
    let step = if chance < 0.1 { 0.01 } else { 0.05 };
    match chance {
        ..0.001 => "chance below 0.1 %".to_owned(),
        ..UNLIKELY => "chance below 1 %".to_owned(),
        _ => format!("chance about {:.0} %", 100.0 * step * (chance / step).round()),
    }
}

/// The same for a program, SI.
pub fn json(told: &Told) -> Value {
    let causes: Vec<Value> = told
        .causes()
        .iter()
        .filter_map(|cause| {
            let (suspect, look, _, value) = told.value(cause)?;
            Some(json!({
                "key": suspect.path,
                "now_si": suspect.now,
                "from_si": cause.value,
                "set": format!("{}={}", suspect.path, value.typed),
                "direction": if cause.value > suspect.now { "more" } else { "less" },
                "chance": cause.chance,
                "another_piece": cause.chance.is_none(),
                "look": look,
            }))
        })
        .collect();
    let unsolved: Vec<Value> = told
        .unsolved()
        .iter()
        .filter_map(|unsolved| {
            let (suspect, _, value) = told.changed(unsolved.suspect, unsolved.value, EXACT)?;
            Some(json!({
                "key": suspect.path,
                "value_si": unsolved.value,
                "set": format!("{}={}", suspect.path, value.typed),
                "because": findings::sentence(&unsolved.finding, told.units),
            }))
        })
        .collect();
    let limit = match told.answer {
        Answer::AsStated(Some(margin)) => Some(limits::key(margin.limit)),
        _ => None,
    };
    let because = match told.answer {
        Answer::NotKnown(why) => Some(limits::unknown(*why)),
        _ => None,
    };
    json!({
        "saw": words(told.sight),
        "body_m": told.cast.sort.body.0,
        "pace_turns_per_s": told.cast.pace.0,
        "latch": limits::setting(told.setting),
        "known": because.is_none(),
        "because": because,
        "as_stated": matches!(told.answer, Answer::AsStated(_)),
        "missed_as_stated": limit,
        "causes": causes,
        "not_known": unsolved,
    })
}
