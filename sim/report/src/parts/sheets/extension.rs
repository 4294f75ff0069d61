//! The rod extension.

use super::super::extension_basis;
use super::{CHAMFER, Draft, mm};
use latchstroke_core::studies::parts::Extension;
use latchstroke_models::thread::{Form, Side, Undercut};
use latchstroke_plots::drawing::{
    BoreStep, Callout, DiameterDimension, LengthDimension, OutsideStep, PartView, Surface, TurnedPart,
};

/// How far a countersink goes beyond the thread, m on the diameter: an edge that takes a thread's first turn. Common practice, no
/// source.
const COUNTERSINK: f64 = 0.4e-3;

/// The piece as it is drawn, mm.
pub(super) fn part(piece: &Extension) -> TurnedPart {
    let thread = &piece.thread.thread;
    let (overall, body) = (mm(piece.overall()), mm(piece.body()));
    let (outside, flats, flats_length) = (mm(piece.outside), mm(piece.flats), mm(piece.flats_length));
    let (major, core) = (mm(thread.major()), mm(thread.core_diameter()));
    let undercut = (mm(piece.undercut.width), mm(piece.undercut.diameter));
    let edge = edge(piece);
    let step = |length: f64, diameter: f64, chamfers: (f64, f64), surface: Surface| OutsideStep {
        length,
        diameter,
        chamfers,
        surface,
    };
    TurnedPart {
        outside: vec![
            step(body - flats_length, outside, (edge, 0.0), Surface::Plain),
            step(flats_length, outside, (0.0, 0.0), Surface::Flats(flats)),
            step(undercut.0, undercut.1, (0.0, 0.0), Surface::Plain),
            step(overall - body - undercut.0, major, (0.0, thread_chamfer(piece)), Surface::Thread(core)),
        ],
        bore: vec![
            BoreStep {
                length: mm(piece.engagement),
                diameter: mm(thread.nut_minor()),
                thread: Some(major),
                countersink: 0.5 * mm(countersink(piece) - thread.nut_minor()),
            },
            BoreStep {
                length: mm(piece.relief.width),
                diameter: mm(piece.relief.diameter),
                thread: None,
                countersink: 0.0,
            },
        ],
        sectioned: (mm(piece.socket()) + 0.25 * outside).min(0.5 * (mm(piece.socket()) + overall)),
    }
}

/// Chamfer of the outer edge, mm.
fn edge(piece: &Extension) -> f64 {
    mm(CHAMFER).min(0.125 * mm(piece.outside - piece.thread.thread.major()))
}

/// Chamfer of the thread's end, mm: down to its core, to a whole tenth.
fn thread_chamfer(piece: &Extension) -> f64 {
    let depth = 0.5 * mm(piece.thread.thread.major() - piece.thread.thread.core_diameter());
    (10.0 * depth).ceil() / 10.0
}

/// Diameter of the countersink at the socket's mouth, m.
fn countersink(piece: &Extension) -> f64 {
    (piece.thread.thread.major() + COUNTERSINK).min(piece.outside - 1e-3)
}

/// "1/2-16 BSF medium", "M12 × 1.75 – 6g", "1/2-13 UNC-2A".
fn designation(piece: &Extension, side: Side) -> String {
    let name = &piece.thread.name;
    let class = piece.thread.thread.form().class(side);
    let joined = match piece.thread.thread.form() {
        Form::Metric => format!("{name} – {class}"),
        Form::Unified => format!("{name}-{class}"),
        Form::Whitworth => format!("{name} {class}"),
    };
    joined.replace(' ', "\u{a0}")
}

/// Its view and the notes.
pub(super) fn draw(piece: &Extension, draft: Draft<'_>) -> (PartView, Vec<String>) {
    let measures = draft.measures;
    let (overall, body, socket) = (mm(piece.overall()), mm(piece.body()), mm(piece.socket()));
    let span = |from: f64, to: f64, label| LengthDimension { from, to, label };
    let lengths = vec![
        span(0.0, socket, measures.label("", piece.socket(), None, draft.is_assumed("engagement"))),
        span(socket, overall, measures.label("", piece.length, Some(piece.tolerance.half_width), false)),
        span(body, overall, measures.label("", piece.thread_length, None, draft.is_assumed("thread_length"))),
        span(body - mm(piece.flats_length), body, measures.label("", piece.flats_length, None, false)),
        span(0.0, overall, measures.sum(&[(piece.socket(), false), (piece.length, true)])),
    ];
    let diameters = vec![DiameterDimension {
        diameter: mm(piece.outside),
        label: measures.label("Ø ", piece.outside, None, draft.is_assumed("extension_outside")),
        datum: Some('A'),
    }];
    let view = PartView { part: part(piece), lengths, diameters, callouts: callouts(piece, draft) };
    let mut notes = vec![
        format!(
            "{} An error moves the adjusting nut, not the latch; the nut takes it up.",
            extension_basis(draft.made.parts, piece, measures)
        ),
        "Face the rod’s end square and screw the extension home until it seats. Secure with a removable thread-locking compound; mark across the joint.".to_owned(),
        "Let the springs’ force off before you undo nuts. No toothed pliers on the rod: use the flats, or soft jaws.".to_owned(),
        "Undercuts as DIN 76-1 (ISO 4755) has them for a metric thread of this pitch.".to_owned(),
    ];
    if draft.made.clearance.room.is_none() {
        notes.push(format!(
            "Measure first: from the plain abutment face, without a sleeve, to the plain rod’s end. It must be at least {}, or the abutment strikes this piece.",
            measures.drawn(draft.made.clearance.rod_end_needed)
        ));
    }
    let keys = ["thread", "thread_length", "engagement", "extension_outside", "spanner_flats"];
    notes.extend(draft.closing_notes(&keys, piece.volume()));
    (view, notes)
}

fn callouts(piece: &Extension, draft: Draft<'_>) -> Vec<Callout> {
    let measures = draft.measures;
    let seat = measures.roughness().0;
    let (body, major) = (mm(piece.body()), mm(piece.thread.thread.major()));
    let groove = |undercut: &Undercut| {
        format!(
            "Ø\u{a0}{}, {} wide, R\u{a0}{}",
            measures.drawn(undercut.diameter),
            measures.drawn_roughly(undercut.width),
            measures.drawn_roughly(undercut.radius)
        )
    };
    vec![
        Callout {
            at: (0.5 * mm(piece.engagement), 0.5 * mm(piece.thread.thread.nut_minor())),
            text: format!(
                "{}{} to the undercut; mouth countersunk 90° to Ø\u{a0}{}, edge {}",
                designation(piece, Side::Internal),
                draft.star("thread"),
                measures.drawn_roughly(countersink(piece)),
                draft.chamfer(edge(piece))
            ),
            frame: Some(draft.coaxial()),
        },
        Callout {
            at: (mm(piece.socket()), 0.25 * mm(piece.relief.diameter)),
            text: format!("Seat of the rod’s end, flat, {seat}; undercut {}", groove(&piece.relief)),
            frame: Some(draft.square()),
        },
        Callout {
            at: (body - 0.5 * mm(piece.flats_length), 0.5 * mm(piece.flats)),
            text: format!(
                "2\u{a0}flats for a spanner, {}{} across; corners R\u{a0}{} at most",
                measures.drawn(piece.flats),
                draft.star("spanner_flats"),
                measures.drawn_roughly(1e-3)
            ),
            frame: None,
        },
        Callout {
            at: (body + 0.5 * mm(piece.thread_length + piece.undercut.width), 0.5 * major),
            text: format!(
                "{}{} for the adjusting nut; end {}; undercut at the shoulder {}",
                designation(piece, Side::External),
                draft.star("thread"),
                draft.chamfer(thread_chamfer(piece)),
                groove(&piece.undercut)
            ),
            frame: Some(draft.coaxial()),
        },
    ]
}
