//! Where a cam rises and where it falls, for saying so.

use super::measured::Curve;
use super::{Cam, Profile};
use std::f64::consts::TAU;

/// One rise or one fall of a cam, as angles of the main shaft, rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phase {
    /// Where it begins.
    pub from: f64,
    /// Where it ends; beyond one turn if it goes on past the turn's end.
    pub to: f64,
    /// Where the lift changes fastest.
    pub steepest: f64,
}

/// Share of the greatest lift that counts as none, since readings are not exact.
const NOTHING: f64 = 1e-3;

impl Cam {
    /// Its rise, up to where it first stands as high as it gets.
    pub fn rise(&self) -> Phase {
        match &self.profile {
            Profile::Law { rise_start, rise, .. } => even(*rise_start, *rise),
            Profile::Measured(curve) => {
                let (first, _) = top(curve);
                let from = (1..=curve.knots().len()).find(|&back| is_low(curve, first, -back.cast_signed()));
                self.phase(place(curve, first, -from.unwrap_or(1).cast_signed()), place(curve, first, 0))
            }
        }
    }

    /// Its fall, from where it last stands as high as it gets.
    pub fn fall(&self) -> Phase {
        match &self.profile {
            Profile::Law { fall_start, fall, .. } => even(*fall_start, *fall),
            Profile::Measured(curve) => {
                let (_, last) = top(curve);
                let to = (1..=curve.knots().len()).find(|&on| is_low(curve, last, on.cast_signed()));
                self.phase(place(curve, last, 0), place(curve, last, to.unwrap_or(1).cast_signed()))
            }
        }
    }

    /// The phase between two angles, its steepest place found by looking every half degree.
    fn phase(&self, from: f64, to: f64) -> Phase {
        let looks = (0..720_u32).map(|n| from + f64::from(n) * TAU / 720.0).take_while(|angle| *angle <= to);
        let slope = |angle: &f64| self.at(angle.rem_euclid(TAU)).slope.abs();
        let steepest = looks.max_by(|a, b| slope(a).total_cmp(&slope(b))).unwrap_or(from);
        // Told from the start of the turn, wherever that lies.
        let turns = TAU * (from / TAU).floor();
        Phase { from: from - turns, to: to - turns, steepest: steepest.rem_euclid(TAU) }
    }
}

/// A phase by a law, which is steepest in its middle.
fn even(from: f64, width: f64) -> Phase {
    Phase { from, to: from + width, steepest: from + 0.5 * width }
}

/// The first and the last reading, counted through the turn's end, of the stretch at the greatest lift.
fn top(curve: &Curve) -> (usize, usize) {
    let lifts = curve.readings();
    let (lowest, highest) = ends(lifts);
    let near = NOTHING * (highest - lowest);
    let high = |index: usize| lifts[index] >= highest - near;
    let first = (0..lifts.len()).find(|&index| high(index)).unwrap_or_default();
    let last = (0..lifts.len()).rev().find(|&index| high(index)).unwrap_or_default();
    (first, last)
}

fn ends(lifts: &[f64]) -> (f64, f64) {
    let least = lifts.iter().copied().fold(f64::INFINITY, f64::min);
    (least, lifts.iter().copied().fold(f64::NEG_INFINITY, f64::max))
}

/// Whether the reading `by` places from `index` stands at the lowest.
fn is_low(curve: &Curve, index: usize, by: isize) -> bool {
    let lifts = curve.readings();
    let (lowest, highest) = ends(lifts);
    let at = (index.cast_signed() + by).rem_euclid(lifts.len().cast_signed()).cast_unsigned();
    lifts[at] <= lowest + NOTHING * (highest - lowest)
}

/// The angle of the reading `by` places from `index`, counted on through the turn.
fn place(curve: &Curve, index: usize, by: isize) -> f64 {
    let knots = curve.knots();
    let (count, at) = (knots.len().cast_signed(), index.cast_signed() + by);
    #[allow(clippy::cast_precision_loss)] // one turn back or forth
    let turns = at.div_euclid(count) as f64;
    knots[at.rem_euclid(count).cast_unsigned()] + TAU * turns
}

#[cfg(test)]
mod tests {
    use crate::cam::{Cam, CamStatement};
    use crate::fault::Faults;
    use crate::units::{Angle, Length};

    #[test]
    fn a_table_tells_where_it_rises_and_falls() {
        let told = |cam: &Cam| {
            [cam.rise(), cam.fall()].map(|it| [it.from, it.to, it.steepest].map(|a| a.to_degrees().round()))
        };
        let plain = [
            (0.0, 0.0),
            (30.0, 0.0),
            (50.0, 5.0),
            (70.0, 25.0),
            (90.0, 30.0),
            (200.0, 30.0),
            (230.0, 15.0),
            (260.0, 0.0),
        ];
        let [rise, fall] = told(&measured(&plain));
        assert_eq!((rise[0], rise[1], rise[2]), (30.0, 90.0, 60.0));
        assert_eq!((fall[0], fall[1]), (200.0, 260.0));
        // The same cam, its fall running through the end of the turn.
        let late: Vec<(f64, f64)> = [
            (20.0, 0.0),
            (130.0, 0.0),
            (150.0, 5.0),
            (170.0, 25.0),
            (190.0, 30.0),
            (300.0, 30.0),
            (330.0, 6.0),
            (350.0, 1.0),
        ]
        .to_vec();
        let [rise, fall] = told(&measured(&late));
        assert_eq!((rise[0], rise[1]), (130.0, 190.0));
        assert_eq!((fall[0], fall[1]), (300.0, 380.0));
    }

    /// The cam through readings in degrees and millimetres.
    fn measured(pairs: &[(f64, f64)]) -> Cam {
        let read = pairs.iter().map(|(a, l)| (Angle(a.to_radians()), Length(l * 1e-3))).collect();
        let mut faults = Faults::default();
        let cam = Cam::prepare(&CamStatement::Measured(read), &mut faults);
        faults.settle(cam).expect("a cam")
    }

    /// Asks that a phase begin and end there (degrees), and that the cam be nowhere steeper in it than where it says, to the half degree.
    fn is_phase(cam: &Cam, phase: super::Phase, from: f64, to: f64) {
        let told = [phase.from, phase.to, phase.steepest].map(f64::to_degrees);
        assert!((told[0] - from).abs() < 1e-9 && (told[1] - to).abs() < 1e-9, "{told:?}");
        let slope = |degrees: f64| cam.at(degrees.rem_euclid(360.0).to_radians()).slope.abs();
        let steepest = (0..=3600_u32)
            .map(|n| from + f64::from(n) * (to - from) / 3600.0)
            .max_by(|a, b| slope(*a).total_cmp(&slope(*b)))
            .expect("a place");
        assert!((0.0..360.0).contains(&told[2]), "{told:?}");
        let off = (told[2] - steepest + 180.0).rem_euclid(360.0) - 180.0;
        assert!(off.abs() <= 0.5, "{told:?}, {steepest}");
    }

    #[test]
    fn a_rise_may_run_through_the_turns_start_and_a_thousandth_of_the_lift_is_none() {
        // Of a hundred millimetres; 0.09 of them at either end are none, 0.12 are some.
        let early = [
            (10.0, 25.0),
            (30.0, 70.0),
            (50.0, 99.91),
            (60.0, 100.0),
            (180.0, 100.0),
            (190.0, 99.91),
            (200.0, 99.88),
            (230.0, 50.0),
            (260.0, 20.0),
            (290.0, 0.12),
            (300.0, 0.09),
            (330.0, 0.0),
            (350.0, 5.0),
        ];
        let cam = measured(&early);
        is_phase(&cam, cam.rise(), 330.0, 410.0);
        is_phase(&cam, cam.fall(), 190.0, 300.0);
    }

    #[test]
    fn a_phase_is_looked_through_to_its_end() {
        // A long slow fall that is steepest at its end, and one that is steepest beyond the end of the turn.
        let slow = [
            (0.0, 0.0),
            (10.0, 4.0),
            (40.0, 30.0),
            (60.0, 30.0),
            (150.0, 28.0),
            (250.0, 25.0),
            (320.0, 20.0),
        ];
        let cam = measured(&[&slow[..], &[(345.0, 3.0), (355.0, 0.0)]].concat());
        is_phase(&cam, cam.fall(), 60.0, 355.0);
        let late = [
            (20.0, 0.0),
            (130.0, 0.0),
            (190.0, 30.0),
            (300.0, 30.0),
            (340.0, 22.0),
            (355.0, 16.0),
            (5.0, 4.0),
        ];
        let cam = measured(&[&late[6..], &late[..6]].concat());
        is_phase(&cam, cam.rise(), 130.0, 190.0);
        is_phase(&cam, cam.fall(), 300.0, 380.0);
    }
}
