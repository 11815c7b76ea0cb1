//! New rooms, doorways and fixtures with names of their own.

use super::{problem, require_wall};
use crate::check::{Place, Problem, fixture_fault, shape_fault};
use crate::{Beyond, Doorway, Fixture, FixtureKind, Leaf, Places, Plan, Point, Room, Side};

/// A new doorway's opening, mm; common practice, no source.
const WIDTH: f64 = 820.0;
/// The narrowest opening, mm.
const LEAST_WIDTH: f64 = 300.0;
/// A new doorway's leaf, mm; common practice, no source.
const LEAF: f64 = 40.0;
/// A new doorway's trim where there is no room for a leaf, mm.
const TRIM: f64 = 30.0;
/// Wall to the outside, mm, to be typed over.
const OUTER_WALL: f64 = 250.0;
/// What lies farther behind a wall is not taken for the room beyond it, mm.
const THICKEST_WALL: f64 = 500.0;

/// Adds a boarded room with these corners, named `Room 1` or the next that is free, and gives its index.
///
/// # Errors
/// When its walls cross or it is no room.
pub fn add_room(plan: &mut Plan, corners: &[Point]) -> Result<usize, Problem> {
    let index = plan.rooms.len();
    let mut next = plan.clone();
    let taken: Vec<&str> = plan.rooms.iter().map(|room| room.name.as_str()).collect();
    next.rooms.push(Room::boarded(free_name("Room", 1, &taken), corners.iter().copied()));
    if !corners.iter().all(|corner| corner.x.is_finite() && corner.y.is_finite()) {
        return Err(problem(&next, Place::Room(index), "a corner is no number", "draw it again"));
    }
    if let Some(fault) = shape_fault(&next, index) {
        return Err(fault);
    }
    *plan = next;
    Ok(index)
}

/// Adds a doorway to a wall with its middle `middle` mm from the wall's corner, as near as it fits, and gives
/// its index. It is named after the room that one goes into, and stands before one room. The wall's thickness is taken from the room behind it; boards run through into a boarded room
/// and stop under the leaf otherwise.
///
/// # Errors
/// When there is no such wall, its room is not boarded, or the wall is too short.
pub fn add_doorway(plan: &mut Plan, room: usize, wall: usize, middle: f64) -> Result<usize, Problem> {
    require_wall(plan, room, wall)?;
    let near = &plan.rooms[room];
    if !near.is_boarded() {
        return Err(problem(
            plan,
            Place::Room(room),
            "it is not boarded",
            "put the doorway in the wall of the boarded room on its other side",
        ));
    }
    let length = near.wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
    let width = WIDTH.min(length);
    if width < LEAST_WIDTH || !middle.is_finite() {
        return Err(problem(
            plan,
            Place::Wall(room, wall),
            "it is too short for a doorway",
            "choose a longer wall",
        ));
    }
    let at = (middle - width / 2.0).clamp(0.0, length - width);
    let mut doorway = Doorway {
        wall_thickness: OUTER_WALL,
        ..Doorway::plain(String::new(), near.name.clone(), wall, at, width)
    };
    let places = Places::new(plan);
    before_one_room(&places, &mut doorway, length);
    doorway.name = name_of(plan, &places, room, &doorway);
    take_from_behind(plan, &mut doorway);
    plan.doorways.push(doorway);
    Ok(plan.doorways.len() - 1)
}

/// What is behind a wall at a place along it, as far as a wall may be thick.
fn behind(places: &Places<'_>, doorway: &Doorway, offset: f64) -> Option<usize> {
    places.far_wall(doorway, offset).filter(|far| far.distance <= THICKEST_WALL).map(|far| far.room)
}

/// Moves a doorway of which a part stands beside the room behind its middle along until all of it stands before that, where the room
/// is wide enough, and off the room's corner by a lining and its architrave.
fn before_one_room(places: &Places<'_>, doorway: &mut Doorway, length: f64) {
    let middle = doorway.width / 2.0;
    let Some(room) = behind(places, doorway, middle) else { return };
    // How far the room reaches from the middle, one way along the wall.
    let reach = |way: f64| {
        let room_there = |far: f64| behind(places, doorway, middle + way * far) == Some(room);
        let end = if way > 0.0 { length - doorway.at - middle } else { doorway.at + middle };
        let steps = (end.min(2.0 * doorway.width) / LOOK).floor() as usize;
        let (mut is, mut is_not) = match (1..=steps).find(|step| !room_there(*step as f64 * LOOK)) {
            Some(step) => ((step - 1) as f64 * LOOK, step as f64 * LOOK),
            None => return end.min(2.0 * doorway.width),
        };
        while is_not - is > 0.1 {
            let between = f64::midpoint(is, is_not);
            if room_there(between) { is = between } else { is_not = between }
        }
        is
    };
    let (before, after) = (reach(-1.0), reach(1.0));
    if before >= middle && after >= middle || before + after < doorway.width {
        return;
    }
    let off = OFF_CORNER.min((before + after - doorway.width) / 2.0);
    let (least, most) = (middle - before + off, middle + after - off - doorway.width);
    let by = if before < middle { least } else { most };
    doorway.at = (doorway.at + by).round().clamp(0.0, (length - doorway.width).max(0.0));
}

/// Along a wall is looked behind it every so far, mm; a room narrower than that behind a doorway is not seen.
const LOOK: f64 = 50.0;
/// A doorway that is moved before a room stands so far off the room's corner, mm; common practice, no source.
const OFF_CORNER: f64 = 100.0;

/// A new doorway's name: after the room that one goes into. Of the two it joins that is a robe or the like, else the one that is no
/// passage, and of two alike the one in whose wall it stands; the other where that name is taken.
fn name_of(plan: &Plan, places: &Places<'_>, near: usize, doorway: &Doorway) -> String {
    let taken: Vec<&str> = plan.doorways.iter().map(|doorway| doorway.name.as_str()).collect();
    let far = behind(places, doorway, doorway.width / 2.0);
    let order = |room: &usize| {
        let room = &plan.rooms[*room];
        let area = room.area();
        let round: f64 =
            (0..room.walls.len()).filter_map(|wall| room.wall_line(wall)).map(|(a, b)| a.distance(b)).sum();
        (area >= CLOSET, area < PASSAGE * round * round)
    };
    let mut rooms: Vec<usize> = std::iter::once(near).chain(far).collect();
    rooms.sort_by_key(order);
    let names: Vec<String> = rooms.iter().map(|room| format!("{} door", plan.rooms[*room].name)).collect();
    let free = names.iter().find(|name| !taken.contains(&name.as_str()));
    free.cloned().unwrap_or_else(|| free_name(&names[0], 0, &taken))
}

/// A room with less area than this part of the square of its length all round is a passage: one three times as long as it is wide has
/// 3 / 64 of it. Common practice, no source.
const PASSAGE: f64 = 3.0 / 64.0;
/// A room smaller than this is one that is gone into from the other, mm²; common practice, no source.
const CLOSET: f64 = 3e6;

/// What is behind a doorway where it stands: how thick its wall is, its leaf, and how the boards end.
fn take_from_behind(plan: &Plan, doorway: &mut Doorway) {
    doorway.wall_thickness = OUTER_WALL;
    let far = doorway.far_wall(plan, doorway.width / 2.0).filter(|far| far.distance <= THICKEST_WALL);
    if let Some(far) = far {
        // Whole millimetres: nobody measures a wall finer.
        doorway.wall_thickness = far.distance.round().max(0.0);
    }
    doorway.leaf = (doorway.wall_thickness >= LEAF).then(|| Leaf::swinging(Side::Far, LEAF));
    let is_boarded = far.is_some_and(|far| plan.rooms[far.room].is_boarded());
    doorway.beyond = match (is_boarded, doorway.leaf) {
        (true, _) => Beyond::RunThrough,
        (false, Some(_)) => Beyond::UnderLeaf,
        (false, None) => Beyond::Trim(TRIM),
    };
}

/// Puts a doorway elsewhere along its wall. What was taken from behind it and nobody has said otherwise since is taken from
/// behind it there: before another room the wall may be of another thickness, and boards run through.
pub(super) fn put_along(plan: &mut Plan, index: usize, at: f64) {
    let mut here = plan.doorways[index].clone();
    take_from_behind(plan, &mut here);
    let mut there = Doorway { at, ..here.clone() };
    take_from_behind(plan, &mut there);
    let doorway = &mut plan.doorways[index];
    doorway.at = at;
    if doorway.wall_thickness == here.wall_thickness {
        doorway.wall_thickness = there.wall_thickness;
        if (doorway.leaf, doorway.beyond) == (here.leaf, here.beyond) {
            (doorway.leaf, doorway.beyond) = (there.leaf, there.beyond);
        }
    }
}

/// Adds a fixture with this outline, named by its kind, and gives its index.
///
/// # Errors
/// When its outline crosses itself, has no area or lies in no room, or its sizes are out of range.
pub fn add_fixture(plan: &mut Plan, kind: FixtureKind, outline: &[Point]) -> Result<usize, Problem> {
    let kind_name = match kind {
        FixtureKind::Island => "Island",
        FixtureKind::Kick { .. } => "Kick",
        FixtureKind::Column => "Column",
        FixtureKind::Hearth => "Hearth",
        FixtureKind::TileArea { .. } => "Tile area",
        FixtureKind::Rebate { .. } => "Rebate",
        FixtureKind::LowSpot { .. } => "Low spot",
        FixtureKind::Vent => "Vent",
        FixtureKind::Stair { .. } => "Stair",
    };
    let index = plan.fixtures.len();
    let taken: Vec<&str> = plan.fixtures.iter().map(|fixture| fixture.name.as_str()).collect();
    let name = free_name(kind_name, 0, &taken);
    let mut next = plan.clone();
    next.fixtures.push(Fixture::plain(name, kind, outline.to_vec()));
    if !outline.iter().all(|corner| corner.x.is_finite() && corner.y.is_finite()) {
        return Err(problem(&next, Place::Fixture(index), "a corner is no number", "draw it again"));
    }
    if let Some(fault) = fixture_fault(&next, index) {
        return Err(fault);
    }
    *plan = next;
    Ok(index)
}

/// `name`, or with the first number from 2 that makes it free; numbered from `from` where that is not 0.
pub(super) fn free_name(name: &str, from: usize, taken: &[&str]) -> String {
    let numbered = |n: usize| if n == 0 { name.to_owned() } else { format!("{name} {n}") };
    let mut n = from;
    while taken.contains(&numbered(n).as_str()) {
        n = if n == 0 { 2 } else { n + 1 };
    }
    numbered(n)
}

#[cfg(test)]
mod tests {
    use super::super::tests::refused;
    use super::*;
    use crate::check::tests::two_rooms;
    use crate::{Covering, Lining};

    fn square(x: f64, y: f64, size: f64) -> [Point; 4] {
        [(x, y), (x + size, y), (x + size, y + size), (x, y + size)].map(Point::from)
    }

    #[test]
    fn new_rooms_are_numbered() {
        let mut plan = two_rooms();
        assert_eq!(add_room(&mut plan, &square(0.0, 4000.0, 2000.0)), Ok(2));
        assert_eq!(add_room(&mut plan, &square(3000.0, 4000.0, 2000.0)), Ok(3));
        assert_eq!((plan.rooms[2].name.as_str(), plan.rooms[3].name.as_str()), ("Room 1", "Room 2"));
        assert_eq!(plan.problems(), []);
        refused(|plan| add_room(plan, &square(0.0, 4000.0, 0.0)), "Room 1, wall 1", "no length");
        refused(|plan| add_room(plan, &square(f64::NAN, 4000.0, 9.0)), "Room 1", "no number");
    }

    /// Under a hall of 9000 lie a room behind a wall of 92 and, past a partition in the hall's middle, a tiled one behind 120: a doorway
    /// put into the middle meets none, and has a room's wall once it stands before it. What is typed stays.
    #[test]
    fn a_doorway_that_is_moved_takes_the_wall_behind_it() {
        let mut plan = Plan::new("House");
        let mut add = |left: f64, right: f64, low: f64, high: f64| {
            let corners = [(left, low), (right, low), (right, high), (left, high)].map(Point::from);
            add_room(&mut plan, &corners).unwrap();
        };
        add(0.0, 9000.0, 0.0, 1200.0);
        add(0.0, 4454.0, -3000.0, -92.0);
        add(4546.0, 9000.0, -3000.0, -120.0);
        plan.rooms[2].covering = Covering::Other("stone".into());
        let index = add_doorway(&mut plan, 0, 0, 4500.0).unwrap();
        let what = |plan: &Plan| (plan.doorways[index].wall_thickness, plan.doorways[index].beyond);
        assert_eq!(what(&plan), (OUTER_WALL, Beyond::UnderLeaf));
        crate::edit::place_doorway(&mut plan, index, 600.0).unwrap();
        assert_eq!((what(&plan), plan.problems()), ((92.0, Beyond::RunThrough), vec![]));
        let by = Point::new(5400.0, 0.0);
        crate::edit::move_all(&mut plan, &[Place::Doorway(index)], by).unwrap();
        assert_eq!((what(&plan), plan.problems()), ((120.0, Beyond::UnderLeaf), vec![]));
        plan.doorways[index].beyond = Beyond::Trim(TRIM);
        crate::edit::place_doorway(&mut plan, index, 600.0).unwrap();
        assert_eq!(what(&plan), (92.0, Beyond::Trim(TRIM)));
        crate::edit::set_doorway_thickness(&mut plan, index, 100.0).unwrap();
        crate::edit::place_doorway(&mut plan, index, 6000.0).unwrap();
        assert_eq!(what(&plan).0, 100.0);
    }

    /// A bedroom of 3300 between a hall and a robe of 2000 behind the upper end of its right wall, from 1300 on: the middle of that wall
    /// lies before the robe, a doorway of 820 there would begin at 1240. The hall is a passage.
    #[test]
    fn a_doorway_opens_into_one_room_and_is_named_after_it() {
        let mut plan = Plan::new("House");
        let mut add = |name: &str, (left, right): (f64, f64), (low, high): (f64, f64)| {
            let corners = [(left, low), (right, low), (right, high), (left, high)].map(Point::from);
            let room = add_room(&mut plan, &corners).unwrap();
            plan.rooms[room].name = name.into();
        };
        add("Hall", (0.0, 6000.0), (0.0, 1200.0));
        add("Bed 1", (0.0, 2900.0), (1292.0, 4592.0));
        add("Bed 2", (2992.0, 6000.0), (1292.0, 4592.0));
        add("Robe", (6092.0, 6700.0), (2592.0, 4592.0));
        add("Kitchen", (0.0, 6000.0), (-4000.0, -92.0));
        // Bed 2, its right wall.
        let robe = add_doorway(&mut plan, 2, 1, 1650.0).unwrap();
        let door = &plan.doorways[robe];
        assert_eq!((door.name.as_str(), door.at, door.beyond), ("Robe door", 1400.0, Beyond::RunThrough));
        // The hall's upper wall runs from right to left: the partition's middle lies 3054 from its corner.
        for (middle, at, name) in [(600.0, 190.0, "Bed 2 door"), (3500.0, 3200.0, "Bed 1 door")] {
            let index = add_doorway(&mut plan, 0, 2, middle).unwrap();
            assert_eq!((plan.doorways[index].name.as_str(), plan.doorways[index].at), (name, at));
        }
        for (room, wall, name) in [(0, 0, "Kitchen door"), (0, 3, "Hall door"), (0, 1, "Hall door 2")] {
            let index = add_doorway(&mut plan, room, wall, 600.0).unwrap();
            assert_eq!(plan.doorways[index].name, name);
        }
        // A second one between hall and kitchen would be the kitchen's too; the hall's name is taken.
        let index = add_doorway(&mut plan, 4, 2, 600.0).unwrap();
        assert_eq!(plan.doorways[index].name, "Kitchen door 2");
        let faults: Vec<String> = plan.problems().iter().map(|problem| problem.what.clone()).collect();
        assert_eq!(faults, Vec::<String>::new());
    }

    #[test]
    fn boards_go_under_a_lining_that_stands() {
        let under = |rough: Option<f64>| {
            let mut plan = two_rooms();
            let door = &mut plan.doorways[0];
            (door.rough_width, door.under_lining) = (rough.map(|rough| door.width + rough), None);
            crate::edit::set_lining(&mut plan, 0, Lining::Fitted);
            let fitted = plan.doorways[0].under_lining;
            assert_eq!(plan.problems(), []);
            crate::edit::set_lining(&mut plan, 0, Lining::ToCome);
            assert_eq!(plan.doorways[0].under_lining, None);
            fitted
        };
        // Linings of 33, 18 and 8 mm a side, of which 10 stay free as the wall gap.
        let found = [None, Some(66.0), Some(36.0), Some(16.0)].map(under);
        assert_eq!(found, [Some(12.0), Some(12.0), Some(8.0), Some(0.0)]);
        // What somebody typed stays.
        let mut plan = two_rooms();
        plan.doorways[0].under_lining = Some(5.0);
        crate::edit::set_lining(&mut plan, 0, Lining::Fitted);
        assert_eq!(plan.doorways[0].under_lining, Some(5.0));
    }

    #[test]
    fn a_new_doorway_fits_what_is_drawn() {
        let mut plan = two_rooms();
        plan.doorways.clear();
        assert_eq!(add_doorway(&mut plan, 0, 1, 2900.0), Ok(0));
        let door = &plan.doorways[0];
        assert_eq!((door.name.as_str(), door.at, door.wall_thickness), ("Left door", 2180.0, 100.0));
        assert_eq!(door.beyond, Beyond::RunThrough);
        assert_eq!(add_doorway(&mut plan, 0, 3, 1500.0), Ok(1));
        let outer = &plan.doorways[1];
        assert_eq!((outer.name.as_str(), outer.at, outer.wall_thickness), ("Left door 2", 1090.0, 250.0));
        assert_eq!(outer.beyond, Beyond::UnderLeaf);
        assert_eq!(plan.problems(), []);

        let mut plan = two_rooms();
        plan.doorways.clear();
        plan.rooms[1].covering = Covering::Other("stone".into());
        add_doorway(&mut plan, 0, 1, 0.0).unwrap();
        assert_eq!((plan.doorways[0].at, plan.doorways[0].beyond), (0.0, Beyond::UnderLeaf));
        assert_eq!(plan.problems(), []);
        // Without a wall between, there is no room for a leaf.
        plan.doorways.clear();
        plan.rooms[1].walls.iter_mut().for_each(|wall| wall.corner.x -= 100.0);
        add_doorway(&mut plan, 0, 1, 0.0).unwrap();
        assert_eq!((plan.doorways[0].leaf, plan.doorways[0].beyond), (None, Beyond::Trim(TRIM)));
        assert_eq!(plan.problems(), []);

        refused(|plan| add_doorway(plan, 0, 9, 0.0), "Left, wall 10", "no such wall");
        refused(|plan| add_doorway(plan, 0, 1, f64::NAN), "Left, wall 2", "too short");
        refused(
            |plan| {
                plan.rooms.push(Room::boarded("Nook", square(9e3, 9e3, 200.0)));
                let result = add_doorway(plan, 3, 0, 100.0);
                plan.rooms.pop();
                result
            },
            "Nook, wall 1",
            "too short",
        );
        let mut stone = two_rooms();
        stone.rooms[1].covering = Covering::Other("stone".into());
        assert!(add_doorway(&mut stone, 1, 0, 500.0).unwrap_err().what.contains("not boarded"));
    }

    #[test]
    fn new_fixtures_are_named_by_kind() {
        let mut plan = two_rooms();
        for (i, name) in ["Vent", "Vent 2", "Vent 3"].into_iter().enumerate() {
            assert_eq!(
                add_fixture(&mut plan, FixtureKind::Vent, &square(500.0 * i as f64, 0.0, 100.0)),
                Ok(i)
            );
            assert_eq!(plan.fixtures[i].name, name);
        }
        assert_eq!(plan.problems(), []);
        refused(
            |plan| add_fixture(plan, FixtureKind::Column, &square(0.0, -500.0, 90.0)),
            "Column",
            "in no room",
        );
        refused(
            |plan| add_fixture(plan, FixtureKind::Column, &square(0.0, f64::NAN, 9.0)),
            "Column",
            "no number",
        );
        let kick = FixtureKind::Kick { clearance: 20.0, tuck: 900.0 };
        refused(|plan| add_fixture(plan, kick, &square(0.0, 0.0, 900.0)), "Kick", "tuck is 900 mm");
    }
}
