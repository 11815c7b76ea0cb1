//! Where the things of one plan lie: rooms by name and by place, what lies behind a doorway.

use crate::boxes::{Bounds, Boxes};
use crate::doorway::{FAR_WALL_PLAY, FarWall};
use crate::{Doorway, Plan, Point, shape};
use std::collections::HashMap;
use std::sync::OnceLock;

/// Bounds are widened by this before outlines are looked at, so that rounding leaves none out, mm.
const ROUNDING: f64 = 0.01;

/// An index over a plan's rooms and doorways. It answers what [`Plan`] and [`Doorway`] answer, without going
/// through every room each time.
#[derive(Debug)]
pub struct Places<'a> {
    plan: &'a Plan,
    by_name: HashMap<&'a str, usize>,
    outlines: Vec<Vec<Point>>,
    rooms: Boxes,
    /// Found, and filed, once they are asked for.
    throats: OnceLock<Vec<Option<[Point; 4]>>>,
    doorways: OnceLock<Boxes>,
}

impl<'a> Places<'a> {
    /// Files the rooms and doorways of a plan.
    pub fn new(plan: &'a Plan) -> Self {
        let mut by_name = HashMap::with_capacity(plan.rooms.len());
        for (index, room) in plan.rooms.iter().enumerate() {
            by_name.entry(room.name.as_str()).or_insert(index);
        }
        let outlines: Vec<Vec<Point>> = plan
            .rooms
            .iter()
            .map(|room| room.outline().into_iter().map(|(point, _)| point).collect())
            .collect();
        let rooms = Boxes::new(outlines.iter().map(|outline| bounds(outline)));
        Self { plan, by_name, outlines, rooms, throats: OnceLock::new(), doorways: OnceLock::new() }
    }

    fn throats(&self) -> &[Option<[Point; 4]>] {
        self.throats.get_or_init(|| {
            let throat = |door: &Doorway| door.throat_from(&self.plan.rooms[self.room_index(&door.room)?]);
            self.plan.doorways.iter().map(throat).collect()
        })
    }

    fn doorways(&self) -> &Boxes {
        let of_throats = || Boxes::new(self.throats().iter().map(|throat| bounds(throat.as_ref()?)));
        self.doorways.get_or_init(of_throats)
    }

    /// The index of the room with this name, as [`Plan::room_index`].
    pub fn room_index(&self, name: &str) -> Option<usize> {
        self.by_name.get(name).copied()
    }

    /// A room's outline, bows included.
    pub fn outline(&self, room: usize) -> &[Point] {
        &self.outlines[room]
    }

    /// The corners of a doorway's throat, as [`Doorway::throat`].
    pub fn throat(&self, doorway: usize) -> Option<&[Point; 4]> {
        self.throats()[doorway].as_ref()
    }

    /// Rooms whose bounds meet those of an outline, in the plan's order.
    pub fn rooms_near(&self, outline: &[Point]) -> Vec<usize> {
        bounds(outline).map_or_else(Vec::new, |b| self.rooms.meeting(b.grown(ROUNDING)))
    }

    /// Doorways whose throat's bounds meet those of an outline, in the plan's order.
    pub fn doorways_near(&self, outline: &[Point]) -> Vec<usize> {
        bounds(outline).map_or_else(Vec::new, |b| self.doorways().meeting(b.grown(ROUNDING)))
    }

    /// The room beyond a doorway, as [`Doorway::far_room`].
    pub fn far_room(&self, door: &Doorway) -> Option<usize> {
        let far = self.far_wall(door, door.width / 2.0)?;
        ((far.distance - door.wall_thickness).abs() <= FAR_WALL_PLAY).then_some(far.room)
    }

    /// Distance from the near face's straight line to the far room's face at `offset` (mm) along the opening;
    /// `None` where no room lies beyond.
    pub fn far_face(&self, door: &Doorway, offset: f64) -> Option<f64> {
        let room = self.far_room(door)?;
        self.far_wall(door, offset).filter(|far| far.room == room).map(|far| far.distance)
    }

    /// The first outline of another room met going outwards from `offset` (mm) along the opening.
    pub(crate) fn far_wall(&self, door: &Doorway, offset: f64) -> Option<FarWall> {
        let near = self.room_index(&door.room)?;
        let way = door.way_out(&self.plan.rooms[near], offset)?;
        let met = self.rooms_near(&[way.from, way.to]).into_iter().filter(|room| *room != near);
        way.first_met(met.map(|room| (room, self.outlines[room].as_slice())))
    }

    /// The place at a point, as [`Plan::place_at`].
    pub fn place_at(&self, at: Point) -> Option<&'a str> {
        let bounds = bounds(&[at])?.grown(ROUNDING);
        let first = |boxes: &Boxes, holds: &dyn Fn(usize) -> bool| {
            let mut first = None;
            boxes.each(bounds, |i| {
                if first.is_none_or(|first| i < first) && holds(i) {
                    first = Some(i);
                }
            });
            first
        };
        if let Some(room) = first(&self.rooms, &|room| shape::contains(&self.outlines[room], at)) {
            return Some(&self.plan.rooms[room].name);
        }
        let door = first(self.doorways(), &|door| {
            self.throats()[door].as_ref().is_some_and(|throat| shape::contains(throat, at))
        })?;
        Some(&self.plan.doorways[door].name)
    }
}

fn bounds(outline: &[Point]) -> Option<Bounds> {
    Bounds::of(outline.iter().map(|p| [p.x, p.y]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::tests::two_rooms;

    #[test]
    fn an_index_answers_what_the_plan_answers() {
        let mut plan = two_rooms();
        plan.doorways.push(Doorway { name: "Out".into(), wall: 3, ..plan.doorways[0].clone() });
        plan.doorways.push(Doorway { name: "Lost".into(), room: "Attic".into(), ..plan.doorways[0].clone() });
        let places = Places::new(&plan);
        for name in ["Left", "Right", "Attic"] {
            assert_eq!(places.room_index(name), plan.room_index(name));
        }
        for (i, door) in plan.doorways.iter().enumerate() {
            assert_eq!(places.far_room(door), door.far_room(&plan));
            assert_eq!(places.throat(i).copied(), door.throat(&plan));
        }
        let mut found = std::collections::BTreeSet::new();
        for x in -2..80 {
            for y in -2..32 {
                let at = Point::new(f64::from(x) * 100.0 + 33.0, f64::from(y) * 100.0 + 21.0);
                assert_eq!(places.place_at(at), plan.place_at(at));
                found.insert(places.place_at(at));
            }
        }
        assert_eq!(found.len(), 5, "two rooms, two openings and the outside: {found:?}");
    }
}
