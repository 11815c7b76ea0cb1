//! What goes to the saw and what is bought: saw list, packs, cost.

mod count;
mod lists;
mod saw;
mod types;

pub use count::order;
pub use lists::{ListError, csv, text};
pub use types::{Notch, Order, PackLine, SawEntry, SawList, YieldBar};
