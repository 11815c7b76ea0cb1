//! Where a frame's own time went, for the harness that measures it.

use std::time::Duration;

/// A clock that only goes on: the machine's, or that of one thread on the processor.
pub type Clock = fn() -> Duration;

/// Where the last frame's own time went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Spent {
    /// In the stages, as far as they run in the frame.
    pub floor: Duration,
    /// Laying the floor's drawing out and making shapes of it.
    pub picture: Duration,
}

/// Adds up what is spent in a frame; without a clock nothing is measured.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Meter {
    pub(crate) clock: Option<Clock>,
    pub(crate) spent: Spent,
}

impl Meter {
    /// The time now.
    pub(crate) fn now(&self) -> Duration {
        self.clock.map_or(Duration::ZERO, |clock| clock())
    }
}
