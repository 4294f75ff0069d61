//! Whether springs go where they stand: into their gap, and one into the other.

use super::{PreloadStatement, Spring, SpringStatement, WireStatement};
use crate::abutment::AbutmentStatement;
use crate::fault::{Faults, Field, Order, Sentence, Word};
use crate::field;

impl Spring {
    /// Asks that a spring be longer free than at rest solid, and its gap longer than that.
    pub(super) fn goes_in(&self, stated: &SpringStatement, number: usize, faults: &mut Faults) {
        let (Some(free), Some(solid)) = (self.free_length, self.solid_length) else { return };
        let of_free = field!(SpringStatement, free_length).of(number);
        if solid >= free {
            self.never_squeezed((of_free, free, solid), stated, number, faults);
            return;
        }
        let gap = free - self.rest_squeeze;
        if gap > solid || gap.is_nan() {
            return;
        }
        match stated.preload {
            PreloadStatement::Gap => {
                let bare = field!(AbutmentStatement, bare_gap);
                let what = format!(
                    "at rest the stack leaves a gap of {{}} for spring {number}, which is {{}} long with its coils touching"
                );
                let right = "it takes a longer {} or {}, a shorter {}, or fewer turns of the adjusting nut";
                let names = [bare, field!(AbutmentStatement, extension), field!(AbutmentStatement, sleeve)];
                faults.add(
                    bare,
                    Sentence::of(what, [Word::Figure(bare, gap), Word::Figure(bare, solid)]),
                    Sentence::of(right, names.map(Word::Name)),
                );
            }
            PreloadStatement::Force(force) => {
                let field = field!(PreloadStatement::Force, 0).of(number);
                let what = format!(
                    "spring {number} would be squeezed to {{}} by {{}}, and is {{}} long with its coils touching"
                );
                let words =
                    [Word::Figure(of_free, gap), Word::Value(field, force.0), Word::Figure(of_free, solid)];
                faults.add(
                    field,
                    Sentence::of(what, words),
                    "measure its lengths, its rate and its preload again",
                );
            }
        }
    }

    /// A spring as long solid as free, m.
    fn never_squeezed(
        &self,
        (of_free, free, solid): (Field, f64, f64),
        stated: &SpringStatement,
        number: usize,
        faults: &mut Faults,
    ) {
        let Some(wire) = self.wire.filter(|_| stated.solid_length.is_none()) else {
            let own = (field!(SpringStatement, solid_length).of(number), solid);
            faults.ordered(own, Order::Below, (of_free, free), "a spring gets shorter as it is squeezed");
            return;
        };
        let is_counted = stated.wire.is_some_and(|wire| wire.total_coils.is_some());
        let dead = if is_counted { "" } else { " with the dead ones" };
        let coils = (100.0 * wire.total_coils).round() / 100.0;
        let what = format!(
            "spring {number} is {{}} long with its coils touching, {coils} coils of {{}} wire{dead}, and only {{}} long when free"
        );
        let field = field!(WireStatement, wire).of(number);
        let words =
            [Word::Figure(of_free, solid), Word::Value(field, wire.diameter), Word::Value(of_free, free)];
        faults.add(field, Sentence::of(what, words), "measure the wire and count the coils again");
    }
}

/// The springs of a nest in the order stated, whichever is the outermost: they stand one inside the other, as far as their coils are
/// known. `gap` is that of the stack-up at rest (m).
pub(crate) fn nest(stated: &[SpringStatement], gap: Option<f64>, faults: &mut Faults) -> Vec<Spring> {
    let springs = stated.iter().enumerate().map(|(n, spring)| Spring::prepare(spring, n + 1, gap, faults));
    let springs: Vec<Spring> = springs.collect();
    // Wire that makes a spring as long solid as free says nothing of its neighbours.
    let is_sound = |spring: &Spring| {
        spring.free_length.zip(spring.solid_length).is_none_or(|(free, solid)| solid < free)
    };
    let sized = springs.iter().zip(stated).enumerate().filter(|(_, (spring, _))| is_sound(spring));
    let mut sized: Vec<(Field, usize, f64, f64)> = sized
        .filter_map(|(n, (spring, stated))| {
            let (wire, (field, ..)) = (spring.wire?, stated.wire?.coil()?);
            Some((field.of(n + 1), n + 1, wire.mean_coil + wire.diameter, wire.mean_coil - wire.diameter))
        })
        .collect();
    sized.sort_by(|a, b| b.2.total_cmp(&a.2));
    for pair in sized.windows(2) {
        if let [(_, outer, _, room), (field, inner, outside, _)] = *pair
            && outside >= room
        {
            let what = format!(
                "spring {inner} does not go into spring {outer}: it is {{}} over its coils, and there is room for {{}}"
            );
            let words = [Word::Figure(field, outside), Word::Figure(field, room)];
            let right = "measure wire and coils of both again; springs stand one inside the other";
            faults.add(field, Sentence::of(what, words), right);
        }
    }
    springs
}
