//! The turn between the plan and the rows.

use crate::Uv;
use plan::Point;

/// The turn between plan coordinates and row coordinates about the plan's origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    cos: f64,
    sin: f64,
}

impl Frame {
    /// The frame of rows that run at `degrees` anticlockwise from the plan's x axis.
    pub fn new(degrees: f64) -> Self {
        // Quarter turns must be exact: an error of one part in 10^16 would give every wall along
        // the rows a taper.
        let (sin, cos) = match degrees {
            0.0 => (0.0, 1.0),
            90.0 => (1.0, 0.0),
            -90.0 => (-1.0, 0.0),
            _ => {
                let radians = degrees.to_radians();
                (libm::sin(radians), libm::cos(radians))
            }
        };
        Self { cos, sin }
    }

    /// A plan point in row coordinates.
    pub fn row_from_plan(&self, p: Point) -> Uv {
        Uv { u: p.x * self.cos + p.y * self.sin, v: p.y * self.cos - p.x * self.sin }
    }

    /// A point in row coordinates on the plan.
    pub fn plan_from_row(&self, p: Uv) -> Point {
        Point::new(p.u * self.cos - p.v * self.sin, p.u * self.sin + p.v * self.cos)
    }
}
