//! Whether springs can be wound as stated, and go one into the other.

use super::{Spring, SpringStatement, WireStatement};
use crate::fault::{Faults, Field, Order, Sentence, Word};
use crate::field;

impl Spring {
    /// Asks that a spring be longer free than solid. Whether it goes into its gap hangs on sleeve and nut, and is a limit.
    pub(super) fn gets_shorter(&self, stated: &SpringStatement, number: usize, faults: &mut Faults) {
        let (Some(free), Some(solid)) = (self.free_length, self.solid_length) else { return };
        if solid >= free {
            let of_free = field!(SpringStatement, free_length).of(number);
            self.never_squeezed((of_free, free, solid), stated, number, faults);
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
