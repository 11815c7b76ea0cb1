//! What is gone through before a pack is opened: each point of the slab's list with its state, what was found, what
//! it is held to and what is missing.
//!
//! Published limits are quoted at second hand and some were written for other floors; local code and the makers'
//! sheets come first, and their limits can be typed over these.

mod cautions;
mod drying;
mod flags;
mod points;
#[cfg(test)]
mod tests;

pub use cautions::CAUTIONS;
pub use drying::{days_to_dry, dryness_limit, readings_needed};
pub(crate) use flags::slab_flags;
pub use points::slab_list;

use plan::{Signed, SlabPoint};

/// How a point stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PointState {
    /// Something is missing.
    Open,
    /// Seen to; a reading is within its limit.
    Within,
    /// A reading is over its limit.
    Over,
    /// Does not apply.
    NotApplicable,
}

/// One point of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct SlabItem {
    /// The point.
    pub point: SlabPoint,
    /// How it stands.
    pub state: PointState,
    /// What was found, in words; empty while nothing was.
    pub found: String,
    /// What it is held to and where that is from; empty where there is no figure.
    pub limit: String,
    /// What is missing, or why it does not apply; empty where nothing is.
    pub missing: String,
    /// Who signed it and when.
    pub signed: Option<Signed>,
}

impl SlabItem {
    /// The state in words: a point without a figure is done, not within a limit.
    pub fn state_word(&self) -> &'static str {
        match self.state {
            PointState::Open => "open",
            // The rule of thumb for drying is no limit.
            PointState::Within if self.limit.is_empty() || self.point == SlabPoint::Age => "done",
            PointState::Within => "within limit",
            PointState::Over => "over limit",
            PointState::NotApplicable => "not applicable",
        }
    }
}
