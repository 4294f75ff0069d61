//! Scenario files: a machine, its metal and a job, as an owner writes them.
//!
//! The way through: [`read`] makes of a file a [`Scenario`] → [`stated`] types its values as a machine's statement, which
//! [`latchstroke_core`] prepares and turns.
//!
//! A scenario is a TOML file whose values carry their units, such as
//! `lift = "30 mm"`. [`read`] turns one into a [`Scenario`], or into every
//! mistake in it at once ([`Mistakes`]). The [`catalogue`] states each key once;
//! reading, the [`template`] for a new file and the [`schema`] for editors all
//! follow it.
//!
//! ```
//! use latchstroke_scenario::quantity::System;
//! use latchstroke_scenario::template::{Form, new_scenario};
//! use latchstroke_scenario::{Override, read};
//!
//! let text = new_scenario(Form::Example, System::Metric);
//! let faster = [Override::parse("job.pace = 60 turns/min")];
//! let scenario = read("new.toml", &text, &faster)?;
//! let pace = scenario.quantity("job.pace").map(|pace| pace.si);
//! assert_eq!(pace, Some(1.0));
//! # Ok::<(), latchstroke_scenario::Mistakes>(())
//! ```

pub mod catalogue;
mod disk;
mod fitted;
mod heading;
pub mod measured;
mod mistakes;
mod overrides;
pub mod pieces;
pub mod quantity;
mod reader;
mod resolved;
pub mod schema;
pub mod stated;
mod suspects;
pub mod template;
mod vary;
mod wrap;
mod write;

#[cfg(test)]
mod tests;

pub use disk::{Unread, open};
pub use latchstroke_models::field;
pub use mistakes::{Location, Look, Mistake, Mistakes};
pub use overrides::Override;
pub use quantity::{Dimension, Quantity, Unit};
pub use reader::{MOST_IN_LIST, in_range, nearest, read};
pub use resolved::{Item, Origin, Scenario, Section, Value};
pub use suspects::look;
pub use vary::{Doubt, is_estimate};
