//! Where the start line goes: every offset valued exactly, the chosen line, its rips and its pulls.
//!
//! The rip left at an edge is a sawtooth in the offset of the row lines, so the narrowest rip over
//! all edges is piecewise linear and its optimum is found from its breakpoints, not by sampling.

mod advice;
mod chain;
mod choose;
mod control;
mod curve;
mod drift;
mod explain;
mod fence;
mod halls;
#[cfg(test)]
mod joint_tests;
mod joints;
mod judge;
mod leave;
mod one_row;
#[cfg(test)]
mod one_row_tests;
mod own;
mod pace;
mod play;
mod points;
mod relief;
mod robust;
mod sight;
mod snap;
mod speaker;
mod square;
mod stretch;
mod sweep;
#[cfg(test)]
mod tests;
mod tooth;
mod types;
mod value;
mod way;
mod width;

pub use advice::{Advice, advise};
pub use chain::{Chain, Measure, Step};
pub use choose::{set_out, with_line};
pub use control::{ControlLine, ControlPlace, FromLine, control_lines};
pub use drift::{Correction, Drift, DriftEdge, MOST_A_ROW, drift};
pub use explain::{Why, explain};
pub use fence::Fence;
pub use leave::{GapToLeave, gaps_to_leave};
pub use points::{PointMark, Points};
pub use robust::{Endangered, Robust, SafestLine, robust};
pub use speaker::format_error;
pub use square::{Square, square};
pub use width::{AtPitch, PitchRange, WidthEffect, width_effect};

pub use types::{Candidate, CurvePoint, EdgeRef, Profile, Pull, RegionChoice, Rip, SetOut, SnapLine, Tried};
pub use value::{UNDER_LEAST, Value, line_out};
