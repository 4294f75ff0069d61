//! A place of a statement that takes the value of a key.

use crate::{Dimension, Value};
use latchstroke_core::studies::calibrate::{Flaw, Outcome};
use latchstroke_models::alloy::FreezingPath;
use latchstroke_models::cam::CamStatement;
use latchstroke_models::cross_block::Closure;
use latchstroke_models::latch::LatchSetting;
use latchstroke_models::mould::Freezing;
use latchstroke_models::units;
use latchstroke_models::well::Suction;
use std::fmt;

/// What a value can be put into.
pub(crate) trait Slot: fmt::Debug {
    /// Takes a value. One of another kind leaves the place as it was: the catalogue's kinds are held to the statements' by a test.
    fn put(&mut self, value: &Value);

    /// The SI value of a number that stands here.
    fn si(&self) -> Option<f64> {
        None
    }
}

macro_rules! quantities {
    ($($dimension:ident)+) => {$(
        impl Slot for units::$dimension {
            fn put(&mut self, value: &Value) {
                if let Value::Quantity(quantity) = value
                    && measures(quantity.dimension) == Dimension::$dimension
                {
                    self.0 = quantity.si;
                }
            }

            fn si(&self) -> Option<f64> {
                Some(self.0)
            }
        }
    )+};
}

/// What a dimension is in a statement, where a thread's pitch is a length.
fn measures(dimension: Dimension) -> Dimension {
    if dimension == Dimension::ThreadPitch { Dimension::Length } else { dimension }
}

quantities! {
    Angle Area Conductivity Damping Density Force HeatTransfer LatentHeat Length Mass MomentOfInertia Pace Pressure SpecificHeat
    Speed Stiffness Temperature ThermalConductance Time Viscosity Volume VolumeFlow
}

impl Slot for f64 {
    fn put(&mut self, value: &Value) {
        if let Value::Quantity(number) | Value::Number(number) = value {
            *self = number.si;
        }
    }

    fn si(&self) -> Option<f64> {
        Some(*self)
    }
}

impl<T: Slot + Default> Slot for Option<T> {
    fn put(&mut self, value: &Value) {
        self.insert(T::default()).put(value);
    }

    fn si(&self) -> Option<f64> {
        self.as_ref()?.si()
    }
}

macro_rules! words {
    ($($choice:ident)+) => {$(
        impl Slot for $choice {
            fn put(&mut self, value: &Value) {
                if let Value::Choice(word) = value
                    && let Ok(chosen) = word.parse()
                {
                    *self = chosen;
                }
            }
        }
    )+};
}

words! { CamStatement Closure Flaw Freezing FreezingPath LatchSetting Outcome Suction }

impl Slot for String {
    fn put(&mut self, value: &Value) {
        if let Value::Text(text) = value {
            self.clone_from(text);
        }
    }
}

macro_rules! lists {
    ($($dimension:ident)+) => {$(
        impl Slot for Vec<units::$dimension> {
            fn put(&mut self, value: &Value) {
                if let Value::List(list) = value {
                    *self = list.iter().map(|quantity| units::$dimension(quantity.si)).collect();
                }
            }
        }
    )+};
}

lists! { Length Pace }

impl Slot for Vec<(units::Angle, units::Length)> {
    fn put(&mut self, value: &Value) {
        if let Value::Readings(readings) = value {
            *self = readings
                .iter()
                .map(|(angle, lift)| (units::Angle(angle.si), units::Length(lift.si)))
                .collect();
        }
    }
}
