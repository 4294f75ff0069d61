//! Sleeve and rod extension as pieces to be turned: their sizes, how exact their lengths must be, and whether the joint holds.

mod clearance;
mod fits;
mod joint;
mod sizes;
mod statement;
mod tolerance;

pub use clearance::{Clearance, clearance};
pub use fits::{Grade, tolerance};
pub use joint::{Joint, joint};
pub use sizes::{Rule, nut_height, socket};
pub use statement::{NamedThread, PartsStatement};
pub use tolerance::{Basis, COARSEST, LengthTolerance, MARGIN_SHARE};

use latchstroke_models::fault::{Fault, Faults};
use latchstroke_models::field;
use latchstroke_models::thread::Undercut;
use std::f64::consts::PI;

/// Density of steel, kg/m³: plain carbon steel, as EN 10025 takes it for the mass of sections (from memory).
pub const STEEL: f64 = 7850.0;

// What is taken where the owner does not say: a plain structural steel, S235 by EN 10025-2 (from memory).
const YIELD: f64 = 235e6;
const TENSILE: f64 = 360e6;
const MATERIAL: &str = "mild steel";

/// The short spigot by which a sleeve is centred in the cross block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Register {
    /// Its diameter, m.
    pub diameter: f64,
    /// Its length, m; it does not count in the sleeve's length.
    pub length: f64,
    /// Width of the groove at its root, so that the shoulder seats, m.
    pub groove_width: f64,
    /// Depth of that groove, m.
    pub groove_depth: f64,
}

/// The sleeve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sleeve {
    /// S, m: from the spring end to the shoulder on the cross block.
    pub length: f64,
    /// How exact S must be.
    pub tolerance: LengthTolerance,
    /// Bore, m.
    pub bore: f64,
    /// Outside diameter, m.
    pub outside: f64,
    /// The register, where there is one.
    pub register: Option<Register>,
}

impl Sleeve {
    /// Length over all, m.
    pub fn overall(&self) -> f64 {
        self.length + self.register.map_or(0.0, |register| register.length)
    }

    /// Volume of metal, m³.
    pub fn volume(&self) -> f64 {
        let register = self.register.map_or(0.0, |r| {
            let root = r.diameter - 2.0 * r.groove_depth;
            ring(r.diameter, self.bore) * r.length - ring(r.diameter, root) * r.groove_width
        });
        ring(self.outside, self.bore) * self.length + register
    }
}

/// The rod extension: a socket that screws on the rod's thread until the rod's end seats, and a thread like the rod's for the
/// nut.
#[derive(Debug, Clone, PartialEq)]
pub struct Extension {
    /// E, m: from the seat of the rod's end to the far end.
    pub length: f64,
    /// How exact E is to be.
    pub tolerance: LengthTolerance,
    /// Outside diameter, m.
    pub outside: f64,
    /// The thread of both ends.
    pub thread: NamedThread,
    /// Threaded length of the socket, m.
    pub engagement: f64,
    /// The groove between thread and seat.
    pub relief: Undercut,
    /// Length of the thread for the nut, m, from the far end to the shoulder: its undercut counts.
    pub thread_length: f64,
    /// The groove at that shoulder.
    pub undercut: Undercut,
    /// Distance across the spanner flats, m.
    pub flats: f64,
    /// Length of the flats, m, up to the shoulder at the nut's thread.
    pub flats_length: f64,
}

impl Extension {
    /// Depth of the socket to the seat, m.
    pub fn socket(&self) -> f64 {
        self.engagement + self.relief.width
    }

    /// Length over all, m.
    pub fn overall(&self) -> f64 {
        self.length + self.socket()
    }

    /// Length from the socket's mouth to the shoulder at the nut's thread, m.
    pub fn body(&self) -> f64 {
        self.overall() - self.thread_length
    }

    /// Section of the socket's wall at the groove, its weakest place, m².
    pub fn wall_area(&self) -> f64 {
        ring(self.outside, self.relief.diameter)
    }

    /// Section at the undercut of the nut's thread, m².
    pub fn undercut_area(&self) -> f64 {
        disc(self.undercut.diameter)
    }

    /// Volume of metal, m³, threads counted at their pitch diameter.
    pub fn volume(&self) -> f64 {
        let (r, half) = (0.5 * self.outside, 0.5 * self.flats);
        let segment = r * r * libm::acos(half / r) - half * (r * r - half * half).sqrt();
        let pitch_diameter = self.thread.thread.pitch_diameter();
        disc(self.outside) * self.body()
            - 2.0 * segment * self.flats_length
            - disc(pitch_diameter) * self.engagement
            - disc(self.relief.diameter) * self.relief.width
            + disc(pitch_diameter) * (self.thread_length - self.undercut.width)
            + disc(self.undercut.diameter) * self.undercut.width
    }
}

fn disc(diameter: f64) -> f64 {
    0.25 * PI * diameter * diameter
}

fn ring(outside: f64, bore: f64) -> f64 {
    disc(outside) - disc(bore)
}

/// Both pieces, and what they are made for.
#[derive(Debug, Clone, PartialEq)]
pub struct Parts {
    /// The sleeve, where the stack has one.
    pub sleeve: Option<Sleeve>,
    /// The extension, where the stack has one.
    pub extension: Option<Extension>,
    /// Diameter of the plain rod, m.
    pub rod_diameter: f64,
    /// Length of the plain rod, m, where stated.
    pub rod_length: Option<f64>,
    /// Thread of rod and nut.
    pub thread: NamedThread,
    /// Material.
    pub material: String,
    /// Yield strength, Pa.
    pub yield_strength: f64,
    /// Tensile strength, Pa.
    pub tensile_strength: f64,
    /// Keys of `[parts]` that were not stated and have been assumed.
    pub assumed: Vec<&'static str>,
}

impl Parts {
    /// The same with another tolerance of the sleeve's length. The extension's is the same: its error moves the nut, not the latch, so
    /// there is no call for it to be closer.
    #[must_use]
    pub fn within(mut self, tolerance: LengthTolerance) -> Self {
        if let Some(sleeve) = &mut self.sleeve {
            sleeve.tolerance = tolerance;
        }
        if let Some(extension) = &mut self.extension {
            extension.tolerance = tolerance;
        }
        self
    }
}

/// Notes what had to be assumed.
#[derive(Default)]
struct Assumed(Vec<&'static str>);

impl Assumed {
    fn or<T>(&mut self, key: &'static str, stated: Option<T>, assume: impl FnOnce() -> T) -> T {
        stated.unwrap_or_else(|| {
            self.0.push(key);
            assume()
        })
    }
}

/// Works out both pieces, what is not stated by `rule`, their lengths as exact as a lathe holds until [`Parts::within`] says otherwise.
///
/// # Errors
/// Sizes that do not go together, by the keys that state them.
pub fn design(stated: &PartsStatement, rule: Rule) -> Result<Parts, Vec<Fault>> {
    let mut faults = Faults::default();
    let mut assumed = Assumed::default();
    let thread = if let Some(thread) = &stated.thread {
        thread.clone()
    } else {
        assumed.0.push("thread");
        sizes::default_thread(stated, rule)?
    };
    let rod_diameter = assumed.or("rod_diameter", stated.rod_diameter, || thread.thread.major());
    if thread.thread.major() > sizes::TURNED_DOWN * rod_diameter {
        let what = format!("a thread {} is thicker than the rod, {:.2} mm", thread.name, rod_diameter * 1e3);
        faults.add(field!(PartsStatement, thread), what, "state the thread cut on the rod, or a thicker rod");
    }
    let sleeve = stated
        .sleeve
        .map(|length| sizes::sleeve(stated, length, (rule, rod_diameter), &mut assumed, &mut faults));
    let extension = stated
        .extension
        .map(|length| sizes::extension(stated, length, (rule, &thread), &mut assumed, &mut faults));
    let material = assumed.or("material", stated.material.clone(), || MATERIAL.to_owned());
    let yield_strength = assumed.or("yield_strength", stated.yield_strength, || YIELD);
    let tensile_strength = assumed.or("tensile_strength", stated.tensile_strength, || TENSILE);
    if yield_strength > tensile_strength {
        let what = "the yield strength is above the tensile strength";
        faults.add(field!(PartsStatement, yield_strength), what, "a metal yields before it breaks");
    }
    faults.settle(Parts {
        sleeve,
        extension,
        rod_diameter,
        rod_length: stated.rod_length,
        thread,
        material,
        yield_strength,
        tensile_strength,
        assumed: assumed.0,
    })
}
