//! A room that is left unboarded: its doorways pass to the boarded rooms on their other side.

use crate::geometry::to_segment;
use plan::{Beyond, Covering, Plan, Side};

/// Farther from a doorway's far face a wall is not that doorway's, mm: what plaster and bows come to, as the
/// plan's own check takes it.
const PLAY: f64 = 60.0;

/// Gives a room another covering. A doorway in its walls that leads to a boarded room becomes that room's, and
/// boards that ran through a doorway of it stop under the leaf, or in the middle of the wall.
pub(crate) fn leave_unboarded(plan: &mut Plan, room: usize, covering: Covering) {
    for index in 0..plan.doorways.len() {
        let far = plan.doorways[index].far_room(plan);
        let is_own = plan.room_index(&plan.doorways[index].room) == Some(room);
        if (is_own || far == Some(room)) && plan.doorways[index].beyond == Beyond::RunThrough {
            plan.doorways[index].beyond = Beyond::UnderLeaf;
        }
        if is_own && let Some(far) = far.filter(|far| plan.rooms[*far].covering == Covering::Boards) {
            turn(plan, index, far);
        }
    }
    if let Some(room) = plan.rooms.get_mut(room) {
        room.covering = covering;
        plan.own_lines.retain(|own| own.room != room.name);
        for stage in &mut plan.stages {
            stage.rooms.retain(|staged| *staged != room.name);
        }
    }
}

/// Makes a doorway the far room's: the same opening, seen from the other side.
fn turn(plan: &mut Plan, index: usize, far: usize) {
    let Some([_, _, one, other]) = plan.doorways[index].throat(plan) else { return };
    let room = &plan.rooms[far];
    let walls = (0..room.walls.len()).filter_map(|wall| {
        let (a, b) = room.wall_line(wall)?;
        let (one, other) = (to_segment(one, a, b), to_segment(other, a, b));
        let distance = one.0.max(other.0);
        (distance <= PLAY).then_some((distance, wall, one.1.min(other.1)))
    });
    let Some((_, wall, at)) = walls.min_by(|a, b| a.0.total_cmp(&b.0)) else { return };
    let name = room.name.clone();
    let doorway = &mut plan.doorways[index];
    (doorway.room, doorway.wall, doorway.at) = (name, wall, at);
    doorway.stop = doorway.stop.map(|stop| doorway.wall_thickness - stop);
    if let Some(leaf) = &mut doorway.leaf {
        leaf.closes_on = match leaf.closes_on {
            Side::Near => Side::Far,
            Side::Far => Side::Near,
        };
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::{Point, edit};

    #[test]
    fn a_doorway_passes_to_the_boarded_room_beyond() {
        let mut plan = Plan::new("Test");
        let hall = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 1200.0), (0.0, 1200.0)].map(Point::from);
        let bath = [(500.0, 1292.0), (3000.0, 1292.0), (3000.0, 3500.0), (500.0, 3500.0)].map(Point::from);
        edit::add_room(&mut plan, &hall).unwrap();
        let bath = edit::add_room(&mut plan, &bath).unwrap();
        edit::add_doorway(&mut plan, bath, 0, 1000.0).unwrap();
        let before = plan.doorways[0].throat(&plan).unwrap();
        let leaf = plan.doorways[0].leaf_line();
        leave_unboarded(&mut plan, bath, Covering::Other("stone".into()));
        assert!(plan.problems().is_empty(), "{:?}", plan.problems());
        let doorway = &plan.doorways[0];
        assert_eq!(doorway.room, plan.rooms[0].name);
        assert_eq!(doorway.beyond, Beyond::UnderLeaf);
        // The same four corners, gone round from the other side, and the leaf where it was.
        let after = doorway.throat(&plan).unwrap();
        for (corner, same) in after.iter().zip([before[2], before[3], before[0], before[1]]) {
            assert!(corner.distance(same) < 1e-6, "{before:?} {after:?}");
        }
        assert!((doorway.leaf_line() - (92.0 - leaf)).abs() < 1e-9);
    }
}
