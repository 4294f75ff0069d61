//! A talk about one machine: numbered pictures, each with a headline that states its finding, and the files that carry them.
//!
//! It is a story for people who own such machines: a type that failed and the question, the machine, the answer, why it is so, what
//! to do, and how sure that is. Each picture has a file of its own here, which draws it and writes its note from the solved
//! numbers; [`slides`] lists them. A picture that would show nothing is left out, and [`left_out`] says why.

mod answer;
mod cautions;
mod changes;
mod contents;
mod fills;
mod latch;
mod machine;
mod map;
mod nut;
mod page;
mod picture;
mod question;
mod skin;
mod sleeve;
mod speeds;
mod sure;

pub use contents::{contents, notes, spoken};
pub(crate) use machine::HEADLINE;
pub use page::html;
pub use picture::{Drawn, draw};

use super::charts::{cast_words, close};
use super::film::Film;
use super::handout::listed;
use super::limits;
use super::odds::Doubts;
use super::owner::{OwnerUnits, milliseconds};
use latchstroke_core::limits::{Limit, Margin};
use latchstroke_core::studies::judge::{Acceptance, Judgement, Verdict};
use latchstroke_core::studies::talk::Talk;
use latchstroke_core::turn::{Stop, Turn};
use latchstroke_models::latch::LatchSetting;
use latchstroke_plots::Picture;
use latchstroke_plots::mechanism::Schematic;

/// A mould filled to less than this share counts as empty.
const EMPTY: f64 = 5e-4;

/// More sizes than this are not told one by one.
const MOST_LISTED: usize = 5;

/// Everything a talk says.
#[derive(Debug, Clone)]
pub struct Told<'a> {
    /// The machine's name.
    pub machine: &'a str,
    /// The solved answer.
    pub talk: &'a Talk,
    /// The machine drawn, with the names of its parts.
    pub schematic: &'a Schematic<'a>,
    /// Both turns of the cast, to be drawn at any instant.
    pub film: &'a Film<'a>,
    /// How sure the verdicts on the sizes are, in their order.
    pub doubts: &'a Doubts<'a>,
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// Whether turns of the nut count from the stack's reference; else from the present setting.
    pub from_reference: bool,
    /// Whether the tolerance of the trip lift is the sum of stated ones.
    pub reserve_stated: bool,
    /// The owner's units.
    pub units: OwnerUnits,
}

/// What to say beside a picture.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Note {
    /// What the picture shows.
    pub shows: String,
    /// How its numbers were computed.
    pub computed: String,
    /// What to say, with the numbers.
    pub say: Vec<String>,
    /// What listeners are likely to ask, and an answer.
    pub questions: Vec<(String, String)>,
}

/// One picture of the talk.
pub struct Slide<'a> {
    /// Its number, from 1.
    pub number: usize,
    /// What its file is called, without number and ending.
    pub stem: &'static str,
    /// What is drawn.
    pub picture: Box<dyn Picture + Send + Sync + 'a>,
    /// What it states, as drawn.
    pub headline: String,
    /// The line at its foot.
    pub source: String,
    /// What to say beside it.
    pub note: Note,
}

impl Slide<'_> {
    /// The name of its files, without an ending: "2-piston-speed".
    pub fn name(&self) -> String {
        format!("{}-{}", self.number, self.stem)
    }
}

/// A picture before it has its number.
struct Draft<'a> {
    stem: &'static str,
    picture: Box<dyn Picture + Send + Sync + 'a>,
    headline: String,
    source: String,
    note: Note,
}

/// The pictures in their order, numbered without gaps; those for which the machine lacks something are left out.
pub fn slides<'a>(told: &'a Told<'_>) -> Vec<Slide<'a>> {
    let drafts = [
        Some(question::draft(told)),
        Some(machine::draft(told)),
        Some(answer::draft(told)),
        speeds::draft(told),
        skin::draft(told),
        latch::draft(told),
        fills::draft(told),
        sleeve::draft(told),
        nut::draft(told),
        Some(map::draft(told)),
        Some(sure::draft(told)),
        Some(changes::draft(told)),
        Some(cautions::draft(told)),
    ];
    let number = |(place, draft): (usize, Draft<'a>)| Slide {
        number: place + 1,
        stem: draft.stem,
        picture: draft.picture,
        headline: draft.headline,
        source: draft.source,
        note: draft.note,
    };
    drafts.into_iter().flatten().enumerate().map(number).collect()
}

/// What is left out, and why.
pub fn left_out(told: &Told<'_>) -> Vec<String> {
    let mut left = Vec::new();
    left.extend(speeds::missing(told));
    left.extend(skin::missing(told));
    left.extend(latch::missing(told));
    left.extend(fills::missing(told));
    left.extend(sleeve::missing(told));
    left.extend(nut::missing(told));
    left
}

impl Told<'_> {
    /// The cast, close-set: "24 pt at 20 turns/min".
    fn cast(&self) -> String {
        cast_words(&self.talk.judgement, &self.units)
    }

    fn lift(&self, si: f64) -> String {
        self.units.lift(si)
    }

    fn force(&self, si: f64) -> String {
        self.units.force(si)
    }

    fn speed(&self, si: f64) -> String {
        self.units.speed(si)
    }

    /// The line at the foot of a picture about `what`.
    fn source(&self, what: &str) -> String {
        format!("latchstroke, solved turns of {}, {what}", self.machine)
    }

    /// The size of the cast: "24 pt".
    fn size(&self) -> String {
        self.units.size(self.talk.judgement.cast.sort.body.0)
    }

    /// Sizes in words, close-set: "14 and 18 pt", or where they are many "8 sizes from 5 pt to 36 pt".
    fn sizes(&self, all: &[&Judgement]) -> String {
        let sizes: Vec<String> = all.iter().map(|it| self.units.size(it.cast.sort.body.0)).collect();
        match sizes.as_slice() {
            [first, .., last] if sizes.len() > MOST_LISTED => {
                format!("{} sizes from {} to {}", sizes.len(), close(first), close(last))
            }
            _ => close(&listed(&sizes)).replace(",\u{a0}", ", "),
        }
    }

    /// The sizes with a verdict, the smallest first.
    fn of_verdict(&self, verdict: Verdict) -> Vec<&Judgement> {
        self.talk.sizes.iter().filter(|judgement| judgement.verdict == verdict).collect()
    }

    /// How sure the verdict on the cast is, in a word and in figures; none where every value counts as exact.
    fn sureness_of_cast(&self) -> Option<(&'static str, String)> {
        let judgement = &self.talk.judgement;
        let place = self.talk.sizes.iter().position(|size| size.cast == judgement.cast)?;
        self.doubts.sure(place, judgement)
    }

    /// Whether what stands in the way of the cast is that it is not solid in time, which no spring and no sleeve mends.
    fn is_soft(&self) -> bool {
        let judgement = &self.talk.judgement;
        let cause = judgement.standing(judgement.advised()).cause();
        cause.is_some_and(|margin| margin.limit == Limit::Solid)
    }

    /// Depth of the mould, m.
    fn depth(&self) -> f64 {
        let mould = &self.talk.preload.nut.machine.mould;
        mould.volume / (mould.body * mould.set)
    }

    /// Whether both turns of the cast were solved to their end, so that they can be drawn instant by instant.
    pub fn is_solved(&self) -> bool {
        let judgement = &self.talk.judgement;
        [&judgement.aside, &judgement.set].iter().all(|turn| turn.stop == Stop::FullTurn)
    }

    /// The pace of all sizes: "at 20 turns/min", or "each at its real pace".
    fn at_pace(&self) -> String {
        match self.talk.map.at.asked {
            Some(pace) => close(&format!("at {}", self.units.turns(pace.0))),
            None => "each at its real pace".to_owned(),
        }
    }

    /// The pace of the cast: "20 turns/min".
    fn pace(&self) -> String {
        self.units.turns(self.talk.judgement.cast.pace.0)
    }
}

/// The fill time of a sound cast, or how full a spoiled one comes.
fn fill(turn: &Turn) -> String {
    match turn.sound_fill_time() {
        Some(time) => milliseconds(time),
        None if turn.filled < EMPTY => "no fill".to_owned(),
        None => format!("{} full", super::owner::percent(turn.filled.min(1.0))),
    }
}

/// The limit of the machine that is missed with the latch set, if one is.
fn fault(judgement: &Judgement) -> Option<&Margin> {
    judgement.standing(LatchSetting::Set).in_the_way().find(|margin| margin.limit.is_of_machine())
}

/// What a latch or springs that are set up wrongly do: "the latch never lets go"; none where they do their work.
fn latch_fails(judgement: &Judgement) -> Option<&'static str> {
    fault(judgement).map(|margin| limits::missed(margin.limit))
}
