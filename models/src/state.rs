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
    /// W: heat the metal in the mould has given up, J.
    ///
    /// The metal's enthalpy is H = ρ·V_f·e_in − W. W is carried instead of H because W/(ρ·V_f) stays well conditioned in the
    /// first moments of the fill, when both H and V_f are next to nothing.
    pub heat_given: f64,
}

/// How many numbers a [`State`] holds.
pub const STATE_SIZE: usize = 9;

/// The size of each kind of number in a [`State`], so that a solver may hold all of them to one relative tolerance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scales {
    /// m.
    pub lift: f64,
    /// m/s.
    pub speed: f64,
    /// m³, for the volume pressed into the well.
    pub pressed: f64,
    /// m³/s.
    pub flow: f64,
    /// m³.
    pub volume: f64,
    /// kg.
    pub air: f64,
    /// J.
    pub heat: f64,
}

impl State {
    /// The state as plain numbers near one, in the order of the fields.
    pub fn scaled(&self, by: &Scales) -> [f64; STATE_SIZE] {
        [
            self.block_lift / by.lift,
            self.block_speed / by.speed,
            self.rod_lift / by.lift,
            self.rod_speed / by.speed,
            self.pressed / by.pressed,
            self.flow / by.flow,
            self.past_nozzle / by.volume,
            self.air_mass / by.air,
            self.heat_given / by.heat,
        ]
    }

    /// The state behind plain numbers made by [`State::scaled`].
    pub fn from_scaled(numbers: &[f64; STATE_SIZE], by: &Scales) -> Self {
        let [y, vy, x, vx, s, q, v, m, w] = *numbers;
        Self {
            block_lift: y * by.lift,
            block_speed: vy * by.speed,
            rod_lift: x * by.lift,
            rod_speed: vx * by.speed,
            pressed: s * by.pressed,
            flow: q * by.flow,
            past_nozzle: v * by.volume,
            air_mass: m * by.air,
            heat_given: w * by.heat,
        }
    }

    /// The size of each number, in the order of [`State::scaled`].
    pub fn sizes(by: &Scales) -> [f64; STATE_SIZE] {
        [by.lift, by.speed, by.lift, by.speed, by.pressed, by.flow, by.volume, by.air, by.heat]
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
