//! The machine itself, with the names of its parts.

use super::{Draft, Note, Told};

/// What one turn does, whatever the machine.
pub(crate) const HEADLINE: &str =
    "The cam lifts the cross block, the spring takes the rod along, the piston pumps";

/// The picture.
pub(super) fn draft<'a>(told: &Told<'a>) -> Draft<'a> {
    let mut drawn = told.schematic.clone();
    HEADLINE.clone_into(&mut drawn.headline);
    let source = drawn.source.clone();
    Draft {
        stem: "machine",
        picture: Box::new(drawn),
        headline: HEADLINE.to_owned(),
        source,
        note: note(told),
    }
}

fn note(told: &Told<'_>) -> Note {
    let judgement = &told.talk.judgement;
    let mut say = vec![
        "The cam lifts the cross block once a turn; the spring on top of it pushes the adjusting nut, and the rod takes the piston along by the pump lever.".to_owned(),
        "As long as the rod's shoulder bears on the cross block the piston goes as the cam goes: a slow machine has a slow stroke.".to_owned(),
    ];
    if let Some(throw) = judgement.set.throw {
        say.push(format!(
            "With the latch set the spring throws the rod under {}, and the piston reaches {}.",
            told.force(throw.latch_load),
            told.speed(judgement.set.peaks.piston_speed)
        ));
    }
    let stored = judgement.set.throw.map_or_else(String::new, |throw| {
        format!("; {} are stored in the turn", told.units.energy(throw.stored_energy))
    });
    Note {
        shows: "The machine to its own proportions, the lever train simplified and the mould enlarged, at an instant of the solved turn.".to_owned(),
        computed: "The parts stand where the solved turn has them at that instant; what the scenario does not state of their outside is drawn nominal.".to_owned(),
        say,
        questions: vec![(
            "How hard is the spring squeezed?".to_owned(),
            format!(
                "It holds {} at rest and {} at the most, closed by {} from rest{stored}.",
                told.force(judgement.set.preload),
                told.force(judgement.set.peaks.spring_force),
                told.units.lift(judgement.set.peaks.spring_closing),
            ),
        )],
    }
}
