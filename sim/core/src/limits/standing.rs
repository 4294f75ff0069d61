//! How a machine about to cast, and its turn, stand against every limit.

use super::{Clocks, Limit, Margin, State, Unknown};
use crate::studies::judge::{Solid, Terms};
use crate::turn::{EventKind, Finding, Turn};
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::machine::Machine;
use latchstroke_models::mould::FULL;
use latchstroke_models::spring::Spring;

/// How the metal on the face is read. The verdict goes by the first; where another would give another verdict the report says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// Metal that lies still on the face from the moment it arrives; the first metal in is not mixed with what follows.
    Still,
    /// A film splashed ahead freezes with no hot metal behind it: the skin clock is its lower bound.
    Splashed,
    /// All metal in the mould is perfectly stirred: it laps by its mean heat alone.
    Stirred,
}

/// Whether a setting of the latch will do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Does {
    /// Every known limit is kept.
    Yes,
    /// A limit is missed, or inside its reserve.
    No,
    /// None is, but the turn could not be solved so that it can be trusted.
    NotKnown,
}

/// Every limit for one setting of the latch, the one kept the fewest times over first; those of which nothing is known last.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The limits.
    pub margins: Vec<Margin>,
}

/// What a spring is squeezed by (m) and may be squeezed by before it is solid (m).
fn squeeze(spring: &Spring, closing: f64) -> Option<(f64, f64)> {
    Some((spring.rest_squeeze + closing, spring.free_length? - spring.solid_length?))
}

impl Standing {
    /// The list for a machine prepared for its cast and setting, and its solved turn.
    pub fn of(
        (machine, turn): (&Machine, &Turn),
        clocks: &Clocks,
        solid: &Solid,
        terms: &Terms,
        reading: Reading,
    ) -> Self {
        let mut margins = at_rest(machine);
        margins.extend(in_turn(machine, turn));
        margins.extend(of_cast((machine, turn), clocks, terms, reading));
        margins.push(solid.margin());
        // A stable sort: of equal factors the limit named first decides.
        margins.sort_by(|a, b| {
            (!a.is_known(), a.factor)
                .partial_cmp(&(!b.is_known(), b.factor))
                .unwrap_or(std::cmp::Ordering::Equal)
        });
        Self { margins }
    }

    /// Whether a limit stands in the way before any turn: one of the machine at rest, or that the type be solid.
    pub(crate) fn is_lost_at_rest(machine: &Machine, solid: &Solid) -> bool {
        solid.margin().is_in_the_way() || at_rest(machine).iter().any(Margin::is_in_the_way)
    }

    /// Whether this setting will do.
    pub fn does(&self) -> Does {
        if self.margins.iter().any(Margin::is_in_the_way) {
            Does::No
        } else if self.margins.iter().any(|m| m.state == State::NotKnown(Unknown::Untrusted)) {
            Does::NotKnown
        } else {
            Does::Yes
        }
    }

    /// One limit of the list.
    pub fn margin(&self, limit: Limit) -> Option<&Margin> {
        self.margins.iter().find(|margin| margin.limit == limit)
    }

    /// The limit kept the fewest times over; none where nothing is known of any.
    pub fn deciding(&self) -> Option<&Margin> {
        self.margins.first().filter(|margin| margin.is_known())
    }

    /// What is told of how it stands: the limit that decides; and where that is the cooling and is kept, which the choice of the
    /// pace alone makes it, the one that comes next.
    pub fn told(&self) -> impl Iterator<Item = &Margin> {
        let by_pace = self.deciding().is_some_and(|margin| margin.limit == Limit::Solid && margin.is_kept());
        self.margins.iter().take(if by_pace { 2 } else { 1 }).filter(|margin| margin.is_known())
    }

    /// How many times over the least of all limits is kept, with the reserves used up.
    ///
    /// None where that is not known: nothing is missed, but the turn is not to be trusted.
    pub fn factor(&self) -> Option<f64> {
        let factor = self.deciding().map_or(f64::INFINITY, |margin| margin.factor);
        (self.does() != Does::NotKnown).then_some(factor)
    }

    /// How many times over the least of the limits asked for is kept; without end where nothing is known of them.
    pub fn factor_of(&self, of: impl Fn(Limit) -> bool) -> f64 {
        let asked = self.margins.iter().find(|margin| margin.is_known() && of(margin.limit));
        asked.map_or(f64::INFINITY, |margin| margin.factor)
    }

    /// What stands in the way before all else: a limit of the machine, of which the others then come, or the worst of the cast's.
    pub fn cause(&self) -> Option<&Margin> {
        self.in_the_way().find(|margin| margin.limit.is_of_machine()).or_else(|| self.in_the_way().next())
    }

    /// The limits that stand in the way, the worst first.
    pub fn in_the_way(&self) -> impl Iterator<Item = &Margin> {
        self.margins.iter().filter(|margin| margin.is_in_the_way())
    }
}

/// The limits that need no turn.
fn at_rest(machine: &Machine) -> Vec<Margin> {
    let worst = |limit: Limit, all: Vec<Margin>| {
        let least = all.into_iter().reduce(|a, b| if b.factor < a.factor { b } else { a });
        least.unwrap_or_else(|| Margin::unknown(limit, None, None, Unknown::NotStated))
    };
    let fit = machine.springs.iter().filter_map(|spring| {
        let (taken, room) = squeeze(spring, 0.0)?;
        Some(Margin::below(Limit::SpringsFit, taken, room, 1.0))
    });
    let tight = machine.springs.iter().map(|spring| {
        // As long as the gap is: the free length over the gap it stands in.
        let (value, bound) = (spring.free_length, spring.free_length.map(|free| free - spring.rest_squeeze));
        let ratio = match (value, bound) {
            (Some(free), Some(gap)) => free / gap.max(f64::MIN_POSITIVE),
            _ => f64::INFINITY,
        };
        Margin::at(Limit::SpringsTight, ratio, (value, bound), 1.0)
    });
    let mut all = vec![
        worst(Limit::SpringsFit, fit.collect()),
        worst(Limit::SpringsTight, tight.collect()),
        extension(machine),
    ];
    if machine.setting == LatchSetting::Set {
        // Trip lift over prong travel: one where the abutment touches the prongs at rest.
        let trip = machine.latch.trip_lift;
        all.push(match machine.latch.clearance {
            Some(clearance) => {
                let travel = (trip - clearance).max(f64::MIN_POSITIVE);
                Margin::below(Limit::LatchHolds, travel, trip, 1.0)
            }
            None => Margin::unknown(Limit::LatchHolds, None, Some(trip), Unknown::NotStated),
        });
    }
    all
}

/// Whether the extension goes through the narrowest spring.
fn extension(machine: &Machine) -> Margin {
    let inside =
        machine.springs.iter().filter_map(|s| s.wire.map(|w| w.mean_coil - w.diameter)).reduce(f64::min);
    let outside = machine.abutment.extension_outside.filter(|_| machine.abutment.extension > 0.0);
    match (outside, inside) {
        (Some(outside), Some(inside)) => Margin::below(Limit::ExtensionClears, outside, inside, 1.0),
        _ => Margin::unknown(Limit::ExtensionClears, outside, inside, Unknown::NotStated),
    }
}

/// The limits of the machine over its turn.
fn in_turn(machine: &Machine, turn: &Turn) -> Vec<Margin> {
    let set = machine.setting == LatchSetting::Set;
    let trusted = is_trusted(turn);
    let know = |margin: Margin| {
        if trusted { margin } else { Margin::unknown(margin.limit, None, margin.bound, Unknown::Untrusted) }
    };
    let closing = turn.peaks.spring_closing;
    let apart = machine.springs.iter().filter_map(|spring| {
        let (taken, room) = squeeze(spring, closing)?;
        Some(Margin::below(Limit::CoilsApart, taken, room, 1.0))
    });
    let stress = machine.springs.iter().filter_map(|spring| {
        let (wire, allowable) = (spring.wire?, spring.allowable_stress?);
        let stress = wire.wahl_factor() * wire.stress(spring.force(closing));
        Some(Margin::below(Limit::WireStress, stress, allowable, 1.0))
    });
    let worst = |limit: Limit, all: &mut dyn Iterator<Item = Margin>| {
        let least = all.reduce(|a, b| if b.factor < a.factor { b } else { a });
        least.map_or_else(|| Margin::unknown(limit, None, None, Unknown::NotStated), know)
    };
    let socket = match machine.abutment.room {
        // Without room they are in each other's way at rest.
        Some(room) => know(Margin::below(Limit::SocketClears, closing.max(f64::MIN_POSITIVE), room, 1.0)),
        None => Margin::unknown(Limit::SocketClears, Some(closing), None, Unknown::NotStated),
    };
    let mut all =
        vec![worst(Limit::CoilsApart, &mut { apart }), worst(Limit::WireStress, &mut { stress }), socket];
    if set {
        let (needed, lift) = (machine.latch.trip_lift, turn.peaks.block_lift);
        let trips = turn.first(EventKind::ProngsSpread).is_some() || !machine.latch.can_hold();
        let ratio = if trips { (lift / needed).max(1.0) } else { (lift / needed).min(1.0 - f64::EPSILON) };
        all.push(know(Margin::at(Limit::LatchTrips, ratio, (Some(needed), Some(lift)), 1.0)));
    }
    if machine.cross_block.return_spring.is_some() {
        let left = turn.first(EventKind::FollowerLeaves).is_some();
        let ratio = if left { 0.0 } else { f64::INFINITY };
        all.push(know(Margin::at(Limit::FollowerStays, ratio, (None, None), 1.0)));
    }
    all
}

/// The limits of the cast, but for the cooling, which is the same whatever the turn.
fn of_cast(
    (machine, turn): (&Machine, &Turn),
    clocks: &Clocks,
    terms: &Terms,
    reading: Reading,
) -> Vec<Margin> {
    let reserve = terms.acceptance.margin;
    let all = [Limit::Lapping, Limit::Skin, Limit::Bulk];
    if !is_trusted(turn) {
        let others = [Limit::Filled, Limit::MatrixHeld, Limit::TrappedAir];
        return others
            .into_iter()
            .chain(all)
            .map(|limit| Margin::unknown(limit, None, None, Unknown::Untrusted))
            .collect();
    }
    let lifting = turn.peaks.lifting_force.max(turn.hold_lifting_force);
    let mut margins = vec![match machine.mould.hold_down {
        Some(hold_down) => Margin::below(Limit::MatrixHeld, lifting, hold_down, 1.0),
        None => Margin::unknown(Limit::MatrixHeld, Some(lifting), None, Unknown::NotStated),
    }];
    let Some(time) = turn.sound_fill_time() else {
        let ratio = (turn.filled / FULL).clamp(0.0, 1.0 - f64::EPSILON);
        margins.push(Margin::at(Limit::Filled, ratio, (Some(turn.filled), Some(FULL)), 1.0));
        let moot = |limit| Margin::unknown(limit, None, None, Unknown::NeverFull);
        margins.extend(all.into_iter().chain([Limit::TrappedAir]).map(moot));
        return margins;
    };
    margins.push(Margin::at(Limit::Filled, f64::INFINITY, (Some(FULL), Some(FULL)), 1.0));
    let skin = if reading == Reading::Splashed { clocks.splashed_film } else { clocks.skin };
    let lapping = if reading == Reading::Stirred { stirred(machine, turn, terms) } else { clocks.lapping };
    for (limit, clock) in all.into_iter().zip([lapping, skin, clocks.bulk]) {
        margins.push(Margin::below(limit, time, clock, reserve));
    }
    let left = air_left(turn, machine.mould.air_mass);
    margins.push(match (terms.accepted_air, left) {
        (Some(accepted), Some(left)) => Margin::below(Limit::TrappedAir, left, accepted, 1.0),
        _ => Margin::unknown(Limit::TrappedAir, left, terms.accepted_air, Unknown::NotStated),
    });
    margins
}

/// How long perfectly stirred metal may take, s: without end where its mean heat is above the accepted solid share as the mould is
/// full, nothing where it is not.
fn stirred(machine: &Machine, turn: &Turn, terms: &Terms) -> f64 {
    let solid = turn
        .first(EventKind::Full)
        .map_or(1.0, |full| machine.metal.solid_fraction(machine.metal_heat(&full.before)));
    if solid <= terms.acceptance.solid { f64::INFINITY } else { 0.0 }
}

/// Whether the figures of a turn can be trusted.
fn is_trusted(turn: &Turn) -> bool {
    !turn.findings.iter().any(Finding::makes_unreliable)
}

/// Share of the `air_mass` (kg) of an empty mould that is still in it once it is full and its vents are shut: the volume that
/// this air would take up at the pressure of the atmosphere, as a share of the mould. None where the mould does not become full.
pub fn air_left(turn: &Turn, air_mass: f64) -> Option<f64> {
    turn.fill?;
    Some(turn.first(EventKind::Full)?.before.air_mass / air_mass)
}
