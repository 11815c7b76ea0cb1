//! Skirting breaks: stretches of a wall along which no skirting runs.

use super::{problem, require_wall, split_wall};
use crate::check::Place;
use crate::{Plan, Problem, Skirting};

/// A shorter break is a slip of the hand, mm.
const SHORTEST: f64 = 20.0;
/// A break that begins or ends nearer to a corner goes up to it, mm.
const AT_CORNER: f64 = 2.0;

/// Takes the skirting away along a stretch of a wall: from `from` mm along it, `width` mm of it. The wall is split where
/// the stretch begins and ends, and stays in line. Gives the index of the wall that has none.
///
/// # Errors
/// When there is no such wall, the stretch does not lie on it, or a doorway stands across one of its ends.
pub fn break_skirting(
    plan: &mut Plan,
    room: usize,
    wall: usize,
    from: f64,
    width: f64,
) -> Result<usize, Problem> {
    require_wall(plan, room, wall)?;
    let length = plan.rooms[room].wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
    let to = from + width;
    if !(from >= 0.0 && width >= SHORTEST && to <= length + AT_CORNER) {
        return Err(problem(
            plan,
            Place::Wall(room, wall),
            "there is no room in it for that break",
            "type where it begins, from 0, and a width of 20 mm or more that ends on the wall",
        ));
    }
    let mut next = plan.clone();
    let mut bare = wall;
    if to < length - AT_CORNER {
        split_wall(&mut next, room, wall, to)?;
    }
    if from > AT_CORNER {
        split_wall(&mut next, room, wall, from)?;
        bare += 1;
    }
    next.rooms[room].walls[bare].skirting = Some(Skirting::Without);
    *plan = next;
    Ok(bare)
}

#[cfg(test)]
mod tests {
    use super::super::tests::refused;
    use super::*;
    use crate::check::tests::two_rooms;

    #[test]
    fn a_break_lies_in_its_wall_and_doorways_stay() {
        let mut plan = two_rooms();
        // The doorway stands from 1000 to 1800 in the second wall, 3000 long: the break ends at the corner.
        assert_eq!(break_skirting(&mut plan, 0, 1, 2200.0, 800.0), Ok(2));
        let without: Vec<bool> =
            plan.rooms[0].walls.iter().map(|wall| wall.skirting == Some(Skirting::Without)).collect();
        assert_eq!(without, [false, false, true, false, false]);
        assert_eq!((plan.doorways[0].wall, plan.doorways[0].at), (1, 1000.0));
        assert_eq!(break_skirting(&mut plan, 0, 0, 500.0, 900.0), Ok(1));
        let lengths: Vec<f64> =
            (0..3).filter_map(|wall| plan.rooms[0].wall_line(wall)).map(|(a, b)| a.distance(b)).collect();
        assert_eq!(lengths, [500.0, 900.0, 2600.0]);
        assert_eq!(plan.doorways[0].wall, 3);
        assert_eq!(plan.problems(), []);
        assert_eq!(plan.rooms[0].area(), two_rooms().rooms[0].area());
        refused(|plan| break_skirting(plan, 0, 0, 3500.0, 900.0), "Left, wall 1", "no room in it");
        refused(|plan| break_skirting(plan, 0, 0, 0.0, 10.0), "Left, wall 1", "no room in it");
        refused(|plan| break_skirting(plan, 0, 1, 900.0, 400.0), "Door", "would be split");
    }
}
