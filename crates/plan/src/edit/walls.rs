//! Walls split in two and corners taken out.

use super::{problem, require_wall, settle};
use crate::check::{Place, Problem};
use crate::{Bow, Plan, Point, Wall, shape};

/// Offsets nearer than this to a corner say nothing that the corner does not, mm.
const BESIDE_CORNER: f64 = 1.0;
/// A corner farther than this off the line of the new wall is no bow of it, mm.
const GREATEST_BOW: f64 = 50.0;

/// Splits a wall `along` mm from its corner by a new corner at the wall's face, bowed or not. Both parts keep
/// what the wall had; its doorways stay where they stand.
///
/// # Errors
/// When there is no such wall, `along` is not on it, or a doorway stands there.
pub fn split_wall(plan: &mut Plan, room: usize, wall: usize, along: f64) -> Result<(), Problem> {
    require_wall(plan, room, wall)?;
    let length = plan.rooms[room].wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
    if !(BESIDE_CORNER..=length - BESIDE_CORNER).contains(&along) {
        return Err(problem(
            plan,
            Place::Wall(room, wall),
            "that is not on the wall",
            "choose a point between its corners",
        ));
    }
    let mut next = plan.clone();
    let name = next.rooms[room].name.clone();
    for (i, doorway) in next.doorways.iter_mut().enumerate().filter(|(_, doorway)| doorway.room == name) {
        if doorway.wall > wall {
            doorway.wall += 1;
        } else if doorway.wall == wall && doorway.at >= along {
            doorway.wall += 1;
            doorway.at -= along;
        } else if doorway.wall == wall && doorway.at + doorway.width > along {
            return Err(problem(
                plan,
                Place::Doorway(i),
                "it stands where the wall would be split",
                "move it first",
            ));
        }
    }
    let whole = next.rooms[room].walls[wall].clone();
    let offsets = faces(plan, room, wall);
    let corner = face_at(&offsets, plan, room, wall, along);
    next.rooms[room].tape_after_insert(wall + 1);
    next.dimensions_after_insert(&name, wall + 1, along);
    next.rooms[room].walls.insert(wall + 1, Wall { corner, bow: Vec::new(), ..whole });
    for part in [wall, wall + 1] {
        next.rooms[room].walls[part].bow = bows(&next, room, part, &offsets);
    }
    settle(plan, next, room)
}

/// Takes out the corner at which wall `wall` starts: the wall before it then runs on to the next corner and
/// takes over its doorways. Bows are kept where the corner stood nearly on the new line.
///
/// # Errors
/// When there is no such corner, or the room's walls would cross, vanish or lose a doorway.
pub fn remove_corner(plan: &mut Plan, room: usize, wall: usize) -> Result<(), Problem> {
    require_wall(plan, room, wall)?;
    let count = plan.rooms[room].walls.len();
    if count <= 3 {
        return Err(problem(plan, Place::Room(room), "it has no corner to spare", "remove the room instead"));
    }
    let before = (wall + count - 1) % count;
    let mut offsets = faces(plan, room, before);
    offsets.extend(faces(plan, room, wall));
    let gone = plan.rooms[room].walls[wall].corner;

    let mut next = plan.clone();
    next.rooms[room].tape_after_remove(wall);
    let before_length = plan.rooms[room].wall_line(before).map_or(0.0, |(a, b)| a.distance(b));
    next.dimensions_after_remove(&plan.rooms[room].name, wall, count, before_length);
    next.rooms[room].walls.remove(wall);
    let merged = if before > wall { before - 1 } else { before };
    let Some((a, b)) = next.rooms[room].wall_line(merged) else { return Ok(()) };
    let Some((along, _)) = next.rooms[room].wall_axes(merged) else {
        return Err(problem(
            plan,
            Place::Wall(room, wall),
            "nothing would be left of it",
            "move a corner instead",
        ));
    };
    let is_bow = shape::to_side(gone, a, b) <= GREATEST_BOW;
    next.rooms[room].walls[merged].bow =
        if is_bow { bows(&next, room, merged, &offsets) } else { Vec::new() };

    let length = a.distance(b);
    let name = &plan.rooms[room].name;
    for (i, doorway) in next.doorways.iter_mut().enumerate().filter(|(_, doorway)| doorway.room == *name) {
        if doorway.wall == wall || doorway.wall == before {
            // It stays as near to where it stood as the new wall allows.
            let [from, to, ..] = plan.doorways[i].throat(plan).unwrap_or_default();
            let middle = from.lerp(to, 0.5);
            let at = (middle.x - a.x) * along.x + (middle.y - a.y) * along.y - doorway.width / 2.0;
            if doorway.width > length {
                return Err(problem(
                    plan,
                    Place::Doorway(i),
                    "its wall would be too short for it",
                    "make it narrower or remove it first",
                ));
            }
            doorway.wall = merged;
            doorway.at = at.clamp(0.0, length - doorway.width);
        } else if doorway.wall > wall {
            doorway.wall -= 1;
        }
    }
    settle(plan, next, room)
}

/// Joins a wall with the neighbour that runs on most nearly in its line: the corner between them goes. Gives the index of the
/// wall that stands in their place.
///
/// # Errors
/// As [`remove_corner`].
pub fn join_wall(plan: &mut Plan, room: usize, wall: usize) -> Result<usize, Problem> {
    require_wall(plan, room, wall)?;
    let count = plan.rooms[room].walls.len();
    let (before, after) = ((wall + count - 1) % count, (wall + 1) % count);
    let axis = |wall: usize| plan.rooms[room].wall_axes(wall).map(|(along, _)| along);
    let in_line = |other: usize| {
        axis(wall).zip(axis(other)).map_or(-1.0, |(one, other)| one.x * other.x + one.y * other.y)
    };
    // The one it leads to, where both bend alike.
    let gone = if in_line(before) > in_line(after) + 1e-9 { wall } else { after };
    remove_corner(plan, room, gone)?;
    let first = (gone + count - 1) % count;
    Ok(if first > gone { first - 1 } else { first })
}

/// The measured points of a wall's face between its corners.
fn faces(plan: &Plan, room: usize, wall: usize) -> Vec<Point> {
    plan.rooms[room].wall_points(wall).into_iter().skip(1).collect()
}

/// The wall's face `along` mm from its corner, between the measured points either side.
fn face_at(offsets: &[Point], plan: &Plan, room: usize, wall: usize, along: f64) -> Point {
    let Some(((a, b), (axis, _))) = plan.rooms[room].wall_line(wall).zip(plan.rooms[room].wall_axes(wall))
    else {
        return Point::default();
    };
    let distance = |p: Point| (p.x - a.x) * axis.x + (p.y - a.y) * axis.y;
    let mut from = a;
    for &to in offsets.iter().chain([&b]) {
        if distance(to) >= along {
            let span = distance(to) - distance(from);
            return if span > 0.0 { from.lerp(to, (along - distance(from)) / span) } else { to };
        }
        from = to;
    }
    b
}

/// Bow offsets of a wall through points near it, in order along it.
fn bows(plan: &Plan, room: usize, wall: usize, points: &[Point]) -> Vec<Bow> {
    let Some(((a, b), (axis, away))) = plan.rooms[room].wall_line(wall).zip(plan.rooms[room].wall_axes(wall))
    else {
        return Vec::new();
    };
    let length = a.distance(b);
    let mut bows: Vec<Bow> = points
        .iter()
        .map(|p| (p.x - a.x, p.y - a.y))
        .map(|(dx, dy)| Bow { along: dx * axis.x + dy * axis.y, back: dx * away.x + dy * away.y })
        .filter(|bow| (BESIDE_CORNER..=length - BESIDE_CORNER).contains(&bow.along))
        .collect();
    bows.sort_by(|a, b| a.along.total_cmp(&b.along));
    bows.dedup_by(|b, a| b.along - a.along < BESIDE_CORNER);
    bows
}

#[cfg(test)]
mod tests {
    use super::super::tests::refused;
    use super::*;
    use crate::check::tests::two_rooms;

    #[test]
    fn a_split_wall_keeps_its_face_and_doorways() {
        let mut plan = two_rooms();
        split_wall(&mut plan, 0, 1, 900.0).unwrap();
        assert_eq!(plan.rooms[0].walls[2].corner, Point::new(4000.0, 900.0));
        assert_eq!((plan.doorways[0].wall, plan.doorways[0].at), (2, 100.0));
        assert_eq!(plan.problems(), []);
        split_wall(&mut plan, 0, 0, 2000.0).unwrap();
        assert_eq!((plan.doorways[0].wall, plan.doorways[0].at), (3, 100.0));
        split_wall(&mut plan, 0, 3, 1500.0).unwrap();
        assert_eq!((plan.doorways[0].wall, plan.doorways[0].at), (3, 100.0));
        assert_eq!(plan.problems(), []);
        refused(|plan| split_wall(plan, 0, 1, 1400.0), "Door", "would be split");
        refused(|plan| split_wall(plan, 0, 1, 3000.0), "Left, wall 2", "not on the wall");
        refused(|plan| split_wall(plan, 0, 1, f64::NAN), "Left, wall 2", "not on the wall");
        refused(|plan| split_wall(plan, 0, 8, 1.0), "Left, wall 9", "no such wall");
    }

    #[test]
    fn a_bowed_wall_keeps_its_outline_when_split_and_joined() {
        let mut plan = two_rooms();
        plan.rooms[0].walls[2].bow = vec![
            Bow { along: 1000.0, back: 6.0 },
            Bow { along: 2000.0, back: 8.0 },
            Bow { along: 3000.0, back: 4.0 },
        ];
        let area = plan.rooms[0].area();
        split_wall(&mut plan, 0, 2, 1500.0).unwrap();
        let corner = plan.rooms[0].walls[3].corner;
        assert!(corner.distance(Point::new(2500.0, 3007.0)) < 1e-9, "{corner:?}");
        assert_eq!((plan.rooms[0].walls[2].bow.len(), plan.rooms[0].walls[3].bow.len()), (1, 2));
        assert!((plan.rooms[0].area() - area).abs() < 1e-3);
        assert_eq!(plan.problems(), []);
        remove_corner(&mut plan, 0, 3).unwrap();
        let bow: Vec<f64> = plan.rooms[0].walls[2].bow.iter().map(|bow| bow.back).collect();
        assert!(bow.iter().zip([6.0, 8.0, 4.0]).all(|(a, b)| (a - b).abs() < 1e-6), "{bow:?}");
    }

    #[test]
    fn a_wall_is_joined_with_the_one_in_its_line() {
        let mut plan = two_rooms();
        let before = plan.clone();
        for (split, joined) in [(0, 0), (0, 1), (3, 3), (3, 4)] {
            split_wall(&mut plan, 0, split, 1200.0).unwrap();
            assert_eq!(join_wall(&mut plan, 0, joined), Ok(split));
            assert_eq!(plan, before);
        }
        // Round the first corner: the last wall runs on into the first.
        let mut plan = two_rooms();
        split_wall(&mut plan, 0, 0, 500.0).unwrap();
        plan.rooms[0].walls.rotate_left(1);
        plan.doorways[0].wall = 1;
        assert_eq!(join_wall(&mut plan, 0, 0), Ok(3));
        assert_eq!((plan.rooms[0].walls.len(), plan.problems()), (4, vec![]));
    }

    #[test]
    fn a_corner_goes_and_its_doorways_stay() {
        let mut plan = two_rooms();
        let before = plan.clone();
        split_wall(&mut plan, 0, 1, 900.0).unwrap();
        remove_corner(&mut plan, 0, 2).unwrap();
        assert_eq!(plan, before);
        split_wall(&mut plan, 0, 3, 1200.0).unwrap();
        remove_corner(&mut plan, 0, 4).unwrap();
        assert_eq!(plan, before);
        // The first corner: the last wall runs on.
        let mut plan = two_rooms();
        split_wall(&mut plan, 0, 0, 500.0).unwrap();
        remove_corner(&mut plan, 0, 0).unwrap();
        assert_eq!(plan.rooms[0].walls[0].corner, Point::new(500.0, 0.0));
        assert_eq!(plan.doorways[0].wall, 1);
        assert_eq!(plan.problems(), []);
        refused(|plan| remove_corner(plan, 2, 0), "Corner", "no corner to spare");
    }
}
