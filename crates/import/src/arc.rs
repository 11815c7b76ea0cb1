//! Arcs of a circle made straight.

use crate::limits::MOST_PIECES;
use crate::ring::Side;
use kurbo::{Point, Vec2};

/// A wall's bow stands at most this far off its line, mm, as a plan has it; larger arcs get corners between.
const DEEPEST: f64 = 500.0;
/// An arc with one wall turns by this much at most, radians: a quarter circle, so that a full one has four walls.
const MOST_TURN: f64 = std::f64::consts::FRAC_PI_2;

/// The sides from `a` to `b` of an arc given by its bulge, the tangent of a quarter of the angle it turns by,
/// positive to the left (DXF reference, group code 42), no farther than `flatten` off it. `None` where that takes
/// more than [`MOST_PIECES`] pieces. The first side starts at `a`; `b` belongs to the next.
pub(crate) fn bulged(a: Point, b: Point, bulge: f64, flatten: f64) -> Option<Vec<Side>> {
    let chord = b - a;
    let length = libm::sqrt(chord.hypot2());
    let turn = 4.0 * libm::atan(bulge);
    // Sagitta of the whole arc: half the chord times the bulge.
    if length <= 0.0 || (length / 2.0 * bulge).abs() <= flatten {
        return Some(vec![Side::straight(a)]);
    }
    let radius = length / (2.0 * libm::sin(turn / 2.0)).abs();
    let middle = a.lerp(b, 0.5);
    let left = Vec2::new(-chord.y, chord.x) / length;
    // The centre lies left of the chord for an arc under a half turn to the left, beyond it right.
    let centre = middle + left * (length / 2.0 / libm::tan(turn / 2.0));
    let start = a - centre;
    let at = |t: f64| {
        let (sin, cos) = (libm::sin(turn * t), libm::cos(turn * t));
        centre + Vec2::new(start.x * cos - start.y * sin, start.x * sin + start.y * cos)
    };
    let least = |most_turn: f64| (turn.abs() / most_turn - 1e-9).ceil().max(1.0);
    // A chord over an angle of 2 acos(1 - s/r) has the sagitta s.
    let within = |sagitta: f64| 2.0 * libm::acos((1.0 - sagitta / radius).clamp(-1.0, 1.0));
    let walls = least(within(DEEPEST).min(MOST_TURN));
    let pieces = (least(within(flatten)) / walls).ceil().max(1.0);
    if walls * pieces > MOST_PIECES as f64 {
        return None;
    }
    let (walls, pieces) = (walls as usize, pieces as usize);
    let all = (walls * pieces) as f64;
    let sides = (0..walls).map(|wall| {
        let point = |piece: usize| at((wall * pieces + piece) as f64 / all);
        Side { from: if wall == 0 { a } else { point(0) }, through: (1..pieces).map(point).collect() }
    });
    Some(sides.collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A half circle of radius 1000 over a chord of 2000: bulge tan(180°/4) = 1. Every point lies on the circle, and
    /// every piece is within the tolerance of it, by r − √(r² − (c/2)²).
    #[test]
    fn a_half_circle_keeps_its_radius_and_tolerance() {
        let (a, b) = (Point::new(0.0, 0.0), Point::new(2000.0, 0.0));
        for (bulge, side) in [(1.0, -1.0), (-1.0, 1.0)] {
            let sides = bulged(a, b, bulge, 1.0).expect("an arc");
            assert_eq!(sides.len(), 2, "a wall a quarter");
            let mut points: Vec<Point> =
                sides.iter().flat_map(|s| std::iter::once(s.from).chain(s.through.clone())).collect();
            points.push(b);
            let centre = Point::new(1000.0, 0.0);
            for p in &points {
                assert!(((*p - centre).hypot() - 1000.0).abs() < 1e-9, "{p:?}");
                assert!(
                    p.y * side >= -1e-9,
                    "{p:?}: positive turns left, so the arc bulges right of its chord"
                );
            }
            for pair in points.windows(2) {
                let half = (pair[1] - pair[0]).hypot() / 2.0;
                assert!(1000.0 - (1e6 - half * half).sqrt() <= 1.0);
            }
        }
    }

    #[test]
    fn flat_arcs_are_straight_and_endless_ones_refused() {
        let (a, b) = (Point::new(0.0, 0.0), Point::new(2000.0, 0.0));
        assert_eq!(bulged(a, b, 0.0009, 1.0).expect("straight").len(), 1);
        assert_eq!(bulged(a, a, 1.0, 1.0).expect("a point").len(), 1);
        assert_eq!(bulged(a, Point::new(5e8, 0.0), 1.0, 0.05), None);
        // Large arcs have walls that no bow makes deeper than a plan takes.
        let sides = bulged(a, Point::new(40_000.0, 0.0), 0.5, 1.0).expect("an arc");
        assert!(sides.len() > 4, "{}", sides.len());
    }
}
