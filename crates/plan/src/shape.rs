//! Plane geometry for validation: crossings of an outline with itself, overlaps of two outlines.
//!
//! Coordinates are limited to a kilometre, so that `f64` keeps every distance here true to about a
//! millionth of a millimetre; the tolerances below are far coarser than that.

use crate::Point;

/// Parts of one outline nearer than this touch, mm. Smaller, and a corner typed on a wall is missed by
/// rounding; larger, and honest narrow nibs would be refused.
const TOUCH: f64 = 0.01;

/// Steps left for looking at pairs of sides. A house takes some ten thousand; a file made to hold up the
/// program is stopped instead.
#[derive(Debug)]
pub(crate) struct Steps {
    left: std::cell::Cell<u64>,
}

impl Steps {
    /// Enough for any building within the limits that is not made to be slow; about a second.
    const MOST: u64 = 50_000_000;

    pub(crate) fn new() -> Self {
        Self::of(Self::MOST)
    }

    pub(crate) fn of(steps: u64) -> Self {
        Self { left: std::cell::Cell::new(steps) }
    }

    /// Whether so many further steps may be taken.
    fn take(&self, steps: usize) -> bool {
        let left = self.left.get().saturating_sub(steps as u64);
        self.left.set(left);
        left > 0
    }

    /// Whether none is left: what was found since is not all.
    pub(crate) fn are_spent(&self) -> bool {
        self.left.get() == 0
    }
}

/// One coordinate of a point.
type Axis = fn(Point) -> f64;

/// Twice the signed area of a closed outline, mm²; positive if it runs anticlockwise.
pub(crate) fn doubled_area(outline: &[Point]) -> f64 {
    // Taken from the first corner: far from the origin the products would lose digits.
    let Some(&o) = outline.first() else { return 0.0 };
    sides(outline).map(|(a, b)| (a.x - o.x) * (b.y - o.y) - (b.x - o.x) * (a.y - o.y)).sum()
}

/// The sides of a closed outline in order.
pub(crate) fn sides(outline: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    outline.iter().zip(outline.iter().cycle().skip(1)).map(|(&a, &b)| (a, b))
}

/// Pairs of sides of a closed outline that cross or touch, at most `most` of them. Neighbouring sides
/// touch only where one folds back on the other.
pub(crate) fn self_contacts(outline: &[Point], most: usize, steps: &Steps) -> Vec<(usize, usize)> {
    let sides: Vec<(Point, Point)> = sides(outline).collect();
    let count = sides.len();
    let reach =
        |axis: Axis, (a, b): (Point, Point)| (axis(a).min(axis(b)) - TOUCH, axis(a).max(axis(b)) + TOUCH);
    let spread = |axis: Axis| -> f64 {
        sides.iter().map(|&side| reach(axis, side)).map(|(low, high)| high - low).sum()
    };
    // Sweep along the direction in which the sides are shorter: fewer stand beside one another.
    let (along, across): (Axis, Axis) =
        if spread(|p| p.x) <= spread(|p| p.y) { (|p| p.x, |p| p.y) } else { (|p| p.y, |p| p.x) };
    let mut order: Vec<(f64, f64, f64, f64, usize)> = sides
        .iter()
        .enumerate()
        .map(|(i, &side)| {
            let ((from, to), (low, high)) = (reach(along, side), reach(across, side));
            (from, to, low, high, i)
        })
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.4.cmp(&b.4)));
    let mut found = Vec::new();
    for (n, &(_, to, low, high, i)) in order.iter().enumerate() {
        for &(_, _, other_low, other_high, j) in order[n + 1..].iter().take_while(|other| other.0 <= to) {
            if !steps.take(1) {
                return found;
            }
            if other_low > high || other_high < low {
                continue;
            }
            let (first, second) = (i.min(j), i.max(j));
            if touch(&sides, first, second, count) {
                found.push((first, second));
                if found.len() == most {
                    return found;
                }
            }
        }
    }
    found.sort_unstable();
    found
}

fn touch(sides: &[(Point, Point)], i: usize, j: usize, count: usize) -> bool {
    let folds = |(a, b): (Point, Point), (c, d): (Point, Point)| {
        // `b` is `c`: only the far ends count.
        to_side(a, c, d) < TOUCH || to_side(d, a, b) < TOUCH
    };
    if j == i + 1 {
        folds(sides[i], sides[j])
    } else if i == 0 && j == count - 1 {
        folds(sides[j], sides[i])
    } else {
        let ((a, b), (c, d)) = (sides[i], sides[j]);
        crossing(a, b, c, d).is_some()
            || to_side(a, c, d).min(to_side(b, c, d)).min(to_side(c, a, b)).min(to_side(d, a, b)) < TOUCH
    }
}

/// Distance from a point to a side, mm.
pub(crate) fn to_side(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let square = dx * dx + dy * dy;
    let t = if square > 0.0 { ((p.x - a.x) * dx + (p.y - a.y) * dy) / square } else { 0.0 };
    p.distance(a.lerp(b, t.clamp(0.0, 1.0)))
}

/// Where the sides `a b` and `c d` cross: the fraction along `a b`; `None` where they are parallel or miss.
pub(crate) fn crossing(a: Point, b: Point, c: Point, d: Point) -> Option<f64> {
    let (rx, ry, sx, sy) = (b.x - a.x, b.y - a.y, d.x - c.x, d.y - c.y);
    let turn = rx * sy - ry * sx;
    if turn == 0.0 {
        return None;
    }
    let t = ((c.x - a.x) * sy - (c.y - a.y) * sx) / turn;
    let s = ((c.x - a.x) * ry - (c.y - a.y) * rx) / turn;
    ((0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&s)).then_some(t)
}

/// Whether a point lies inside a closed outline (even-odd).
pub(crate) fn contains(outline: &[Point], p: Point) -> bool {
    sides(outline)
        .filter(|(a, b)| (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x))
        .count()
        % 2
        == 1
}

/// Least and greatest corner of an outline's bounds.
pub(crate) fn bounds(outline: &[Point]) -> (Point, Point) {
    let start = (Point::new(f64::MAX, f64::MAX), Point::new(f64::MIN, f64::MIN));
    outline.iter().fold(start, |(low, high), p| {
        (Point::new(low.x.min(p.x), low.y.min(p.y)), Point::new(high.x.max(p.x), high.y.max(p.y)))
    })
}

/// Whether two outlines overlap by more than touching: some point of one lies inside the other deeper than
/// `depth` (mm) below its outline.
pub(crate) fn overlap(a: &[Point], b: &[Point], depth: f64, steps: &Steps) -> bool {
    let ((a_low, a_high), (b_low, b_high)) = (bounds(a), bounds(b));
    if a_high.x.min(b_high.x) - a_low.x.max(b_low.x) <= depth
        || a_high.y.min(b_high.y) - a_low.y.max(b_low.y) <= depth
    {
        return false;
    }
    enters(a, b, depth, steps)
        || enters(b, a, depth, steps)
        || inner_point(a).is_some_and(|p| is_deep(b, p, depth))
        || inner_point(b).is_some_and(|p| is_deep(a, p, depth))
}

fn is_deep(outline: &[Point], p: Point, depth: f64) -> bool {
    contains(outline, p) && sides(outline).all(|(a, b)| to_side(p, a, b) > depth)
}

/// Whether a side of `a` runs through the inside of `b`.
fn enters(a: &[Point], b: &[Point], depth: f64, steps: &Steps) -> bool {
    let is_deep = |p| steps.take(b.len()) && is_deep(b, p, depth);
    let (low, high) = bounds(b);
    sides(a).any(|(p, q)| {
        if p.x.max(q.x) < low.x || p.x.min(q.x) > high.x || p.y.max(q.y) < low.y || p.y.min(q.y) > high.y {
            return false;
        }
        if !steps.take(b.len()) {
            return false;
        }
        let mut cuts: Vec<f64> = sides(b).filter_map(|(c, d)| crossing(p, q, c, d)).collect();
        cuts.extend([0.0, 1.0]);
        cuts.sort_by(f64::total_cmp);
        is_deep(p) || cuts.windows(2).any(|pair| is_deep(p.lerp(q, (pair[0] + pair[1]) / 2.0)))
    })
}

/// A point well inside an outline: the middle of its widest stretch half way up its highest clear band.
fn inner_point(outline: &[Point]) -> Option<Point> {
    let mut heights: Vec<f64> = outline.iter().map(|p| p.y).collect();
    heights.sort_by(f64::total_cmp);
    let band = heights.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    let y = (band[0] + band[1]) / 2.0;
    let mut cuts: Vec<f64> = sides(outline)
        .filter(|(a, b)| (a.y > y) != (b.y > y))
        .map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
        .collect();
    cuts.sort_by(f64::total_cmp);
    let widest = cuts.chunks_exact(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    Some(Point::new((widest[0] + widest[1]) / 2.0, y))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn self_contacts(outline: &[Point], most: usize) -> Vec<(usize, usize)> {
        super::self_contacts(outline, most, &Steps::new())
    }

    fn overlap(a: &[Point], b: &[Point], depth: f64) -> bool {
        super::overlap(a, b, depth, &Steps::new())
    }
    use proptest::prelude::*;

    fn outline(points: &[(f64, f64)]) -> Vec<Point> {
        points.iter().map(|&p| p.into()).collect()
    }

    fn rect(x: f64, y: f64, w: f64, h: f64) -> Vec<Point> {
        outline(&[(x, y), (x + w, y), (x + w, y + h), (x, y + h)])
    }

    #[test]
    fn contacts_are_crossings_touches_and_folds() {
        assert_eq!(self_contacts(&rect(0.0, 0.0, 10.0, 5.0), 9), []);
        assert_eq!(
            self_contacts(&outline(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]), 9),
            [(0, 2)]
        );
        // A corner that touches a wall from inside: both its walls touch that wall.
        let touching = outline(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 0.005), (0.0, 10.0)]);
        assert_eq!(self_contacts(&touching, 9), [(0, 2), (0, 3)]);
        let folded = outline(&[(0.0, 0.0), (10.0, 0.0), (4.0, 0.0), (4.0, 5.0), (0.0, 5.0)]);
        assert!(self_contacts(&folded, 9).contains(&(0, 1)));
        assert_eq!(self_contacts(&folded, 1).len(), 1);
    }

    #[test]
    fn overlaps_are_told_from_touching() {
        let room = rect(0.0, 0.0, 100.0, 100.0);
        assert!(!overlap(&room, &rect(100.0, 0.0, 50.0, 100.0), 0.5));
        assert!(!overlap(&room, &rect(99.6, 0.0, 50.0, 100.0), 0.5));
        assert!(overlap(&room, &rect(98.0, 0.0, 50.0, 100.0), 0.5));
        assert!(overlap(&room, &room, 0.5));
        assert!(overlap(&room, &rect(40.0, 40.0, 5.0, 5.0), 0.5));
        assert!(
            overlap(&rect(40.0, -50.0, 20.0, 200.0), &room, 0.5),
            "a cross has no corner inside the other"
        );
        assert!(overlap(&room, &rect(0.0, 0.0, 50.0, 100.0), 0.5), "half of it, three walls in common");
        let l =
            outline(&[(0.0, 0.0), (100.0, 0.0), (100.0, 20.0), (20.0, 20.0), (20.0, 100.0), (0.0, 100.0)]);
        assert!(!overlap(&l, &rect(25.0, 25.0, 50.0, 50.0), 0.5), "inside the elbow, outside the room");
    }

    proptest! {
        /// Closed form: two upright rectangles overlap deeper than `d` by the overlap of their sides.
        #[test]
        fn rectangles_overlap_as_their_sides_do(
            x in -150..150_i32, y in -150..150_i32, w in 3..200_i32, h in 3..200_i32,
        ) {
            let part = |at: i32, size: i32| (at + size).min(100) - at.max(0);
            let (a, b) = (rect(0.0, 0.0, 100.0, 100.0), rect(x.into(), y.into(), w.into(), h.into()));
            let expected = part(x, w) > 1 && part(y, h) > 1;
            prop_assume!(part(x, w) != 1 && part(y, h) != 1);
            prop_assert_eq!(overlap(&a, &b, 0.5), expected);
            prop_assert_eq!(overlap(&b, &a, 0.5), expected);
        }

        /// A convex outline never meets itself.
        #[test]
        fn a_round_outline_is_clean(n in 3..200_usize, r in 100.0..100_000.0_f64) {
            let at = |i: usize| std::f64::consts::TAU * i as f64 / n as f64;
            let round: Vec<Point> = (0..n).map(|i| Point::new(r * libm::cos(at(i)), r * libm::sin(at(i)))).collect();
            prop_assert_eq!(self_contacts(&round, 9), vec![]);
            prop_assert!(doubled_area(&round) > 0.0);
        }

        /// Against the general library geo: what overlaps has an area in common, and any fair area is found.
        #[test]
        fn overlaps_agree_with_a_general_library(
            points in proptest::collection::vec((0.0..100.0_f64, 0.0..100.0_f64), 7),
        ) {
            use geo::{Area, BooleanOps, Coord, LineString, Polygon};
            let polygon = |points: &[Point]| {
                let line = points.iter().map(|p| Coord { x: p.x, y: p.y }).collect();
                Polygon::new(LineString::new(line), Vec::new())
            };
            let (a, b) = (outline(&points[..3]), outline(&points[3..]));
            prop_assume!(self_contacts(&b, 1).is_empty());
            prop_assert!((polygon(&b).unsigned_area() - doubled_area(&b).abs() / 2.0).abs() < 1e-9);
            let common = polygon(&a).intersection(&polygon(&b)).unsigned_area();
            let found = overlap(&a, &b, 0.5);
            prop_assert!(!found || common > 0.0, "common {common}");
            prop_assert!(found || common < 100.0, "common {common}");
        }

        /// Every pair found by trying all pairs is found by the sweep, and no other.
        #[test]
        fn the_sweep_finds_what_trying_all_pairs_finds(
            points in proptest::collection::vec((0.0..50.0_f64, 0.0..50.0_f64), 4..14),
        ) {
            let points = outline(&points);
            let all: Vec<(Point, Point)> = sides(&points).collect();
            let mut expected = Vec::new();
            for i in 0..all.len() {
                for j in i + 1..all.len() {
                    if touch(&all, i, j, all.len()) {
                        expected.push((i, j));
                    }
                }
            }
            prop_assert_eq!(self_contacts(&points, usize::MAX), expected);
        }
    }
}
