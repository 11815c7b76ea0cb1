//! Where one stage takes over from another.

use super::Boundary;
use super::share::Share;
use lay::{Board, Floor};
use plan::{Bounds, Boxes, Plan, Point};
use setout::{ControlLine, ControlPlace, SetOut, control_lines};
use site::Site;
use std::collections::{BTreeMap, BTreeSet};

/// Boards whose bounds come this near lie against one another, mm.
const AGAINST: f64 = 2.0;

/// Every boundary: first the stages' own order, then by doorway and room.
pub(super) fn boundaries(
    plan: &Plan,
    surveyed: &Site,
    set: &SetOut,
    floor: &Floor,
    share: &Share<'_>,
) -> Vec<Boundary> {
    // Boards that lie across, by the two stages and the doorway, or the two rooms.
    let mut across: BTreeMap<(usize, usize, Between), Vec<usize>> = BTreeMap::new();
    for (index, lies) in share.lies.iter().enumerate() {
        for &door in &lies.doorways {
            if let [near, far] = share.rooms_of(door)[..] {
                put(share, &mut across, (near, far), Between::Doorway(door), index);
            }
        }
        for (i, &a) in lies.rooms.iter().enumerate() {
            for &b in &lies.rooms[i + 1..] {
                let joined = lies.doorways.iter().any(|door| {
                    let rooms = share.rooms_of(*door);
                    rooms.contains(&a) && rooms.contains(&b)
                });
                if !joined {
                    put(share, &mut across, (a, b), Between::Rooms(a, b), index);
                }
            }
        }
    }
    if across.is_empty() {
        return Vec::new();
    }
    let bounds = |board: &Board| Bounds::of(board.outline.outer.iter().map(|p| [p.u, p.v]));
    let boxes = Boxes::new(floor.boards.iter().map(bounds));
    let controls = control_lines(plan, surveyed, set);
    let mut all = Vec::new();
    for ((first, next, between), crossing) in across {
        // Only what the first stage lays crosses into the next.
        let ours: Vec<usize> =
            crossing.iter().copied().filter(|b| share.stage_of[*b] == Some(first)).collect();
        let (place, room, reach) = match between {
            Between::Doorway(door) => {
                let rooms = share.rooms_of(door);
                let room = rooms.into_iter().find(|room| share.of_room[*room] == Some(next));
                let reach = room.and_then(|room| reach(share, floor, &ours, door, room));
                (plan.doorways[door].name.clone(), room, reach)
            }
            Between::Rooms(a, b) => {
                let room = if share.of_room[a] == Some(next) { a } else { b };
                (format!("{} and {}", plan.rooms[a].name, plan.rooms[b].name), Some(room), None)
            }
        };
        let mut ends = BTreeSet::new();
        let mut rows = BTreeSet::new();
        let crossed: BTreeSet<(usize, i32)> =
            ours.iter().map(|board| (floor.boards[*board].region, floor.boards[*board].row)).collect();
        for &board in &ours {
            let from = &floor.boards[board];
            let Some(around) = bounds(from) else { continue };
            for other in boxes.meeting(around.grown(AGAINST)) {
                let beside = &floor.boards[other];
                if share.stage_of[other] != Some(next) || beside.region != from.region {
                    continue;
                }
                // A row that crosses itself goes on at its ends.
                if beside.run == from.run {
                    ends.insert(other);
                } else if !crossed.contains(&(beside.region, beside.row)) {
                    rows.insert((beside.region, beside.row));
                }
            }
        }
        if ours.is_empty() {
            // A row line lies in the doorway: the next stage's own rows reach into it.
            rows.extend(crossing.iter().map(|board| (floor.boards[*board].region, floor.boards[*board].row)));
        }
        all.push(Boundary {
            first,
            next,
            place,
            crossing: ours,
            reach,
            ends: ends.into_iter().collect(),
            rows: rows.into_iter().collect(),
            control: room.and_then(|room| control(&controls, room)),
        });
    }
    all
}

/// What lies between two rooms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Between {
    Doorway(usize),
    Rooms(usize, usize),
}

fn put(
    share: &Share<'_>,
    across: &mut BTreeMap<(usize, usize, Between), Vec<usize>>,
    (a, b): (usize, usize),
    between: Between,
    board: usize,
) {
    let (Some(a), Some(b)) = (share.of_room[a], share.of_room[b]) else { return };
    if a != b {
        across.entry((a.min(b), a.max(b), between)).or_default().push(board);
    }
}

/// How far boards reach past a doorway's face into a room, at most, mm.
fn reach(share: &Share<'_>, floor: &Floor, boards: &[usize], door: usize, room: usize) -> Option<f64> {
    let [near_a, near_b, far_b, far_a] = *share.places.throat(door)?;
    let middle = |a: Point, b: Point| Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
    let (near, far) = (middle(near_a, near_b), middle(far_a, far_b));
    let thickness = near.distance(far);
    let is_near = share.places.room_index(&share.plan.doorways.get(door)?.room) == Some(room);
    let (face, behind) = if is_near { (near, far) } else { (far, near) };
    // Rooms that share a wall's face leave no way through it; then the walls' own direction tells.
    let away = match thickness > 0.0 {
        true => Point::new((face.x - behind.x) / thickness, (face.y - behind.y) / thickness),
        false => {
            let wall = share.plan.doorways.get(door)?;
            let near_room = share.plan.rooms.get(share.places.room_index(&wall.room)?)?;
            let (_, out) = near_room.wall_axes(wall.wall)?;
            if is_near { Point::new(-out.x, -out.y) } else { out }
        }
    };
    let past = |p: Point| (p.x - face.x) * away.x + (p.y - face.y) * away.y;
    let of_first = boards.iter().filter_map(|board| floor.boards.get(*board));
    let most = of_first.flat_map(|board| share.outline(board)).map(past).fold(0.0, f64::max);
    Some(most)
}

/// The row line snapped again in a room.
fn control(lines: &[ControlLine], room: usize) -> Option<ControlLine> {
    lines.iter().find(|line| line.place == ControlPlace::Room(room)).cloned()
}
