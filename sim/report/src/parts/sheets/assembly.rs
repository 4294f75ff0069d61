//! Sleeve and extension in their places, at rest and with the rod held over the whole lift.

use super::{Draft, extension, mm};
use latchstroke_core::studies::parts::{Extension, Sleeve, nut_height};
use latchstroke_models::machine::Machine;
use latchstroke_plots::drawing::{
    BoreStep, Callout, Label, LengthDimension, OutsideStep, Piece, Pose, Shape, Surface, TurnedPart,
};

/// The poses and the notes; none where a piece is missing, or nothing says how far the rod reaches.
pub(super) fn draw(machine: &Machine, draft: Draft<'_>) -> Option<(Vec<Pose>, Vec<String>)> {
    let parts = draft.made.parts;
    let (sleeve, piece) = (parts.sleeve.as_ref()?, parts.extension.as_ref()?);
    let room = draft.made.clearance.room.filter(|room| *room > 0.0)?;
    let stack = Stack::of((sleeve, piece), machine, room, mm(parts.rod_diameter));
    let figure = |metres: f64| draft.measures.label("", metres, None, false).upper;
    let named = |metres: f64, lower: &str| Label { upper: figure(metres), lower: lower.to_owned() };
    let span = |from: f64, to: f64, label: Label| LengthDimension { from, to, label };
    let face = stack.face;
    let mut lengths = vec![
        span(0.0, mm(sleeve.length), named(sleeve.length, "sleeve")),
        span(face, stack.mouth, named(room, "free at rest")),
    ];
    if let Some(gap) = machine.abutment.gap {
        lengths.push(span(face, face + mm(gap), named(gap, "springs at rest")));
    }
    let lift = draft.made.clearance.lift;
    let left = room - lift;
    let mut poses = vec![Pose {
        caption: "At rest".to_owned(),
        pieces: stack.pieces(0.0),
        lengths,
        callouts: stack.callouts(),
    }];
    if left > 0.0 {
        poses.push(Pose {
            caption: format!(
                "The rod held over the whole lift, as by a frozen nozzle: {} left",
                figure(left)
            ),
            pieces: stack.pieces(mm(lift)),
            lengths: vec![
                span(0.0, mm(lift), named(lift, "lift")),
                span(face + mm(lift), stack.mouth, named(left, "left")),
            ],
            callouts: Vec::new(),
        });
    } else {
        let words = format!(
            "At rest. Over the whole lift of {} the abutment would strike a rod that is held.",
            figure(lift)
        );
        for pose in &mut poses {
            pose.caption.clone_from(&words);
        }
    }
    let notes = vec![
        "Lengths here are worked out from the owner’s measures, for reference. What is drawn in dashes and two dots is the machine’s own, as found; thicknesses of cross block and abutment are not known.".to_owned(),
        "Let the springs’ force off before you undo nuts; slacken them in turn, a little at a time. Put sleeve, abutment and springs on the rod, then screw the extension home.".to_owned(),
        "Before the first cast turn the machine by hand through a whole turn, latch set and aside, power off: nothing may strike but the shoulder, and the springs must not be solid. A figure worked out is no clearance measured.".to_owned(),
    ];
    Some((poses, notes))
}

/// Where everything stands at rest along the rod, mm from the face of the cross block.
struct Stack<'a> {
    sleeve: &'a Sleeve,
    piece: &'a Extension,
    rod: f64,
    /// The abutment's face, on which the springs stand.
    face: f64,
    /// The mouth of the extension's socket.
    mouth: f64,
    /// The face of the nut.
    nut: f64,
    /// The prongs of the latch, where they are known.
    prongs: Option<f64>,
    /// Mean diameter of the coils, wire and number of coils of the springs.
    springs: Vec<(f64, f64, u32)>,
}

/// Coils of a spring of which the wire is not known, for the eye.
const COILS: u32 = 8;

impl<'a> Stack<'a> {
    fn of((sleeve, piece): (&'a Sleeve, &'a Extension), machine: &Machine, room: f64, rod: f64) -> Self {
        // How thick the abutment is nobody states: some 0.4 of the rod, for the eye.
        let face = mm(sleeve.length) + 0.4 * rod;
        let mouth = face + mm(room);
        let far = mouth + mm(piece.overall());
        let clear = mm(piece.outside).max(mm(sleeve.outside));
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "coils are few")]
        let drawn =
            |(mean, wire, coils): (f64, f64, f64)| (mm(mean), mm(wire), coils.clamp(2.0, 40.0) as u32);
        let known = machine.springs.iter().filter_map(|spring| spring.wire);
        let mut springs: Vec<_> =
            known.map(|wire| drawn((wire.mean_coil, wire.diameter, wire.active_coils))).collect();
        if springs.is_empty() {
            springs.push((1.4 * clear, 0.15 * clear, COILS));
        }
        Self {
            sleeve,
            piece,
            rod,
            face,
            mouth,
            nut: machine.abutment.gap.map_or(far - mm(nut_height(&piece.thread)), |gap| face + mm(gap)),
            prongs: machine.latch.clearance.filter(|clear| *clear >= 0.0).map(|clear| face + mm(clear)),
            springs,
        }
    }

    /// Half the greatest width of the springs.
    fn spring_radius(&self) -> f64 {
        self.springs
            .iter()
            .map(|spring| 0.5 * (spring.0 + spring.1))
            .fold(0.5 * mm(self.sleeve.outside), f64::max)
    }

    fn block(&self) -> f64 {
        1.2 * self.rod
    }

    fn rim(&self) -> f64 {
        2.0 * self.spring_radius() + 0.2 * self.rod
    }

    /// The pieces with the cross block lifted by `lift` and the rod held.
    fn pieces(&self, lift: f64) -> Vec<Piece> {
        let piece = |at: f64, shape: Shape| Piece { at, shape };
        let seat = self.mouth + mm(self.piece.socket());
        let below = self.block() + 0.8 * self.rod;
        let nut = mm(nut_height(&self.piece.thread));
        let mut pieces = vec![
            piece(lift, Shape::Part(sleeve(self.sleeve))),
            piece(self.mouth, Shape::Part(in_place(self.piece))),
            piece(-below, Shape::Rod(below + seat, self.rod)),
            piece(lift - self.block(), Shape::Found(self.block(), 1.05 * self.rod, self.rim())),
            piece(
                lift + mm(self.sleeve.length),
                Shape::Found(self.face - mm(self.sleeve.length), 1.05 * self.rod, self.rim()),
            ),
            piece(self.nut, Shape::Found(nut, mm(self.piece.thread.thread.major()), 1.7 * self.rod)),
        ];
        let free = self.nut - self.face - lift;
        pieces.extend(
            self.springs
                .iter()
                .filter(|spring| free > 2.0 * spring.1)
                .map(|&(mean, wire, coils)| piece(self.face + lift, Shape::Spring(free, mean, wire, coils))),
        );
        pieces.extend(self.prongs.map(|at| {
            // At full lift the block has pushed them up as far as the abutment has gone.
            piece(
                at.max(self.face + lift),
                Shape::Found(0.4 * self.rod, self.rim() - 0.2 * self.rod, self.rim() + self.rod),
            )
        }));
        pieces
    }

    fn callouts(&self) -> Vec<Callout> {
        let name = |at: (f64, f64), text: &str| Callout { at, text: text.to_owned(), frame: None };
        let spring = self.spring_radius();
        let mut all = vec![
            name((-0.5 * self.block(), 0.5 * self.rim()), "cross block"),
            name((0.5 * mm(self.sleeve.length), 0.5 * mm(self.sleeve.outside)), "sleeve"),
            name((self.face - 0.2 * self.rod, 0.5 * self.rim()), "abutment"),
            name((self.mouth + 0.5 * mm(self.piece.body()), 0.5 * mm(self.piece.outside)), "rod extension"),
            name((0.5 * (self.face + self.nut), spring), "springs"),
            name((self.nut + 0.5 * mm(nut_height(&self.piece.thread)), 0.85 * self.rod), "adjusting nut"),
        ];
        all.extend(
            self.prongs.map(|at| name((at + 0.2 * self.rod, 0.5 * (self.rim() + self.rod)), "latch prongs")),
        );
        all
    }
}

/// The sleeve as it stands on the block: its register, which is its right end on its own sheet, is in the block's recess.
fn sleeve(sleeve: &Sleeve) -> TurnedPart {
    let step = |length: f64, diameter: f64| OutsideStep {
        length,
        diameter,
        chamfers: (0.0, 0.0),
        surface: Surface::Plain,
    };
    let (length, bore) = (mm(sleeve.length), mm(sleeve.bore));
    TurnedPart {
        outside: vec![step(length, mm(sleeve.outside))],
        bore: vec![BoreStep { length, diameter: bore, thread: None, countersink: 0.0 }],
        sectioned: length,
    }
}

/// The extension with the rod's thread in its socket: the rod's outline stands for both.
fn in_place(piece: &Extension) -> TurnedPart {
    let mut part = extension::part(piece);
    let socket = mm(piece.engagement);
    if let Some(first) = part.bore.first_mut() {
        *first = BoreStep {
            length: socket,
            diameter: mm(piece.thread.thread.major()),
            thread: None,
            countersink: 0.0,
        };
    }
    part
}
