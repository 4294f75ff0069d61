//! Long work, and whoever waits for it.

/// Someone who follows long work and may call it off.
pub trait Watch: Sync {
    /// So many more of the turns asked for are done.
    fn advance(&self, turns: u64);

    /// Whether the work is to stop as soon as may be.
    fn called_off(&self) -> bool;
}

/// Nobody waits; the work runs to its end.
#[derive(Debug, Clone, Copy)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn advance(&self, _turns: u64) {}

    fn called_off(&self) -> bool {
        false
    }
}
