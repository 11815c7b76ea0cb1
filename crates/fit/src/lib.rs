//! How the floor goes in: continuous floor, how it moves with the seasons, movement joints, doorways, covers, tucks;
//! the way in for each board, undercuts, slip tongues, the order of laying.

mod astride;
mod backwards;
mod beginning;
mod beyond;
mod blocks;
mod contact;
mod continuous;
mod cover;
#[cfg(test)]
mod cover_tests;
#[cfg(test)]
mod doorway_tests;
mod doorways;
mod fitting;
mod graph;
mod joints;
mod levels;
mod marks;
mod moisture;
mod movement;
#[cfg(test)]
mod movement_tests;
mod overhang;
mod parts;
mod pockets;
mod proposals;
mod pulls;
mod sequence;
mod slip;
#[cfg(test)]
mod tests;
mod tucks;
mod types;
mod undercut;
mod way_words;
mod ways;
mod wood;
mod words;

pub use beginning::BeginningRip;
pub use beyond::{Beyond, WIDEST_JOINT};
pub use cover::{Cover, CoveredBy};
pub use doorways::{DoorwayFit, Stop};
pub use fitting::fit;
pub use joints::{JointLaid, JointStretch, joints};
pub use levels::{ApplianceRoom, ArrisCut, Covered, Finish, LeafRoom, SideFloor, Step};
pub use marks::{JambMark, JointMark, jamb_mark, joint_marks, marks_in_words};
pub use moisture::{Moisture, equilibrium};
pub use movement::{
    EdgeMovement, EndGap, FILLER_TAKES, GLUED_GAPS, JointMovement, Movement, PublishedGap, Stretch,
    greatest_opening, least_floating_gap,
};
pub use proposals::{Proposal, ProposedAt, first_proposal, proposals};
pub use pulls::{JointPull, first_end, hooks, joint_pull, joint_pulls};
pub use sequence::{LaidRun, Sequence, Start, sequence};
pub use tucks::{Tuck, Under, Way as TuckWay};
pub use types::{Astride, Continuous, Fit, Meets, Motion, Part, Slip, Tight, Undercut, WayIn};
pub use way_words::{shaved_words, side_word};
pub use wood::{ALONG_SOURCE, Change, Coefficients, VALID, source};
pub use words::{CoverLine, Fact, cover_lines};
