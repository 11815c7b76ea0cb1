//! Rooms: walls that close without crossing, and rooms that do not overlap.

use super::{Checker, Place, Problem};
use crate::{Covering, Pattern, Places, Plan, Point, Room, Skirting, shape};

/// A wall shorter than this is a slip of the hand, mm.
const SHORTEST_WALL: f64 = 1.0;
/// More boards than this are no house; a large hall takes a tenth.
const MOST_BOARDS: f64 = 300_000.0;
/// A smaller room is a slip of the hand, mm².
const LEAST_AREA: f64 = 10_000.0;
/// Measured bows are a few millimetres; half a metre is another wall, mm.
const GREATEST_BOW: f64 = 500.0;
/// Rooms may share a wall's face, drawn as well as measuring allows, mm.
pub(super) const SHARED: f64 = 0.5;

pub(super) fn check(checker: &mut Checker<'_>, places: &Places<'_>) {
    let plan = checker.plan;
    checker.names("room", plan.rooms.iter().map(|room| room.name.as_str()), Place::Room);
    let mut is_sound: Vec<bool> = Vec::new();
    for (i, room) in plan.rooms.iter().enumerate() {
        if matches!(&room.covering, Covering::Other(what) if what.trim().is_empty()) {
            checker.add(Place::Room(i), "its covering has no name", "say what covers it, such as stone");
        }
        checker.within(Place::Room(i), "slab level", room.slab_level, -500.0, 500.0);
        if let Some(surface) = room.surface {
            checker.within(Place::Room(i), "floor's height", surface.height, -200.0, 200.0);
        }
        for (j, wall) in room.walls.iter().enumerate() {
            if let Some(Skirting::Thick(thickness)) = wall.skirting {
                checker.within(Place::Wall(i, j), "skirting", thickness, 0.0, 100.0);
            }
            if let Some(gap) = wall.gap {
                checker.gap(Place::Wall(i, j), "gap", gap);
            }
        }
        let before = checker.found.len();
        shape(checker, i);
        is_sound.push(checker.found.len() == before);
    }
    boards(checker);
    for i in (0..plan.rooms.len()).filter(|i| is_sound[*i]) {
        let near = places.rooms_near(places.outline(i));
        for j in near.into_iter().take_while(|j| *j < i).filter(|j| is_sound[*j]) {
            if checker.is_full() {
                return;
            }
            if shape::overlap(places.outline(i), places.outline(j), SHARED, &checker.steps) {
                let other = Place::Room(j).name(plan);
                checker.add(
                    Place::Room(i),
                    format!("it overlaps {other}"),
                    format!(
                        "move its walls until the two stand apart; a wall belongs between it and {other}"
                    ),
                );
            }
        }
    }
}

/// Refuses floors of more boards than can be laid out: a wall typed a thousand times too long would take all
/// the memory there is.
fn boards(checker: &mut Checker<'_>) {
    let plan = checker.plan;
    let area: f64 = plan.rooms.iter().filter(|room| room.is_boarded()).map(Room::area).sum();
    let longest = plan.stock.longest();
    let length = match plan.pattern {
        Pattern::Irregular | Pattern::Half | Pattern::Third => longest,
        Pattern::Herringbone { block, .. } | Pattern::Chevron { block, .. } => block.min(longest),
    };
    let board = plan.stock.pitch() * length;
    if board > 0.0 && area / board > MOST_BOARDS {
        checker.add(
            Place::Plan("rooms"),
            format!("they take some {:.0} boards, more than {MOST_BOARDS}", area / board),
            "check the lengths of the walls, or split the plan into several",
        );
    }
}

/// The first fault of one room's own shape.
pub(crate) fn shape_fault(plan: &Plan, room: usize) -> Option<Problem> {
    let mut checker = Checker::new(plan);
    shape(&mut checker, room);
    checker.found.into_iter().next()
}

fn shape(checker: &mut Checker<'_>, i: usize) {
    let Some(room) = checker.plan.rooms.get(i) else { return };
    let before = checker.found.len();
    if room.walls.len() < 3 {
        let count = room.walls.len();
        let said = format!("it has {count} wall{}", if count == 1 { "" } else { "s" });
        checker.add(Place::Room(i), said, "give it at least three");
        return;
    }
    for (j, wall) in room.walls.iter().enumerate() {
        let Some((a, b)) = room.wall_line(j) else { continue };
        let length = a.distance(b);
        if length < SHORTEST_WALL {
            checker.add(Place::Wall(i, j), "it has no length", "remove one of its corners");
            continue;
        }
        let mut previous = 0.0;
        for bow in &wall.bow {
            if bow.along < previous + 1.0 || bow.along > length - 1.0 {
                let (along, length) = (checker.length(bow.along), checker.length(length));
                checker.add(
                    Place::Wall(i, j),
                    format!(
                        "its bow offset at {along} is out of order or not on the wall, which is {length} long"
                    ),
                    "give the offsets in order along the wall, a millimetre apart at least",
                );
            }
            checker.within(Place::Wall(i, j), "bow offset", bow.back, -GREATEST_BOW, GREATEST_BOW);
            previous = bow.along;
        }
    }
    if checker.found.len() > before {
        return;
    }
    let outline = room.outline();
    let points: Vec<Point> = outline.iter().map(|&(point, _)| point).collect();
    let mut met: Vec<(usize, usize)> = shape::self_contacts(&points, 20, &checker.steps)
        .into_iter()
        .map(|(a, b)| (outline[a].1, outline[b].1))
        .collect();
    met.dedup();
    for (a, b) in met {
        let what = if a == b {
            "it crosses itself".to_owned()
        } else {
            format!("it crosses or touches wall {}", b + 1)
        };
        checker.add(Place::Wall(i, a), what, "move a corner of one of them until they stand apart");
    }
    if checker.found.len() == before && shape::doubled_area(&points).abs() / 2.0 < LEAST_AREA {
        checker.add(Place::Room(i), "it is smaller than 0.01 m²", mend(&points));
    }
}

/// What mends a room without floor: of one that is some metres of millimetres wide the unit was most likely mistaken.
fn mend(points: &[Point]) -> &'static str {
    /// No house is farther across in metres.
    const METRES: f64 = 100.0;
    let far = |of: fn(&Point) -> f64| {
        let (least, most) =
            points.iter().map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
        most - least
    };
    match far(|p| p.x).max(far(|p| p.y)) < METRES {
        true => "lengths are millimetres: write 4200 for 4.2 m; or remove it",
        false => "remove it or move its walls apart",
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{accept, expect};
    use crate::{Bow, Covering, GapRange, Room, Skirting, Surface, SurfaceKind, Wall};

    fn room(corners: &[(f64, f64)]) -> Room {
        Room::boarded("Odd", corners.iter().map(|&corner| corner.into()))
    }

    #[test]
    fn walls_close_without_crossing() {
        expect(|plan| plan.rooms.push(room(&[(9e3, 0.0), (10e3, 0.0)])), "Odd", "it has 2 walls");
        expect(|plan| plan.rooms.push(room(&[])), "Odd", "it has 0 walls");
        let short = room(&[(9e3, 0.0), (10e3, 0.0), (10e3, 0.5), (9e3, 1e3)]);
        expect(|plan| plan.rooms.push(short), "Odd, wall 2", "no length");
        let crossed = room(&[(9e3, 0.0), (10e3, 1e3), (10e3, 0.0), (9e3, 1e3)]);
        expect(|plan| plan.rooms.push(crossed), "Odd, wall 1", "crosses or touches wall 3");
        let spike = room(&[(9e3, 0.0), (11e3, 0.0), (10e3, 0.0), (10e3, 1e3)]);
        expect(|plan| plan.rooms.push(spike), "Odd, wall 1", "touches wall 2");
        let tiny = room(&[(9e3, 0.0), (9e3 + 99.0, 0.0), (9e3 + 99.0, 99.0), (9e3, 99.0)]);
        expect(|plan| plan.rooms.push(tiny), "Odd", "0.01 m²");
        let clockwise = room(&[(9e3, 0.0), (9e3, 1e3), (10e3, 1e3), (10e3, 0.0)]);
        accept(|plan| plan.rooms.push(clockwise));
    }

    #[test]
    fn a_floor_is_no_larger_than_can_be_laid_out() {
        let hall = |side: f64| room(&[(9e3, 0.0), (9e3 + side, 0.0), (9e3 + side, side), (9e3, side)]);
        accept(|plan| plan.rooms.push(hall(200e3)));
        expect(|plan| plan.rooms.push(hall(900e3)), "plan, rooms", "more than 300000");
    }

    #[test]
    fn a_bow_stays_on_its_wall() {
        let bow = |along, back| Bow { along, back };
        accept(|plan| plan.rooms[0].walls[2].bow = vec![bow(1000.0, 4.0), bow(2000.0, -3.0)]);
        let back = vec![bow(2000.0, 4.0), bow(1000.0, 4.0)];
        expect(|plan| plan.rooms[0].walls[2].bow = back, "Left, wall 3", "1\u{a0}000 mm is out of order");
        expect(|plan| plan.rooms[0].walls[2].bow = vec![bow(4000.0, 4.0)], "Left, wall 3", "not on the wall");
        expect(|plan| plan.rooms[0].walls[2].bow = vec![bow(-5.0, 4.0)], "Left, wall 3", "not on the wall");
        expect(|plan| plan.rooms[0].walls[2].bow = vec![bow(1e3, 501.0)], "Left, wall 3", "501 mm");
        // A bow as deep as the room: the bowed wall reaches through the opposite one.
        let strip = room(&[(9e3, 0.0), (10e3, 0.0), (10e3, 300.0), (9e3, 300.0)]);
        let mut bowed = strip.clone();
        bowed.walls[0].bow = vec![bow(500.0, -400.0)];
        accept(|plan| plan.rooms.push(strip));
        expect(|plan| plan.rooms.push(bowed), "Odd, wall 1", "touches wall 3");
    }

    #[test]
    fn levels_and_skirtings_are_sane() {
        let surface = |height| Some(Surface { kind: SurfaceKind::Carpet, height });
        expect(|plan| plan.rooms[1].slab_level = 501.0, "Right", "slab level is 501 mm");
        expect(|plan| plan.rooms[1].surface = surface(201.0), "Right", "floor's height is 201 mm");
        accept(|plan| plan.rooms[1].surface = surface(-20.0));
        let thick = |mm| Some(Skirting::Thick(mm));
        expect(|plan| plan.rooms[0].walls[2].skirting = thick(101.0), "Left, wall 3", "skirting is 101 mm");
        accept(|plan| plan.rooms[0].walls[2].skirting = Some(Skirting::ToCome));
    }

    #[test]
    fn rooms_stand_apart() {
        let right = |x: f64| move |wall: &mut Wall| wall.corner.x += x;
        expect(|plan| plan.rooms[1].walls.iter_mut().for_each(right(-103.0)), "Right", "overlaps Left");
        let inside = room(&[(500.0, 500.0), (900.0, 500.0), (900.0, 900.0), (500.0, 900.0)]);
        expect(|plan| plan.rooms.push(inside), "Odd", "overlaps Left");
        let same = plan_room_again("Odd");
        expect(|plan| plan.rooms.push(same), "Odd", "overlaps Left");
        let beside = room(&[(0.0, 3000.0), (4000.0, 3000.2), (4000.0, 4e3), (0.0, 4e3)]);
        accept(|plan| plan.rooms.push(beside));
    }

    fn plan_room_again(name: &str) -> Room {
        Room { name: name.into(), ..super::super::tests::two_rooms().rooms[0].clone() }
    }

    #[test]
    fn coverings_and_gaps_are_given() {
        expect(|plan| plan.rooms[1].covering = Covering::Other(" ".into()), "Right", "covering has no name");
        let gap = Some(GapRange { least: 3.0, greatest: 2.0 });
        expect(|plan| plan.rooms[1].walls[1].gap = gap, "Right, wall 2", "from 3 mm to 2 mm");
    }

    #[test]
    fn crossings_of_one_pair_of_walls_are_named_once() {
        let mut odd = room(&[(9e3, 0.0), (10e3, 0.0), (10e3, 100.0), (9e3, 100.0)]);
        odd.walls[0].bow = vec![Bow { along: 300.0, back: -150.0 }, Bow { along: 600.0, back: 0.0 }];
        let mut plan = super::super::tests::two_rooms();
        plan.rooms.push(odd);
        assert_eq!(plan.problems().len(), 1, "{:#?}", plan.problems());
    }
}
