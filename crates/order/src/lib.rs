//! What goes to the saw and what is bought: saw list, packs, cost.

mod bound;
#[cfg(test)]
mod bound_tests;
mod count;
mod counter;
#[cfg(test)]
mod counter_tests;
mod filler;
mod lists;
mod mitre;
mod saw;
mod types;

pub use bound::{Bound, Edge, RunNeed, Width, area_bound, bound, least, needs};
pub use count::{fewest, order};
pub use counter::{CountError, Demand, Ends, fewest_boards};
pub use filler::FillerLine;
pub use lists::{ListError, csv, text};
pub use types::{HandLine, Leftover, MitreEntry, Notch, Order, PackLine, SawEntry, SawList, YieldBar};
