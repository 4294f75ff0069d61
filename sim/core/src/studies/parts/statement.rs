//! Sleeve and rod extension as their owner states them.

use latchstroke_models::thread::{Form, NoThread, Series, Thread};

const INCH: f64 = 0.0254;

/// A thread with its designation, written one way whatever the owner wrote.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedThread {
    /// The thread.
    pub thread: Thread,
    /// Its designation: "M12 × 1.75", "1/2-13 UNC".
    pub name: String,
}

impl NamedThread {
    /// A metric thread by its major diameter and its pitch, m.
    ///
    /// # Errors
    /// When there can be no such thread.
    pub fn metric(major: f64, pitch: f64) -> Result<Self, NoThread> {
        let thread = Thread::new(Form::Metric, major, pitch)?;
        // Rounding takes off what the conversion to metres has put on.
        let figure = |metres: f64| (metres * 1e9).round() / 1e6;
        Ok(Self { thread, name: format!("M{} × {}", figure(major), figure(pitch)) })
    }

    /// A thread of a series by its major diameter and its pitch, m.
    ///
    /// # Errors
    /// When there can be no such thread.
    pub fn of_series(series: Series, major: f64, pitch: f64) -> Result<Self, NoThread> {
        if series.form() == Form::Metric {
            return Self::metric(major, pitch);
        }
        let thread = Thread::new(series.form(), major, pitch)?;
        let sixteenths = (major / INCH * 16.0).round();
        let (whole, mut over, mut under) = ((sixteenths / 16.0).floor(), sixteenths % 16.0, 16.0);
        while over > 0.0 && over % 2.0 == 0.0 {
            (over, under) = (over / 2.0, under / 2.0);
        }
        let size = match (whole, over) {
            (0.0, _) => format!("{over}/{under}"),
            (_, 0.0) => format!("{whole}"),
            _ => format!("{whole} {over}/{under}"),
        };
        Ok(Self { thread, name: format!("{size}-{} {}", (INCH / pitch).round(), series.name()) })
    }
}

/// Sleeve and rod extension as stated; what is `None` was left out. Lengths in m, strengths in Pa.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PartsStatement {
    /// Length of the sleeve, where there is one.
    pub sleeve: Option<f64>,
    /// Length of the extension, where there is one.
    pub extension: Option<f64>,
    /// Diameter of the plain rod.
    pub rod_diameter: Option<f64>,
    /// Length of the plain rod.
    pub rod_length: Option<f64>,
    /// Bore of the sleeve.
    pub sleeve_bore: Option<f64>,
    /// Outside diameter of the sleeve.
    pub sleeve_outside: Option<f64>,
    /// Diameter of the register.
    pub register_diameter: Option<f64>,
    /// Length of the register.
    pub register_length: Option<f64>,
    /// Thread of rod and nut.
    pub thread: Option<NamedThread>,
    /// Pitch of the nut's thread, where that is known and the thread is not.
    pub thread_pitch: Option<f64>,
    /// Length of the thread for the nut.
    pub thread_length: Option<f64>,
    /// Thread by which the extension holds on the rod.
    pub engagement: Option<f64>,
    /// Outside diameter of the extension.
    pub extension_outside: Option<f64>,
    /// Distance across the spanner flats.
    pub spanner_flats: Option<f64>,
    /// Material of both pieces.
    pub material: Option<String>,
    /// Yield strength.
    pub yield_strength: Option<f64>,
    /// Tensile strength.
    pub tensile_strength: Option<f64>,
}
