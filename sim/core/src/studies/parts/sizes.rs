//! The sizes of sleeve and extension: as stated, or by rules of thumb where the owner states nothing. The catalogue's help tells
//! each rule. Common practice, no source.

use super::statement::{NamedThread, PartsStatement};
use super::{Assumed, Extension, LengthTolerance, Register, Sleeve};
use latchstroke_models::fault::{Fault, Faults};
use latchstroke_models::field;
use latchstroke_models::thread::Series;

/// Difference between bore and rod for a free sliding fit, m.
const RUNNING_CLEARANCE: f64 = 0.2e-3;
/// Length of a register, m.
const REGISTER_LENGTH: f64 = 3e-3;
/// Diameter and pitch of the thread where neither thread nor rod is stated, m.
const COARSE_M12: (f64, f64) = (12e-3, 1.75e-3);
/// Width of the groove at the bottom of the socket, in pitches: room for the tool to run out.
const RELIEF_PITCHES: f64 = 2.5;
/// How much wider than the thread the groove is, m.
const RELIEF_CLEARANCE: f64 = 0.4e-3;
/// Least wall anywhere, m.
const LEAST_WALL: f64 = 1e-3;
/// Solid metal left between the seat and the nut's thread, in thread diameters.
const SOLID: f64 = 0.25;
/// Least length of the spanner flats, in thread diameters.
const LEAST_FLAT: f64 = 0.4;
/// Thread that a nut alone needs, in thread diameters.
const NUT: f64 = 1.0;

fn up_to_whole_mm(metres: f64) -> f64 {
    // A hair above a whole millimetre, from arithmetic, is that millimetre.
    (metres * 1e3 - 1e-6).ceil() * 1e-3
}

fn down_to_whole_mm(metres: f64) -> f64 {
    (metres * 1e3 + 1e-6).floor() * 1e-3
}

/// The thread where none is stated: M12, or the thickest metric coarse one for which the rod has room.
pub(super) fn default_thread(rod_diameter: Option<f64>) -> Result<NamedThread, Vec<Fault>> {
    let (major, pitch) = match rod_diameter {
        None => COARSE_M12,
        Some(rod) => Series::MetricCoarse
            .sizes()
            .filter(|(major, _)| *major <= rod + 1e-6)
            .last()
            .unwrap_or((0.0, 0.0)),
    };
    NamedThread::metric(major, pitch).map_err(|_| {
        vec![Fault {
            field: field!(PartsStatement, rod_diameter),
            what: "the rod is too thin for any thread of the metric coarse series".to_owned(),
            right: "state its thread".to_owned(),
        }]
    })
}

/// The sleeve of a `length` (m) for a rod, with the tolerance of its length.
pub(super) fn sleeve(
    stated: &PartsStatement,
    length: f64,
    (rod, tolerance): (f64, LengthTolerance),
    assumed: &mut Assumed,
    faults: &mut Faults,
) -> Sleeve {
    let bore = assumed.or("sleeve_bore", stated.sleeve_bore, || rod + RUNNING_CLEARANCE);
    let outside = assumed.or("sleeve_outside", stated.sleeve_outside, || up_to_whole_mm(bore + 0.6 * rod));
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
    let register_length = assumed.or("register_length", stated.register_length, || REGISTER_LENGTH);
    let register = (register_length > 0.0).then(|| {
        let diameter = assumed.or("register_diameter", stated.register_diameter, || 0.5 * (bore + outside));
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
        Register { diameter, length: register_length }
    });
    Sleeve { length, tolerance, bore, outside, register }
}

/// The extension of a `length` (m) for a thread, with the tolerance of its length.
pub(super) fn extension(
    stated: &PartsStatement,
    length: f64,
    (thread, tolerance): (&NamedThread, LengthTolerance),
    assumed: &mut Assumed,
    faults: &mut Faults,
) -> Extension {
    let (major, pitch) = (thread.thread.major(), thread.thread.pitch());
    let engagement =
        assumed.or("engagement", stated.engagement, || up_to_whole_mm(major.max(thread.thread.engagement())));
    let relief_diameter = major + RELIEF_CLEARANCE;
    let outside = assumed.or("extension_outside", stated.extension_outside, || up_to_whole_mm(1.6 * major));
    if outside < relief_diameter + 2.0 * LEAST_WALL {
        let what = format!("{:.2} mm leaves less than 1 mm of wall round the thread", outside * 1e3);
        let right = format!("it must be at least {:.2} mm", (relief_diameter + 2.0 * LEAST_WALL) * 1e3);
        faults.add(field!(PartsStatement, extension_outside), what, right);
    }
    let flats = assumed.or("spanner_flats", stated.spanner_flats, || down_to_whole_mm(0.85 * outside));
    if flats >= outside || flats < major {
        let what = format!("flats {:.2} mm across do not lie between thread and outside", flats * 1e3);
        let right = format!("they must be from {:.2} mm to less than {:.2} mm", major * 1e3, outside * 1e3);
        faults.add(field!(PartsStatement, spanner_flats), what, right);
    }
    let longest = length - SOLID * major;
    let thread_length = assumed.or("thread_length", stated.thread_length, || longest.min(3.0 * major));
    if longest < NUT * major {
        let what = format!(
            "an extension of {:.2} mm has no room for a socket and a thread for the nut",
            length * 1e3
        );
        let right = format!(
            "with this thread it must be at least {:.2} mm; for less, make a longer rod",
            (NUT + SOLID) * major * 1e3
        );
        faults.add(field!(PartsStatement, extension), what, right);
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
        tolerance,
        outside,
        thread: thread.clone(),
        engagement,
        relief: RELIEF_PITCHES * pitch,
        relief_diameter,
        thread_length,
        flats,
        flats_length: 0.0,
    };
    // As wide as a spanner's jaw, one thread diameter, and beside the socket rather than over it while there is solid metal
    // enough to grip.
    let solid = extension.body() - extension.socket();
    extension.flats_length = major.min(solid.max(LEAST_FLAT * major));
    extension
}
