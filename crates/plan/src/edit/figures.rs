//! Fixtures whose outline is a figure that a tape tells: rectangles at any angle, and rounds.

use super::things::{require, set_outline};
use super::{Place, problem};
use crate::{Plan, Point, Problem};
use std::f64::consts::{PI, TAU};

/// Corners of an outline nearer than this to those of a true figure are taken for it, mm: what a hand draws or a file
/// brings is rounded. Larger, and a shape that was meant otherwise would be straightened.
const NEAR: f64 = 0.05;
/// An outline with fewer corners than this is a shape of its own, not a round one.
const LEAST_SIDES: usize = 12;
/// The sides of a round are so short that they stand off it by no more than this at their corners, mm: boards then keep
/// their gap from it as well as a jigsaw cuts.
const OFF_ROUND: f64 = 0.5;
/// A round has no more sides than this.
const MOST_SIDES: usize = 96;
/// A smaller fixture is a slip of the hand, mm.
const LEAST: f64 = 20.0;

/// A rectangle at any angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangle {
    /// Its first side, from corner 1 to corner 2, and its second, mm.
    pub sides: [f64; 2],
    /// How far it is turned from upright, degrees anticlockwise, over −45 up to 45.
    pub turn: f64,
}

/// The rectangle that an outline is, if it is one.
pub fn rectangle_of(outline: &[Point]) -> Option<Rectangle> {
    let [a, b, c, d] = outline else { return None };
    // The fourth corner stands where the other three put it, and the diagonals are alike.
    let fourth = Point::new(a.x + c.x - b.x, a.y + c.y - b.y);
    let sides = [a.distance(*b), b.distance(*c)];
    let is_square = (a.distance(*c) - b.distance(*d)).abs() < NEAR;
    if !(fourth.distance(*d) < NEAR && is_square && sides.iter().all(|side| *side > NEAR)) {
        return None;
    }
    let turn = libm::atan2(b.y - a.y, b.x - a.x) * 180.0 / PI;
    let turn = turn - (turn / 90.0 - 0.5).ceil() * 90.0;
    // A hair's breadth is none.
    let turn = if turn.abs() < 1e-4 { 0.0 } else { turn };
    Some(Rectangle { sides, turn })
}

/// Gives a rectangular fixture other sides; its first corner stays, and the way it is turned.
///
/// # Errors
/// When there is no such fixture, it is pinned down, is no rectangle, or would be too small.
pub fn set_sides(plan: &mut Plan, index: usize, sides: [f64; 2]) -> Result<(), Problem> {
    require(plan, &Place::Fixture(index))?;
    let outline = &plan.fixtures[index].outline;
    let (Some(drawn), [a, b, c, _]) = (rectangle_of(outline), &outline[..]) else {
        return Err(problem(
            plan,
            Place::Fixture(index),
            "it is no rectangle, so that it has no two sides to type",
            "type its corners, or draw it anew",
        ));
    };
    require_size(plan, index, sides[0].min(sides[1]))?;
    let along = |from: &Point, to: &Point, length: f64, side: f64| {
        Point::new((to.x - from.x) / length * side, (to.y - from.y) / length * side)
    };
    let first = along(a, b, drawn.sides[0], sides[0]);
    let second = along(b, c, drawn.sides[1], sides[1]);
    let corners = [
        *a,
        a.moved(first.x, first.y),
        a.moved(first.x + second.x, first.y + second.y),
        a.moved(second.x, second.y),
    ];
    set_outline(plan, index, corners.to_vec())
}

/// Turns a fixture about its middle, degrees anticlockwise.
///
/// # Errors
/// When there is no such fixture, it is pinned down, or the angle is no number.
pub fn turn_fixture(plan: &mut Plan, index: usize, degrees: f64) -> Result<(), Problem> {
    require(plan, &Place::Fixture(index))?;
    if !degrees.is_finite() {
        return Err(problem(plan, Place::Fixture(index), "that is no angle", "type degrees"));
    }
    let (sin, cos) = (libm::sin(degrees * PI / 180.0), libm::cos(degrees * PI / 180.0));
    let outline = &plan.fixtures[index].outline;
    let middle = middle(outline);
    let turned = |p: &Point| {
        let (x, y) = (p.x - middle.x, p.y - middle.y);
        middle.moved(x * cos - y * sin, x * sin + y * cos)
    };
    let outline = outline.iter().map(turned).collect();
    set_outline(plan, index, outline)
}

/// The diameter of the round that an outline stands for, mm, if it is one: its sides touch the round, so that nothing of
/// that lies outside of them.
pub fn diameter_of(outline: &[Point]) -> Option<f64> {
    let count = outline.len();
    if count < LEAST_SIDES {
        return None;
    }
    let middle = middle(outline);
    let radius = outline.iter().map(|p| p.distance(middle)).sum::<f64>() / count as f64;
    let side = 2.0 * radius * libm::sin(PI / count as f64);
    let is_round = (0..count).all(|i| {
        let (a, b) = (outline[i], outline[(i + 1) % count]);
        (a.distance(middle) - radius).abs() < NEAR && (a.distance(b) - side).abs() < NEAR
    });
    (is_round && radius > NEAR).then(|| 2.0 * radius * libm::cos(PI / count as f64))
}

/// Makes a fixture round, of this diameter, about its middle.
///
/// # Errors
/// When there is no such fixture, it is pinned down, or would be too small.
pub fn set_diameter(plan: &mut Plan, index: usize, diameter: f64) -> Result<(), Problem> {
    require(plan, &Place::Fixture(index))?;
    require_size(plan, index, diameter)?;
    let outline = round(middle(&plan.fixtures[index].outline), diameter);
    set_outline(plan, index, outline)
}

/// Makes a fixture a square of this size about its middle: what a round one was drawn as, or a pier.
///
/// # Errors
/// As [`set_diameter`].
pub fn set_square(plan: &mut Plan, index: usize, size: f64) -> Result<(), Problem> {
    require(plan, &Place::Fixture(index))?;
    require_size(plan, index, size)?;
    let middle = middle(&plan.fixtures[index].outline);
    let half = size / 2.0;
    let corners = [(-half, -half), (half, -half), (half, half), (-half, half)];
    set_outline(plan, index, corners.map(|(x, y)| middle.moved(x, y)).to_vec())
}

/// An outline round a circle: as many sides as keep it near, a multiple of four, touching it, so that one lies square to
/// each wall and a tape finds the same size across and up.
fn round(middle: Point, diameter: f64) -> Vec<Point> {
    let radius = diameter / 2.0;
    // A corner stands r/cos(π/n) − r off, about r·π²/(2n²).
    let wanted = libm::ceil(PI * (radius / (2.0 * OFF_ROUND)).sqrt()) as usize;
    let count = wanted.next_multiple_of(4).clamp(16, MOST_SIDES);
    let reach = radius / libm::cos(PI / count as f64);
    (0..count)
        .map(|i| (i as f64 + 0.5) * TAU / count as f64)
        .map(|turn| middle.moved(reach * libm::cos(turn), reach * libm::sin(turn)))
        .collect()
}

/// The middle of an outline's corners.
fn middle(outline: &[Point]) -> Point {
    let count = outline.len().max(1) as f64;
    let (x, y) = outline.iter().fold((0.0, 0.0), |(x, y), p| (x + p.x, y + p.y));
    Point::new(x / count, y / count)
}

fn require_size(plan: &Plan, index: usize, size: f64) -> Result<(), Problem> {
    if size >= LEAST {
        return Ok(());
    }
    Err(problem(plan, Place::Fixture(index), "it would be too small to stand there", "type 20 mm or more"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::tests::two_rooms;
    use crate::edit::{add_fixture, move_fixture};
    use crate::{FixtureKind, shape};

    fn with_column(corners: [(f64, f64); 4]) -> Plan {
        let mut plan = two_rooms();
        add_fixture(&mut plan, FixtureKind::Column, &corners.map(Point::from)).unwrap();
        plan
    }

    #[test]
    fn a_turned_rectangle_has_its_sides_typed() {
        // 3-4-5: sides of 500 and 250, turned by the angle whose tangent is 3/4, 36.8699 degrees.
        let mut plan = with_column([(1000.0, 1000.0), (1400.0, 1300.0), (1250.0, 1500.0), (850.0, 1200.0)]);
        let found = rectangle_of(&plan.fixtures[0].outline).expect("a rectangle");
        assert_eq!(found.sides, [500.0, 250.0]);
        assert!((found.turn - 36.869_897_645_844_02).abs() < 1e-9, "{found:?}");
        set_sides(&mut plan, 0, [600.0, 250.0]).unwrap();
        let corners: Vec<(f64, f64)> = plan.fixtures[0].outline.iter().map(|p| (*p).into()).collect();
        assert_eq!(corners, [(1000.0, 1000.0), (1480.0, 1360.0), (1330.0, 1560.0), (850.0, 1200.0)]);
        // Turned back by its own angle it is upright, about its middle.
        turn_fixture(&mut plan, 0, -found.turn).unwrap();
        let upright = rectangle_of(&plan.fixtures[0].outline).expect("a rectangle");
        assert!(upright.turn.abs() < 1e-4 && (upright.sides[0] - 600.0).abs() < 1e-5, "{upright:?}");
        assert_eq!(plan.problems(), []);
        assert!(
            set_sides(&mut plan, 0, [600.0, 12.0]).is_err() && set_sides(&mut plan, 1, [9e2; 2]).is_err()
        );
    }

    #[test]
    fn what_is_no_rectangle_has_no_sides() {
        let plan = with_column([(1000.0, 1000.0), (1400.0, 1300.0), (1250.0, 1500.0), (860.0, 1200.0)]);
        assert_eq!(rectangle_of(&plan.fixtures[0].outline), None);
        let mut plan = with_column([(1000.0, 1000.0), (1400.0, 1000.0), (1500.0, 1300.0), (1100.0, 1300.0)]);
        assert_eq!(rectangle_of(&plan.fixtures[0].outline), None, "a rhomboid's diagonals differ");
        assert!(set_sides(&mut plan, 0, [500.0, 500.0]).unwrap_err().what.contains("no rectangle"));
    }

    /// A circle's area is πd²/4; a polygon round it is larger by less than half a millimetre of its girth.
    #[test]
    fn a_column_is_round_and_stays_so() {
        let mut plan = with_column([(1000.0, 1000.0), (1300.0, 1000.0), (1300.0, 1300.0), (1000.0, 1300.0)]);
        assert_eq!(diameter_of(&plan.fixtures[0].outline), None);
        for diameter in [60.0, 300.0, 457.2, 900.0] {
            set_diameter(&mut plan, 0, diameter).unwrap();
            let outline = plan.fixtures[0].outline.clone();
            let found = diameter_of(&outline).expect("round");
            assert!((found - diameter).abs() < 1e-5, "{found} {diameter}");
            let (area, circle) = (shape::doubled_area(&outline).abs() / 2.0, PI * diameter * diameter / 4.0);
            assert!(area > circle && area - circle < OFF_ROUND * PI * diameter, "{area} {circle}");
            // Across and up it measures its diameter.
            let (low, high) = shape::bounds(&outline);
            assert!((high.x - low.x - diameter).abs() < 1e-5 && (high.y - low.y - diameter).abs() < 1e-5);
            let middle = Point::new(1150.0, 1150.0);
            assert!(outline.iter().all(|p| {
                let off = p.distance(middle) - diameter / 2.0;
                off > 0.0 && off <= OFF_ROUND
            }));
        }
        move_fixture(&mut plan, 0, Point::new(33.3, -12.7)).unwrap();
        assert!((diameter_of(&plan.fixtures[0].outline).expect("round") - 900.0).abs() < 1e-5);
        assert_eq!(plan.problems(), []);
        set_square(&mut plan, 0, 300.0).unwrap();
        assert_eq!(rectangle_of(&plan.fixtures[0].outline), Some(Rectangle { sides: [300.0; 2], turn: 0.0 }));
        assert!(set_diameter(&mut plan, 0, 5.0).is_err() && set_diameter(&mut plan, 0, f64::NAN).is_err());
    }
}
