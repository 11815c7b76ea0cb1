//! Doorways: in a wall of a boarded room, and with something on the far side where boards run through.

use super::rooms::SHARED;
use super::{Checker, Place};
use crate::doorway::FAR_WALL_PLAY;
use crate::{Beyond, Doorway, Places, shape};

/// A room nearer than this behind the wall is taken for the one on the far side, drawn or typed wrongly, mm.
const NEAR_MISS: f64 = 500.0;
/// How far inside its jambs an opening is looked through, mm.
const BESIDE_JAMB: f64 = 2.0;

pub(super) fn check(checker: &mut Checker<'_>, places: &Places<'_>) {
    let plan = checker.plan;
    checker.names("doorway", plan.doorways.iter().map(|doorway| doorway.name.as_str()), Place::Doorway);
    let mut stands: Vec<bool> = Vec::with_capacity(plan.doorways.len());
    for (i, doorway) in plan.doorways.iter().enumerate() {
        if checker.is_full() {
            return;
        }
        sizes(checker, i, doorway);
        stands.push(stands_in_wall(checker, places, i, doorway));
        if !stands[i] {
            continue;
        }
        far_side(checker, places, i, doorway);
        let Some(throat) = places.throat(i) else { continue };
        let near = places.doorways_near(throat);
        for j in near.into_iter().take_while(|j| *j < i).filter(|j| stands[*j]) {
            if places.throat(j).is_some_and(|other| shape::overlap(throat, other, SHARED, &checker.steps)) {
                let other = Place::Doorway(j).name(plan);
                checker.add(
                    Place::Doorway(i),
                    format!("it overlaps the doorway {other}"),
                    "move it along the wall, or remove one if both are the same opening",
                );
            }
        }
    }
}

fn sizes(checker: &mut Checker<'_>, i: usize, doorway: &Doorway) {
    let place = || Place::Doorway(i);
    checker.within(place(), "width", doorway.width, 300.0, 20_000.0);
    checker.within(place(), "wall thickness", doorway.wall_thickness, 0.0, 1000.0);
    if let Some(rough) = doorway.rough_width.filter(|&rough| rough < doorway.width) {
        let (rough, width) = (checker.length(rough), checker.length(doorway.width));
        checker.add(
            place(),
            format!("its rough width {rough} is less than its width {width}"),
            "measure the opening in the wall before it is lined",
        );
    }
    if let Some(leaf) = doorway.leaf
        && checker.within(place(), "leaf thickness", leaf.thickness, 10.0, 120.0)
        && leaf.thickness > doorway.wall_thickness
    {
        let (leaf, wall) = (checker.length(leaf.thickness), checker.length(doorway.wall_thickness));
        checker.add(
            place(),
            format!("its leaf is {leaf} thick, its wall {wall}"),
            "type both again; a leaf closes within the wall",
        );
    }
    if let Some(above) = doorway.leaf.and_then(|leaf| leaf.above_slab) {
        checker.within(place(), "leaf's height above the slab", above, 0.0, 300.0);
    }
    if let Some(stop) = doorway.stop {
        checker.within(place(), "place where boards stop", stop, 0.0, doorway.wall_thickness.max(0.0));
    }
    if let Some(under) = doorway.under_lining
        && checker.within(place(), "tuck under the lining", under, 0.0, 100.0)
        && let Some(lining) = doorway.rough_width.map(|rough| (rough - doorway.width) / 2.0)
        && under > lining
    {
        let (under, lining) = (checker.length(under), checker.length(lining));
        checker.add(
            place(),
            format!("boards go {under} under its lining, which has {lining} a side in the rough opening"),
            "type less, and leave the gap before the rough opening",
        );
    }
    if let Some(arris) = doorway.arris {
        checker.within(place(), "arris", arris.depth(), 0.0, checker.plan.stock.thickness);
    }
    if let Some(surface) = doorway.outside {
        checker.within(place(), "floor's height outside", surface.height, -200.0, 200.0);
    }
    match doorway.beyond {
        Beyond::UnderLeaf if doorway.leaf.is_none() && doorway.stop.is_none() => {
            checker.add(
                place(),
                "boards are to stop under a leaf, and there is none",
                "give it a leaf, a trim, or the place where they stop",
            );
        }
        Beyond::Trim(width) => {
            checker.within(place(), "trim width", width, 0.0, 300.0);
        }
        Beyond::UnderLeaf | Beyond::RunThrough => {}
    }
}

/// Whether the doorway stands in a sound wall of a boarded room.
fn stands_in_wall(checker: &mut Checker<'_>, places: &Places<'_>, i: usize, doorway: &Doorway) -> bool {
    let plan = checker.plan;
    let Some(room) = places.room_index(&doorway.room) else {
        let names = plan.rooms.iter().map(|room| room.name.as_str()).filter(|name| !name.is_empty());
        let rooms: Vec<&str> = names.take(20).collect();
        checker.add(
            Place::Doorway(i),
            format!("there is no room `{}`", doorway.room),
            if rooms.is_empty() {
                "draw the room first".into()
            } else {
                format!("name one of {}", rooms.join(", "))
            },
        );
        return false;
    };
    let near = &plan.rooms[room];
    let Some((a, b)) = near.wall_line(doorway.wall) else {
        checker.add(
            Place::Doorway(i),
            format!("{} has no wall {}", near.name, doorway.wall + 1),
            format!("name a wall from 1 to {}", near.walls.len()),
        );
        return false;
    };
    if !near.is_boarded() {
        checker.add(
            Place::Doorway(i),
            format!("{} is not boarded", near.name),
            "put it in the wall of the boarded room on its other side",
        );
    }
    let length = a.distance(b);
    if doorway.at < 0.0 || doorway.at + doorway.width > length {
        let wall = Place::Wall(room, doorway.wall).name(plan);
        let (from, to) = (checker.length(doorway.at), checker.length(doorway.at + doorway.width));
        let length = checker.length(length);
        checker.add(
            Place::Doorway(i),
            format!("it goes from {from} to {to} along {wall}, which is {length} long"),
            "move it along the wall or make it narrower",
        );
        return false;
    }
    near.is_boarded() && doorway.width > 2.0 * BESIDE_JAMB
}

fn far_side(checker: &mut Checker<'_>, places: &Places<'_>, i: usize, doorway: &Doorway) {
    let plan = checker.plan;
    let middle = doorway.width / 2.0;
    let found = places.far_wall(doorway, middle);
    if let Some(far) = found {
        let off = (far.distance - doorway.wall_thickness).abs();
        if off > FAR_WALL_PLAY && off < NEAR_MISS {
            let name = &plan.rooms[far.room].name;
            let (distance, typed) = (checker.length(far.distance), checker.length(doorway.wall_thickness));
            checker.add(
                Place::Doorway(i),
                format!(
                    "{name} begins {distance} behind the wall's face, the wall is typed as {typed} thick"
                ),
                format!("type {distance} as the wall's thickness, or move a wall"),
            );
            return;
        }
    }
    if doorway.beyond != Beyond::RunThrough {
        return;
    }
    let jambs = [BESIDE_JAMB, doorway.width - BESIDE_JAMB];
    let Some(room) = places.far_room(doorway) else {
        // Its middle may lie before a wall between two rooms.
        let beside = jambs.map(|jamb| places.far_wall(doorway, jamb).map(|far| &plan.rooms[far.room].name));
        if let [Some(one), Some(other)] = beside {
            checker.add(
                Place::Doorway(i),
                format!("boards are to run through, and the wall between {one} and {other} ends in it"),
                "move it along the wall until it opens into one room",
            );
            return;
        }
        checker.add(
            Place::Doorway(i),
            "boards are to run through, and there is no room on the far side",
            "draw that room, or let the boards stop under the leaf or at a trim",
        );
        return;
    };
    let far = &plan.rooms[room];
    if !far.is_boarded() {
        checker.add(
            Place::Doorway(i),
            format!("boards are to run through, and {} is not boarded", far.name),
            "let the boards stop under the leaf or at a trim",
        );
    }
    if jambs.iter().any(|&jamb| places.far_wall(doorway, jamb).is_none_or(|found| found.room != room)) {
        checker.add(
            Place::Doorway(i),
            format!("part of it does not open into {}", far.name),
            "move it along the wall until both jambs do",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{accept, expect, two_rooms};
    use crate::{Arris, Beyond, Covering, Doorway, Leaf, Side, Surface, SurfaceKind};

    fn again(door: &Doorway, name: &str) -> Doorway {
        Doorway { name: name.into(), ..door.clone() }
    }

    #[test]
    fn a_doorway_stands_in_a_wall_of_a_boarded_room() {
        expect(|plan| plan.doorways[0].room = "Attic".into(), "Door", "no room `Attic`");
        expect(|plan| plan.doorways[0].wall = 4, "Door", "Left has no wall 5");
        expect(|plan| plan.doorways[0].at = -1.0, "Door", "goes from −1 mm to 799 mm along Left, wall 2");
        expect(|plan| plan.doorways[0].at = 2201.0, "Door", "which is 3\u{a0}000 mm long");
        accept(|plan| plan.doorways[0].at = 2200.0);
        expect(
            |plan| plan.rooms[0].covering = Covering::Other("stone".into()),
            "Door",
            "Left is not boarded",
        );
    }

    #[test]
    fn sizes_are_those_of_doorways() {
        expect(|plan| plan.doorways[0].width = 299.0, "Door", "299 mm");
        expect(|plan| plan.doorways[0].wall_thickness = -1.0, "Door", "−1 mm");
        expect(|plan| plan.doorways[0].rough_width = Some(799.0), "Door", "rough width 799 mm");
        let leaf =
            |thickness| Some(Leaf { closes_on: Side::Far, thickness, above_slab: None, slides: false });
        expect(|plan| plan.doorways[0].leaf = leaf(9.0), "Door", "leaf thickness is 9 mm");
        expect(|plan| plan.doorways[0].leaf = leaf(101.0), "Door", "leaf is 101 mm thick");
        let mut low = leaf(40.0);
        low.iter_mut().for_each(|leaf| leaf.above_slab = Some(301.0));
        expect(|plan| plan.doorways[0].leaf = low, "Door", "leaf's height above the slab is 301 mm");
        expect(|plan| plan.doorways[0].arris = Some(Arris::Chamfered(16.0)), "Door", "arris is 16 mm");
        accept(|plan| plan.doorways[0].arris = Some(Arris::Square));
        expect(|plan| plan.doorways[0].under_lining = Some(101.0), "Door", "under the lining is 101 mm");
        // The rough opening is 60 wider, 30 a side.
        expect(|plan| plan.doorways[0].under_lining = Some(31.0), "Door", "boards go 31 mm under");
        accept(|plan| plan.doorways[0].under_lining = Some(20.0));
        expect(|plan| plan.doorways[0].stop = Some(101.0), "Door", "where boards stop is 101 mm");
        expect(|plan| plan.doorways[0].stop = Some(-1.0), "Door", "where boards stop is −1 mm");
        accept(|plan| plan.doorways[0].stop = Some(100.0));
        let track = Some(Surface { kind: SurfaceKind::Track, height: 201.0 });
        expect(|plan| plan.doorways[0].outside = track, "Door", "floor's height outside is 201 mm");
        let beyond = |beyond| move |door: &mut Doorway| (door.leaf, door.beyond) = (None, beyond);
        expect(|plan| beyond(Beyond::UnderLeaf)(&mut plan.doorways[0]), "Door", "there is none");
        expect(|plan| beyond(Beyond::Trim(301.0))(&mut plan.doorways[0]), "Door", "301 mm");
        accept(|plan| beyond(Beyond::Trim(30.0))(&mut plan.doorways[0]));
    }

    #[test]
    fn boards_run_through_into_a_boarded_room() {
        expect(|plan| drop(plan.rooms.pop()), "Door", "no room on the far side");
        accept(|plan| {
            plan.rooms.pop();
            plan.doorways[0].beyond = Beyond::UnderLeaf;
        });
        // Two rooms beyond, the wall between them from 1350 to 1450 before the opening's middle, 1400.
        let parted = |plan: &mut crate::Plan| {
            let room = |name: &str, low: f64, high: f64| {
                let corners = [(4100.0, low), (7600.0, low), (7600.0, high), (4100.0, high)];
                crate::Room::boarded(name, corners.map(crate::Point::from))
            };
            plan.rooms.splice(1.., [room("Low", 0.0, 1350.0), room("High", 1450.0, 3000.0)]);
        };
        expect(parted, "Door", "the wall between Low and High ends in it");
        let stone = || Covering::Other("stone".into());
        expect(|plan| plan.rooms[1].covering = stone(), "Door", "Right is not boarded");
        // The far room begins half way along the opening.
        let shift = |y: f64| move |wall: &mut crate::Wall| wall.corner.y += y;
        expect(|plan| plan.rooms[1].walls.iter_mut().for_each(shift(1300.0)), "Door", "part of it");
    }

    #[test]
    fn a_wall_thickness_that_is_not_the_drawn_one_is_told() {
        expect(|plan| plan.doorways[0].wall_thickness = 170.0, "Door", "Right begins 100 mm behind");
        accept(|plan| plan.doorways[0].wall_thickness = 150.0);
        accept(|plan| plan.doorways[0].wall_thickness = 41.0);
    }

    #[test]
    fn openings_do_not_overlap() {
        let mut second = again(&two_rooms().doorways[0], "Second");
        second.at = 1799.0;
        let beside = Doorway { at: 1800.0, ..second.clone() };
        expect(|plan| plan.doorways.push(second), "Second", "overlaps the doorway Door");
        accept(|plan| plan.doorways.push(beside));
        // The same opening, drawn from the other room.
        let mut other_side = again(&two_rooms().doorways[0], "Second");
        (other_side.room, other_side.wall, other_side.at) = ("Right".into(), 3, 1200.0);
        expect(|plan| plan.doorways.push(other_side), "Second", "overlaps the doorway Door");
    }

    #[test]
    fn the_far_room_is_the_one_behind_the_wall() {
        let plan = two_rooms();
        assert_eq!(plan.doorways[0].far_room(&plan), Some(1));
        let outside = Doorway { wall: 3, ..plan.doorways[0].clone() };
        assert_eq!(outside.far_room(&plan), None);
        let back = Doorway { room: "Right".into(), wall: 3, ..plan.doorways[0].clone() };
        assert_eq!(back.far_room(&plan), Some(0));
        let missing = Doorway { room: "Attic".into(), ..plan.doorways[0].clone() };
        assert_eq!(missing.far_room(&plan), None);
        // Drawn clockwise the room is the same room.
        let mut turned = plan.clone();
        turned.rooms[0].walls.reverse();
        let door = Doorway { wall: 1, ..plan.doorways[0].clone() };
        assert_eq!(turned.rooms[0].wall_line(1).map(|(a, b)| (a.x, b.x)), Some((4000.0, 4000.0)));
        assert_eq!(door.far_room(&turned), Some(1));
    }
}
