//! How much the edges are seen: what a millimetre of narrow rip there counts.

use plan::{Plan, Point, Sight};
use site::{Edge, EdgeKind, Frame, Site, Source, Uv};

/// Weights of open rooms, rooms seen in passing and closed ones, in hundredths. Ours, no source.
const WEIGHTS: [i64; 3] = [100, 50, 10];
/// How far past a doorway's throat its far room is looked for, and how far into the floor an edge's room, mm.
const STEP: f64 = 70.0;

fn weight(sight: Sight) -> i64 {
    match sight {
        Sight::Open => WEIGHTS[0],
        Sight::Passing => WEIGHTS[1],
        Sight::Closed => WEIGHTS[2],
    }
}

/// Where each room lies and how much it is seen.
pub(crate) struct Sights<'a> {
    plan: &'a Plan,
    frame: Frame,
    /// Whether every room is open, so that nothing need be looked up.
    all_open: bool,
    /// Least and greatest x and y of each room.
    boxes: Vec<[Point; 2]>,
    doorways: Vec<i64>,
}

impl<'a> Sights<'a> {
    pub(crate) fn new(plan: &'a Plan, site: &Site) -> Self {
        let all_open = plan.rooms.iter().all(|room| room.sight == Sight::Open);
        let mut sights = Self { plan, frame: site.frame, all_open, boxes: Vec::new(), doorways: Vec::new() };
        if !all_open {
            sights.boxes =
                plan.rooms.iter().map(|room| bounds(room.outline().into_iter().map(|(p, _)| p))).collect();
            sights.doorways = (0..plan.doorways.len()).map(|index| sights.doorway(index)).collect();
        }
        sights
    }

    /// The weight of an edge in hundredths, and whether it is in view.
    pub(crate) fn of(&self, edge: &Edge) -> (i64, bool) {
        let room = match edge.source {
            _ if self.all_open => WEIGHTS[0],
            Source::Wall { room, .. } => {
                self.plan.rooms.get(room).map_or(WEIGHTS[0], |room| weight(room.sight))
            }
            Source::Doorway(index) => self.doorways.get(index).copied().unwrap_or(WEIGHTS[0]),
            Source::Fixture(_) | Source::Joint(_) => self.at(before(edge, &self.frame)).unwrap_or(WEIGHTS[0]),
        };
        // A kick or a cabinet's front stands over the last board.
        let is_under = matches!(edge.kind, EdgeKind::Kick | EdgeKind::Cabinets);
        (if is_under { room / 2 } else { room }, room > WEIGHTS[2])
    }

    /// A doorway counts as the more visible of its rooms.
    fn doorway(&self, index: usize) -> i64 {
        let door = &self.plan.doorways[index];
        let near = self.plan.room_index(&door.room).map(|room| weight(self.plan.rooms[room].sight));
        let far = door.throat(self.plan).and_then(|[from, _, back, end]| {
            let (x, y) = ((end.x - from.x), (end.y - from.y));
            let deep = (x * x + y * y).sqrt();
            let by = STEP / deep.max(STEP);
            let middle = Point::new((back.x + end.x) / 2.0, (back.y + end.y) / 2.0);
            self.at(middle.moved(x * by, y * by))
        });
        near.max(far).unwrap_or(WEIGHTS[0])
    }

    /// The weight of the room at a point.
    fn at(&self, at: Point) -> Option<i64> {
        let holds =
            |[low, high]: &[Point; 2]| low.x <= at.x && at.x <= high.x && low.y <= at.y && at.y <= high.y;
        let mut near = self.plan.rooms.iter().zip(&self.boxes).filter(|(_, bounds)| holds(bounds));
        near.find(|(room, _)| room.contains(at)).map(|(room, _)| weight(room.sight))
    }
}

/// A point of the floor before the middle of an edge.
fn before(edge: &Edge, frame: &Frame) -> Point {
    let inwards = if edge.floor_is_above() { STEP } else { -STEP };
    frame.plan_from_row(Uv::new((edge.a.u + edge.b.u) / 2.0, (edge.a.v + edge.b.v) / 2.0 + inwards))
}

fn bounds(points: impl Iterator<Item = Point>) -> [Point; 2] {
    let start = [f64::INFINITY, f64::NEG_INFINITY].map(|x| Point::new(x, x));
    points.fold(start, |[low, high], p| {
        [Point::new(low.x.min(p.x), low.y.min(p.y)), Point::new(high.x.max(p.x), high.y.max(p.y))]
    })
}
