//! How the floor goes in: continuous floor, and boards that slide instead of folding.

mod types;

pub use types::{Continuous, Fit, Slide};
