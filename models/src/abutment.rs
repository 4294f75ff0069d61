//! The abutment and what sets it: sleeve, rod extension, rod nut and the latch prongs, all measured on the rod's axis.
//!
//! Gap between abutment face and nut face: g = g_0 − S + E − n·pitch. A sleeve S raises the abutment and squeezes the springs;
//! a rod longer by E lets them out again, so S = E leaves the preload as it was. The same sleeve brings the abutment nearer
//! to the prongs: clearance at rest c = c_0 − S.
//!
//! An extension that is screwed on the rod by a socket of depth q reaches down below the rod's end by as much, and is thicker than the
//! rod: the abutment, which closes on it as the block lifts, has the room e_0 − S − q, e_0 from the plain abutment face to the rod's end.

use crate::fault::Faults;
use crate::field;
use crate::units::Length;

/// The stack-up as an owner measures it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct AbutmentStatement {
    /// g_0: gap with no sleeve, no extension and the nut at its reference position; needed where a spring is set by lengths.
    pub bare_gap: Option<Length>,
    /// S: length of the sleeve under the abutment.
    pub sleeve: Length,
    /// E: length added to the rod.
    pub extension: Length,
    /// Outside diameter of the extension, where known.
    pub extension_outside: Option<Length>,
    /// q: depth of the socket by which the extension is screwed on, down to the rod's end; none where it is joined otherwise or nothing
    /// says how.
    pub socket: Option<Length>,
    /// e_0: from the plain abutment face to the end of the rod without an extension, with no sleeve.
    pub rod_end: Option<Length>,
    /// n: turns of the rod nut down from its reference position.
    pub nut_turns: f64,
    /// Pitch of the nut's thread; needed only where the nut has been turned.
    pub thread_pitch: Option<Length>,
    /// c_0: from the plain abutment face to the latch prongs when the latch is set over it.
    pub bare_clearance: Option<Length>,
}

/// A prepared stack-up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Abutment {
    /// g, m: gap for the springs at rest.
    pub gap: Option<f64>,
    /// c, m: clearance between abutment and prongs at rest; below zero the sleeve already bears on them.
    pub clearance: Option<f64>,
    /// S, m.
    pub sleeve: f64,
    /// E, m.
    pub extension: f64,
    /// Outside diameter of the extension, m, where known.
    pub extension_outside: Option<f64>,
    /// From the abutment face to the extension's socket at rest, m, where known: below zero they do not go together.
    pub room: Option<f64>,
}

impl Abutment {
    pub(crate) fn prepare(stated: &AbutmentStatement, faults: &mut Faults) -> Self {
        let sleeve = faults.not_negative(field!(AbutmentStatement, sleeve), stated.sleeve.0);
        let extension = faults.not_negative(field!(AbutmentStatement, extension), stated.extension.0);
        let turns = faults.finite(field!(AbutmentStatement, nut_turns), stated.nut_turns);
        let advance = if let Some(pitch) = stated.thread_pitch {
            turns * faults.positive(field!(AbutmentStatement, thread_pitch), pitch.0)
        } else {
            if turns != 0.0 {
                let what = "turns of the nut say nothing without the thread's pitch, which is not given";
                faults.add(field!(AbutmentStatement, thread_pitch), what, "give the pitch");
            }
            0.0
        };
        let socket = stated.socket.map(|socket| faults.positive(field!(AbutmentStatement, socket), socket.0));
        let rod_end = stated.rod_end.map(|end| faults.positive(field!(AbutmentStatement, rod_end), end.0));
        Self {
            gap: stated.bare_gap.map(|bare| {
                faults.positive(field!(AbutmentStatement, bare_gap), bare.0) - sleeve + extension - advance
            }),
            clearance: stated
                .bare_clearance
                .map(|bare| faults.finite(field!(AbutmentStatement, bare_clearance), bare.0) - sleeve),
            sleeve,
            extension,
            extension_outside: stated
                .extension_outside
                .map(|outside| faults.positive(field!(AbutmentStatement, extension_outside), outside.0)),
            room: socket.zip(rod_end).filter(|_| extension > 0.0).map(|(socket, end)| end - sleeve - socket),
        }
    }
}
