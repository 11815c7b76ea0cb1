//! Small plane geometry on plan points.

use kurbo::{BezPath, Point};
use plan::Room;

pub(crate) fn at(p: plan::Point) -> Point {
    Point::new(p.x, p.y)
}

/// A closed path through points; empty for fewer than two.
pub(crate) fn closed(points: impl IntoIterator<Item = Point>) -> BezPath {
    let mut path = open(points);
    if !path.is_empty() {
        path.close_path();
    }
    path
}

/// An open path through points; empty for fewer than two.
pub(crate) fn open(points: impl IntoIterator<Item = Point>) -> BezPath {
    let mut path = BezPath::new();
    for (i, point) in points.into_iter().enumerate() {
        if i == 0 {
            path.move_to(point);
        } else {
            path.line_to(point);
        }
    }
    if path.elements().len() < 2 { BezPath::new() } else { path }
}

/// A room's outline at the finished wall face, bows included.
pub(crate) fn room_outline(room: &Room) -> Vec<Point> {
    room.outline().into_iter().map(|(point, _)| at(point)).collect()
}

/// Whether a point lies inside a polygon, by the even-odd rule.
pub(crate) fn contains(polygon: &[Point], p: Point) -> bool {
    sides(polygon).fold(false, |inside, (a, b)| {
        let crosses = (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x;
        inside != crosses
    })
}

/// Distance from a point to a polygon's nearest side; infinite for no polygon.
pub(crate) fn clearance(polygon: &[Point], p: Point) -> f64 {
    sides(polygon).map(|(a, b)| kurbo_distance(a, b, p)).fold(f64::INFINITY, f64::min)
}

/// A polygon's sides, the closing one included.
pub(crate) fn sides(polygon: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().zip(next).map(|(a, b)| (*a, *b))
}

fn kurbo_distance(a: Point, b: Point, p: Point) -> f64 {
    let along = b - a;
    let length2 = along.hypot2();
    let t = if length2 > 0.0 { ((p - a).dot(along) / length2).clamp(0.0, 1.0) } else { 0.0 };
    libm::sqrt((p - a.lerp(b, t)).hypot2())
}

/// Degrees at which writing along a direction reads from below or from the right: over -90 up to 90.
pub(crate) fn readable_turn(dx: f64, dy: f64) -> f64 {
    let mut degrees = libm::atan2(dy, dx).to_degrees();
    // A wall a hair out of upright must not flip its figure.
    if degrees > 90.5 {
        degrees -= 180.0;
    } else if degrees <= -89.5 {
        degrees += 180.0;
    }
    degrees
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inside_outside_and_distance() {
        let square = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)].map(Point::from);
        assert!(contains(&square, Point::new(1.0, 1.0)));
        assert!(!contains(&square, Point::new(5.0, 1.0)));
        assert!((clearance(&square, Point::new(1.0, 2.0)) - 1.0).abs() < 1e-12);
        assert!(readable_turn(0.0, -1.0) > 0.0 && readable_turn(-1.0, 0.0).abs() < 1e-9);
    }
}
