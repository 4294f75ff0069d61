//! Names of upright lines, in rows above a panel, each like a flag on its pole.

/// A name to be flown: the pole's x and the name's width, px.
#[derive(Debug, Clone, Copy)]
pub struct Flag {
    /// x of the pole, px.
    pub x: f64,
    /// Width of the name, px.
    pub width: f64,
}

/// Where a flag flies: row 0 is nearest the panel; `left` is the left edge of the name, px.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flown {
    /// Row, counted upwards.
    pub row: usize,
    /// Left edge of the name, px.
    pub left: f64,
}

/// Px between a pole and its name, and least px between two names in a row.
const GAP: f64 = 8.0;
/// What it costs if a name covers another's pole, in rows.
const CROSSING: f64 = 6.0;

/// Places flags between `left` and `right`, from the rightmost pole to the leftmost, so that no two names
/// overlap and, where it can be, no pole runs through a name. `taken` is a stretch of row 0 already
/// in use.
///
/// Returns nothing if more than `most` rows would be needed or a name is wider than the frame.
pub fn fly(
    flags: &[Flag],
    left: f64,
    right: f64,
    most: usize,
    taken: Option<(f64, f64)>,
) -> Option<Vec<Flown>> {
    let mut order: Vec<(usize, Flag)> = flags.iter().copied().enumerate().collect();
    order.sort_by(|(i, a), (j, b)| b.x.total_cmp(&a.x).then(i.cmp(j)));
    let mut done: Vec<(usize, Flag, Flown)> = Vec::new();
    for (turn, &(index, flag)) in order.iter().enumerate() {
        let coming = order.get(turn + 1..).unwrap_or_default();
        let sides = [flag.x + GAP, flag.x - GAP - flag.width];
        let mut best: Option<(f64, Flown)> = None;
        for (side, place) in sides.into_iter().enumerate() {
            if place < left || place + flag.width > right {
                continue;
            }
            for row in 0..most {
                let here = Flown { row, left: place };
                let Some(crossings) = crossings(&flag, &here, &done, taken) else { continue };
                let covered = |(_, pole): &&(usize, Flag)| place < pole.x && pole.x < place + flag.width;
                let risks = coming.iter().filter(covered).count();
                let cost =
                    row as f64 + CROSSING * (crossings as f64 + 0.5 * risks as f64) + 0.5 * side as f64;
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, here));
                }
            }
        }
        done.push((index, flag, best?.1));
    }
    done.sort_by_key(|(index, ..)| *index);
    Some(done.into_iter().map(|(.., flown)| flown).collect())
}

/// How many poles and names cross if the flag flies here; nothing if it would cover another name.
fn crossings(
    flag: &Flag,
    here: &Flown,
    done: &[(usize, Flag, Flown)],
    taken: Option<(f64, f64)>,
) -> Option<usize> {
    let span = (here.left - GAP, here.left + flag.width + GAP);
    let mut count = 0;
    if taken.is_some_and(|(from, to)| here.row == 0 && span.0 < to && from < span.1) {
        return None;
    }
    for (_, other, place) in done {
        let name = (place.left, place.left + other.width);
        if place.row == here.row && span.0 < name.1 && name.0 < span.1 {
            return None;
        }
        let covers = |(from, to): (f64, f64), x: f64| from < x && x < to;
        // A pole reaches the top of its own row.
        count += usize::from(place.row >= here.row && covers(span, other.x));
        count += usize::from(here.row >= place.row && covers((name.0 - GAP / 2.0, name.1 + GAP), flag.x));
    }
    Some(count)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flags(xs: &[f64], width: f64) -> Vec<Flag> {
        xs.iter().map(|&x| Flag { x, width }).collect()
    }

    fn rows(flown: Option<Vec<Flown>>) -> Vec<usize> {
        flown.unwrap_or_default().iter().map(|flown| flown.row).collect()
    }

    #[test]
    fn closed_form_flags_far_apart_share_the_lowest_row() {
        assert_eq!(rows(fly(&flags(&[0.0, 200.0, 400.0], 100.0), 0.0, 600.0, 4, None)), [0, 0, 0]);
    }

    #[test]
    fn closed_form_close_flags_climb_like_stairs() {
        assert_eq!(rows(fly(&flags(&[0.0, 20.0, 40.0], 100.0), -20.0, 600.0, 4, None)), [2, 1, 0]);
    }

    #[test]
    fn closed_form_a_flag_at_the_right_edge_turns_left() {
        let flown = fly(&flags(&[590.0], 100.0), 0.0, 600.0, 4, None);
        assert_eq!(flown, Some(vec![Flown { row: 0, left: 590.0 - GAP - 100.0 }]));
    }

    #[test]
    fn closed_form_what_cannot_fly_is_said() {
        assert_eq!(fly(&flags(&[10.0], 900.0), 0.0, 600.0, 4, None), None);
        assert_eq!(fly(&flags(&[300.0; 9], 250.0), 0.0, 600.0, 4, None), None);
    }
}
