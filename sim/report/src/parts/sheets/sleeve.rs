//! The sleeve.

use super::super::basis_words;
use super::{CHAMFER, Draft, mm};
use latchstroke_core::studies::parts::{Grade, Register, Sleeve, tolerance};
use latchstroke_plots::drawing::{
    BoreStep, Callout, DiameterDimension, LengthDimension, OutsideStep, PartView, Surface, TurnedPart,
};

/// Its view and the notes.
pub(super) fn draw(sleeve: &Sleeve, draft: Draft<'_>) -> (PartView, Vec<String>) {
    let measures = draft.measures;
    let (length, outside, bore) = (mm(sleeve.length), mm(sleeve.outside), mm(sleeve.bore));
    let overall = mm(sleeve.overall());
    let edge = mm(CHAMFER).min(0.125 * (outside - bore)).min(0.25 * length);
    let seat = measures.roughness().0;
    let mut view = PartView {
        part: TurnedPart {
            outside: vec![step(length, outside, (edge, 0.0))],
            bore: vec![BoreStep { length: overall, diameter: bore, thread: None, countersink: 0.0 }],
            sectioned: overall,
        },
        lengths: vec![LengthDimension {
            from: 0.0,
            to: length,
            label: measures.label("", sleeve.length, Some(sleeve.tolerance.half_width), false),
        }],
        diameters: vec![DiameterDimension {
            diameter: outside,
            label: measures.label("Ø ", sleeve.outside, None, draft.is_assumed("sleeve_outside")),
            datum: None,
        }],
        callouts: vec![Callout {
            at: (0.0, 0.5 * (0.5 * bore + 0.5 * outside)),
            text: format!("Spring end, for the abutment; {seat}; edge {}", draft.chamfer(edge)),
            frame: Some(draft.square()),
        }],
    };
    if let Some(register) = sleeve.register {
        with_register(&mut view, sleeve, &register, draft);
    } else {
        if let Some(body) = view.part.outside.first_mut() {
            body.chamfers.1 = edge;
        }
        view.callouts.push(Callout {
            at: (length, 0.5 * (0.5 * bore + 0.5 * outside)),
            text: format!("This end seats on the cross block; {seat}; edge as the other"),
            frame: Some(draft.square()),
        });
    }
    view.diameters.push(DiameterDimension {
        diameter: bore,
        label: measures.fit(
            sleeve.bore,
            ("H11", tolerance(Grade::Eleven, sleeve.bore), 0.0),
            draft.is_assumed("sleeve_bore"),
        ),
        datum: Some('A'),
    });
    view.callouts.push(Callout {
        at: (0.6 * length, 0.5 * bore),
        text: format!(
            "Bore, {seat}: slides freely on the rod, Ø\u{a0}{}",
            measures.drawn(draft.made.parts.rod_diameter)
        ),
        frame: None,
    });
    let mut notes = vec![format!(
        "{} An error in this length moves the lift at which the latch trips by as much.",
        basis_words("sleeve", &sleeve.tolerance, measures)
    )];
    if sleeve.register.is_some() {
        notes.push(
            "Turn the register to the recess in the cross block as it is found. Leave it off where the block is plain."
                .to_owned(),
        );
    }
    notes.push("A burr in the bore scores the rod.".to_owned());
    let keys = ["sleeve_outside", "sleeve_bore", "register_length", "register_diameter"];
    notes.extend(draft.closing_notes(&keys, sleeve.volume()));
    (view, notes)
}

/// Its register, with a groove at the root so that the shoulder keeps its whole face as a seat.
fn with_register(view: &mut PartView, sleeve: &Sleeve, register: &Register, draft: Draft<'_>) {
    let measures = draft.measures;
    let (length, long, diameter) = (mm(sleeve.length), mm(register.length), mm(register.diameter));
    let (wide, deep) = (mm(register.groove_width), mm(register.groove_depth));
    let edge = mm(CHAMFER).min(0.3 * long).min(0.125 * (diameter - mm(sleeve.bore)));
    let seat = measures.roughness().0;
    view.part.outside.push(step(wide, diameter - 2.0 * deep, (0.0, 0.0)));
    view.part.outside.push(step(long - wide, diameter, (0.0, edge)));
    let key = draft.is_assumed("register_length");
    view.lengths.push(LengthDimension {
        from: length,
        to: length + long,
        label: measures.label("", register.length, None, key),
    });
    view.lengths.push(LengthDimension {
        from: 0.0,
        to: length + long,
        label: measures.sum(&[(sleeve.length, true), (register.length, false)]),
    });
    view.diameters.push(DiameterDimension {
        diameter,
        label: measures.fit(
            register.diameter,
            ("h9", 0.0, tolerance(Grade::Nine, register.diameter)),
            draft.is_assumed("register_diameter"),
        ),
        datum: None,
    });
    view.callouts.push(Callout {
        at: (length, 0.25 * (mm(sleeve.outside) + diameter)),
        text: format!("Shoulder, seats on the cross block; {seat}"),
        frame: Some(draft.square()),
    });
    view.callouts.push(Callout {
        at: (length + 0.5 * (long + wide), 0.5 * diameter),
        text: format!(
            "Register; edge {}; at its root a groove {} wide, {} deep",
            draft.chamfer(edge),
            measures.drawn_roughly(register.groove_width),
            measures.zone(register.groove_depth)
        ),
        frame: Some(draft.coaxial()),
    });
}

fn step(length: f64, diameter: f64, chamfers: (f64, f64)) -> OutsideStep {
    OutsideStep { length, diameter, chamfers, surface: Surface::Plain }
}
