//! Several things at once: moved, copied and taken out in one step.

use super::add::free_name;
use super::things::require;
use super::{FARTHEST, Mirror, copy_fixture, copy_room, problem, remove_room, require_room, things, tidy};
use crate::check::{self, Place, Problem};
use crate::pinned::require_loose;
use crate::{Plan, Point};

/// Moves things by `by` mm. A room takes along what stands in it; a doorway whose room stays slides along its wall; a
/// dimension's line moves beside its ends.
///
/// # Errors
/// When one of them is not there or pinned down, or would lie a kilometre away; then none is moved.
pub fn move_all(plan: &mut Plan, places: &[Place], by: Point) -> Result<(), Problem> {
    let mut next = plan.clone();
    let rooms: Vec<usize> = places
        .iter()
        .filter_map(|place| if let Place::Room(room) = place { Some(*room) } else { None })
        .collect();
    let mut all = places.to_vec();
    for &room in &rooms {
        require_room(plan, room)?;
        all.extend(standing_in(plan, room).into_iter().filter(|place| !places.contains(place)));
    }
    for place in &all {
        require(plan, place)?;
        things::require_near(plan, place, &[by.x, by.y])?;
        require_loose(plan, place.clone())?;
        match *place {
            Place::Room(room) => {
                for wall in &mut next.rooms[room].walls {
                    wall.corner = tidy(wall.corner.moved(by.x, by.y));
                }
                let is_far = |p: Point| !(p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST);
                if next.rooms[room].walls.iter().any(|wall| is_far(wall.corner)) {
                    let mend = "draw near the origin, in millimetres";
                    return Err(problem(plan, place.clone(), "it would be more than a kilometre away", mend));
                }
            }
            Place::Fixture(index) => things::move_fixture(&mut next, index, by)?,
            Place::Joint(index) => super::move_joint(&mut next, index, by)?,
            Place::Doorway(index) => {
                let doorway = &plan.doorways[index];
                let Some(room) = plan.room_index(&doorway.room).filter(|room| !rooms.contains(room)) else {
                    continue;
                };
                let Some(((a, b), (along, _))) =
                    plan.rooms[room].wall_line(doorway.wall).zip(plan.rooms[room].wall_axes(doorway.wall))
                else {
                    continue;
                };
                let furthest = (a.distance(b) - doorway.width).max(0.0);
                let at = (doorway.at + by.x * along.x + by.y * along.y).clamp(0.0, furthest);
                super::add::put_along(&mut next, index, at);
            }
            Place::Dimension(index) => things::move_dimension(&mut next, index, by)?,
            _ => {
                let mend = "choose rooms, doorways, fixtures, joints or dimensions";
                return Err(problem(plan, place.clone(), "it cannot be moved with others", mend));
            }
        }
    }
    *plan = next;
    Ok(())
}

/// Fixtures and movement joints whose middle lies in a room.
fn standing_in(plan: &Plan, room: usize) -> Vec<Place> {
    let is_inside = |p: Point| plan.rooms[room].contains(p);
    let fixtures =
        plan.fixtures.iter().enumerate().filter(|(_, fixture)| is_inside(middle(&fixture.outline)));
    let joints =
        plan.joints.iter().enumerate().filter(|(_, joint)| is_inside(joint.from.lerp(joint.to, 0.5)));
    fixtures.map(|(i, _)| Place::Fixture(i)).chain(joints.map(|(i, _)| Place::Joint(i))).collect()
}

fn middle(outline: &[Point]) -> Point {
    let count = outline.len().max(1) as f64;
    let sum = outline.iter().fold((0.0, 0.0), |sum, p| (sum.0 + p.x, sum.1 + p.y));
    Point::new(sum.0 / count, sum.1 / count)
}

/// Takes things out. Rooms go with the doorways in their walls.
///
/// # Errors
/// When one of them is not there, is pinned down or has boards laid in it; then none goes.
pub fn remove_all(plan: &mut Plan, places: &[Place]) -> Result<(), Problem> {
    let mut next = plan.clone();
    let mut all = places.to_vec();
    // Dimensions first, since they go with what they are on; rooms last; the highest number of a kind first.
    let rank = |place: &Place| match *place {
        Place::Dimension(index) => (0, std::cmp::Reverse(index)),
        Place::Joint(index) => (1, std::cmp::Reverse(index)),
        Place::Fixture(index) => (2, std::cmp::Reverse(index)),
        Place::Doorway(index) => (3, std::cmp::Reverse(index)),
        Place::Room(index) => (4, std::cmp::Reverse(index)),
        _ => (5, std::cmp::Reverse(0)),
    };
    all.sort_by_key(rank);
    all.dedup();
    for place in all {
        match place {
            Place::Dimension(index) => things::remove_dimension(&mut next, index)?,
            Place::Joint(index) => things::remove_joint(&mut next, index)?,
            Place::Fixture(index) => things::remove_fixture(&mut next, index)?,
            Place::Doorway(index) => things::remove_doorway(&mut next, index)?,
            Place::Room(index) => remove_room(&mut next, index)?,
            other => {
                let mend = "choose rooms, doorways, fixtures, joints or dimensions";
                return Err(problem(plan, other, "it cannot be taken out with others", mend));
            }
        }
    }
    *plan = next;
    Ok(())
}

/// Copies things and moves the copies by `by`; gives the copies' places. Rooms take along what stands in them; a doorway is
/// copied along its wall, to the side on which there is room.
///
/// # Errors
/// When one of them is not there, or its copy would lie where it cannot; then none is copied.
pub fn copy_all(plan: &mut Plan, places: &[Place], by: Point) -> Result<Vec<Place>, Problem> {
    let mut next = plan.clone();
    let mut copies = Vec::new();
    let in_rooms: Vec<Place> = places
        .iter()
        .filter_map(|place| if let Place::Room(room) = place { Some(*room) } else { None })
        .filter(|room| *room < plan.rooms.len())
        .flat_map(|room| standing_in(plan, room))
        .collect();
    for place in places {
        require(plan, place)?;
        match *place {
            Place::Room(room) => copies.push(Place::Room(copy_room(&mut next, room, Mirror::No, by)?)),
            Place::Fixture(index) if !in_rooms.contains(place) => {
                copies.push(Place::Fixture(copy_fixture(&mut next, index, Mirror::No, by)?));
            }
            Place::Joint(index) => {
                let mut joint = plan.joints[index].clone();
                let taken: Vec<&str> = next.joints.iter().map(|joint| joint.name.as_str()).collect();
                if !joint.name.is_empty() {
                    joint.name = free_name(&joint.name, 0, &taken);
                }
                next.joints.push(joint);
                let copy = next.joints.len() - 1;
                super::move_joint(&mut next, copy, by)?;
                copies.push(Place::Joint(copy));
            }
            Place::Doorway(index) => copies.push(Place::Doorway(copy_doorway(&mut next, index)?)),
            _ => {}
        }
    }
    *plan = next;
    Ok(copies)
}

/// Beside one another, doorways keep at least so much wall between them, mm.
const PIER: f64 = 100.0;

/// Copies a doorway along its wall, to the side on which there is room for it; gives the copy's index.
///
/// # Errors
/// When there is no such doorway, or no room for another in its wall.
pub fn copy_doorway(plan: &mut Plan, index: usize) -> Result<usize, Problem> {
    require(plan, &Place::Doorway(index))?;
    let original = plan.doorways[index].clone();
    let length = plan
        .room_index(&original.room)
        .and_then(|room| plan.rooms[room].wall_line(original.wall))
        .map_or(0.0, |(a, b)| a.distance(b));
    let taken: Vec<&str> = plan.doorways.iter().map(|doorway| doorway.name.as_str()).collect();
    let name = free_name(&original.name, 0, &taken);
    let step = original.width + PIER;
    let places = [1.0, -1.0, 2.0, -2.0, 3.0, -3.0].map(|steps| original.at + steps * step);
    let middle = (length - original.width) / 2.0;
    for at in places.into_iter().chain([middle]) {
        if !(0.0..=length - original.width).contains(&at) {
            continue;
        }
        let mut next = plan.clone();
        next.doorways.push(crate::Doorway { name: name.clone(), at, ..original.clone() });
        let copy = next.doorways.len() - 1;
        if !check::faults(&next).iter().any(|fault| fault.place == Place::Doorway(copy)) {
            *plan = next;
            return Ok(copy);
        }
    }
    Err(problem(
        plan,
        Place::Doorway(index),
        "there is no room for another in its wall",
        "place it in another wall",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::tests::two_rooms;
    use crate::{Dimension, DimensionEnd, FixtureKind, Pinned};

    fn house() -> Plan {
        let mut plan = two_rooms();
        let square = |x: f64, y: f64| [(x, y), (x + 300.0, y), (x + 300.0, y + 300.0), (x, y + 300.0)];
        for at in [(500.0, 500.0), (1500.0, 500.0), (5000.0, 900.0)] {
            super::super::add_fixture(&mut plan, FixtureKind::Column, &square(at.0, at.1).map(Point::from))
                .unwrap();
        }
        super::super::add_joint(&mut plan, Point::new(0.0, 1500.0), Point::new(4000.0, 1500.0)).unwrap();
        let corner = |corner| DimensionEnd::FixtureCorner { fixture: "Column".into(), corner };
        plan.dimensions.push(Dimension::new(corner(0), corner(2)));
        assert_eq!(plan.problems(), []);
        plan
    }

    #[test]
    fn things_move_together_and_rooms_take_along_what_stands_in_them() {
        let mut plan = house();
        let by = Point::new(250.0, -40.0);
        move_all(&mut plan, &[Place::Fixture(0), Place::Fixture(1)], by).unwrap();
        assert_eq!(plan.fixtures[0].outline[0], Point::new(750.0, 460.0));
        assert_eq!(plan.fixtures[1].outline[0], Point::new(1750.0, 460.0));
        let mut plan = house();
        move_all(&mut plan, &[Place::Room(0), Place::Fixture(0)], by).unwrap();
        assert_eq!(plan.rooms[0].walls[0].corner, Point::new(250.0, -40.0));
        assert_eq!(plan.fixtures[0].outline[0], Point::new(750.0, 460.0), "once, not twice");
        assert_eq!(plan.fixtures[1].outline[0], Point::new(1750.0, 460.0));
        assert_eq!(plan.fixtures[2], house().fixtures[2], "in the other room");
        assert_eq!(plan.joints[0].from, Point::new(250.0, 1460.0));
        assert_eq!(plan.doorways[0].at, 1000.0, "it hangs on its wall");
        let mut plan = house();
        move_all(&mut plan, &[Place::Doorway(0)], Point::new(500.0, 9000.0)).unwrap();
        assert_eq!(plan.doorways[0].at, 2200.0, "as far as its wall goes");
    }

    #[test]
    fn what_is_pinned_down_stays() {
        let mut plan = house();
        things::pin(&mut plan, &[Place::Fixture(1), Place::Room(1)], true).unwrap();
        assert_eq!(plan.pinned, [Pinned::Fixture("Column 2".into()), Pinned::Room("Right".into())]);
        let before = plan.clone();
        let by = Point::new(10.0, 0.0);
        let refused = |result: Result<(), Problem>, place: &str| {
            let problem = result.unwrap_err();
            assert!(problem.place_name == place && problem.what.contains("pinned"), "{problem}");
        };
        refused(move_all(&mut plan, &[Place::Fixture(0), Place::Fixture(1)], by), "Column 2");
        refused(move_all(&mut plan, &[Place::Room(0)], by), "Column 2");
        refused(remove_all(&mut plan, &[Place::Fixture(0), Place::Fixture(1)]), "Column 2");
        refused(super::super::move_corner(&mut plan, 1, 0, Point::new(4200.0, 0.0)), "Right");
        refused(super::super::move_wall(&mut plan, 1, 2, 40.0), "Right");
        refused(super::super::split_wall(&mut plan, 1, 2, 400.0), "Right");
        refused(super::super::mirror_room(&mut plan, 1, Mirror::UpDown), "Right");
        refused(super::super::mirror_fixture(&mut plan, 1, Mirror::UpDown), "Column 2");
        refused(remove_room(&mut plan, 1), "Right");
        assert_eq!(plan, before, "none of it is done by half");
        things::rename_fixture(&mut plan, 1, "Post").unwrap();
        assert_eq!(plan.pinned[0], Pinned::Fixture("Post".into()));
        things::pin(&mut plan, &[Place::Fixture(1), Place::Room(1)], false).unwrap();
        let gone = [Place::Room(1), Place::Fixture(1), Place::Fixture(2), Place::Doorway(0)];
        remove_all(&mut plan, &gone).unwrap();
        assert_eq!((plan.rooms.len(), plan.fixtures.len(), plan.problems()), (1, 1, vec![]));
    }

    #[test]
    fn things_go_together_with_their_dimensions() {
        let mut plan = house();
        super::super::add_joint(&mut plan, Point::new(0.0, 2500.0), Point::new(4000.0, 2500.0)).unwrap();
        things::pin(&mut plan, &[Place::Joint(1)], true).unwrap();
        let gone =
            [Place::Fixture(0), Place::Dimension(0), Place::Joint(0), Place::Fixture(2), Place::Doorway(0)];
        remove_all(&mut plan, &gone).unwrap();
        assert_eq!((plan.fixtures.len(), plan.doorways.len(), plan.joints.len()), (1, 0, 1));
        assert_eq!((plan.fixtures[0].name.as_str(), plan.dimensions.len()), ("Column 2", 0));
        assert_eq!(plan.pinned, [Pinned::Joint(0)], "numbered anew");
        assert_eq!(plan.problems(), []);
    }

    #[test]
    fn things_are_copied_together() {
        let mut plan = house();
        let by = Point::new(0.0, 600.0);
        let copies =
            copy_all(&mut plan, &[Place::Fixture(0), Place::Fixture(1), Place::Doorway(0)], by).unwrap();
        assert_eq!(copies, [Place::Fixture(3), Place::Fixture(4), Place::Doorway(1)]);
        assert_eq!(plan.fixtures[4].outline[0], Point::new(1500.0, 1100.0));
        assert_eq!((plan.doorways[1].at, plan.doorways[1].name.as_str()), (1900.0, "Door 2"));
        assert_eq!(plan.problems(), []);
        let before = plan.clone();
        assert!(copy_all(&mut plan, &[Place::Fixture(0)], Point::new(-9e3, 0.0)).is_err());
        assert_eq!(plan, before);
        let copies =
            copy_all(&mut plan, &[Place::Room(0), Place::Fixture(0)], Point::new(0.0, 4000.0)).unwrap();
        assert_eq!(copies, [Place::Room(2)], "the column goes with its room");
    }

    /// No hand gives such figures; a file could not hold what would come of them. Found by the fuzzer.
    #[test]
    fn figures_that_are_none_move_nothing() {
        let mut plan = house();
        let before = plan.clone();
        for odd in [f64::NAN, f64::INFINITY, -1e7] {
            let by = Point::new(0.0, odd);
            assert!(things::place_doorway(&mut plan, 0, odd).is_err());
            assert!(things::move_dimension(&mut plan, 0, by).is_err());
            for place in
                [Place::Room(0), Place::Fixture(0), Place::Joint(0), Place::Doorway(0), Place::Dimension(0)]
            {
                assert!(move_all(&mut plan, std::slice::from_ref(&place), by).is_err(), "{place:?} {odd}");
            }
            for place in [Place::Room(0), Place::Fixture(0)] {
                assert!(copy_all(&mut plan, &[place], by).is_err());
            }
            if !odd.is_finite() {
                assert!(copy_all(&mut plan, &[Place::Joint(0)], by).is_err());
            }
            assert_eq!(plan, before);
        }
    }
}
