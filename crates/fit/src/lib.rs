//! How the floor goes in: continuous floor, how it moves with the seasons, movement joints, doorways, covers, tucks,
//! and boards that slide instead of folding.

mod continuous;
mod cover;
#[cfg(test)]
mod cover_tests;
#[cfg(test)]
mod doorway_tests;
mod doorways;
mod joints;
mod levels;
mod marks;
mod moisture;
mod movement;
#[cfg(test)]
mod movement_tests;
mod proposals;
mod slides;
#[cfg(test)]
mod tests;
mod tucks;
mod types;
mod wood;
mod words;

pub use cover::{Cover, CoveredBy};
pub use doorways::{DoorwayFit, Stop};
pub use joints::{JointLaid, JointStretch};
pub use levels::{ApplianceRoom, ArrisCut, Covered, Finish, LeafRoom, SideFloor, Step};
pub use marks::{JointMark, joint_marks};
pub use moisture::{Moisture, equilibrium};
pub use movement::{
    EdgeMovement, EndGap, FILLER_TAKES, JointMovement, Movement, Stretch, greatest_opening,
    least_floating_gap,
};
pub use proposals::{Proposal, ProposedAt, proposals};
pub use slides::fit;
pub use tucks::{Tuck, Under, Way};
pub use types::{Continuous, Fit, Slide};
pub use wood::{Change, Coefficients, VALID, source};
pub use words::{CoverLine, Fact, cover_lines};
