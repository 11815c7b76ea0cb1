//! Which room a point of the plan lies in.

use crate::geometry::{contains, room_outline};
use kurbo::Point;
use plan::{Bounds, Boxes, Plan};

/// The rooms' outlines, filed by where they lie.
#[derive(Debug)]
pub(crate) struct Rooms {
    outlines: Vec<Vec<Point>>,
    boxes: Boxes,
}

impl Rooms {
    /// The rooms of a plan.
    pub(crate) fn of(plan: &Plan) -> Self {
        let outlines: Vec<Vec<Point>> = plan.rooms.iter().map(room_outline).collect();
        let boxes = Boxes::new(outlines.iter().map(|outline| Bounds::of(outline.iter().map(|p| [p.x, p.y]))));
        Self { outlines, boxes }
    }

    /// The first room within whose faces a point lies.
    pub(crate) fn at(&self, p: Point) -> Option<usize> {
        let bounds = Bounds::of([[p.x, p.y]])?;
        let is_within = |room: &usize| self.outlines.get(*room).is_some_and(|outline| contains(outline, p));
        self.boxes.meeting(bounds).into_iter().filter(is_within).min()
    }
}
