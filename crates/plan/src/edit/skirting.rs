//! Skirting breaks: stretches of a wall along which no skirting runs.

use super::{problem, remove_corner, require_wall, split_wall};
use crate::check::Place;
use crate::pinned::require_loose;
use crate::{Plan, Problem, Room, Skirting, Wall};

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

/// Walls run on in one line where they turn by less than this, sine of the angle: 1 mm over a metre.
const IN_LINE: f64 = 1e-3;

/// A stretch without skirting within a straight wall, as one thing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkirtingBreak {
    /// The wall before it that runs in its line, and the one after it.
    pub beside: [Option<usize>; 2],
    /// How far it begins from the start of the whole wall, mm.
    pub from: f64,
    /// Its own length, mm.
    pub width: f64,
    /// The length of the whole wall, mm.
    pub length: f64,
}

impl SkirtingBreak {
    /// How far it would begin with its two sides changed over.
    pub fn flipped(&self) -> f64 {
        self.length - self.from - self.width
    }
}

/// The break that a wall is: it has no skirting, and a neighbour in its line that may have one.
pub fn skirting_break(room: &Room, wall: usize) -> Option<SkirtingBreak> {
    let count = room.walls.len();
    let is_bare = |wall: usize| room.walls.get(wall).is_some_and(|w| w.skirting == Some(Skirting::Without));
    let length = |wall: usize| room.wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
    if !is_bare(wall) {
        return None;
    }
    let (along, _) = room.wall_axes(wall)?;
    let runs_on = |other: &usize| {
        let straight =
            [wall, *other].iter().all(|wall| room.walls.get(*wall).is_some_and(|w| w.bow.is_empty()));
        let axes = room.wall_axes(*other);
        straight
            && !is_bare(*other)
            && axes.is_some_and(|(other, _)| {
                along.x * other.x + along.y * other.y > 0.0
                    && (along.x * other.y - along.y * other.x).abs() < IN_LINE
            })
    };
    let beside = [(wall + count - 1) % count, (wall + 1) % count].map(|other| Some(other).filter(runs_on));
    let [from, after] = beside.map(|other| other.map_or(0.0, length));
    let width = length(wall);
    beside.iter().any(Option::is_some).then_some(SkirtingBreak {
        beside,
        from,
        width,
        length: from + width + after,
    })
}

/// Moves a break along its whole wall, or makes it longer or shorter: it begins `from` mm from the start of that. Gives the
/// index of the wall that has no skirting then.
///
/// # Errors
/// When the wall is no break, its room is pinned down, or as [`break_skirting`].
pub fn move_break(
    plan: &mut Plan,
    room: usize,
    wall: usize,
    from: f64,
    width: f64,
) -> Result<usize, Problem> {
    let mut next = plan.clone();
    let whole = close_break(&mut next, room, wall)?;
    let bare = break_skirting(&mut next, room, whole, from, width)?;
    *plan = next;
    Ok(bare)
}

/// Closes a break: the skirting runs on through it, and the wall is one again. Gives its index.
///
/// # Errors
/// When the wall is no break, or its room is pinned down.
pub fn close_break(plan: &mut Plan, room: usize, wall: usize) -> Result<usize, Problem> {
    require_wall(plan, room, wall)?;
    require_loose(plan, Place::Room(room))?;
    let Some(SkirtingBreak { beside, .. }) = skirting_break(&plan.rooms[room], wall) else {
        return Err(problem(
            plan,
            Place::Wall(room, wall),
            "it is no break in the skirting of a straight wall",
            "choose the stretch that has none, between stretches that have one",
        ));
    };
    let mut next = plan.clone();
    // All of the wall is what it is beside the break.
    if let Some(other) = beside.iter().flatten().next() {
        let (corner, like) = (plan.rooms[room].walls[wall].corner, plan.rooms[room].walls[*other].clone());
        next.rooms[room].walls[wall] = Wall { corner, bow: Vec::new(), ..like };
    }
    let mut whole = wall;
    // The corner after it first: then the one before it has kept its number.
    if beside[1].is_some() {
        let gone = (wall + 1) % next.rooms[room].walls.len();
        remove_corner(&mut next, room, gone)?;
        whole = if gone < wall { wall - 1 } else { wall };
    }
    if beside[0].is_some() {
        let gone = whole;
        remove_corner(&mut next, room, gone)?;
        whole = (gone + next.rooms[room].walls.len() - 1) % next.rooms[room].walls.len();
    }
    *plan = next;
    Ok(whole)
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

    /// Each wall of the room in turn, so that the room's first corner lies beside the break, too.
    #[test]
    fn a_break_is_moved_and_closed_as_one_thing() {
        for wall in 0..4 {
            let whole = two_rooms();
            let length = whole.rooms[0].wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
            let mut plan = whole.clone();
            let bare = break_skirting(&mut plan, 0, wall, 200.0, 500.0).unwrap();
            let found = skirting_break(&plan.rooms[0], bare).expect("a break");
            assert_eq!((found.from, found.width, found.length), (200.0, 500.0, length));
            let begins = |plan: &Plan, bare: usize| {
                let found = skirting_break(&plan.rooms[0], bare).expect("a break");
                (found.from, found.width, found.length, plan.rooms[0].walls.len())
            };
            let door = plan.doorways[0].clone();
            // Up to either corner, longer, and back again.
            for (from, width, walls) in
                [(250.0, 500.0, 6), (0.0, 500.0, 5), (length - 900.0, 900.0, 5), (200.0, 500.0, 6)]
            {
                let bare =
                    plan.rooms[0].walls.iter().position(|w| w.skirting == Some(Skirting::Without)).unwrap();
                let now = move_break(&mut plan, 0, bare, from, width).unwrap();
                assert_eq!(begins(&plan, now), (from, width, length, walls), "wall {wall}");
                assert_eq!(plan.problems(), []);
            }
            assert_eq!(plan.doorways[0], door, "the door stays");
            let flipped = skirting_break(&plan.rooms[0], bare).expect("a break").flipped();
            assert_eq!(flipped, length - 700.0);
            let joined = close_break(&mut plan, 0, bare).unwrap();
            assert_eq!((joined, &plan), (wall, &whole));
            // The stretch beside a break is none, nor is a whole wall without skirting.
            assert_eq!(skirting_break(&plan.rooms[0], wall), None);
            plan.rooms[0].walls[wall].skirting = Some(Skirting::Without);
            assert_eq!(skirting_break(&plan.rooms[0], wall), None);
        }
        refused(|plan| move_break(plan, 0, 1, 0.0, 500.0), "Left, wall 2", "no break");
        let mut plan = two_rooms();
        let bare = break_skirting(&mut plan, 0, 1, 100.0, 500.0).unwrap();
        let before = plan.clone();
        // The door stands from 1000 to 1800.
        assert!(move_break(&mut plan, 0, bare, 900.0, 500.0).is_err());
        assert_eq!(plan, before);
    }
}
