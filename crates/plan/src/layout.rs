//! How the boards lie: the pattern, a border course, and lines of a region's own.

use crate::StartLine;
use serde::{Deserialize, Serialize};

/// How the boards lie within the field.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub enum Pattern {
    /// Straight rows, joints irregular.
    #[default]
    Irregular,
    /// Straight rows of one length, each half a length off the row before.
    Half,
    /// Straight rows of one length, each a third of a length off the row before.
    Third,
    /// Blocks with square ends at right angles to one another.
    Herringbone {
        /// Length of a block, mm.
        block: f64,
        /// Blocks side by side before the direction changes: 1 for single, 2 for double.
        abreast: u32,
    },
    /// Blocks with mitred ends that meet along straight lines.
    Chevron {
        /// Length of a block along its long edge, mm.
        block: f64,
        /// Angle between a block's long edge and the line square to the mitre line, degrees.
        mitre: f64,
    },
}

impl Pattern {
    /// Whether it is the pattern of a plan that names none.
    pub fn is_irregular(&self) -> bool {
        *self == Self::Irregular
    }

    /// Whether the boards lie in straight rows along one direction.
    pub fn is_rows(&self) -> bool {
        matches!(self, Self::Irregular | Self::Half | Self::Third)
    }
}

/// Boards laid along the edges of every region, round the field.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Border {
    /// Boards side by side.
    pub boards: u32,
    /// How they meet at corners.
    pub corners: Corners,
}

/// How border boards meet at a corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Corners {
    /// Cut on the line that halves the corner.
    Mitred,
    /// One runs to the wall, the other stops against it.
    Butted,
}

/// Start lines nearer than this are one line, mm: no two are snapped so.
pub const ONE_LINE: f64 = 0.05;

/// A start line of a region's own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnLine {
    /// A room of the region, by name.
    pub room: String,
    /// Where its line goes.
    pub line: StartLine,
}
