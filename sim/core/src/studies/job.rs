//! The main job: sizes and paces in, answer out. Every command, picture and page that says what to do with the latch asks here.

use super::cooling::{Cooling, fastest_solid};
use super::judge::{Acceptance, Cast, Judgement, Terms, judge_all, smallest_size_lost};
use super::pace::slowest_aside;
use super::real_pace::{CastAt, RealPace, real_pace};
use super::remedy::{Pacing, Remedy, remedies};
use crate::parallel::prelude::*;
use crate::roots::Onset;
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::MachineStatement;
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{HeatTransfer, Pace};

/// The accepted skins for which the size that wants the latch is sought, as multiples of the stated one.
const SKINS: [f64; 3] = [0.5, 1.0, 2.0];
/// The interface coefficients for which it is sought, W/(m²·K): the spread of nine chances in ten in which published ones for metal
/// in moulds lie; see the catalogue's text of the key.
pub const FILMS: (f64, f64) = (5e3, 45e3);

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Job<'a> {
    /// The machine.
    pub stated: &'a MachineStatement,
    /// What is asked of every cast.
    pub terms: &'a Terms,
    /// The fastest pace at which the machine is run.
    pub fastest: Pace,
    /// The sizes.
    pub sorts: &'a [Sort],
    /// Set width over body of sizes between those asked for.
    pub proportion: f64,
    /// The paces at which every size is cast; none where each is cast at its real pace.
    pub paces: Option<&'a [Pace]>,
}

/// How far an answer goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// The verdicts, and what would do where nothing does.
    Verdicts,
    /// Besides, what would change each verdict, from which size on the latch must be set, and the slowest pace without it.
    Whole,
}

/// A size of the job.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// The size.
    pub sort: Sort,
    /// The fastest pace that leaves it solid; none where no pace does.
    pub cooling: Option<Cooling>,
    /// The pace at which it is really cast.
    pub real: RealPace,
    /// The slowest pace at which all limits are kept with the latch aside; none where the answer does not go so far.
    pub slowest: Option<Onset>,
    /// The judgements at the paces asked for, or the one at the real pace.
    pub judgements: Vec<Judgement>,
    /// Which of them tells most: the one nearest to the real pace, of those that can be cast if any can.
    pub telling: usize,
    /// What would change that one's verdict; where the answer goes no further than the verdicts, only of one that cannot be cast.
    pub remedies: Vec<Remedy>,
}

impl Size {
    /// The judgement that tells most.
    pub fn told(&self) -> Option<&Judgement> {
        self.judgements.get(self.telling)
    }

    /// Whether some pace asked for casts it.
    pub fn can_be_cast(&self) -> bool {
        self.judgements.iter().any(Judgement::can_be_cast)
    }
}

/// From which size on the latch must be set, for an acceptance or an interface coefficient.
#[derive(Debug, Clone, PartialEq)]
pub struct Threshold {
    /// The accepted skin, m.
    pub skin: f64,
    /// The interface coefficient, W/(m²·K).
    pub film: f64,
    /// The size.
    pub size: Onset,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The sizes, in the order asked.
    pub sizes: Vec<Size>,
    /// From which size on the latch must be set, each size at its real pace: for half, once and twice the accepted skin. Empty where
    /// the answer does not go so far.
    pub by_skin: Vec<Threshold>,
    /// The same for the least and the greatest interface coefficient that may be.
    pub by_film: Vec<Threshold>,
    /// One change that makes every size possible, where some are not.
    pub for_all: Vec<Remedy>,
}

impl Job<'_> {
    /// At which pace each size is cast where one is wanted for it: the only one asked for, or its real pace.
    pub fn cast_at(&self) -> CastAt {
        let asked = match self.paces {
            Some([pace]) => Some(*pace),
            _ => None,
        };
        CastAt { asked, fastest: self.fastest, shut: self.terms.shut }
    }

    /// At which pace a changed machine casts.
    pub fn pacing(&self) -> Pacing {
        match self.paces {
            Some(_) => Pacing::Fixed,
            None => Pacing::Real { fastest: self.fastest },
        }
    }

    /// Does the job.
    ///
    /// # Errors
    /// The faults of the statement.
    pub fn answer(&self, depth: Depth) -> Result<Answer, Vec<Fault>> {
        let sizes =
            self.sorts.par_iter().map(|&sort| self.size(sort, depth)).collect::<Result<Vec<Size>, _>>()?;
        let told: Vec<&Judgement> = sizes.iter().filter_map(Size::told).collect();
        let some_fail = told.iter().any(|judgement| !judgement.can_be_cast());
        let for_all = if some_fail && told.len() > 1 {
            remedies(self.stated, &told, self.terms, self.pacing())?
        } else {
            Vec::new()
        };
        let (by_skin, by_film) = match depth {
            Depth::Verdicts => (Vec::new(), Vec::new()),
            Depth::Whole => (self.by_skin(), self.by_film()),
        };
        Ok(Answer { sizes, by_skin, by_film, for_all })
    }

    fn size(&self, sort: Sort, depth: Depth) -> Result<Size, Vec<Fault>> {
        let cooling = fastest_solid(self.stated, sort, self.terms.shut)?;
        let real = real_pace(cooling, self.fastest);
        let at = self.paces.map_or_else(|| vec![real.pace], <[Pace]>::to_vec);
        let casts: Vec<Cast> = at.into_iter().map(|pace| Cast { sort, pace }).collect();
        let judgements = judge_all(self.stated, &casts, self.terms)?;
        let distance = |judgement: &Judgement| libm::log(judgement.cast.pace.0 / real.pace.0).abs();
        let telling = judgements
            .iter()
            .enumerate()
            .min_by(|(_, a), (_, b)| {
                (!a.can_be_cast(), distance(a))
                    .partial_cmp(&(!b.can_be_cast(), distance(b)))
                    .unwrap_or(std::cmp::Ordering::Equal)
            })
            .map_or(0, |(place, _)| place);
        let remedies = match judgements.get(telling) {
            Some(judgement) if depth == Depth::Whole || !judgement.can_be_cast() => {
                remedies(self.stated, &[judgement], self.terms, self.pacing())?
            }
            _ => Vec::new(),
        };
        let slowest = match depth {
            Depth::Verdicts => None,
            Depth::Whole => Some(slowest_aside(self.stated, sort, self.terms)?),
        };
        Ok(Size { sort, cooling, real, slowest, judgements, telling, remedies })
    }

    /// From which size on the latch must be set, for half, once and twice the accepted skin.
    pub fn by_skin(&self) -> Vec<Threshold> {
        let acceptance = self.terms.acceptance;
        let film = self.stated.mould.heat_transfer.0;
        SKINS
            .par_iter()
            .map(|factor| {
                let skin = factor * acceptance.skin;
                let terms = Terms { acceptance: Acceptance { skin, ..acceptance }, ..*self.terms };
                Threshold { skin, film, size: self.smallest_wanting_latch(self.stated, &terms) }
            })
            .collect()
    }

    /// From which size on the latch must be set, at either end of what the interface coefficient may be.
    ///
    /// The pace at which a size cools and the time in which it laps move together with the coefficient, so the size hardly moves.
    pub fn by_film(&self) -> Vec<Threshold> {
        [FILMS.0, FILMS.1]
            .par_iter()
            .map(|&film| {
                let mut stated = self.stated.clone();
                stated.mould.heat_transfer = HeatTransfer(film);
                stated.mould.packed_heat_transfer = None;
                let job = Job { stated: &stated, ..*self };
                let size = job.smallest_wanting_latch(&stated, self.terms);
                Threshold { skin: self.terms.acceptance.skin, film, size }
            })
            .collect()
    }

    fn smallest_wanting_latch(&self, stated: &MachineStatement, terms: &Terms) -> Onset {
        let pace = |sort: Sort| self.cast_at().pace(stated, sort);
        smallest_size_lost(stated, LatchSetting::Aside, self.proportion, pace, terms)
    }
}
