//! How the floor goes in: continuous floor, boards that slide instead of folding, doorways, covers and tucks.

mod continuous;
mod cover;
#[cfg(test)]
mod doorway_tests;
mod doorways;
mod levels;
mod slides;
#[cfg(test)]
mod tests;
mod tucks;
mod types;
mod words;

pub use cover::{Cover, CoveredBy};
pub use doorways::{DoorwayFit, Stop};
pub use levels::{ApplianceRoom, ArrisCut, Covered, Finish, LeafRoom, SideFloor, Step};
pub use slides::fit;
pub use tucks::{Tuck, Under, Way};

pub use types::{Continuous, Fit, Slide};
pub use words::{CoverLine, Fact, cover_lines};
