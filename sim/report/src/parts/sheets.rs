//! The drawings of sleeve and extension.

use super::measures::Measures;
use super::{basis_words, extension_basis};
use crate::charts::close;
use crate::outbox::Outbox;
use crate::owner::OwnerUnits;
use latchstroke_core::studies::parts::{Extension, Parts, STEEL, Sleeve};
use latchstroke_plots::PlotError;
use latchstroke_plots::drawing::{
    BoreStep, Callout, DiameterDimension, Label, LengthDimension, OutsideStep, Sheet, Surface, TitleBlock,
    TurnedPart,
};
use latchstroke_scenario::key;
use latchstroke_scenario::stated::Title;
use latchstroke_scenario::{Dimension, Scenario};
use std::path::Path;

/// Chamfer on outside edges, mm.
const CHAMFER: f64 = 0.5;

/// The sheets, each with its file name without ending.
pub fn of_parts(scenario: &Scenario, parts: &Parts, units: &OwnerUnits) -> Vec<(&'static str, Sheet)> {
    let measures = Measures::of(units);
    let count = usize::from(parts.sleeve.is_some()) + usize::from(parts.extension.is_some());
    let mut sheets = Vec::new();
    if let Some(piece) = &parts.sleeve {
        sheets.push((
            "sleeve",
            sleeve(piece, parts, title(scenario, parts, ("Sleeve", (1, count)), measures), units),
        ));
    }
    if let Some(piece) = &parts.extension {
        sheets.push((
            "rod-extension",
            extension(
                piece,
                parts,
                title(scenario, parts, ("Rod extension", (count, count)), measures),
                units,
            ),
        ));
    }
    sheets
}

/// Draws the sheets as SVG and PDF into an outbox.
///
/// # Errors
/// When a sheet cannot be drawn.
pub fn draw(sheets: &[(&str, Sheet)], outbox: &mut Outbox) -> Result<(), PlotError> {
    for (name, sheet) in sheets {
        outbox.add(format!("{name}.svg"), sheet.svg()?);
        outbox.add(format!("{name}.pdf"), sheet.pdf()?);
    }
    Ok(())
}

fn title(
    scenario: &Scenario,
    parts: &Parts,
    (part, number): (&str, (usize, usize)),
    measures: Measures,
) -> TitleBlock {
    let name = scenario.machine_name();
    let machine =
        scenario.text(key!(Title, place)).map_or(name.to_owned(), |place| format!("{name}, {place}"));
    // The name of a file, without the way to it; what is no file has a name in words.
    let file = scenario.file_name();
    let path =
        Path::new(file).file_name().filter(|_| Path::new(file).extension().is_some_and(|end| end == "toml"));
    TitleBlock {
        part: part.to_owned(),
        machine,
        material: parts.material.clone(),
        finish: "turned; burrs off, edges broken".to_owned(),
        tolerances: measures.general(),
        dimensions: measures.words(),
        in_inches: measures.in_inches(),
        source: path.map_or(file.to_owned(), |path| path.to_string_lossy().into_owned()),
        number,
    }
}

fn mm(metres: f64) -> f64 {
    metres * 1e3
}

/// A note on what is marked, and one on the finished weight.
fn closing_notes(marked: bool, volume: f64, units: &OwnerUnits) -> Vec<String> {
    let mut notes = Vec::new();
    if marked {
        notes.push(
            "* Not stated by the owner: assumed by rule of thumb. Measure the machine before you cut metal."
                .to_owned(),
        );
    }
    notes
        .push(format!("Finished weight in steel {}.", close(&units.figure(Dimension::Mass, STEEL * volume))));
    notes
}

fn sleeve(sleeve: &Sleeve, parts: &Parts, title: TitleBlock, units: &OwnerUnits) -> Sheet {
    let measures = Measures::of(units);
    let assumed = |key: &str| parts.assumed.contains(&key);
    let (length, outside, bore) = (mm(sleeve.length), mm(sleeve.outside), mm(sleeve.bore));
    let chamfer = CHAMFER.min(0.125 * (outside - bore)).min(0.25 * length);
    let mut steps = vec![OutsideStep {
        length,
        diameter: outside,
        chamfers: (chamfer, chamfer),
        surface: Surface::Plain,
    }];
    let mut lengths = vec![LengthDimension {
        from: 0.0,
        to: length,
        label: measures.label("", sleeve.length, Some(sleeve.tolerance.half_width), false),
    }];
    let round = |key: &str, metres: f64| DiameterDimension {
        diameter: mm(metres),
        label: measures.label("Ø ", metres, None, assumed(key)),
    };
    let mut diameters = vec![round("sleeve_outside", sleeve.outside)];
    let mut callouts = vec![Callout {
        at: (0.0, 0.35 * outside),
        text: format!(
            "Spring end, for the abutment; chamfers {}\u{a0}×\u{a0}45°",
            measures.rough(1e-3 * chamfer)
        ),
    }];
    if let Some(register) = sleeve.register {
        let (long, diameter) = (mm(register.length), mm(register.diameter));
        let edge = CHAMFER.min(0.3 * long).min(0.125 * (diameter - bore));
        if let Some(body) = steps.first_mut() {
            // The shoulder keeps its whole face as a seat.
            body.chamfers.1 = 0.0;
        }
        steps.push(OutsideStep { length: long, diameter, chamfers: (0.0, edge), surface: Surface::Plain });
        lengths.push(LengthDimension {
            from: length,
            to: length + long,
            label: measures.label("", register.length, None, assumed("register_length")),
        });
        diameters.push(round("register_diameter", register.diameter));
        callouts.push(Callout {
            at: (length, 0.5 * outside),
            text: "Shoulder, seats on the cross block".to_owned(),
        });
        callouts.push(Callout {
            at: (length + 0.5 * long, 0.5 * diameter),
            text: "Register, to fit its recess".to_owned(),
        });
    } else {
        callouts.push(Callout {
            at: (length, 0.35 * outside),
            text: "This end seats on the cross block".to_owned(),
        });
    }
    diameters.push(round("sleeve_bore", sleeve.bore));
    let overall = mm(sleeve.overall());
    let mut notes = vec![
        format!(
            "{} An error in this length moves the lift at which the latch trips by as much.",
            basis_words("sleeve", &sleeve.tolerance, measures)
        ),
        format!(
            "Both faces square to the bore; bore to slide freely on the rod, Ø\u{a0}{}.",
            measures.inline(parts.rod_diameter)
        ),
    ];
    if sleeve.register.is_some() {
        notes.push(
            "Turn the register to the recess in the cross block. Leave it off where the block is plain."
                .to_owned(),
        );
    }
    notes.push("Burrs off, edges broken. A burr in the bore scores the rod.".to_owned());
    let marked =
        ["sleeve_outside", "sleeve_bore", "register_length", "register_diameter"].into_iter().any(assumed);
    notes.extend(closing_notes(marked, sleeve.volume(), units));
    let bore = vec![BoreStep { length: overall, diameter: bore, thread: None }];
    Sheet {
        part: TurnedPart { outside: steps, bore, sectioned: overall },
        lengths,
        diameters,
        callouts,
        notes,
        title,
    }
}

fn extension(piece: &Extension, parts: &Parts, title: TitleBlock, units: &OwnerUnits) -> Sheet {
    let measures = Measures::of(units);
    let assumed = |key: &str| parts.assumed.contains(&key);
    let star = |key: &str| if assumed(key) { " *" } else { "" };
    let thread = &piece.thread.thread;
    let (overall, body, socket) = (mm(piece.overall()), mm(piece.body()), mm(piece.socket()));
    let (outside, flats, flats_length) = (mm(piece.outside), mm(piece.flats), mm(piece.flats_length));
    let (major, core) = (mm(thread.major()), mm(thread.core_diameter()));
    let engagement = mm(piece.engagement);
    let edge = CHAMFER.min(0.125 * (outside - major));
    let step = |length: f64, diameter: f64, chamfers: (f64, f64), surface: Surface| OutsideStep {
        length,
        diameter,
        chamfers,
        surface,
    };
    let part = TurnedPart {
        outside: vec![
            step(body - flats_length, outside, (edge, 0.0), Surface::Plain),
            step(flats_length, outside, (0.0, 0.0), Surface::Flats(flats)),
            step(overall - body, major, (0.0, 0.5 * (major - core)), Surface::Thread(core)),
        ],
        bore: vec![
            BoreStep { length: engagement, diameter: mm(thread.nut_minor()), thread: Some(major) },
            BoreStep { length: mm(piece.relief), diameter: mm(piece.relief_diameter), thread: None },
        ],
        sectioned: (socket + 0.25 * outside).min(0.5 * (socket + overall)),
    };
    let span = |from: f64, to: f64, label| LengthDimension { from, to, label };
    let reference = measures.label("(", piece.overall(), None, false);
    let lengths = vec![
        span(0.0, socket, measures.label("", piece.socket(), None, assumed("engagement"))),
        span(body, overall, measures.label("", piece.thread_length, None, assumed("thread_length"))),
        span(body - flats_length, body, measures.label("", piece.flats_length, None, false)),
        span(socket, overall, measures.label("", piece.length, Some(piece.tolerance.half_width), false)),
        span(0.0, overall, Label { upper: reference.upper + ")", ..reference }),
    ];
    let diameters = vec![DiameterDimension {
        diameter: outside,
        label: measures.label("Ø ", piece.outside, None, assumed("extension_outside")),
    }];
    let name = piece.thread.name.replace(' ', "\u{a0}");
    let callouts = vec![
        Callout {
            at: (0.5 * engagement, 0.5 * mm(thread.nut_minor())),
            text: format!("{name}{}, thread {} deep", star("thread"), measures.inline(piece.engagement)),
        },
        Callout {
            at: (engagement + 0.5 * mm(piece.relief), 0.5 * mm(piece.relief_diameter)),
            text: format!(
                "Groove Ø\u{a0}{}, {} wide; flat bottom, seat of the rod’s end",
                measures.inline(piece.relief_diameter),
                measures.inline(piece.relief)
            ),
        },
        Callout {
            at: (body - 0.5 * flats_length, 0.5 * flats),
            text: format!(
                "2\u{a0}flats for a spanner, {} across{}",
                measures.inline(piece.flats),
                star("spanner_flats")
            ),
        },
        Callout {
            at: (0.5 * (body + overall), 0.5 * major),
            text: format!("{name}{} for the adjusting nut", star("thread")),
        },
    ];
    let mut notes = vec![
        format!("{} An error moves the adjusting nut, not the latch; the nut takes it up.", extension_basis(parts, piece, measures)),
        "Let the springs’ force off before you undo nuts. Put sleeve, abutment and springs on the rod first.".to_owned(),
        "Face the rod’s end square and screw the extension home until it seats. Secure with a removable thread-locking compound; mark across the joint.".to_owned(),
        "No toothed pliers on the rod where springs or bearings slide: use the flats, or soft jaws.".to_owned(),
        "Burrs off, edges broken, thread starts chamfered; thread and socket true to one axis.".to_owned(),
    ];
    let keys = ["thread", "thread_length", "engagement", "extension_outside", "spanner_flats"];
    notes.extend(closing_notes(keys.into_iter().any(assumed), piece.volume(), units));
    Sheet { part, lengths, diameters, callouts, notes, title }
}
