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
        Self::new(plan.rooms.iter().map(room_outline).collect())
    }

    /// Those that boards lie in, by the same numbers.
    pub(crate) fn boarded(plan: &Plan) -> Self {
        let outline = |room: &plan::Room| if room.is_boarded() { room_outline(room) } else { Vec::new() };
        Self::new(plan.rooms.iter().map(outline).collect())
    }

    fn new(outlines: Vec<Vec<Point>>) -> Self {
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
