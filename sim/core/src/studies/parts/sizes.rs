//! The sizes of sleeve and extension: as stated, or by rules of thumb where the owner states nothing. The catalogue's help tells
//! each rule. Common practice, no source.

use super::statement::{NamedThread, PartsStatement};
use super::{Assumed, Extension, LengthTolerance, Register, Sleeve};
use latchstroke_models::fault::{Fault, Faults};
use latchstroke_models::field;
use latchstroke_models::thread::{Series, standard_thread};

/// In whose round figures a size is chosen that the owner does not state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// Whole millimetres.
    Metric,
    /// Sixteenths of an inch.
    Inch,
}

const INCH: f64 = 0.0254;

/// The rules of thumb in one system, m.
struct Thumb {
    /// What sizes are whole steps of.
    step: f64,
    /// Difference between bore and rod for a free sliding fit.
    running_clearance: f64,
    /// Length of a register.
    register: f64,
    /// Width of the groove at a register's root.
    groove: f64,
    /// The thread where neither thread, pitch nor rod is stated.
    thread: (Series, f64),
}

const METRIC: Thumb = Thumb {
    step: 1e-3,
    running_clearance: 0.2e-3,
    register: 3e-3,
    groove: 1e-3,
    thread: (Series::MetricCoarse, 12e-3),
};
const IN_INCHES: Thumb = Thumb {
    step: INCH / 16.0,
    running_clearance: INCH / 128.0,
    register: INCH / 8.0,
    groove: 0.04 * INCH,
    thread: (Series::UnifiedCoarse, 0.5 * INCH),
};

/// Depth of the groove at a register's root, m: DIN 509 has 0.1 to 0.4 mm for such sizes (from memory).
const GROOVE_DEPTH: f64 = 0.2e-3;
/// Most of a register's length, and of its wall, that its groove may take.
const GROOVE_SHARE: f64 = 0.35;
/// A rod is turned down a little for a sliding fit, so its thread may be nominally a shade thicker.
pub(super) const TURNED_DOWN: f64 = 1.02;
/// Least wall anywhere, m.
const LEAST_WALL: f64 = 1e-3;
/// Solid metal left between the seat and the nut's thread, in thread diameters.
const SOLID: f64 = 0.25;
/// Least length of the spanner flats, in thread diameters.
const LEAST_FLAT: f64 = 0.4;
/// Most of the solid metal between socket and shoulder that they take while it is long enough.
const FLAT_SHARE: f64 = 0.9;
/// Thread that a nut alone needs, in thread diameters.
const NUT: f64 = 1.0;
/// Height of an ordinary nut, in thread diameters: ISO 4032 has 10.8 mm for M12, BS 1083 0.44 in for 1/2 in (from memory).
const NUT_HEIGHT: f64 = 0.875;

impl Rule {
    fn thumb(self) -> &'static Thumb {
        match self {
            Self::Metric => &METRIC,
            Self::Inch => &IN_INCHES,
        }
    }

    /// Up to the next whole step.
    fn up(self, metres: f64) -> f64 {
        // A hair above a whole step, from arithmetic, is that step.
        (metres / self.thumb().step - 1e-6).ceil() * self.thumb().step
    }

    /// Down to a whole step.
    fn down(self, metres: f64) -> f64 {
        (metres / self.thumb().step + 1e-6).floor() * self.thumb().step
    }
}

/// Height of an ordinary nut on a thread, m.
pub fn nut_height(thread: &NamedThread) -> f64 {
    NUT_HEIGHT * thread.thread.major()
}

/// The thread where none is stated: the standard one of the nut's pitch, the nearest to half an inch or to the rod; without a pitch
/// the rule's own, or the thickest coarse one for which the rod has room.
pub(super) fn default_thread(stated: &PartsStatement, rule: Rule) -> Result<NamedThread, Vec<Fault>> {
    let (series, size) = rule.thumb().thread;
    let most = stated.rod_diameter.map_or(f64::INFINITY, |rod| TURNED_DOWN * rod);
    let near = stated.rod_diameter.unwrap_or(size);
    let of_pitch = stated.thread_pitch.and_then(|pitch| standard_thread(pitch, near, most));
    let coarse = || series.sizes().filter(|(major, _)| *major <= most.min(near + 1e-6)).last();
    let (series, major, pitch) = of_pitch
        .or_else(|| coarse().map(|(major, pitch)| (series, major, pitch)))
        .unwrap_or((series, 0.0, 0.0));
    NamedThread::of_series(series, major, pitch).map_err(|_| {
        vec![Fault {
            field: field!(PartsStatement, rod_diameter),
            what: "the rod is too thin for any thread of a common series".into(),
            right: "state its thread".into(),
        }]
    })
}

/// Thread by which an extension holds where none is stated, m.
fn engagement(thread: &NamedThread, rule: Rule) -> f64 {
    rule.up(thread.thread.major().max(thread.thread.engagement()))
}

/// Depth of the socket down to the seat, m, of an extension whose thread and engagement are stated; none of one of which nothing says
/// how it is joined to its rod.
pub fn socket(stated: &PartsStatement) -> Option<f64> {
    Some(stated.engagement? + stated.thread.as_ref()?.thread.undercut_inside().width)
}

/// The sleeve of a `length` (m) for a rod.
pub(super) fn sleeve(
    stated: &PartsStatement,
    length: f64,
    (rule, rod): (Rule, f64),
    assumed: &mut Assumed,
    faults: &mut Faults,
) -> Sleeve {
    let bore = assumed.or("sleeve_bore", stated.sleeve_bore, || rod + rule.thumb().running_clearance);
    let outside = assumed.or("sleeve_outside", stated.sleeve_outside, || rule.up(bore + 0.6 * rod));
    if bore <= rod {
        let what = format!("a bore of {:.2} mm does not slide on a rod of {:.2} mm", bore * 1e3, rod * 1e3);
        faults.add(field!(PartsStatement, sleeve_bore), what, "it must be wider than the rod");
    }
    if outside < bore + 2.0 * LEAST_WALL {
        let what = format!("{:.2} mm leaves less than 1 mm of wall round the bore", outside * 1e3);
        faults.add(
            field!(PartsStatement, sleeve_outside),
            what,
            format!("it must be at least {:.2} mm", (bore + 2.0 * LEAST_WALL) * 1e3),
        );
    }
    let register_length = assumed.or("register_length", stated.register_length, || rule.thumb().register);
    let register = (register_length > 0.0).then(|| {
        let diameter = assumed.or("register_diameter", stated.register_diameter, || {
            let middle = 0.5 * (bore + outside);
            let round = rule.down(middle);
            // Round where that leaves a wall.
            if round >= bore + 2.0 * LEAST_WALL { round } else { middle }
        });
        if diameter < bore + LEAST_WALL || diameter > outside - 0.5 * LEAST_WALL {
            let what =
                format!("a register of {:.2} mm does not lie between bore and outside", diameter * 1e3);
            let right = format!(
                "it must be from {:.2} to {:.2} mm",
                (bore + LEAST_WALL) * 1e3,
                (outside - 0.5 * LEAST_WALL) * 1e3
            );
            faults.add(field!(PartsStatement, register_diameter), what, right);
        }
        Register {
            diameter,
            length: register_length,
            groove_width: rule.thumb().groove.min(GROOVE_SHARE * register_length),
            groove_depth: GROOVE_DEPTH.min(GROOVE_SHARE * 0.5 * (diameter - bore).max(0.0)),
        }
    });
    Sleeve { length, tolerance: LengthTolerance::of_margin(None), bore, outside, register }
}

/// The extension of a `length` (m) for a thread.
pub(super) fn extension(
    stated: &PartsStatement,
    length: f64,
    (rule, thread): (Rule, &NamedThread),
    assumed: &mut Assumed,
    faults: &mut Faults,
) -> Extension {
    let major = thread.thread.major();
    let engagement = assumed.or("engagement", stated.engagement, || engagement(thread, rule));
    let relief = thread.thread.undercut_inside();
    let undercut = thread.thread.undercut();
    let outside = assumed.or("extension_outside", stated.extension_outside, || rule.up(1.6 * major));
    if outside < relief.diameter + 2.0 * LEAST_WALL {
        let what = format!("{:.2} mm leaves less than 1 mm of wall round the thread", outside * 1e3);
        let right = format!("it must be at least {:.2} mm", (relief.diameter + 2.0 * LEAST_WALL) * 1e3);
        faults.add(field!(PartsStatement, extension_outside), what, right);
    }
    let flats = assumed.or("spanner_flats", stated.spanner_flats, || rule.down(0.85 * outside));
    if flats >= outside || flats < major {
        let what = format!("flats {:.2} mm across do not lie between thread and outside", flats * 1e3);
        let right = format!("they must be from {:.2} mm to less than {:.2} mm", major * 1e3, outside * 1e3);
        faults.add(field!(PartsStatement, spanner_flats), what, right);
    }
    let longest = length - SOLID * major;
    let thread_length = assumed.or("thread_length", stated.thread_length, || longest.min(3.0 * major));
    let shortest = NUT * major + undercut.width;
    if longest < shortest {
        let what = format!(
            "an extension of {:.2} mm has no room for a socket and a thread for the nut",
            length * 1e3
        );
        let right = format!(
            "with this thread it must be at least {:.2} mm; for less, make a longer rod",
            (shortest + SOLID * major) * 1e3
        );
        faults.add(field!(PartsStatement, extension), what, right);
    } else if thread_length < shortest - 1e-9 {
        let what = format!(
            "a thread {:.2} mm long, its undercut with it, is too short for a nut",
            thread_length * 1e3
        );
        let right = format!("it must be at least {:.2} mm", shortest * 1e3);
        faults.add(field!(PartsStatement, thread_length), what, right);
    } else if thread_length > longest + 1e-9 {
        let what = format!("a thread {:.2} mm long runs into the socket", thread_length * 1e3);
        faults.add(
            field!(PartsStatement, thread_length),
            what,
            format!("it can be at most {:.2} mm", longest * 1e3),
        );
    }
    let mut extension = Extension {
        length,
        tolerance: LengthTolerance::of_margin(None),
        outside,
        thread: thread.clone(),
        engagement,
        relief,
        thread_length,
        undercut,
        flats,
        flats_length: 0.0,
    };
    // As wide as a spanner's jaw, one thread diameter, and beside the socket rather than over it or up to its very bottom while there
    // is solid metal enough to grip.
    let solid = extension.body() - extension.socket();
    extension.flats_length = major.min(rule.down(FLAT_SHARE * solid).max(LEAST_FLAT * major));
    extension
}
