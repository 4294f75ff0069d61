//! Freezing in the mould: closed-form limits, and the solved cooling of a section.
//!
//! [`limits`] answers in closed form how long the metal stays fit to fill the mould, [`lump`] how much heat it has given up
//! after a time. The other parts solve the cooling itself by heat content (enthalpy), so that no front has to be followed:
//! [`slab`] through half the body, [`section`] over body and set. Both take a [`substance::Substance`], whose [`HeatCurve`](crate::heat_curve::HeatCurve) says at what temperature, and how far solid,
//! metal with a given heat is; a wall behind an [`interface::Interface`]; and any start the fill has left.
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

pub mod course;
mod grid;
pub mod interface;
pub mod limits;
pub mod lump;
pub mod section;
pub mod slab;
pub mod substance;

pub use limits::{bulk_limit, skin_heat, skin_limit, skin_thickness};
