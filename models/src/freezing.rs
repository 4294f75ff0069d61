//! Freezing in the mould: the clocks that a fill is held against, the heat of a cast, and the solved cooling behind them.
//!
//! Of the same metal, walls and size, while the mould fills ([`crate::mould::Mould::heat_transfer`]):
//!
//! * lapping: the first metal in must not be colder than lets streams knit ([`lapping_limit`], closed form of a lump);
//! * skin: the depth to which metal hangs together on the face ([`skin::SkinGrowth`], solved);
//! * bulk: the lump no longer flows ([`bulk_limit`], closed form).
//!
//! Once it is full and packed ([`crate::mould::Mould::packed_heat_transfer`]):
//!
//! * cooling: the middle is solid ([`casting::Casting`], solved), and what heat the type has given the mould by then, or as it opens.
//!
//! [`splashed_film_limit`] is a bound beside skin, and no clock: a film that freezes with no hot metal behind it.
//!
//! The cooling is solved by heat content (enthalpy), so that no front has to be followed:
//! [`slab`] through half the body, [`section`] over body and set. Both take a [`substance::Substance`], whose
//! [`HeatCurve`](crate::heat_curve::HeatCurve) says at what temperature, and how far solid, metal with a given heat is; a wall behind an
//! [`interface::Interface`]; and any start the fill has left.
//!
//! ```
//! use latchstroke_models::freezing::interface::Interface;
//! use latchstroke_models::freezing::slab::{End, Slab, Walls};
//! use latchstroke_models::freezing::substance::Substance;
//! use latchstroke_models::heat_curve::HeatCurve;
//!
//! let curve = HeatCurve::straight(513.15, 543.15, 50e3, 150.0, 150.0)?;
//! let metal = Substance::new(10200.0, &curve, 24.0, 20.0)?;
//! let walls = Walls { temperature: 333.15, interface: Interface::Constant(12e3) };
//! let slab = Slab::new(metal, walls, 2.1e-3)?;
//! let poured = curve.greatest_heat(623.15);
//! let course = slab.course(|_| poured, 0.35, End::MiddleSolid { give_up: 10.0 });
//! assert!(course.middle_solid.is_some());
//! # Ok::<(), Vec<latchstroke_models::fault::Fault>>(())
//! ```

pub mod casting;
pub mod course;
mod grid;
pub mod interface;
pub mod limits;
pub mod section;
pub mod skin;
pub mod slab;
pub mod substance;
#[cfg(test)]
mod tests;

pub use limits::{
    bulk_limit, lapping_limit, splashed_film_heat, splashed_film_limit, splashed_film_thickness,
    time_to_solid_share,
};
