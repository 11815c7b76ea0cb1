//! Where a movement joint is marked on the floor: along a wall from one of its corners, or from the start line.

use crate::JointLaid;
use plan::{Plan, Point};
use site::{Site, Uv};

/// An end of a joint that lies before a wall is marked along it, mm: within a gap, a joint's width and rounding.
const BEFORE_WALL: f64 = 120.0;

/// Where the middle of a joint's end is marked: along a wall, from one of its corners.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointMark {
    /// Room.
    pub room: usize,
    /// Wall of the room along which it is measured.
    pub wall: usize,
    /// The corner it is measured from: that at which this wall of the room starts.
    pub corner: usize,
    /// The corner on the plan.
    pub from: Point,
    /// The joint's middle line at the wall's face.
    pub to: Point,
    /// Distance along the wall, mm.
    pub distance: f64,
}

/// Marks of a joint's two outer ends; fewer where an end meets no wall.
pub fn joint_marks(plan: &Plan, site: &Site, joint: &JointLaid) -> Vec<JointMark> {
    let (Some(first), Some(last)) = (joint.stretches.first(), joint.stretches.last()) else {
        return Vec::new();
    };
    let ends = [(first.from, first.to), (last.to, last.from)];
    ends.iter().filter_map(|(end, other)| mark(plan, site, *end, *other)).collect()
}

/// The mark of an end at which a joint that comes from `other` leaves the floor.
fn mark(plan: &Plan, site: &Site, end: Uv, other: Uv) -> Option<JointMark> {
    let [end, other] = [end, other].map(|p| site.frame.plan_from_row(p));
    let length = end.distance(other).max(f64::MIN_POSITIVE);
    let way = Point::new((end.x - other.x) / length, (end.y - other.y) / length);
    let mut nearest: Option<(f64, JointMark)> = None;
    for (room, r) in plan.rooms.iter().enumerate().filter(|(_, room)| room.is_boarded()) {
        for wall in 0..r.walls.len() {
            let (Some((a, b)), Some((along, away))) = (r.wall_line(wall), r.wall_axes(wall)) else {
                continue;
            };
            let towards = way.x * away.x + way.y * away.y;
            if towards <= 0.1 {
                continue;
            }
            // On along the joint to the wall's straight line.
            let off = ((a.x - end.x) * away.x + (a.y - end.y) * away.y) / towards;
            let at = end.moved(way.x * off, way.y * off);
            let s = (at.x - a.x) * along.x + (at.y - a.y) * along.y;
            let whole = a.distance(b);
            if off.abs() > BEFORE_WALL || !(0.0..=whole).contains(&s) {
                continue;
            }
            let (corner, from, distance) = match s <= whole / 2.0 {
                true => (wall, a, s),
                false => ((wall + 1) % r.walls.len(), b, whole - s),
            };
            let mark = JointMark { room, wall, corner, from, to: at, distance };
            if nearest.is_none_or(|(least, _)| off.abs() < least) {
                nearest = Some((off.abs(), mark));
            }
        }
    }
    nearest.map(|(_, mark)| mark)
}
