//! The region to be boarded: rooms joined, fixtures cut out, every edge inset by its own gap and named.
//!
//! Everything here is in row coordinates: u runs along the rows, v across them, mm (see [`Frame`]).
//! This crate knows the plan and the direction of the rows, and nothing of boards.

mod build;
mod face;
mod frame;
mod index;
mod mitre;
mod names;
mod region;
mod survey;
#[cfg(test)]
mod tests;

pub use frame::Frame;
pub use region::{Edge, EdgeKind, Region, Ring, RoomArea, Site, Source, Uv};
pub use survey::{Surveyor, survey};
