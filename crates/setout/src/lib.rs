//! Where the start line goes: every offset valued exactly, the chosen line, its rips and its pulls.
//!
//! The rip left at an edge is a sawtooth in the offset of the row lines, so the narrowest rip over
//! all edges is piecewise linear and its optimum is found from its breakpoints, not by sampling.

mod choose;
mod curve;
mod halls;
mod judge;
mod own;
mod play;
mod sight;
mod snap;
mod sweep;
#[cfg(test)]
mod tests;
mod tooth;
mod types;
mod value;

pub use choose::set_out;

pub use types::{Candidate, CurvePoint, EdgeRef, Profile, Pull, RegionChoice, Rip, SetOut, SnapLine};
pub use value::Value;
