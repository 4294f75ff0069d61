//! What a scenario must hold: required keys, and the rules of either and or.

use super::super::catalogue::{self, Condition, Demand, Need, Rule};
use super::super::mistakes::Mistake;
use super::draft::{Draft, DraftSection, Slot};
use super::keys::{BARE_CLEARANCE, BARE_GAP, FLOW, FREE_LENGTH, PRELOAD, PRONG_TRAVEL, TRIP_LIFT, WALL};
use super::missing::{and_list, missing_keys, missing_section, or_list, or_list_of_lines};
use super::neighbours::Neighbours;
use super::syntax::Syntax;

/// Reports what is missing and what excludes each other. Where an override and
/// the file state the same thing in different ways, the file's way is dropped.
pub(super) fn check(
    draft: &mut Draft,
    syntax: &Syntax<'_>,
    neighbours: &Neighbours,
    mistakes: &mut Vec<Mistake>,
) {
    let from_stack = draft.given(BARE_GAP);
    let spring_missing = draft.springs().next().is_none();
    for spec in catalogue::sections().filter(|spec| spec.is_list() && !spec.is_record()) {
        if spring_missing && !syntax.mentions(spec.name) {
            mistakes.push(missing_section(spec, neighbours, from_stack));
        }
    }
    for section in &mut draft.sections {
        let is_empty = section.spec.entries.iter().all(|entry| !section.given(entry.key));
        if section.header.is_none() && is_empty {
            if section.spec.is_wanted() && !syntax.mentions(section.spec.name) {
                mistakes.push(missing_section(section.spec, neighbours, from_stack));
            }
            continue;
        }
        let mut check =
            Check { section, syntax, neighbours, mistakes, missing: Vec::new(), contradicted: Vec::new() };
        check.run();
    }
    preloads(draft, neighbours, mistakes);
    trip(draft, neighbours, mistakes);
    wall(draft, mistakes);
}

/// A section checked against what the catalogue says of it.
struct Check<'a> {
    section: &'a mut DraftSection,
    syntax: &'a Syntax<'a>,
    neighbours: &'a Neighbours,
    mistakes: &'a mut Vec<Mistake>,
    /// Missing keys with the reason each is wanted.
    missing: Vec<(&'static str, &'static str)>,
    /// Keys of which too many are given; what follows from them is unclear.
    contradicted: Vec<&'static str>,
}

impl Check<'_> {
    fn run(&mut self) {
        for entry in self.section.spec.entries {
            if entry.need == Need::Required {
                self.want(entry.key, "");
            }
        }
        for rule in self.section.spec.rules {
            let is_clear = match rule.when {
                Condition::Given(key) => !self.contradicted.contains(&key),
                _ => true,
            };
            if is_clear && self.section.holds(rule.when) {
                self.rule(rule);
            }
        }
        // One mistake lists all keys that are missing for one reason.
        for missing in self.missing.chunk_by(|a, b| a.1 == b.1) {
            let keys: Vec<&str> = missing.iter().map(|(key, _)| *key).collect();
            let why = missing.first().map_or("", |(_, why)| why);
            self.mistakes.push(missing_keys(self.neighbours, self.section, &keys, why));
        }
    }

    /// Notes `key` as missing unless it is there.
    fn want(&mut self, key: &'static str, why: &'static str) {
        let is_noted = self.missing.iter().any(|(noted, _)| *noted == key);
        if !self.section.given(key) && !is_noted && !self.syntax.mentions(key) {
            self.missing.push((key, why));
        }
    }

    fn rule(&mut self, rule: &'static Rule) {
        match rule.demand {
            Demand::All(keys) => {
                for key in keys {
                    self.want(key, rule.why);
                }
            }
            Demand::ExactlyOne(keys) => {
                self.one_way(keys, rule.why);
                if keys.iter().all(|key| !self.section.given(key) && !self.syntax.mentions(key)) {
                    let message = format!("{} needs {}", self.section.title(), or_list(keys));
                    let right = format!(
                        "{}: {}",
                        or_list_of_lines(self.neighbours, self.section.spec, keys),
                        rule.why
                    );
                    self.report_at_header(message, right);
                }
            }
            Demand::AtMostOne(keys) => self.one_way(keys, rule.why),
            Demand::NotAssumed(_) => {}
            Demand::None(keys) => self.refuse(keys, rule),
            Demand::AnyGroup(groups) => {
                let is_met = groups.iter().any(|group| {
                    group.iter().all(|key| self.section.given(key) || self.syntax.mentions(key))
                });
                if !is_met {
                    let ways: Vec<String> = groups.iter().map(|group| and_list(group)).collect();
                    let message = format!("{} needs {}", self.section.title(), ways.join(", or "));
                    self.report_at_header(message, format!("add one of these: {}", rule.why));
                }
            }
        }
    }

    /// Lets only one of `keys` stand.
    fn one_way(&mut self, keys: &'static [&'static str], why: &str) {
        if keys.iter().any(|key| self.section.is_overridden(key)) {
            for key in keys {
                if !self.section.is_overridden(key) {
                    self.section.put(key, Slot::Absent);
                }
            }
        }
        let given = keys.iter().copied().filter(|key| self.section.given(key));
        let given: Vec<&'static str> = given.collect();
        if let [first, .., last] = given.as_slice() {
            let message = format!("`{first}` and `{last}` are both given");
            let right = format!("keep one of them: {why}");
            self.mistakes.push(self.section.mistake_at(last, message, right));
            self.contradicted.extend(given);
        }
    }

    /// Lets none of `keys` stand.
    fn refuse(&mut self, keys: &'static [&'static str], rule: &Rule) {
        let by_override = match rule.when {
            Condition::Given(key)
            | Condition::NonZero(key)
            | Condition::Is(key, _)
            | Condition::IsNot(key, _) => self.section.is_overridden(key),
            Condition::Always | Condition::NoneGiven(_) | Condition::AllGiven(_) => false,
        };
        for key in keys {
            if !matches!(self.section.slot(key), Slot::Good(..) | Slot::Held(_)) {
                continue;
            }
            if by_override && !self.section.is_overridden(key) {
                self.section.put(key, Slot::Absent);
                continue;
            }
            let message = format!("`{key}` is not wanted here");
            let right = format!("leave it out: {}", rule.why);
            self.mistakes.push(self.section.mistake_at(key, message, right));
        }
    }

    fn report_at_header(&mut self, message: String, right: String) {
        self.mistakes.push(Mistake { message, right, location: self.section.header_place() });
    }
}

/// Each spring's preload is given directly, or follows from the gap and its
/// free length; one way for all.
fn preloads(draft: &Draft, neighbours: &Neighbours, mistakes: &mut Vec<Mistake>) {
    let from_stack = draft.given(BARE_GAP);
    for spring in draft.springs() {
        let preloaded = spring.given(&PRELOAD);
        if from_stack && preloaded {
            let message = format!("the preload of {} is given twice", spring.title());
            let right = format!("leave out {PRELOAD} here, or {BARE_GAP} in [stack], from which it follows");
            mistakes.push(spring.mistake_at(&PRELOAD, message, right));
        }
        if from_stack && !spring.given(&FREE_LENGTH) && !preloaded {
            mistakes.push(missing_keys(
                neighbours,
                spring,
                &[&FREE_LENGTH],
                &format!("with {BARE_GAP} in [stack] it gives the preload"),
            ));
        }
        if !from_stack && !preloaded {
            let message = format!("{} needs its preload", spring.title());
            let line =
                spring.spec.entry(&PRELOAD).map(|entry| neighbours.example_line(spring.spec.name, entry));
            let right = format!(
                "add {} here, or {FREE_LENGTH} here and {BARE_GAP} in [stack]",
                line.unwrap_or_default()
            );
            mistakes.push(Mistake { message, right, location: spring.header_place() });
        }
    }
}

/// The trip lift is given directly, or follows from the clearance of the prongs.
fn trip(draft: &mut Draft, neighbours: &Neighbours, mistakes: &mut Vec<Mistake>) {
    let Some(latch) = draft.section_of(TRIP_LIFT) else {
        return;
    };
    let (prongs, direct) = (latch.given(&PRONG_TRAVEL), latch.given(&TRIP_LIFT));
    let displaces = latch.is_overridden(&TRIP_LIFT);
    let Some(stack) = draft.section_mut(BARE_CLEARANCE.section) else {
        return;
    };
    let clearance = stack.given(&BARE_CLEARANCE);
    if prongs && !direct && !clearance {
        mistakes.push(missing_keys(
            neighbours,
            stack,
            &[&BARE_CLEARANCE],
            &format!("with {PRONG_TRAVEL} in [latch] it gives the trip lift"),
        ));
    }
    if direct && clearance {
        if displaces && !stack.is_overridden(&BARE_CLEARANCE) {
            stack.put(&BARE_CLEARANCE, Slot::Absent);
        } else {
            let right = format!(
                "leave out {BARE_CLEARANCE}, or give {PRONG_TRAVEL} in [latch] instead of {TRIP_LIFT}"
            );
            let message = format!(
                "the trip lift is given twice, by `{BARE_CLEARANCE}` and by `{TRIP_LIFT}` in [latch]"
            );
            mistakes.push(stack.mistake_at(&BARE_CLEARANCE, message, right));
        }
    }
}

/// The mould's temperature is given directly, or follows from its cooling water.
fn wall(draft: &mut Draft, mistakes: &mut Vec<Mistake>) {
    let (Some(mould), Some(water)) = (draft.section_of(WALL), draft.section_of(FLOW)) else {
        return;
    };
    let keys = || water.spec.entries.iter().map(|entry| entry.key);
    let stated = mould.given(&WALL);
    let cooled = keys().any(|key| water.given(key));
    if !(stated && cooled) {
        if cooled && let Some(mould) = draft.section_mut(WALL.section) {
            mould.said_elsewhere.push(WALL.key);
        }
        return;
    }
    let by_wall = mould.is_overridden(&WALL);
    let by_water = keys().any(|key| water.is_overridden(key));
    if by_wall == by_water {
        let message = format!("`{WALL}` and [{}] are both given", FLOW.section);
        let right = "keep one of them: with cooling water the mould's temperature follows from each size \
                     and pace, and a stated one would be right for one of them only";
        mistakes.push(mould.mistake_at(&WALL, message, right.to_owned()));
    } else if by_water {
        if let Some(mould) = draft.section_mut(WALL.section) {
            mould.put(&WALL, Slot::Absent);
            mould.said_elsewhere.push(WALL.key);
        }
    } else if let Some(water) = draft.section_mut(FLOW.section) {
        for entry in water.spec.entries {
            water.put(entry.key, Slot::Absent);
        }
    }
}
