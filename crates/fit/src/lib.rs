//! How the floor goes in: continuous floor, and boards that slide instead of folding.

mod continuous;
mod slides;
#[cfg(test)]
mod tests;
mod types;

pub use slides::fit;

pub use types::{Continuous, Fit, Slide};
