//! A ring as a room's walls: curves become bows where a wall can have them, corners where not.

use crate::limits::NEAR;
use crate::ring::{Ring, Side};
use kurbo::{Point, Vec2};
use plan::{Bow, Room};

/// Most offsets of a bowed wall, and how far they may stand off its line, mm, as a plan takes them.
const MOST_OFFSETS: usize = 500;
const DEEPEST: f64 = 500.0;

/// A coordinate to a thousandth of a millimetre: finer than any drawing, and coarser than what curves differ by
/// between machines.
fn tidy(v: f64) -> f64 {
    let tidy = (v * 1000.0).round() / 1000.0;
    if tidy == 0.0 { 0.0 } else { tidy }
}

fn corner(p: Point) -> plan::Point {
    plan::Point::new(tidy(p.x), tidy(p.y))
}

/// The ring with sides shorter than a wall may be left out; how many were.
fn without_short(ring: &Ring) -> (Vec<Side>, usize) {
    let mut kept: Vec<Side> = Vec::with_capacity(ring.sides.len());
    for side in &ring.sides {
        match kept.last_mut() {
            // The curve goes on from the corner that stays.
            Some(last) if is_near(last.from, side.from) => last.through.extend(side.through.iter().copied()),
            _ => kept.push(side.clone()),
        }
    }
    while kept.len() > 1 && is_near(kept[0].from, kept[kept.len() - 1].from) {
        kept.pop();
    }
    let dropped = ring.sides.len() - kept.len();
    (kept, dropped)
}

fn is_near(a: Point, b: Point) -> bool {
    (a - b).hypot2() < NEAR * NEAR
}

/// The offsets of a curve from the line `a` to `b`: how far along, how far to the right of it. `None` where the
/// line is no wall for them.
fn offsets(a: Point, b: Point, through: &[Point]) -> Option<Vec<(f64, f64)>> {
    let along = b - a;
    let length = libm::sqrt(along.hypot2());
    if through.len() > MOST_OFFSETS || length <= 2.0 * NEAR {
        return None;
    }
    let along = along / length;
    let right = Vec2::new(along.y, -along.x);
    let mut offsets: Vec<(f64, f64)> = Vec::new();
    for p in through {
        let (s, off) = ((*p - a).dot(along), (*p - a).dot(right));
        let last = offsets.last().map_or(0.0, |(s, _)| *s);
        if off.abs() > DEEPEST || s < last || s > length {
            return None;
        }
        if s >= last + NEAR + 0.001 && s <= length - NEAR - 0.001 {
            offsets.push((s, off));
        }
    }
    Some(offsets)
}

/// A boarded room of a ring, and how many corners were left out because they lay on the one before.
pub(crate) fn room(name: &str, ring: &Ring) -> (Room, usize) {
    let (sides, dropped) = without_short(ring);
    // Corners with the offsets of the wall each begins.
    let mut walls: Vec<(Point, Vec<(f64, f64)>)> = Vec::new();
    for (i, side) in sides.iter().enumerate() {
        let next = sides[(i + 1) % sides.len()].from;
        match offsets(side.from, next, &side.through) {
            Some(offsets) => walls.push((side.from, offsets)),
            None => {
                walls.push((side.from, Vec::new()));
                let mut last = side.from;
                for p in &side.through {
                    if !is_near(last, *p) && !is_near(*p, next) {
                        walls.push((*p, Vec::new()));
                        last = *p;
                    }
                }
            }
        }
    }
    let mut room = Room::boarded(name, walls.iter().map(|(p, _)| corner(*p)));
    // Right of a wall is away from the room where the walls run anticlockwise.
    let sign = if room.is_anticlockwise() { 1.0 } else { -1.0 };
    for (wall, (_, offsets)) in room.walls.iter_mut().zip(walls) {
        wall.bow =
            offsets.into_iter().map(|(s, off)| Bow { along: tidy(s), back: tidy(sign * off) }).collect();
    }
    (room, dropped)
}

/// The outline of a fixture of a ring.
pub(crate) fn outline(ring: &Ring) -> Vec<plan::Point> {
    let mut points: Vec<Point> = Vec::new();
    for p in ring.points() {
        if points.last().is_none_or(|last| !is_near(*last, p)) {
            points.push(p);
        }
    }
    while points.len() > 1 && is_near(points[0], points[points.len() - 1]) {
        points.pop();
    }
    points.into_iter().map(corner).collect()
}
