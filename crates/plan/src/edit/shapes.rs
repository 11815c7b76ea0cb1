//! Walls that are not straight from corner to corner: arcs and bays.

use super::{problem, require_wall, reshape, split_wall, tidy};
use crate::check::Place;
use crate::{Bow, Plan, Point, Problem, Wall};
use kurbo::{Arc, PathEl, Shape, Vec2};

/// How far a straight piece may lie off its arc, mm: under the play of any gap.
const OFF_ARC: f64 = 0.5;
/// An arc that stands back less is a bow of its wall; a deeper one gets corners of its own, mm. The limit of a bow.
const DEEPEST_BOW: f64 = 500.0;

/// A bay in a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bay {
    /// From the wall's corner to where the bay begins, mm.
    pub from: f64,
    /// Its width in the wall, mm.
    pub width: f64,
    /// How far its front stands back from the wall, away from the room, mm.
    pub depth: f64,
    /// Width of its straight front, mm; as wide as the bay where its sides are square. `None` for a round bay.
    pub front: Option<f64>,
}

/// Makes a wall an arc of a circle that stands back from the straight line by `back` mm in its middle, away from the room;
/// negative bulges in. Up to 500 it stays one wall, bowed; 0 makes it straight again.
///
/// # Errors
/// When there is no such wall, the arc is deeper than half a circle or 500, or the room's walls would cross.
pub fn arc_wall(plan: &mut Plan, room: usize, wall: usize, back: f64) -> Result<(), Problem> {
    require_wall(plan, room, wall)?;
    let length = plan.rooms[room].wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
    if !(0.0..=DEEPEST_BOW.min(length / 2.0)).contains(&back.abs()) {
        return Err(problem(
            plan,
            Place::Wall(room, wall),
            "that is no arc it can be",
            "type up to half its length and up to 500; make a round bay for more",
        ));
    }
    let points = arc(length, back);
    let bows = points.into_iter().map(|(along, back)| Bow { along, back });
    let mut next = plan.clone();
    next.rooms[room].walls[wall].bow =
        bows.filter(|bow| bow.along > 1.0 && bow.along < length - 1.0).collect();
    super::settle(plan, next, room)
}

/// Points of a circular arc over a chord from 0 to `length`, its ends left out: along the chord and back from it, mm, to
/// the tenth.
fn arc(length: f64, back: f64) -> Vec<(f64, f64)> {
    if back.abs() < 0.05 || length <= 0.0 {
        return Vec::new();
    }
    // Sagitta: r = (c²/4 + s²) / 2s.
    let radius = (length * length / 4.0 + back * back) / (2.0 * back.abs());
    let half = libm::asin((length / (2.0 * radius)).min(1.0));
    let half = if back.abs() > radius { std::f64::consts::PI - half } else { half };
    // About its centre, from the chord's start to its end over the top.
    let top = std::f64::consts::FRAC_PI_2;
    let drawn = Arc {
        center: kurbo::Point::new(length / 2.0, back.abs() - radius),
        radii: Vec2::new(radius, radius),
        start_angle: top + half,
        sweep_angle: -2.0 * half,
        x_rotation: 0.0,
    };
    let mut points = Vec::new();
    kurbo::flatten(drawn.path_elements(OFF_ARC / 10.0), OFF_ARC, |element| {
        if let PathEl::LineTo(p) = element {
            points.push((p.x, p.y));
        }
    });
    points.pop();
    let tenth = |value: f64| (value * 10.0).round() / 10.0 + 0.0;
    points.into_iter().map(|(along, off)| (tenth(along), tenth(off * back.signum()))).collect()
}

/// Builds a bay into a wall: two sides and a front, or a round of straight pieces. The wall is split where it begins and
/// ends; doorways beside it stay where they stand. Gives the index of the bay's first wall.
///
/// # Errors
/// When there is no such wall, the bay does not lie on it, a doorway stands there, or the room's walls would cross.
pub fn add_bay(plan: &mut Plan, room: usize, wall: usize, bay: Bay) -> Result<usize, Problem> {
    require_wall(plan, room, wall)?;
    let length = plan.rooms[room].wall_line(wall).map_or(0.0, |(a, b)| a.distance(b));
    let Bay { from, width, depth, front } = bay;
    let to = from + width;
    let is_on_wall = from >= 0.0 && width >= 100.0 && to <= length + 1e-6;
    let is_bay =
        (10.0..=10_000.0).contains(&depth) && front.is_none_or(|front| (10.0..=width).contains(&front));
    let is_round = front.is_some() || depth <= width;
    if !(is_on_wall && is_bay && is_round) {
        return Err(problem(
            plan,
            Place::Wall(room, wall),
            "there is no room in it for that bay",
            "type where it begins, its width, its depth and a front no wider than it is",
        ));
    }
    let mut next = plan.clone();
    let mut first = wall;
    if to < length - 1.0 {
        split_wall(&mut next, room, wall, to)?;
    }
    if from > 1.0 {
        split_wall(&mut next, room, wall, from)?;
        first += 1;
    }
    let Some(((a, _), (along, away))) =
        next.rooms[room].wall_line(first).zip(next.rooms[room].wall_axes(first))
    else {
        return Ok(first);
    };
    let at = |x: f64, y: f64| tidy(a.moved(along.x * x + away.x * y, along.y * x + away.y * y));
    let corners: Vec<Point> = match front {
        Some(front) => {
            let side = (width - front) / 2.0;
            vec![at(side, depth), at(width - side, depth)]
        }
        None => arc(width, depth).into_iter().map(|(x, y)| at(x, y)).collect(),
    };
    let name = next.rooms[room].name.clone();
    let stands = next.doorways.iter().position(|door| door.room == name && door.wall == first);
    if let Some(door) = stands {
        return Err(problem(plan, Place::Doorway(door), "it stands where the bay is to be", "move it first"));
    }
    let like = next.rooms[room].walls[first].clone();
    for (i, corner) in corners.into_iter().enumerate() {
        next.rooms[room].tape_after_insert(first + 1 + i);
        next.dimensions_after_insert(&name, first + 1 + i, f64::INFINITY);
        next.rooms[room].walls.insert(first + 1 + i, Wall { corner, bow: Vec::new(), ..like.clone() });
        for doorway in next.doorways.iter_mut().filter(|door| door.room == name && door.wall > first + i) {
            doorway.wall += 1;
        }
    }
    next.rooms[room].walls[first].bow.clear();
    reshape(&mut next, room, |_| {})?;
    super::settle(plan, next, room)?;
    Ok(first)
}

#[cfg(test)]
mod tests {
    use super::super::tests::refused;
    use super::*;
    use crate::check::tests::two_rooms;

    /// Circle through (0, 0), (3000, 0) with 300 of sagitta: r = (1500² + 300²)/600 = 3900; area of the segment by the
    /// closed form r²(θ − sin θ)/2 with θ = 2·asin(1500/3900).
    #[test]
    fn an_arc_has_its_segments_area() {
        let mut plan = two_rooms();
        let before = plan.rooms[0].area();
        arc_wall(&mut plan, 0, 3, 300.0).unwrap();
        let theta = 2.0 * libm::asin(1500.0 / 3900.0);
        let segment = 3900.0 * 3900.0 * (theta - libm::sin(theta)) / 2.0;
        let found = plan.rooms[0].area() - before;
        // Half a millimetre of chord, two thirds of it over 3 m.
        assert!((found - segment).abs() < 3100.0 * 0.5, "{found} {segment}");
        assert_eq!(plan.problems(), []);
        let deepest = plan.rooms[0].walls[3].bow.iter().map(|bow| bow.back).fold(0.0, f64::max);
        assert!((deepest - 300.0).abs() < 1.0, "{deepest}");
        arc_wall(&mut plan, 0, 3, -120.0).unwrap();
        assert!(plan.rooms[0].area() < before);
        arc_wall(&mut plan, 0, 3, 0.0).unwrap();
        assert_eq!(plan, two_rooms());
        refused(|plan| arc_wall(plan, 0, 3, 501.0), "Left, wall 4", "no arc");
        refused(|plan| arc_wall(plan, 0, 3, f64::NAN), "Left, wall 4", "no arc");
    }

    #[test]
    fn a_bay_has_two_sides_and_a_front() {
        let mut plan = two_rooms();
        let before = plan.rooms[0].area();
        let bay = Bay { from: 1000.0, width: 2000.0, depth: 600.0, front: Some(1200.0) };
        assert_eq!(add_bay(&mut plan, 0, 0, bay), Ok(1));
        let corners: Vec<(f64, f64)> = plan.rooms[0].walls.iter().map(|w| w.corner.into()).collect();
        let expected = [
            (0.0, 0.0),
            (1000.0, 0.0),
            (1400.0, -600.0),
            (2600.0, -600.0),
            (3000.0, 0.0),
            (4000.0, 0.0),
            (4000.0, 3000.0),
            (0.0, 3000.0),
        ];
        assert_eq!(corners, expected);
        // A trapezium: (2000 + 1200)/2 · 600.
        assert!((plan.rooms[0].area() - before - 960_000.0).abs() < 1e-6);
        assert_eq!((plan.doorways[0].wall, plan.doorways[0].at), (5, 1000.0), "the door stays");
        assert_eq!(plan.problems(), []);
        let door = Bay { from: 900.0, width: 800.0, depth: 300.0, front: Some(800.0) };
        refused(|plan| add_bay(plan, 0, 1, door), "Door", "would be split");
        let wide = Bay { width: 5000.0, ..bay };
        refused(|plan| add_bay(plan, 0, 0, wide), "Left, wall 1", "no room in it");
    }

    /// A half circle of 1 m radius: π/2 m² more, less what straight pieces cut off.
    #[test]
    fn a_round_bay_is_of_pieces() {
        let mut plan = two_rooms();
        let before = plan.rooms[0].area();
        let bay = Bay { from: 500.0, width: 2000.0, depth: 1000.0, front: None };
        add_bay(&mut plan, 0, 2, bay).unwrap();
        let more = (plan.rooms[0].area() - before) / 1e6;
        assert!((more - std::f64::consts::FRAC_PI_2).abs() < 0.002, "{more}");
        assert_eq!(plan.problems(), []);
    }
}
