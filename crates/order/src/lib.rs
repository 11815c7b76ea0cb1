//! What goes to the saw and what is bought: saw list, packs, cost.

mod types;

pub use types::{Notch, Order, PackLine, SawEntry, SawList, YieldBar};
