//! Where a movement joint is marked on the floor: along a wall from one of its corners, or from the start line.

use crate::JointLaid;
use plan::{Plan, Point};
use site::{Site, Uv};

/// An end of a joint that lies before a wall is marked along it, mm: within a gap, a joint's width and rounding.
const BEFORE_WALL: f64 = 120.0;

/// What is past a wall's corner by no more than this is at the corner, mm: nobody marks it finer.
const ROUNDING: f64 = 0.5;

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

impl JointMark {
    /// Whether it is the corner itself: there is nothing to measure.
    pub fn is_at_corner(&self) -> bool {
        self.distance < ROUNDING
    }
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
            // In line with the next wall it meets this one at its corner, to rounding.
            let at_corner = s.clamp(0.0, whole);
            let s = if (s - at_corner).abs() < ROUNDING { at_corner } else { s };
            let within = BEFORE_WALL.max(opening(plan, room, wall, s));
            if off > BEFORE_WALL || off < -within || !(0.0..=whole).contains(&s) {
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

/// How deep an opening is at a place along a wall, mm: boards, and a joint between them, go into it as far as they stop there.
fn opening(plan: &Plan, room: usize, wall: usize, s: f64) -> f64 {
    let is_here = |door: &&plan::Doorway| {
        door.wall == wall
            && (door.at..=door.at + door.width).contains(&s)
            && plan.room_index(&door.room) == Some(room)
    };
    plan.doorways.iter().filter(is_here).map(|door| door.wall_thickness).fold(0.0, f64::max)
}

/// Where a joint that runs from jamb to jamb lies in its doorway.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JambMark {
    /// The doorway.
    pub doorway: usize,
    /// How far the joint's middle lies in from the near wall's face at its first jamb and at its second, mm.
    pub from_near: [f64; 2],
}

/// The mark of a joint inside a doorway; `None` for one that does not run from jamb to jamb.
pub fn jamb_mark(plan: &Plan, site: &Site, joint: &JointLaid) -> Option<JambMark> {
    let ends = [joint.stretches.first()?.from, joint.stretches.last()?.to];
    let ends = ends.map(|p| site.frame.plan_from_row(p));
    plan.doorways.iter().enumerate().find_map(|(doorway, door)| {
        let [from, ..] = door.throat(plan)?;
        let (along, away) = plan.rooms[plan.room_index(&door.room)?].wall_axes(door.wall)?;
        let part = |p: Point, way: Point| (p.x - from.x) * way.x + (p.y - from.y) * way.y;
        let mut at = ends.map(|p| (part(p, along), part(p, away)));
        at.sort_by(|a, b| a.0.total_cmp(&b.0));
        let meets = at[0].0.abs() <= BEFORE_WALL && (at[1].0 - door.width).abs() <= BEFORE_WALL;
        let is_inside = at.iter().all(|(_, into)| (0.0..=door.wall_thickness).contains(into));
        (meets && is_inside).then(|| JambMark { doorway, from_near: at.map(|(_, into)| into) })
    })
}

/// How a joint is found with a tape, in words: from the corners along the walls that its ends meet, or from a wall's face
/// along the jambs; empty where it meets neither.
pub fn marks_in_words(
    plan: &Plan,
    site: &Site,
    joint: &JointLaid,
    length: impl Fn(f64) -> String,
) -> Vec<String> {
    let name = |room: usize| plan.rooms.get(room).map_or("", |room| room.name.as_str());
    let jambs = jamb_mark(plan, site, joint).and_then(|mark| {
        let door = plan.doorways.get(mark.doorway)?;
        let [first, second] = mark.from_near.map(&length);
        let how_far = match first == second {
            true => first,
            false => format!("{first} at the first jamb and {second} at the second"),
        };
        let face = format!("{}, wall {}", door.room, door.wall + 1);
        Some(format!("its middle {how_far} into {} from the face of {face}", door.name))
    });
    if let Some(jambs) = jambs {
        return vec![jambs];
    }
    let marks = joint_marks(plan, site, joint);
    let words = marks.iter().map(|mark| {
        let (distance, corner, wall) = (length(mark.distance), mark.corner + 1, mark.wall + 1);
        match mark.is_at_corner() {
            true => format!("its middle at {}, corner {corner}", name(mark.room)),
            false => {
                format!("its middle {distance} from {}, corner {corner}, along wall {wall}", name(mark.room))
            }
        }
    });
    words.collect()
}
