//! Figures read back from what a talk says, and the numbers of its study that they may be.

use latchstroke_core::limits::{Margin, Quantity};
use latchstroke_core::roots::Onset;
use latchstroke_core::studies::judge::Judgement;
use latchstroke_core::turn::Turn;
use latchstroke_models::latch::LatchSetting;
use latchstroke_report::judge::words;
use latchstroke_report::talk::Told;
use latchstroke_scenario::{Dimension, Unit};

/// Both settings.
pub const SETTINGS: [LatchSetting; 2] = [LatchSetting::Aside, LatchSetting::Set];

/// A figure with its unit as it is written.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    pub value: f64,
    pub unit: String,
    /// How far it may be from the number, by the last place written.
    pub within: f64,
}

/// Units that are read.
const UNITS: [&str; 21] = [
    "pt",
    "turns/min",
    "turn/min",
    "ms",
    "s",
    "mm",
    "in",
    "thou",
    "N",
    "lbf",
    "m/s",
    "in/s",
    "°C",
    "°F",
    "MPa",
    "psi",
    "%",
    "J",
    "cm³",
    "in³",
    "times",
];

/// The figures of a text, in their order, each with the unit that follows it, or that follows a list of them.
pub fn figures(text: &str) -> Vec<Figure> {
    let plain = text.replace(['\u{a0}', '\u{202f}'], " ").replace('\u{2212}', "-");
    let words: Vec<&str> = plain.split_whitespace().collect();
    let bare = |word: &str| word.trim_matches(|c: char| "(),;:.\u{201c}\u{201d}".contains(c)).to_owned();
    let mut all = Vec::new();
    let mut n = 0;
    while n < words.len() {
        let Some((mut value, mut within)) = number(&bare(words[n])) else {
            n += 1;
            continue;
        };
        let mut next = n + 1;
        // "84 in 100" is a share.
        if words.get(next) == Some(&"in") && words.get(next + 1).is_some_and(|word| bare(word) == "100") {
            n += 3;
            continue;
        }
        if let Some(part) = words.get(next).and_then(|word| fraction(&bare(word))) {
            value += part;
            within = 1.0 / 128.0;
            next += 1;
        }
        // "14, 18 and 24 pt" shares its unit.
        let mut ahead = next;
        while words
            .get(ahead)
            .is_some_and(|word| *word == "and" || *word == "to" || number(&bare(word)).is_some())
        {
            ahead += 1;
        }
        let unit = words.get(next).map(|word| bare(word)).filter(|unit| UNITS.contains(&unit.as_str()));
        let unit = unit.or_else(|| words.get(ahead).map(|word| bare(word)).filter(|unit| unit == "pt"));
        if let Some(unit) = unit {
            let unit = if unit == "turn/min" { "turns/min".to_owned() } else { unit };
            all.push(Figure { value, unit, within });
        }
        n = next;
    }
    all
}

fn fraction(word: &str) -> Option<f64> {
    let (over, under) = word.split_once('/')?;
    Some(over.parse::<f64>().ok()? / under.parse::<f64>().ok()?)
}

/// A number, and half of one in its last place; of whole numbers in the third figure.
fn number(word: &str) -> Option<(f64, f64)> {
    if let Some(part) = fraction(word) {
        return Some((part, 1.0 / 128.0));
    }
    let value: f64 =
        word.parse().ok().filter(|_| word.starts_with(|c: char| c.is_ascii_digit() || c == '-'))?;
    let decimals = word.split_once('.').map_or(0, |(_, after)| after.len());
    let places = i32::try_from(decimals).ok()?;
    let third = 10_f64.powf((value.abs().max(1e-12)).log10().floor() - 2.0);
    Some((value, 10_f64.powi(-places).max(third)))
}

/// The numbers of a study that a picture of a talk may state, by their unit.
#[derive(Debug, Default)]
pub struct Numbers(Vec<(&'static str, f64)>);

impl Numbers {
    fn put(&mut self, unit: &Unit, si: f64) {
        self.0.push((unit.symbol, unit.from_si(si)));
    }

    fn ms(&mut self, seconds: f64) {
        self.0.push(("ms", 1e3 * seconds));
    }

    fn margin(&mut self, margin: &Margin, told: &Told<'_>) {
        let units = &told.units;
        for si in [margin.value, margin.bound, margin.value.zip(margin.bound).map(|(a, b)| (a - b).abs())] {
            let Some(si) = si.filter(|si| si.is_finite()) else { continue };
            match margin.limit.quantity() {
                Quantity::Time => self.ms(si),
                Quantity::Length => self.put(units.lift, si),
                Quantity::Force => self.put(units.force, si),
                Quantity::Stress => self.put(units.pressure, si),
                Quantity::Share => self.0.push(("%", 100.0 * si)),
            }
        }
        for ratio in [margin.factor, 1.0 / margin.factor] {
            self.0.push(("times", ratio));
        }
    }

    fn turn(&mut self, turn: &Turn, told: &Told<'_>) {
        let units = &told.units;
        if let Some(fill) = turn.fill {
            self.ms(fill.time());
        }
        self.0.push(("%", 100.0 * turn.filled));
        self.put(units.speed, turn.peaks.piston_speed);
        if let Some(throw) = turn.throw {
            self.put(units.force, throw.latch_load);
        }
    }

    /// What is known of a cast.
    fn judgement(&mut self, judgement: &Judgement, told: &Told<'_>) {
        let units = &told.units;
        self.put(units.body, judgement.cast.sort.body.0);
        self.put(units.pace, judgement.cast.pace.0);
        for clock in
            [judgement.clocks.allowed, judgement.clocks.lapping, judgement.clocks.skin, judgement.clocks.bulk]
        {
            self.ms(clock);
        }
        for side in SETTINGS {
            self.turn(judgement.turn(side), told);
            for margin in &judgement.standing(side).margins {
                self.margin(margin, told);
            }
            if let Some(time) = judgement.turn(side).sound_fill_time() {
                self.0.push(("times", judgement.clocks.allowed / time));
            }
        }
    }

    fn onset(&mut self, onset: &Onset, unit: &Unit) {
        if let Onset::From(si) | Onset::UnknownBeyond(si, _) = onset {
            self.put(unit, *si);
        }
    }

    /// What the picture called `stem` may state.
    pub fn of(stem: &str, told: &Told<'_>) -> Self {
        let (talk, units) = (told.talk, &told.units);
        let mut all = Self::default();
        // Every picture may name the sizes and what the caster accepts.
        for judgement in &talk.sizes {
            all.put(units.body, judgement.cast.sort.body.0);
        }
        all.put(units.pace, talk.judgement.cast.pace.0);
        all.put(units.skin, told.acceptance.skin);
        match stem {
            "question" | "skin" | "machine" | "latch" => {
                all.judgement(&talk.judgement, told);
                all.own(told);
            }
            "answer" | "fill-times" => {
                talk.sizes.iter().for_each(|judgement| all.judgement(judgement, told));
                all.onset(&talk.aside.from, units.body);
                // Searched no further.
                all.0.push((units.body.symbol, 100.0));
            }
            "piston-speed" => {
                talk.paces.iter().for_each(|judgement| all.judgement(judgement, told));
                all.cooling(told);
            }
            "sleeve" => all.sleeve(told),
            "preload" => all.nut(told),
            "size-pace-map" => all.map(told),
            "changes" => {
                all.judgement(&talk.judgement, told);
                all.sleeve(told);
                all.onset(&talk.aside.from, units.body);
                all.onset(&talk.slowest_aside, units.pace);
                all.remedies(told);
            }
            "how-sure" => {
                if let Some(odds) = &told.doubts.odds {
                    for place in 0..talk.sizes.len() {
                        let of = |n| 100.0 * odds.settled(place, n) / odds.doubt(place);
                        all.0.extend((0..told.doubts.inputs.len()).map(|n| ("%", of(n))));
                    }
                }
            }
            _ => {}
        }
        all
    }

    /// What is told of the two turns of the cast shown in full.
    fn own(&mut self, told: &Told<'_>) {
        let units = &told.units;
        for side in SETTINGS {
            let turn = told.talk.judgement.turn(side);
            for si in [turn.peaks.block_lift, turn.peaks.spring_closing] {
                self.put(units.lift, si);
            }
            for si in [turn.preload, turn.peaks.spring_force] {
                self.put(units.force, si);
            }
            self.put(units.volume, turn.sums.leaked);
            self.0.push(("%", 100.0 * turn.energy_residual.abs()));
            // "under 0.01 %"
            self.0.push(("%", 0.01));
            if let Some(fill) = turn.fill {
                self.put(units.skin, fill.skin.unwrap_or(f64::NAN));
            }
            if let Some(fullest) = turn.trace.iter().max_by(|a, b| a.fill.total_cmp(&b.fill)) {
                self.put(units.skin, fullest.skin);
                self.0.push(("%", 100.0 * fullest.fill.min(1.0)));
            }
            if let Some(throw) = turn.throw {
                let event = turn.events.iter().find(|event| event.time >= throw.time);
                self.put(units.lift, event.map_or(f64::NAN, |event| event.before.block_lift));
                self.put(units.system.unit(Dimension::Energy), throw.stored_energy);
                self.put(units.speed, throw.strike_speed);
                for time in [throw.caught_up, turn.fill.map(|fill| fill.full)].into_iter().flatten() {
                    self.ms(time - throw.time);
                }
            }
        }
    }

    fn cooling(&mut self, told: &Told<'_>) {
        if let Some(cooling) = told.talk.cooling {
            self.0.push(("s", cooling.time));
            self.put(told.units.pace, cooling.pace);
        }
    }

    fn sleeve(&mut self, told: &Told<'_>) {
        let (Some(answer), units) = (&told.talk.sleeve, &told.units) else { return };
        let window = answer.window;
        for si in [window.shortest, window.longest, answer.present.sleeve, answer.present.extension] {
            self.put(units.rod, si);
        }
        for si in [window.prong_travel, window.block_lift, answer.tolerance] {
            self.put(units.lift, si);
        }
        let recommended = answer.recommendation.as_ref().ok();
        if let Some(recommended) = recommended {
            for si in [recommended.window.0, recommended.window.1, recommended.step.sleeve] {
                self.put(units.rod, si);
            }
        }
        if let Err(latchstroke_core::studies::sleeve::Refusal::TooNarrow(low, high)) = answer.recommendation {
            self.put(units.lift, high - low);
        }
        if let Err(latchstroke_core::studies::sleeve::Refusal::NoOneLength(groups, _)) =
            &answer.recommendation
        {
            for group in groups {
                let (low, high) = group.window;
                for si in [low, high, f64::midpoint(low, high)] {
                    self.put(units.rod, si);
                }
            }
        }
        let steps = answer.steps.iter().chain([&answer.present]).chain(recommended.map(|it| &it.step));
        for step in steps {
            for thrown in &step.casts {
                self.turn(&thrown.turn, told);
                self.ms(thrown.allowed);
            }
        }
    }

    fn nut(&mut self, told: &Told<'_>) {
        let (answer, units) = (&told.talk.preload, &told.units);
        self.put(units.force, answer.nut.preload(0.0));
        if let Some(room) = answer.nut.machine.coil_room() {
            self.put(units.lift, room);
        }
        if let Some(pitch) = answer.nut.pitch {
            self.put(units.force, answer.nut.preload(pitch) - answer.nut.preload(0.0));
            let rate: f64 = answer.nut.machine.springs.iter().map(|spring| spring.rate).sum();
            self.put(units.force, rate * pitch);
        }
        for setting in &answer.settings {
            self.put(units.force, setting.preload);
            self.judgement(&setting.judgement, told);
        }
        for reach in answer.reaches.iter().flatten() {
            self.put(units.force, reach.low.preload);
            self.put(units.force, reach.high.preload);
        }
    }

    fn map(&mut self, told: &Told<'_>) {
        let (map, units) = (&told.talk.map, &told.units);
        self.onset(&map.largest_aside.from, units.body);
        self.onset(&map.largest_set.from, units.body);
        // Searched no further.
        self.0.push((units.body.symbol, 100.0));
        for row in &map.rows {
            for window in row.aside.iter().chain(&row.set).chain(row.too_fast().as_ref()) {
                self.put(units.pace, window.from);
                self.put(units.pace, window.to);
            }
        }
    }

    fn remedies(&mut self, told: &Told<'_>) {
        let units = &told.units;
        for remedy in &told.talk.remedies {
            let unit = words::unit(remedy.change, units);
            let flips = [remedy.below, remedy.above].into_iter().flatten().map(|flip| flip.value);
            for si in flips.chain([remedy.now, remedy.tried.0, remedy.tried.1]) {
                self.put(unit, si);
            }
        }
    }

    /// Whether one of them is what a figure states.
    pub fn hold(&self, figure: &Figure) -> bool {
        self.0.iter().any(|(unit, value)| {
            let close = figure.within.max(1e-9 * value.abs());
            *unit == figure.unit && (figure.value - value).abs() <= 1.0001 * close
        })
    }
}
