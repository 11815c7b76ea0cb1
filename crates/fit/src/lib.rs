//! How the floor goes in: continuous floor, the way in for each board, undercuts, slip tongues, the order of laying.

mod contact;
mod continuous;
mod fitting;
mod graph;
mod pockets;
mod sequence;
mod slip;
#[cfg(test)]
mod tests;
mod types;
mod undercut;
mod ways;
mod words;

pub use fitting::fit;
pub use sequence::{Sequence, Start, Step, sequence};

pub use types::{Continuous, Fit, Meets, Part, Slip, Tight, Undercut, Way, WayIn};
pub use words::{shaved_words, side_word};
