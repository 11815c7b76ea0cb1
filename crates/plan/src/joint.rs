//! Movement joints: straight openings in the floor.

use crate::Point;
use serde::{Deserialize, Serialize};

/// A movement joint as drawn: a straight line with a visible width, its middle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MovementJoint {
    /// Name; by number where it has none.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// One end of its middle line.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Visible width, mm.
    pub width: f64,
}

/// Width of a new joint, mm; common practice, no source.
pub const JOINT_WIDTH: f64 = 10.0;

impl MovementJoint {
    /// A joint without a name, of the usual width.
    pub fn new(from: Point, to: Point) -> Self {
        Self { name: String::new(), from, to, width: JOINT_WIDTH }
    }

    /// What a person calls it; `index` is its place in the plan's list.
    pub fn called(&self, index: usize) -> String {
        match self.name.trim() {
            "" => format!("movement joint {}", index + 1),
            name => name.to_owned(),
        }
    }

    /// Length as drawn, mm.
    pub fn length(&self) -> f64 {
        self.from.distance(self.to)
    }
}
