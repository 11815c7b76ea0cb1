//! Changes of the plan that keep its parts consistent: walls that stretch, doorways that follow.

use plan::{Beyond, Doorway, Fixture, FixtureKind, Leaf, Lining, Plan, Point, Room, Side, Wall};

/// Width of a new doorway, mm: common practice, no source.
pub(crate) const DOORWAY_WIDTH: f64 = 820.0;
/// Wall thickness of a new doorway where no other room tells it, mm: common practice, no source.
const WALL_THICKNESS: f64 = 110.0;

/// A name that none of `taken` has: `base`, or `base 2`, `base 3`…
pub(crate) fn free_name<'a>(base: &str, taken: impl Iterator<Item = &'a str> + Clone) -> String {
    if !taken.clone().any(|name| name == base) {
        return base.to_owned();
    }
    (2..).map(|n| format!("{base} {n}")).find(|name| !taken.clone().any(|other| other == name)).unwrap_or_default()
}

/// Where the lines through `a` along `d` and through `b` along `e` meet; `None` if they run alike.
fn meet(a: Point, d: Point, b: Point, e: Point) -> Option<Point> {
    let cross = d.x * e.y - d.y * e.x;
    // Under a hundredth of a degree the meeting point runs off the page.
    if cross.abs() < 1e-4 {
        return None;
    }
    let t = ((b.x - a.x) * e.y - (b.y - a.y) * e.x) / cross;
    Some(a.moved(d.x * t, d.y * t))
}

/// Puts a corner elsewhere.
pub(crate) fn move_corner(plan: &mut Plan, room: usize, wall: usize, to: Point) {
    if let Some(wall) = plan.rooms.get_mut(room).and_then(|room| room.walls.get_mut(wall)) {
        wall.corner = to;
    }
}

/// Moves a wall by `away` mm out of its room; its neighbours stretch along their own lines.
pub(crate) fn move_wall(plan: &mut Plan, room: usize, wall: usize, away: f64) {
    let Some(room) = plan.rooms.get_mut(room) else { return };
    let count = room.walls.len();
    if wall >= count || count < 3 {
        return;
    }
    let (before, next) = ((wall + count - 1) % count, (wall + 1) % count);
    let (Some((along, out)), Some((start, end))) = (room.wall_axes(wall), room.wall_line(wall)) else { return };
    let shift = |p: Point| p.moved(out.x * away, out.y * away);
    let at = shift(start);
    let stretched = |neighbour: usize, fixed: Point| {
        let (direction, _) = room.wall_axes(neighbour)?;
        // A neighbour nearly in line would carry the corner far off: there the corner moves square.
        let sine = (along.x * direction.y - along.y * direction.x).abs();
        if sine < 0.2 { None } else { meet(at, along, fixed, direction) }
    };
    let new_start = stretched(before, start).unwrap_or_else(|| shift(start));
    let new_end = stretched(next, end).unwrap_or_else(|| shift(end));
    room.walls[wall].corner = new_start;
    room.walls[next].corner = new_end;
}

/// Gives a wall a length, mm, its start staying put. With `square`, the next wall moves as a whole,
/// so that right angles stay right; without, only the one corner moves.
pub(crate) fn set_wall_length(plan: &mut Plan, room: usize, wall: usize, length: f64, square: bool) {
    let Some(room) = plan.rooms.get_mut(room) else { return };
    let count = room.walls.len();
    let (Some((along, _)), Some((start, end))) = (room.wall_axes(wall), room.wall_line(wall)) else { return };
    let grown = length - start.distance(end);
    let (dx, dy) = (along.x * grown, along.y * grown);
    let moved = if square && count > 3 { 2 } else { 1 };
    for step in 1..=moved {
        let corner = &mut room.walls[(wall + step) % count].corner;
        *corner = corner.moved(dx, dy);
    }
}

/// Puts a corner in the middle of a wall.
pub(crate) fn split_wall(plan: &mut Plan, room: usize, wall: usize) {
    let Some(drawn) = plan.rooms.get_mut(room) else { return };
    let Some((start, end)) = drawn.wall_line(wall) else { return };
    let half = start.distance(end) / 2.0;
    let mut second = Wall::from_corner(start.lerp(end, 0.5));
    second.face = drawn.walls[wall].face;
    second.gap = drawn.walls[wall].gap;
    second.bow = drawn.walls[wall].bow.iter().filter(|b| b.along > half).copied().collect();
    for bow in &mut second.bow {
        bow.along -= half;
    }
    drawn.walls[wall].bow.retain(|bow| bow.along < half);
    drawn.walls.insert(wall + 1, second);
    let name = drawn.name.clone();
    for doorway in plan.doorways.iter_mut().filter(|d| d.room == name) {
        if doorway.wall > wall {
            doorway.wall += 1;
        } else if doorway.wall == wall && doorway.at >= half {
            doorway.wall += 1;
            doorway.at -= half;
        }
    }
}

/// Takes a corner out, so that the wall before it runs on to the next corner. A room keeps three.
pub(crate) fn remove_corner(plan: &mut Plan, room: usize, wall: usize) {
    let Some(drawn) = plan.rooms.get_mut(room) else { return };
    if drawn.walls.len() <= 3 || wall >= drawn.walls.len() {
        return;
    }
    let before = (wall + drawn.walls.len() - 1) % drawn.walls.len();
    let before_length = drawn.wall_line(before).map_or(0.0, |(a, b)| a.distance(b));
    drawn.walls[before].bow.clear();
    drawn.walls.remove(wall);
    let name = drawn.name.clone();
    let last = drawn.walls.len() - 1;
    for doorway in plan.doorways.iter_mut().filter(|d| d.room == name) {
        if doorway.wall == wall {
            doorway.at += before_length;
            doorway.wall = if wall == 0 { last } else { wall - 1 };
        } else if doorway.wall > wall {
            doorway.wall -= 1;
        }
    }
}

/// Renames a room, its doorways with it.
pub(crate) fn rename_room(plan: &mut Plan, room: usize, name: &str) {
    let Some(drawn) = plan.rooms.get_mut(room) else { return };
    let old = std::mem::replace(&mut drawn.name, name.to_owned());
    for doorway in plan.doorways.iter_mut().filter(|d| d.room == old) {
        doorway.room = name.to_owned();
    }
}

/// Takes a room away, its doorways with it.
pub(crate) fn remove_room(plan: &mut Plan, room: usize) {
    if room < plan.rooms.len() {
        let name = plan.rooms.remove(room).name;
        plan.doorways.retain(|doorway| doorway.room != name);
    }
}

/// Adds a boarded room with these corners; its index.
pub(crate) fn add_room(plan: &mut Plan, corners: &[Point]) -> usize {
    let base = format!("Room {}", plan.rooms.len() + 1);
    let name = free_name(&base, plan.rooms.iter().map(|room| room.name.as_str()));
    plan.rooms.push(Room::boarded(name, corners.iter().copied()));
    plan.rooms.len() - 1
}

/// A doorway on a wall of a boarded room, its middle as near `middle` (mm along the wall) as the
/// wall allows; its index, or `None` where the wall is too short or the room not boarded.
pub(crate) fn add_doorway(plan: &mut Plan, room: usize, wall: usize, middle: f64) -> Option<usize> {
    let drawn = plan.rooms.get(room)?;
    let (start, end) = drawn.wall_line(wall)?;
    let length = start.distance(end);
    if drawn.covering != plan::Covering::Boards || length < DOORWAY_WIDTH {
        return None;
    }
    let at = (middle - DOORWAY_WIDTH / 2.0).clamp(0.0, length - DOORWAY_WIDTH).round();
    let (along, away) = drawn.wall_axes(wall)?;
    let centre = start.moved(along.x * (at + DOORWAY_WIDTH / 2.0), along.y * (at + DOORWAY_WIDTH / 2.0));
    let (thickness, far_room) = wall_behind(plan, room, centre, away).unwrap_or((WALL_THICKNESS, usize::MAX));
    let far_is_boarded = plan.rooms.get(far_room).is_some_and(|room| room.covering == plan::Covering::Boards);
    let far_name = plan.rooms.get(far_room).map(|room| room.name.clone());
    let base = far_name.map_or_else(|| format!("{} door", drawn.name), |far| format!("{far} door"));
    let name = free_name(&base, plan.doorways.iter().map(|doorway| doorway.name.as_str()));
    plan.doorways.push(Doorway {
        name,
        room: drawn.name.clone(),
        wall,
        at,
        width: DOORWAY_WIDTH,
        rough_width: None,
        wall_thickness: thickness,
        leaf: Some(Leaf { closes_on: Side::Near, thickness: 40.0 }),
        lining: Lining::ToCome,
        beyond: if far_is_boarded { Beyond::RunThrough } else { Beyond::UnderLeaf },
    });
    Some(plan.doorways.len() - 1)
}

/// The nearest wall of another room straight behind a wall, within half a metre: distance and room.
fn wall_behind(plan: &Plan, room: usize, from: Point, away: Point) -> Option<(f64, usize)> {
    let mut nearest: Option<(f64, usize)> = None;
    for (index, other) in plan.rooms.iter().enumerate().filter(|(index, _)| *index != room) {
        for wall in 0..other.walls.len() {
            let Some((a, b)) = other.wall_line(wall) else { continue };
            let direction = Point::new(b.x - a.x, b.y - a.y);
            let Some(hit) = meet(from, away, a, direction) else { continue };
            let distance = (hit.x - from.x) * away.x + (hit.y - from.y) * away.y;
            let length = a.distance(b);
            let along = ((hit.x - a.x) * direction.x + (hit.y - a.y) * direction.y) / length;
            if (20.0..500.0).contains(&distance)
                && (0.0..=length).contains(&along)
                && nearest.is_none_or(|(d, _)| distance < d)
            {
                nearest = Some((distance.round(), index));
            }
        }
    }
    nearest
}

/// A rectangle between two opposite corners as an island; its index, or `None` if it has no area.
pub(crate) fn add_fixture(plan: &mut Plan, a: Point, b: Point) -> Option<usize> {
    if (a.x - b.x).abs() < 20.0 || (a.y - b.y).abs() < 20.0 {
        return None;
    }
    let base = format!("Fixture {}", plan.fixtures.len() + 1);
    let name = free_name(&base, plan.fixtures.iter().map(|fixture| fixture.name.as_str()));
    let (left, right) = (a.x.min(b.x), a.x.max(b.x));
    let (low, high) = (a.y.min(b.y), a.y.max(b.y));
    let outline =
        vec![Point::new(left, low), Point::new(right, low), Point::new(right, high), Point::new(left, high)];
    plan.fixtures.push(Fixture { name, kind: FixtureKind::Island, gap: None, outline });
    Some(plan.fixtures.len() - 1)
}

/// The two ends of a doorway's opening on the near wall face.
pub(crate) fn doorway_ends(plan: &Plan, doorway: usize) -> Option<(Point, Point, Point)> {
    let doorway = plan.doorways.get(doorway)?;
    let room = plan.rooms.get(plan.room_index(&doorway.room)?)?;
    let (start, _) = room.wall_line(doorway.wall)?;
    let (along, away) = room.wall_axes(doorway.wall)?;
    let at = |d: f64| start.moved(along.x * d, along.y * d);
    Some((at(doorway.at), at(doorway.at + doorway.width), away))
}

/// Distance from a point to the segment `a`–`b`, and how far along it the nearest point lies, mm.
pub(crate) fn to_segment(p: Point, a: Point, b: Point) -> (f64, f64) {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let squared = dx * dx + dy * dy;
    if squared <= 0.0 {
        return (p.distance(a), 0.0);
    }
    let t = (((p.x - a.x) * dx + (p.y - a.y) * dy) / squared).clamp(0.0, 1.0);
    (p.distance(a.lerp(b, t)), t * squared.sqrt())
}

/// Whether a point lies inside a polygon, by counting crossings.
pub(crate) fn is_inside(p: Point, polygon: impl Iterator<Item = Point> + Clone) -> bool {
    let next = polygon.clone().cycle().skip(1);
    let mut inside = false;
    for (a, b) in polygon.zip(next) {
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
    }
    inside
}

/// Area of a polygon, mm².
pub(crate) fn area(polygon: impl Iterator<Item = Point> + Clone) -> f64 {
    let next = polygon.clone().cycle().skip(1);
    polygon.zip(next).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>().abs() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Plan {
        let mut plan = Plan::new("Test");
        let corners = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)];
        add_room(&mut plan, &corners.map(Point::from));
        plan
    }

    fn corners(plan: &Plan) -> Vec<(f64, f64)> {
        plan.rooms[0].walls.iter().map(|wall| wall.corner.into()).collect()
    }

    #[test]
    fn walls_stretch_their_neighbours() {
        let mut plan = square();
        move_wall(&mut plan, 0, 1, 250.0);
        assert_eq!(corners(&plan), [(0.0, 0.0), (4250.0, 0.0), (4250.0, 3000.0), (0.0, 3000.0)]);
        set_wall_length(&mut plan, 0, 0, 4100.0, true);
        assert_eq!(corners(&plan), [(0.0, 0.0), (4100.0, 0.0), (4100.0, 3000.0), (0.0, 3000.0)]);
        set_wall_length(&mut plan, 0, 0, 4000.0, false);
        assert_eq!(corners(&plan), [(0.0, 0.0), (4000.0, 0.0), (4100.0, 3000.0), (0.0, 3000.0)]);
    }

    #[test]
    fn doorways_follow_split_and_joined_walls() {
        let mut plan = square();
        let door = add_doorway(&mut plan, 0, 0, 3000.0).unwrap();
        let place = |plan: &Plan| doorway_ends(plan, door).map(|(a, b, _)| (a, b)).unwrap();
        let before = place(&plan);
        split_wall(&mut plan, 0, 0);
        assert_eq!((plan.doorways[door].wall, place(&plan)), (1, before));
        remove_corner(&mut plan, 0, 1);
        assert_eq!((plan.doorways[door].wall, place(&plan)), (0, before));
        rename_room(&mut plan, 0, "Hall");
        assert_eq!(plan.doorways[door].room, "Hall");
        remove_room(&mut plan, 0);
        assert!(plan.doorways.is_empty());
    }
}
