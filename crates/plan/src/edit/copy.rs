//! Rooms once more: copied, or mirrored, with what stands in them.

use super::add::free_name;
use super::{FARTHEST, problem, require_room, tidy};
use crate::check::{self, Place};
use crate::pinned::require_loose;
use crate::{Plan, Point, Problem};

/// How a copy is turned over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mirror {
    /// As it is.
    No,
    /// Left and right change places.
    LeftRight,
    /// Up and down change places.
    UpDown,
}

/// Copies a room with its fixtures and its doorways, turned over or not, and moves the copy by `by`. Doorways that would
/// not stand there are left out. The tape stays with the room that was taped. Gives the copy's index.
///
/// # Errors
/// When there is no such room, or the copy would lie a kilometre away.
pub fn copy_room(plan: &mut Plan, room: usize, mirror: Mirror, by: Point) -> Result<usize, Problem> {
    require_room(plan, room)?;
    let place = over(plan, room, mirror, by);
    let mut next = plan.clone();
    let index = next.rooms.len();
    let mut copy = next.rooms[room].clone();
    let taken: Vec<&str> = plan.rooms.iter().map(|room| room.name.as_str()).collect();
    copy.name = free_name(&copy.name, 0, &taken);
    copy.tape.clear();
    copy.walls.iter_mut().for_each(|wall| wall.corner = place(wall.corner));
    let is_far = |p: Point| !(p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST);
    if copy.walls.iter().any(|wall| is_far(wall.corner)) {
        return Err(problem(plan, Place::Room(room), "its copy would be a kilometre away", "copy it nearer"));
    }
    let name = copy.name.clone();
    next.rooms.push(copy);
    for fixture in &plan.fixtures {
        let count = fixture.outline.len().max(1) as f64;
        let sum = fixture.outline.iter().fold((0.0, 0.0), |sum, p| (sum.0 + p.x, sum.1 + p.y));
        if !plan.rooms[room].contains(Point::new(sum.0 / count, sum.1 / count)) {
            continue;
        }
        let mut copy = fixture.clone();
        let taken: Vec<&str> = next.fixtures.iter().map(|fixture| fixture.name.as_str()).collect();
        copy.name = free_name(&copy.name, 0, &taken);
        copy.outline.iter_mut().for_each(|p| *p = place(*p));
        next.fixtures.push(copy);
    }
    for doorway in plan.doorways.iter().filter(|doorway| doorway.room == plan.rooms[room].name) {
        let taken: Vec<&str> = next.doorways.iter().map(|doorway| doorway.name.as_str()).collect();
        let copy = crate::Doorway {
            name: free_name(&doorway.name, 0, &taken),
            room: name.clone(),
            ..doorway.clone()
        };
        let mut with = next.clone();
        with.doorways.push(copy);
        let door = with.doorways.len() - 1;
        if !check::faults(&with).iter().any(|fault| fault.place == Place::Doorway(door)) {
            next = with;
        }
    }
    *plan = next;
    Ok(index)
}

/// Mirrors a room where it stands, with its fixtures; its doorways stay on their walls.
///
/// # Errors
/// When there is no such room, or it or what stands in it is pinned down.
pub fn mirror_room(plan: &mut Plan, room: usize, mirror: Mirror) -> Result<(), Problem> {
    require_room(plan, room)?;
    require_loose(plan, Place::Room(room))?;
    let place = over(plan, room, mirror, Point::default());
    let is_inside = |p: Point| plan.rooms[room].contains(p);
    let held: Vec<usize> = (0..plan.fixtures.len())
        .filter(|i| {
            let outline = &plan.fixtures[*i].outline;
            let count = outline.len().max(1) as f64;
            let sum = outline.iter().fold((0.0, 0.0), |sum, p| (sum.0 + p.x, sum.1 + p.y));
            is_inside(Point::new(sum.0 / count, sum.1 / count))
        })
        .collect();
    for &fixture in &held {
        require_loose(plan, Place::Fixture(fixture))?;
    }
    for fixture in held {
        plan.fixtures[fixture].outline.iter_mut().for_each(|p| *p = place(*p));
    }
    plan.rooms[room].walls.iter_mut().for_each(|wall| wall.corner = place(wall.corner));
    Ok(())
}

/// Copies a fixture, turned over or not, and moves the copy by `by`; gives its index.
///
/// # Errors
/// When there is no such fixture, or the copy would lie in no room.
pub fn copy_fixture(plan: &mut Plan, fixture: usize, mirror: Mirror, by: Point) -> Result<usize, Problem> {
    let Some(original) = plan.fixtures.get(fixture) else {
        return Err(problem(
            plan,
            Place::Fixture(fixture),
            "there is no such fixture",
            "choose one of the plan",
        ));
    };
    let place = over_points(&original.outline, mirror, by);
    let mut next = plan.clone();
    let mut copy = original.clone();
    let taken: Vec<&str> = plan.fixtures.iter().map(|fixture| fixture.name.as_str()).collect();
    copy.name = free_name(&copy.name, 0, &taken);
    copy.outline.iter_mut().for_each(|p| *p = place(*p));
    next.fixtures.push(copy);
    let index = next.fixtures.len() - 1;
    if let Some(fault) = check::fixture_fault(&next, index) {
        return Err(fault);
    }
    *plan = next;
    Ok(index)
}

/// Turns a fixture over where it stands.
///
/// # Errors
/// When there is no such fixture, or it is pinned down.
pub fn mirror_fixture(plan: &mut Plan, fixture: usize, mirror: Mirror) -> Result<(), Problem> {
    require_loose(plan, Place::Fixture(fixture))?;
    let Some(original) = plan.fixtures.get(fixture) else {
        return Err(problem(
            plan,
            Place::Fixture(fixture),
            "there is no such fixture",
            "choose one of the plan",
        ));
    };
    let place = over_points(&original.outline, mirror, Point::default());
    plan.fixtures[fixture].outline.iter_mut().for_each(|p| *p = place(*p));
    Ok(())
}

/// Where a point of a room comes to lie: turned over about the room's middle, then moved.
fn over(plan: &Plan, room: usize, mirror: Mirror, by: Point) -> impl Fn(Point) -> Point + use<> {
    let corners: Vec<Point> = plan.rooms[room].outline().into_iter().map(|(p, _)| p).collect();
    over_points(&corners, mirror, by)
}

fn over_points(corners: &[Point], mirror: Mirror, by: Point) -> impl Fn(Point) -> Point + use<> {
    let (low, high) = crate::shape::bounds(corners);
    move |p: Point| {
        let p = match mirror {
            Mirror::No => p,
            Mirror::LeftRight => Point::new(low.x + high.x - p.x, p.y),
            Mirror::UpDown => Point::new(p.x, low.y + high.y - p.y),
        };
        tidy(p.moved(by.x, by.y))
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::refused;
    use super::*;
    use crate::FixtureKind;
    use crate::check::tests::two_rooms;
    use crate::edit::add_fixture;

    #[test]
    fn a_room_is_copied_with_what_stands_in_it() {
        let mut plan = two_rooms();
        let island = [(500.0, 500.0), (1500.0, 500.0), (1500.0, 900.0), (500.0, 900.0)].map(Point::from);
        add_fixture(&mut plan, FixtureKind::Island, &island).unwrap();
        plan.rooms[0].tape = vec![crate::Taped::new(0, 1, 4000.0)];
        assert_eq!(copy_room(&mut plan, 0, Mirror::LeftRight, Point::new(0.0, 3100.0)), Ok(2));
        let copy = &plan.rooms[2];
        assert_eq!((copy.name.as_str(), copy.tape.len(), copy.area()), ("Left 2", 0, 12e6));
        assert_eq!(plan.fixtures[1].name, "Island 2");
        // About x = 2000, up by 3100.
        assert_eq!(plan.fixtures[1].outline[0], Point::new(3500.0, 3600.0));
        // The door opens to the outside there: boards cannot run through it, so it is left out.
        assert_eq!(plan.doorways.len(), 1);
        assert_eq!(plan.problems(), []);
        refused(|plan| copy_room(plan, 9, Mirror::No, Point::default()), "room 10", "no such room");
        refused(|plan| copy_room(plan, 0, Mirror::No, Point::new(2e6, 0.0)), "Left", "kilometre");
        refused(|plan| copy_room(plan, 0, Mirror::No, Point::new(f64::NAN, 0.0)), "Left", "kilometre");
    }

    #[test]
    fn a_fixture_is_copied_and_turned_over() {
        let mut plan = two_rooms();
        let wedge = [(500.0, 500.0), (1500.0, 500.0), (500.0, 900.0)].map(Point::from);
        add_fixture(&mut plan, FixtureKind::Hearth, &wedge).unwrap();
        assert_eq!(copy_fixture(&mut plan, 0, Mirror::LeftRight, Point::new(1200.0, 0.0)), Ok(1));
        let expected = [(2700.0, 500.0), (1700.0, 500.0), (2700.0, 900.0)].map(Point::from);
        assert_eq!(
            (plan.fixtures[1].name.as_str(), plan.fixtures[1].outline.as_slice()),
            ("Hearth 2", &expected[..])
        );
        mirror_fixture(&mut plan, 1, Mirror::UpDown).unwrap();
        assert_eq!(plan.fixtures[1].outline[0], Point::new(2700.0, 900.0));
        refused(|plan| copy_fixture(plan, 9, Mirror::No, Point::default()), "fixture 10", "no such fixture");
        let far = copy_fixture(&mut plan, 0, Mirror::No, Point::new(9e4, 0.0)).unwrap_err();
        assert!(far.what.contains("in no room"), "{far}");
    }

    #[test]
    fn a_mirrored_room_keeps_its_place_and_its_size() {
        let mut plan = two_rooms();
        plan.rooms[1].walls[2].corner = Point::new(7600.0, 2000.0);
        let before = plan.clone();
        mirror_room(&mut plan, 1, Mirror::LeftRight).unwrap();
        assert_eq!(plan.rooms[1].walls[2].corner, Point::new(4100.0, 2000.0));
        assert_eq!(plan.rooms[1].area(), before.rooms[1].area());
        mirror_room(&mut plan, 1, Mirror::LeftRight).unwrap();
        assert_eq!(plan, before);
        mirror_room(&mut plan, 1, Mirror::UpDown).unwrap();
        assert_eq!(plan.rooms[1].walls[2].corner, Point::new(7600.0, 1000.0));
    }
}
