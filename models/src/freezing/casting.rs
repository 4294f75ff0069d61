//! The type in the shut mould: when it is solid through its middle, and what heat it has given the mould by then or any time.
//!
//! The clock starts as the mould is full, with all of the metal still at the pot's temperature: what the mould took while it
//! filled counts as taken from then on. The heat of a cast, from the pot to the opening of the mould, is so
//!
//! Q = M·(e_in − ē), M = ρ·V,
//!
//! with ē the mean heat of the type as the mould opens; the rest leaves with the type. The type cools as a slab or as a section,
//! as the mould's [`Freezing`] says, behind h of the packed mould, and freezes as its [heat curve](crate::heat_curve) says.
//!
//! A slab is on the slow side: a square sort loses heat through all four sides. Where the interface rules, it is solid in half
//! the slab's time, V/A being halved; with type metal at 12 kW/(m²·K) it takes 0.56 of that time at 6 points and
//! 0.61 at 36. A sort twice as wide as its body takes 0.83 to 0.93, and one four times as wide all of it.
//!
//! Left out: the type's ends; the gap that opens as it shrinks, so that real times are longer and real heats less.

use super::course::Course;
use super::interface::Interface;
use super::section::{Section, SectionResolution};
use super::slab::{End, Resolution, Slab, Walls};
use super::substance::Substance;
use crate::metal::Metal;
use crate::mould::{Freezing, Mould};

/// The coarsest section whose time is within 1 % of a fine one's, from 6 to 72 points; see the test of it.
const SECTION: SectionResolution =
    SectionResolution { cells_across_body: 10, cells_across_set: 10, growth: 1.1 };
/// The longest cooling followed, s: an hour, after which no type is warmer than its mould.
const LONGEST: f64 = 3600.0;

/// A type to be cooled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Casting {
    metal: Metal,
    half_body: f64,
    half_set: f64,
    /// M, kg.
    mass: f64,
    /// h, W/(m²·K).
    heat_transfer: f64,
    freezing: Freezing,
}

/// A type after some time in the shut mould.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooled {
    /// When, s after the mould was full.
    pub time: f64,
    /// Mean temperature of the type, K.
    pub mean_temperature: f64,
    /// Q, J: heat it has given the mould.
    pub heat: f64,
}

impl Casting {
    /// What a prepared mould casts.
    pub fn of(metal: &Metal, mould: &Mould) -> Self {
        Self::prepare(
            metal,
            [mould.body, mould.set],
            mould.volume,
            mould.packed_heat_transfer,
            mould.freezing,
        )
    }

    /// `volume` V (m³) of metal, `body` by `set` (m), behind `heat_transfer` h (W/(m²·K)).
    pub(crate) fn prepare(
        metal: &Metal,
        [body, set]: [f64; 2],
        volume: f64,
        heat_transfer: f64,
        freezing: Freezing,
    ) -> Self {
        Self {
            metal: *metal,
            half_body: 0.5 * body,
            half_set: 0.5 * set,
            mass: metal.density * volume,
            heat_transfer,
            freezing,
        }
    }

    /// The metal.
    pub fn metal(&self) -> &Metal {
        &self.metal
    }

    /// The type as its middle is solid against walls at `wall` (K); none where that takes longer than `give_up` (s).
    pub fn solid(&self, wall: f64, give_up: f64) -> Option<Cooled> {
        let course = self.course(wall, End::MiddleSolid { give_up: give_up.min(LONGEST) });
        course.middle_solid.and(self.last(&course))
    }

    /// The type after `time` (s) against walls at `wall` (K).
    pub fn after(&self, wall: f64, time: f64) -> Option<Cooled> {
        self.last(&self.course(wall, End::Spent { time: time.min(LONGEST) }))
    }

    /// Q, J: heat that the type has given walls at `wall` (K) by `time` (s).
    pub fn heat_given(&self, wall: f64, time: f64) -> f64 {
        self.after(wall, time).map_or(0.0, |cooled| cooled.heat)
    }

    fn course(&self, wall: f64, end: End) -> Course {
        let metal = Substance::of_metal(&self.metal);
        let poured = metal.curve().greatest_heat(self.metal.pot_temperature);
        let walls = Walls { temperature: wall, interface: Interface::Constant(self.heat_transfer) };
        let share = self.metal.sealing_fraction;
        match self.freezing {
            Freezing::Slab => {
                let half = self.half_body.min(self.half_set);
                Slab::known(metal, walls, half, Resolution::default()).course(|_| poured, share, end)
            }
            Freezing::Section => Section::known(metal, walls, self.half_body, self.half_set, SECTION).course(
                |_, _| poured,
                share,
                end,
            ),
        }
    }

    /// The type at the end of a course.
    fn last(&self, course: &Course) -> Option<Cooled> {
        let (start, last) = (course.moments.first()?, course.moments.last()?);
        Some(Cooled {
            time: last.time,
            mean_temperature: last.mean_temperature,
            heat: self.mass * (start.mean_heat - last.mean_heat),
        })
    }
}
