//! What changes during a turn.

/// The state of the machine, or its rate of change in time.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct State {
    /// y: lift of the cross block, m.
    pub block_lift: f64,
    /// ẏ, m/s.
    pub block_speed: f64,
    /// x: lift of the spring rod, m.
    pub rod_lift: f64,
    /// ẋ, m/s.
    pub rod_speed: f64,
    /// σ: volume pressed into the well, m³; the well's pressure is β·σ/V_well until the metal parts.
    pub pressed: f64,
    /// Q: flow through the nozzle, m³/s.
    pub flow: f64,
    /// V_n: metal gone past the nozzle this turn, m³.
    pub past_nozzle: f64,
    /// m_a: air left in the mould, kg.
    pub air_mass: f64,
    /// w: heat that each kilogram of the metal in the mould has given up, J/kg: e = e_in − w, and H = ρ·V_f·e.
    ///
    /// w is carried instead of H because it stays well conditioned in the first moments of the fill and as the last metal runs
    /// back out, when both H and V_f are next to nothing.
    pub heat_given: f64,
}

/// How many numbers a [`State`] holds.
pub const STATE_SIZE: usize = 9;

/// Places of the numbers in a scaled state, as [`State::scaled`] orders them.
pub mod place {
    /// y_c − y: squeeze of the lever train.
    pub const SQUEEZE: usize = 0;
    /// ẏ.
    pub const VY: usize = 1;
    /// x − y: depth of the shoulder in the cross block.
    pub const DEPTH: usize = 2;
    /// ẋ.
    pub const VX: usize = 3;
    /// σ.
    pub const PRESSED: usize = 4;
    /// Q.
    pub const FLOW: usize = 5;
    /// V_n.
    pub const PAST: usize = 6;
    /// m_a.
    pub const AIR: usize = 7;
    /// w.
    pub const HEAT: usize = 8;
}

/// The size of each kind of number in a [`State`], so that a solver may hold all of them to one relative tolerance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scales {
    /// Of a lift, m.
    pub lift: f64,
    sizes: [f64; STATE_SIZE],
    inverses: [f64; STATE_SIZE],
}

impl Scales {
    /// Scales of a lift (m) and, in the order of [`State::scaled`], of each of its numbers (SI).
    pub fn new(lift: f64, sizes: [f64; STATE_SIZE]) -> Self {
        Self { lift, sizes, inverses: sizes.map(|size| 1.0 / size) }
    }

    /// The size, SI, of the number at a place.
    pub fn size(&self, place: usize) -> f64 {
        self.sizes[place]
    }

    /// How many times as large in scaled numbers as in SI the slope of the rate at place `of` by the number at place `by` is.
    pub(crate) fn of_slope(&self, of: usize, by: usize) -> f64 {
        self.sizes[by] * self.inverses[of]
    }
}

impl State {
    /// The state as plain numbers near one, in the order of the fields, with the cam at `cam_lift` (m).
    ///
    /// The squeeze y_c − y of the lever train and the depth x − y of the shoulder stand in the places of the two lifts. The
    /// forces come of these small differences; were the lifts solved for, a stiff train would make a force of their last digits.
    /// The map is linear, so that rates go through it with the cam's speed in place of its lift.
    #[inline]
    pub fn scaled(&self, cam_lift: f64, by: &Scales) -> [f64; STATE_SIZE] {
        let mut numbers = [
            cam_lift - self.block_lift,
            self.block_speed,
            self.rod_lift - self.block_lift,
            self.rod_speed,
            self.pressed,
            self.flow,
            self.past_nozzle,
            self.air_mass,
            self.heat_given,
        ];
        for (number, inverse) in numbers.iter_mut().zip(by.inverses) {
            *number *= inverse;
        }
        numbers
    }

    /// The state behind plain numbers made by [`State::scaled`] with the cam at the same lift (m).
    #[inline]
    pub fn from_scaled(numbers: &[f64; STATE_SIZE], cam_lift: f64, by: &Scales) -> Self {
        let mut numbers = *numbers;
        for (number, size) in numbers.iter_mut().zip(by.sizes) {
            *number *= size;
        }
        let [squeeze, block_speed, depth, rod_speed, pressed, flow, past_nozzle, air_mass, heat_given] =
            numbers;
        let block_lift = cam_lift - squeeze;
        Self {
            block_lift,
            block_speed,
            rod_lift: block_lift + depth,
            rod_speed,
            pressed,
            flow,
            past_nozzle,
            air_mass,
            heat_given,
        }
    }

    /// The name of the first number that is not finite.
    pub fn broken_part(&self) -> Option<&'static str> {
        [
            ("cross block", self.block_lift + self.block_speed),
            ("spring rod", self.rod_lift + self.rod_speed),
            ("well", self.pressed),
            ("nozzle", self.flow + self.past_nozzle),
            ("vents", self.air_mass),
            ("metal", self.heat_given),
        ]
        .into_iter()
        .find(|(_, number)| !number.is_finite())
        .map(|(name, _)| name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_number_that_is_none_is_named() {
        let parts = [
            "cross block",
            "cross block",
            "spring rod",
            "spring rod",
            "well",
            "nozzle",
            "nozzle",
            "vents",
            "metal",
        ];
        let sizes = [2.0, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0, 19.0, 23.0];
        let scales = Scales::new(1.0, sizes);
        assert_eq!(State::default().broken_part(), None);
        for (place, part) in parts.into_iter().enumerate() {
            assert_eq!(scales.size(place).to_bits(), sizes[place].to_bits());
            for broken in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                let mut numbers = [1.0; STATE_SIZE];
                numbers[place] = broken;
                let state = State::from_scaled(&numbers, 0.5, &scales);
                // The lift of the block is in that of the rod.
                assert_eq!(state.broken_part(), Some(part), "{place}");
            }
        }
    }
}
