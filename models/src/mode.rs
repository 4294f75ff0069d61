//! Which equations hold: the discrete half of the machine's state.

use crate::contact::Touch;

/// What holds the spring rod.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RodMode {
    /// The latch.
    Held,
    /// Nothing; the springs and the cross block move it.
    Free,
}

/// What the metal in the well can do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WellMode {
    /// The inlet port is open: the well stands at pot pressure and nothing flows.
    PortOpen,
    /// The piston presses on closed metal.
    Closed,
    /// The metal has parted: a void stands in the well at absolute zero pressure.
    Parted,
}

/// What the mould holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MouldMode {
    /// The metal has not reached it.
    Empty,
    /// All metal has run back out of it; the air in it is no longer that of the atmosphere.
    Emptied,
    /// Metal comes in, air goes out through the vents.
    Filling,
    /// Full: vents shut, the metal packs.
    Packed,
    /// The entry has frozen; nothing flows.
    Sealed,
}

/// Whether the ringing of rod and metal on a full or sealed mould is followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ringing {
    /// Followed, with the losses the machine has.
    Followed,
    /// Damped out ([`crate::ringing`]).
    Damped,
}

/// Which equations hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mode {
    /// What holds the rod.
    pub rod: RodMode,
    /// Follower on the cam; always closed with two-way closure.
    pub follower: Touch,
    /// The rod's shoulder on the cross block.
    pub shoulder: Touch,
    /// The well.
    pub well: WellMode,
    /// The mould.
    pub mould: MouldMode,
    /// The ringing.
    pub ringing: Ringing,
}
