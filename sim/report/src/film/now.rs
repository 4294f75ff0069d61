//! Where a turn stands at one time, between two instants of its trace.

use latchstroke_core::turn::Instant;

/// What is drawn of an instant, SI.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Now {
    /// Time, s.
    pub time: f64,
    /// Lift of the cross block, m.
    pub block_lift: f64,
    /// Its speed, m/s.
    pub block_speed: f64,
    /// Lift of the spring rod, m.
    pub rod_lift: f64,
    /// Travel of the piston, m.
    pub piston_travel: f64,
    /// Pressure in the well, Pa gauge.
    pub well_pressure: f64,
    /// Share of the mould that is filled.
    pub fill: f64,
    /// Share of the metal in it that is solid.
    pub solid: f64,
    /// Skin on its walls, m.
    pub skin: f64,
}

impl Now {
    /// A trace at a time (s): in proportion between two instants, the nearest beyond its ends, everything at rest in an empty
    /// one.
    pub fn of(trace: &[Instant], time: f64) -> Self {
        let after = trace.partition_point(|instant| instant.time <= time);
        let before = after.checked_sub(1).and_then(|n| trace.get(n));
        let (Some(a), Some(b)) = (before.or(trace.first()), trace.get(after).or(trace.last())) else {
            return Self { time, ..Self::default() };
        };
        let share = if b.time > a.time { (time - a.time) / (b.time - a.time) } else { 0.0 };
        let between = |value: fn(&Instant) -> f64| value(a) + share * (value(b) - value(a));
        Self {
            time,
            block_lift: between(|i| i.state.block_lift),
            block_speed: between(|i| i.state.block_speed),
            rod_lift: between(|i| i.state.rod_lift),
            piston_travel: between(|i| i.piston_travel),
            well_pressure: between(|i| i.well_pressure),
            fill: between(|i| i.fill),
            solid: between(|i| i.solid_fraction),
            skin: between(|i| i.skin),
        }
    }
}
