//! Files kept safe: written whole or not at all, the previous version kept, changes by others noticed, and a journal
//! of unsaved work from which it is taken up after a crash.
//!
//! It knows bytes and paths, and nothing of plans.

mod journal;
mod stamp;
mod trouble;
mod whole;

pub use journal::{Entry, Journal, Orphan, orphans};
pub use stamp::Stamp;
pub use trouble::{Kind, Trouble};
pub use whole::{Saved, before, read_limited, save, write_whole};
