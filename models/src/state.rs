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

/// The size of each kind of number in a [`State`], so that a solver may hold all of them to one relative tolerance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scales {
    /// m.
    pub lift: f64,
    /// m, for the squeeze y_c − y of the lever train.
    pub squeeze: f64,
    /// m, for the depth x − y of the shoulder in the cross block.
    pub depth: f64,
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
    /// J/kg.
    pub heat: f64,
}

impl State {
    /// The state as plain numbers near one, in the order of the fields, with the cam at `cam_lift` (m).
    ///
    /// The squeeze y_c − y of the lever train and the depth x − y of the shoulder stand in the places of the two lifts. The
    /// forces come of these small differences; were the lifts solved for, a stiff train would make a force of their last digits.
    /// The map is linear, so that rates go through it with the cam's speed in place of its lift.
    pub fn scaled(&self, cam_lift: f64, by: &Scales) -> [f64; STATE_SIZE] {
        [
            (cam_lift - self.block_lift) / by.squeeze,
            self.block_speed / by.speed,
            (self.rod_lift - self.block_lift) / by.depth,
            self.rod_speed / by.speed,
            self.pressed / by.pressed,
            self.flow / by.flow,
            self.past_nozzle / by.volume,
            self.air_mass / by.air,
            self.heat_given / by.heat,
        ]
    }

    /// The state behind plain numbers made by [`State::scaled`] with the cam at the same lift (m).
    pub fn from_scaled(numbers: &[f64; STATE_SIZE], cam_lift: f64, by: &Scales) -> Self {
        let [squeeze, vy, depth, vx, s, q, v, m, w] = *numbers;
        let block_lift = cam_lift - squeeze * by.squeeze;
        Self {
            block_lift,
            block_speed: vy * by.speed,
            rod_lift: block_lift + depth * by.depth,
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
        [by.squeeze, by.speed, by.depth, by.speed, by.pressed, by.flow, by.volume, by.air, by.heat]
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
