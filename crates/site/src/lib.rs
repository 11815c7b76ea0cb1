//! The region to be boarded: rooms joined, fixtures cut out, every edge inset by its own gap and named.
//!
//! Everything here is in row coordinates: u runs along the rows, v across them, mm (see [`Frame`]).
//! This crate knows the plan and the direction of the rows, and of boards only how wide a border of them is.

mod build;
mod chips;
mod eased;
mod face;
mod frame;
mod gaps;
mod index;
mod joint;
#[cfg(test)]
mod joint_tests;
mod mitre;
mod named;
mod names;
mod outline;
mod region;
mod span;
mod survey;
#[cfg(test)]
mod tests;
mod whole;

pub use build::inset_by;
pub use eased::{Ease, NEARLY_ALONG, eased};
pub use frame::Frame;
pub use gaps::gap_range;
pub use region::{Edge, EdgeKind, Field, Region, Ring, RoomArea, Site, Source, Uv};
pub use span::{Place, Span, spans};
pub use survey::{Surveyor, survey};
