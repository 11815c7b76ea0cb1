//! Walls between two rooms: how thick they are, and rooms that follow when that is typed.

use super::{PARALLEL, Problem, move_all, move_wall, problem, require_wall};
use crate::check::Place;
use crate::{Bounds, Boxes, Plan, Point, Room};
use std::collections::BTreeMap;

/// What lies farther behind a wall is not taken for the room beyond it, mm.
const THICKEST: f64 = 500.0;
/// Faces that stand side by side for less than this share no wall, mm.
const LEAST_SHARED: f64 = 100.0;

/// A wall of another room that stands behind one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Behind {
    /// The other room.
    pub room: usize,
    /// Its wall.
    pub wall: usize,
    /// From face to face in the middle of what they share, mm.
    pub thickness: f64,
    /// How long they stand back to back, mm.
    pub shared: f64,
}

/// How the room behind a wall follows when the wall is made thicker or thinner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Follows {
    /// It moves whole, with what stands in it: its measures stay.
    #[default]
    Room,
    /// Only its wall moves.
    Wall,
}

/// The walls of other rooms behind a wall, back to back with it, the longest shared first.
pub fn behind(plan: &Plan, room: usize, wall: usize) -> Vec<Behind> {
    let Some(face) = plan.rooms.get(room).and_then(|near| Face::of(near, wall)) else { return Vec::new() };
    let mut found = Vec::new();
    for (index, other) in plan.rooms.iter().enumerate().filter(|(index, _)| *index != room) {
        for facing in 0..other.walls.len() {
            let Some(other) = Face::of(other, facing) else { continue };
            if let Some((thickness, shared)) = face.back_to_back(&other) {
                found.push(Behind { room: index, wall: facing, thickness, shared });
            }
        }
    }
    found.sort_by(|one, other| other.shared.total_cmp(&one.shared).then(one.room.cmp(&other.room)));
    found
}

/// A wall's face, straight from corner to corner.
#[derive(Debug, Clone, Copy)]
struct Face {
    a: Point,
    b: Point,
    along: Point,
    away: Point,
}

impl Face {
    fn of(room: &Room, wall: usize) -> Option<Self> {
        let ((a, b), (along, away)) = room.wall_line(wall).zip(room.wall_axes(wall))?;
        Some(Self { a, b, along, away })
    }

    /// How thick the wall between this face and one behind it is, in the middle of what they share, and how long that is, mm;
    /// `None` where they do not stand back to back.
    fn back_to_back(&self, other: &Self) -> Option<(f64, f64)> {
        let (along, away, back) = (self.along, self.away, other.away);
        let length = self.a.distance(self.b);
        let own = |p: Point| {
            let (x, y) = (p.x - self.a.x, p.y - self.a.y);
            (x * along.x + y * along.y, x * away.x + y * away.y)
        };
        let is_facing =
            away.x * back.x + away.y * back.y < 0.0 && (away.x * back.y - away.y * back.x).abs() < PARALLEL;
        let ((from, near_off), (to, far_off)) = (own(other.a), own(other.b));
        let (low, high) = (from.min(to).max(0.0), from.max(to).min(length));
        if !is_facing || high - low < LEAST_SHARED || (to - from).abs() < 1e-9 {
            return None;
        }
        let middle = f64::midpoint(low, high);
        let thickness = near_off + (far_off - near_off) * (middle - from) / (to - from);
        (0.5..=THICKEST).contains(&thickness).then_some((thickness, high - low))
    }
}

/// How thick each wall of each room is, mm, where the plan tells it: by a doorway in it, or by rooms behind it, the farthest of
/// several. `None` where it tells nothing.
pub fn known_thicknesses(plan: &Plan) -> Vec<Vec<Option<f64>>> {
    let mut known: Vec<Vec<Option<f64>>> =
        plan.rooms.iter().map(|room| vec![None; room.walls.len()]).collect();
    let mut note = |room: usize, wall: usize, thickness: f64| {
        if let Some(at) = known.get_mut(room).and_then(|room| room.get_mut(wall)) {
            *at = Some(at.map_or(thickness, |known| known.max(thickness)));
        }
    };
    let mut by_name: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, room) in plan.rooms.iter().enumerate() {
        by_name.entry(&room.name).or_insert(index);
    }
    for doorway in &plan.doorways {
        let is_told = doorway.wall_thickness > 0.0 && doorway.wall_thickness <= THICKEST;
        if let Some(room) = by_name.get(doorway.room.as_str()).copied().filter(|_| is_told) {
            note(room, doorway.wall, doorway.wall_thickness);
        }
    }
    let faces: Vec<(usize, usize, Face)> = plan
        .rooms
        .iter()
        .enumerate()
        .flat_map(|(index, room)| {
            (0..room.walls.len()).filter_map(move |wall| Some((index, wall, Face::of(room, wall)?)))
        })
        .collect();
    let bounds = |face: &Face| Bounds::of([[face.a.x, face.a.y], [face.b.x, face.b.y]]);
    let index = Boxes::new(faces.iter().map(|(.., face)| bounds(face)));
    for (room, wall, face) in &faces {
        let Some(near) = bounds(face) else { continue };
        index.each(near.grown(THICKEST), |other| {
            let (behind, _, facing) = &faces[other];
            if behind != room
                && let Some((thickness, _)) = face.back_to_back(facing)
            {
                note(*room, *wall, thickness);
            }
        });
    }
    known
}

/// Makes the wall between a room's wall and one behind it `thickness` mm thick. This room stays; the one behind it follows, and
/// so do the doorways through that wall.
///
/// # Errors
/// When no such wall stands behind it, the thickness is out of range, or what is to follow is pinned down or cannot.
pub fn set_thickness(
    plan: &mut Plan,
    room: usize,
    wall: usize,
    other: Behind,
    thickness: f64,
    follows: Follows,
) -> Result<(), Problem> {
    require_wall(plan, room, wall)?;
    let Some(now) =
        behind(plan, room, wall).into_iter().find(|b| (b.room, b.wall) == (other.room, other.wall))
    else {
        let mend = "choose a wall with a room behind it";
        return Err(problem(plan, Place::Wall(room, wall), "that wall does not stand behind it", mend));
    };
    if !(1.0..=THICKEST).contains(&thickness) {
        let mend = "type millimetres from 1 to 500";
        return Err(problem(plan, Place::Wall(room, wall), "that is no thickness of a wall", mend));
    }
    let more = thickness - now.thickness;
    let (this, that) = (&plan.rooms[room].name, &plan.rooms[now.room].name);
    let through: Vec<usize> = (0..plan.doorways.len())
        .filter(|door| {
            let door = &plan.doorways[*door];
            let is_of = |name: &String, wall: usize| door.room == *name && door.wall == wall;
            (is_of(this, wall) && door.far_room(plan) == Some(now.room))
                || (is_of(that, now.wall) && door.far_room(plan) == Some(room))
        })
        .collect();
    let mut next = plan.clone();
    match follows {
        Follows::Wall => move_wall(&mut next, now.room, now.wall, -more)?,
        Follows::Room => {
            let away = plan.rooms[room].wall_axes(wall).map_or(Point::default(), |(_, away)| away);
            move_all(&mut next, &[Place::Room(now.room)], Point::new(away.x * more, away.y * more))?;
        }
    }
    for door in through {
        let door = &mut next.doorways[door];
        door.wall_thickness = ((door.wall_thickness + more).max(0.0) * 1e6).round() / 1e6;
    }
    *plan = next;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the drawing: 120 from the hall to the study, 300 to the store, and nothing behind the others; a doorway tells of
    /// its own wall.
    #[test]
    fn walls_are_as_thick_as_the_plan_knows() {
        let mut plan = Plan::new("Three");
        let mut room = |x: f64, y: f64, w: f64, h: f64| {
            let corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from);
            crate::edit::add_room(&mut plan, &corners).unwrap()
        };
        room(0.0, 0.0, 4000.0, 3000.0);
        room(4120.0, 0.0, 2000.0, 3000.0);
        room(0.0, 3300.0, 4000.0, 1000.0);
        assert_eq!(
            known_thicknesses(&plan),
            [
                vec![None, Some(120.0), Some(300.0), None],
                vec![None, None, None, Some(120.0)],
                vec![Some(300.0), None, None, None],
            ]
        );
        crate::edit::add_doorway(&mut plan, 0, 0, 2000.0).unwrap();
        plan.doorways[0].wall_thickness = 240.0;
        assert_eq!(known_thicknesses(&plan)[0][0], Some(240.0));
    }
    use crate::check::tests::two_rooms;

    #[test]
    fn the_room_behind_follows_with_its_doorway() {
        let mut plan = two_rooms();
        let found = behind(&plan, 0, 1);
        assert_eq!(found, [Behind { room: 1, wall: 3, thickness: 100.0, shared: 3000.0 }]);
        assert_eq!(behind(&plan, 0, 0), []);
        set_thickness(&mut plan, 0, 1, found[0], 142.0, Follows::Room).unwrap();
        assert_eq!(plan.rooms[1].walls[0].corner, Point::new(4142.0, 0.0));
        assert_eq!(plan.rooms[1].walls[1].corner, Point::new(7642.0, 0.0), "its measures stay");
        assert_eq!(plan.doorways[0].wall_thickness, 142.0);
        assert_eq!(plan.problems(), []);
        let found = behind(&plan, 1, 3)[0];
        set_thickness(&mut plan, 1, 3, found, 110.0, Follows::Wall).unwrap();
        assert_eq!(plan.rooms[0].walls[1].corner, Point::new(4032.0, 0.0), "the other room's wall alone");
        assert_eq!(plan.rooms[0].walls[0].corner, Point::new(0.0, 0.0));
        assert_eq!(plan.doorways[0].wall_thickness, 110.0);
        assert_eq!(plan.problems(), []);
    }

    #[test]
    fn what_cannot_follow_is_said() {
        let mut plan = two_rooms();
        let found = behind(&plan, 0, 1)[0];
        let before = plan.clone();
        assert!(set_thickness(&mut plan, 0, 1, found, 900.0, Follows::Room).is_err());
        assert!(set_thickness(&mut plan, 0, 0, found, 90.0, Follows::Room).is_err());
        super::super::pin(&mut plan, &[Place::Room(1)], true).unwrap();
        let refused = set_thickness(&mut plan, 0, 1, found, 90.0, Follows::Wall).unwrap_err();
        assert_eq!((refused.place_name.as_str(), refused.what.as_str()), ("Right", "it is pinned down"));
        plan.pinned.clear();
        assert_eq!(plan, before);
    }
}
