//! Is the pump latch needed? For a size and a pace: a turn with the latch aside and one with it set, each held against the one
//! list of limits ([`crate::limits`]).

use crate::limits::{Clocks, Does, Freezings, Limit, Margin, Reading, Standing};
use crate::parallel::prelude::*;
use crate::roots::{Onset, onset};
use crate::studies::cooling::Cooling;
use crate::studies::entry::{Comparison, compare};
use crate::studies::remedy::Pacing;
use crate::turn::{Accuracy, Turn, add_skin, solve, solve_for_limits, solve_traced, solve_unless_late};
use latchstroke_models::fault::Fault;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::{Machine, MachineStatement};
use latchstroke_models::mould::Sort;
use latchstroke_models::units::{Angle, Length, Pace};
use std::f64::consts::TAU;
use strum::VariantArray;

/// What the caster accepts. All of them are judgements of the owner's, not constants of nature.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Acceptance {
    /// The thickest skin on the face at the end of the fill, m.
    pub skin: f64,
    /// f_lap: the greatest share of solid in the first metal as the mould is full; nought asks for all of it liquid.
    pub solid: f64,
    /// How many times the fill must fit into the time there is.
    pub margin: f64,
}

/// What is asked of every cast alike.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Terms {
    /// What the caster accepts.
    pub acceptance: Acceptance,
    /// The greatest share of the mould's air that may stay in it, where the caster has one.
    pub accepted_air: Option<f64>,
    /// Angle of the main shaft for which the mould stays shut after it is full.
    pub shut: Angle,
    /// How closely turns are solved.
    pub accuracy: Accuracy,
}

/// What is to be cast, and how fast the machine turns.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Cast {
    /// The sort.
    pub sort: Sort,
    /// The pace.
    pub pace: Pace,
}

/// What to do with the latch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, VariantArray)]
pub enum Verdict {
    /// All limits are kept with the latch aside.
    LeaveAside,
    /// Not so, but all are kept with it set.
    Set,
    /// With either a limit is missed.
    Neither,
    /// No verdict: a turn on which it hangs could not be solved so that it can be trusted.
    NotKnown,
}

impl Verdict {
    /// Every verdict.
    pub const ALL: &'static [Self] = Self::VARIANTS;

    /// The rule: what follows from how the two settings stand.
    pub fn of(aside: &Standing, set: &Standing) -> Self {
        Self::by(aside.does(), set.does())
    }

    /// The same by whether each of them will do.
    pub fn by(aside: Does, set: Does) -> Self {
        match (aside, set) {
            (Does::Yes, _) => Self::LeaveAside,
            (Does::No, Does::Yes) => Self::Set,
            (Does::No, Does::No) => Self::Neither,
            _ => Self::NotKnown,
        }
    }

    /// The setting it asks for; none where it asks for none.
    pub fn setting(self) -> Option<LatchSetting> {
        match self {
            Self::LeaveAside => Some(LatchSetting::Aside),
            Self::Set => Some(LatchSetting::Set),
            Self::Neither | Self::NotKnown => None,
        }
    }
}

/// Whether the middle of the type is solid before the mould opens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solid {
    /// When the middle is solid, s after the mould was full; none when not even the slowest pace leaves it the time.
    pub time: Option<f64>,
    /// How long the mould stays shut, s.
    pub shut: f64,
}

impl Solid {
    /// For a sort that cools so, at a pace.
    pub fn at(cooling: Option<Cooling>, shut: Angle, pace: Pace) -> Self {
        Self { time: cooling.map(|cooling| cooling.time), shut: shut.0 / TAU / pace.0 }
    }

    /// As a limit of the list.
    pub fn margin(&self) -> Margin {
        match self.time {
            Some(time) => Margin::below(Limit::Solid, time, self.shut, 1.0),
            None => Margin::at(Limit::Solid, 0.0, (None, Some(self.shut)), 1.0),
        }
    }

    /// Whether it is solid in time.
    pub fn in_time(&self) -> bool {
        self.margin().is_kept()
    }
}

/// The verdict for one cast, with the turns and the limits behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// What was judged.
    pub cast: Cast,
    /// The turn with the latch aside.
    pub aside: Turn,
    /// The turn with the latch set.
    pub set: Turn,
    /// How long the fill may take.
    pub clocks: Clocks,
    /// Skin as the time allowed is up, m.
    pub skin_allowed: f64,
    /// Whether the type is solid in time.
    pub solid: Solid,
    /// Every limit with the latch aside, and with it set.
    pub standings: [Standing; 2],
    /// Air, lifting and jet of both turns.
    pub entry: Comparison,
    /// The verdict.
    pub verdict: Verdict,
    /// What the verdict would be, were the metal on the face a film splashed ahead, and were all metal perfectly stirred.
    pub otherwise: [Verdict; 2],
}

impl Judgement {
    /// The turn with a setting.
    pub fn turn(&self, setting: LatchSetting) -> &Turn {
        match setting {
            LatchSetting::Aside => &self.aside,
            LatchSetting::Set => &self.set,
        }
    }

    /// How a setting stands.
    pub fn standing(&self, setting: LatchSetting) -> &Standing {
        let [aside, set] = &self.standings;
        match setting {
            LatchSetting::Aside => aside,
            LatchSetting::Set => set,
        }
    }

    /// Whether some setting casts a usable type.
    pub fn can_be_cast(&self) -> bool {
        self.verdict.setting().is_some()
    }

    /// The setting the verdict asks for; where it asks for none, the one nearer to it.
    pub fn advised(&self) -> LatchSetting {
        self.verdict.setting().unwrap_or_else(|| {
            let [aside, set] = self.standings.each_ref().map(|standing| standing.factor().unwrap_or(0.0));
            if set > aside { LatchSetting::Set } else { LatchSetting::Aside }
        })
    }

    /// The limit that decides: with the setting advised the one kept the fewest times over.
    pub fn deciding(&self) -> Option<&Margin> {
        self.standing(self.advised()).deciding()
    }

    /// What is told of how the setting advised stands ([`Standing::told`]).
    pub fn told(&self) -> impl Iterator<Item = &Margin> {
        self.standing(self.advised()).told()
    }

    /// Why there is no verdict, where there is none.
    pub fn is_untrusted(&self) -> bool {
        self.verdict == Verdict::NotKnown
    }
}

/// Judges one cast.
///
/// # Errors
/// The faults of the statement.
pub fn judge(stated: &MachineStatement, cast: Cast, terms: &Terms) -> Result<Judgement, Vec<Fault>> {
    judge_by(stated, cast, &Freezings::on(terms), each(solve))
}

/// Judges one cast and keeps both turns instant by instant.
///
/// # Errors
/// The faults of the statement.
pub fn judge_traced(stated: &MachineStatement, cast: Cast, terms: &Terms) -> Result<Judgement, Vec<Fault>> {
    judge_by(stated, cast, &Freezings::on(terms), |machines, accuracy| {
        let mut turns = each(solve_traced)(machines, accuracy);
        add_skin(machines[0], &mut turns);
        turns
    })
}

/// Judges one cast by turns that are followed for the limits alone, for studies of many machines: the verdict and the figures are
/// those of [`judge`], but what is told of how a turn ends is not told.
///
/// # Errors
/// The faults of the statement.
pub fn judge_limits(
    stated: &MachineStatement,
    cast: Cast,
    freezings: &Freezings<'_>,
) -> Result<Judgement, Vec<Fault>> {
    judge_by(stated, cast, freezings, each(solve_for_limits))
}

/// The verdict of [`judge`] on a cast at the pace that `pacing` gives it, and nothing else, by no more work than it takes: for studies
/// that count verdicts. Turn and skin are solved only where they have a say, and only as far.
///
/// # Errors
/// The faults of the statement.
pub fn verdict(
    stated: &MachineStatement,
    cast: Cast,
    terms: &Terms,
    pacing: Pacing,
) -> Result<Verdict, Vec<Fault>> {
    let freezings = Freezings::on(terms);
    let cast = pacing.cast(stated, cast, &freezings)?;
    let machine = Machine::prepare(stated, cast.sort, cast.pace, LatchSetting::Aside)?;
    let solid = freezings.solid(&machine, cast.pace);
    let aside = does(&machine, &solid, terms);
    if aside == Does::Yes {
        return Ok(Verdict::LeaveAside);
    }
    Ok(Verdict::by(aside, does(&Machine { setting: LatchSetting::Set, ..machine }, &solid, terms)))
}

/// Whether the setting that a machine is prepared with will do, as its [`Standing`] has it.
fn does(machine: &Machine, solid: &Solid, terms: &Terms) -> Does {
    if Standing::is_lost_at_rest(machine, solid) {
        return Does::No;
    }
    let turn = solve_unless_late(machine, terms.accuracy, Clocks::late(machine, terms.acceptance));
    let clocks = Clocks::for_fill(machine, terms.acceptance, turn.sound_fill_time().unwrap_or(f64::INFINITY));
    Standing::of((machine, &turn), &clocks, solid, terms, Reading::Still).does()
}

/// Both settings, aside and set, each solved by itself.
fn each(solve: impl Fn(&Machine, Accuracy) -> Turn) -> impl Fn([&Machine; 2], Accuracy) -> [Turn; 2] {
    move |machines, accuracy| machines.map(|machine| solve(machine, accuracy))
}

fn judge_by(
    stated: &MachineStatement,
    cast: Cast,
    freezings: &Freezings<'_>,
    solve: impl Fn([&Machine; 2], Accuracy) -> [Turn; 2],
) -> Result<Judgement, Vec<Fault>> {
    let machine = Machine::prepare(stated, cast.sort, cast.pace, LatchSetting::Aside)?;
    let terms = freezings.terms;
    let (clocks, solid) = freezings.of(&machine, cast.pace);
    let set_machine = Machine { setting: LatchSetting::Set, ..machine.clone() };
    let [aside, set] = solve([&machine, &set_machine], terms.accuracy);
    let standings = |reading: Reading| {
        [
            Standing::of((&machine, &aside), &clocks, &solid, terms, reading),
            Standing::of((&set_machine, &set), &clocks, &solid, terms, reading),
        ]
    };
    let verdict = |[aside, set]: &[Standing; 2]| Verdict::of(aside, set);
    let read = standings(Reading::Still);
    let entry = compare(&aside, &set, machine.mould.air_mass, machine.mould.hold_down);
    Ok(Judgement {
        cast,
        verdict: verdict(&read),
        otherwise: [Reading::Splashed, Reading::Stirred].map(|reading| verdict(&standings(reading))),
        standings: read,
        skin_allowed: clocks.skin_allowed,
        clocks,
        solid,
        entry,
        aside,
        set,
    })
}

/// How one setting of the latch stands for a machine about to cast: as [`judge`] has it, one turn solved.
pub fn stand(machine: &Machine, cast: Cast, freezings: &Freezings<'_>) -> Standing {
    let terms = freezings.terms;
    let (clocks, solid) = freezings.of(machine, cast.pace);
    let turn = solve_for_limits(machine, terms.accuracy);
    Standing::of((machine, &turn), &clocks, &solid, terms, Reading::Still)
}

/// Judges many casts on all cores; the answers stand in the order of the casts.
///
/// # Errors
/// The faults of the statement.
pub fn judge_all(
    stated: &MachineStatement,
    casts: &[Cast],
    terms: &Terms,
) -> Result<Vec<Judgement>, Vec<Fault>> {
    let freezings = Freezings::on(terms);
    casts.par_iter().map(|&cast| judge_by(stated, cast, &freezings, each(solve))).collect()
}

/// The paces searched for a slowest one, turns/s.
pub const PACES: (f64, f64) = (1.0 / 60.0, 400.0 / 60.0);
/// The bodies searched for a threshold, m: 3 to 100 points.
pub const BODIES: (f64, f64) =
    (3.0 * latchstroke_models::units::POINT, 100.0 * latchstroke_models::units::POINT);
/// How closely sizes are found, as a share.
const CLOSENESS: f64 = 5e-4;

/// The smallest sort with which a setting of the latch no longer keeps all limits; with the latch aside, the one that wants it
/// set. Sizes have the set width `proportion` × body, and each is cast at the pace that `pace` gives it.
pub fn smallest_size_lost(
    stated: &MachineStatement,
    setting: LatchSetting,
    proportion: f64,
    pace: impl Fn(Sort) -> Result<Pace, Vec<Fault>>,
    terms: &Terms,
) -> Onset {
    let at = |body: f64| -> Result<f64, Why> {
        let sort = Sort { body: Length(body), set: Length(body * proportion) };
        let cast = Cast { sort, pace: pace(sort).map_err(Why::of)? };
        let machine = Machine::prepare(stated, sort, cast.pace, setting).map_err(Why::of)?;
        // Too late is above zero.
        stand(&machine, cast, &Freezings::on(terms))
            .factor()
            .map(|factor| -bounded_log(factor))
            .ok_or(Why::Untrusted)
    };
    onset(at, BODIES, CLOSENESS)
}

/// Why a search could not look at a place.
#[derive(Debug, Clone, PartialEq)]
pub enum Why {
    /// There is no such machine.
    Fault(Fault),
    /// Its turn could not be solved so that it can be trusted.
    Untrusted,
}

impl Why {
    /// The first of some faults.
    pub fn of(faults: Vec<Fault>) -> Self {
        faults.into_iter().next().map_or(Self::Untrusted, Self::Fault)
    }
}

/// The logarithm of a factor, no further from nought than a factor of ten, so that a search still knows which way to go.
pub fn bounded_log(factor: f64) -> f64 {
    libm::log(factor).clamp(-std::f64::consts::LN_10, std::f64::consts::LN_10)
}
