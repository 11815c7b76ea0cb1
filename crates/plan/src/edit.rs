//! Changes to a plan as a hand makes them: corners, walls, rooms and joints.
//!
//! Each takes effect whole or, with the reason as a [`Problem`], not at all. A change is refused where the
//! room's own walls would cross or vanish, or a doorway would no longer fit its wall; that rooms overlap or a
//! wall's thickness no longer agrees is left to [`Plan::problems`], since two walls are moved one by one.

mod add;
mod between;
mod copy;
mod figures;
mod joints;
mod several;
mod shapes;
mod skirting;
mod things;
mod walls;

pub use add::{add_doorway, add_fixture, add_room};
pub use between::{Behind, Follows, behind, known_thicknesses, set_thickness};
pub use copy::{Mirror, copy_fixture, copy_room, mirror_fixture, mirror_room};
pub use figures::{Rectangle, diameter_of, rectangle_of, set_diameter, set_sides, set_square, turn_fixture};
pub use joints::{add_joint, move_joint, move_joint_end};
pub use several::{copy_all, copy_doorway, move_all, remove_all};
pub use shapes::{Bay, add_bay, arc_wall};
pub use skirting::{SkirtingBreak, break_skirting, close_break, move_break, skirting_break};
pub use things::{
    add_dimension, move_dimension, move_fixture, pin, place_doorway, remove_dimension, remove_doorway,
    remove_fixture, remove_joint, rename_doorway, rename_fixture, set_doorway_thickness, set_doorway_width,
    set_joint_width, set_lining, set_outline, turn_leaf,
};
pub use walls::{join_wall, remove_corner, split_wall};

use crate::check::{Place, Problem, shape_fault};
use crate::pinned::require_loose;
use crate::{Plan, Point};

/// Nothing in a house is a kilometre away, mm.
const FARTHEST: f64 = 1_000_000.0;
/// Lines that meet at less than this (sine of the angle, about one degree) are taken for parallel: their
/// meeting point would run away.
const PARALLEL: f64 = 0.02;

/// Moves the corner at which wall `wall` of room `room` starts. The two walls that meet there turn and stretch.
///
/// # Errors
/// When there is no such corner, or the room's walls would cross, vanish or lose a doorway.
pub fn move_corner(plan: &mut Plan, room: usize, wall: usize, to: Point) -> Result<(), Problem> {
    require_wall(plan, room, wall)?;
    reshape(plan, room, |corners| corners[wall] = to)
}

/// Moves all corners of a room at once: what was solved from taped lengths. Walls turn and stretch with them.
///
/// # Errors
/// When there is no such room, the corners are not as many as it has, or its walls would cross, vanish or lose a
/// doorway.
pub fn set_corners(plan: &mut Plan, room: usize, to: &[Point]) -> Result<(), Problem> {
    require_room(plan, room)?;
    if to.len() != plan.rooms[room].walls.len() {
        return Err(problem(
            plan,
            Place::Room(room),
            "that is not the number of its corners",
            "solve it again",
        ));
    }
    reshape(plan, room, |corners| {
        for (corner, &to) in corners.iter_mut().zip(to) {
            *corner = tidy(to);
        }
    })
}

/// Moves a wall by `by` mm along its outward normal, inwards where negative. Its neighbours stretch along
/// their own lines; one that is parallel to it turns instead.
///
/// # Errors
/// When there is no such wall, or the room's walls would cross, vanish or lose a doorway.
pub fn move_wall(plan: &mut Plan, room: usize, wall: usize, by: f64) -> Result<(), Problem> {
    require_wall(plan, room, wall)?;
    let Some((_, away)) = plan.rooms[room].wall_axes(wall) else {
        return Err(problem(plan, Place::Wall(room, wall), "it has no length", "remove one of its corners"));
    };
    reshape(plan, room, |corners| shift_wall(corners, wall, Point::new(away.x * by, away.y * by)))
}

/// Which corner of a wall gives way when its length is changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Gives {
    /// The one at its end, where the next wall starts.
    #[default]
    End,
    /// Its own, where it starts.
    Start,
    /// Both, by half each.
    Both,
}

/// Gives a wall a length (mm) by moving the corner at its end along its line. With `keep_right_angles` the
/// next wall moves along as a whole, so that the corners keep their angles and the wall after that stretches.
///
/// # Errors
/// When there is no such wall, the length is none, or the room's walls would cross, vanish or lose a doorway.
pub fn set_wall_length(
    plan: &mut Plan,
    room: usize,
    wall: usize,
    length: f64,
    keep_right_angles: bool,
) -> Result<(), Problem> {
    set_wall_length_by(plan, room, wall, length, keep_right_angles, Gives::End)
}

/// As [`set_wall_length`], with the corner that gives way named.
///
/// # Errors
/// As [`set_wall_length`].
pub fn set_wall_length_by(
    plan: &mut Plan,
    room: usize,
    wall: usize,
    length: f64,
    keep_right_angles: bool,
    gives: Gives,
) -> Result<(), Problem> {
    require_wall(plan, room, wall)?;
    let (Some((a, b)), Some((along, _))) =
        (plan.rooms[room].wall_line(wall), plan.rooms[room].wall_axes(wall))
    else {
        return Err(problem(plan, Place::Wall(room, wall), "it has no length", "remove one of its corners"));
    };
    if !(1.0..=FARTHEST).contains(&length) {
        return Err(problem(
            plan,
            Place::Wall(room, wall),
            "that is no length for it",
            "type millimetres from 1 up",
        ));
    }
    let more = length - a.distance(b);
    let (at_start, at_end) = match gives {
        Gives::End => (0.0, more),
        Gives::Start => (more, 0.0),
        Gives::Both => (more / 2.0, more / 2.0),
    };
    reshape(plan, room, |corners| {
        let count = corners.len();
        let (before, next, after) = ((wall + count - 1) % count, (wall + 1) % count, (wall + 2) % count);
        // A neighbour in line with the wall cannot move along with its corner: it only stretches.
        let is_straight_on = |from: Point, to: Point| {
            let (dx, dy) = (to.x - from.x, to.y - from.y);
            (along.x * dy - along.y * dx).abs() < PARALLEL * from.distance(to)
        };
        if at_end != 0.0 {
            if keep_right_angles && !is_straight_on(b, corners[after]) {
                shift_wall(corners, next, Point::new(along.x * at_end, along.y * at_end));
            }
            let to = a.distance(b) + at_end;
            corners[next] = tidy(a.moved(along.x * to, along.y * to));
        }
        if at_start != 0.0 {
            if keep_right_angles && !is_straight_on(corners[before], a) {
                shift_wall(corners, before, Point::new(-along.x * at_start, -along.y * at_start));
            }
            corners[wall] = tidy(a.moved(-along.x * at_start, -along.y * at_start));
        }
    })
}

/// Renames a room; its doorways follow.
///
/// # Errors
/// When there is no such room, or the name is empty or taken.
pub fn rename_room(plan: &mut Plan, room: usize, name: &str) -> Result<(), Problem> {
    require_room(plan, room)?;
    let name = name.trim();
    if name.is_empty() {
        return Err(problem(plan, Place::Room(room), "a room needs a name", "type one"));
    }
    if plan.room_index(name).is_some_and(|other| other != room) {
        return Err(problem(
            plan,
            Place::Room(room),
            &format!("there is a room {name} already"),
            "type another name",
        ));
    }
    let old = std::mem::replace(&mut plan.rooms[room].name, name.to_owned());
    for doorway in plan.doorways.iter_mut().filter(|doorway| doorway.room == old) {
        doorway.room = name.to_owned();
    }
    for own in plan.own_lines.iter_mut().filter(|own| own.room == old) {
        own.room = name.to_owned();
    }
    let readings = plan.slab.iter_mut().flat_map(|slab| slab.rooms());
    let staged = plan.stages.iter_mut().flat_map(|stage| &mut stage.rooms);
    for room in readings.chain(staged).filter(|room| **room == old) {
        *room = name.to_owned();
    }
    for part in plan.laid.iter_mut().flat_map(|laid| &mut laid.parts).filter(|part| part.room == old) {
        part.room = name.to_owned();
    }
    plan.rename_in_marks("room", &old, name);
    Ok(())
}

/// Removes a room with the doorways in its walls. Doorways of other rooms that open into it stay.
///
/// # Errors
/// When there is no such room, it or a doorway in it is pinned down, or what is laid is reckoned from it.
pub fn remove_room(plan: &mut Plan, room: usize) -> Result<(), Problem> {
    require_room(plan, room)?;
    require_loose(plan, Place::Room(room))?;
    for door in (0..plan.doorways.len()).filter(|door| plan.doorways[*door].room == plan.rooms[room].name) {
        require_loose(plan, Place::Doorway(door))?;
    }
    let is_laid = |part: &crate::LaidPart| part.room == plan.rooms[room].name;
    if plan.laid.as_ref().is_some_and(|laid| laid.parts.iter().any(is_laid)) {
        let mend = "take off what is marked as laid there first";
        return Err(problem(plan, Place::Room(room), "boards are laid in it", mend));
    }
    let gone = plan.rooms.remove(room);
    let doors: Vec<String> = plan
        .doorways
        .iter()
        .filter(|doorway| doorway.room == gone.name)
        .map(|doorway| doorway.name.clone())
        .collect();
    plan.doorways.retain(|doorway| doorway.room != gone.name);
    plan.drop_marks_of("room", &gone.name);
    doors.iter().for_each(|door| plan.drop_marks_of("doorway", door));
    plan.own_lines.retain(|own| own.room != gone.name);
    if let Some(slab) = &mut plan.slab {
        slab.dryness.retain(|reading| reading.room != gone.name);
        slab.flatness.retain(|reading| reading.room != gone.name);
    }
    for stage in &mut plan.stages {
        stage.rooms.retain(|room| *room != gone.name);
    }
    Ok(())
}

fn problem(plan: &Plan, place: Place, what: &str, mend: &str) -> Problem {
    Problem { place_name: place.name(plan), place, what: what.into(), mend: mend.into() }
}

fn require_room(plan: &Plan, room: usize) -> Result<(), Problem> {
    if room < plan.rooms.len() {
        return Ok(());
    }
    Err(problem(plan, Place::Room(room), "there is no such room", "choose a room of the plan"))
}

fn require_wall(plan: &Plan, room: usize, wall: usize) -> Result<(), Problem> {
    require_room(plan, room)?;
    if wall < plan.rooms[room].walls.len() {
        return Ok(());
    }
    Err(problem(plan, Place::Wall(room, wall), "there is no such wall", "choose a wall of the room"))
}

/// Shifts a wall's line; its corners slide along the lines of its neighbours.
fn shift_wall(corners: &mut [Point], wall: usize, by: Point) {
    let count = corners.len();
    let (next, before, after) = ((wall + 1) % count, (wall + count - 1) % count, (wall + 2) % count);
    let (a, b) = (corners[wall], corners[next]);
    let (to_a, to_b) = (a.moved(by.x, by.y), b.moved(by.x, by.y));
    let (from_before, from_after) = (corners[before], corners[after]);
    corners[wall] = tidy(meet(from_before, a, to_a, to_b).unwrap_or(to_a));
    corners[next] = tidy(meet(from_after, b, to_a, to_b).unwrap_or(to_b));
}

/// A computed corner to the nearest millionth of a millimetre: what was typed as 4200 stays 4200 in the file.
fn tidy(p: Point) -> Point {
    // Adding 0 turns -0 into 0.
    Point::new((p.x * 1e6).round() / 1e6 + 0.0, (p.y * 1e6).round() / 1e6 + 0.0)
}

/// Where the line through `a` and `b` meets the line through `c` and `d`.
fn meet(a: Point, b: Point, c: Point, d: Point) -> Option<Point> {
    let (rx, ry, sx, sy) = (b.x - a.x, b.y - a.y, d.x - c.x, d.y - c.y);
    let turn = rx * sy - ry * sx;
    if turn.abs() <= PARALLEL * a.distance(b) * c.distance(d) {
        return None;
    }
    Some(a.lerp(b, ((c.x - a.x) * sy - (c.y - a.y) * sx) / turn))
}

/// Changes a room's corners; bows stretch with their walls, doorways keep their distance from the corner as
/// far as their wall allows.
fn reshape(plan: &mut Plan, room: usize, change: impl FnOnce(&mut [Point])) -> Result<(), Problem> {
    let mut next = plan.clone();
    let mut corners: Vec<Point> = next.rooms[room].walls.iter().map(|wall| wall.corner).collect();
    change(&mut corners);
    for (wall, &corner) in next.rooms[room].walls.iter_mut().zip(&corners) {
        wall.corner = corner;
    }
    let length_in = |plan: &Plan, wall| plan.rooms[room].wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
    for wall in 0..corners.len() {
        let (before, after) = (length_in(plan, wall), length_in(&next, wall));
        if before == after {
            continue;
        }
        let stretch = if before > 0.0 { after / before } else { 1.0 };
        next.rooms[room].walls[wall].bow.iter_mut().for_each(|bow| bow.along *= stretch);
        let name = &plan.rooms[room].name;
        for (i, doorway) in next.doorways.iter_mut().enumerate() {
            if doorway.room != *name || doorway.wall != wall {
                continue;
            }
            if doorway.width > after && doorway.width <= before {
                return Err(problem(
                    plan,
                    Place::Doorway(i),
                    "its wall would be too short for it",
                    "make it narrower or remove it first",
                ));
            }
            doorway.at = doorway.at.min(after - doorway.width).max(0.0);
        }
    }
    settle(plan, next, room)
}

/// Takes over the changed plan unless the room's walls have become unsound.
fn settle(plan: &mut Plan, next: Plan, room: usize) -> Result<(), Problem> {
    require_loose(plan, Place::Room(room))?;
    let is_far = |value: f64| !value.is_finite() || value.abs() > FARTHEST;
    let far = next.rooms[room].walls.iter().position(|wall| is_far(wall.corner.x) || is_far(wall.corner.y));
    if let Some(wall) = far {
        return Err(problem(
            plan,
            Place::Wall(room, wall),
            "its corner would be more than a kilometre away",
            "draw near the origin, in millimetres",
        ));
    }
    // A room that was unsound already may be mended step by step.
    match shape_fault(&next, room) {
        Some(fault) if shape_fault(plan, room).is_none() => Err(fault),
        _ => {
            *plan = next;
            Ok(())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::tests::two_rooms;
    use crate::{Bow, Room};

    fn corners(plan: &Plan, room: usize) -> Vec<(f64, f64)> {
        plan.rooms[room].walls.iter().map(|wall| wall.corner.into()).collect()
    }

    /// The change is refused with these words and leaves the plan as it was.
    #[track_caller]
    pub(super) fn refused<T: std::fmt::Debug>(
        change: impl FnOnce(&mut Plan) -> Result<T, Problem>,
        place: &str,
        what: &str,
    ) {
        let mut plan = two_rooms();
        plan.rooms.push(Room::boarded("Corner", [(9e3, 0.0), (9.5e3, 0.0), (9e3, 500.0)].map(Point::from)));
        let before = plan.clone();
        let problem = change(&mut plan).unwrap_err();
        assert_eq!(plan, before);
        assert!(problem.place_name == place && problem.what.contains(what), "{problem}");
    }

    #[test]
    fn a_corner_moves_alone() {
        let mut plan = two_rooms();
        move_corner(&mut plan, 0, 2, Point::new(4012.0, 3007.0)).unwrap();
        assert_eq!(corners(&plan, 0), [(0.0, 0.0), (4000.0, 0.0), (4012.0, 3007.0), (0.0, 3000.0)]);
        refused(
            |plan| move_corner(plan, 0, 2, Point::new(2000.0, -500.0)),
            "Left, wall 1",
            "crosses or touches",
        );
        refused(|plan| move_corner(plan, 0, 2, Point::new(f64::NAN, 0.0)), "Left, wall 3", "kilometre");
        refused(|plan| move_corner(plan, 0, 2, Point::new(2e6, 0.0)), "Left, wall 3", "kilometre");
        refused(|plan| move_corner(plan, 0, 2, Point::new(4000.0, 700.0)), "Door", "too short");
        refused(|plan| move_corner(plan, 0, 4, Point::default()), "Left, wall 5", "no such wall");
        refused(|plan| move_corner(plan, 7, 0, Point::default()), "room 8", "no such room");
    }

    #[test]
    fn a_wall_moves_along_its_neighbours() {
        let mut plan = two_rooms();
        move_wall(&mut plan, 0, 2, 250.0).unwrap();
        assert_eq!(corners(&plan, 0), [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3250.0), (0.0, 3250.0)]);
        move_wall(&mut plan, 0, 3, -100.0).unwrap();
        assert_eq!(corners(&plan, 0)[3], (100.0, 3250.0));
        // A slanted neighbour is followed: 1 in 10 along it.
        let mut plan = two_rooms();
        move_corner(&mut plan, 0, 3, Point::new(300.0, 3000.0)).unwrap();
        move_wall(&mut plan, 0, 2, 1000.0).unwrap();
        let moved = plan.rooms[0].walls[3].corner;
        assert!(moved.distance(Point::new(400.0, 4000.0)) < 1e-9, "{moved:?}");
        refused(|plan| move_wall(plan, 0, 1, -4000.0), "Left, wall 1", "no length");
        refused(|plan| move_wall(plan, 0, 9, 1.0), "Left, wall 10", "no such wall");
    }

    #[test]
    fn a_typed_length_moves_what_follows() {
        let mut square = two_rooms();
        set_wall_length(&mut square, 0, 0, 4200.0, true).unwrap();
        assert_eq!(corners(&square, 0), [(0.0, 0.0), (4200.0, 0.0), (4200.0, 3000.0), (0.0, 3000.0)]);
        let mut skew = two_rooms();
        set_wall_length(&mut skew, 0, 0, 4200.0, false).unwrap();
        assert_eq!(corners(&skew, 0), [(0.0, 0.0), (4200.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)]);
        // The last wall ends at the first corner.
        set_wall_length(&mut square, 0, 3, 3100.0, true).unwrap();
        assert_eq!(corners(&square, 0), [(0.0, -100.0), (4200.0, -100.0), (4200.0, 3000.0), (0.0, 3000.0)]);
        refused(|plan| set_wall_length(plan, 0, 0, 0.0, true), "Left, wall 1", "no length for it");
        refused(|plan| set_wall_length(plan, 0, 0, f64::NAN, true), "Left, wall 1", "no length for it");
        refused(|plan| set_wall_length(plan, 0, 1, 790.0, true), "Door", "too short");
    }

    #[test]
    fn the_corner_that_gives_way_is_chosen() {
        let wide = |gives| {
            let mut plan = two_rooms();
            set_wall_length_by(&mut plan, 0, 0, 4200.0, true, gives).unwrap();
            corners(&plan, 0)
        };
        assert_eq!(wide(Gives::Start), [(-200.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (-200.0, 3000.0)]);
        assert_eq!(wide(Gives::Both), [(-100.0, 0.0), (4100.0, 0.0), (4100.0, 3000.0), (-100.0, 3000.0)]);
        let mut skew = two_rooms();
        set_wall_length_by(&mut skew, 0, 0, 4200.0, false, Gives::Start).unwrap();
        assert_eq!(corners(&skew, 0), [(-200.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)]);
    }

    #[test]
    fn doorways_and_bows_stay_on_their_walls() {
        let mut plan = two_rooms();
        plan.rooms[0].walls[1].bow = vec![Bow { along: 1500.0, back: 4.0 }];
        set_wall_length(&mut plan, 0, 1, 1500.0, true).unwrap();
        assert_eq!(plan.doorways[0].at, 700.0);
        assert_eq!(plan.rooms[0].walls[1].bow, [Bow { along: 750.0, back: 4.0 }]);
        assert_eq!(plan.problems(), []);
        set_wall_length(&mut plan, 0, 1, 3000.0, true).unwrap();
        assert_eq!(plan.doorways[0].at, 700.0);
    }

    /// A wall of 3000 with a doorway of 800 in its middle, at 1100: at 2400 it stands at 300; of 800 at 700 it stays there at 2000,
    /// and at 2400 it ends at the wall's end. At 3100 the wall is too short, and it stays where it was.
    #[test]
    fn a_doorway_that_is_made_wider_stays_in_its_wall() {
        let widened = |at: f64, width: f64| {
            let mut plan = two_rooms();
            (plan.doorways[0].at, plan.doorways[0].width) = (at, 800.0);
            set_doorway_width(&mut plan, 0, width).unwrap();
            assert_eq!(plan.doorways[0].width, width);
            plan.doorways[0].at
        };
        assert_eq!([2400.0, 3100.0].map(|width| widened(1100.0, width)), [300.0, 1100.0]);
        assert_eq!([2000.0, 2400.0, 3100.0].map(|width| widened(700.0, width)), [700.0, 600.0, 700.0]);
    }

    #[test]
    fn an_unsound_room_may_be_mended_step_by_step() {
        let mut plan = two_rooms();
        plan.rooms[0].walls.swap(0, 1);
        move_corner(&mut plan, 0, 0, Point::new(4000.0, 10.0)).unwrap();
        assert!(!plan.problems().is_empty());
    }

    #[test]
    fn names_are_changed_with_what_uses_them() {
        let mut plan = two_rooms();
        rename_room(&mut plan, 0, " Study ").unwrap();
        assert_eq!((plan.rooms[0].name.as_str(), plan.doorways[0].room.as_str()), ("Study", "Study"));
        rename_room(&mut plan, 0, "Study").unwrap();
        refused(|plan| rename_room(plan, 0, "Right"), "Left", "already");
        refused(|plan| rename_room(plan, 0, " "), "Left", "needs a name");
        refused(|plan| rename_room(plan, 9, "X"), "room 10", "no such room");
    }

    #[test]
    fn a_room_goes_with_its_doorways() {
        let mut plan = two_rooms();
        remove_room(&mut plan, 1).unwrap();
        assert_eq!((plan.rooms.len(), plan.doorways.len()), (1, 1));
        remove_room(&mut plan, 0).unwrap();
        assert_eq!((plan.rooms.len(), plan.doorways.len()), (0, 0));
        refused(|plan| remove_room(plan, 3), "room 4", "no such room");
    }
}
