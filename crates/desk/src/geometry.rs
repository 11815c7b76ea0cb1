//! Plane geometry for picking and painting.

use plan::{Plan, Point};

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

/// The lower left and upper right corners of an outline that is an upright rectangle.
pub(crate) fn upright_box(outline: &[Point]) -> Option<(Point, Point)> {
    let [a, b, c, d] = outline else { return None };
    let low = Point::new(a.x.min(c.x), a.y.min(c.y));
    let high = Point::new(a.x.max(c.x), a.y.max(c.y));
    let across = a.y == b.y && b.x == c.x && c.y == d.y && d.x == a.x;
    let up = a.x == b.x && b.y == c.y && c.x == d.x && d.y == a.y;
    ((across || up) && low.x < high.x && low.y < high.y).then_some((low, high))
}

/// Whether a point lies in a room's bounds or so near to them that one of its walls may be meant. Of a large house most
/// rooms are told off by this.
pub(crate) fn is_near(room: &plan::Room, p: Point, reach: f64) -> bool {
    let stands_out = |wall: &plan::Wall| wall.bow.iter().map(|bow| bow.back.abs()).fold(0.0, f64::max);
    let mut low = (f64::INFINITY, f64::INFINITY);
    let mut high = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    let mut bowed: f64 = 0.0;
    for wall in &room.walls {
        let Point { x, y } = wall.corner;
        (low, high) = ((low.0.min(x), low.1.min(y)), (high.0.max(x), high.1.max(y)));
        bowed = bowed.max(stands_out(wall));
    }
    let reach = reach + bowed;
    p.x >= low.0 - reach && p.x <= high.0 + reach && p.y >= low.1 - reach && p.y <= high.1 + reach
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_and_insides() {
        let (a, b) = (Point::new(0.0, 0.0), Point::new(10.0, 0.0));
        assert_eq!(to_segment(Point::new(4.0, 3.0), a, b), (3.0, 4.0));
        assert_eq!(to_segment(Point::new(-3.0, 4.0), a, b), (5.0, 0.0));
        let triangle = [a, b, Point::new(0.0, 10.0)];
        assert!(is_inside(Point::new(2.0, 2.0), triangle.into_iter()));
        assert!(!is_inside(Point::new(6.0, 6.0), triangle.into_iter()));
        assert_eq!(area(triangle.into_iter()), 50.0);
    }
}
